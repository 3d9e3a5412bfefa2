//! Elementary functions that give the same bits on every machine, and the normal distribution.
//!
//! The platform's `sin`, `exp`, `ln` and `pow` differ between C libraries, so a plan made on the
//! phone could differ from the same plan made on the desk. These come from `libm` instead; a lint
//! forbids the others. `sqrt` and `fma` are exactly rounded everywhere and need no wrapper.

pub use libm::{acos, asin, atan, atan2, cbrt, cos, erf, erfc, exp, expm1, hypot, log, log1p, pow, sin, tan};

/// Density of the standard normal distribution at `z`.
#[must_use]
pub fn normal_density(z: f64) -> f64 {
    const INV_SQRT_TAU: f64 = 0.398_942_280_401_432_7;
    INV_SQRT_TAU * exp(-0.5 * z * z)
}

/// Chance that a standard normal value lies below `z`.
///
/// ```
/// // Handbook table of the normal curve: 90 % lies below 1.2816.
/// assert!((basis::math::normal_below(1.281_551_565_5) - 0.9).abs() < 1e-9);
/// ```
#[must_use]
pub fn normal_below(z: f64) -> f64 {
    0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Chance that a standard normal value lies above `z`, without cancellation in the tail.
#[must_use]
pub fn normal_above(z: f64) -> f64 {
    normal_below(-z)
}

/// The value below which a standard normal lies with chance `p`, for `0 < p < 1`; infinite at the ends.
///
/// Bisection on [`normal_below`] to the last bit that matters: slower than a rational fit, but it
/// cannot disagree with the function that it inverts.
///
/// ```
/// assert!((basis::math::normal_quantile(0.9) - 1.281_551_565_5).abs() < 1e-9);
/// ```
#[must_use]
pub fn normal_quantile(p: f64) -> f64 {
    if p.is_nan() {
        return f64::NAN;
    }
    if p <= 0.0 {
        return f64::NEG_INFINITY;
    }
    if p >= 1.0 {
        return f64::INFINITY;
    }
    let (mut low, mut high) = (-39.0_f64, 39.0_f64);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if normal_below(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Expected shortage of a standard normal demand above a stock of `z`: the unit normal loss.
///
/// `L(z) = φ(z) − z·(1 − Φ(z))`. A demand of mean `μ` and spread `σ` against a stock `q` is short by
/// `σ·L((q−μ)/σ)` on average and leaves `σ·L(−(q−μ)/σ)` over.
///
/// ```
/// // Table of the unit normal loss (inventory handbooks): L(0) = 0.3989, L(1) = 0.0833.
/// assert!((basis::math::normal_loss(0.0) - 0.3989).abs() < 5e-5);
/// assert!((basis::math::normal_loss(1.0) - 0.0833).abs() < 5e-5);
/// ```
#[must_use]
pub fn normal_loss(z: f64) -> f64 {
    (normal_density(z) - z * normal_above(z)).max(0.0)
}
