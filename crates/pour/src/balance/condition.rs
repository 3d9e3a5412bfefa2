//! Conditioning: what the concrete placed so far says about allowance, loss and the rest of the floor.

use basis::{Estimate, Origin, Volume};

/// Number of unknowns: volume placed, volume remaining, allowance, loss, concrete still in the drum.
const N: usize = 5;
const PLACED: usize = 0;
const REMAINING: usize = 1;
const ALLOWANCE: usize = 2;
const LOSS: usize = 3;
const DRUM: usize = 4;

/// The unknowns of a pour: forms' volumes placed and remaining, m³; allowance; loss, m³; what is still in the drum, m³;
/// with their covariance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Belief {
    /// Expected values in that order.
    pub mean: [f64; N],
    /// Their covariance.
    pub covariance: [[f64; N]; N],
}

/// What has been seen: concrete delivered so far, and how surely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// Sum of the tickets, m³.
    pub delivered: f64,
    /// Variance of that, m⁶.
    pub variance: f64,
    /// Share of the loss that is already behind, 0 to 1.
    pub loss_share: f64,
}

/// The belief after the concrete delivered so far, and how far that was from what was expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditioned {
    /// The belief afterwards.
    pub belief: Belief,
    /// Concrete that was expected to be used so far, before it was seen, m³.
    pub expected_used: Estimate<Volume>,
    /// Distance of what was seen from that, in its standard deviations; 0 when both are certain and agree.
    pub surprise: f64,
}

impl Belief {
    /// The belief before the delivery is counted: regions from the ground, the others independent of them.
    #[must_use]
    pub fn before(
        regions: [f64; 2],
        covariance: [[f64; 2]; 2],
        allowance: Estimate<f64>,
        loss: Estimate<Volume>,
        in_drum: Estimate<Volume>,
    ) -> Self {
        let (lost, drum) = (loss.mean.in_cubic_metres(), in_drum.mean.in_cubic_metres());
        let mean = [regions[0], regions[1], allowance.mean, lost, drum];
        let mut c = [[0.0; N]; N];
        c[PLACED][..2].copy_from_slice(&covariance[0]);
        c[REMAINING][..2].copy_from_slice(&covariance[1]);
        c[ALLOWANCE][ALLOWANCE] = allowance.sd.powi(2);
        c[LOSS][LOSS] = loss.sd.in_cubic_metres().powi(2);
        c[DRUM][DRUM] = in_drum.sd.in_cubic_metres().powi(2);
        Self { mean, covariance: c }
    }

    /// Conditions on what has been delivered: one step of the linear-Gaussian update [@kalman-1960].
    ///
    /// `delivered = V₁(1 + A) + λL + U + error` is linearised at the expected values: its row is `(1 + a, 0, v₁, λ, 1)`.
    /// What is left out is the product of the two deviations, of size `s₁·t`: 0.005 yd³ for 10 yd³ ± 2.5 % and an
    /// allowance ± 2 %. Its variance is added to that of the tickets, so that the step claims no more than it knows.
    #[must_use]
    pub fn condition(&self, seen: Seen) -> Conditioned {
        let row = [1.0 + self.mean[ALLOWANCE], 0.0, self.mean[PLACED], seen.loss_share, 1.0];
        let expected_used = self.used(seen.loss_share);
        let lean: [f64; N] = std::array::from_fn(|i| (0..N).map(|j| self.covariance[i][j] * row[j]).sum());
        let prior = (0..N).map(|i| row[i] * lean[i]).sum::<f64>() + self.left_out();
        let total = prior + seen.variance;
        let gap = seen.delivered - self.mean[DRUM] - expected_used.mean.in_cubic_metres();
        if total <= 0.0 {
            let surprise =
                if gap.abs() <= 1e-9 * seen.delivered.abs() { 0.0 } else { f64::INFINITY * gap.signum() };
            return Conditioned { belief: *self, expected_used, surprise };
        }
        let mut belief = *self;
        for i in 0..N {
            belief.mean[i] += lean[i] * gap / total;
            for j in 0..N {
                belief.covariance[i][j] -= lean[i] * lean[j] / total;
            }
        }
        Conditioned { belief, expected_used, surprise: gap / total.sqrt() }
    }

