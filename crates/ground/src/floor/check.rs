//! What an outline must satisfy before it can be laid out.

use basis::Note;

use crate::outline::{BoundarySegment, Outline};
use crate::point::turn;
use crate::polygon::signed_area;
use crate::{P2, Polygon, words};

use super::{edge_name, polygon_of};

/// Farthest coordinate accepted, m: beyond it a unit or a digit has slipped.
const FARTHEST: f64 = 10_000.0;

/// Most corners accepted: more is a drawing of something else.
const MOST_CORNERS: usize = 10_000;
/// Crossings looked for before the search ends.
const MOST_CROSSINGS: usize = 100;

/// Corners: enough, finite, near, not repeated in place or name, with one edge each, round some area.
pub(super) fn corners(outline: &Outline, notes: &mut Vec<Note>) {
    let n = outline.corners.len();
    if n < 3 || outline.edges.len() != n {
        notes.push(Note::fault(
            "too-few-corners",
            outline.place.clone(),
            format!(
                "a floor has at least 3 corners with an edge each; this has {n} and {}",
                outline.edges.len()
            ),
            "add the missing corners",
        ));
        return;
    }
    if n > MOST_CORNERS {
        notes.push(Note::fault(
            "too-many-corners",
            outline.place.clone(),
            format!("an outline of {n} corners is no floor's"),
            "draw curves as arcs",
        ));
        return;
    }
    for corner in &outline.corners {
        let (x, y) = (corner.at.x, corner.at.y);
        if !corner.at.is_finite() || x.abs() > FARTHEST || y.abs() > FARTHEST {
            notes.push(Note::fault(
                "corner-out-of-range",
                corner.place.clone(),
                format!("corner {} stands at {x:e}, {y:e} m: no floor is that far out", corner.name),
                "check the figures and their units",
            ));
        }
    }
    for i in 0..n {
        let (a, b) = (&outline.corners[i], &outline.corners[(i + 1) % n]);
        if a.at.distance(b.at) < 0.001 {
            notes.push(Note::fault(
                "corner-repeated",
                b.place.clone(),
                format!("corners {} and {} are the same spot", a.name, b.name),
                "take one of them out; the last corner is joined to the first by itself",
            ));
        }
    }
    names(outline, notes);
    if basis::has_fault(notes) {
        return;
    }
    let ring: Vec<P2> = outline.corners.iter().map(|c| c.at).collect();
    if signed_area(&ring).abs() < 0.01 {
        notes.push(Note::fault(
            "outline-without-area",
            outline.place.clone(),
            "the corners enclose no floor",
            "list the corners in order round the floor",
        ));
    }
}

/// No two corners have one name: edges and doors are told by the names of their corners.
fn names(outline: &Outline, notes: &mut Vec<Note>) {
    let mut seen = std::collections::BTreeMap::new();
    for corner in &outline.corners {
        if let Some(first) = seen.insert(&corner.name, &corner.place) {
            notes.push(Note::fault(
                "corner-name-repeated",
                corner.place.clone(),
                format!("corner \"{}\" is there twice; the other is {first}", corner.name),
                "give one of them another name",
            ));
        }
    }
}

/// Whether two segments share a point other than a common end.
fn cross(p: &BoundarySegment, q: &BoundarySegment) -> bool {
    let (d1, d2) = (turn(q.a, q.b, p.a), turn(q.a, q.b, p.b));
    let (d3, d4) = (turn(p.a, p.b, q.a), turn(p.a, p.b, q.b));
    if d1 * d2 < 0.0 && d3 * d4 < 0.0 {
        return true;
    }
    let touches = |d: f64, s: &BoundarySegment, point: P2| {
        let tolerance = 1e-9 * (1.0 + s.a.distance(s.b));
        d.abs() <= tolerance && (point - s.a).dot(point - s.b) < -tolerance
    };
    touches(d1, q, p.a) || touches(d2, q, p.b) || touches(d3, p, q.a) || touches(d4, p, q.b)
}

/// No two segments of the boundary cross or touch; each pair of edges is named once.
pub(super) fn crossings(outline: &Outline, segments: &[BoundarySegment], notes: &mut Vec<Note>) {
    // A sweep over the left ends keeps thousands of chords from being paired all with all.
    let span = |s: &BoundarySegment| (s.a.x.min(s.b.x), s.a.x.max(s.b.x));
    let mut order: Vec<usize> = (0..segments.len()).collect();
    order.sort_by(|&i, &j| span(&segments[i]).0.total_cmp(&span(&segments[j]).0));
    let mut told: Vec<(usize, usize)> = Vec::new();
    for (k, &i) in order.iter().enumerate() {
        for &j in &order[k + 1..] {
            if told.len() >= MOST_CROSSINGS || span(&segments[j]).0 > span(&segments[i]).1 + 1e-9 {
                break;
            }
            let pair = (segments[i].edge.min(segments[j].edge), segments[i].edge.max(segments[j].edge));
            if !told.contains(&pair) && cross(&segments[i], &segments[j]) {
                told.push(pair);
            }
        }
    }
    told.sort_unstable();
    for (i, j) in told.into_iter().take(20) {
        let (first, second) = (edge_name(&outline.corners, i), edge_name(&outline.corners, j));
        notes.push(Note::fault(
            "outline-crosses-itself",
            outline.edges[i].place.clone(),
            format!("edge {first} crosses or touches edge {second}"),
            "list the corners in order round the floor, and check their figures",
        ));
    }
}

