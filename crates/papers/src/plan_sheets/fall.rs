//! How the finish falls: arrows, ridges and valleys, high and low points, tapers.

use basis::quantity::{slope, thickness};
use basis::{Length, Slope};
use ground::polygon::signed_area;
use ground::{P2, Polygon};
use pour::Job;
use pour::plan::Plan;

use super::elevation;
use crate::drawing::{Arrow, FallLayer, NamedRing, Spot};

/// Spots at which the fall is drawn, across the longer side.
const ARROWS_ACROSS: f64 = 4.0;
/// Steps along a facet's edge at which it is looked for a break, m.
const STEP: f64 = 0.1;
/// How far to each side of an edge the falls are compared, m.
const BESIDE: f64 = 2e-3;
/// Falls that differ by a smaller share are one: chords of a cone are no breaks.
const ALIKE: f64 = 0.2;
/// Points that differ less are equally high, m.
const LEVEL: f64 = 1e-4;
/// A facet of less area is a sliver, m².
const LEAST: f64 = 1e-6;

pub(super) fn layer(job: &Job, plan: &Plan) -> FallLayer {
    let heights = heights(plan);
    let top = heights.iter().map(|h| h.1).fold(f64::NEG_INFINITY, f64::max);
    let bottom = heights.iter().map(|h| h.1).fold(f64::INFINITY, f64::min);
    let is_level = top - bottom < LEVEL;
    let spots = |keep: &dyn Fn(f64) -> bool| -> Vec<Spot> {
        let kept = heights.iter().filter(|h| keep(h.1));
        kept.map(|(at, z)| Spot { at: *at, label: elevation(job, Length::metres(*z)) }).collect()
    };
    let tapers = windows(plan).into_iter().map(|(ring, door)| {
        let (wide, drop) = (Length::metres(door.taper), Length::metres(door.drop));
        let label = format!("taper {}, {} down", thickness(wide, job.units), thickness(drop, job.units));
        NamedRing { ring, label, more: Vec::new() }
    });
    let (ridges, valleys) = breaks(plan);
    FallLayer {
        arrows: arrows(job, plan),
        ridges,
        valleys,
        highs: spots(&|z| !is_level && top - z < LEVEL),
        lows: spots(&|z| !is_level && z - bottom < LEVEL),
        points: spots(&|z| is_level || (top - z >= LEVEL && z - bottom >= LEVEL)),
        tapers: tapers.collect(),
    }
}

/// Elevation of the finish at the corners and in the middle of drains, m.
fn heights(plan: &Plan) -> Vec<(P2, f64)> {
    let corners = plan.outline.corners.iter().map(|c| c.at);
    // The surface runs on under a drain; its middle is the low point.
    let drains = plan.floor.holes.iter().zip(&plan.outline.openings);
    let drains = drains.filter(|(_, o)| o.kind == ground::outline::OpeningKind::Drain);
    let drains = drains.map(|(ring, _)| ring.centroid());
    corners.chain(drains).filter_map(|at| Some((at, plan.design.z(at)?))).collect()
}

/// Tapers with their doors, where the form stands low.
fn windows(plan: &Plan) -> Vec<(Vec<P2>, &ground::outline::PlacedDoor)> {
    let low = plan.floor.doors.iter().filter(|d| d.drop > 0.0 && d.taper > 0.0);
    low.map(|d| {
        let inward = (d.b - d.a).unit().left() * d.taper;
        (vec![d.a, d.b, d.b + inward, d.a + inward], d)
    })
    .collect()
}

fn arrows(job: &Job, plan: &Plan) -> Vec<Arrow> {
    let (low, high) = plan.floor.boundary.bounds();
    let step = ((high.x - low.x).max(high.y - low.y) / ARROWS_ACROSS).max(0.1);
    let count = |l: f64| (l / step).round().max(1.0) as usize;
    let (columns, rows) = (count(high.x - low.x), count(high.y - low.y));
    let cell = P2::new((high.x - low.x) / columns as f64, (high.y - low.y) / rows as f64);
    let spots = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
    let arrow = |(row, column): (usize, usize)| {
        let middle = low + P2::new((column as f64 + 0.5) * cell.x, (row as f64 + 0.5) * cell.y);
        // Beside the middle of its cell where a break runs through that.
        let moved = SHIFTS.iter().map(|(x, y)| middle + P2::new(x * cell.x, y * cell.y));
        let (at, gradient) = moved.filter_map(|at| Some((at, one_fall(plan, at, 0.25 * step)?))).next()?;
        let label = slope(Slope::ratio(gradient.norm()), job.units);
        (gradient.norm() > 1e-6).then_some(Arrow { at, toward: gradient * -1.0, label })
    };
    spots.filter_map(arrow).collect()
}

