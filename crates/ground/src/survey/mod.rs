//! Levelling: rod readings of several laser set-ups to elevations, with misclosure and error model.

use basis::{Angle, Length, Origin, Place, RodMarks};

use crate::P2;

/// A point whose elevation is given.
#[derive(Debug, Clone, PartialEq)]
pub struct Benchmark {
    /// Its name, as the set-ups call it.
    pub name: String,
    /// Elevation above the job's datum.
    pub elevation: Length,
    /// Where it is in the plan, if that matters for the laser's tilt.
    pub at: Option<P2>,
}

/// What the stick said.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RodReading {
    /// Height of the laser plane above the point, as read on the rod. A larger reading is a lower point.
    Rod(Length),
    /// How far the beam strikes above (positive) or below (negative) a mark on the stick: beam above
    /// the mark means that the point is low by that much against the point where the mark was set.
    FromMark(Length),
}

impl RodReading {
    /// The reading in words for the person who holds the stick.
    ///
    /// From the foot: as the rod is marked. From a mark: how far up or down. No stick reads under its foot, so a point
    /// above the laser plane is told as such.
    ///
    /// ```
    /// # use basis::{Length, RodMarks};
    /// # use ground::survey::RodReading;
    /// let said = |reading: RodReading| reading.said(RodMarks::Eighths);
    /// assert_eq!(said(RodReading::Rod(Length::inches(55.25))), "4' 7-1/4\"");
    /// assert_eq!(said(RodReading::Rod(Length::inches(-3.5))), "3-1/2\" over the laser");
    /// assert_eq!(said(RodReading::FromMark(Length::inches(-0.5))), "down 1/2\"");
    /// ```
    #[must_use]
    pub fn said(self, marks: RodMarks) -> String {
        let rod = |length| basis::quantity::rod(length, marks);
        match self {
            Self::Rod(height) if height < Length::ZERO => format!("{} over the laser", rod(-height)),
            Self::Rod(height) => rod(height),
            Self::FromMark(off) if off >= Length::ZERO => format!("up {}", rod(off)),
            Self::FromMark(off) => format!("down {}", rod(-off)),
        }
    }
}

/// What the stick stood on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShotOn {
    /// The prepared base under the slab.
    Base,
    /// The top of a form board.
    Form,
    /// A point that only carries the level on to the next set-up.
    TurningPoint,
}

/// One reading at a spot of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Shot {
    /// Its name or number.
    pub name: String,
    /// Where the stick stood, m.
    pub at: P2,
    /// The reading.
    pub reading: RodReading,
    /// What the stick stood on.
    pub on: ShotOn,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A reading on a point of known elevation: a benchmark, or a named shot of an earlier set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Sight {
    /// Name of the benchmark or of the earlier shot.
    pub on: String,
    /// The reading.
    pub reading: RodReading,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// What the instrument and the hand may be wrong by: one standard deviation each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InstrumentErrors {
    /// Error common to all shots of a set-up: the backsight and the benchmark.
    pub backsight: Length,
    /// Tilt of the laser plane about each axis.
    pub tilt: Angle,
    /// Independent error of one reading: stick out of plumb, foot in soft stone, rounding.
    pub rod: Length,
    /// Whether the user stated these or they are the defaults.
    pub origin: Origin,
}

/// One position of the laser.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// Its name.
    pub name: String,
    /// Where the laser stood, if known; the tilt turns about it, otherwise about the middle of its shots.
    pub station: Option<P2>,
    /// Height of the mark on the stick, needed only when `Rod` and `FromMark` are mixed.
    pub mark: Option<Length>,
    /// The opening sight that gives the height of instrument.
    pub backsight: Sight,
    /// The sight on a known point taken again at the end, if any.
    pub closing: Option<Sight>,
    /// The readings, in the order taken.
    pub shots: Vec<Shot>,
    /// Error model of this set-up.
    pub errors: InstrumentErrors,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// Everything shot with the laser.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Survey {
    /// Points of given elevation.
    pub benchmarks: Vec<Benchmark>,
    /// Set-ups in the order in which they were made.
    pub setups: Vec<Setup>,
    /// Largest misclosure accepted; above it the survey is a fault.
    pub misclosure_limit: Length,
}

mod errors;
mod level;
mod run;

pub use level::level;
pub use run::{Peg, Run, RunPoint, TwoPeg, adjust_run, laser_error, two_peg};

/// A set-up after levelling.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelledSetup {
    /// Its name.
    pub name: String,
    /// Height of instrument: elevation of the laser plane, or of the mark's zero when read from a mark.
    pub instrument: Length,
    /// Elevation by the closing sight less the known one, if it was closed.
    pub misclosure: Option<Length>,
    /// Where the laser stood, or the middle of its shots.
    pub station: P2,
    /// Error model.
    pub errors: InstrumentErrors,
    /// Whether the readings were taken from a mark on the stick.
    pub from_mark: FromMark,
    /// Height of the mark on the stick; nought when only the mark was read.
    pub mark: Length,
    /// The set-up and place whose shot carries the backsight, for a turning point.
    pub stands_on: Option<(usize, P2)>,
}

/// How the stick of a set-up is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FromMark {
    /// As a rod from its foot.
    No,
    /// Up or down from a mark; `instrument` is the elevation of a point that reads nought.
    Yes,
}

/// A shot after levelling.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelledShot {
    /// Its name.
    pub name: String,
    /// Where the stick stood, m.
    pub at: P2,
    /// Elevation, m, the misclosure spread.
    pub z: f64,
    /// Index of the set-up.
    pub setup: usize,
    /// What the stick stood on.
    pub on: ShotOn,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// The survey as elevations.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Levelled {
    /// Set-ups in the order made.
    pub setups: Vec<LevelledSetup>,
    /// All shots in the order taken.
    pub shots: Vec<LevelledShot>,
}

#[cfg(test)]
mod tests;
