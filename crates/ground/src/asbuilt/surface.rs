//! Triangles over the whole floor from shots of its top.

use basis::{Note, Place, Report};

use crate::finish::FinishSurface;
use crate::outline::{EdgeKind, Floor, OpeningKind, Outline};
use crate::polygon::distance_to_segment;
use crate::ponding::Net;
use crate::survey::LevelledShot;
use crate::tin::{Tin, triangulate};
use crate::{P2, P3, words};

/// Shots farther outside the floor than this are left out, m.
const BESIDE: f64 = 0.05;
/// Shots whose distance from the design an edge point takes.
const NEAREST: usize = 3;
/// How near a vertex lies to the edge or drain at which it lets water off, m.
const ON_EDGE: f64 = 2e-3;
/// Spots along the edges are no closer than this and no farther, m.
const STEPS: std::ops::RangeInclusive<f64> = 0.3..=2.0;

/// Where water can leave the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// Over an edge of the outline, by its number.
    Edge(usize),
    /// Through a door of the outline, by its number.
    Door(usize),
    /// Into an opening or a drain of the outline, by its number.
    Opening(usize),
}

/// The top of the floor as built.
#[derive(Debug, Clone, PartialEq)]
pub struct BuiltSurface {
    /// Triangles that tile the floor.
    pub tin: Tin,
    /// Vertices at which water leaves, rising.
    pub outlets: Vec<usize>,
    /// Shots that it rests on.
    pub shots: usize,
}

/// Joins shots of the finished floor, its edges and its openings by triangles.
///
/// Edges are seldom shot all along. At spots along them the elevation is that of the design plus the mean distance from it of the three
/// nearest shots, weighted by one over the distance squared; a shot on the edge itself thus decides there. Shots more than 50 mm outside
/// are left out with a warning.
///
/// # Errors
/// Refused with fewer than three shots on the floor, and where the shots cannot be joined by triangles.
#[must_use]
pub fn built_surface(
    shots: &[LevelledShot],
    floor: &Floor,
    outline: &Outline,
    design: &FinishSurface,
) -> Report<BuiltSurface> {
    let mut notes = Vec::new();
    let on_floor: Vec<&LevelledShot> = shots.iter().filter(|s| on_the_floor(s, floor, &mut notes)).collect();
    if on_floor.len() < 3 {
        let message = format!("a floor as built needs 3 shots on it, there are {}", on_floor.len());
        let hint = "shoot the finished floor at a dozen spots or more";
        notes.push(Note::fault("too-few-shots-as-built", Place::at("setup"), message, hint));
        return Report::refused(notes);
    }
    let spots: Vec<P3> = on_floor.iter().map(|s| s.at.at(s.z)).collect();
    let off: Vec<(P2, f64)> =
        spots.iter().filter_map(|p| Some((p.plan(), p.z - design.z(p.plan())?))).collect();
    let step = (floor.area / spots.len() as f64).sqrt().clamp(*STEPS.start(), *STEPS.end());
    let rings = std::iter::once(&floor.boundary).chain(&floor.holes);
    let breaks: Vec<Vec<P3>> = rings
        .map(|ring| {
            closed(ring.corners(), step)
                .into_iter()
                .filter_map(|p| Some(p.at(beside(p, &off, design)?)))
                .collect()
        })
        .collect();
    let Some(mut tin) = triangulate(&spots, &breaks).unload(&mut notes) else {
        return Report::refused(notes);
    };
    tin.triangles.retain(|t| {
        let [a, b, c] = t.map(|v| tin.points[v].plan());
        floor.contains((a + b + c) / 3.0)
    });
    let rim = Net::of(&tin).rim();
    let outlets =
        rim.into_iter().filter(|&v| way_off(tin.points[v].plan(), floor, outline).is_some()).collect();
    Report::with(BuiltSurface { tin, outlets, shots: on_floor.len() }, notes)
}

fn on_the_floor(shot: &LevelledShot, floor: &Floor, notes: &mut Vec<Note>) -> bool {
    let off = if floor.boundary.contains(shot.at) { 0.0 } else { floor.boundary.distance_to_edge(shot.at) };
    let in_hole = floor.holes.iter().any(|h| h.contains(shot.at) && h.distance_to_edge(shot.at) > BESIDE);
    if off > BESIDE || in_hole {
        notes.push(Note::in_both(|units| {
            let at = words::spot(shot.at, units);
            let message = format!("as-built shot {} lies off the floor, {at}; it is not used", shot.name);
            Note::warning(
                "as-built-shot-off-the-floor",
                shot.place.clone(),
                message,
                "check where it was taken",
            )
        }));
        return false;
    }
    true
}

/// A ring closed, with spots along its sides.
fn closed(corners: &[P2], step: f64) -> Vec<P2> {
    let n = corners.len();
    let mut run = Vec::new();
    for i in 0..n {
        let (a, b) = (corners[i], corners[(i + 1) % n]);
        let parts = (a.distance(b) / step).ceil().max(1.0) as usize;
        run.extend((0..parts).map(|k| a.lerp(b, k as f64 / parts as f64)));
    }
    run.extend(corners.first());
    run
}

/// Elevation at an edge spot from the design and the shots nearest to it.
fn beside(p: P2, off: &[(P2, f64)], design: &FinishSurface) -> Option<f64> {
    let mut nearest: Vec<(f64, f64)> = Vec::with_capacity(NEAREST + 1);
    for &(at, by) in off {
        let d = p - at;
        let far = d.dot(d);
        if nearest.len() < NEAREST || far < nearest[NEAREST - 1].0 {
            let place = nearest.partition_point(|n| n.0 <= far);
            nearest.insert(place, (far, by));
            nearest.truncate(NEAREST);
        }
    }
    let weights = nearest.iter().map(|n| 1.0 / n.0.max(1e-12));
    let (sum, whole) = nearest.iter().zip(weights).fold((0.0, 0.0), |(s, w), (n, k)| (s + n.1 * k, w + k));
    Some(design.z(p)? + if whole > 0.0 { sum / whole } else { 0.0 })
}

/// Where water leaves at a spot of the floor's edge, if it does.
pub(crate) fn way_off(p: P2, floor: &Floor, outline: &Outline) -> Option<Way> {
    let near = |a: P2, b: P2| distance_to_segment(p, a, b) < ON_EDGE;
    if let Some(door) = floor.doors.iter().find(|d| near(d.a, d.b)) {
        return Some(Way::Door(door.door));
    }
    if let Some(side) = floor.segments.iter().find(|s| s.kind != EdgeKind::Wall && near(s.a, s.b)) {
        return Some(Way::Edge(side.edge));
    }
    let takes_water = |i: &usize| {
        let kind = outline.openings.get(*i).map(|o| o.kind);
        matches!(kind, Some(OpeningKind::Drain | OpeningKind::Opening))
    };
    let hole =
        (0..floor.holes.len()).filter(takes_water).find(|&i| floor.holes[i].distance_to_edge(p) < ON_EDGE)?;
    Some(Way::Opening(hole))
}

impl BuiltSurface {
    /// Where water leaves at a spot, if it does.
    #[must_use]
    pub fn way_off(&self, p: P2, floor: &Floor, outline: &Outline) -> Option<Way> {
        way_off(p, floor, outline)
    }
}
