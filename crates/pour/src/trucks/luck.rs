//! Days drawn by chance: plant lateness, hauls, placing rate.

use basis::math::{exp, log1p};
use rand::Rng;

use super::course::Day;
use crate::chance::standard_normal;

/// A positive quantity that varies: lognormal with this mean and standard deviation.
///
/// A haul cannot be negative and is late by more than it is ever early. `σ² = ln(1 + s²/m²)`, `μ = ln m − σ²/2`, the
/// moments of the lognormal law (textbook).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lognormal {
    /// Mean, positive; 0 is certain.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl Lognormal {
    /// The value for a standard normal draw.
    #[must_use]
    pub fn at(self, z: f64) -> f64 {
        if self.mean <= 0.0 || self.sd <= 0.0 {
            return self.mean;
        }
        let variance = log1p((self.sd / self.mean).powi(2));
        self.mean * exp(variance.sqrt() * z - 0.5 * variance)
    }
}

/// What the days of a pour differ in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Luck {
    /// Spread of departures around the times ordered, s.
    pub lateness: f64,
    /// One-way haul, s.
    pub haul: Lognormal,
    /// Placing rate, m³/s.
    pub rate: Lognormal,
}

/// Draws one day for `n` loads.
pub fn day(luck: &Luck, n: usize, rng: &mut impl Rng) -> Day {
    let rate = luck.rate.at(standard_normal(rng));
    let late = (0..n).map(|_| luck.lateness * standard_normal(rng)).collect();
    let out = (0..n).map(|_| luck.haul.at(standard_normal(rng))).collect();
    let back = (0..n).map(|_| luck.haul.at(standard_normal(rng))).collect();
    Day { late, out, back, rate }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;

    /// Moments over 40,000 draws within 4 standard errors: mean 6/√n·4 = 0.12 min; the sd's own error is about 0.15.
    #[test]
    fn hauls_have_the_stated_mean_and_spread() {
        let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(2);
        let haul = Lognormal { mean: 25.0, sd: 6.0 };
        let draws: Vec<f64> = (0..40_000).map(|_| haul.at(standard_normal(&mut rng))).collect();
        let mean = draws.iter().sum::<f64>() / 40_000.0;
        let sd = (draws.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 40_000.0).sqrt();
        assert!((mean - 25.0).abs() < 0.12 && (sd - 6.0).abs() < 0.15, "{mean} {sd}");
        assert!(draws.iter().all(|x| *x > 0.0));
    }

    #[test]
    fn a_certain_haul_does_not_vary() {
        assert_eq!(Lognormal { mean: 25.0, sd: 0.0 }.at(3.0), 25.0);
        assert_eq!(Lognormal { mean: 0.0, sd: 0.0 }.at(3.0), 0.0);
    }
}
