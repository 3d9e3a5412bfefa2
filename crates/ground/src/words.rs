//! Figures in messages, in both kinds of units: the ground does not know which the reader uses.

use basis::quantity::{feet_inches, thickness};
use basis::{Area, Length, UnitSystem};

/// A small length in metres: `8 mm (5/16")`.
pub(crate) fn small(metres: f64) -> String {
    let length = Length::metres(metres);
    format!("{} ({})", thickness(length, UnitSystem::Metric), feet_inches(length, 16))
}

/// A length in metres: `20.7 m (67.9 ft)`.
pub(crate) fn long(metres: f64) -> String {
    format!("{metres:.1} m ({:.1} ft)", Length::metres(metres).in_feet())
}

/// An area in square metres: `0.6 m2 (6 ft2)`.
pub(crate) fn area(square_metres: f64) -> String {
    format!("{square_metres:.2} m2 ({:.1} ft2)", Area::square_metres(square_metres).in_square_feet())
}
