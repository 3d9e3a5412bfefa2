//! Cold and hot weather: the published limits as notes, each with what to do.
//!
//! The project's specification and the local code go before all of them. Temperatures are of the concrete where it
//! says so and of the air otherwise.

use basis::quantity::temperature as shown;
use basis::{Length, Note, Place, Temperature, TemperatureDifference, TimeSpan, UnitSystem};

/// Air at or below which weather counts as cold: 40 °F, published with 5 °C [@aci-cold-topic].
pub const COLD_AIR: Temperature = Temperature::fahrenheit(40.0);

/// Hottest fresh concrete at discharge: 95 °F, 35 °C [@aci-305-1].
pub const HOTTEST_CONCRETE: Temperature = Temperature::fahrenheit(95.0);

/// From here on older guides ask for care: 90 °F (from memory of ACI 605).
pub const HOT_CONCRETE: Temperature = Temperature::fahrenheit(90.0);

/// Hottest concrete as mixed in frost: 80 °F with air of 0 to 30 °F [@aci-306-qa].
pub const HOTTEST_IN_FROST: Temperature = Temperature::fahrenheit(80.0);

/// Strength from which one freezing does no lasting harm: 500 psi, 3.5 MPa [@nrmca-cip-27].
pub const FREEZE_SAFE: basis::Pressure = basis::Pressure::psi(500.0);

/// Temperature at which fresh concrete freezes: about 25 °F, -4 °C [@nrmca-cip-27].
pub const FRESH_FREEZES: Temperature = Temperature::fahrenheit(25.0);

/// Whether the mix gains strength fast enough for shorter protection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gain {
    /// A usual mix.
    Usual,
    /// Type III cement, an accelerator, or 100 lb/yd³ more cement.
    Accelerated,
}

/// What the limits are judged by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Thickness of the slab.
    pub thickness: Length,
    /// Fresh concrete as placed.
    pub concrete: Temperature,
    /// What it is placed on, where known.
    pub base: Option<Temperature>,
    /// Air when placing.
    pub air: Temperature,
    /// Coldest air over the protection period, as far as it is forecast.
    pub coldest: Temperature,
    /// Whether the mix gains strength fast.
    pub gain: Gain,
}

/// Lowest temperature of concrete as placed and maintained, by thickness [@aci-306-1].
///
/// ```
/// use basis::Length;
/// // A slab under 12 in.: 55 °F.
/// let lowest = clock::limits::lowest_placed(Length::inches(4.0));
/// assert!((lowest.in_fahrenheit() - 55.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn lowest_placed(thickness: Length) -> Temperature {
    // A length that is written as 12 in. may come back a rounding short of it.
    let inches = thickness.in_inches() + 1e-9;
    Temperature::fahrenheit(if inches < 12.0 {
        55.0
    } else if inches < 36.0 {
        50.0
    } else if inches <= 72.0 + 2e-9 {
        45.0
    } else {
        40.0
    })
}

/// Lowest temperature of concrete as mixed for sections under 12 in., by the air (from memory of ACI 306R's table).
#[must_use]
pub fn lowest_mixed(air: Temperature) -> Temperature {
    let f = air.in_fahrenheit() - 1e-9;
    Temperature::fahrenheit(if f > 30.0 {
        60.0
    } else if f >= -1e-6 {
        65.0
    } else {
        70.0
    })
}

/// How long a section under 12 in. is kept at [`lowest_placed`]: 3 days, or 2 with fast gain [@aci-306-1].
///
/// The guide's own classes of service ask for up to 6 days where the slab is loaded or exposed early (from memory).
#[must_use]
pub const fn protection(gain: Gain) -> TimeSpan {
    TimeSpan::days(match gain {
        Gain::Usual => 3.0,
        Gain::Accelerated => 2.0,
    })
}

/// Most that the surface of a section under 12 in. may cool in a day: 50 °F [@aci-306-1].
pub const MOST_COOLING_IN_A_DAY: TemperatureDifference = TemperatureDifference::fahrenheit_degrees(50.0);

/// Protection may come off once the surface is so near the air: 20 °F [@aci-306-1].
pub const PROTECTION_OFF_WITHIN: TemperatureDifference = TemperatureDifference::fahrenheit_degrees(20.0);

