//! The prep sheet: what the stick must read on form tops, and what to cut or fill on the base.
//!
//! Method, sources and limits: `docs/methods/prep.md`.

mod base;
mod forms;

use basis::{Length, UnitSystem};
use ground::P2;
use ground::outline::{EdgeKind, Floor, Outline};
use ground::survey::RodReading;

use crate::pads::Tie;

/// What the sheet is made from.
#[derive(Clone, Copy)]
pub struct PrepInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// The outline, for the names of corners and doors.
    pub outline: &'a Outline,
    /// Elevation of the finish, door tapers included, m.
    pub finish_z: &'a dyn Fn(P2) -> Option<f64>,
    /// Elevation of the base as shot, m.
    pub base_z: &'a dyn Fn(P2) -> Option<f64>,
    /// Thickness asked for.
    pub nominal: Length,
    /// What the stick reads on a point of an elevation (m), for the set-up in use.
    pub reading: &'a dyn Fn(f64) -> RodReading,
    /// Units of the labels, and so of the step: 10 ft or 3 m.
    pub units: UnitSystem,
}

/// The whole sheet.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PrepSheet {
    /// Tops of the forms, edge after edge in the order of the outline.
    pub forms: Vec<FormPoint>,
    /// Spots of the base, row after row.
    pub base: Vec<BasePoint>,
}

/// Why a point of the forms is on the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FormMark {
    /// A corner of the outline.
    Corner,
    /// A jamb, at the height of the floor beside the door.
    JambFull,
    /// A jamb, at the height of the door's form, which is set low.
    JambDropped,
    /// A step of 10 ft or 3 m along the edge.
    Step,
    /// The edge is highest here.
    High,
    /// The edge is lowest here.
    Low,
    /// The finish bends here along the edge, and a straight board past it would be off.
    Bend,
}

/// A point at the edge of the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct FormPoint {
    /// What a person calls it: `A`, `A-B at 10'`, `boat door, jamb at 4', dropped`.
    pub label: String,
    /// Index of the outline's edge that it is on; for a corner, the edge that begins there.
    pub edge: usize,
    /// What stands along that edge: a form to set, or a wall or slab to strike a line on.
    pub kind: EdgeKind,
    /// Why it is on the sheet.
    pub mark: FormMark,
    /// From the edge's first corner in the user's order, along the edge.
    pub along: Length,
    /// Where, m.
    pub at: P2,
    /// Elevation of the top, m.
    pub z: f64,
    /// What the stick must read.
    pub reading: RodReading,
}

/// A spot of the base.
#[derive(Debug, Clone, PartialEq)]
pub struct BasePoint {
    /// Row and place in it: `2-3`.
    pub label: String,
    /// Where, m.
    pub at: P2,
    /// Two tape dimensions that find it.
    pub ties: [Tie; 2],
    /// Elevation that the base should have: the finish less the thickness asked for, m.
    pub z: f64,
    /// What the stick must read.
    pub reading: RodReading,
    /// How much to cut (positive) or fill (negative); absent where the base is not known.
    pub cut: Option<Length>,
}

/// Makes the sheet.
///
/// Points at which the finish is not known are left out. Nothing is refused: a floor of no extent gives an
/// empty sheet.
#[must_use]
pub fn prep(input: &PrepInput<'_>) -> PrepSheet {
    if !input.floor.boundary.corners().iter().all(|p| p.is_finite()) {
        return PrepSheet::default();
    }
    PrepSheet { forms: forms::points(input), base: base::points(input) }
}

/// Longest step between points of the sheet, m: 10 ft or 3 m.
fn step(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => Length::feet(10.0).in_metres(),
        UnitSystem::Metric => 3.0,
    }
}

#[cfg(test)]
mod tests;
