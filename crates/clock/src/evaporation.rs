//! Evaporation of water that stands on fresh concrete, and what to do when it runs too fast.
//!
//! Menzel's formula with vapour pressures at the concrete's own surface temperature is the one that the clock
//! runs on; Uno's is kept for comparison. Both descend from a lake and are known to ±40 % on a slab
//! [@hover-2020]; a rate here is a guide to what to watch, not a measurement.

use basis::math::pow;
use basis::{Note, Place, Pressure, Share, Speed, Temperature, UnitSystem};

/// One lb/ft²/h in kg/m²/h, exact: 0.45359237 / 0.3048².
pub const POUND_PER_SQUARE_FOOT_HOUR: f64 = 0.453_592_37 / (0.3048 * 0.3048);

/// How far the true rate may lie from the formula's to either side, as a share of it [@hover-2020].
pub const DOUBT: f64 = 0.40;

/// Heat that leaves with evaporating water, J/kg, at about 20 °C (from memory: 2,454 kJ/kg at 20 °C).
pub const LATENT_HEAT: f64 = 2.45e6;

/// Rates from which the guides ask for care, kg/m²/h.
pub mod threshold {
    /// Precautions against plastic shrinkage: 1 kg/m²/h, published as 0.2 lb/ft²/h [@fhwa-hrt-05-038].
    pub const PRECAUTIONS: f64 = 1.0;
    /// Caution, and mixes that bleed little: 0.5 kg/m²/h, published as 0.1 lb/ft²/h [@fhwa-hrt-05-038].
    pub const CAUTION: f64 = 0.5;
    /// Mixes with silica fume or little bleeding in some agencies' rules, kg/m²/h (0.05 lb/ft²/h, from memory).
    pub const LITTLE_BLEED: f64 = 0.25;
}

/// Evaporation by Menzel, kg/m²/h: `0.315 (e₀ - eₐ)(0.253 + 0.060 V)`, pressures in kPa, wind V in km/h.
///
/// `surface` is the wet surface's temperature, `vapour` the air's vapour pressure, `wind` the mean wind half a
/// metre over it. Negative where dew forms: the heat balance needs the sign. Found for 4 to 38 °C and wind to
/// 40 km/h; known to ±40 %. The constants are those of [@menzel-1954] as they are commonly quoted in SI; the
/// US form, 0.44 lb/ft²/h per psi, converts to 0.312 instead of 0.315 (1 % less).
///
/// ```
/// use basis::{Share, Speed, Temperature};
/// use clock::{evaporation, moist_air};
/// // The worked example of the hot-weather guide: air 80 °F at 50 %, concrete 87 °F, wind 12 mph: 0.24 to 0.25 lb/ft²/h.
/// let vapour = moist_air::vapour_pressure(Temperature::fahrenheit(80.0), Share::percent(50.0));
/// let rate = evaporation::menzel(Temperature::fahrenheit(87.0), vapour, Speed::miles_per_hour(12.0));
/// let pounds = evaporation::in_pounds_per_square_foot_hour(rate);
/// assert!((pounds - 0.24).abs() < 0.01);
/// ```
#[must_use]
pub fn menzel(surface: Temperature, vapour: Pressure, wind: Speed) -> f64 {
    let drive = (crate::moist_air::saturation_pressure(surface) - vapour).in_kilopascals();
    wind_factor(wind) * drive
}

/// How fast Menzel's rate grows with the surface's temperature, kg/m²/h per K: for implicit heat balances.
#[must_use]
pub fn menzel_slope(surface: Temperature, wind: Speed) -> f64 {
    wind_factor(wind) * crate::moist_air::saturation_slope(surface) / 1000.0
}

/// Menzel's rate for each kPa between surface and air, kg/m²/h.
#[must_use]
pub fn wind_factor(wind: Speed) -> f64 {
    0.315 * (0.253 + 0.060 * wind.in_kilometres_per_hour().max(0.0))
}

