//! Order of placing: from far to near, so that the crew is never shut in by fresh concrete.

use basis::{Note, Place};
use ground::P2;
use ground::polygon::distance_to_segment;

use super::exit::ways;
use super::strips::{Layout, Range};
use super::{Bay, BayInput, Exit};

/// Least width through which a person with a tool passes, m (common practice, no source).
const PASSAGE: f64 = 0.3;
/// How near an edge must run to a bay's side to count as its edge, m.
const TOUCH: f64 = 0.05;

/// How the crew gets off a bay when it is placed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WayOut {
    /// By the exit.
    Exit(String),
    /// Over a bay that is placed later, by its number.
    Bay(usize),
    /// By another door, by its name.
    Door(String),
    /// Over the form of a free edge, by its name.
    OverForm(String),
    /// There is none.
    None,
}

/// A range in its place in the order.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub range: Range,
    /// `1` when placed along the layout's axis, `-1` against it.
    pub way: f64,
    pub way_out: WayOut,
}

/// Puts the ranges of a layout in order of placing and gives each its direction.
pub(super) fn place(input: &BayInput<'_>, layout: &Layout, exit: Option<&Exit>) -> Vec<Placed> {
    let ranges = &layout.ranges;
    let next_to = neighbours(input, layout);
    let root = exit.map_or(ranges.len() - 1, |exit| exit_range(layout, exit));
    let order = far_to_near(ranges, &next_to, root);
    let all_ways = ways(input.floor, input.outline);
    let doors = input.floor.doors.len().min(all_ways.len());
    (0..order.len())
        .map(|k| {
            let i = order[k];
            let touched = |way: &&Exit| touch(&layout.ranges[i], layout, way) >= PASSAGE;
            let way_out = match exit.filter(|e| touched(e)) {
                Some(exit) => WayOut::Exit(exit.name.clone()),
                None => (k + 1..order.len())
                    .find(|&later| next_to[i].contains(&order[later]))
                    .map(|later| WayOut::Bay(later + 1))
                    .or_else(|| all_ways[..doors].iter().find(touched).map(|w| WayOut::Door(w.name.clone())))
                    .or_else(|| {
                        all_ways[doors..].iter().find(touched).map(|w| WayOut::OverForm(w.name.clone()))
                    })
                    .unwrap_or(WayOut::None),
            };
            Placed { range: ranges[i], way: way(input, layout, i, i == root, exit), way_out }
        })
        .collect()
}

/// Which ranges share a stretch of floor wide enough to walk through.
fn neighbours(input: &BayInput<'_>, layout: &Layout) -> Vec<Vec<usize>> {
    let ranges = &layout.ranges;
    (0..ranges.len())
        .map(|i| (0..ranges.len()).filter(|&j| j != i && shared(input, layout, i, j) >= PASSAGE).collect())
        .collect()
}

/// Length of floor along the common side of two ranges, m.
fn shared(input: &BayInput<'_>, layout: &Layout, i: usize, j: usize) -> f64 {
    let (r, q) = (&layout.ranges[i], &layout.ranges[j]);
    let touching = (r.across[1] - q.across[0]).abs() < 1e-6 || (q.across[1] - r.across[0]).abs() < 1e-6;
    let (from, to) = (r.along[0].max(q.along[0]), r.along[1].min(q.along[1]));
    if !touching || to - from <= 0.0 {
        return 0.0;
    }
    // Floor counts where it lies in a thin band on both sides of the line.
    let line = if (r.across[1] - q.across[0]).abs() < 1e-6 { r.across[1] } else { q.across[1] };
    let band = |low: f64, high: f64| {
        let strip = Range { along: [from, to], across: [low, high], area: 0.0 };
        super::area_in(input.floor, &strip.window(&layout.frame)) / (high - low)
    };
    band(line - 0.01, line).min(band(line, line + 0.01))
}

/// The range that has most of the exit on its sides, else the nearest to it.
fn exit_range(layout: &Layout, exit: &Exit) -> usize {
    let key = |i: usize| {
        let r = &layout.ranges[i];
        let middle = r.window(&layout.frame).distance_to_edge(exit.middle());
        (touch(r, layout, exit), -middle)
    };
    (0..layout.ranges.len())
        .max_by(|&i, &j| {
            let (p, q) = (key(i), key(j));
            // Equal up to rounding: the one nearer the middle of the exit.
            let by_touch =
                if (p.0 - q.0).abs() < 1e-6 { std::cmp::Ordering::Equal } else { p.0.total_cmp(&q.0) };
            by_touch.then(p.1.total_cmp(&q.1))
        })
        .unwrap_or(0)
}

