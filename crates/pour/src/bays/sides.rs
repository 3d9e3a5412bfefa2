//! What the straightedge rides on along each side of a bay.

use basis::Length;
use ground::outline::{EdgeKind, Floor};
use ground::polygon::distance_to_segment;
use ground::{P2, Polygon};

/// How near the floor's edge must run to a bay's side to carry the straightedge, m.
const TOUCH: f64 = 0.03;
/// Shorter runs are not told of, m.
const CRUMB: f64 = 0.08;
/// How far to each side of a line is looked for floor, m.
const LOOK: f64 = 0.005;

/// What is found along a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RidesOn {
    /// A form board.
    Form,
    /// A wall: no form carries the straightedge.
    Wall,
    /// An existing slab.
    ExistingSlab,
    /// The bay of this number.
    Bay(usize),
    /// The box of an opening, column or drain.
    Opening,
    /// No floor: its edge runs away from the side.
    Nothing,
}

/// A stretch of a side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// From, m.
    pub from: P2,
    /// To, m.
    pub to: P2,
    /// What is there.
    pub on: RidesOn,
}

/// A side of a bay with what is found along it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Side {
    /// Stretches in order of placing (left to right at the two ends).
    pub runs: Vec<Run>,
}

impl Side {
    /// Length of the side that rides on something.
    #[must_use]
    pub fn length_on(&self, on: RidesOn) -> Length {
        Length::metres(self.runs.iter().filter(|r| r.on == on).map(|r| r.from.distance(r.to)).sum())
    }
}

/// Left, right, starting and closing side of a bay.
pub(super) fn of(
    floor: &Floor,
    index: usize,
    windows: &[Polygon],
    start: P2,
    axis: P2,
    length: f64,
    width: f64,
) -> [Side; 4] {
    let (half, far) = (axis.left() * (0.5 * width), axis * length);
    let near = |from: P2, to: P2, outward: P2| side(floor, index, windows, [from, to], outward);
    [
        near(start + half, start + half + far, axis.left()),
        near(start - half, start - half + far, axis.left() * -1.0),
        near(start + half, start - half, axis * -1.0),
        near(start + half + far, start - half + far, axis),
    ]
}

fn side(floor: &Floor, index: usize, windows: &[Polygon], line: [P2; 2], outward: P2) -> Side {
    let [from, to] = line;
    let length = from.distance(to);
    let along = (to - from).unit();
    let mut cuts = vec![0.0, length];
    let rings = std::iter::once(&floor.boundary).chain(&floor.holes).chain(windows);
    for corner in rings.flat_map(|ring| ring.corners()) {
        let s = (*corner - from).dot(along);
        if s > 1e-6 && s < length - 1e-6 && (*corner - from).cross(along).abs() < 1.0 {
            cuts.push(s);
        }
    }
    crossings(floor, from, along, length, &mut cuts);
    cuts.sort_by(f64::total_cmp);
    let mut runs: Vec<Run> = Vec::new();
    for pair in cuts.windows(2).filter(|w| w[1] - w[0] > 1e-6) {
        let (a, b) = (from + along * pair[0], from + along * pair[1]);
        let on = found(floor, index, windows, a.lerp(b, 0.5), outward);
        match runs.last_mut() {
            Some(last) if last.on == on => last.to = b,
            _ => runs.push(Run { from: a, to: b, on }),
        }
    }
    Side { runs: without_crumbs(runs) }
}

/// Gives runs too short to matter (an edge that is not quite square to the bays) to their neighbours.
fn without_crumbs(mut runs: Vec<Run>) -> Vec<Run> {
    while runs.len() > 1 {
        let Some(i) = runs.iter().position(|r| r.from.distance(r.to) < CRUMB) else { break };
        let crumb = runs.remove(i);
        match i.checked_sub(1) {
            Some(before) => runs[before].to = crumb.to,
            None => runs[0].from = crumb.from,
        }
    }
    runs.dedup_by(|next, last| {
        let same = next.on == last.on;
        if same {
            last.to = next.to;
        }
        same
    });
    runs
}

/// Where edges of the floor cross the line.
fn crossings(floor: &Floor, from: P2, along: P2, length: f64, cuts: &mut Vec<f64>) {
    let rings = std::iter::once(&floor.boundary).chain(&floor.holes);
    for (a, b) in rings.flat_map(Polygon::edges) {
        let (va, vb) = (along.cross(a - from), along.cross(b - from));
        if (va > 0.0) != (vb > 0.0) {
            let s = (a.lerp(b, va / (va - vb)) - from).dot(along);
            if s > 1e-6 && s < length - 1e-6 {
                cuts.push(s);
            }
        }
    }
}

fn found(floor: &Floor, index: usize, windows: &[Polygon], at: P2, outward: P2) -> RidesOn {
    let nearest = floor
        .segments
        .iter()
        .map(|s| (distance_to_segment(at, s.a, s.b), s.kind))
        .min_by(|p, q| p.0.total_cmp(&q.0));
    if let Some((_, kind)) = nearest.filter(|(distance, _)| *distance < TOUCH) {
        return match kind {
            EdgeKind::Free => RidesOn::Form,
            EdgeKind::Wall => RidesOn::Wall,
            EdgeKind::ExistingSlab => RidesOn::ExistingSlab,
        };
    }
    if floor.holes.iter().any(|hole| hole.contains(at) || hole.distance_to_edge(at) < TOUCH) {
        return RidesOn::Opening;
    }
    let outside = at + outward * LOOK;
    let next = (0..windows.len()).find(|&j| j != index && windows[j].contains(outside));
    match next.filter(|_| floor.boundary.contains(outside)) {
        Some(j) => RidesOn::Bay(j + 1),
        None => RidesOn::Nothing,
    }
}
