//! Lengths and spots as they are paced out, for pages of every kind.

use basis::quantity::feet_inches;
use basis::{Length, UnitSystem};
use ground::P2;
use ground::outline::Floor;

/// A length for pacing out or taping roughly: to the inch, or to the centimetre.
///
/// ```
/// use basis::{Length, UnitSystem};
/// assert_eq!(pour::pacing::rough(Length::metres(3.456), UnitSystem::Metric), "3.46 m");
/// ```
#[must_use]
pub fn rough(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => feet_inches(length, 1),
        UnitSystem::Metric => format!("{:.2} m", length.in_metres()),
    }
}

/// Where a spot of the floor lies, roughly, from two edges.
#[must_use]
pub fn spot(floor: &Floor, at: P2, units: UnitSystem) -> String {
    let tapes = ground::floor::tape_from(floor, at);
    let said = tapes.iter().map(|tape| match rough(tape.distance, units) {
        none if none == rough(Length::ZERO, units) => format!("at {}", tape.name),
        far => format!("{far} from {}", tape.name),
    });
    said.collect::<Vec<_>>().join(", ")
}
