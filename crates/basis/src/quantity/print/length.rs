//! Prints lengths, elevations and rod readings.

use super::decimal;
use crate::quantity::Length;
use crate::{RodMarks, UnitSystem};

/// Beyond this many steps a length is no length of a site and is printed as a power of ten.
const MOST_STEPS: f64 = 1e12;

/// A count of steps of `1/denominator` as a whole number and a fraction in lowest terms.
pub(super) fn mixed(steps: u64, denominator: u64, join: char) -> String {
    let (whole, over) = (steps / denominator, steps % denominator);
    let shared = greatest_common_divisor(over, denominator);
    match (whole, over) {
        (whole, 0) => whole.to_string(),
        (0, over) => format!("{}/{}", over / shared, denominator / shared),
        (whole, over) => format!("{whole}{join}{}/{}", over / shared, denominator / shared),
    }
}

fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if b == 0 { a.max(1) } else { greatest_common_divisor(b, a % b) }
}

/// Sign and whole steps of `1/denominator` in., or nothing when there is no number to print.
fn steps(length: Length, denominator: u32) -> Option<(&'static str, u64, u64)> {
    let denominator = denominator.max(1);
    let steps = (length.in_inches() * f64::from(denominator)).round();
    // NaN fails the comparison.
    (steps.abs() < MOST_STEPS)
        .then(|| (if steps < 0.0 { "-" } else { "" }, steps.abs() as u64, u64::from(denominator)))
}

/// Feet, inches and a fraction to the nearest `1/denominator` in.: `36' 6-1/2"`, `6-1/2"`, `36'`.
///
/// Rounding carries: 11 15/16 in. to the eighth is a foot. A denominator of 0 is taken as 1.
///
/// ```
/// # use basis::{Length, quantity::feet_inches};
/// assert_eq!(feet_inches(Length::inches(438.5), 16), "36' 6-1/2\"");
/// assert_eq!(feet_inches(Length::inches(11.0 + 15.0 / 16.0), 8), "1'");
/// assert_eq!(feet_inches(Length::inches(-0.25), 16), "-1/4\"");
/// ```
#[must_use]
pub fn feet_inches(length: Length, denominator: u32) -> String {
    let Some((sign, steps, denominator)) = steps(length, denominator) else {
        return decimal(length.in_feet(), 2, "ft");
    };
    let (feet, rest) = (steps / (12 * denominator), steps % (12 * denominator));
    match (feet, rest) {
        (0, rest) => format!("{sign}{}\"", mixed(rest, denominator, '-')),
        (feet, 0) => format!("{sign}{feet}'"),
        (feet, rest) => format!("{sign}{feet}' {}\"", mixed(rest, denominator, '-')),
    }
}

/// As [`feet_inches`], in words for files in which a quote mark is a nuisance: `36 ft 6 1/2 in`.
///
/// ```
/// # use basis::{Length, quantity::feet_inches_in_words};
/// assert_eq!(feet_inches_in_words(Length::inches(438.5), 16), "36 ft 6 1/2 in");
/// ```
#[must_use]
pub fn feet_inches_in_words(length: Length, denominator: u32) -> String {
    let Some((sign, steps, denominator)) = steps(length, denominator) else {
        return decimal(length.in_feet(), 2, "ft");
    };
    let (feet, rest) = (steps / (12 * denominator), steps % (12 * denominator));
    match (feet, rest) {
        (0, rest) => format!("{sign}{} in", mixed(rest, denominator, ' ')),
        (feet, 0) => format!("{sign}{feet} ft"),
        (feet, rest) => format!("{sign}{feet} ft {} in", mixed(rest, denominator, ' ')),
    }
}

/// Feet with decimals, as a rod in tenths reads: `36.54 ft`.
///
/// ```
/// # use basis::{Length, quantity::decimal_feet};
/// assert_eq!(decimal_feet(Length::feet(36.541), 2), "36.54 ft");
/// ```
#[must_use]
pub fn decimal_feet(length: Length, decimals: u8) -> String {
    decimal(length.in_feet(), usize::from(decimals.min(9)), "ft")
}

/// Whole millimetres: `1402 mm`.
///
/// ```
/// # use basis::{Length, quantity::millimetres};
/// assert_eq!(millimetres(Length::metres(1.4018)), "1402 mm");
/// ```
#[must_use]
pub fn millimetres(length: Length) -> String {
    decimal(length.in_millimetres(), 0, "mm")
}

/// A plan dimension or an elevation: feet and inches to the eighth, or metres to the millimetre.
///
/// ```
/// # use basis::{Length, UnitSystem, quantity::length};
/// assert_eq!(length(Length::feet(36.0), UnitSystem::Us), "36'");
/// assert_eq!(length(Length::feet(36.0), UnitSystem::Metric), "10.973 m");
/// ```
#[must_use]
pub fn length(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(length, 8),
        UnitSystem::Metric => decimal(length.in_metres(), 3, "m"),
    }
}

/// The size of goods: as [`length()`], but millimetres under a metre.
///
/// ```
/// # use basis::{Length, UnitSystem, quantity::size};
/// assert_eq!(size(Length::inches(8.0), UnitSystem::Us), "8\"");
/// assert_eq!(size(Length::millimetres(150.0), UnitSystem::Metric), "150 mm");
/// assert_eq!(size(Length::metres(2.4), UnitSystem::Metric), "2.400 m");
/// ```
#[must_use]
pub fn size(size: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric if size.abs() < Length::metres(0.9995) => millimetres(size),
        _ => length(size, units),
    }
}

/// A thickness or a small height: inches to the eighth without feet, or whole millimetres.
///
/// ```
/// # use basis::{Length, UnitSystem, quantity::thickness};
/// assert_eq!(thickness(Length::inches(14.13), UnitSystem::Us), "14-1/8\"");
/// assert_eq!(thickness(Length::inches(4.0), UnitSystem::Metric), "102 mm");
/// ```
#[must_use]
pub fn thickness(length: Length, units: UnitSystem) -> String {
    match (units, steps(length, 8)) {
        (UnitSystem::Metric, _) => millimetres(length),
        (UnitSystem::Us, Some((sign, steps, denominator))) => {
            format!("{sign}{}\"", mixed(steps, denominator, '-'))
        }
        (UnitSystem::Us, None) => decimal(length.in_inches(), 2, "in"),
    }
}

/// A rod reading as the rod is marked: `4' 7-3/16"`, `4' 7-1/4"`, `4.60 ft`, `1402 mm`.
///
/// ```
/// # use basis::{Length, RodMarks, quantity::rod};
/// let reading = Length::inches(55.1875);
/// assert_eq!(rod(reading, RodMarks::Sixteenths), "4' 7-3/16\"");
/// assert_eq!(rod(reading, RodMarks::Eighths), "4' 7-1/4\"");
/// assert_eq!(rod(reading, RodMarks::Tenths), "4.60 ft");
/// assert_eq!(rod(reading, RodMarks::Millimetres), "1402 mm");
/// ```
#[must_use]
pub fn rod(reading: Length, marks: RodMarks) -> String {
    match marks {
        RodMarks::Sixteenths => feet_inches(reading, 16),
        RodMarks::Eighths => feet_inches(reading, 8),
        RodMarks::Tenths => decimal_feet(reading, 2),
        RodMarks::Millimetres => millimetres(reading),
    }
}
