//! Points along the floor's edge: corners, jambs, every step, high and low points.

use basis::{Length, UnitSystem};
use ground::P2;
use ground::floor::inward_normal;
use ground::outline::{BoundarySegment, EdgeShape, PlacedDoor};

use super::{FormMark, FormPoint, PrepInput, step};
use crate::bays::edge_name;
use crate::pads::STRAIGHT;
use crate::profile::breaks;

/// A step nearer than this to a corner or a jamb is left out, m.
const APART: f64 = 0.3;
/// Just off a form or a jamb, m: where the surface is asked when it ends or steps at the point itself.
const JUST_OFF: f64 = 1e-3;
/// Most steps along one edge.
const MOST_STEPS: f64 = 200.0;
/// Spacing at which high and low points of an edge are looked for, m.
const SAMPLE: f64 = 0.1;
/// Most samples along one edge.
const MOST_SAMPLES: f64 = 2_000.0;
/// A high or low point must stand out by this from both ends of its edge, m: about 1/16 in.
const STANDS_OUT: f64 = 1.5e-3;

/// The pieces of one edge in the user's order.
pub(super) struct Run<'a> {
    edge: usize,
    pub name: String,
    pieces: Vec<&'a BoundarySegment>,
    /// Whether the boundary is walked against the user's order.
    turned: bool,
}

pub(super) fn points(input: &PrepInput<'_>) -> Vec<FormPoint> {
    let edges = input.floor.corners.len();
    let mut found = Vec::new();
    for edge in 0..edges {
        let Some(run) = Run::of(input, edge) else { continue };
        let start = found.len();
        found.extend(make(input, &run, 0.0, FormMark::Corner, None));
        for door in input.floor.doors.iter() {
            if input.outline.doors.get(door.door).is_some_and(|d| d.edge == edge) {
                jambs(input, &run, door, &mut found);
            }
        }
        steps(input, &run, &mut found, start);
        extremes(input, &run, &mut found, start);
        bends(input, &run, &mut found, start);
        found[start..].sort_by(|a, b| a.along.total_cmp(&b.along).then(a.mark.cmp(&b.mark)));
    }
    found
}

impl<'a> Run<'a> {
    /// The run of an edge, with its points asked from its first corner on.
    pub(super) fn of(input: &PrepInput<'a>, edge: usize) -> Option<Self> {
        let mut pieces: Vec<&BoundarySegment> =
            input.floor.segments.iter().filter(|s| s.edge == edge).collect();
        let first = pieces.first()?;
        let corner = input.floor.corners.get(edge)?.at;
        // Of a straight edge in one piece, the end at the user's first corner tells the order.
        let last_b = pieces[pieces.len() - 1].b;
        let turned = last_b.distance(corner) < first.a.distance(corner);
        if turned {
            pieces.reverse();
        }
        Some(Self { edge, name: edge_name(input.floor, edge), pieces, turned })
    }
    pub(super) fn length(&self) -> f64 {
        self.pieces.iter().map(|s| s.a.distance(s.b)).sum()
    }
    /// The point at a distance along, and the piece it is on.
    pub(super) fn at(&self, along: f64) -> (P2, &'a BoundarySegment) {
        let mut left = along;
        let last = self.pieces.len() - 1;
        for (i, piece) in self.pieces.iter().enumerate() {
            let length = piece.a.distance(piece.b);
            if left <= length || i == last {
                let share = if length > 0.0 { (left / length).clamp(0.0, 1.0) } else { 0.0 };
                let t = if self.turned { 1.0 - share } else { share };
                return (piece.a.lerp(piece.b, t), piece);
            }
            left -= length;
        }
        (self.pieces[last].b, self.pieces[last])
    }
    /// How far along a point of the edge lies.
    fn along(&self, p: P2) -> f64 {
        let mut before = 0.0;
        let mut best = (f64::INFINITY, 0.0);
        for piece in &self.pieces {
            let (from, to) = if self.turned { (piece.b, piece.a) } else { (piece.a, piece.b) };
            let length = from.distance(to);
            let s = (p - from).dot((to - from).unit()).clamp(0.0, length);
            let off = p.distance(from + (to - from).unit() * s);
            if off < best.0 - 1e-12 {
                best = (off, before + s);
            }
            before += length;
        }
        best.1
    }
}

