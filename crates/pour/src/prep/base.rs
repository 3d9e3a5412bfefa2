//! The grid of spots on the base.

use basis::Length;
use ground::P2;
use ground::polygon::distance_to_segment;

use super::{BasePoint, PrepInput, step};
use crate::pads::ties;

/// A spot nearer than this to the edge or an opening is left out, m: the form is in the way.
const CLEAR: f64 = 0.15;
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
            found.extend(point(input, along * s + across * t, format!("{}-{}", row + 1, column + 1)));
        }
    }
    found
}

fn point(input: &PrepInput<'_>, at: P2, label: String) -> Option<BasePoint> {
    let floor = input.floor;
    let rings = std::iter::once(&floor.boundary).chain(&floor.holes);
    let clear = rings.flat_map(|r| r.edges()).all(|(a, b)| distance_to_segment(at, a, b) >= CLEAR);
    if !clear || !floor.contains(at) {
        return None;
    }
    let z = (input.finish_z)(at)? - input.nominal.in_metres();
    if !z.is_finite() {
        return None;
    }
    let cut = (input.base_z)(at).filter(|b| b.is_finite()).map(|b| Length::metres(b - z));
    let (ties, reading) = (ties(floor, input.outline, at), (input.reading)(z));
    Some(BasePoint { label, at, ties, z, reading, cut })
}

/// Least and greatest of points in a direction.
fn reach(points: &[P2], direction: P2) -> (f64, f64) {
    let values = points.iter().map(|p| p.dot(direction));
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
}