/// Whether the edges of two rings cross, or one ring lies in the other.
fn meet(a: &Polygon, b: &Polygon) -> bool {
    let overlap = |p: &Polygon, q: &Polygon| p.corners().iter().any(|&c| q.contains(c));
    overlap(a, b) || overlap(b, a) || edges_cross(a, b)
}

fn edges_cross(a: &Polygon, b: &Polygon) -> bool {
    a.edges().any(|(p, q)| {
        b.edges().any(|(r, s)| turn(r, s, p) * turn(r, s, q) < 0.0 && turn(p, q, r) * turn(p, q, s) < 0.0)
    })
}

/// Whether a ring lies inside the boundary without touching it.
fn lies_inside(ring: &Polygon, boundary: &Polygon) -> bool {
    ring.corners()
        .iter()
        .all(|&c| c.is_finite() && boundary.contains(c) && boundary.distance_to_edge(c) > 1e-6)
        && !boundary.corners().iter().any(|&c| ring.contains(c))
        && !edges_cross(ring, boundary)
}

/// Whether the edges of a ring cross each other.
fn crosses_itself(ring: &Polygon) -> bool {
    let edges: Vec<(P2, P2)> = ring.edges().collect();
    edges.iter().enumerate().any(|(i, &(p, q))| {
        edges[i + 1..]
            .iter()
            .any(|&(r, s)| turn(r, s, p) * turn(r, s, q) < 0.0 && turn(p, q, r) * turn(p, q, s) < 0.0)
    })
}

/// Openings as polygons: inside the outline and apart from each other.
pub(super) fn holes(outline: &Outline, boundary: &Polygon, notes: &mut Vec<Note>) -> Vec<Polygon> {
    let mut holes: Vec<Polygon> = Vec::new();
    for opening in &outline.openings {
        let ring = polygon_of(&opening.shape);
        let fault = if ring.corners().len() < 3 || ring.area() < 1e-6 || !ring.area().is_finite() {
            Some(("opening-without-area", "has no area", "give it a size"))
        } else if ring.corners().len() > MOST_CORNERS || crosses_itself(&ring) {
            Some(("opening-crosses-itself", "crosses itself", "list its corners in order round it"))
        } else if !lies_inside(&ring, boundary) {
            Some((
                "opening-outside",
                "is not wholly inside the outline",
                "move it, or make it part of the outline where it meets the edge",
            ))
        } else if holes.iter().any(|h| meet(h, &ring)) {
            Some(("openings-overlap", "meets another opening", "draw the two as one opening"))
        } else {
            None
        };
        match fault {
            Some((code, what, hint)) => {
                let message = format!("opening {} {what}", opening.name);
                notes.push(Note::fault(code, opening.place.clone(), message, hint));
            }
            None => holes.push(ring),
        }
    }
    holes
}

/// Footings: some area, inside the outline.
pub(super) fn footings(outline: &Outline, boundary: &Polygon, notes: &mut Vec<Note>) {
    for footing in &outline.footings {
        let ring = polygon_of(&footing.shape);
        let inside = ring.corners().iter().all(|&c| c.is_finite() && boundary.contains(c));
        let sized = ring.corners().len() >= 3 && ring.area() > 1e-6 && footing.depth.in_metres() > 0.0;
        if !inside || !sized || edges_cross(&ring, boundary) {
            notes.push(Note::fault(
                "footing-outside",
                footing.place.clone(),
                format!("footing {} has no size or is not wholly inside the outline", footing.name),
                "give it a depth and a size, and keep it within the floor's edge",
            ));
        }
    }
}

/// Thickened edges: known, with a depth, and not wider than the floor.
pub(super) fn thickened(outline: &Outline, boundary: &Polygon, notes: &mut Vec<Note>) {
    let (low, high) = boundary.bounds();
    let narrow = (high.x - low.x).min(high.y - low.y);
    for part in &outline.thickened {
        let (depth, flat, haunch) = (part.depth.in_metres(), part.flat.in_metres(), part.haunch.in_metres());
        let sound = [depth, flat, haunch].iter().all(|v| v.is_finite() && *v >= 0.0);
        if outline.edges.get(part.edge).is_none() || !sound || depth == 0.0 || flat + haunch == 0.0 {
            notes.push(Note::fault(
                "thickened-edge-without-size",
                part.place.clone(),
                "a thickened edge needs an edge of the outline, a depth and a width",
                "give its edge by two corners, its depth and its flat width",
            ));
        } else if flat + haunch > narrow {
            notes.push(Note::in_both(|units| {
                let [wide, floor] = [flat + haunch, narrow].map(|metres| words::long(metres, units));
                Note::warning(
                    "thickened-edge-wider-than-floor",
                    part.place.clone(),
                    format!("the thickened edge is {wide} wide, the floor only {floor}"),
                    "check its flat and haunch",
                )
            }));
        }
    }
}
