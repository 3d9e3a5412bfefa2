//! The prep sheet: what the stick must read on form tops, and what to cut or fill on the base.
//!
//! Method, sources and limits: `docs/methods/prep.md`.

mod base;
mod checks;
mod forms;

use basis::{Length, Note, Place, UnitSystem};
use ground::P2;
use ground::finish::FormDeviation;
use ground::outline::{EdgeKind, Floor, Outline};
use ground::survey::RodReading;

use crate::pads::Tie;

pub use checks::{FormCheck, Verdict};

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
    /// How far a thickened edge, pad or footing is dug below the base at a spot.
    pub dug: &'a dyn Fn(P2) -> Length,
    /// Thickness asked for.
    pub nominal: Length,
    /// Form tops as shot.
    pub shot: &'a [FormDeviation],
    /// A form further from its design than this is to be reset.
    pub tolerance: Length,
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
    /// Form tops as shot, against their design.
    pub checks: Vec<FormCheck>,
    /// Spots of the base, row after row; then the bottoms of what is dug.
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
    /// Row and place in it: `2-3`; for a bottom, what is dug: `A-B at 10', bottom`.
    pub label: String,
    /// Where, m.
    pub at: P2,
    /// Two tape dimensions that find it.
    pub ties: [Tie; 2],
    /// How far it is dug below the base there; nought on the plain base.
    pub dug: Length,
    /// Elevation that the ground should have: the finish less the thickness asked for and what is dug, m.
    pub z: f64,
    /// What the stick must read.
    pub reading: RodReading,
    /// How much to cut (positive) or fill (negative) from the base as shot; absent where that is not known.
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
    let mut base = base::points(input);
    base.extend(base::bottoms(input));
    PrepSheet { forms: forms::points(input), checks: checks::checks(input), base }
}

/// Warns of points that stand above the laser plane: no stick on them reaches down to the beam.
///
/// `Some` when the stick is read from its foot and at least one point is too high.
#[must_use]
pub fn above_the_laser(sheet: &PrepSheet, setup: &str, units: UnitSystem) -> Option<Note> {
    let over = |reading: RodReading| match reading {
        RodReading::Rod(height) if height < Length::ZERO => Some(-height),
        _ => None,
    };
    let forms = sheet.forms.iter().map(|f| (&f.label, f.reading));
    let all = forms.chain(sheet.base.iter().map(|b| (&b.label, b.reading)));
    let high: Vec<(&String, Length)> = all.filter_map(|(label, r)| Some((label, over(r)?))).collect();
    let (label, most) = high.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let message = format!(
        "{} of the prep sheet {} over the laser plane of set-up {setup}, the most {} at {label}",
        high.len(),
        if high.len() == 1 { "stands" } else { "stand" },
        basis::quantity::thickness(most, units)
    );
    let hint = "set the laser up higher, or hold the stick upside down with its foot on the beam's side";
    Some(Note::warning("point-above-laser", Place::at("forms.setup"), message, hint))
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
