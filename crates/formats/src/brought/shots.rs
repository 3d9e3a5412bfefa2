//! Shots that a survey or a drawing brings: spots with elevations, as readings under a level plane.

use basis::quantity::length;
use basis::{Length, Note, Place, Report, UnitSystem};
use ground::survey::ShotOn;
use ground::{P2, P3};

use super::{Brought, Layer};
use crate::quantity::shown;

/// Spots farther than this from the plan's origin are told, m.
const FAR: f64 = 1000.0;

/// Spots of one base differ by less than this in elevation, m: a rod is not longer.
const TALLEST: f64 = 5.0;

/// What is wanted of a file.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotWish {
    /// The layers whose spots and triangles are taken; without any the only one that holds some.
    pub layers: Vec<String>,
    /// The point of the file that is the origin of the plan, m.
    pub origin: Option<P2>,
    /// What the spots stand on.
    pub on: ShotOn,
    /// Name of the set-up that they come as.
    pub setup: String,
    /// Units in which lengths are told and written.
    pub units: UnitSystem,
}

/// Shots as they were taken.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenShots {
    /// Name of their set-up.
    pub setup: String,
    /// What they stand on.
    pub on: ShotOn,
    /// Elevation of the level plane that they are read under: a whole foot or metre above the highest.
    pub plane: Length,
    /// Names and spots, m.
    pub shots: Vec<(String, P3)>,
}

/// Takes the spots of a file, and the corners of its triangles, as shots.
///
/// # Errors
/// Refused when a layer is not there, when more than one holds spots and none is named, when there is no spot, when the spots stand
/// farther than 1 km from the origin of the plan, and when they differ by over 5 m in elevation.
#[must_use]
pub fn shots_of(brought: &Brought, wish: &ShotWish) -> Report<TakenShots> {
    let mut notes = Vec::new();
    let taken = taken(brought, wish, &mut notes);
    match taken {
        Some(taken) if !basis::report::has_fault(&notes) => Report::with(taken, notes),
        _ => Report::refused(notes),
    }
}

fn taken(brought: &Brought, wish: &ShotWish, notes: &mut Vec<Note>) -> Option<TakenShots> {
    let layers = layers_of(brought, wish, notes)?;
    let origin = wish.origin.unwrap_or_default();
    let mut shots: Vec<(Option<String>, P3)> = Vec::new();
    for layer in &layers {
        shots.extend(layer.spots.iter().map(|spot| (spot.name.clone(), spot.at)));
        shots.extend(corners(layer).into_iter().map(|at| (None, at)));
    }
    shots.iter_mut().for_each(|(_, at)| (at.x, at.y) = (at.x - origin.x, at.y - origin.y));
    if let Some((_, far)) = shots.iter().find(|(_, at)| at.x.abs() > FAR || at.y.abs() > FAR) {
        let said = |metres: f64| length(Length::metres(metres), wish.units);
        let message = format!("a spot stands at {}, {}", said(far.x), said(far.y));
        let hint = "say which point of the file is the origin of the plan";
        notes.push(Note::fault("far-from-origin", Place::job(), message, hint));
    }
    if layers.iter().any(|layer| !layer.faces.is_empty()) {
        let message = "only the corners of the triangles are taken: the base is drawn anew through them";
        notes.push(Note::remark("triangles-as-spots", Place::job(), message));
    }
    let highest = shots.iter().map(|(_, at)| at.z).fold(f64::NEG_INFINITY, f64::max);
    if !highest.is_finite() {
        let hint = "check the layer; a base is shot at six spots at least";
        notes.push(Note::fault("no-spot", Place::job(), "there is no spot with an elevation", hint));
        return None;
    }
    let lowest = shots.iter().map(|(_, at)| at.z).fold(f64::INFINITY, f64::min);
    if highest - lowest > TALLEST {
        let said = |metres: f64| length(Length::metres(metres), wish.units);
        let message = format!("the spots stand between {} and {}", said(lowest), said(highest));
        let hint = "that is no one base: choose its layer, and check the unit";
        notes.push(Note::fault("not-one-base", Place::job(), message, hint));
    }
    let step = if wish.units == UnitSystem::Us { 0.3048 } else { 1.0 };
    let plane = Length::metres(((highest / step).floor() + 1.0) * step);
    let message = format!(
        "the shots come as readings under a level plane at {}, where no laser stands",
        length(plane, wish.units)
    );
    let hint = "set the laser up on a benchmark before forms and pads are read";
    notes.push(Note::warning("level-plane", Place::job(), message, hint));
    Some(TakenShots { setup: wish.setup.clone(), on: wish.on, plane, shots: named(shots) })
}

fn holds(layer: &Layer) -> bool {
    !layer.spots.is_empty() || !layer.faces.is_empty()
}

fn layers_of<'b>(brought: &'b Brought, wish: &ShotWish, notes: &mut Vec<Note>) -> Option<Vec<&'b Layer>> {
    let with: Vec<&Layer> = brought.layers.iter().filter(|layer| holds(layer)).collect();
    let names =
        || with.iter().map(|layer| format!("\"{}\"", shown(&layer.name))).collect::<Vec<_>>().join(", ");
    let mut fault =
        |code, message: String, hint: String| notes.push(Note::fault(code, Place::job(), message, hint));
    if wish.layers.is_empty() {
        if with.len() > 1 {
            fault(
                "which-layer",
                format!("{} layers hold spots", with.len()),
                format!("name those to take: {}", names()),
            );
            return None;
        }
        return Some(with);
    }
    let mut found = Vec::new();
    for name in &wish.layers {
        match with.iter().find(|layer| layer.name == *name) {
            Some(layer) => found.push(*layer),
            None => {
                let hint = format!("layers with spots: {}", names());
                fault("which-layer", format!("no layer \"{}\" holds spots", shown(name)), hint);
            }
        }
    }
    Some(found)
}

/// The corners of a layer's triangles, each once, in the order in which they are met.
fn corners(layer: &Layer) -> Vec<P3> {
    let mut seen = std::collections::BTreeSet::new();
    let key = |p: &P3| [p.x, p.y, p.z].map(f64::to_bits);
    layer.faces.iter().flatten().filter(|p| seen.insert(key(p))).copied().collect()
}

/// Names for all: a spot without one is numbered, a name that comes again gets a number of its own.
fn named(shots: Vec<(Option<String>, P3)>) -> Vec<(String, P3)> {
    let mut taken: std::collections::BTreeSet<String> =
        shots.iter().filter_map(|(name, _)| name.clone()).collect();
    let mut used = std::collections::BTreeSet::new();
    let mut next = 1_usize;
    let mut number = |taken: &mut std::collections::BTreeSet<String>| loop {
        let name = next.to_string();
        next += 1;
        if taken.insert(name.clone()) {
            return name;
        }
    };
    let name = |(name, at): (Option<String>, P3)| match name
        .filter(|n| !n.trim().is_empty() && n.chars().count() <= 80)
    {
        Some(name) if used.insert(name.clone()) => (name, at),
        _ => (number(&mut taken), at),
    };
    shots.into_iter().map(name).collect()
}
