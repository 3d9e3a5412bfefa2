//! The log of the pour day: what was told, tap by tap, and how far the pour has got by it.
//!
//! Method and limits: `docs/methods/log.md`.

mod so_far;
mod trucks;

use basis::{Length, Temperature, Volume};
use clock::finish::Round;
use clock::observe::Seen;
use jiff::Timestamp;

pub use so_far::{DaySoFar, LogInput, so_far};
pub use trucks::LoadSoFar;

use crate::loads::Extent;

/// Highest number of a load or bay that is taken for one.
pub const HIGHEST_NUMBER: usize = 999;

/// One entry of the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// When it happened, which may be before it was told.
    pub at: Timestamp,
    /// What happened.
    pub what: What,
}

/// What an entry tells.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A truck went a step further.
    Truck {
        /// Number of the load, from 1.
        load: usize,
        /// Which step.
        step: TruckStep,
        /// What its ticket says, if it was read.
        ticket: Option<Volume>,
    },
    /// Somebody looked into the drum.
    Drum {
        /// Number of the load.
        load: usize,
        /// What was still in it; after its end, what went home with it.
        left: Volume,
    },
    /// The line reached a place in a bay.
    Line {
        /// Number of the bay.
        bay: usize,
        /// How far.
        reached: Extent,
    },
    /// Water was added to a load on site.
    Water {
        /// Number of the load.
        load: usize,
        /// How much.
        added: Volume,
    },
    /// The slump was measured.
    Slump {
        /// Number of the load, if it was told.
        load: Option<usize>,
        /// The slump.
        slump: Length,
    },
    /// A temperature was measured.
    Warmth {
        /// Of what.
        of: WarmthOf,
        /// The temperature.
        temperature: Temperature,
    },
    /// Something was seen on a bay.
    OnBay {
        /// Number of the bay.
        bay: usize,
        /// What.
        seen: Seen,
    },
    /// A round of a bay is done, and with it those before.
    RoundDone {
        /// Number of the bay.
        bay: usize,
        /// Which.
        round: Round,
    },
    /// A photo was taken.
    Photo {
        /// SHA-256 of its bytes.
        hash: [u8; 32],
        /// What it shows.
        words: String,
    },
    /// Something else was told.
    Remark {
        /// What.
        words: String,
    },
}

/// The steps of a truck on site, in their order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TruckStep {
    /// It came.
    Arrived,
    /// It began to unload.
    Discharging,
    /// It is empty, or sent away.
    Done,
}

/// What a temperature was measured of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WarmthOf {
    /// The concrete of a load as it came.
    Concrete {
        /// Number of the load, if it was told.
        load: Option<usize>,
    },
    /// The air on site.
    Air,
}

impl What {
    /// What about the figures of an entry cannot be, in a few words.
    ///
    /// ```
    /// use basis::Length;
    /// use pour::log::What;
    /// assert!(What::Slump { load: Some(1), slump: Length::inches(5.0) }.impossible().is_none());
    /// assert_eq!(What::Slump { load: None, slump: Length::feet(5.0) }.impossible(), Some("a slump is 0 to 12 in"));
    /// ```
    #[must_use]
    pub fn impossible(&self) -> Option<&'static str> {
        if self.numbers().any(|number| !(1..=HIGHEST_NUMBER).contains(&number)) {
            return Some("loads and bays are numbered from 1 to 999");
        }
        let volume = |volume: Volume, most: f64| (0.0..=most).contains(&volume.in_cubic_metres());
        let wrong = |sound: bool, why: &'static str| (!sound).then_some(why);
        match self {
            Self::Truck { ticket: Some(ticket), .. } => {
                wrong(*ticket > Volume::ZERO && volume(*ticket, 20.0), "a ticket is for over 0 to 26 yd3")
            }
            Self::Drum { left, .. } => wrong(volume(*left, 20.0), "a drum holds 0 to 26 yd3"),
            Self::Water { added, .. } => wrong(volume(*added, 2.0), "added water is 0 to 500 gallons"),
            Self::Line { reached: Extent::To(along), .. } => {
                wrong((0.0..=1e4).contains(&along.in_metres()), "the line is 0 or more along its bay")
            }
            Self::Slump { slump, .. } => {
                wrong((0.0..=0.305).contains(&slump.in_metres()), "a slump is 0 to 12 in")
            }
            Self::Warmth { temperature, .. } => wrong(
                (-50.0..=100.0).contains(&temperature.in_celsius()),
                "a temperature on site is -58 to 212 degF",
            ),
            Self::OnBay { seen, .. } => impossible_sight(seen),
            _ => None,
        }
    }

    /// Numbers of loads and bays that it names.
    fn numbers(&self) -> impl Iterator<Item = usize> {
        let number = match self {
            Self::Truck { load, .. } | Self::Drum { load, .. } | Self::Water { load, .. } => Some(*load),
            Self::Line { bay, .. } | Self::OnBay { bay, .. } | Self::RoundDone { bay, .. } => Some(*bay),
            Self::Slump { load, .. } | Self::Warmth { of: WarmthOf::Concrete { load }, .. } => *load,
            Self::Warmth { .. } | Self::Photo { .. } | Self::Remark { .. } => None,
        };
        number.into_iter()
    }
}

/// The bounds that the clock has for what is seen on a slab.
fn impossible_sight(seen: &Seen) -> Option<&'static str> {
    let (sound, why) = match seen {
        Seen::Print(depth) => ((0.0..=0.3).contains(&depth.in_metres()), "a print is 0 to 12 in deep"),
        Seen::Penetration(reading) => {
            let psi = reading.in_psi();
            (psi > 0.0 && psi <= 10_000.0, "a resistance is over 0 to 10,000 psi")
        }
        Seen::SurfaceTemperature(at) => {
            ((-20.0..=80.0).contains(&at.in_celsius()), "a surface has -4 to 176 degF")
        }
        Seen::FloatStart | Seen::SheenGone => (true, ""),
    };
    (!sound).then_some(why)
}

#[cfg(test)]
mod tests;
