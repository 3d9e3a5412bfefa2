//! Checks of the instrument itself.

use basis::Length;

/// One set of readings on two pegs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peg {
    /// Reading on peg A.
    pub a: Length,
    /// Reading on peg B.
    pub b: Length,
}

/// What a two-peg test found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPeg {
    /// Error of the line of sight, rise per length; positive when it reads too high with distance.
    pub collimation: f64,
    /// The readings of the far set-up, corrected.
    pub corrected: Peg,
}

/// Two-peg test: once from midway, where the errors cancel, once from one end.
///
/// `c = ((a−b)_end − (a−b)_mid) / (d_a − d_b)`, and a reading `r` at distance `d` is truly `r − c·d`.
/// `distances` are those of the end set-up to A and to B. `None` when they are equal.
///
/// ```
/// use basis::Length;
/// use ground::survey::{Peg, two_peg};
/// let m = Length::metres;
/// // Textbook problem: pegs 40 m apart, second set-up 10 m beyond B; the answer is +0.001 m/m.
/// let midway = Peg { a: m(1.476), b: m(1.432) };
/// let end = Peg { a: m(1.556), b: m(1.472) };
/// let found = two_peg(midway, end, [m(50.0), m(10.0)]).unwrap();
/// assert!((found.collimation - 0.001).abs() < 1e-9);
/// assert!((found.corrected.a.in_metres() - 1.506).abs() < 1e-9);
/// ```
#[must_use]
pub fn two_peg(midway: Peg, end: Peg, distances: [Length; 2]) -> Option<TwoPeg> {
    let apart = distances[0] - distances[1];
    if apart == Length::ZERO || !apart.is_finite() {
        return None;
    }
    let collimation = ((end.a - end.b) - (midway.a - midway.b)) / apart;
    let corrected = Peg { a: end.a - distances[0] * collimation, b: end.b - distances[1] * collimation };
    Some(TwoPeg { collimation, corrected })
}

/// A point of a levelling run: how far along it stands and what it came out as.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunPoint {
    /// Distance along the run, or the number of set-ups up to here: any measure that grows with error.
    pub along: f64,
    /// Elevation as levelled.
    pub elevation: Length,
}

/// A run from one known point to another (or back), closed.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// Elevation by levelling less the known one, at the end.
    pub misclosure: Length,
    /// Corrected elevations, in the order given.
    pub corrected: Vec<Length>,
}

/// Spreads the misclosure of a run over its points in proportion to `along` [@navedtra14071].
///
/// The last point is the known one; `closes_on` is its true elevation. `None` without points, or when
/// the last stands no farther along than the start.
///
/// ```
/// use basis::Length;
/// use ground::survey::{RunPoint, adjust_run};
/// let m = Length::metres;
/// // Textbook problem: a loop of 30.5 km from 728.730 m closes on 728.486 m.
/// let at = |along, z| RunPoint { along, elevation: m(z) };
/// let run = adjust_run(&[at(5.245, 783.213), at(30.5, 728.486)], m(728.730)).unwrap();
/// assert!((run.corrected[0].in_metres() - 783.254_96).abs() < 1e-9);
/// ```
#[must_use]
pub fn adjust_run(points: &[RunPoint], closes_on: Length) -> Option<Run> {
    let last = points.last().filter(|p| p.along > 0.0 && p.along.is_finite())?;
    let misclosure = last.elevation - closes_on;
    let corrected = points.iter().map(|p| p.elevation - misclosure * (p.along / last.along)).collect();
    Some(Run { misclosure, corrected })
}

/// Tilt error of a laser about one axis from two marks at one wall, the laser turned half round between.
///
/// The marks differ by twice the error over the distance, so the rise per length is half their
/// difference over it; turn a quarter and repeat for the other axis. `None` without a distance.
/// Instrument manuals agree on the method; common practice, no source.
///
/// ```
/// use basis::Length;
/// use ground::survey::laser_error;
/// // 1/8 in apart at 100 ft: 1/16 in at 100 ft, 10.743 seconds of arc.
/// let tilt = laser_error([Length::inches(0.125), Length::ZERO], Length::feet(100.0)).unwrap();
/// assert!((tilt * 206_264.806 - 10.743).abs() < 1e-3);
/// ```
#[must_use]
pub fn laser_error(marks: [Length; 2], distance: Length) -> Option<f64> {
    (distance > Length::ZERO && distance.is_finite()).then(|| (marks[0] - marks[1]) / distance * 0.5)
}