/// Where in its cell an arrow is tried, in shares of the cell.
const SHIFTS: [(f64, f64); 5] = [(0.0, 0.0), (0.25, 0.0), (-0.25, 0.0), (0.0, 0.25), (0.0, -0.25)];

/// The gradient at a spot, if the floor falls alike so far to both sides of it along the fall.
fn one_fall(plan: &Plan, at: P2, far: f64) -> Option<P2> {
    let on_floor = |p: P2| plan.design.gradient(p).filter(|_| plan.floor.contains(p));
    let gradient = on_floor(at)?;
    let along = if gradient.norm() > 0.0 { gradient.unit() * far } else { P2::default() };
    let is_one = [at + along, at - along].iter().all(|p| on_floor(*p).is_some_and(|g| is_alike(g, gradient)));
    is_one.then_some(gradient)
}

fn is_alike(a: P2, b: P2) -> bool {
    (a - b).norm() <= ALIKE * a.norm().max(b.norm()).max(1e-3)
}

type Lines = Vec<(P2, P2)>;

/// Where the fall changes: ridges, and valleys. Sides of door tapers are none.
fn breaks(plan: &Plan) -> (Lines, Lines) {
    let tapers: Vec<Polygon> = windows(plan).into_iter().map(|(ring, _)| Polygon::new(ring)).collect();
    let (low, high) = plan.floor.boundary.bounds();
    let mut found = (Lines::new(), Lines::new());
    let facets = plan.design.facets().iter().filter(|f| signed_area(&f.ring) > LEAST);
    for facet in facets {
        for i in 0..facet.ring.len() {
            let ends = (facet.ring[i], facet.ring[(i + 1) % facet.ring.len()]);
            let Some((a, b)) = within(ends, low, high) else { continue };
            let out = (b - a).unit().left() * -BESIDE;
            let kind = |p: P2| {
                let is_on = [p + out, p - out]
                    .iter()
                    .all(|q| plan.floor.contains(*q) && !tapers.iter().any(|t| t.contains(*q)));
                let own = plan.design.gradient(p - out).filter(|_| is_on)?;
                let other = plan.design.gradient(p + out)?;
                // Each break has two sides; the one with the greater gradient draws it.
                let is_mine = (own.x, own.y) > (other.x, other.y);
                (is_mine && !is_alike(own, other)).then(|| (other - own).dot(out) > 0.0)
            };
            runs(a, b, kind, &mut found);
        }
    }
    found
}

/// Adds the stretches of a line that are ridges or valleys.
fn runs(a: P2, b: P2, kind: impl Fn(P2) -> Option<bool>, found: &mut (Lines, Lines)) {
    let steps = (a.distance(b) / STEP).ceil().clamp(1.0, 1000.0) as usize;
    let at = |i: usize| a.lerp(b, i as f64 / steps as f64);
    let mut from = 0;
    let mut now = None;
    for i in 0..=steps {
        let next = if i < steps { kind(at(i).lerp(at(i + 1), 0.5)) } else { None };
        if i < steps && next == now {
            continue;
        }
        match now {
            Some(true) => found.1.push((at(from), at(i))),
            Some(false) => found.0.push((at(from), at(i))),
            None => {}
        }
        (from, now) = (i, next);
    }
}

/// The part of a line in an upright box.
fn within((a, b): (P2, P2), low: P2, high: P2) -> Option<(P2, P2)> {
    let along = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, least, most) in [(a.x, along.x, low.x, high.x), (a.y, along.y, low.y, high.y)] {
        if step == 0.0 {
            if start < least || start > most {
                return None;
            }
            continue;
        }
        let (p, q) = ((least - start) / step, (most - start) / step);
        from = from.max(p.min(q));
        to = to.min(p.max(q));
    }
    (to > from).then(|| (a + along * from, a + along * to))
}
