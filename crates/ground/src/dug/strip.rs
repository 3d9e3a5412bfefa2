//! Strips of one section along a closed chain of lines: a flat, then a bank up to the base.

use crate::point::turn;
use crate::polygon::signed_area;
use crate::{Facet, P2, Plane};

/// A section square to a line, from the line to its left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Section {
    /// Depth of the flat, m.
    pub depth: f64,
    /// Width of the flat, m.
    pub flat: f64,
    /// Width of the bank, m.
    pub haunch: f64,
}

impl Section {
    fn width(&self) -> f64 {
        self.flat + self.haunch
    }
}

/// A line of the chain; the next one starts where it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Line {
    /// From.
    pub a: P2,
    /// To.
    pub b: P2,
    /// Lines of the same run belong to one arc or one edge split by jambs.
    pub run: usize,
    /// What is dug along it, if anything.
    pub section: Option<Section>,
}

/// Mitres longer than this many widths are cut square.
const LONGEST_MITRE: f64 = 4.0;

/// Flats and banks along all lines that have a section.
pub(super) fn strips(lines: &[Line]) -> Vec<Facet> {
    let n = lines.len();
    let mut facets = Vec::new();
    for i in 0..n {
        let line = &lines[i];
        let Some(section) = line.section else { continue };
        if section.depth <= 0.0 || section.width() <= 0.0 || line.a == line.b {
            continue;
        }
        let start = lean(&lines[(i + n - 1) % n], line).map_or(0.0, |l| l.1);
        let end = lean(line, &lines[(i + 1) % n]).map_or(0.0, |l| l.0);
        along(line, &section, start, end, &mut facets);
    }
    facets
}

/// How far each of two lines that meet runs on past their corner for each metre inward, up to the mitre.
///
/// `None` where both end square: at a corner that turns to the inside (there the strips overlap and the
/// deeper wins) unless both are chords of one arc, and beside a line without section.
fn lean(before: &Line, after: &Line) -> Option<(f64, f64)> {
    let (first, second) = (before.section?, after.section?);
    let (u, v) = ((before.b - before.a).unit(), (after.b - after.a).unit());
    let sine = u.cross(v);
    let reflex = sine < -1e-12;
    if !reflex && (before.run != after.run || sine < 1e-12) {
        return None;
    }
    // Where the two outer lines of the strips meet, seen from the corner.
    let (w1, w2) = (first.width(), second.width());
    let meet = before.b + v * ((w1 - w2 * u.dot(v)) / sine) + v.left() * w2;
    let from = meet - before.b;
    if from.norm() > LONGEST_MITRE * w1.max(w2) {
        return None;
    }
    Some((from.dot(u) / w1, -from.dot(v) / w2))
}

/// The flat and the bank of one line, whose ends lean by `start` and `end` metres outward for a metre inward.
fn along(line: &Line, section: &Section, start: f64, end: f64, facets: &mut Vec<Facet>) {
    let d = (line.b - line.a).unit();
    let inward = d.left();
    let at = |depth: f64| {
        (line.a - d * (start * depth) + inward * depth, line.b + d * (end * depth) + inward * depth)
    };
    let (from_a, from_b) = at(0.0);
    let (flat_a, flat_b) = at(section.flat);
    let (far_a, far_b) = at(section.width());
    if (far_b - far_a).dot(d) < 0.0 {
        // A tight inside arc: ends cannot both be mitred; overlapping square strips hold the same depth.
        return along(line, section, start.max(0.0), end.max(0.0), facets);
    }
    let mut push = |ring: Vec<P2>, plane: Plane| {
        if signed_area(&ring) > 1e-14 {
            facets.push(Facet { ring, plane });
        }
    };
    push(vec![from_a, from_b, flat_b, flat_a], Plane::level(section.depth));
    if section.haunch > 0.0 {
        let slope = inward * (-section.depth / section.haunch);
        let bank = Plane { at: flat_a, z0: section.depth, gx: slope.x, gy: slope.y };
        push(vec![flat_a, flat_b, far_b, far_a], bank);
    }
    debug_assert!(turn(line.a, line.b, far_a) >= 0.0);
}
