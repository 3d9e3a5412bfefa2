//! Figures in messages. The ground does not know which units the reader uses, so it tells a note in both
//! ([`basis::Note::in_both`]).

use basis::quantity::{feet_inches, thickness};
use basis::{Area, Length, UnitSystem, Volume};

use crate::P2;

/// A small length in metres: `8 mm` or `5/16"`.
pub(crate) fn small(metres: f64, units: UnitSystem) -> String {
    let length = Length::metres(metres);
    match units {
        UnitSystem::Us => feet_inches(length, 16),
        UnitSystem::Metric => thickness(length, units),
    }
}

/// A distance under what a tape tells: `0.30 mm` or `0.012 in`.
pub(crate) fn fine(metres: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.3} in", Length::metres(metres).in_inches()),
        UnitSystem::Metric => format!("{:.2} mm", metres * 1e3),
    }
}

/// A length in metres: `20.7 m` or `67.9 ft`.
pub(crate) fn long(metres: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.1} ft", Length::metres(metres).in_feet()),
        UnitSystem::Metric => format!("{metres:.1} m"),
    }
}

/// A spot in the plan: `at 12.5 ft, 3.0 ft`.
pub(crate) fn spot(at: P2, units: UnitSystem) -> String {
    format!("at {}, {}", long(at.x, units), long(at.y, units))
}

/// An area in square metres: `0.60 m2` or `6.5 ft2`.
pub(crate) fn area(square_metres: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.1} ft2", Area::square_metres(square_metres).in_square_feet()),
        UnitSystem::Metric => format!("{square_metres:.2} m2"),
    }
}

/// A volume: `0.25 m3` or `0.33 yd3`.
pub(crate) fn volume(volume: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2} yd3", volume.in_cubic_yards()),
        UnitSystem::Metric => format!("{:.2} m3", volume.in_cubic_metres()),
    }
}
