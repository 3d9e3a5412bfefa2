//! Least squares over legs, turns and check measures [@ghilani2010].
//!
//! Unknown are the corners but the first, which stays at the origin; the first leg's direction holds the
//! plan from turning. Observed are every leg's length, every heading and every check measure, each with
//! its own spread. Gauss–Newton from the corners as walked; taped floors are near enough to linear that
//! a few rounds reach the last digits.

use std::collections::BTreeMap;

use basis::math::{atan2, cos, sin};
use basis::{Angle, Length, Note, Report, UnitSystem};
use nalgebra::{DMatrix, DVector};

use super::{Heading, Walk};
use crate::outline::{Corner, EdgeShape};
use crate::{P2, words};

/// How far a measured distance is off after adjustment.
#[derive(Debug, Clone, PartialEq)]
pub struct Residual {
    /// What was measured: `A-B`.
    pub name: String,
    /// Adjusted less measured.
    pub off: Length,
}

/// A walk made to close.
#[derive(Debug, Clone, PartialEq)]
pub struct AdjustedWalk {
    /// The corners, in the order walked, first at the origin.
    pub corners: Vec<Corner>,
    /// `shapes[i]` is how the edge from corner `i` runs.
    pub shapes: Vec<EdgeShape>,
    /// Distance from the last leg's end to the start before adjustment.
    pub gap: Length,
    /// Legs first, then check measures.
    pub residuals: Vec<Residual>,
    /// Corners stated square, with how far they are from it; positive is wider than square.
    pub out_of_square: Vec<(String, Angle)>,
    /// Sum of squared standardised misfits over the redundancy: near 1 where the tape errors are right.
    pub fit: f64,
}

/// Rounds of Gauss–Newton; the step after the last is below a nanometre on any taped floor.
const ROUNDS: usize = 12;
/// Most legs and most check measures accepted: the equations grow with the square of their number.
const MOST: [usize; 2] = [300, 2000];
/// Farthest leg accepted, m.
const LONGEST_LEG: f64 = 10_000.0;

/// Makes a walked outline close.
///
/// # Errors
/// Refused with all faults: fewer than three legs, lengths that no floor has, names repeated or unknown,
/// a last leg that does not name the start, a gap over `closure_limit`.
#[must_use]
pub fn adjust(walk: &Walk) -> Report<AdjustedWalk> {
    let mut notes = Vec::new();
    if walk.legs.len() > MOST[0] || walk.measures.len() > MOST[1] {
        let message =
            format!("{} legs and {} check measures are no walk", walk.legs.len(), walk.measures.len());
        notes.push(Note::fault(
            "walk-too-long",
            walk.place.clone(),
            message,
            "give the outline by its corners",
        ));
        return Report::refused(notes);
    }
    let names = names(walk, &mut notes);
    check_figures(walk, &mut notes);
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let measures: Vec<Option<(usize, usize)>> = walk
        .measures
        .iter()
        .map(|m| Some((*names.get(m.from.as_str())?, *names.get(m.to.as_str())?)))
        .collect();
    for (measure, ends) in walk.measures.iter().zip(&measures) {
        if ends.is_none_or(|(a, b)| a == b) {
            let message =
                format!("{}-{} does not lie between two corners of the walk", measure.from, measure.to);
            notes.push(Note::fault(
                "measure-between-unknown-corners",
                measure.place.clone(),
                message,
                "name two corners of the walk",
            ));
        }
    }
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let (start, gap) = as_walked(walk);
    if gap.norm() > walk.closure_limit.in_metres() {
        notes.push(does_not_close(walk, gap));
        return Report::refused(notes);
    }
    let measures: Vec<(usize, usize)> = measures.into_iter().flatten().collect();
    let Some(corners) = solved(walk, start, &measures) else {
        let message = "the measures of the outline contradict each other";
        notes.push(Note::fault("walk-not-adjusted", walk.place.clone(), message, "check lengths and turns"));
        return Report::refused(notes);
    };
    let adjusted = told(walk, &corners, &measures, gap);
    notes.push(Note::in_both(|units| {
        let message = format!("the walk closes within {} and is adjusted", words::small(gap.norm(), units));
        Note::remark("walk-adjusted", walk.place.clone(), message)
    }));
    notes.extend(contradiction(walk, &adjusted));
    for (corner, off) in adjusted.out_of_square.iter().filter(|(_, off)| off.in_degrees().abs() > 0.1) {
        notes.push(Note::in_both(|units| out_of_square(walk, corner, *off, units)));
    }
    Report::with(adjusted, notes)
}

