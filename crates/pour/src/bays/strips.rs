//! Strips: how a floor is cut across one direction, and which direction is best.

use ground::outline::Floor;
use ground::polygon::{bounds, signed_area};
use ground::{P2, Polygon};

use basis::{Length, math};

use super::{BayInput, Exit};

/// More strips than this are refused.
pub(super) const MOST_STRIPS: usize = 200;
/// Steps of the outline that may become edges of strips; each doubles the layouts that are tried.
const MOST_STEPS: usize = 6;
/// A bay narrower or shorter than this is a sliver, m.
const SLIVER: f64 = 0.6;
/// Strips nearer than this are one, m.
const SAME: f64 = 1e-9;

/// Directions along and across the bays.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Frame {
    pub origin: P2,
    pub axis: P2,
}

impl Frame {
    fn of(self, p: P2) -> P2 {
        let d = p - self.origin;
        P2::new(d.dot(self.axis), d.dot(self.axis.left()))
    }
    fn back(self, p: P2) -> P2 {
        self.origin + self.axis * p.x + self.axis.left() * p.y
    }
}

/// A connected stretch of one strip: ranges along and across, m, and the net area of floor in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub along: [f64; 2],
    pub across: [f64; 2],
    pub area: f64,
}

impl Range {
    /// The rectangle in the plan.
    pub fn window(&self, frame: &Frame) -> Polygon {
        let ([s0, s1], [t0, t1]) = (self.along, self.across);
        Polygon::new(
            [(s0, t0), (s1, t0), (s1, t1), (s0, t1)].map(|(s, t)| frame.back(P2::new(s, t))).to_vec(),
        )
    }
}

/// A floor cut in one direction.
#[derive(Debug, Clone)]
pub(super) struct Layout {
    pub frame: Frame,
    pub ranges: Vec<Range>,
    score: Score,
}

/// Lower is better, first figure first: bays, slivers, whether the exit is missed, width left unused (m²).
#[derive(Debug, Clone, Copy)]
struct Score {
    bays: usize,
    slivers: usize,
    missed: usize,
    waste: f64,
}

impl Score {
    fn better_than(&self, other: &Self) -> bool {
        let (a, b) = ((self.bays, self.slivers, self.missed), (other.bays, other.slivers, other.missed));
        // A hair of waste is rounding and must not decide between equal layouts.
        a < b || (a == b && self.waste < other.waste - 1e-6)
    }
}

/// The best layout; `None` when it would take too many strips.
pub(super) fn lay(input: &BayInput<'_>, widest: Length, exit: Option<&Exit>) -> Option<Layout> {
    let origin = input.floor.boundary.corners()[0];
    let mut best: Option<Layout> = None;
    for axis in directions(input) {
        let cut = Cut::new(input.floor, Frame { origin, axis }, widest.in_metres());
        for marks in cut.choices() {
            let Some(layout) = cut.layout(&marks, exit) else { continue };
            if best.as_ref().is_none_or(|b| layout.score.better_than(&b.score)) {
                best = Some(layout);
            }
        }
    }
    best
}

/// The direction asked for, or the two along which the outline runs most.
fn directions(input: &BayInput<'_>) -> Vec<P2> {
    if let Some(wanted) = input.crew.bay_direction.filter(|a| a.is_finite()) {
        let angle = wanted.in_radians();
        return vec![P2::new(math::cos(angle), math::sin(angle)).unit()];
    }
    let along = principal(input.floor);
    vec![along, along.left()]
}

/// Direction of the edges that, with those at right angles to them, make up most of the outline.
fn principal(floor: &Floor) -> P2 {
    let edges: Vec<P2> = floor.boundary.edges().map(|(a, b)| b - a).filter(|d| d.norm() > 0.0).collect();
    let agreeing = |u: P2| -> f64 {
        let square = |d: &&P2| d.unit().cross(u).abs().min(d.unit().dot(u).abs()) < 0.01;
        edges.iter().filter(square).map(|d| d.norm()).sum()
    };
    let mut best = (f64::NEG_INFINITY, P2::new(1.0, 0.0));
    for d in &edges {
        let (u, length) = (d.unit(), d.norm());
        let score = agreeing(u) + 1e-6 * length;
        if score > best.0 {
            best = (score, u);
        }
    }
    // Pointing right or up, so that the sheet reads the same whichever way the outline was walked.
    if best.1.x < -1e-12 || (best.1.x.abs() <= 1e-12 && best.1.y < 0.0) { best.1 * -1.0 } else { best.1 }
}

/// The floor turned so that bays run along `x`.
struct Cut {
    frame: Frame,
    triangles: Vec<[P2; 3]>,
    across: [f64; 2],
    steps: Vec<f64>,
    widest: f64,
    least_area: f64,
}

impl Cut {
    fn new(floor: &Floor, frame: Frame, widest: f64) -> Self {
        let triangles: Vec<[P2; 3]> = floor.triangles.iter().map(|t| t.map(|p| frame.of(p))).collect();
        let points: Vec<P2> = triangles.iter().flatten().copied().collect();
        let (low, high) = bounds(&points);
        let across = [low.y, high.y];
        let steps = steps(floor, frame, across);
        Self { frame, triangles, across, steps, widest, least_area: 1e-12 * floor.area.abs() }
    }