/// The finish at the edge, asked just inside where the surface ends at the point itself.
///
/// At a corner "inside" lies between its two edges, however sharp it is: several ways in are tried.
fn edge_z(input: &PrepInput<'_>, p: P2, piece: &BoundarySegment) -> Option<f64> {
    let inward = inward_normal(piece);
    let tangent =
        (piece.b - piece.a).unit() * if p.distance(piece.a) < p.distance(piece.b) { 1.0 } else { -1.0 };
    let ways = [P2::default(), inward, inward + tangent, inward * 0.2 + tangent];
    ways.iter().find_map(|&way| (input.finish_z)(p + way * JUST_OFF)).filter(|z| z.is_finite())
}

/// A point of the sheet; `z` stands in for the finish where it steps.
fn make(
    input: &PrepInput<'_>,
    run: &Run<'_>,
    along: f64,
    mark: FormMark,
    z: Option<f64>,
) -> Option<FormPoint> {
    let (at, piece) = run.at(along);
    let z = z.or_else(|| edge_z(input, at, piece))?;
    let label = match mark {
        FormMark::Corner => input.floor.corners[run.edge].name.clone(),
        FormMark::High => format!("{} at {}, high point", run.name, distance(along, input.units)),
        FormMark::Low => format!("{} at {}, low point", run.name, distance(along, input.units)),
        FormMark::Bend => format!("{} at {}, bend", run.name, distance(along, input.units)),
        _ => format!("{} at {}", run.name, distance(along, input.units)),
    };
    let (edge, kind, reading) = (run.edge, piece.kind, (input.reading)(z));
    Some(FormPoint { label, edge, kind, mark, along: Length::metres(along), at, z, reading })
}

fn distance(along: f64, units: UnitSystem) -> String {
    basis::quantity::length(Length::metres(along), units)
}

/// Both jambs of a door: full height beside it, dropped in it.
fn jambs(input: &PrepInput<'_>, run: &Run<'_>, door: &PlacedDoor, found: &mut Vec<FormPoint>) {
    let name = &input.outline.doors[door.door].name;
    let (p, q) = (run.along(door.a), run.along(door.b));
    let (low, high) = (p.min(q), p.max(q));
    for (along, outward) in [(low, -1.0), (high, 1.0)] {
        let Some(full) = full_height(input, run, door, along, outward) else { continue };
        let at = distance(along, input.units);
        let mut push = |mark: FormMark, z: f64, word: &str| {
            let label = format!("{name}, jamb at {at}{word}");
            found.extend(make(input, run, along, mark, Some(z)).map(|point| FormPoint { label, ..point }));
        };
        if door.drop == 0.0 {
            push(FormMark::JambFull, full, "");
            continue;
        }
        push(FormMark::JambFull, full, ", full");
        push(FormMark::JambDropped, full - door.drop, ", dropped");
    }
}

/// Height of the floor beside a jamb, or behind the taper where the door ends at a corner.
fn full_height(
    input: &PrepInput<'_>,
    run: &Run<'_>,
    door: &PlacedDoor,
    along: f64,
    outward: f64,
) -> Option<f64> {
    let beside = along + outward * JUST_OFF;
    if beside > 0.0 && beside < run.length() {
        let (p, piece) = run.at(beside);
        return edge_z(input, p, piece);
    }
    let (p, piece) = run.at(along - outward * JUST_OFF);
    (input.finish_z)(p + inward_normal(piece) * (door.taper + JUST_OFF)).filter(|z| z.is_finite())
}

