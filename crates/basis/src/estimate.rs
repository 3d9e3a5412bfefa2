//! A value with its spread and where it came from.

use std::fmt;

/// Where a value came from. Shown beside every number that a decision rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// Measured on this job.
    Measured,
    /// Stated by the user in the job.
    Stated,
    /// Learned from the crew's own past pours.
    Learned,
    /// A published or customary default that nobody has confirmed for this job.
    Assumed,
    /// Computed from other values of the job.
    Derived,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Measured => "measured",
            Self::Stated => "stated",
            Self::Learned => "learned",
            Self::Assumed => "assumed",
            Self::Derived => "derived",
        })
    }
}

/// A value with one standard deviation of doubt and its origin.
///
/// `Q` is a quantity such as [`crate::Volume`], or `f64` for a bare ratio.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate<Q> {
    /// The expected value.
    pub mean: Q,
    /// One standard deviation, never negative.
    pub sd: Q,
    /// Where it came from.
    pub origin: Origin,
}

impl<Q> Estimate<Q> {
    /// An estimate from its parts.
    pub const fn new(mean: Q, sd: Q, origin: Origin) -> Self {
        Self { mean, sd, origin }
    }
}
