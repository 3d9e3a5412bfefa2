//! How likely something seen is, as a function of the set factor.

use basis::Length;
use basis::math::{log, normal_below};

use super::{Seen, Sighting};
use crate::History;
use crate::setting::INITIAL_PSI;
use crate::timeline::Timeline;
use crate::windows::water_gone;

/// A boot print of this depth goes with [`PRINT_PSI`], mm: a quarter inch.
const PRINT_MM: f64 = 6.35;
/// Penetration resistance that a print of a quarter inch stands for, psi: the survey's float start at 70 °F.
const PRINT_PSI: f64 = 125.0;
/// Doubt of a print as a natural logarithm: a factor of 2.2 either way. Sources have a quarter inch from 15 to 500 psi.
pub(super) const PRINT_SPREAD: f64 = 0.8;
/// Prints shallower than this only say "at least as stiff", mm: a sixteenth.
const SCUFF_MM: f64 = 1.6;
/// Prints deeper than this only say "at most as stiff", mm: an inch and a half.
const DEEP_MM: f64 = 38.0;
/// Doubt of a thumb or pocket penetrometer against sieved mortar, as a natural logarithm; proposal.
pub(super) const READING_SPREAD: f64 = 0.4;
/// Doubt of a crew's float start as a resistance, as a natural logarithm; proposal.
const START_SPREAD: f64 = 0.6;
/// Doubt of the time of the sheen, as a natural logarithm: evaporation is known to 40 % [@hover-2020].
const SHEEN_SPREAD: f64 = 0.35;
/// Doubt of a surface temperature by infrared or probe together with the column's own, K; proposal.
const TEMPERATURE_SPREAD: f64 = 2.0;
/// A crew that starts within this time of the sheen's going was held by water, not by stiffness, h.
const HELD_BY_WATER: f64 = 0.25;

/// Misfit of a draw on which the bay was not there to be looked at, in standard deviations: as good as impossible.
const NOT_THERE: f64 = 40.0;

/// One observation under one history.
#[derive(Debug, Clone, Copy)]
pub(super) enum Clue {
    /// Stiffness: the logarithm of what was seen against that of the model, which falls with the set factor.
    Stiffness {
        /// Logarithm of the resistance seen, psi.
        seen: f64,
        /// Logarithm of the model's at a set factor of 1.
        at_one: f64,
        /// Exponent of the power law: how much the model's falls for the factor's logarithm.
        exponent: f64,
        /// Spread of the logarithm.
        spread: f64,
        /// Whether the observation is the value or a bound.
        bound: Bound,
    },
    /// Something that the set factor does not move: its misfit in standard deviations.
    History(f64),
}

/// How an observation bounds the stiffness.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bound {
    /// It is this.
    Value,
    /// It is at least this.
    AtLeast,
    /// It is at most this.
    AtMost,
}

impl Clue {
    /// The clue of a sighting under draw `j`; none without a history, which the check has refused before.
    pub(super) fn of(sighting: &Sighting<'_>, j: usize, widened: f64) -> Option<Self> {
        let history = sighting.histories.get(j).or(sighting.histories.first())?;
        let line = Timeline::of(history);
        let hours = sighting.hours(j);
        // Nobody looks at a bay that is not placed.
        if line.at(|state| state.age_surface, hours).is_none_or(|age| age <= 0.0) {
            return Some(Self::History(NOT_THERE));
        }
        let stiffness = |seen: f64, spread: f64, bound: Bound| {
            let set = &sighting.model.set;
            let age = line.at(|state| state.age_surface, hours)?;
            let at_one = log(INITIAL_PSI) + set.exponent * log(age / set.initial);
            let spread = spread * widened;
            Some(Self::Stiffness { seen: log(seen), at_one, exponent: set.exponent, spread, bound })
        };
        match sighting.observation.seen {
            Seen::Print(depth) => {
                let (psi, bound) = print(depth);
                stiffness(psi, PRINT_SPREAD, bound)
            }
            Seen::Penetration(reading) => stiffness(reading.in_psi(), READING_SPREAD, Bound::Value),
            Seen::FloatStart => {
                let opens = sighting.model.spec.thresholds.float.opens.in_psi();
                stiffness(opens, START_SPREAD, start_bound(sighting, history, hours))
            }
            Seen::SheenGone => {
                let set = line.reaches(|state| state.age_surface, sighting.model.set.initial);
                let limit = sighting.model.spec.thresholds.sheen;
                // A surface that stays wet to the end of the history dries at its end at the earliest.
                let found = water_gone(line, limit, set.unwrap_or(line.end())).unwrap_or(line.end());
                let ratio = log(hours.max(0.1) / found.max(0.1));
                Some(Self::History(ratio / (SHEEN_SPREAD * widened)))
            }
            Seen::SurfaceTemperature(seen) => {
                let found = line.at(|state| state.surface, hours)?;
                Some(Self::History((seen.in_celsius() - found) / (TEMPERATURE_SPREAD * widened)))
            }
        }
    }

