//! The normal law, and standard normal draws that are the same on every machine.

use basis::math::{cos, log, normal_above, normal_below, normal_loss, normal_quantile};
use rand::{Rng, RngExt};

/// A normal law; with no spread it is a certain value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Normal {
    /// The expected value.
    pub mean: f64,
    /// One standard deviation, not negative.
    pub sd: f64,
}

impl Normal {
    /// Chance that the value lies above `x`.
    ///
    /// ```
    /// // Handbook table of the normal curve: 10 % lie above 1.2816 standard deviations.
    /// let need = pour::chance::Normal { mean: 10.0, sd: 2.0 };
    /// assert!((need.above(10.0 + 2.0 * 1.2816) - 0.1).abs() < 1e-5);
    /// ```
    #[must_use]
    pub fn above(self, x: f64) -> f64 {
        if self.sd > 0.0 { normal_above((x - self.mean) / self.sd) } else { f64::from(self.mean > x) }
    }

    /// Chance that the value lies in `(low, high]`, without cancellation in the tails.
    #[must_use]
    pub fn between(self, low: f64, high: f64) -> f64 {
        if self.sd <= 0.0 {
            return f64::from(self.mean > low && self.mean <= high);
        }
        let (a, b) = ((low - self.mean) / self.sd, (high - self.mean) / self.sd);
        let chance =
            if a > 0.0 { normal_above(a) - normal_above(b) } else { normal_below(b) - normal_below(a) };
        chance.max(0.0)
    }

    /// Expected excess of the value over `x`, counting a lack as nothing.
    #[must_use]
    pub fn excess(self, x: f64) -> f64 {
        if self.sd > 0.0 {
            self.sd * normal_loss((x - self.mean) / self.sd)
        } else {
            (self.mean - x).max(0.0)
        }
    }

    /// Expected lack of the value under `x`, counting an excess as nothing.
    #[must_use]
    pub fn lack(self, x: f64) -> f64 {
        Self { mean: -self.mean, sd: self.sd }.excess(-x)
    }

    /// The value below which it lies with chance `p`, `0 < p < 1`.
    #[must_use]
    pub fn quantile(self, p: f64) -> f64 {
        if self.sd > 0.0 { self.mean + self.sd * normal_quantile(p) } else { self.mean }
    }
}

/// One standard normal draw by the method of Box and Muller [@box-muller-1958].
///
/// The polar angle's cosine alone is used: half the randomness is thrown away for a draw that needs
/// no state. Elementary functions are those of `basis::math`, so a seed gives the same draws anywhere.
pub fn standard_normal(rng: &mut impl Rng) -> f64 {
    // 1 − u lies in (0, 1], where the logarithm is finite.
    let radius = (-2.0 * log(1.0 - rng.random::<f64>())).sqrt();
    radius * cos(std::f64::consts::TAU * rng.random::<f64>())
}

/// The value at rank `p` of values sorted upwards, interpolated between neighbours; 0 when there are none.
///
/// Rank `p·(n − 1)`: definition 7 of [@hyndman-fan-1996].
#[must_use]
pub fn quantile_of_sorted(sorted: &[f64], p: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let rank = p.clamp(0.0, 1.0) * last as f64;
    let below = (rank.floor() as usize).min(last);
    let above = (below + 1).min(last);
    sorted[below] + (rank - below as f64) * (sorted[above] - sorted[below])
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand::rngs::ChaCha12Rng;

    /// Expected excess minus expected lack is the mean less the threshold, for every threshold.
    #[test]
    fn excess_less_lack_is_the_mean_difference() {
        for sd in [0.0, 0.3, 4.0] {
            let law = Normal { mean: 11.0, sd };
            for x in [-5.0, 9.0, 11.0, 11.2, 30.0] {
                assert!((law.excess(x) - law.lack(x) - (11.0 - x)).abs() < 1e-12, "{sd} {x}");
            }
        }
    }

    #[test]
    fn slices_add_up_to_the_tail() {
        let law = Normal { mean: 2.0, sd: 0.7 };
        let sum: f64 =
            (0..200).map(|i| law.between(2.5 + 0.1 * f64::from(i), 2.6 + 0.1 * f64::from(i))).sum();
        assert!((sum - law.above(2.5)).abs() < 1e-12);
    }

    /// 40,000 draws: mean within 4/√n of 0, mean square within 4·√(2/n) of 1, 10 % above 1.2816 within 4 sd.
    #[test]
    fn draws_are_standard_normal() {
        let mut rng = ChaCha12Rng::seed_from_u64(7);
        let n = 40_000;
        let draws: Vec<f64> = (0..n).map(|_| standard_normal(&mut rng)).collect();
        let mean = draws.iter().sum::<f64>() / f64::from(n);
        let square = draws.iter().map(|z| z * z).sum::<f64>() / f64::from(n);
        let tail = draws.iter().filter(|z| **z > 1.2816).count() as f64 / f64::from(n);
        assert!(mean.abs() < 0.02, "{mean}");
        assert!((square - 1.0).abs() < 0.0283, "{square}");
        assert!((tail - 0.1).abs() < 0.006, "{tail}");
    }

    #[test]
    fn quantiles_of_five_values() {
        let sorted = [1.0, 2.0, 4.0, 8.0, 16.0];
        assert_eq!(quantile_of_sorted(&sorted, 0.5), 4.0);
        assert_eq!(quantile_of_sorted(&sorted, 0.875), 12.0);
        assert_eq!(quantile_of_sorted(&[], 0.5), 0.0);
    }
}
