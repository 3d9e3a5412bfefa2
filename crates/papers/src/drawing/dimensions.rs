//! Measures of the sides: in a row outside the whole floor where a side faces out, else along the side.

use ground::{P2, Polygon};

use super::canvas::{Canvas, Label};
use super::page::{Box2, is_point};
use super::svg::{Anchor, TextAt};
use super::{FloorDrawing, Side, text};

/// Distance of the first row from the floor's box, mm.
const FIRST: f64 = 7.0;
/// Distance of the row with the whole width or height.
const SECOND: f64 = 14.0;
/// Distances of other dimension lines from their side, mm; the first with room is taken.
const OFFSETS: [f64; 3] = [6.5, 11.0, 15.0];

/// One of the four ways out of the floor's box on the page.
struct Row {
    out: P2,
    /// Stretches of the row that are measured, along the row.
    taken: Vec<(f64, f64)>,
}

impl Row {
    /// Where a point lies along the row.
    fn along(&self, p: P2) -> f64 {
        p.x * self.out.y.abs() + p.y * self.out.x.abs()
    }
    /// The point of the row beside a point, so far out of the box.
    fn beside(&self, p: P2, whole: Box2, off: f64) -> P2 {
        let edge = whole.centre() + P2::new(self.out.x * whole.size().x, self.out.y * whole.size().y) * 0.5;
        let out = edge + self.out * off;
        if self.out.x == 0.0 { P2::new(p.x, out.y) } else { P2::new(out.x, p.y) }
    }
}

/// Measures every side.
pub(super) fn draw(canvas: &mut Canvas, floor: &FloorDrawing) {
    let points: Vec<P2> = floor.boundary.iter().copied().filter(|p| is_point(*p)).collect();
    if points.len() < 3 {
        return;
    }
    let boundary = Polygon::new(points.clone());
    let on_page = Polygon::new(canvas.run(&points));
    let (low, high) = on_page.bounds();
    let whole = Box2::new(low, high);
    let mut rows = [(0.0, 1.0), (-1.0, 0.0), (0.0, -1.0), (1.0, 0.0)]
        .map(|(x, y)| Row { out: P2::new(x, y), taken: Vec::new() });
    let mut rest = Vec::new();
    for side in floor.sides.iter().filter(|side| !side.label.is_empty()) {
        if !in_a_row(canvas, side, &mut rows, whole, (&boundary, &on_page)) {
            rest.push(side);
        }
    }
    overall(canvas, floor, &rows, whole);
    for side in rest {
        beside(canvas, side, &boundary);
    }
}

/// Measures a level or upright side in the row that it faces, if nothing of the floor lies between.
fn in_a_row(
    canvas: &mut Canvas,
    side: &Side,
    rows: &mut [Row; 4],
    whole: Box2,
    (boundary, on_page): (&Polygon, &Polygon),
) -> bool {
    let [a, b] = canvas.run(&side.run)[..] else { return false };
    if side.run.len() != 2 || a == b {
        return false;
    }
    let out = outward(side.run[0], side.run[1], boundary);
    let Some(row) = rows.iter_mut().find(|row| row.out.dot(out) > 0.9999) else { return false };
    let (c, d) = (row.beside(a, whole, FIRST), row.beside(b, whole, FIRST));
    let (from, to) = (row.along(c).min(row.along(d)), row.along(c).max(row.along(d)));
    let is_taken = row.taken.iter().any(|t| from < t.1 - 0.5 && t.0 + 0.5 < to);
    if is_taken || [(a, c), (b, d)].iter().any(|line| enters(on_page, *line)) {
        return false;
    }
    let is_drawn = line(canvas, (c, d), [a, b], out, &text::cut(&side.label, 40));
    if is_drawn {
        row.taken.push((from, to));
    }
    is_drawn
}

/// Whether a line runs through the inside of a polygon, not only along its edge.
fn enters(polygon: &Polygon, (a, b): (P2, P2)) -> bool {
    let side = (b - a).unit().left() * 0.3;
    (1..40).any(|i| {
        let p = a.lerp(b, f64::from(i) / 40.0);
        polygon.contains(p + side) && polygon.contains(p - side)
    })
}