fn out_of_square(walk: &Walk, corner: &str, off: Angle, units: UnitSystem) -> Note {
    let (run, said) = match units {
        UnitSystem::Us => (Length::feet(10.0), "10 ft"),
        UnitSystem::Metric => (Length::metres(3.0), "3 m"),
    };
    let aside = words::small((off.in_radians() * run.in_metres()).abs(), units);
    let message = format!("corner {corner} is {:+.2} deg out of square, {aside} in {said}", off.in_degrees());
    Note::remark("out-of-square", walk.place.clone(), message)
}

/// The measures misfit by more than chance: chi-square at 99.9 % by Wilson and Hilferty's cube.
fn contradiction(walk: &Walk, adjusted: &AdjustedWalk) -> Option<Note> {
    let redundancy = (2 + walk.measures.len()) as f64;
    let ninth = 2.0 / (9.0 * redundancy);
    let limit = (1.0 - ninth + 3.09 * ninth.sqrt()).powi(3);
    if adjusted.fit <= limit {
        return None;
    }
    let places = walk.legs.iter().map(|l| &l.place).chain(walk.measures.iter().map(|m| &m.place));
    let (worst, place) = adjusted
        .residuals
        .iter()
        .zip(places)
        .max_by(|a, b| a.0.off.in_metres().abs().total_cmp(&b.0.off.in_metres().abs()))?;
    let message = |units| {
        format!(
            "the measures misfit {:.1} times as much as the tape and the eye should; worst is {}, off by {}",
            adjusted.fit.sqrt(),
            worst.name,
            words::small(worst.off.in_metres().abs(), units)
        )
    };
    Some(Note::in_both(|units| {
        Note::warning(
            "measures-disagree",
            place.clone(),
            message(units),
            "measure it, and the turns beside it, again",
        )
    }))
}

/// Corner names by index; the last leg comes back to the first.
fn names<'a>(walk: &'a Walk, notes: &mut Vec<Note>) -> BTreeMap<&'a str, usize> {
    let mut names = BTreeMap::from([(walk.start.as_str(), 0)]);
    if walk.legs.len() < 3 {
        let message = format!("a floor has at least 3 sides, this walk has {}", walk.legs.len());
        notes.push(Note::fault("too-few-corners", walk.place.clone(), message, "add the missing legs"));
        return names;
    }
    for (i, leg) in walk.legs.iter().enumerate().take(walk.legs.len() - 1) {
        if names.insert(&leg.to, i + 1).is_some() {
            let message = format!("corner {} is reached twice", leg.to);
            notes.push(Note::fault(
                "corner-name-repeated",
                leg.place.clone(),
                message,
                "give each corner its own name",
            ));
        }
    }
    if let Some(last) = walk.legs.last().filter(|leg| leg.to != walk.start) {
        let message = format!("the last leg ends at {}, not at the start {}", last.to, walk.start);
        notes.push(Note::fault(
            "walk-ends-elsewhere",
            last.place.clone(),
            message,
            "add the leg back to the start",
        ));
    }
    names
}

fn check_figures(walk: &Walk, notes: &mut Vec<Note>) {
    let lengths = walk
        .legs
        .iter()
        .map(|l| (l.length, &l.place))
        .chain(walk.measures.iter().map(|m| (m.length, &m.place)));
    for (length, place) in lengths {
        if !(1e-3..LONGEST_LEG).contains(&length.in_metres()) {
            let message = format!("a side of {:e} m is no floor's", length.in_metres());
            notes.push(Note::fault("leg-out-of-range", place.clone(), message, "check figure and unit"));
        }
    }
    let sd = [walk.errors.length.in_metres(), walk.errors.heading.in_radians()];
    if sd.iter().any(|v| !v.is_finite() || *v <= 0.0) {
        let message = "the errors of tape and eye must be more than nought";
        notes.push(Note::fault(
            "tape-errors-out-of-range",
            walk.place.clone(),
            message,
            "1/8 in and half a degree are common",
        ));
    }
}

/// Direction of each leg, rad.
fn directions(walk: &Walk) -> Vec<f64> {
    let mut direction = 0.0;
    walk.legs
        .iter()
        .map(|leg| {
            direction = match leg.heading {
                Heading::Toward(angle) => angle.in_radians(),
                Heading::Turn(turn) => direction + turn.in_radians(),
            };
            direction
        })
        .collect()
}