/// Notes on a placement in cold or hot weather; none on an ordinary day.
#[must_use]
pub fn notes(placement: &Placement, place: &Place, units: UnitSystem) -> Vec<Note> {
    let mut notes: Vec<Note> = hot(placement, place, units).into_iter().collect();
    notes.extend(base(placement, place, units));
    if placement.coldest <= COLD_AIR || placement.air <= COLD_AIR {
        notes.extend(cold(placement, place, units));
    }
    notes
}

fn hot(placement: &Placement, place: &Place, units: UnitSystem) -> Option<Note> {
    let told = shown(placement.concrete, units);
    if placement.concrete > HOTTEST_CONCRETE {
        let message = format!(
            "the concrete would be {told} at discharge; the usual limit is {}",
            shown(HOTTEST_CONCRETE, units)
        );
        let hint = "ask for cooled water or ice, shaded stockpiles, a pour at night; do not add water at the truck beyond what the mix allows";
        return Some(Note::warning("concrete-too-hot", place.key("concrete"), message, hint));
    }
    (placement.concrete > HOT_CONCRETE).then(|| {
        let message = format!(
            "the concrete would be {told} at discharge, near the usual limit of {}",
            shown(HOTTEST_CONCRETE, units)
        );
        let hint = "expect a short finishing time; have people and curing ready, and a second machine";
        Note::warning("concrete-hot", place.key("concrete"), message, hint)
    })
}

fn base(placement: &Placement, place: &Place, units: UnitSystem) -> Option<Note> {
    let base = placement.base?;
    let place = place.key("base");
    let frost = Temperature::fahrenheit(32.0);
    if base <= frost {
        let message = format!("the base is frozen ({})", shown(base, units));
        let hint = "do not place on frozen ground: it takes the heat, and settles when it thaws; thaw it through, take snow and ice off, and keep it thawed";
        return Some(Note::warning("base-frozen", place, message, hint));
    }
    (base < Temperature::fahrenheit(35.0)).then(|| {
        let hint = "warm it with covers or heated hoses before placing; concrete on a cold base sets from the top down";
        Note::warning("base-near-freezing", place, format!("the base is at {}", shown(base, units)), hint)
    })
}

