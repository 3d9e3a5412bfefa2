//! Lays out the floor: arcs drawn as chords, doors set in, openings cut out, everything checked.
//!
//! An arc is drawn with chords whose sagitta is at most 1 mm and whose ends lie on the circle. A round
//! opening becomes a polygon of 32 sides with the area of the circle, so that no volume is lost.

mod check;
mod place;

use basis::math::{asin, atan2, cos, sin};
use basis::{Note, Place, Report, has_fault};

use crate::outline::{BoundarySegment, Edge, EdgeShape, Floor, Outline, Shape};
use crate::point::turn;
use crate::polygon::signed_area;
use crate::{P2, Polygon, words};

pub use place::{Tape, edge_name, inward_normal, tape_from};

/// Largest distance between an arc and its chord, m.
const SAGITTA: f64 = 0.001;
/// Sides of the polygon drawn for a circle.
const CIRCLE_SIDES: usize = 32;
/// Longest arc drawn, in chords: bounds the work for an absurd radius.
const MOST_CHORDS: f64 = 4000.0;

/// Lays out the floor of an outline whose corners are known.
///
/// # Errors
/// Refused with all faults at once: too few or repeated corners, coordinates that no site has, edges
/// that cross, an arc smaller than its chord, doors that do not fit, openings or footings that are
/// not inside.
#[must_use]
pub fn lay_out(outline: &Outline) -> Report<Floor> {
    let mut notes = Vec::new();
    check::corners(outline, &mut notes);
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    let turned = signed_area(&outline.corners.iter().map(|c| c.at).collect::<Vec<_>>()) < 0.0;
    let doors = place::doors(outline, turned, &mut notes);
    let segments = boundary(outline, turned, &doors, &mut notes);
    check::crossings(outline, &segments, &mut notes);
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    let boundary = Polygon::new(segments.iter().map(|s| s.a).collect());
    let holes = check::holes(outline, &boundary, &mut notes);
    check::footings(outline, &boundary, &mut notes);
    check::thickened(outline, &boundary, &mut notes);
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    let triangles = triangulate(&boundary, &holes);
    let area = boundary.area() - holes.iter().map(Polygon::area).sum::<f64>();
    let corners = outline.corners.clone();
    Report::with(Floor { boundary, segments, holes, doors, triangles, area, corners }, notes)
}

/// The polygon of a shape; a circle keeps its area. Empty for a shape without extent.
#[must_use]
pub fn polygon_of(shape: &Shape) -> Polygon {
    match shape {
        Shape::Polygon(corners) => Polygon::new(corners.clone()),
        Shape::Rectangle { centre, width, height } => {
            let half = P2::new(width.in_metres() * 0.5, height.in_metres() * 0.5);
            Polygon::rectangle(*centre - half, *centre + half)
        }
        Shape::Circle { centre, diameter } => {
            let step = std::f64::consts::TAU / CIRCLE_SIDES as f64;
            // n/2·r²·sin(2π/n) = π·d²/4 gives the radius of the polygon with the circle's area.
            let radius = diameter.in_metres() * 0.5 * (step / sin(step)).sqrt();
            let at = |i: usize| {
                let angle = step * i as f64;
                *centre + P2::new(cos(angle), sin(angle)) * radius
            };
            Polygon::new((0..CIRCLE_SIDES).map(at).collect())
        }
    }
}

