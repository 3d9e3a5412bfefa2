//! Pads: spots of wet concrete struck to grade with the laser, from which the bays are struck off.
//!
//! Method, sources and limits: `docs/methods/pads.md`.

mod spots;
mod ties;

use basis::{Length, Note, Place, Report, UnitSystem, quantity};
use ground::P2;
use ground::outline::{Floor, Outline};
use ground::survey::RodReading;

pub use ties::{Tie, TieTo, ties};

use crate::bays::{Bay, BayPlan, RidesOn};
use crate::job::Crew;
use crate::profile;

/// A pad nearer than this to a form is not needed: the form gives grade there (common practice, no source).
pub const NEAR_FORM: Length = Length::inches(6.0);
/// How far the finish may leave the straight line between two pads, about 1/16 in.
pub const STRAIGHT: Length = Length::millimetres(1.5);

/// What pads are set out from.
#[derive(Clone, Copy)]
pub struct PadInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// The outline, for names and straight edges.
    pub outline: &'a Outline,
    /// The bays in order of placing.
    pub bays: &'a BayPlan,
    /// Straightedge and lap.
    pub crew: &'a Crew,
    /// Elevation of the finish, m.
    pub finish: &'a dyn Fn(P2) -> Option<f64>,
    /// What the stick reads for a point of this elevation (m), for the set-up in use.
    pub reading: &'a dyn Fn(f64) -> RodReading,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// Why a pad is where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PadFor {
    /// End of a struck line that no form carries.
    End,
    /// So that the straightedge spans from pad to pad.
    Span,
    /// The finish changes plane here.
    Break,
}

/// One pad.
#[derive(Debug, Clone, PartialEq)]
pub struct Pad {
    /// Its number in order of use, from 1.
    pub number: usize,
    /// Number of the bay for which it is first used.
    pub bay: usize,
    /// Where, m.
    pub at: P2,
    /// Elevation of the finish there.
    pub elevation: Length,
    /// What the stick must read.
    pub reading: RodReading,
    /// Two tape dimensions that find the spot.
    pub ties: [Tie; 2],
    /// Why it is there.
    pub why: PadFor,
}

/// A line that is struck off from pad to pad, or from form to pad.
#[derive(Debug, Clone, PartialEq)]
pub struct StruckLine {
    /// Number of the bay for which it is first struck.
    pub bay: usize,
    /// From, m.
    pub from: P2,
    /// To, m.
    pub to: P2,
    /// What lies beyond: another bay, a wall, an opening.
    pub beside: RidesOn,
    /// Numbers of the pads on it, in order.
    pub pads: Vec<usize>,
}

/// Pads and the lines between them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PadPlan {
    /// The pads in order of use.
    pub pads: Vec<Pad>,
    /// The lines in order of use.
    pub lines: Vec<StruckLine>,
}

/// Sets the pads of all bays out.
///
/// Along each side that no form or existing slab carries, pads stand no farther apart than the
/// straightedge less one lap, and where the finish changes plane. Refused when the straightedge
/// leaves no span; a pad at which the finish is not known is left out and told.
#[must_use]
pub fn pads(input: &PadInput<'_>) -> Report<PadPlan> {
    let mut notes = Vec::new();
    let span = input.crew.straightedge - input.crew.lap;
    if !span.is_finite() || span.in_metres() <= 0.05 {
        notes.push(Note::fault(
            "straightedge-too-short",
            Place::at("crew.straightedge"),
            format!("{} between pads is too little", quantity::length(span, input.units)),
            "state a longer straightedge or a smaller lap",
        ));
        return Report::refused(notes);
    }
    let mut plan = PadPlan::default();
    for line in spots::lines(input) {
        let found = spots::along(input, &line, span.in_metres());
        let numbers = found
            .iter()
            .filter_map(|&(at, why)| numbered(input, &mut plan.pads, at, why, line.bay))
            .collect();
        plan.lines.push(StruckLine {
            bay: line.bay,
            from: line.from,
            to: line.to,
            beside: line.beside,
            pads: numbers,
        });
    }
    tell_breaks(input, &mut notes);
    tell_unread(&plan, &mut notes);
    Report::with(plan, notes)
}

/// Number of the pad at a spot: a pad that is there already, or a new one.
fn numbered(input: &PadInput<'_>, pads: &mut Vec<Pad>, at: P2, why: PadFor, bay: usize) -> Option<usize> {
    if let Some(known) = pads.iter().find(|p| p.at.distance(at) < spots::APART) {
        return Some(known.number);
    }
    let z = (input.finish)(at).filter(|z| z.is_finite())?;
    let number = pads.len() + 1;
    pads.push(Pad {
        number,
        bay,
        at,
        elevation: Length::metres(z),
        reading: (input.reading)(z),
        ties: ties(input.floor, input.outline, at),
        why,
    });
    Some(number)
}

/// Tells of bays in which the finish changes plane between the two lines that carry the straightedge.
fn tell_breaks(input: &PadInput<'_>, notes: &mut Vec<Note>) {
    // A quarter inch under the straightedge is seen; less is lost in striking off (common practice, no source).
    let seen = 0.006;
    let broken = |bay: &&Bay| {
        // A cross line every metre or so, half a step off the ends and so clear of door tapers.
        let lines = bay.length.in_metres().ceil().clamp(1.0, 64.0);
        (0..lines as usize).any(|i| {
            let [a, b] = bay.line_at(bay.length * ((i as f64 + 0.5) / lines));
            !profile::breaks(a, b, input.finish, seen).is_empty()
        })
    };
    let numbers: Vec<String> =
        input.bays.bays.iter().filter(broken).map(|bay| bay.number.to_string()).collect();
    let bays = match numbers.as_slice() {
        [] => return,
        [only] => format!("bay {only}"),
        [most @ .., last] => format!("bays {} and {last}", most.join(", ")),
    };
    notes.push(Note::warning(
        "break-across-bay",
        Place::job(),
        format!("the finish changes plane across {bays}; one stroke of the straightedge cannot follow it"),
        "strike to a line along the break, or turn the bays with bay_direction",
    ));
}

/// Tells of pads that stand above the laser.
fn tell_unread(plan: &PadPlan, notes: &mut Vec<Note>) {
    let high: Vec<String> = plan
        .pads
        .iter()
        .filter(|p| matches!(p.reading, RodReading::Rod(r) if r.is_finite() && r.in_metres() < 0.0))
        .map(|p| p.number.to_string())
        .collect();
    if !high.is_empty() {
        notes.push(Note::warning(
            "above-the-laser",
            Place::at("forms.setup"),
            format!("pad {} stands above the laser and cannot be read", high.join(", ")),
            "set the laser up higher, or name another set-up",
        ));
    }
}

#[cfg(test)]
mod tests;