/// Corners as walked, and the gap left at the end.
fn as_walked(walk: &Walk) -> (Vec<P2>, P2) {
    let mut corners = Vec::with_capacity(walk.legs.len());
    let mut at = P2::default();
    for (leg, direction) in walk.legs.iter().zip(directions(walk)) {
        corners.push(at);
        at = at + P2::new(cos(direction), sin(direction)) * leg.length.in_metres();
    }
    (corners, at)
}

fn does_not_close(walk: &Walk, gap: P2) -> Note {
    // A slip in one leg leaves the gap along that leg.
    let along = |d: &f64| P2::new(cos(*d), sin(*d)).dot(gap.unit()).abs();
    let likely = directions(walk)
        .iter()
        .enumerate()
        .max_by(|a, b| along(a.1).total_cmp(&along(b.1)))
        .map_or(0, |x| x.0);
    let hint = format!("measure again; a slip in the leg to {} would leave such a gap", walk.legs[likely].to);
    Note::in_both(|units| {
        let message = format!(
            "the walk ends {} to the right of and {} above its start; the limit is {}",
            words::small(gap.x, units),
            words::small(gap.y, units),
            words::small(walk.closure_limit.in_metres(), units)
        );
        Note::fault("walk-does-not-close", walk.legs[likely].place.clone(), message, hint.clone())
    })
}

/// One observation: its misfit, its spread, and its derivatives by corner.
struct Observed {
    misfit: f64,
    sd: f64,
    by: Vec<(usize, P2)>,
}

fn distance(corners: &[P2], a: usize, b: usize, length: Length, sd: f64) -> Observed {
    let run = corners[b] - corners[a];
    let unit = run.unit();
    Observed { misfit: length.in_metres() - run.norm(), sd, by: vec![(b, unit), (a, unit * -1.0)] }
}

/// Direction from `a` to `b` and its derivatives.
fn direction(corners: &[P2], a: usize, b: usize) -> (f64, P2) {
    let run = corners[b] - corners[a];
    (atan2(run.y, run.x), run.left() / run.dot(run))
}

fn wrapped(angle: f64) -> f64 {
    let tau = std::f64::consts::TAU;
    angle - tau * (angle / tau).round()
}

fn observations(walk: &Walk, corners: &[P2], measures: &[(usize, usize)]) -> Vec<Observed> {
    let n = corners.len();
    let (length_sd, heading_sd) = (walk.errors.length.in_metres(), walk.errors.heading.in_radians());
    let mut all = Vec::new();
    for (i, leg) in walk.legs.iter().enumerate() {
        let (a, b) = (i, (i + 1) % n);
        all.push(distance(corners, a, b, leg.length, length_sd));
        let (here, by_here) = direction(corners, a, b);
        let mut by = vec![(b, by_here), (a, by_here * -1.0)];
        let stated = match leg.heading {
            Heading::Toward(angle) => angle.in_radians() - here,
            // The first leg has none before it: its turn is from "right".
            Heading::Turn(turn) if i == 0 => turn.in_radians() - here,
            Heading::Turn(turn) => {
                let (before, by_before) = direction(corners, i - 1, i);
                by.extend([(i, by_before * -1.0), (i - 1, by_before)]);
                turn.in_radians() - (here - before)
            }
        };
        // The first direction is held: it only says how the plan is turned.
        let sd = if i == 0 { heading_sd * 1e-6 } else { heading_sd };
        all.push(Observed { misfit: wrapped(stated), sd, by });
    }
    let checks = walk.measures.iter().zip(measures);
    all.extend(checks.map(|(m, &(a, b))| distance(corners, a, b, m.length, length_sd)));
    all
}

fn solved(walk: &Walk, start: Vec<P2>, measures: &[(usize, usize)]) -> Option<Vec<P2>> {
    let mut corners = start;
    let unknowns = 2 * (corners.len() - 1);
    for _ in 0..ROUNDS {
        let observed = observations(walk, &corners, measures);
        let mut design = DMatrix::zeros(observed.len(), unknowns);
        let mut misfit = DVector::zeros(observed.len());
        for (row, o) in observed.iter().enumerate() {
            misfit[row] = o.misfit / o.sd;
            for &(corner, by) in o.by.iter().filter(|(corner, _)| *corner > 0) {
                design[(row, 2 * corner - 2)] += by.x / o.sd;
                design[(row, 2 * corner - 1)] += by.y / o.sd;
            }
        }
        let normal = design.transpose() * &design;
        let step = normal.cholesky()?.solve(&(design.transpose() * misfit));
        for (i, corner) in corners.iter_mut().enumerate().skip(1) {
            *corner = *corner + P2::new(step[2 * i - 2], step[2 * i - 1]);
        }
        if step.amax() < 1e-12 {
            break;
        }
    }
    corners.iter().all(|c| c.is_finite()).then_some(corners)
}

