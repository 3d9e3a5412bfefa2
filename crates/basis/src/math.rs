//! Elementary functions that give the same bits on every machine, and the normal distribution.
//!
//! The platform's `sin`, `exp`, `ln` and `pow` differ between C libraries, so a plan made on the
//! phone could differ from the same plan made on the desk. These come from `libm` instead; a lint
//! forbids the others. `sqrt` and `fma` are exactly rounded everywhere and need no wrapper.

pub use libm::{
    acos, asin, atan, atan2, cbrt, cos, erf, erfc, exp, expm1, hypot, lgamma, log, log1p, pow, sin, tan,
};

/// `exp` without a branch, so that a loop of it runs in the processor's lanes: within two units in the last place of [`exp`].
///
/// Arguments are held within −708 and 709; no number stays none. By the power series of the rest after whole powers of two,
/// to the thirteenth order: what is left out is under 1e-17 of the value.
///
/// ```
/// // Euler's number to 16 digits.
/// assert!((basis::math::exp_in_lanes(1.0) / 2.718_281_828_459_045 - 1.0).abs() < 4.5e-16);
/// ```
#[must_use]
#[inline]
pub fn exp_in_lanes(x: f64) -> f64 {
    /// 1.5 · 2⁵²: adding it leaves the nearest whole number in the lowest bits.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    /// The logarithm of 2 in two parts, the first with zeros enough at its end that a product with a whole number is exact.
    const LN_2: [f64; 2] = [0.693_147_180_369_123_8, 1.908_214_929_270_587_7e-10];
    /// One over the factorials of 12, 10, … 0 and of 13, 11, … 1: two sums that do not wait for each other.
    const SERIES: [[f64; 2]; 7] = [
        [1.0 / 479_001_600.0, 1.0 / 6_227_020_800.0],
        [1.0 / 3_628_800.0, 1.0 / 39_916_800.0],
        [1.0 / 40_320.0, 1.0 / 362_880.0],
        [1.0 / 720.0, 1.0 / 5_040.0],
        [1.0 / 24.0, 1.0 / 120.0],
        [0.5, 1.0 / 6.0],
        [1.0, 1.0],
    ];
    let x = x.clamp(-708.0, 709.0);
    let shifted = x * std::f64::consts::LOG2_E + WHOLE;
    let whole = shifted - WHOLE;
    let rest = (x - whole * LN_2[0]) - whole * LN_2[1];
    let square = rest * rest;
    let sums = |[even, odd]: [f64; 2], [e, o]: &[f64; 2]| [even * square + e, odd * square + o];
    let [even, odd] = SERIES.iter().fold([0.0, 0.0], sums);
    let value = even + odd * rest;
    let power = f64::from_bits((shifted.to_bits() << 52).wrapping_add(1.0_f64.to_bits()));
    value * power
}

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

/// Chance that a sum of `degrees` squared standard normals lies below `x`; `degrees` is positive and need not be whole.
///
/// The lower incomplete gamma function: its series below `degrees + 1`, its continued fraction above [@abramowitz-stegun, 6.5].
///
/// ```
/// // Handbook table of chi-square: with 11 degrees of freedom 95 % lies below 19.675.
/// assert!((basis::math::chi_square_below(19.675, 11.0) - 0.95).abs() < 1e-5);
/// ```
#[must_use]
pub fn chi_square_below(x: f64, degrees: f64) -> f64 {
    let (a, x) = (0.5 * degrees, 0.5 * x);
    if a.is_nan() || x.is_nan() || a <= 0.0 {
        return f64::NAN;
    }
    if x <= 0.0 || x.is_infinite() {
        return if x <= 0.0 { 0.0 } else { 1.0 };
    }
    let front = exp(a * log(x) - x - lgamma(a));
    if x < a + 1.0 {
        return (front * gamma_series(a, x)).min(1.0);
    }
    (1.0 - front * gamma_fraction(a, x)).clamp(0.0, 1.0)
}

/// `Σ xⁿ / (a (a+1) … (a+n))`.
fn gamma_series(a: f64, x: f64) -> f64 {
    let (mut term, mut sum) = (1.0 / a, 1.0 / a);
    for n in 1..100_000 {
        term *= x / (a + f64::from(n));
        sum += term;
        if term < sum * 1e-16 {
            break;
        }
    }
    sum
}

/// The upper function's continued fraction, from the front (modified Lentz).
fn gamma_fraction(a: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut value = d;
    for n in 1..100_000 {
        let n = f64::from(n);
        let over = -n * (n - a);
        b += 2.0;
        d = 1.0 / (over * d + b).abs().max(TINY).copysign(over * d + b);
        c = b + over / c;
        value *= c * d;
        if (c * d - 1.0).abs() < 1e-15 {
            break;
        }
    }
    value
}

/// The value below which chi-square of so many degrees of freedom lies with chance `p`; infinite at 1.
///
/// ```
/// // Handbook table of chi-square, 11 degrees of freedom: 4.575 at 5 %, 19.675 at 95 %.
/// assert!((basis::math::chi_square_quantile(0.05, 11.0) - 4.575).abs() < 5e-4);
/// assert!((basis::math::chi_square_quantile(0.95, 11.0) - 19.675).abs() < 5e-4);
/// ```
#[must_use]
pub fn chi_square_quantile(p: f64, degrees: f64) -> f64 {
    if p.is_nan() || degrees.is_nan() || degrees <= 0.0 {
        return f64::NAN;
    }
    if p <= 0.0 || p >= 1.0 {
        return if p <= 0.0 { 0.0 } else { f64::INFINITY };
    }
    let mut high = degrees.max(1.0);
    while chi_square_below(high, degrees) < p && high < 1e300 {
        high *= 2.0;
    }
    let mut low = 0.0;
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if chi_square_below(middle, degrees) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exp_in_lanes_agrees_with_exp() {
        let mut worst = 0.0_f64;
        for i in -70_000..70_000 {
            let x = f64::from(i) * 0.010_07;
            worst = worst.max((exp_in_lanes(x) / exp(x) - 1.0).abs());
        }
        assert!(worst <= 2.0 * f64::EPSILON, "{worst:e}");
        assert_eq!(exp_in_lanes(0.0), 1.0);
        assert!(exp_in_lanes(-1e9) < 1e-307 && exp_in_lanes(f64::NEG_INFINITY) < 1e-307);
        assert!(exp_in_lanes(f64::NAN).is_nan());
    }

    /// Factors `sqrt(ν/χ²)` of a 90 % range of a spread from 12, 19, 60 and 200 readings, computed with scipy's chi-square.
    #[test]
    fn ranges_of_a_spread() {
        for (n, low, high) in
            [(12.0, 0.7477, 1.5506), (19.0, 0.7896, 1.3845), (60.0, 0.8701, 1.1805), (200.0, 0.9243, 1.0904)]
        {
            let factor = |p| f64::sqrt((n - 1.0) / chi_square_quantile(p, n - 1.0));
            assert!((factor(0.95) - low).abs() < 5e-5 && (factor(0.05) - high).abs() < 5e-5, "{n}");
        }
        // Two degrees of freedom in closed form; a sum of many is nearly normal.
        assert!((chi_square_below(3.0, 2.0) - (1.0 - exp(-1.5))).abs() < 1e-14);
        assert!((chi_square_below(1e6, 1e6) - 0.5).abs() < 1e-3);
        assert!(chi_square_below(f64::NAN, 3.0).is_nan() && chi_square_quantile(0.5, -1.0).is_nan());
    }
}