    /// Variance of the product of deviations that the linear step leaves out, m⁶.
    fn left_out(&self) -> f64 {
        self.covariance[PLACED][PLACED] * self.covariance[ALLOWANCE][ALLOWANCE]
    }

    /// What the part placed takes, `V₁(1 + A) + λL`, to first order.
    fn used(&self, loss_share: f64) -> Estimate<Volume> {
        let (v, g) = (self.mean[PLACED], 1.0 + self.mean[ALLOWANCE]);
        let cov = |i: usize, j: usize| self.covariance[i][j];
        let variance = g * g * cov(PLACED, PLACED)
            + v * v * cov(ALLOWANCE, ALLOWANCE)
            + loss_share * loss_share * cov(LOSS, LOSS)
            + self.left_out();
        let mean = Volume::cubic_metres(v * g + loss_share * self.mean[LOSS]);
        Estimate::new(mean, Volume::cubic_metres(variance.sqrt()), Origin::Derived)
    }

    /// What is still to come from the plant, `V₂(1 + A) + (1 − λ)L − U`, m³: mean and variance.
    ///
    /// Moments of the product of two correlated normals, exact [@goodman-1960]:
    /// mean `v₂g + c`, variance `v₂²t² + g²s² + 2v₂g·c + s²t² + c²` with `g = 1 + a`, `c` their covariance.
    #[must_use]
    pub fn still_needed(&self, loss_share: f64) -> (f64, f64) {
        let (v, g) = (self.mean[REMAINING], 1.0 + self.mean[ALLOWANCE]);
        let cov = |i: usize, j: usize| self.covariance[i][j];
        let c = cov(REMAINING, ALLOWANCE);
        let (s2, t2) = (cov(REMAINING, REMAINING), cov(ALLOWANCE, ALLOWANCE));
        let mut variance = v * v * t2 + g * g * s2 + 2.0 * v * g * c + s2 * t2 + c * c;
        let others = [(LOSS, 1.0 - loss_share), (DRUM, -1.0)];
        for (i, share) in others {
            variance += 2.0 * share * (v * cov(ALLOWANCE, i) + g * cov(REMAINING, i));
            variance += others.iter().map(|(j, other)| share * other * cov(i, *j)).sum::<f64>();
        }
        let mean = v * g + c + (1.0 - loss_share) * self.mean[LOSS] - self.mean[DRUM];
        (mean, variance.max(0.0))
    }

    /// The allowance with its doubt.
    #[must_use]
    pub fn allowance(&self) -> Estimate<f64> {
        let sd = self.covariance[ALLOWANCE][ALLOWANCE].max(0.0).sqrt();
        Estimate::new(self.mean[ALLOWANCE], sd, Origin::Derived)
    }

