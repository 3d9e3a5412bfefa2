//! Load lines: where each load's concrete ends when the bays are placed in order.
//!
//! Method and limits: `docs/methods/loads.md`.

pub(crate) mod placed;
mod reached;

use basis::{Length, Note, Place, Report, UnitSystem, Volume};
use ground::{P2, Polygon};

pub use placed::{Extent, PlacedBay, PlacedRegion, parse_placed, placed_region};
pub use reached::{Reached, reached_loads};

use crate::bays::Bay;
use crate::words;

/// What load lines are figured from.
#[derive(Clone, Copy)]
pub struct LoadInput<'a> {
    /// The bays in order of placing.
    pub bays: &'a [Bay],
    /// The loads in the order in which they come.
    pub loads: &'a [Volume],
    /// Extra concrete as a share of the forms' volume.
    pub allowance: f64,
    /// Fixed loss; it falls on the floor by volume.
    pub loss: Volume,
    /// Volume in the forms within a convex window.
    pub volume: &'a dyn Fn(&Polygon) -> Volume,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// The loads on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadPlan {
    /// Volume in the forms of each bay, in order.
    pub bays: Vec<Volume>,
    /// Volume in the forms of all bays.
    pub forms: Volume,
    /// One line a load.
    pub lines: Vec<LoadLine>,
    /// Volume in the forms that no load covers.
    pub uncovered: Volume,
}

/// Where one load ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadLine {
    /// Number of the load, from 1.
    pub load: usize,
    /// What the ticket says.
    pub size: Volume,
    /// Volume in the forms that it covers, after allowance and loss.
    pub covers: Volume,
    /// Volume in the forms covered by it and all loads before.
    pub covered: Volume,
    /// Volume in the forms that it would still cover when the floor is full.
    pub over: Volume,
    /// Where it ends.
    pub end: LoadEnd,
}

/// A place on the floor where a load ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadEnd {
    /// Number of the bay.
    pub bay: usize,
    /// Tape from the bay's start.
    pub along: Length,
    /// The line across the bay, m.
    pub line: [P2; 2],
}

/// Walks the bays in order and finds where each load ends.
///
/// A load of size `q` covers `q/(1 + a + L/V)` of the forms, with `a` the allowance, `L` the loss and `V` the volume in all
/// forms: the loss spreads over the floor by volume, as in the last-load call. Refused when a load, the allowance, the loss or a bay's volume is no such thing.
#[must_use]
pub fn loads(input: &LoadInput<'_>) -> Report<LoadPlan> {
    let mut notes = Vec::new();
    let ordered: Volume = input.loads.iter().copied().sum();
    let volumes: Vec<Volume> = input.bays.iter().map(|bay| (input.volume)(&bay.window)).collect();
    check(input, ordered, &volumes, &mut notes);
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let forms: Volume = volumes.iter().copied().sum();
    let lost = if forms > Volume::ZERO { input.loss / forms } else { 0.0 };
    let worth = 1.0 / (1.0 + input.allowance + lost);
    let mut lines = Vec::new();
    let mut covered = Volume::cubic_metres(0.0);
    for (index, &size) in input.loads.iter().enumerate() {
        let could = size * worth;
        // The last crumb is rounding: a load that fills the floor but for it fills the floor.
        let fills = covered + could >= forms - forms * 1e-9;
        let covers = if fills { forms - covered } else { could };
        covered = if fills { forms } else { covered + could };
        let end = end_at(input, &volumes, covered);
        let over = (could - covers).max(Volume::cubic_metres(0.0));
        lines.push(LoadLine { load: index + 1, size, covers, covered, over, end });
    }
    let uncovered = forms - covered;
    tell(input, &lines, uncovered, &mut notes);
    Report::with(LoadPlan { bays: volumes, forms, lines, uncovered }, notes)
}

