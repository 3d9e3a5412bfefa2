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
