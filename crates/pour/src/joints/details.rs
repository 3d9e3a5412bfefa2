//! The frame of the joints, what asks for a joint, and what belongs to the layout beside the lines.

use basis::{Length, Note, Place};
use ground::outline::{EdgeKind, EdgeShape, Floor, OpeningKind};
use ground::polygon::{distance_to_segment, signed_area};
use ground::{P2, Polygon};

use super::{Dowel, Joint, JointInput, dowel, runs};
use crate::bays::edge_name;
use crate::job::Wish;

/// An opening no larger than this is a column, a pipe or a drain to the layout: one joint through it will do, m (3 ft, proposal).
const SMALL: f64 = 0.92;
/// Sine of the least turn that makes a corner: an arc's chords turn less.
const CORNER: f64 = 0.26;
/// Sine of the most that a forced joint may stray from the frame.
const ASKEW: f64 = 0.01;
/// Points looked at along a joint to find the bays it crosses.
const LOOKS: usize = 24;
/// A line that no joint may cross is kept off by this to either side, m (2 in., proposal).
const BESIDE_KEPT_OFF: f64 = 0.0508;

/// An inner corner that needs bars across it: two #4 of 4 ft (from memory), or a joint by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerBars {
    /// Name of the corner or opening.
    pub name: String,
    /// Where, m.
    pub at: P2,
    /// From the corner into the floor, halfway between its edges; the bars lie square to it.
    pub inward: P2,
}

/// Dowels along existing slabs.
#[derive(Debug, Clone, PartialEq)]
pub struct Dowels {
    /// The bar.
    pub bar: Dowel,
    /// Where each one lies.
    pub places: Vec<DowelPlace>,
}

/// Where a dowel lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DowelPlace {
    /// On the joint, m.
    pub at: P2,
    /// Direction of the bar, into the new floor.
    pub inward: P2,
}

/// A place where no joint may run.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptOff {
    /// The user's name for it.
    pub name: String,
    /// Its outline; a line is kept off by 2 in. to either side.
    pub ring: Polygon,
}

/// The place of a forced joint in its direction.
#[derive(Debug, Clone)]
pub(super) struct ForcedLine<'a> {
    pub at: f64,
    pub name: &'a str,
}

/// What an isolation strip keeps apart from the floor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StripAt {
    /// A wall.
    Wall,
    /// A column, pipe or drain.
    Opening,
}

/// An isolation strip of full depth.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Along what.
    pub at: StripAt,
    /// Name of the edge or opening.
    pub name: String,
    /// How long.
    pub length: Length,
}

/// The directions of the joints.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Frame {
    right: P2,
}

impl Frame {
    /// Along the longest straight piece of the boundary.
    pub(crate) fn of(floor: &Floor) -> Self {
        let longest = floor.segments.iter().max_by(|a, b| a.a.distance(a.b).total_cmp(&b.a.distance(b.b)));
        let right = longest.map_or(P2::new(1.0, 0.0), |s| (s.b - s.a).unit());
        // The quarter turn that points right: the same floor drawn backward gets the same frame.
        let turns = [right, right.left(), right * -1.0, right.left() * -1.0];
        let right = turns.into_iter().max_by(|a, b| a.x.total_cmp(&b.x)).unwrap_or(right);
        Self { right: if right.norm() > 0.5 { right } else { P2::new(1.0, 0.0) } }
    }
    pub(crate) fn local(&self, p: P2) -> P2 {
        P2::new(p.dot(self.right), p.dot(self.right.left()))
    }
    pub(crate) fn plan(&self, p: P2) -> P2 {
        self.right * p.x + self.right.left() * p.y
    }
    pub(crate) fn ring(&self, ring: &Polygon) -> Vec<P2> {
        ring.corners().iter().map(|p| self.local(*p)).collect()
    }
    /// The boundary, then the openings.
    pub(crate) fn rings(&self, floor: &Floor) -> Vec<Vec<P2>> {
        std::iter::once(&floor.boundary).chain(&floor.holes).map(|r| self.ring(r)).collect()
    }
}

fn is_small(ring: &[P2]) -> bool {
    let (low, high) = ground::polygon::bounds(ring);
    (high.x - low.x).max(high.y - low.y) <= SMALL
}