/// A point at every step of the tape from the edge's first corner.
fn steps(input: &PrepInput<'_>, run: &Run<'_>, found: &mut Vec<FormPoint>, start: usize) {
    let (length, step) = (run.length(), step(input.units));
    let step = step.max(length / MOST_STEPS);
    let mut along = step;
    while along < length - APART {
        let near = found[start..].iter().any(|f| (f.along.in_metres() - along).abs() < APART);
        if !near {
            found.extend(make(input, run, along, FormMark::Step, None));
        }
        along += step;
    }
}

/// The highest and the lowest point of an edge where they are not at its ends or at a point listed already.
fn extremes(input: &PrepInput<'_>, run: &Run<'_>, found: &mut Vec<FormPoint>, start: usize) {
    let length = run.length();
    let count = (length / SAMPLE).ceil().clamp(2.0, MOST_SAMPLES);
    let doors = doors_of(input, run);
    let in_door =
        |along: f64| doors.iter().any(|&(low, high)| along > low - JUST_OFF && along < high + JUST_OFF);
    let z = |along: f64| {
        let (p, piece) = run.at(along);
        edge_z(input, p, piece)
    };
    let (Some(first), Some(last)) = (z(0.0), z(length)) else { return };
    let samples: Vec<(f64, f64)> = (1..count as usize)
        .map(|i| length * i as f64 / count)
        .filter(|&along| !in_door(along))
        .filter_map(|along| Some((along, z(along)?)))
        .collect();
    let best = |sign: f64| samples.iter().copied().max_by(|a, b| (sign * a.1).total_cmp(&(sign * b.1)));
    for (mark, sign) in [(FormMark::High, 1.0), (FormMark::Low, -1.0)] {
        let Some((along, top)) = best(sign) else { continue };
        let stands_out = sign * (top - first) > STANDS_OUT && sign * (top - last) > STANDS_OUT;
        let near = found[start..].iter().any(|f| (f.along.in_metres() - along).abs() < SAMPLE);
        if stands_out && !near {
            found.extend(make(input, run, along, mark, None));
        }
    }
}

/// From where to where the doors of an edge run, in order.
fn doors_of(input: &PrepInput<'_>, run: &Run<'_>) -> Vec<(f64, f64)> {
    let here = |d: &&PlacedDoor| input.outline.doors.get(d.door).is_some_and(|o| o.edge == run.edge);
    let span = |d: &PlacedDoor| (run.along(d.a), run.along(d.b));
    let doors = input.floor.doors.iter().filter(here).map(span);
    let mut doors: Vec<(f64, f64)> = doors.map(|(p, q)| (p.min(q), p.max(q))).collect();
    doors.sort_by(|a, b| a.0.total_cmp(&b.0));
    doors
}

/// Where the finish bends along a straight edge: a board between the points beside it would be off there.
fn bends(input: &PrepInput<'_>, run: &Run<'_>, found: &mut Vec<FormPoint>, start: usize) {
    let straight = |e: &ground::outline::Edge| e.shape == EdgeShape::Straight;
    if !input.outline.edges.get(run.edge).is_some_and(straight) {
        return;
    }
    let piece = run.pieces[0];
    let finish = |p: P2| edge_z(input, p, piece);
    let mut from = 0.0;
    for (low, high) in doors_of(input, run).into_iter().chain([(run.length(), run.length())]) {
        // Just off the jambs, where the finish steps.
        let (a, b) = (from + 2.0 * JUST_OFF, low - 2.0 * JUST_OFF);
        from = high;
        if b <= a {
            continue;
        }
        for along in breaks(run.at(a).0, run.at(b).0, &finish, STRAIGHT.in_metres()) {
            let along = a + along;
            if !found[start..].iter().any(|f| (f.along.in_metres() - along).abs() < SAMPLE) {
                found.extend(make(input, run, along, FormMark::Bend, None));
            }
        }
    }
}
