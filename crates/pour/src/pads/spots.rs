//! Where pads stand along a line that is to be struck.

use basis::UnitSystem;
use ground::P2;
use ground::outline::EdgeKind;
use ground::polygon::distance_to_segment;

use super::{NEAR_FORM, PadFor, PadInput, STRAIGHT};
use crate::bays::RidesOn;
use crate::profile;

/// Pads nearer than this are one, m.
pub(super) const APART: f64 = 0.25;
/// A shorter stretch is struck with its neighbours, m.
const SHORT: f64 = 0.3;

/// How far a pad stands off a wall or the box of an opening, so that the rod can stand on it, m.
const fn off_wall(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Us => NEAR_FORM.in_metres(),
        UnitSystem::Metric => 0.15,
    }
}

/// A stretch that is to be struck.
#[derive(Debug, Clone, Copy)]
pub(super) struct Line {
    pub bay: usize,
    pub from: P2,
    pub to: P2,
    pub beside: RidesOn,
}

/// The lines of all bays in order of use; a line between two bays belongs to the one placed first.
///
/// A side that rides on nothing is the floor's own bent edge: its form gives grade.
pub(super) fn lines(input: &PadInput<'_>) -> Vec<Line> {
    let mut all = Vec::new();
    for bay in &input.bays.bays {
        for (k, side) in bay.sides[..2].iter().enumerate() {
            // Inward of the left side is to the right, and the other way round.
            let inward = bay.axis.left() * if k == 0 { -1.0 } else { 1.0 };
            for run in side.runs.iter().filter(|r| r.from.distance(r.to) >= SHORT) {
                let off = match run.on {
                    RidesOn::Bay(next) if next > bay.number => P2::default(),
                    RidesOn::Wall => inward * off_wall(input.units).min(0.5 * bay.width.in_metres()),
                    _ => continue,
                };
                all.push(Line { bay: bay.number, from: run.from + off, to: run.to + off, beside: run.on });
            }
        }
    }
    all
}

/// The spots along a line.
pub(super) fn along(input: &PadInput<'_>, line: &Line, span: f64) -> Vec<(P2, PadFor)> {
    let length = line.from.distance(line.to);
    if !length.is_finite() || length <= 0.0 {
        return Vec::new();
    }
    let at = |s: f64| line.from.lerp(line.to, s / length);
    let (first, last) = (end(input, line, true), end(input, line, false));
    let (start, stop) = (first.off.min(0.5 * length), length - last.off.min(0.5 * length));
    let mut knots = vec![(start, if first.carried { None } else { Some(PadFor::End) })];
    for s in profile::breaks(line.from, line.to, input.finish, STRAIGHT.in_metres()) {
        let clear = s > start + APART.min(first.clear()) && s < stop - APART.min(last.clear());
        if clear && knots.last().is_none_or(|k| s - k.0 >= NEAR_FORM.in_metres()) {
            knots.push((s, Some(PadFor::Break)));
        }
    }
    if stop - start > APART || (first.carried && !last.carried) {
        knots.push((stop, if last.carried { None } else { Some(PadFor::End) }));
    }
    let mut spots = Vec::new();
    for pair in knots.windows(2) {
        spots.extend(pair[0].1.map(|why| (at(pair[0].0), why)));
        let gap = pair[1].0 - pair[0].0;
        let pieces = (gap / span - 1e-9).ceil().clamp(1.0, 10_000.0);
        spots.extend((1..pieces as usize).map(|i| (at(pair[0].0 + gap * i as f64 / pieces), PadFor::Span)));
    }
    spots.extend(knots.last().and_then(|k| k.1.map(|why| (at(k.0), why))));
    spots
}

/// How a line ends: on something that gives grade, or at a wall or box, or in the open.
struct End {
    carried: bool,
    off: f64,
}

impl End {
    /// How near a break may stand: at a form, six inches; elsewhere as near as pads may.
    fn clear(&self) -> f64 {
        if self.carried { NEAR_FORM.in_metres() } else { APART }
    }
}

fn end(input: &PadInput<'_>, line: &Line, at_start: bool) -> End {
    let at = if at_start { line.from } else { line.to };
    let near = NEAR_FORM.in_metres();
    let gives_grade = input.floor.segments.iter().any(|s| {
        matches!(s.kind, EdgeKind::Free | EdgeKind::ExistingSlab) && distance_to_segment(at, s.a, s.b) < near
    });
    if gives_grade {
        return End { carried: true, off: 0.0 };
    }
    let shut = input.floor.boundary.distance_to_edge(at) < 0.5 * off_wall(input.units)
        || input
            .floor
            .holes
            .iter()
            .any(|h| h.contains(at) || h.distance_to_edge(at) < 0.5 * off_wall(input.units));
    End { carried: false, off: if shut { off_wall(input.units) } else { 0.0 } }
}
