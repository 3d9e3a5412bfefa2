//! An outline walked with a tape: legs, turns, check measures, adjusted by least squares.

use basis::{Angle, Length, Place};

use crate::outline::EdgeShape;

/// Which way a leg sets off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heading {
    /// A direction of the plan, counter-clockwise from "right".
    Toward(Angle),
    /// A turn from the leg before, positive to the left.
    Turn(Angle),
}

/// One side as walked.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Name of the corner reached.
    pub to: String,
    /// Which way.
    pub heading: Heading,
    /// Straight distance from corner to corner (the chord, for an arc).
    pub length: Length,
    /// How the edge runs.
    pub shape: EdgeShape,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A measured distance between two corners: a diagonal, or a side measured again.
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    /// Name of one corner.
    pub from: String,
    /// Name of the other.
    pub to: String,
    /// The distance.
    pub length: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How well a tape and an eye measure: one standard deviation each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TapeErrors {
    /// Of any taped distance.
    pub length: Length,
    /// Of a corner's direction as stated, such as a corner taken to be square.
    pub heading: Angle,
}

/// An outline as walked. The last leg comes back to the start.
#[derive(Debug, Clone, PartialEq)]
pub struct Walk {
    /// Name of the corner where the walk starts, at the origin of the plan.
    pub start: String,
    /// The sides in order.
    pub legs: Vec<Leg>,
    /// Diagonals and sides measured again.
    pub measures: Vec<Measure>,
    /// Error model of the tape.
    pub errors: TapeErrors,
    /// Largest gap accepted between the last leg's end and the start before adjustment.
    pub closure_limit: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

mod adjust;

pub use adjust::{AdjustedWalk, Residual, adjust};
