//! Covariance of heights by distance.

use basis::math::{exp, exp_in_lanes};

/// Shape of the covariance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kernel {
    /// `(1 + √3 h/ℓ)·exp(−√3 h/ℓ)`: once differentiable, like a raked surface. The model of the tool.
    Matern32,
    /// `exp(−h²/2ℓ²)`: very smooth; for published cases.
    SquaredExponential,
    /// `exp(−h/ℓ)`: rough; for published cases.
    Exponential,
}

impl Kernel {
    /// Correlation at distance `h` for length `length`, both in metres.
    #[must_use]
    pub fn correlation(self, h: f64, length: f64) -> f64 {
        match self {
            Self::Matern32 => {
                let s = SQRT_3 * h / length;
                (1.0 + s) * exp(-s)
            }
            Self::SquaredExponential => exp(-0.5 * h * h / (length * length)),
            Self::Exponential => exp(-h / length),
        }
    }
}

/// Largest sum of two areas, in squared lengths, for which the second order is good to some 5 %.
const LARGEST: f64 = 1.2;
const SQRT_3: f64 = 1.732_050_807_568_877_2;

/// Mean Matérn 3/2 correlation between two small pieces of floor, to second order in their size.
///
/// `k(h) + (w_a + w_b)/24 · ∇²k(h)` with the Laplacian `−(3/ℓ²)(2 − s)e^{−s}`, `s = √3 h/ℓ`, for pieces of
/// area `w`; at `h = 0` it is the mean within one piece. Pieces larger than the length allows for are
/// taken as small ones, which overstates how alike they are inside.
#[must_use]
pub fn matern_between_pieces(h: f64, length: f64, areas: f64) -> f64 {
    MaternPair::new(length).between(h, areas)
}

/// The same for many pairs and one length.
#[derive(Debug, Clone, Copy)]
pub(super) struct MaternPair {
    /// `√3/ℓ`.
    rate: f64,
    /// `3/(24 ℓ²)`.
    bend: f64,
    /// Largest sum of areas that counts.
    largest: f64,
}

impl MaternPair {
    pub fn new(length: f64) -> Self {
        let square = length * length;
        Self { rate: SQRT_3 / length, bend: 3.0 / (24.0 * square), largest: LARGEST * square }
    }

    #[inline]
    pub fn between(self, h: f64, areas: f64) -> f64 {
        let s = self.rate * h;
        exp_in_lanes(-s) * (1.0 + s - areas.min(self.largest) * self.bend * (2.0 - s))
    }

    /// Adds `share` times the correlation for each distance and sum of areas.
    pub fn add_between(self, share: f64, distances: &[f64], areas: &[f64], total: &mut [f64]) {
        for ((value, &h), &both) in total.iter_mut().zip(distances).zip(areas) {
            *value += share * self.between(h, both);
        }
    }
}