    /// Logarithm of the likelihood at a set factor's logarithm, up to a constant of the observation.
    pub(super) fn log_likelihood(&self, log_factor: f64) -> f64 {
        match *self {
            Self::History(misfit) => -0.5 * misfit * misfit,
            Self::Stiffness { bound, .. } => {
                let z = self.stiffer(log_factor);
                match bound {
                    Bound::Value => -0.5 * z * z,
                    Bound::AtLeast => log(normal_below(-z).max(f64::MIN_POSITIVE)),
                    Bound::AtMost => log(normal_below(z).max(f64::MIN_POSITIVE)),
                }
            }
        }
    }

    /// Squared misfit at a set factor's logarithm, in variances; a bound that holds has none.
    pub(super) fn squared_misfit(&self, log_factor: f64) -> f64 {
        let z = match *self {
            Self::History(misfit) => misfit,
            Self::Stiffness { bound, .. } => {
                let z = self.stiffer(log_factor);
                match bound {
                    Bound::Value => z,
                    Bound::AtLeast => z.max(0.0),
                    Bound::AtMost => z.min(0.0),
                }
            }
        };
        z * z
    }

    /// How much stiffer than the model the slab was seen, in standard deviations.
    fn stiffer(&self, log_factor: f64) -> f64 {
        match *self {
            Self::History(_) => 0.0,
            Self::Stiffness { seen, at_one, exponent, spread, .. } => {
                (seen - (at_one - exponent * log_factor)) / spread
            }
        }
    }
}

/// Penetration resistance in psi that a boot print stands for, and whether it is only a bound.
///
/// Resistance times depth is constant: a quarter inch is 125 psi, an eighth 250. Proposal; the exponent is a guess that
/// the band of ride-on and walk-behind machines (an eighth and a quarter inch) agrees with.
pub(super) fn print(depth: Length) -> (f64, Bound) {
    let mm = depth.in_millimetres();
    let psi = |mm: f64| PRINT_PSI * PRINT_MM / mm;
    if mm < SCUFF_MM {
        (psi(SCUFF_MM), Bound::AtLeast)
    } else if mm > DEEP_MM {
        (psi(DEEP_MM), Bound::AtMost)
    } else {
        (psi(mm), Bound::Value)
    }
}

/// A float start right after the sheen has gone says only that the slab was stiff enough. A sheen seen gone counts from the
/// same instant as the observation.
fn start_bound(sighting: &Sighting<'_>, history: &History, hours: f64) -> Bound {
    let before = Timeline::of(history).at(|state| state.water, (hours - HELD_BY_WATER).max(0.0));
    let wet = before.is_some_and(|water| water > sighting.model.spec.thresholds.sheen);
    let seen = sighting.model.spec.sheen_gone.map(basis::TimeSpan::in_hours);
    let held = seen.map_or(wet, |gone| sighting.observation.at.in_hours() - gone < HELD_BY_WATER);
    if held { Bound::AtLeast } else { Bound::Value }
}
