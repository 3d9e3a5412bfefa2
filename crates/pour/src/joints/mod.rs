//! Contraction joints: where to saw, how deep, in which order, and what else keeps cracks away.
//!
//! Method, sources and limits: `docs/methods/joints.md`.

mod details;
mod lines;
mod panels;
mod search;
mod spacing;

use std::collections::BTreeSet;

use basis::quantity::length;
use basis::{Area, Length, Note, Place, Report, UnitSystem, has_fault};
use ground::outline::{Floor, Outline};
use ground::{P2, Polygon};

pub use details::{CornerBars, DowelPlace, Dowels, KeptOff, Strip, StripAt};
pub use spacing::{
    Dowel, FARTHEST, LARGE_STONE, LOW_SLUMP, MOST_ASPECT, Saw, Spacing, dowel, greatest_spacing, saw_depth,
};

use crate::bays::{Bay, BayPlan};
use crate::job::{Job, Jointing};
pub(crate) use details::Frame;
use lines::{Along, Wishes, chords, transposed};
use search::Limits;

/// A panel with a side under this is a sliver: 2 ft (common practice, no source).
pub const SLIVER: Length = Length::feet(2.0);

/// What joints are laid out from.
#[derive(Debug, Clone, Copy)]
pub struct JointInput<'a> {
    /// The floor.
    pub floor: &'a Floor,
    /// The outline, for names and kinds of openings.
    pub outline: &'a Outline,
    /// Depth of the slab.
    pub depth: Length,
    /// Stone, slump, saw, spacing, joints that must be there and places where none may run.
    pub wanted: &'a Jointing,
    /// The bays in order of placing; none for one pour.
    pub bays: &'a [Bay],
    /// Units of the words.
    pub units: UnitSystem,
}

/// The joints of a floor.
#[derive(Debug, Clone, PartialEq)]
pub struct JointPlan {
    /// Greatest spacing that depth, stone and slump allow.
    pub spacing: Spacing,
    /// What the layout goes by: the spacing that is wanted, or the greatest allowed.
    pub apart: Length,
    /// How joints are cut.
    pub saw: Saw,
    /// Depth of the cut.
    pub cut: Length,
    /// Joints in the order of cutting.
    pub joints: Vec<Joint>,
    /// Panels from the lower left.
    pub panels: Vec<Panel>,
    /// Sawing in all.
    pub sawn: Length,
    /// No layout of lines right across the floor, over the places looked at, saws less than this.
    pub least: Length,
    /// Inner corners that no joint starts from.
    pub corners: Vec<CornerBars>,
    /// Isolation strips.
    pub strips: Vec<Strip>,
    /// Dowels to existing slabs; nothing where there is no such slab.
    pub dowels: Option<Dowels>,
    /// Places where no joint may run.
    pub kept_off: Vec<KeptOff>,
}

/// One joint, from edge to edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Joint {
    /// First end, m.
    pub a: P2,
    /// Second end, m.
    pub b: P2,
    /// Distance from the nearest edge that runs along it, with the edge's name.
    pub tape: Option<(Length, String)>,
    /// The bay after which it can be cut, from 1; 0 without bays.
    pub after: usize,
    /// The user's name for it, when it is one that must be there.
    pub forced: Option<String>,
}

impl Joint {
    /// Length of the cut.
    #[must_use]
    pub fn length(&self) -> Length {
        Length::metres(self.a.distance(self.b))
    }
}

/// One panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Its outline.
    pub ring: Polygon,
    /// Along and across the frame of the joints.
    pub size: [Length; 2],
    /// Net area.
    pub area: Area,
    /// Rules that it breaks, in words; empty when it meets all.
    pub breaks: Vec<String>,
}

impl Panel {
    /// Longest side over shortest.
    #[must_use]
    pub fn aspect(&self) -> f64 {
        let [a, b] = self.size.map(Length::in_metres);
        a.max(b) / a.min(b)
    }
}