/// Length of a way out that lies on the sides of a range, m.
fn touch(range: &Range, layout: &Layout, way: &Exit) -> f64 {
    let window = range.window(&layout.frame);
    let steps = 64;
    let near = (0..steps)
        .filter(|&k| {
            let p = way.a.lerp(way.b, (f64::from(k) + 0.5) / f64::from(steps));
            window.distance_to_edge(p) < TOUCH || window.contains(p)
        })
        .count();
    way.a.distance(way.b) * near as f64 / f64::from(steps)
}

/// Removes one range after the other, the farthest from the root first, never one that would cut
/// another off from the root; a range beside the one before is taken first.
fn far_to_near(ranges: &[Range], next_to: &[Vec<usize>], root: usize) -> Vec<usize> {
    let far = distances(ranges, next_to, root);
    let mut left: Vec<bool> = vec![true; ranges.len()];
    let mut order: Vec<usize> = Vec::new();
    while order.len() + 1 < ranges.len() {
        let before = reached(&left, next_to, root);
        let beside = |i: usize| order.last().is_some_and(|&last| next_to[last].contains(&i));
        let pick = (0..ranges.len())
            .filter(|&i| left[i] && i != root)
            .filter(|&i| {
                let mut without = left.clone();
                without[i] = false;
                // What was reached before must be reached still, but for the range itself.
                reached(&without, next_to, root) + usize::from(far[i].is_finite()) >= before
            })
            .max_by(|&i, &j| beside(i).cmp(&beside(j)).then(far[i].total_cmp(&far[j])).then(j.cmp(&i)));
        let Some(pick) = pick else { break };
        left[pick] = false;
        order.push(pick);
    }
    order.extend((0..ranges.len()).filter(|&i| left[i] && i != root));
    order.push(root);
    order
}

/// How many of the ranges still left can be walked to from the root.
fn reached(left: &[bool], next_to: &[Vec<usize>], root: usize) -> usize {
    let mut seen = vec![false; left.len()];
    let mut stack = vec![root];
    seen[root] = true;
    let mut count = 0;
    while let Some(i) = stack.pop() {
        count += 1;
        for &j in &next_to[i] {
            if left[j] && !seen[j] {
                seen[j] = true;
                stack.push(j);
            }
        }
    }
    count
}

/// Walking distance between middles from the root; infinite where nothing leads, m.
fn distances(ranges: &[Range], next_to: &[Vec<usize>], root: usize) -> Vec<f64> {
    let middle = |i: usize| {
        let r: &Range = &ranges[i];
        P2::new(0.5 * (r.along[0] + r.along[1]), 0.5 * (r.across[0] + r.across[1]))
    };
    let mut far = vec![f64::INFINITY; ranges.len()];
    let mut done = vec![false; ranges.len()];
    far[root] = 0.0;
    loop {
        let next = (0..ranges.len())
            .filter(|&i| !done[i] && far[i].is_finite())
            .min_by(|&i, &j| far[i].total_cmp(&far[j]));
        let Some(i) = next else { return far };
        done[i] = true;
        for &j in &next_to[i] {
            far[j] = far[j].min(far[i] + middle(i).distance(middle(j)));
        }
    }
}

/// Placing runs toward the exit on the exit's bay, elsewhere toward the end nearest a truck.
fn way(input: &BayInput<'_>, layout: &Layout, i: usize, is_last: bool, exit: Option<&Exit>) -> f64 {
    let corners = layout.ranges[i].window(&layout.frame);
    let half = 0.5 * (layout.ranges[i].along[1] - layout.ranges[i].along[0]);
    let middle = corners.centroid();
    let ends = [middle - layout.frame.axis * half, middle + layout.frame.axis * half];
    let to_exit = |p: P2| exit.map_or(f64::INFINITY, |e| distance_to_segment(p, e.a, e.b));
    let to_truck = |p: P2| {
        input.stands.iter().map(|s| s.at.distance(p)).filter(|d| d.is_finite()).fold(f64::INFINITY, f64::min)
    };
    let far = |p: P2| if is_last || input.stands.is_empty() { to_exit(p) } else { to_truck(p) };
    if far(ends[0]) < far(ends[1]) { -1.0 } else { 1.0 }
}

/// Warns of each bay that the crew could not leave.
pub(super) fn tell_walled_in(bays: &[Bay], notes: &mut Vec<Note>) {
    for bay in bays.iter().filter(|b| b.way_out == WayOut::None) {
        notes.push(Note::warning(
            "bay-walled-in",
            Place::job(),
            format!("when bay {} is placed, the crew has no way off it but over fresh concrete", bay.number),
            "plan a plank or a bridge, or leave a strip to walk on",
        ));
    }
}
