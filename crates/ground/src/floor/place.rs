//! Where things are along the floor's edge: doors, edge names, tapes to a spot.

use basis::{Length, Note};

use crate::P2;
use crate::outline::{BoundarySegment, EdgeShape, Floor, Outline, PlacedDoor};

/// A distance measured square off a straight edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Tape {
    /// Index of the outline's edge.
    pub edge: usize,
    /// Its name, by its two corners.
    pub name: String,
    /// Square distance from the edge.
    pub distance: Length,
}

/// Name of an edge by its two corners in the user's order, as in `A-B`.
#[must_use]
pub fn edge_name(outline_corners: &[crate::outline::Corner], edge: usize) -> String {
    let n = outline_corners.len();
    match (outline_corners.get(edge), outline_corners.get((edge + 1) % n.max(1))) {
        (Some(a), Some(b)) => format!("{}-{}", a.name, b.name),
        _ => format!("edge {}", edge + 1),
    }
}

/// The unit vector square off a segment, into the floor.
#[must_use]
pub fn inward_normal(segment: &BoundarySegment) -> P2 {
    (segment.b - segment.a).unit().left()
}

/// The two nearest straight edges that are not parallel, each with the square distance to a point.
///
/// A spot is found again with a tape from two edges; they are chosen so that the foot of the tape
/// falls on the edge itself where possible. Fewer than two when the floor has no such edges.
#[must_use]
pub fn tape_from(floor: &Floor, p: P2) -> Vec<Tape> {
    let mut found: Vec<(bool, f64, &BoundarySegment)> = floor
        .segments
        .iter()
        .filter(|s| s.a.distance(s.b) > 0.3)
        .map(|s| {
            let d = (s.b - s.a).unit();
            let run = (p - s.a).dot(d);
            let beside = run < -1e-9 || run > s.a.distance(s.b) + 1e-9;
            (beside, (p - s.a).dot(d.left()).abs(), s)
        })
        .collect();
    found.sort_by(|x, y| x.0.cmp(&y.0).then(x.1.total_cmp(&y.1)));
    let mut chosen: Vec<(f64, &BoundarySegment)> = Vec::new();
    for (_, distance, segment) in found {
        let square_to =
            |o: &BoundarySegment| (segment.b - segment.a).unit().cross((o.b - o.a).unit()).abs() > 0.5;
        if chosen.iter().all(|(_, o)| square_to(o)) {
            chosen.push((distance, segment));
        }
        if chosen.len() == 2 {
            break;
        }
    }
    chosen
        .into_iter()
        .map(|(distance, s)| Tape {
            edge: s.edge,
            name: edge_name(&floor.corners, s.edge),
            distance: Length::metres(distance),
        })
        .collect()
}

/// Sets the doors into their edges, walked with the floor on the left.
pub(super) fn doors(outline: &Outline, turned: bool, notes: &mut Vec<Note>) -> Vec<PlacedDoor> {
    let n = outline.corners.len();
    let mut placed: Vec<(usize, f64, f64)> = Vec::new();
    let mut result = Vec::new();
    for (idx, door) in outline.doors.iter().enumerate() {
        let Some(edge) = outline.edges.get(door.edge) else {
            notes.push(Note::fault(
                "door-edge-unknown",
                door.place.clone(),
                format!("door {} is in an edge that the outline does not have", door.name),
                "name the two corners of the edge that the door is in",
            ));
            continue;
        };
        let (first, last) = (outline.corners[door.edge].at, outline.corners[(door.edge + 1) % n].at);
        let length = first.distance(last);
        let (start, width) = (door.start.in_metres(), door.width.in_metres());
        if let Some((message, hint)) = misfit(door, edge.shape, length) {
            notes.push(Note::fault("door-does-not-fit", door.place.clone(), message, hint));
            continue;
        }
        let overlaps =
            |&&(e, s, w): &&(usize, f64, f64)| e == door.edge && start < s + w && s < start + width;
        if placed.iter().any(|p| overlaps(&p)) {
            notes.push(Note::fault(
                "doors-overlap",
                door.place.clone(),
                format!("door {} overlaps another door of the same edge", door.name),
                "check start and width of both doors",
            ));
            continue;
        }
        placed.push((door.edge, start, width));
        let along = (last - first).unit();
        let (p, q) = (first + along * start, first + along * (start + width));
        let (a, b) = if turned { (q, p) } else { (p, q) };
        let (drop, taper) = (door.drop.in_metres(), door.taper.in_metres());
        result.push(PlacedDoor { door: idx, a, b, drop, taper });
    }
    result
}

/// Why a door cannot stand in its edge, and what to do.
fn misfit(door: &crate::outline::Door, shape: EdgeShape, length: f64) -> Option<(String, &'static str)> {
    let (start, width) = (door.start.in_metres(), door.width.in_metres());
    let (drop, taper) = (door.drop.in_metres(), door.taper.in_metres());
    let name = &door.name;
    if ![start, width, drop, taper].iter().all(|v| v.is_finite()) {
        return Some((format!("door {name} has a size that is no number"), "check its figures"));
    }
    if shape != EdgeShape::Straight {
        return Some((format!("door {name} stands in a curved edge"), "put doors in straight edges"));
    }
    if width <= 0.0 || start < 0.0 || start + width > length + 1e-6 {
        let message = format!(
            "door {name} runs from {start:.3} m to {:.3} m, but its edge is {length:.3} m long",
            start + width
        );
        return Some((message, "measure start and width from the edge's first corner"));
    }
    if drop < 0.0 || taper < 0.0 || (drop > 0.0 && taper == 0.0) {
        let message = format!("door {name} has a drop of {drop:.4} m and a taper of {taper:.4} m");
        return Some((message, "a form set low needs a taper: 1/2 in over 8 to 10 in is common practice"));
    }
    None
}