/// Lays out the joints of a job on its floor and bays.
///
/// # Errors
/// As [`joints`].
#[must_use]
pub fn joints_of(job: &Job, floor: &Floor, outline: &Outline, bays: &BayPlan) -> Report<JointPlan> {
    joints(&JointInput {
        floor,
        outline,
        depth: job.slab.nominal,
        wanted: &job.joints,
        bays: &bays.bays,
        units: job.units,
    })
}

/// Lays joints out: fewest panels over a limit first, then least sawing.
///
/// Joints run straight across the floor in two directions, those of its longest straight edge. Refused when a
/// length is no positive number, a forced joint runs askew or outside, or the floor has no width. Warned of: panels over a
/// limit, a wanted spacing over what is allowed, a forced joint that crosses a place kept off.
#[must_use]
pub fn joints(input: &JointInput<'_>) -> Report<JointPlan> {
    let mut notes = Vec::new();
    let frame = Frame::of(input.floor);
    details::check(input, &frame, &mut notes);
    if has_fault(&notes) {
        return Report::refused(notes);
    }
    let wanted = input.wanted;
    let spacing = greatest_spacing(input.depth, wanted.stone, wanted.slump);
    let apart = wanted.spacing.unwrap_or(spacing.most);
    let limits = Limits { most: apart.in_metres(), aspect: MOST_ASPECT, sliver: SLIVER.in_metres() };
    // A panel is judged by the nearer of the two: what is wanted does not make wide panels sound.
    let judged = Limits { most: apart.min(spacing.most).in_metres(), ..limits };
    let Some((places, least)) = chosen(input, &frame, limits) else {
        notes.push(Note::fault(
            "no-room-for-joints",
            input.floor.place(),
            "the floor has no width to lay joints out in",
            "check the corners",
        ));
        return Report::refused(notes);
    };
    let joints = details::cuts(input, &frame, &places);
    let panels = panels(input, &frame, &places, judged);
    tell(input, &panels, &spacing, &mut notes);
    details::tell_of_wishes(input, &joints, &mut notes);
    let sawn = joints.iter().map(|j| j.length()).fold(Length::ZERO, |a, b| a + b);
    let corners = details::corners(input, &joints);
    let saw = wanted.saw.unwrap_or(Saw::Conventional);
    let plan = JointPlan {
        cut: saw_depth(input.depth, saw),
        saw,
        apart,
        corners,
        strips: details::strips(input),
        dowels: details::dowels(input),
        kept_off: details::kept_off(input),
        least: Length::metres(least).min(sawn),
        spacing,
        joints,
        panels,
        sawn,
    };
    Report::with(plan, notes)
}

/// Places of lines in both directions, ends of the floor included, and the least sawing.
fn chosen(input: &JointInput<'_>, frame: &Frame, limits: Limits) -> Option<([Vec<f64>; 2], f64)> {
    let rings = frame.rings(input.floor);
    let large = details::large(input, &rings);
    let marks = details::marks(input, frame);
    let forced = details::forced(input, frame).map(|way| way.into_iter().map(|f| f.at).collect::<Vec<f64>>());
    let jambs: Vec<P2> = input.floor.doors.iter().flat_map(|d| [d.a, d.b]).map(|p| frame.local(p)).collect();
    let zones: Vec<Vec<P2>> = details::kept_off(input).iter().map(|z| frame.ring(&z.ring)).collect();
    let wishes = |way: usize| Wishes {
        marks: marks.iter().map(|p| [p.x, p.y][way]).collect(),
        jambs: jambs.iter().map(|p| [p.x, p.y][way]).collect(),
        keep_off: if way == 0 { zones.clone() } else { transposed(&zones) },
        forced: forced[way].clone(),
    };
    let along = [
        Along::new(&rings, &large, &wishes(0), limits.most)?,
        Along::new(&transposed(&rings), &transposed(&large), &wishes(1), limits.most)?,
    ];
    let inner =
        |way: usize, at: f64| along[way].index(at).filter(|i| *i > 0 && i + 1 < along[way].places.len());
    let wanted = [0, 1].map(|way| forced[way].iter().filter_map(|x| inner(way, *x)).collect::<BTreeSet<_>>());
    let choices: Vec<search::Choice> = marks.iter().map(|p| [inner(0, p.x), inner(1, p.y)]).collect();
    let found = search::search(&along, &wanted, &choices, limits);
    let places = [0, 1].map(|way| {
        let all = &along[way].places;
        let inner = found.lines[way].iter().map(|i| all[*i]);
        std::iter::once(all[0]).chain(inner).chain(all.last().copied()).collect::<Vec<f64>>()
    });
    Some((places, found.least))
}