/// Evaporation by Uno, kg/m²/h, for comparison: `(Tc^2.5 - r Ta^2.5)(1 + 0.4 V) 1e-6` in lb/ft²/h, °F and mph.
///
/// Converted exactly from the US form [@uno-1998]: his rounded SI form lies 4 to 5 % lower. In cold air over
/// warm concrete it gives 11 to 15 % more than Menzel. Below 0 °F the power has no meaning and counts as zero.
///
/// ```
/// use basis::{Share, Speed, Temperature};
/// use clock::evaporation;
/// let f = Temperature::fahrenheit;
/// let rate = evaporation::uno(f(87.0), f(80.0), Share::percent(50.0), Speed::miles_per_hour(12.0));
/// // The same example by the formula: 0.24 lb/ft²/h.
/// assert!((evaporation::in_pounds_per_square_foot_hour(rate) - 0.24347).abs() < 1e-5);
/// ```
#[must_use]
pub fn uno(surface: Temperature, air: Temperature, humidity: Share, wind: Speed) -> f64 {
    let power = |t: Temperature| pow(t.in_fahrenheit().max(0.0), 2.5);
    let drive = power(surface) - humidity.in_ratio() * power(air);
    drive * (1.0 + 0.4 * wind.in_miles_per_hour().max(0.0)) * 1e-6 * POUND_PER_SQUARE_FOOT_HOUR
}

/// Turns kg/m²/h into lb/ft²/h.
#[must_use]
pub fn in_pounds_per_square_foot_hour(rate: f64) -> f64 {
    rate / POUND_PER_SQUARE_FOOT_HOUR
}

/// Between which rates the true one may lie: [`DOUBT`] to either side. A rate of dew has no band here: zero.
#[must_use]
pub fn band(rate: f64) -> (f64, f64) {
    let rate = rate.max(0.0);
    (rate * (1.0 - DOUBT), rate * (1.0 + DOUBT))
}

/// How far a rate asks for care.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Care {
    /// Below every published threshold.
    Usual,
    /// From 0.5 kg/m²/h: watch the surface; enough to dry a mix that bleeds little.
    Caution,
    /// From 1.0 kg/m²/h: take precautions before placing.
    Precautions,
}

/// What the published thresholds say of a rate, kg/m²/h, for a mix that bleeds as usual.
#[must_use]
pub fn care(rate: f64) -> Care {
    if rate >= threshold::PRECAUTIONS {
        Care::Precautions
    } else if rate >= threshold::CAUTION {
        Care::Caution
    } else {
        Care::Usual
    }
}

/// What the guides advise when water leaves too fast, most useful first [@cc-lmc-overlays; @fhwa-hrt-05-038].
pub const PRECAUTIONS: &[&str] = &[
    "place early in the morning, in the evening or at night",
    "put up windbreaks, and shade where the sun is on the slab",
    "dampen base and forms, and leave no water standing on them",
    "have enough people so that striking off, finishing and curing follow without a wait",
    "fog the air over the slab, or spread an evaporation retarder right after striking off; neither is for finishing into the surface",
    "cover with plastic sheet between finishing operations, and begin curing at once after the last",
    "ask for cooler concrete",
];

/// A note on the highest rate of a pour, or none while it is below the thresholds.
#[must_use]
pub fn note(rate: f64, place: Place, units: UnitSystem) -> Option<Note> {
    let told = format!("{} (the formula is known to +-40 %)", shown(rate, units));
    match care(rate) {
        Care::Usual => None,
        Care::Caution => Some(Note::warning(
            "evaporation-caution",
            place,
            format!(
                "water may leave the surface at up to {told}; from {} on it asks for care",
                shown(threshold::CAUTION, units)
            ),
            "watch for drying before the bleeding ends, above all with mixes that bleed little; have windbreak, fog or sheet at hand",
        )),
        Care::Precautions => Some(Note::warning(
            "evaporation-high",
            place,
            format!(
                "water may leave the surface at up to {told}; from {} on plastic shrinkage cracks are likely",
                shown(threshold::PRECAUTIONS, units)
            ),
            format!("take precautions before placing: {}", PRECAUTIONS.join("; ")),
        )),
    }
}