fn told(walk: &Walk, corners: &[P2], measures: &[(usize, usize)], gap: P2) -> AdjustedWalk {
    let n = corners.len();
    let name = |i: usize| if i == 0 { walk.start.clone() } else { walk.legs[i - 1].to.clone() };
    let off = |a: usize, b: usize, length: Length| Residual {
        name: format!("{}-{}", name(a), name(b)),
        off: Length::metres(corners[a].distance(corners[b])) - length,
    };
    let legs = walk.legs.iter().enumerate().map(|(i, leg)| off(i, (i + 1) % n, leg.length));
    let checks = walk.measures.iter().zip(measures).map(|(m, &(a, b))| off(a, b, m.length));
    let square = |turn: f64| (turn.abs() - std::f64::consts::FRAC_PI_2).abs() < 1e-9;
    let stated = directions(walk);
    let out_of_square = (0..n).filter(|&i| square(wrapped(stated[i] - stated[(i + n - 1) % n]))).map(|i| {
        let (before, here) = (direction(corners, (i + n - 1) % n, i).0, direction(corners, i, (i + 1) % n).0);
        // The corner's own angle is a straight line less the turn.
        (name(i), Angle::radians(std::f64::consts::FRAC_PI_2 - wrapped(here - before).abs()))
    });
    let squares: f64 =
        observations(walk, corners, measures).iter().map(|o| (o.misfit / o.sd) * (o.misfit / o.sd)).sum();
    AdjustedWalk {
        fit: squares / (2 + measures.len()) as f64,
        corners: corners
            .iter()
            .enumerate()
            .map(|(i, &at)| Corner { name: name(i), at, place: walk.legs[(i + n - 1) % n].place.clone() })
            .collect(),
        shapes: walk.legs.iter().map(|leg| leg.shape).collect(),
        gap: Length::metres(gap.norm()),
        residuals: legs.chain(checks).collect(),
        out_of_square: out_of_square.collect(),
    }
}

#[cfg(test)]
mod tests {
    use basis::Place;

    use super::*;
    use crate::walk::{Leg, Measure, TapeErrors};

    fn walk(legs: &[(&str, f64, f64)], measures: &[(&str, &str, f64)]) -> Walk {
        let leg = |&(to, turn, length): &(&str, f64, f64)| Leg {
            to: to.into(),
            heading: Heading::Turn(Angle::degrees(turn)),
            length: Length::metres(length),
            shape: EdgeShape::Straight,
            place: Place::job(),
        };
        let measure = |&(a, b, length): &(&str, &str, f64)| Measure {
            from: a.into(),
            to: b.into(),
            length: Length::metres(length),
            place: Place::job(),
        };
        Walk {
            start: "A".into(),
            legs: legs.iter().map(leg).collect(),
            measures: measures.iter().map(measure).collect(),
            errors: TapeErrors { length: Length::millimetres(3.0), heading: Angle::degrees(0.5) },
            closure_limit: Length::millimetres(100.0),
            place: Place::at("walk"),
        }
    }

    const RECTANGLE: [(&str, f64, f64); 4] =
        [("B", 0.0, 4.0), ("C", 90.0, 3.0), ("D", 90.0, 4.0), ("A", 90.0, 3.0)];

    /// A 3-4-5 with its diagonal taped right stays as walked.
    #[test]
    fn three_four_five() {
        let done = adjust(&walk(&RECTANGLE, &[("A", "C", 5.0), ("B", "D", 5.0)])).value.unwrap();
        assert!(done.residuals.iter().all(|r| r.off.in_metres().abs() < 1e-9));
        assert!(done.corners[2].at.distance(P2::new(4.0, 3.0)) < 1e-9);
        assert!(done.out_of_square.iter().all(|(_, off)| off.in_degrees().abs() < 1e-6));
        assert_eq!(done.out_of_square.len(), 4);
    }

