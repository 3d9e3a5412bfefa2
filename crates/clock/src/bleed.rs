//! Bleeding: water that rises to the top of fresh concrete.

use basis::{Length, TimeSpan};

use crate::mix::{Air, Mix};

/// How much a slab bleeds, and until when.
///
/// By the time `t` after placing `most·(1 − exp(−t/time))` has come up; at an equivalent age of `until` it ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bleeding {
    /// All that would come up if it went on, kg/m².
    pub most: f64,
    /// Time in which all but a third of it has come up.
    pub time: TimeSpan,
    /// Equivalent age at 21.1 °C at which bleeding ends, hours: initial set at mid-depth.
    pub until: f64,
}

/// What the slab lies on, for its water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bed {
    /// A vapour retarder, a board, frozen or soaked ground: no water leaves downward.
    Tight,
    /// Dry stone or soil, which takes part of the water.
    Absorbent,
}

/// Share of the mixing water that comes up: 1 to 4 %, from memory.
const SHARE: f64 = 0.02;
/// Entrained air holds water back: our own guess, no source.
const WITH_AIR: f64 = 0.6;
/// An absorbent bed takes its part: our own guess, no source.
const ON_ABSORBENT_BED: f64 = 0.6;
/// Time constant, hours: readings of bleeding tests fall off within the first hours; our own guess.
const HOURS: f64 = 0.7;

/// Bleeding of a slab: our own proposal, made to fall within the published amounts and rates.
///
/// `initial_set` is the equivalent age of initial set in hours, which marks the end of bleeding [@fhwa-rd-02-099].
#[must_use]
pub fn bleeding(mix: &Mix, thickness: Length, bed: Bed, initial_set: f64) -> Bleeding {
    let water = mix.cementitious.in_kilograms_per_cubic_metre() * mix.water_per_cementitious;
    let air = match mix.air {
        Air::Entrapped => 1.0,
        Air::Entrained(_) => WITH_AIR,
    };
    let bed = match bed {
        Bed::Tight => 1.0,
        Bed::Absorbent => ON_ABSORBENT_BED,
    };
    Bleeding {
        most: SHARE * water * thickness.in_metres() * air * bed,
        time: TimeSpan::hours(HOURS),
        until: initial_set,
    }
}

#[cfg(test)]
mod tests {
    use basis::{Density, Estimate, Origin, Pressure, Share};

    use super::*;
    use crate::mix::{Aggregate, Cement};

    fn mix(air: Air) -> Mix {
        Mix {
            cement: Cement::TypeI,
            cementitious: Density::kilograms_per_cubic_metre(335.0),
            water_per_cementitious: 0.52,
            ash: None,
            slag: Share::ZERO,
            admixtures: vec![],
            air,
            strength: Pressure::psi(4000.0),
            aggregate: Aggregate::Medium,
            stated_set: None,
            set_factor: Estimate::new(1.0, 0.2, Origin::Assumed),
        }
    }

    /// Bleeding reaches 2 % of the depth at the utmost [@domone-illston-2010, abstract read]: 2 kg/m² for 100 mm. Rates of the
    /// first hours are 0.5 to 1.5 kg/m²/h, from memory.
    #[test]
    fn literature_amount_and_rate() {
        let slab = bleeding(&mix(Air::Entrapped), Length::millimetres(100.0), Bed::Tight, 4.3);
        assert!(slab.most < 0.02 * 100.0);
        let first_rate = slab.most / slab.time.in_hours();
        assert!((0.49..1.5).contains(&first_rate), "{first_rate}");
    }

    #[test]
    fn air_and_a_dry_base_take_water() {
        let depth = Length::millimetres(100.0);
        let plain = bleeding(&mix(Air::Entrapped), depth, Bed::Tight, 4.3).most;
        assert!(bleeding(&mix(Air::Entrained(Share::percent(6.0))), depth, Bed::Tight, 4.3).most < plain);
        assert!(bleeding(&mix(Air::Entrapped), depth, Bed::Absorbent, 4.3).most < plain);
        assert!(
            (bleeding(&mix(Air::Entrapped), depth * 2.0, Bed::Tight, 4.3).most / plain - 2.0).abs() < 1e-12
        );
    }
}