/// A rate with its unit.
#[must_use]
pub fn shown(rate: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2} lb/ft2/h", in_pounds_per_square_foot_hour(rate)),
        UnitSystem::Metric => format!("{rate:.2} kg/m2/h"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::moist_air::vapour_pressure;
    use proptest::prelude::*;

    fn metric(surface: f64, air: f64, humidity: f64, wind: f64) -> f64 {
        let vapour = vapour_pressure(Temperature::celsius(air), Share::ratio(humidity));
        menzel(Temperature::celsius(surface), vapour, Speed::kilometres_per_hour(wind))
    }

    fn us(surface: f64, air: f64, percent: f64, wind: f64) -> (f64, f64) {
        let f = Temperature::fahrenheit;
        let wind = Speed::miles_per_hour(wind);
        let humidity = Share::percent(percent);
        let rate = menzel(f(surface), vapour_pressure(f(air), humidity), wind);
        let other = uno(f(surface), f(air), humidity, wind);
        (in_pounds_per_square_foot_hour(rate), in_pounds_per_square_foot_hour(other))
    }

    /// The nomograph's example: 0.25 by the drawing, 0.24 by the formula [@aci-evaporation-qa].
    #[test]
    fn the_guides_worked_example() {
        let (menzel, uno) = us(87.0, 80.0, 50.0, 12.0);
        // Two printed digits, and 1 % between the two forms of Menzel's constants.
        assert!((0.235..=0.25).contains(&menzel), "{menzel}");
        assert!((uno - 0.24347).abs() < 1e-5, "{uno}");
        // The example in SI, 31, 27 °C and 19 km/h: 1.15 to 1.2 kg/m²/h printed.
        let rate = metric(31.0, 27.0, 0.5, 19.0);
        assert!((1.15..=1.20).contains(&rate), "{rate}");
        assert!((rate - 1.190).abs() < 1e-3);
    }

    /// Menzel's table as Lerch reprinted it in 1957 (from memory): the formula lies within ±7 % of it, or within
    /// half of the last printed digit's step of 0.005 for the smallest.
    #[test]
    fn the_classic_table() {
        for (surface, air, percent, wind, table) in [
            (70.0, 70.0, 70.0, 0.0, 0.015),
            (70.0, 70.0, 70.0, 5.0, 0.038),
            (70.0, 70.0, 70.0, 10.0, 0.062),
            (70.0, 70.0, 70.0, 15.0, 0.085),
            (70.0, 70.0, 70.0, 20.0, 0.110),
            (70.0, 70.0, 70.0, 25.0, 0.135),
            (70.0, 70.0, 50.0, 10.0, 0.100),
            (70.0, 70.0, 30.0, 10.0, 0.135),
            (70.0, 70.0, 10.0, 10.0, 0.175),
            (70.0, 40.0, 50.0, 0.0, 0.035),
            (70.0, 40.0, 50.0, 10.0, 0.162),
            (70.0, 40.0, 50.0, 25.0, 0.357),
            (90.0, 90.0, 10.0, 0.0, 0.070),
            (90.0, 90.0, 10.0, 10.0, 0.336),
            (90.0, 90.0, 10.0, 25.0, 0.740),
            (80.0, 40.0, 100.0, 10.0, 0.205),
        ] {
            let (ours, _) = us(surface, air, percent, wind);
            let off = (ours - table).abs();
            assert!(
                off < 0.07 * table || off < 0.004,
                "{surface} {air} {percent} {wind}: {ours} for {table}"
            );
        }
    }

    /// Computed apart from this code from the same SI equation and saturation pressures.
    #[test]
    fn the_equation_by_hand() {
        for (surface, air, humidity, wind, apart) in [
            (20.0, 20.0, 0.5, 10.0, 0.3142),
            (30.0, 30.0, 0.4, 15.0, 0.9253),
            (25.0, 30.0, 0.3, 20.0, 0.8675),
            (15.0, 0.0, 0.8, 10.0, 0.3269),
            (30.0, 35.0, 0.2, 25.0, 1.7231),
        ] {
            let ours = metric(surface, air, humidity, wind);
            assert!((ours - apart).abs() < 1e-4, "{ours} {apart}");
        }
    }

    /// The spread that is published between the two: Uno is 11 to 15 % over Menzel for warm concrete in cold air.
    #[test]
    fn uno_overshoots_in_cold_air() {
        for (surface, air, percent, wind) in [(70.0, 40.0, 50.0, 10.0), (80.0, 40.0, 100.0, 10.0)] {
            let (menzel, uno) = us(surface, air, percent, wind);
            assert!((1.09..1.16).contains(&(uno / menzel)), "{}", uno / menzel);
        }
    }

    #[test]
    fn thresholds_in_both_unit_systems() {
        // Published as pairs: 1.0 with 0.2 and 0.5 with 0.1; the pairs are 2.4 % apart.
        assert!((in_pounds_per_square_foot_hour(threshold::PRECAUTIONS) - 0.2).abs() < 0.005);
        assert!((in_pounds_per_square_foot_hour(threshold::CAUTION) - 0.1).abs() < 0.0025);
        assert!((in_pounds_per_square_foot_hour(threshold::LITTLE_BLEED) - 0.05).abs() < 0.00125);
        assert!((0.2 * POUND_PER_SQUARE_FOOT_HOUR - 0.9765).abs() < 1e-4);
    }

    #[test]
    fn notes_say_the_rate_and_what_to_do() {
        let note = |rate, units| note(rate, Place::at("weather"), units);
        assert_eq!(note(0.49, UnitSystem::Us), None);
        let some = note(0.6, UnitSystem::Us).expect("over the caution");
        assert_eq!(some.code, "evaporation-caution");
        assert!(some.message.contains("0.12 lb/ft2/h") && some.message.contains("40 %"));
        let much = note(1.2, UnitSystem::Metric).expect("over the limit");
        assert_eq!(much.code, "evaporation-high");
        assert!(much.message.contains("1.20 kg/m2/h") && much.hint.contains("windbreaks"));
    }

    proptest! {
        #[test]
        fn saturated_air_at_the_surfaces_temperature_takes_no_water(celsius in 1.0..50.0_f64, wind in 0.0..15.0_f64) {
            let air = Temperature::celsius(celsius);
            let rate = menzel(air, vapour_pressure(air, Share::ratio(1.0)), Speed::metres_per_second(wind));
            prop_assert!(rate.abs() < 1e-12);
        }

        #[test]
        fn warmer_drier_and_windier_dry_faster(
            surface in 5.0..45.0_f64, air in 0.0..45.0_f64, humidity in 0.05..0.95_f64, wind in 0.0..30.0_f64,
        ) {
            let rate = metric(surface, air, humidity, wind);
            prop_assert!(metric(surface + 1.0, air, humidity, wind) > rate);
            prop_assert!(metric(surface, air, humidity - 0.04, wind) > rate);
            if rate > 0.0 {
                prop_assert!(metric(surface, air, humidity, wind + 1.0) > rate);
            }
            let slope = menzel_slope(Temperature::celsius(surface), Speed::kilometres_per_hour(wind));
            let difference = (metric(surface + 1e-3, air, humidity, wind) - metric(surface - 1e-3, air, humidity, wind)) / 2e-3;
            prop_assert!((slope - difference).abs() < 1e-6 * slope.max(1.0));
        }
    }
}