    /// With no check measure a square floor whose sides are equal in pairs but for 8 mm shares the gap:
    /// each of the two sides takes half (closed form of two equal observations of one length).
    #[test]
    fn a_gap_is_shared_by_opposite_sides() {
        let mut long = RECTANGLE;
        long[2].2 = 4.008;
        let mut loose = walk(&long, &[]);
        loose.errors.heading = Angle::degrees(1e-4);
        let done = adjust(&loose).value.unwrap();
        assert!((done.gap.in_millimetres() - 8.0).abs() < 1e-6);
        assert!((done.residuals[0].off.in_millimetres() - 4.0).abs() < 1e-3);
        assert!((done.residuals[2].off.in_millimetres() + 4.0).abs() < 1e-3);
    }

    /// Diagonals 12 mm apart rack the rectangle: for small angles the shear is Δd·d / (2·w·h).
    #[test]
    fn unequal_diagonals_tell_the_out_of_square() {
        let mut racked = walk(&RECTANGLE, &[("A", "C", 5.006), ("B", "D", 4.994)]);
        racked.errors.heading = Angle::degrees(45.0);
        let done = adjust(&racked).value.unwrap();
        let shear = 0.012 * 5.0 / (2.0 * 4.0 * 3.0);
        for (name, off) in &done.out_of_square {
            let sign = if name == "A" || name == "C" { -1.0 } else { 1.0 };
            assert!((off.in_radians() - sign * shear).abs() < 0.02 * shear, "{name} {off:?}");
        }
        let report = adjust(&racked);
        assert_eq!(report.notes.iter().filter(|n| n.code == "out-of-square").count(), 4);
    }

    #[test]
    fn faulty_walks_are_told() {
        let codes = |w: &Walk| -> Vec<&'static str> { adjust(w).notes.iter().map(|n| n.code).collect() };
        let mut slip = RECTANGLE;
        slip[1].2 = 3.5;
        let report = adjust(&walk(&slip, &[]));
        assert_eq!(report.notes[0].code, "walk-does-not-close");
        assert!(report.notes[0].hint.contains("leg to"));
        assert_eq!(codes(&walk(&RECTANGLE[..2], &[])), ["too-few-corners"]);
        assert_eq!(codes(&walk(&RECTANGLE, &[("A", "X", 5.0)])), ["measure-between-unknown-corners"]);
        let twice = [("B", 0.0, 4.0), ("B", 90.0, 3.0), ("D", 90.0, f64::NAN), ("E", 90.0, 3.0)];
        assert_eq!(
            codes(&walk(&twice, &[])),
            ["corner-name-repeated", "walk-ends-elsewhere", "leg-out-of-range"]
        );
    }

    /// A diagonal mistaken by a hand's breadth is not shared out in silence.
    #[test]
    fn a_blunder_in_a_diagonal_is_told() {
        let report = adjust(&walk(&RECTANGLE, &[("A", "C", 5.1), ("B", "D", 5.0)]));
        let told = report.notes.iter().find(|n| n.code == "measures-disagree").unwrap();
        assert!(told.message.contains("A-C"), "{}", told.message);
        let sound = adjust(&walk(&RECTANGLE, &[("A", "C", 5.004), ("B", "D", 4.998)]));
        assert!(sound.notes.iter().all(|n| n.code != "measures-disagree"));
        assert!(sound.value.unwrap().fit < 1.0);
    }

    /// Turning the whole walk turns its corners and nothing else; a T stays a T.
    #[test]
    fn turning_the_plan_changes_no_length() {
        let t = [
            ("B", 0.0, 6.0),
            ("C", 90.0, 5.0),
            ("D", -90.0, 3.0),
            ("E", 90.0, 9.004),
            ("F", 90.0, 12.0),
            ("G", 90.0, 9.0),
            ("H", 90.0, 3.003),
            ("A", -90.0, 5.0),
        ];
        let level = adjust(&walk(&t, &[("A", "E", 16.64)])).value.unwrap();
        let mut turned = t;
        turned[0].1 = 37.0;
        let turned = adjust(&walk(&turned, &[("A", "E", 16.64)])).value.unwrap();
        let (c, s) = (cos(37_f64.to_radians()), sin(37_f64.to_radians()));
        for (p, q) in level.corners.iter().zip(&turned.corners) {
            let expected = P2::new(c * p.at.x - s * p.at.y, s * p.at.x + c * p.at.y);
            assert!(q.at.distance(expected) < 1e-8);
        }
        assert!((level.fit - turned.fit).abs() < 1e-6);
    }

    #[test]
    fn a_walk_without_end_is_refused() {
        let legs = vec![("B", 0.0, 1.0); 301];
        assert_eq!(adjust(&walk(&legs, &[])).notes[0].code, "walk-too-long");
    }
}