fn panels(input: &JointInput<'_>, frame: &Frame, places: &[Vec<f64>; 2], limits: Limits) -> Vec<Panel> {
    let triangles: Vec<[P2; 3]> = input.floor.triangles.iter().map(|t| t.map(|p| frame.local(p))).collect();
    let all = panels::cut(&triangles, &places[0], &places[1]);
    let panel = |cut: &panels::Cut| {
        let size = cut.bounds[1] - cut.bounds[0];
        Panel {
            ring: Polygon::new(cut.ring.iter().map(|p| frame.plan(*p)).collect()),
            size: [Length::metres(size.x), Length::metres(size.y)],
            area: Area::square_metres(cut.area),
            breaks: broken(size, limits, input.units),
        }
    };
    all.iter().map(panel).collect()
}

/// The rules that a panel of a size breaks, in words.
fn broken(size: P2, limits: Limits, units: UnitSystem) -> Vec<String> {
    let (long, short) = (size.x.max(size.y), size.x.min(size.y));
    let told = |metres: f64| length(Length::metres(metres), units);
    let mut all = Vec::new();
    if long > limits.most + 1e-3 {
        all.push(format!("longer than {}", told(limits.most)));
    }
    if long > limits.aspect * short + 1e-3 {
        all.push(format!("{:.1} times as long as wide, over {}", long / short, limits.aspect));
    }
    if short < limits.sliver - 1e-3 {
        all.push(format!("a sliver, under {}", told(limits.sliver)));
    }
    all
}

fn tell(input: &JointInput<'_>, panels: &[Panel], spacing: &Spacing, notes: &mut Vec<Note>) {
    if input.wanted.stone.is_none() {
        notes.push(Note::remark(
            "stone-not-known",
            Place::job(),
            format!(
                "the largest stone is not known; joints stand at most {} apart, as for stone under 3/4 in.",
                length(spacing.most, input.units)
            ),
        ));
    }
    if let Some(asked) = input.wanted.spacing.filter(|asked| *asked > spacing.most) {
        let [asked, most] = [asked, spacing.most].map(|l| length(l, input.units));
        notes.push(Note::warning(
            "joints-far-apart",
            Place::at("joints.spacing"),
            format!("joints are wanted up to {asked} apart; {most} is {}", spacing.why),
            "state stone and slump if they allow more, or count on cracks between the joints",
        ));
    }
    let count = panels.iter().filter(|p| !p.breaks.is_empty()).count();
    if count > 0 {
        notes.push(Note::warning(
            "panels-over-limits",
            input.floor.place(),
            format!("{count} of {} panels break a rule of spacing, shape or least width", panels.len()),
            "put bars or mesh there, add a joint by hand, or accept the crack",
        ));
    }
}

/// Runs of the joints at a place in a direction, in the frame.
fn runs(rings: &[Vec<P2>], way: usize, at: f64) -> Vec<[P2; 2]> {
    if way == 0 {
        chords(rings, at).iter().map(|c| [P2::new(at, c[0]), P2::new(at, c[1])]).collect()
    } else {
        chords(&transposed(rings), at).iter().map(|c| [P2::new(c[0], at), P2::new(c[1], at)]).collect()
    }
}

#[cfg(test)]
mod tests;
