//! Draws the floor's outline with its dimensions, doors, holes and what lies below.

use ground::polygon::centroid;
use ground::{P2, Polygon};

use super::canvas::{Canvas, Label, MAIN};
use super::page::{Box2, is_point};
use super::svg::{Anchor, TextAt};
use super::text;
use super::{DoorMark, FloorDrawing, Side, SideKind};

/// Distances of dimension lines from their side, mm; the first with room is taken.
const OFFSETS: [f64; 3] = [6.5, 11.0, 15.0];

/// A label over the outline is the last resort.
const CROSSING: f64 = 30.0;

/// Draws what every layer shows.
pub(super) fn draw(canvas: &mut Canvas, floor: &FloorDrawing) {
    for below in &floor.below {
        let ring = canvas.run(&below.ring);
        canvas.under.rings("below", &[ring]);
    }
    for hole in &floor.holes {
        let ring = canvas.run(&hole.ring);
        avoid_ring(canvas, &ring);
        canvas.ink.rings("hole", &[ring]);
    }
    sides(canvas, floor);
    let boundary = Polygon::new(floor.boundary.iter().copied().filter(|p| is_point(*p)).collect());
    for door in &floor.doors {
        door_gap(canvas, door);
    }
    for side in &floor.sides {
        dimension(canvas, side, &boundary);
    }
}

/// Names of doors, of holes and of what lies below; after the layer's own marks, which matter more.
pub(super) fn names(canvas: &mut Canvas, floor: &FloorDrawing) {
    for door in &floor.doors {
        if let [a, b] = canvas.run(&[door.a, door.b])[..] {
            let label = Label { more: vec![door.label.clone()], called: "door".into(), ..Label::default() };
            canvas.label(a.lerp(b, 0.5), 1.2, &label);
        }
    }
    for ring in floor.holes.iter().chain(&floor.below) {
        let points = canvas.run(&ring.ring);
        if points.len() < 3 || ring.label.is_empty() {
            continue;
        }
        let label = Label { more: vec![ring.label.clone()], ..Label::default() };
        canvas.label(centroid(&points), 0.0, &label);
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
}

/// Page direction out of the floor, square to a side.
fn outward(a: P2, b: P2, boundary: &Polygon) -> P2 {
    let left = (b - a).unit().left();
    let step = left * (a.distance(b) * 1e-3).clamp(1e-4, 0.05);
    let out = if boundary.contains(a.lerp(b, 0.5) + step) { left * -1.0 } else { left };
    P2::new(out.x, -out.y)
}

/// The side's measure along a line outside of it; beside it where it is curved or too short.
fn dimension(canvas: &mut Canvas, side: &Side, boundary: &Polygon) {
    let label = text::cut(&side.label, 40);
    let run = canvas.run(&side.run);
    let (Some(a), Some(b)) = (run.first().copied(), run.last().copied()) else { return };
    if label.is_empty() || run.len() != side.run.len() {
        return;
    }
    let wide = text::width(&label, MAIN) + 1.5;
    if run.len() == 2 && a.distance(b) >= wide {
        let out = outward(side.run[0], side.run[1], boundary);
        if OFFSETS.iter().any(|off| along(canvas, (a, b), out * *off, &label, wide)) {
            return;
        }
    }
    let middle = run.len() / 2;
    let (c, d) = (run[middle - 1], run[middle]);
    let at = if run.len() > 2 { d } else { c.lerp(d, 0.5) };
    canvas.label(at, 0.8, &Label { bold: label, ..Label::default() });
}

/// Draws the dimension line if its text finds room there.
fn along(canvas: &mut Canvas, (a, b): (P2, P2), off: P2, label: &str, wide: f64) -> bool {
    let (c, d) = (a + off, b + off);
    let middle = c.lerp(d, 0.5);
    let along = (d - c).unit();
    let half =
        P2::new(along.x.abs() * wide + along.y.abs() * MAIN, along.y.abs() * wide + along.x.abs() * MAIN)
            * 0.5;
    let place = Box2::new(middle - half, middle + half);
    if !canvas.page.area.grown(-0.5).holds(place) || !canvas.taken.is_free(place) {
        return false;
    }
    canvas.taken.block(place);
    block_line(canvas, c, d);
    let back = off.unit();
    canvas.ink.line("dim", a + back, c + back * 1.2);
    canvas.ink.line("dim", b + back, d + back * 1.2);
    let gap = along * (wide * 0.5);
    canvas.ink.line("dim", c, middle - gap);
    canvas.ink.line("dim", middle + gap, d);
    for end in [c, d] {
        let slant = (along + back) * 0.9;
        canvas.ink.line("tick", end - slant, end + slant);
    }
    canvas.white(place);
    upright(canvas, middle, along, label);
    true
}

/// Writes along a line, readable from below or from the right.
fn upright(canvas: &mut Canvas, middle: P2, along: P2, label: &str) {
    let along =
        if along.x < -1e-9 || (along.x.abs() <= 1e-9 && along.y > 0.0) { along * -1.0 } else { along };
    let turn = basis::math::atan2(along.y, along.x).to_degrees();
    let down = P2::new(-along.y, along.x) * (MAIN * 0.35);
    let how = TextAt { at: middle + down, size: MAIN, class: "b", anchor: Anchor::Middle, turn };
    canvas.labels.text(how, label);
}

/// Keeps labels off a dimension line by small boxes along it.
fn block_line(canvas: &mut Canvas, a: P2, b: P2) {
    let steps = (a.distance(b) / 2.0).ceil().clamp(1.0, 200.0);
    let mut t = 0.0;
    while t <= steps {
        canvas.block(a.lerp(b, t / steps), 0.4);
        t += 1.0;
    }
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
