//! The grid of spots on the base.

use basis::Length;
use ground::P2;
use ground::floor::{inward_normal, polygon_of};
use ground::polygon::{centroid, distance_to_segment};

use super::forms::Run;
use super::{BasePoint, PrepInput, step};
use crate::pads::ties;

/// A spot nearer than this to the edge or an opening is left out, m: the form is in the way.
const CLEAR: f64 = 0.15;
/// The bottom of a section without a flat is asked just inside the form, m.
const AT_THE_FORM: f64 = 1e-3;
/// Most spots to a row and most rows: a larger floor gets a coarser grid.
const MOST: f64 = 100.0;

/// Spots in rows along the longest edge, in the middles of equal squares no wider than the step.
pub(super) fn points(input: &PrepInput<'_>) -> Vec<BasePoint> {
    let floor = input.floor;
    let along = floor
        .segments
        .iter()
        .map(|s| s.b - s.a)
        .fold(P2::default(), |a, b| if b.norm() > a.norm() + 1e-9 { b } else { a })
        .unit();
    let across = along.left();
    let (s0, s1) = reach(floor.boundary.corners(), along);
    let (t0, t1) = reach(floor.boundary.corners(), across);
    let count = |length: f64| (length / step(input.units) - 1e-9).ceil().clamp(1.0, MOST);
    let (columns, rows) = (count(s1 - s0), count(t1 - t0));
    if !(columns.is_finite() && rows.is_finite()) {
        return Vec::new();
    }
    let mut found = Vec::new();
    for row in 0..rows as usize {
        for column in 0..columns as usize {
            let s = s0 + (s1 - s0) * (column as f64 + 0.5) / columns;
            let t = t0 + (t1 - t0) * (row as f64 + 0.5) / rows;
            let at = along * s + across * t;
            if clear(input, at) {
                found.extend(point(input, at, format!("{}-{}", row + 1, column + 1)));
            }
        }
    }
    found
}

/// Bottoms of what is dug: along each thickened edge, and in the middle of each pad and footing.
pub(super) fn bottoms(input: &PrepInput<'_>) -> Vec<BasePoint> {
    let mut found = Vec::new();
    for thickened in &input.outline.thickened {
        let Some(run) = Run::of(input, thickened.edge) else { continue };
        // In the middle of the flat bottom; of a section that is all haunch, at the form.
        let inside = (0.5 * thickened.flat.in_metres()).max(AT_THE_FORM);
        let length = run.length();
        let spans = ((length - 2.0 * CLEAR) / step(input.units)).ceil().clamp(1.0, MOST);
        if !spans.is_finite() || length < 2.0 * CLEAR {
            continue;
        }
        for i in 0..=spans as usize {
            let along = CLEAR + (length - 2.0 * CLEAR) * i as f64 / spans;
            let (at, piece) = run.at(along);
            let at = at + inward_normal(piece) * inside;
            let place = basis::quantity::length(Length::metres(along), input.units);
            found.extend(bottom(input, at, format!("{} at {place}, bottom", run.name)));
        }
    }
    for footing in &input.outline.footings {
        let middle = centroid(polygon_of(&footing.shape).corners());
        found.extend(bottom(input, middle, format!("{}, bottom", footing.name)));
    }
    found
}

fn bottom(input: &PrepInput<'_>, at: P2, label: String) -> Option<BasePoint> {
    (input.floor.contains(at) && (input.dug)(at) > Length::ZERO).then(|| point(input, at, label))?
}

/// Whether a spot lies on the floor, clear of forms and openings.
fn clear(input: &PrepInput<'_>, at: P2) -> bool {
    let floor = input.floor;
    let rings = std::iter::once(&floor.boundary).chain(&floor.holes);
    rings.flat_map(|r| r.edges()).all(|(a, b)| distance_to_segment(at, a, b) >= CLEAR) && floor.contains(at)
}

fn point(input: &PrepInput<'_>, at: P2, label: String) -> Option<BasePoint> {
    let dug = (input.dug)(at);
    let z = (input.finish_z)(at)? - (input.nominal + dug).in_metres();
    if !z.is_finite() {
        return None;
    }
    let cut = (input.base_z)(at).filter(|b| b.is_finite()).map(|b| Length::metres(b - z));
    let (ties, reading) = (ties(input.floor, input.outline, at), (input.reading)(z));
    Some(BasePoint { label, at, ties, dug, z, reading, cut })
}

/// Least and greatest of points in a direction.
fn reach(points: &[P2], direction: P2) -> (f64, f64) {
    let values = points.iter().map(|p| p.dot(direction));
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
}