/// The boundary and the openings that part the floor.
pub(super) fn large(input: &JointInput<'_>, rings: &[Vec<P2>]) -> Vec<Vec<P2>> {
    let is_kept = |i: &usize| *i == 0 || !is_small(&rings[*i]);
    (0..=input.floor.holes.len()).filter(is_kept).map(|i| rings[i].clone()).collect()
}

/// Inner corners of a ring walked with the floor on its left, each with its direction into the floor.
fn inner_corners(ring: &[P2]) -> Vec<[P2; 2]> {
    let n = ring.len();
    let turned = |i: usize| {
        let (a, b, c) = (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
        let (come, go) = ((b - a).unit(), (c - b).unit());
        // Going on as one came and turning back from where one goes both lead into the floor.
        (come.cross(go) < -CORNER).then(|| [b, (come - go).unit()])
    };
    (0..n).filter_map(turned).collect()
}

/// All inner corners on the plan, those of large openings too.
fn all_corners(input: &JointInput<'_>) -> Vec<CornerBars> {
    let near = |p: P2| {
        let corner = input.floor.corners.iter().find(|c| c.at.distance(p) < 1e-3);
        corner.map_or_else(|| "corner of the edge".to_owned(), |c| c.name.clone())
    };
    let named = |[at, inward]: [P2; 2], name: String| CornerBars { name, at, inward };
    let outer = inner_corners(input.floor.boundary.corners());
    let mut all: Vec<CornerBars> = outer.into_iter().map(|c| named(c, near(c[0]))).collect();
    for (i, hole) in input.floor.holes.iter().enumerate().filter(|(_, h)| !is_small(h.corners())) {
        let mut ring = hole.corners().to_vec();
        if signed_area(&ring) > 0.0 {
            ring.reverse();
        }
        let name = input.outline.openings.get(i).map_or("opening", |o| o.name.as_str());
        all.extend(inner_corners(&ring).into_iter().map(|c| named(c, format!("corner of {name}"))));
    }
    all
}

/// Points that want a joint through them, in the frame: inner corners, columns, drains.
pub(super) fn marks(input: &JointInput<'_>, frame: &Frame) -> Vec<P2> {
    let mut all: Vec<P2> = all_corners(input).into_iter().map(|c| frame.local(c.at)).collect();
    for (i, hole) in input.floor.holes.iter().enumerate().filter(|(_, h)| is_small(h.corners())) {
        let kind = input.outline.openings.get(i).map(|o| o.kind);
        if kind != Some(OpeningKind::Pipe) {
            let (low, high) = ground::polygon::bounds(&frame.ring(hole));
            all.push(low.lerp(high, 0.5));
        }
    }
    all
}

/// Places of forced joints in either direction.
pub(super) fn forced<'a>(input: &JointInput<'a>, frame: &Frame) -> [Vec<ForcedLine<'a>>; 2] {
    let mut all = [Vec::new(), Vec::new()];
    for wish in &input.wanted.wishes {
        let Wish::Joint([a, b]) = &wish.wish else { continue };
        let (a, b) = (frame.local(*a), frame.local(*b));
        let middle = a.lerp(b, 0.5);
        let name = wish.name.as_str();
        if (b - a).x.abs() < (b - a).y.abs() {
            all[0].push(ForcedLine { at: middle.x, name });
        } else {
            all[1].push(ForcedLine { at: middle.y, name });
        }
    }
    all
}

/// Places where no joint may run; a line becomes a narrow strip.
pub(super) fn kept_off(input: &JointInput<'_>) -> Vec<KeptOff> {
    let ring = |points: &[P2]| match points {
        [a, b] => {
            let along = (*b - *a).unit() * BESIDE_KEPT_OFF;
            let (a, b, side) = (*a - along, *b + along, along.left());
            Polygon::new(vec![a - side, b - side, b + side, a + side])
        }
        _ => Polygon::new(points.to_vec()),
    };
    let wishes = input.wanted.wishes.iter();
    let off = wishes.filter_map(|wish| match &wish.wish {
        Wish::KeepOff(points) => Some(KeptOff { name: wish.name.clone(), ring: ring(points) }),
        Wish::Joint(_) => None,
    });
    off.collect()
}

