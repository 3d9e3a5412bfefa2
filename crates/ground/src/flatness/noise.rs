//! What the instrument's own noise does to the numbers: no floor, however flat, reads better than this.

use basis::Length;

use super::{FLATNESS, LEVELNESS};

/// The best numbers that readings with this noise can show on a perfect floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ceilings {
    /// `4.57 in / (3·√6·σ)`.
    pub flatness: f64,
    /// `12.5 in / (3·√2·σ)`.
    pub levelness: f64,
}

/// The ceilings for readings that are each off by `noise`, one standard deviation, by themselves.
///
/// A bend takes three readings with weights 1, −2, 1, so its variance is `6σ²`; a difference in level takes two. What is common to
/// all readings of a set-up falls out; a laser out of level by an angle adds that angle over ten spaces to the mean difference, which
/// is small beside the rest. Infinite without noise.
///
/// ```
/// # use basis::Length; use ground::flatness::ceilings;
/// let read_to_a_32nd = ceilings(Length::inches(1.0 / 32.0));
/// assert!((read_to_a_32nd.flatness - 19.9).abs() < 0.05 && (read_to_a_32nd.levelness - 94.3).abs() < 0.05);
/// ```
#[must_use]
pub fn ceilings(noise: Length) -> Ceilings {
    let three = 3.0 * noise.in_metres();
    Ceilings {
        flatness: FLATNESS.in_metres() / (three * 6f64.sqrt()),
        levelness: LEVELNESS.in_metres() / (three * 2f64.sqrt()),
    }
}

/// Noise of reading to the nearest mark: a step over the root of 12.
///
/// ```
/// # use basis::Length; use ground::flatness::{ceilings, mark_noise};
/// // Sixteenths alone hold flatness under 34.5.
/// assert!((ceilings(mark_noise(Length::inches(1.0 / 16.0))).flatness - 34.47).abs() < 0.01);
/// ```
#[must_use]
pub fn mark_noise(step: Length) -> Length {
    step * (1.0 / 12f64.sqrt())
}