fn cold(placement: &Placement, place: &Place, units: UnitSystem) -> Vec<Note> {
    let coldest = if placement.coldest < placement.air { placement.coldest } else { placement.air };
    let least = lowest_placed(placement.thickness);
    let days = protection(placement.gain).in_days();
    let mut notes = Vec::new();
    let message = format!(
        "cold weather: the air falls to {}; keep the concrete at {} or more for {days:.0} days",
        shown(coldest, units),
        shown(least, units)
    );
    let hint = "blankets or enclosure ready before the pour, edges and corners doubled; vent heaters outdoors, for exhaust kills and \
                softens the surface; no protection off before the strength is there; after it let the surface cool slowly";
    notes.push(Note::warning("cold-weather", place.clone(), message, hint));
    if placement.concrete < least {
        let message = format!(
            "the concrete would be placed at {}, under {}",
            shown(placement.concrete, units),
            shown(least, units)
        );
        let hint = format!(
            "order it warmer; as mixed at least {} in this air",
            shown(lowest_mixed(placement.air), units)
        );
        notes.push(Note::warning("concrete-too-cold", place.key("concrete"), message, hint));
    }
    if placement.air < Temperature::fahrenheit(30.0) && placement.concrete > HOTTEST_IN_FROST {
        let message = format!("{} is hot for concrete in frost", shown(placement.concrete, units));
        let hint =
            "over 80 degF as mixed it loses slump, bleeds and cracks more, and its surface cools too fast";
        notes.push(Note::warning("concrete-hot-in-frost", place.key("concrete"), message, hint));
    }
    if coldest <= FRESH_FREEZES {
        let message = format!("air of {} can freeze fresh concrete", shown(coldest, units));
        let hint = "frozen before it has 500 psi (3.5 MPa) it may lose half its strength; keep it warm until then, by tested strength";
        notes.push(Note::warning("fresh-may-freeze", place.clone(), message, hint));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn placement() -> Placement {
        Placement {
            thickness: Length::inches(4.0),
            concrete: Temperature::fahrenheit(70.0),
            base: Some(Temperature::fahrenheit(60.0)),
            air: Temperature::fahrenheit(65.0),
            coldest: Temperature::fahrenheit(52.0),
            gain: Gain::Usual,
        }
    }

    fn codes(placement: &Placement) -> Vec<&'static str> {
        notes(placement, &Place::at("pour"), UnitSystem::Us).iter().map(|note| note.code).collect()
    }

    /// ACI 306R table by thickness, and 306.1's protection, as read in excerpts.
    #[test]
    fn the_published_cold_weather_table() {
        for (inches, f) in
            [(4.0, 55.0), (11.9, 55.0), (12.0, 50.0), (35.0, 50.0), (36.0, 45.0), (72.0, 45.0), (80.0, 40.0)]
        {
            assert!((lowest_placed(Length::inches(inches)).in_fahrenheit() - f).abs() < 1e-9, "{inches}");
        }
        for (air, f) in [(35.0, 60.0), (30.0, 65.0), (0.0, 65.0), (-5.0, 70.0)] {
            assert!((lowest_mixed(Temperature::fahrenheit(air)).in_fahrenheit() - f).abs() < 1e-9, "{air}");
        }
        assert!((protection(Gain::Usual).in_days() - 3.0).abs() < 1e-12);
        assert!((protection(Gain::Accelerated).in_days() - 2.0).abs() < 1e-12);
        // The published pairs of units: 55 with 13, 40 with 5, 95 with 35 °C, 500 psi with 3.5 MPa, 25 with -4 °C.
        assert!((lowest_placed(Length::inches(4.0)).in_celsius() - 13.0).abs() < 0.5);
        assert!(
            (COLD_AIR.in_celsius() - 5.0).abs() < 0.6 && (HOTTEST_CONCRETE.in_celsius() - 35.0).abs() < 1e-9
        );
        assert!(
            (FREEZE_SAFE.in_megapascals() - 3.5).abs() < 0.06
                && (FRESH_FREEZES.in_celsius() + 4.0).abs() < 0.2
        );
    }

    #[test]
    fn an_ordinary_day_has_no_notes() {
        assert!(codes(&placement()).is_empty());
    }

    #[test]
    fn hot_days() {
        let f = Temperature::fahrenheit;
        assert!(codes(&Placement { concrete: f(90.0), ..placement() }).is_empty());
        assert_eq!(codes(&Placement { concrete: f(92.0), ..placement() }), ["concrete-hot"]);
        assert!(codes(&Placement { concrete: f(95.0), ..placement() }) == ["concrete-hot"]);
        assert_eq!(codes(&Placement { concrete: f(96.0), ..placement() }), ["concrete-too-hot"]);
    }

    #[test]
    fn cold_days() {
        let f = Temperature::fahrenheit;
        let night = Placement { coldest: f(38.0), ..placement() };
        assert_eq!(codes(&night), ["cold-weather"]);
        assert!(notes(&night, &Place::job(), UnitSystem::Us)[0].message.contains("for 3 days"));
        let frost = Placement {
            air: f(28.0),
            coldest: f(18.0),
            concrete: f(52.0),
            base: Some(f(31.0)),
            ..placement()
        };
        assert_eq!(codes(&frost), ["base-frozen", "cold-weather", "concrete-too-cold", "fresh-may-freeze"]);
        let hot = Placement {
            air: f(20.0),
            coldest: f(20.0),
            concrete: f(84.0),
            base: Some(f(33.0)),
            ..placement()
        };
        assert_eq!(
            codes(&hot),
            ["base-near-freezing", "cold-weather", "concrete-hot-in-frost", "fresh-may-freeze"]
        );
        assert_eq!(codes(&Placement { base: None, ..frost })[0], "cold-weather");
    }

    #[test]
    fn every_note_says_what_to_do_in_both_unit_systems() {
        let frost = Placement {
            air: Temperature::celsius(-3.0),
            coldest: Temperature::celsius(-9.0),
            concrete: Temperature::celsius(8.0),
            base: Some(Temperature::celsius(-1.0)),
            ..placement()
        };
        for units in [UnitSystem::Us, UnitSystem::Metric] {
            let told = notes(&frost, &Place::job(), units);
            assert!(told.iter().all(|note| !note.hint.is_empty()));
            assert!(told.iter().any(|note| note.hint.contains("exhaust")));
        }
    }

    proptest! {
        #[test]
        fn colder_never_asks_for_less(air in -20.0..70.0_f64, colder in 0.0..20.0_f64) {
            let with = |f: f64| Placement { coldest: Temperature::fahrenheit(f), ..placement() };
            prop_assert!(codes(&with(air - colder)).len() >= codes(&with(air)).len());
        }
    }
}