fn check(input: &LoadInput<'_>, ordered: Volume, volumes: &[Volume], notes: &mut Vec<Note>) {
    let zero = Volume::cubic_metres(0.0);
    let sound = |v: Volume| v.is_finite() && v >= zero;
    if input.bays.is_empty() || input.loads.is_empty() {
        notes.push(Note::fault(
            "no-load-lines",
            Place::job(),
            "there is no bay or no load",
            "check floor and order",
        ));
    }
    if !input.loads.iter().all(|&q| q.is_finite() && q > zero) || !ordered.is_finite() {
        notes.push(Note::fault(
            "load-impossible",
            Place::job(),
            "a load is not a positive volume",
            "state every load as more than 0",
        ));
    }
    if !input.allowance.is_finite() || input.allowance <= -1.0 || !sound(input.loss) {
        notes.push(Note::fault(
            "load-allowance-impossible",
            Place::at("order.allowance"),
            "the allowance or the loss is no such thing",
            "state the allowance as a share and the loss as 0 or more",
        ));
    }
    for (bay, _) in input.bays.iter().zip(volumes).filter(|(_, v)| !sound(**v)) {
        notes.push(Note::fault(
            "bay-volume-impossible",
            Place::job(),
            format!("the forms of bay {} hold no volume that is a number", bay.number),
            "check base and finish there",
        ));
    }
}

/// Where a volume counted from the first bay's start ends.
fn end_at(input: &LoadInput<'_>, volumes: &[Volume], covered: Volume) -> LoadEnd {
    let mut before = Volume::cubic_metres(0.0);
    let last = input.bays.len() - 1;
    for (i, bay) in input.bays.iter().enumerate() {
        // A load that just fills a bay ends there, not at the start of the next one.
        if covered <= before + volumes[i] * (1.0 + 1e-9) || i == last {
            let along = cut(bay, volumes[i], covered - before, input.volume);
            return LoadEnd { bay: bay.number, along, line: bay.line_at(along) };
        }
        before += volumes[i];
    }
    let bay = &input.bays[last];
    LoadEnd { bay: bay.number, along: bay.length, line: bay.line_at(bay.length) }
}

/// Distance from a bay's start behind which its forms hold `wanted`, to 0.1 mm.
///
/// False position that halves the stale end (the Illinois rule, from memory), safe because volume
/// only grows along the bay; at most 100 steps.
fn cut(bay: &Bay, all: Volume, wanted: Volume, volume: &dyn Fn(&Polygon) -> Volume) -> Length {
    let zero = Length::metres(0.0);
    if wanted >= all {
        return bay.length;
    }
    if wanted.in_cubic_metres() <= 0.0 {
        return zero;
    }
    let miss = |s: f64| {
        bay.behind(Length::metres(s)).map_or(0.0, |w| volume(&w).in_cubic_metres()) - wanted.in_cubic_metres()
    };
    let (mut low, mut high) = (0.0, bay.length.in_metres());
    let (mut below, mut above) = (-wanted.in_cubic_metres(), (all - wanted).in_cubic_metres());
    let mut kept = 0i8;
    for _ in 0..100 {
        if high - low < 1e-4 {
            break;
        }
        let share = below / (below - above);
        let s = if share > 0.0 && share < 1.0 { low + (high - low) * share } else { 0.5 * (low + high) };
        let off = miss(s);
        if off.abs() <= 1e-12 * all.in_cubic_metres() {
            return Length::metres(s);
        }
        if off < 0.0 {
            (low, below) = (s, off);
            above *= if kept == -1 { 0.5 } else { 1.0 };
            kept = -1;
        } else {
            (high, above) = (s, off);
            below *= if kept == 1 { 0.5 } else { 1.0 };
            kept = 1;
        }
    }
    Length::metres(0.5 * (low + high))
}

fn tell(input: &LoadInput<'_>, lines: &[LoadLine], uncovered: Volume, notes: &mut Vec<Note>) {
    if uncovered.in_cubic_metres() > 0.0 {
        notes.push(Note::warning(
            "loads-do-not-fill",
            Place::job(),
            format!(
                "the loads leave {} of the forms empty at the expected allowance and loss",
                words::volume(uncovered, input.units)
            ),
            "order more, or call the balance when the line shows how the pour goes",
        ));
    }
    let needless = lines.iter().filter(|l| l.covers.in_cubic_metres() <= 0.0).count();
    if needless > 0 {
        notes.push(Note::warning(
            "load-not-needed",
            Place::job(),
            format!("{needless} of {} loads come after the forms are full", lines.len()),
            "order less, or hold the last load",
        ));
    }
}

#[cfg(test)]
mod tests;