    /// The forms' volume that remains, with its doubt.
    #[must_use]
    pub fn remaining(&self) -> Estimate<Volume> {
        let sd = self.covariance[REMAINING][REMAINING].max(0.0).sqrt();
        Estimate::new(Volume::cubic_metres(self.mean[REMAINING]), Volume::cubic_metres(sd), Origin::Derived)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::standard_normal;
    use rand::SeedableRng;

    fn nothing() -> Estimate<Volume> {
        Estimate::new(Volume::ZERO, Volume::ZERO, Origin::Stated)
    }

    fn seen(delivered: f64) -> Seen {
        Seen { delivered, variance: 0.0, loss_share: 0.5 }
    }

    /// Conditioning of a two-variate normal by hand: V ~ ((6, 4), [[0.09, 0.03], [0.03, 0.04]]), V₁ seen as 6.3:
    /// E[V₂] = 4 + 0.03/0.09·0.3 = 4.1, var = 0.04 − 0.03²/0.09 = 0.03 (textbook formula of the conditional normal).
    #[test]
    fn a_certain_allowance_leaves_the_two_variate_formula() {
        let none = Estimate::new(0.0, 0.0, Origin::Stated);
        let before = Belief::before([6.0, 4.0], [[0.09, 0.03], [0.03, 0.04]], none, nothing(), nothing());
        let after = before.condition(seen(6.3)).belief;
        let (mean, variance) = after.still_needed(0.5);
        assert!((mean - 4.1).abs() < 1e-12 && (variance - 0.03).abs() < 1e-12, "{mean} {variance}");
        assert_eq!(after.allowance().mean, 0.0);
    }

    /// Certain volumes: all that was used beyond 6 is allowance, 6.3/6 − 1 = 5 %, and the rest is 4 × 1.05 for certain.
    #[test]
    fn certain_volumes_show_the_allowance_exactly() {
        let allowance = Estimate::new(0.04, 0.02, Origin::Assumed);
        let before = Belief::before([6.0, 4.0], [[0.0; 2]; 2], allowance, nothing(), nothing());
        let after = before.condition(seen(6.3)).belief;
        assert!((after.allowance().mean - 0.05).abs() < 1e-12 && after.allowance().sd < 1e-9);
        let (mean, variance) = after.still_needed(0.5);
        assert!((mean - 4.2).abs() < 1e-12 && variance < 1e-12, "{mean} {variance}");
    }

    /// Nothing is learned where the measurement is worth nothing.
    #[test]
    fn an_infinitely_doubtful_measurement_changes_nothing() {
        let allowance = Estimate::new(0.04, 0.02, Origin::Assumed);
        let before =
            Belief::before([6.0, 4.0], [[0.09, 0.03], [0.03, 0.04]], allowance, nothing(), nothing());
        let after = before.condition(Seen { variance: 1e18, ..seen(9.0) }).belief;
        assert!((after.still_needed(0.5).0 - before.still_needed(0.5).0).abs() < 1e-12);
    }

    /// The linear step against importance sampling of the exact, bilinear model: 400,000 draws weighted by the chance of
    /// what was delivered. Stated tolerance: means of need and allowance within 0.05 of their standard deviations, spread
    /// within 3 %; the sampling error is a fifth of that. Surprises from −2 to 2 standard deviations.
    #[test]
    fn the_linear_step_agrees_with_importance_sampling() {
        let allowance = Estimate::new(0.04, 0.02, Origin::Assumed);
        let in_drum = Estimate::new(Volume::cubic_metres(1.0), Volume::cubic_metres(0.1), Origin::Measured);
        let covariance = [[0.036, 0.012], [0.012, 0.022]];
        let before = Belief::before([7.5, 5.0], covariance, allowance, crate::defaults::loss(), in_drum);
        for shift in [-2.0, 0.0, 2.0] {
            let expected = before.condition(seen(0.0)).expected_used;
            let delivered = 1.0 + (expected.mean + expected.sd * shift).in_cubic_metres();
            let observed = Seen { delivered, variance: 0.075_f64.powi(2), loss_share: 0.6 };
            let after = before.condition(observed).belief;
            let (mean, variance) = after.still_needed(0.6);
            let exact = sampled(&before, observed);
            let sd = variance.sqrt();
            assert!((mean - exact[0]).abs() < 0.05 * sd, "{shift}: {mean} {exact:?}");
            assert!((sd / exact[1] - 1.0).abs() < 0.03, "{shift}: {sd} {exact:?}");
            let a = after.allowance();
            assert!((a.mean - exact[2]).abs() < 0.05 * a.sd, "{shift}: {a:?} {exact:?}");
        }
    }

    /// Mean and spread of the need and mean of the allowance by weighted draws of the model as it is.
    fn sampled(before: &Belief, seen: Seen) -> [f64; 3] {
        let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(3);
        let c = before.covariance;
        let l11 = c[0][0].sqrt();
        let l21 = c[1][0] / l11;
        let l22 = (c[1][1] - l21 * l21).sqrt();
        let mut sums = [0.0; 4];
        for _ in 0..400_000 {
            let z: [f64; N] = std::array::from_fn(|_| standard_normal(&mut rng));
            let placed = before.mean[PLACED] + l11 * z[0];
            let remaining = before.mean[REMAINING] + l21 * z[0] + l22 * z[1];
            let [a, loss, drum] = [ALLOWANCE, LOSS, DRUM].map(|i| before.mean[i] + c[i][i].sqrt() * z[i]);
            let gap = seen.delivered - placed * (1.0 + a) - seen.loss_share * loss - drum;
            let weight = basis::math::exp(-0.5 * gap * gap / seen.variance);
            let need = remaining * (1.0 + a) + (1.0 - seen.loss_share) * loss - drum;
            for (sum, value) in sums.iter_mut().zip([1.0, need, need * need, a]) {
                *sum += weight * value;
            }
        }
        let mean = sums[1] / sums[0];
        [mean, (sums[2] / sums[0] - mean * mean).sqrt(), sums[3] / sums[0]]
    }
}