/// The segments of the boundary with the floor on the left, in order.
fn boundary(
    outline: &Outline,
    turned: bool,
    doors: &[crate::outline::PlacedDoor],
    notes: &mut Vec<Note>,
) -> Vec<BoundarySegment> {
    let n = outline.corners.len();
    let order: Vec<usize> = if turned { (0..n).rev().collect() } else { (0..n).collect() };
    let mut segments = Vec::new();
    for edge_idx in order {
        let edge = &outline.edges[edge_idx];
        let (first, last) = (outline.corners[edge_idx].at, outline.corners[(edge_idx + 1) % n].at);
        let (a, b) = if turned { (last, first) } else { (first, last) };
        let mut stops = arc_points(edge, a, b, notes);
        let mut jambs: Vec<P2> = doors
            .iter()
            .filter(|d| outline.doors[d.door].edge == edge_idx)
            .flat_map(|d| [d.a, d.b])
            .filter(|p| p.distance(a) > 1e-6 && p.distance(b) > 1e-6)
            .collect();
        jambs.sort_by(|p, q| p.distance(a).total_cmp(&q.distance(a)));
        stops.extend(jambs);
        stops.push(b);
        let mut from = a;
        for to in stops {
            segments.push(BoundarySegment { a: from, b: to, edge: edge_idx, kind: edge.kind });
            from = to;
        }
    }
    segments
}

/// The points of an edge between its ends, walked with the floor on the left.
fn arc_points(edge: &Edge, a: P2, b: P2, notes: &mut Vec<Note>) -> Vec<P2> {
    let (radius, outward) = match edge.shape {
        EdgeShape::Straight => return Vec::new(),
        EdgeShape::ArcOut(radius) => (radius.in_metres(), 1.0),
        EdgeShape::ArcIn(radius) => (radius.in_metres(), -1.0),
    };
    let half_chord = a.distance(b) * 0.5;
    if !radius.is_finite() || radius < half_chord * (1.0 - 1e-9) {
        notes.push(Note::in_both(|units| {
            let [radius, chord] = [radius, half_chord * 2.0].map(|metres| words::small(metres, units));
            Note::fault(
                "arc-too-tight",
                edge.place.clone(),
                format!("an arc of radius {radius} cannot span a chord of {chord}"),
                "the radius is at least half the straight distance between the corners",
            )
        }));
        return Vec::new();
    }
    let half_angle = asin((half_chord / radius).min(1.0));
    let to_centre =
        (b - a).unit().left() * (outward * (radius * radius - half_chord * half_chord).max(0.0).sqrt());
    let centre = a.lerp(b, 0.5) + to_centre;
    // Sagitta of a chord over the angle φ is r(1 − cos(φ/2)) ≈ rφ²/8.
    let step = (8.0 * SAGITTA / radius).sqrt();
    let pieces = (2.0 * half_angle / step).ceil().clamp(1.0, MOST_CHORDS) as usize;
    let start = atan2(a.y - centre.y, a.x - centre.x);
    let sweep = outward * 2.0 * half_angle;
    (1..pieces)
        .map(|i| {
            let angle = start + sweep * i as f64 / pieces as f64;
            centre + P2::new(cos(angle), sin(angle)) * radius
        })
        .collect()
}

/// Triangles, counter-clockwise, that tile a polygon less its holes.
#[must_use]
pub fn triangulate(boundary: &Polygon, holes: &[Polygon]) -> Vec<[P2; 3]> {
    let mut points: Vec<P2> = boundary.corners().to_vec();
    let mut starts = Vec::new();
    for hole in holes {
        starts.push(points.len() as u32);
        points.extend_from_slice(hole.corners());
    }
    let mut indices: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(points.iter().map(|p| [p.x, p.y]), &starts, &mut indices);
    indices
        .chunks_exact(3)
        .map(|t| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|i| points[i as usize]);
            if turn(a, b, c) < 0.0 { [a, c, b] } else { [a, b, c] }
        })
        .collect()
}

impl Floor {
    /// Whether concrete goes at a point: inside the boundary and in no opening.
    #[must_use]
    pub fn contains(&self, p: P2) -> bool {
        self.boundary.contains(p) && !self.holes.iter().any(|h| h.contains(p) && h.distance_to_edge(p) > 1e-9)
    }

    /// The place of a floor in the user's input when nothing closer is known.
    #[must_use]
    pub fn place(&self) -> Place {
        self.corners.first().map_or_else(Place::job, |c| c.place.clone())
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "closed forms by the platform's own functions")]
mod tests;