/// Whether the input can be worked with.
pub(super) fn check(input: &JointInput<'_>, frame: &Frame, notes: &mut Vec<Note>) {
    let wanted = input.wanted;
    let sizes = [
        ("depth", Some(input.depth)),
        ("largest stone", wanted.stone),
        ("slump", wanted.slump),
        ("spacing", wanted.spacing),
    ];
    for (what, size) in sizes {
        let is_size = |l: Length| l.in_metres() > 0.0 && l.in_metres() < 100.0;
        if size.is_some_and(|l| !is_size(l)) {
            notes.push(Note::fault(
                "joint-size-impossible",
                Place::job(),
                format!("the {what} is no positive length"),
                "state it as in \"4 in\"",
            ));
        }
    }
    for wish in &wanted.wishes {
        let Wish::Joint([a, b]) = &wish.wish else { continue };
        let along = (frame.local(*b) - frame.local(*a)).unit();
        let is_inside = input.floor.contains(a.lerp(*b, 0.5));
        if !is_inside || along.x.abs().min(along.y.abs()) > ASKEW || along.norm() < 0.5 {
            notes.push(Note::fault(
                "joint-askew",
                wish.place.clone(),
                format!(
                    "joint {} does not run along or square to the longest edge inside the floor",
                    wish.name
                ),
                "give both its ends, on the floor, along or square to the longest edge",
            ));
        }
    }
}

/// Warns of forced joints that run on through a place that is kept off.
pub(super) fn tell_of_wishes(input: &JointInput<'_>, joints: &[Joint], notes: &mut Vec<Note>) {
    let off = kept_off(input);
    let crosses = |joint: &Joint, ring: &Polygon| {
        // A thread along the joint has no width: what of it lies over the place is longer than nothing.
        ring.edges().any(|(p, q)| segments_cross([joint.a, joint.b], [p, q]))
            || ring.contains(joint.a.lerp(joint.b, 0.5))
    };
    for wish in &input.wanted.wishes {
        let runs = joints.iter().filter(|j| j.forced.as_deref() == Some(wish.name.as_str()));
        let runs: Vec<&Joint> = runs.collect();
        for place in off.iter().filter(|place| runs.iter().any(|joint| crosses(joint, &place.ring))) {
            notes.push(Note::warning(
                "joint-where-none-may-be",
                wish.place.clone(),
                format!("joint {} runs through {}, where no joint may be", wish.name, place.name),
                "move one of the two; a joint that must be there runs on to the edges of the floor",
            ));
        }
    }
}

fn segments_cross([a, b]: [P2; 2], [p, q]: [P2; 2]) -> bool {
    let (along, other) = (b - a, q - p);
    let sides = (along.cross(p - a) > 0.0) != (along.cross(q - a) > 0.0);
    sides && (other.cross(a - p) > 0.0) != (other.cross(b - p) > 0.0)
}

/// All joints in the order of cutting: by the bay they wait for, the middle of the floor first.
pub(super) fn cuts(input: &JointInput<'_>, frame: &Frame, places: &[Vec<f64>; 2]) -> Vec<Joint> {
    let rings = frame.rings(input.floor);
    let forced = forced(input, frame);
    let name = |way: usize, at: f64| {
        let here = forced[way].iter().find(|line| (line.at - at).abs() < 1e-3);
        here.map(|line| line.name.to_owned())
    };
    let mut all: Vec<(usize, f64, Joint)> = Vec::new();
    for (way, places) in places.iter().enumerate() {
        let (low, high) = (places[0], places[places.len() - 1]);
        for at in &places[1..places.len() - 1] {
            let off = (at - 0.5 * (low + high)).abs() / (high - low);
            for run in runs(&rings, way, *at) {
                let [a, b] = run.map(|p| frame.plan(p));
                let after = last_bay(input, a, b);
                let joint = Joint { a, b, tape: tape(input, a, b), after, forced: name(way, *at) };
                all.push((after, off, joint));
            }
        }
    }
    all.sort_by(|p, q| p.0.cmp(&q.0).then((p.1 * 1e6).round().total_cmp(&(q.1 * 1e6).round())));
    all.into_iter().map(|j| j.2).collect()
}

