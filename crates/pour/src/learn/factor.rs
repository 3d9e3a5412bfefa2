//! The values that pours teach, with what is taken for them before the first.

use super::Prior;
use crate::defaults;

/// A value that is learned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Factor {
    /// Concrete over the forms' volume as a share of it, by the base.
    Allowance,
    /// Volume placed in a unit of time over the rate stated, by the crew's size.
    PlacingRate,
    /// Time between the order to the plant and the truck on site less the time agreed, minutes, by the plant.
    Lateness,
    /// Time of set over that of the model, by mix and season.
    SetFactor,
    /// Hours worked over hours figured, by the finish.
    Hours,
    /// Cost as it came over cost as figured.
    Cost,
}

/// How a value spreads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Evenly to both sides.
    Even,
    /// By factors: half as much is as likely as twice as much.
    Factors,
}

impl Factor {
    /// All of them.
    pub const ALL: [Self; 6] =
        [Self::Allowance, Self::PlacingRate, Self::Lateness, Self::SetFactor, Self::Hours, Self::Cost];

    /// Its word in files and on pages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Allowance => "allowance",
            Self::PlacingRate => "placing rate",
            Self::Lateness => "lateness",
            Self::SetFactor => "set factor",
            Self::Hours => "hours",
            Self::Cost => "cost",
        }
    }

    /// How it spreads.
    #[must_use]
    pub const fn scale(self) -> Scale {
        match self {
            Self::Allowance | Self::Lateness => Scale::Even,
            Self::PlacingRate | Self::SetFactor | Self::Hours | Self::Cost => Scale::Factors,
        }
    }

    /// What is taken before the first pour; of values that spread by factors their natural logarithm.
    ///
    /// Allowance and lateness are the plan's defaults, set 20 %: published set times of one mix differ by that much. A fifth of the
    /// placing rate is the default of the plan; a quarter of the hours and a tenth of the cost are our choice.
    #[must_use]
    pub fn prior(self) -> Prior {
        match self {
            Self::Allowance => {
                let default = defaults::allowance();
                Prior::split(default.mean, default.sd)
            }
            Self::Lateness => Prior::split(0.0, defaults::lateness().in_minutes()),
            Self::PlacingRate | Self::SetFactor => Prior::split(0.0, 0.20),
            Self::Hours => Prior::split(0.0, 0.25),
            Self::Cost => Prior::split(0.0, 0.10),
        }
    }
}