    /// Every choice of steps that become edges of strips.
    fn choices(&self) -> impl Iterator<Item = Vec<f64>> + '_ {
        (0..1usize << self.steps.len()).map(|bits| {
            let mut marks = vec![self.across[0]];
            marks.extend((0..self.steps.len()).filter(|i| bits >> i & 1 == 1).map(|i| self.steps[i]));
            marks.push(self.across[1]);
            marks.sort_by(f64::total_cmp);
            marks
        })
    }

    fn layout(&self, marks: &[f64], exit: Option<&Exit>) -> Option<Layout> {
        let mut ranges = Vec::new();
        let mut strips = 0usize;
        for run in marks.windows(2) {
            let width = run[1] - run[0];
            // The hair forgives a run that is a whole number of widths but for rounding.
            let n = (width / self.widest - 1e-9).ceil().max(1.0);
            if !n.is_finite() || n + strips as f64 > MOST_STRIPS as f64 {
                return None;
            }
            let count = n as usize;
            strips += count;
            for i in 0..count {
                let edge = |k: usize| if k == count { run[1] } else { run[0] + width * (k as f64 / n) };
                ranges.extend(self.connected([edge(i), edge(i + 1)]));
            }
        }
        let score = self.score(&ranges, exit);
        (!ranges.is_empty()).then_some(Layout { frame: self.frame, ranges, score })
    }

    /// The stretches of a strip in which there is floor; those that overlap in range are one.
    fn connected(&self, strip: [f64; 2]) -> Vec<Range> {
        let mut pieces: Vec<Range> = Vec::new();
        let (mut a, mut b) = (Vec::new(), Vec::new());
        for t in &self.triangles {
            let (low, high) = bounds(t);
            if high.y <= strip[0] || low.y >= strip[1] {
                continue;
            }
            ground::polygon::clip_half(t, |p| p.y - strip[0], &mut a);
            ground::polygon::clip_half(&a, |p| strip[1] - p.y, &mut b);
            let area = signed_area(&b);
            if area > 0.0 {
                let (low, high) = bounds(&b);
                pieces.push(Range { along: [low.x, high.x], across: [low.y, high.y], area });
            }
        }
        pieces.sort_by(|p, q| p.along[0].total_cmp(&q.along[0]));
        let mut merged: Vec<Range> = Vec::new();
        for p in pieces {
            match merged.last_mut() {
                Some(m) if p.along[0] <= m.along[1] + SAME => {
                    m.along[1] = m.along[1].max(p.along[1]);
                    m.across = [m.across[0].min(p.across[0]), m.across[1].max(p.across[1])];
                    m.area += p.area;
                }
                _ => merged.push(p),
            }
        }
        merged.retain(|r| r.area > self.least_area);
        merged
    }

    fn score(&self, ranges: &[Range], exit: Option<&Exit>) -> Score {
        let size = |r: &Range| [r.along[1] - r.along[0], r.across[1] - r.across[0]];
        let slivers = ranges.iter().filter(|r| size(r).iter().any(|&d| d < SLIVER)).count();
        let waste = ranges.iter().map(|r| (self.widest - size(r)[1]).max(0.0) * size(r)[0]).sum();
        Score { bays: ranges.len(), slivers, missed: self.missed(ranges, exit), waste }
    }

    /// 0 when a bay can end at the exit, 1 when bays only pass along it.
    fn missed(&self, ranges: &[Range], exit: Option<&Exit>) -> usize {
        let Some(exit) = exit else { return 0 };
        let (a, b) = (self.frame.of(exit.a), self.frame.of(exit.b));
        let ends = |r: &Range| {
            let covered = a.y.max(b.y).min(r.across[1]) - a.y.min(b.y).max(r.across[0]);
            let near = |s: f64| (a.x - s).abs() < 0.05 && (b.x - s).abs() < 0.05;
            covered > 0.0 && r.along.iter().any(|&s| near(s))
        };
        usize::from(!ranges.iter().any(ends))
    }
}

/// Where edges run along the bays inside the floor's width: places where a strip's edge may be put.
fn steps(floor: &Floor, frame: Frame, across: [f64; 2]) -> Vec<f64> {
    let mut found: Vec<(f64, f64)> = Vec::new();
    for (a, b) in floor.boundary.edges() {
        let (a, b) = (frame.of(a), frame.of(b));
        let (run, rise) = ((b.x - a.x).abs(), (b.y - a.y).abs());
        let at = 0.5 * (a.y + b.y);
        let inside = at > across[0] + SLIVER * 0.5 && at < across[1] - SLIVER * 0.5;
        if !inside || run < SLIVER || rise > 0.002 * run {
            continue;
        }
        match found.iter_mut().find(|(t, _)| (*t - at).abs() < 0.05) {
            Some(known) => known.1 += run,
            None => found.push((at, run)),
        }
    }
    found.sort_by(|p, q| q.1.total_cmp(&p.1).then(p.0.total_cmp(&q.0)));
    found.truncate(MOST_STEPS);
    found.into_iter().map(|(t, _)| t).collect()
}
