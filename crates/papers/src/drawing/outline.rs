//! Draws the floor's outline with its dimensions, doors, holes and what lies below.

use ground::polygon::{bounds, centroid};
use ground::{P2, Polygon};

use super::canvas::{Canvas, Label};
use super::page::{Box2, is_point};
use super::{DoorMark, FloorDrawing, SideKind, dimensions};

/// A label over the outline is the last resort.
const CROSSING: f64 = 30.0;

/// Draws what every layer shows.
pub(super) fn draw(canvas: &mut Canvas, floor: &FloorDrawing) {
    for below in &floor.below {
        let ring = canvas.run(&below.ring);
        canvas.under.rings("hb", std::slice::from_ref(&ring));
        canvas.under.rings("below", &[ring]);
    }
    for hole in &floor.holes {
        let ring = canvas.run(&hole.ring);
        avoid_ring(canvas, &ring);
        let (low, high) = bounds(&ring);
        if (high - low).norm() < 12.0 {
            canvas.taken.block(Box2::new(low, high));
        }
        canvas.ink.rings("hole", &[ring]);
    }
    sides(canvas, floor);
    for door in &floor.doors {
        door_gap(canvas, door);
    }
    dimensions::draw(canvas, floor);
    corners(canvas, floor);
}

/// Names of the corners, outside of each where there is room.
fn corners(canvas: &mut Canvas, floor: &FloorDrawing) {
    let boundary = Polygon::new(floor.boundary.iter().copied().filter(|p| is_point(*p)).collect());
    for corner in &floor.corners {
        let [at] = canvas.run(&[corner.at])[..] else { continue };
        let outward = |way: &P2| !boundary.contains(corner.at + P2::new(way.x, -way.y) * 0.02);
        // Straight out of a corner lie the dimension lines; the quarter between two sides is free.
        let ways = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(|(x, y)| P2::new(x, y));
        let (out, within): (Vec<P2>, Vec<P2>) = ways.iter().partition(|way| outward(way));
        let spots = out.into_iter().chain(within).map(|way| (at, way));
        canvas.label_on(spots, &corner.label);
    }
}

/// Names of doors, of holes and of what lies below; after the layer's own marks, which matter more.
///
/// Sizes and places are told in the legend. What lies below is, too, so its name may find no room.
pub(super) fn names(canvas: &mut Canvas, floor: &FloorDrawing, is_named: impl Fn(&str) -> bool) {
    for door in floor.doors.iter().filter(|door| !is_named(&door.label)) {
        if let [a, b] = canvas.run(&[door.a, door.b])[..] {
            let label = Label { more: vec![door.label.clone()], called: "door".into(), ..Label::default() };
            canvas.label(a.lerp(b, 0.5), 1.2, &label);
        }
    }
    for ring in &floor.holes {
        let points = canvas.run(&ring.ring);
        if points.len() < 3 || ring.label.is_empty() {
            continue;
        }
        let label = Label { more: vec![ring.label.clone()], ..Label::default() };
        canvas.label(centroid(&points), 0.0, &label);
    }
    for ring in &floor.below {
        let points = canvas.run(&ring.ring);
        if points.len() > 2 && !ring.label.is_empty() {
            let (low, high) = bounds(&points);
            let middle = centroid(&points);
            let tried = [0.5, 0.3, 0.7, 0.15, 0.85].map(|t| low.lerp(high, t));
            let spots = std::iter::once(middle).chain(tried).map(|p| (p, P2::default()));
            canvas.label_on(spots, &ring.label);
        }
    }
}

fn avoid_ring(canvas: &mut Canvas, ring: &[P2]) {
    for (i, a) in ring.iter().enumerate() {
        canvas.taken.avoid(*a, ring[(i + 1) % ring.len()], CROSSING);
    }
}

fn sides(canvas: &mut Canvas, floor: &FloorDrawing) {
    if floor.sides.is_empty() {
        let ring = canvas.run(&floor.boundary);
        avoid_ring(canvas, &ring);
        canvas.ink.rings("form", &[ring]);
    }
    for side in &floor.sides {
        let run = canvas.run(&side.run);
        for pair in run.windows(2) {
            canvas.taken.avoid(pair[0], pair[1], CROSSING);
        }
        canvas.ink.run(class(side.kind), &run);
    }
}

pub(super) fn class(kind: SideKind) -> &'static str {
    match kind {
        SideKind::Form => "form",
        SideKind::Wall => "wall",
        SideKind::ExistingSlab => "slab",
    }
}

/// A door: the edge opened, a thin sill, and heavy jambs across.
fn door_gap(canvas: &mut Canvas, door: &DoorMark) {
    let [a, b] = canvas.run(&[door.a, door.b])[..] else { return };
    let across = (b - a).unit().left() * 1.6;
    canvas.ink.line("door", a, b);
    for way in [across * 0.3, across * -0.3] {
        canvas.ink.line("sill", a + way, b + way);
    }
    for jamb in [a, b] {
        canvas.ink.line("jamb", jamb + across, jamb - across);
    }
    dimensions::block_line(canvas, a, b);
}

/// Where a ring's number goes: the centre of its widest middle strip, always inside.
pub(super) fn inside(ring: &[P2]) -> P2 {
    let centre = centroid(ring);
    let polygon = Polygon::new(ring.to_vec());
    if polygon.contains(centre) || ring.len() < 3 {
        return centre;
    }
    // A level line through the centre enters and leaves the ring; the longest stretch inside is taken.
    let mut cuts: Vec<f64> = polygon
        .edges()
        .filter(|(a, b)| (a.y > centre.y) != (b.y > centre.y))
        .map(|(a, b)| a.x + (centre.y - a.y) * (b.x - a.x) / (b.y - a.y))
        .collect();
    cuts.sort_by(f64::total_cmp);
    let longest = cuts.chunks_exact(2).max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
    longest.map_or(centre, |pair| P2::new((pair[0] + pair[1]) * 0.5, centre.y))
}