/// The last bay that a joint crosses or borders.
fn last_bay(input: &JointInput<'_>, a: P2, b: P2) -> usize {
    let looks = (0..LOOKS).map(|i| a.lerp(b, (i as f64 + 0.5) / LOOKS as f64));
    let bay = |p: P2| input.bays.iter().filter(|bay| bay.window.contains(p)).map(|bay| bay.number).max();
    looks.filter_map(bay).max().unwrap_or(0)
}

/// The tape from the nearest straight edge that runs along a joint and lies beside some of it; else from the line of any that runs along it.
fn tape(input: &JointInput<'_>, a: P2, b: P2) -> Option<(Length, String)> {
    let (middle, along) = (a.lerp(b, 0.5), (b - a).unit());
    let is_straight =
        |edge: usize| input.outline.edges.get(edge).is_none_or(|e| e.shape == EdgeShape::Straight);
    let edges = input.floor.segments.iter().filter(|s| is_straight(s.edge));
    let beside = edges.filter(|s| (s.b - s.a).unit().cross(along).abs() < 5e-3);
    let far = |s: &ground::outline::BoundarySegment| (middle - s.a).cross((s.b - s.a).unit()).abs();
    let ends = |p: P2, q: P2| [p.dot(along).min(q.dot(along)), p.dot(along).max(q.dot(along))];
    let own = ends(a, b);
    let is_off = |s: &ground::outline::BoundarySegment| {
        let its = ends(s.a, s.b);
        its[1].min(own[1]) - its[0].max(own[0]) < 1e-3
    };
    let real = beside.map(|s| (is_off(s), far(s), s.edge)).filter(|s| s.1 > 1e-3);
    let nearest = real.min_by(|p, q| p.0.cmp(&q.0).then(p.1.total_cmp(&q.1)).then(p.2.cmp(&q.2)))?;
    Some((Length::metres(nearest.1), edge_name(input.floor, nearest.2)))
}

/// Inner corners that no joint touches.
pub(super) fn corners(input: &JointInput<'_>, joints: &[Joint]) -> Vec<CornerBars> {
    let is_met = |p: P2| joints.iter().any(|j| distance_to_segment(p, j.a, j.b) < 5e-3);
    all_corners(input).into_iter().filter(|c| !is_met(c.at)).collect()
}

/// Strips along walls, and round columns, pipes and drains.
pub(super) fn strips(input: &JointInput<'_>) -> Vec<Strip> {
    let mut all: Vec<Strip> = Vec::new();
    for s in input.floor.segments.iter().filter(|s| s.kind == EdgeKind::Wall) {
        let (name, long) = (edge_name(input.floor, s.edge), Length::metres(s.a.distance(s.b)));
        match all.last_mut() {
            Some(last) if last.name == name => last.length += long,
            _ => all.push(Strip { at: StripAt::Wall, name, length: long }),
        }
    }
    for (hole, opening) in input.floor.holes.iter().zip(&input.outline.openings) {
        if opening.kind != OpeningKind::Opening {
            let length = Length::metres(hole.perimeter());
            all.push(Strip { at: StripAt::Opening, name: opening.name.clone(), length });
        }
    }
    all
}

/// Dowels along existing slabs: as many as the spacing asks for, those at the ends at least half a spacing from them.
pub(super) fn dowels(input: &JointInput<'_>) -> Option<Dowels> {
    let bar = dowel(input.depth)?;
    let apart = bar.spacing.in_metres();
    let mut places = Vec::new();
    for side in input.floor.segments.iter().filter(|s| s.kind == EdgeKind::ExistingSlab) {
        let (long, along) = (side.a.distance(side.b), (side.b - side.a).unit());
        let count = (long / apart + 1e-6).floor() as usize;
        let first = 0.5 * (long - apart * count.saturating_sub(1) as f64);
        let at = |i: usize| side.a + along * (first + apart * i as f64);
        places.extend((0..count).map(|i| DowelPlace { at: at(i), inward: along.left() }));
    }
    (!places.is_empty()).then_some(Dowels { bar, places })
}