/// The whole width and height, where no side runs all along.
fn overall(canvas: &mut Canvas, floor: &FloorDrawing, rows: &[Row; 4], whole: Box2) {
    for (label, pair, (a, b)) in [
        (&floor.overall[0], [0, 2], (P2::new(whole.low.x, whole.high.y), whole.high)),
        (&floor.overall[1], [1, 3], (P2::new(whole.high.x, whole.low.y), whole.high)),
    ] {
        let spans = |row: &Row| {
            let (from, to) = (row.along(whole.low), row.along(whole.high));
            row.taken.iter().any(|t| t.0 <= from + 0.5 && t.1 >= to - 0.5)
        };
        if label.is_empty() || pair.iter().any(|i| spans(&rows[*i])) {
            continue;
        }
        for row in pair.map(|i| &rows[i]) {
            let off = if row.taken.is_empty() { FIRST } else { SECOND };
            let ends = [row.beside(a, whole, 0.0), row.beside(b, whole, 0.0)];
            let run = (row.beside(a, whole, off), row.beside(b, whole, off));
            if line(canvas, run, ends, row.out, &text::cut(label, 40)) {
                break;
            }
        }
    }
}

/// The side's measure along a line outside of it; beside it where it is curved or too short.
fn beside(canvas: &mut Canvas, side: &Side, boundary: &Polygon) {
    let label = text::cut(&side.label, 40);
    let run = canvas.run(&side.run);
    let (Some(a), Some(b)) = (run.first().copied(), run.last().copied()) else { return };
    if run.len() != side.run.len() || run.len() < 2 {
        return;
    }
    if run.len() == 2 {
        let out = outward(side.run[0], side.run[1], boundary);
        let is_drawn =
            OFFSETS.iter().any(|off| line(canvas, (a + out * *off, b + out * *off), [a, b], out, &label));
        if is_drawn {
            return;
        }
    }
    let middle = run.len() / 2;
    let (c, d) = (run[middle - 1], run[middle]);
    let at = if run.len() > 2 { d } else { c.lerp(d, 0.5) };
    let (bold, more) = label.split_once(", ").unwrap_or((&label, ""));
    let label = Label { bold: bold.to_owned(), more: vec![more.to_owned()], ..Label::default() };
    canvas.label(at, 0.8, &label);
}

/// Page direction out of the floor, square to a side.
fn outward(a: P2, b: P2, boundary: &Polygon) -> P2 {
    let left = (b - a).unit().left();
    let step = left * (a.distance(b) * 1e-3).clamp(1e-4, 0.05);
    let out = if boundary.contains(a.lerp(b, 0.5) + step) { left * -1.0 } else { left };
    P2::new(out.x, -out.y)
}

/// Draws a dimension line between two points with lines back to what it measures, if all of it finds room.
fn line(canvas: &mut Canvas, (c, d): (P2, P2), from: [P2; 2], out: P2, label: &str) -> bool {
    let size = canvas.main();
    let wide = text::width(label, size) + 1.5;
    if c.distance(d) < wide + 1.0 {
        return false;
    }
    let middle = c.lerp(d, 0.5);
    let along = (d - c).unit();
    let half =
        P2::new(along.x.abs() * wide + along.y.abs() * size, along.y.abs() * wide + along.x.abs() * size)
            * 0.5;
    let place = Box2::new(middle - half, middle + half);
    let inset = along * 1.5;
    if !canvas.page.area.grown(-0.5).holds(place)
        || !canvas.taken.is_free(place)
        || !canvas.taken.is_free_along((c + inset, d - inset))
    {
        return false;
    }
    canvas.taken.block(place);
    block_line(canvas, c, d);
    for (start, end) in [(from[0], c), (from[1], d)] {
        canvas.ink.line("dim", start + out, end + out * 1.2);
        // The ends of a long way back keep labels off themselves.
        canvas.taken.avoid(start + out, end, 8.0);
    }
    let gap = along * (wide * 0.5);
    canvas.ink.line("dim", c, middle - gap);
    canvas.ink.line("dim", middle + gap, d);
    for end in [c, d] {
        let slant = (along + out) * 0.9;
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
    let size = canvas.main();
    let down = P2::new(-along.y, along.x) * (size * 0.35);
    let how = TextAt { at: middle + down, size, class: "b", anchor: Anchor::Middle, turn };
    canvas.labels.text(how, label);
}

/// Keeps labels off a line by small boxes along it.
pub(super) fn block_line(canvas: &mut Canvas, a: P2, b: P2) {
    let steps = (a.distance(b) / 2.0).ceil().clamp(1.0, 200.0);
    let mut t = 0.0;
    while t <= steps {
        canvas.block(a.lerp(b, t / steps), 0.4);
        t += 1.0;
    }
}
