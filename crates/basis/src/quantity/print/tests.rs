use proptest::prelude::*;

use super::*;
use crate::quantity::{Length, money_with_currency, read};
use crate::{Currency, Money, RodMarks};

#[test]
fn rounding_carries_into_the_next_inch_and_foot() {
    assert_eq!(feet_inches(Length::inches(11.97), 16), "1'");
    assert_eq!(feet_inches(Length::inches(23.96), 16), "1' 11-15/16\"");
    assert_eq!(feet_inches(Length::inches(23.97), 16), "2'");
    assert_eq!(feet_inches(Length::inches(6.99), 16), "7\"");
    assert_eq!(feet_inches(Length::inches(12.0625), 16), "1' 1/16\"");
    assert_eq!(feet_inches(Length::ZERO, 16), "0\"");
    assert_eq!(feet_inches(Length::inches(-0.01), 16), "0\"");
    assert_eq!(feet_inches(Length::feet(-3.5), 16), "-3' 6\"");
}

#[test]
fn nothing_that_is_no_number_panics_or_looks_like_one() {
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let bad = Length::metres(value);
        assert_eq!(feet_inches(bad, 0), "no number");
        assert_eq!(feet_inches_in_words(bad, 16), "no number");
        assert_eq!(thickness(bad, UnitSystem::Us), "no number");
        assert_eq!(rod(bad, RodMarks::Tenths), "no number");
        assert_eq!(slope(Slope::ratio(value), UnitSystem::Us), "no number");
        assert_eq!(time_span(TimeSpan::seconds(value)), "no number");
    }
    assert_eq!(feet_inches(Length::feet(1e300), 16), "1.0e300 ft");
    assert_eq!(time_span(TimeSpan::seconds(-1e300)), "-1.0e300 s");
    assert_eq!(feet_inches(Length::inches(3.4), u32::MAX), "3-2/5\"");
}

#[test]
fn no_minus_stands_before_zero() {
    assert_eq!(volume(Volume::cubic_yards(-0.001), UnitSystem::Us), "0.00 yd3");
    assert_eq!(volume(Volume::cubic_yards(-0.011), UnitSystem::Us), "-0.01 yd3");
    assert_eq!(decimal(-0.2, 0, "mm"), "0 mm");
    assert_eq!(money(Money::ten_thousandths(-49), Currency(*b"USD")), "$0.00");
}

const SYSTEMS: [UnitSystem; 2] = [UnitSystem::Us, UnitSystem::Metric];

/// Reads the text back and compares in SI units; `step` is the printed step in SI units.
fn returns<Q: crate::quantity::Readable>(value: Q, text: &str, step: f64) -> Result<(), TestCaseError> {
    let back: Q = match read(text) {
        Ok(back) => back,
        Err(error) => return Err(TestCaseError::fail(error.to_string())),
    };
    let off = (back.in_si() - value.in_si()).abs();
    prop_assert!(off <= step * 0.500_001 + 1e-12, "{text}: off by {off}");
    Ok(())
}

proptest! {
    #[test]
    fn printed_lengths_read_back(metres in -9000.0..9000.0f64, exponent in 0u32..8) {
        let (value, denominator) = (Length::metres(metres), 1 << exponent);
        let step = 0.0254 / f64::from(denominator);
        returns(value, &feet_inches(value, denominator), step)?;
        returns(value, &feet_inches_in_words(value, denominator), step)?;
        returns(value, &decimal_feet(value, 2), 0.003_048)?;
        returns(value, &millimetres(value), 1e-3)?;
        returns(value, &thickness(value, UnitSystem::Us), 0.0254 / 8.0)?;
        returns(value, &length(value, UnitSystem::Us), 0.0254 / 8.0)?;
        returns(value, &length(value, UnitSystem::Metric), 1e-3)?;
        returns(value, &rod(value, RodMarks::Sixteenths), 0.0254 / 16.0)?;
    }

    #[test]
    fn whatever_is_printed_reads_back(x in 0.0..1.0f64, y in -1.0..1.0f64) {
        for units in SYSTEMS {
            let us = units == UnitSystem::Us;
            let by = |a: f64, b: f64| if us { a } else { b };
            let (v, a) = (Volume::cubic_metres(y * 1e4), Area::square_metres(x * 1e5));
            returns(v, &volume(v, units), by(0.007_645_548_6, 0.01))?;
            returns(a, &area(a, units), by(0.092_903_04, 0.1))?;
            let (s, w) = (Slope::ratio(y), Speed::metres_per_second(x * 100.0));
            returns(s, &slope(s, units), by(0.01 / 12.0, 1e-3))?;
            returns(w, &speed(w, units), by(0.044_704, 0.1))?;
            let (m, d) = (Mass::kilograms(x * 1e5), Density::kilograms_per_cubic_metre(x * 1e4));
            returns(m, &mass(m, units), by(0.453_592_37, 1.0))?;
            returns(d, &density(d, units), by(1.601_846_4, 1.0))?;
            let (t, dt) = (Temperature::celsius(y * 90.0), TemperatureDifference::kelvins(y * 50.0));
            returns(t, &temperature(t, units), by(5.0 / 9.0, 0.1))?;
            returns(dt, &temperature_difference(dt, units), by(0.5 / 9.0, 0.1))?;
            let (p, r) = (Pressure::megapascals(x * 100.0), VolumeRate::cubic_metres_per_hour(x * 100.0));
            returns(p, &pressure(p, units), by(6894.757, 1e5))?;
            returns(r, &volume_rate(r, units), by(0.076_455_486 / 3600.0, 0.1 / 3600.0))?;
            let a = AreaRate::square_metres_per_hour(x * 1000.0);
            returns(a, &area_rate(a, units), by(0.092_903_04 / 3600.0, 1.0 / 3600.0))?;
            let c = Cover::square_metres_per_cubic_metre(x * 1e4);
            returns(c, &cover(c, units), by(24.543, 100.0))?;
        }
        let (h, g) = (Share::ratio(y), Angle::degrees(y * 360.0));
        returns(h, &share(h), 1e-3)?;
        returns(g, &angle(g), 0.1 * 0.017_453_3)?;
        let t = TimeSpan::seconds(y * 1e5);
        returns(t, &time_span(t), if t.in_seconds().abs() < 119.5 { 1.0 } else { 60.0 })?;
    }

    #[test]
    fn printed_money_reads_back(amount in -1_000_000_000_000i64..1_000_000_000_000, code in "USD|EUR|GBP|CAD") {
        let currency = Currency(code.as_bytes().try_into().unwrap());
        let (back, read) = money_with_currency(&money(Money::ten_thousandths(amount), currency)).unwrap();
        prop_assert!((back.in_ten_thousandths() - amount).abs() <= 50);
        prop_assert_eq!(read, currency);
    }

    #[test]
    fn printing_any_number_is_fine(bits in any::<u64>(), denominator in any::<u32>()) {
        let value = f64::from_bits(bits);
        for units in SYSTEMS {
            let all = [
                feet_inches(Length::metres(value), denominator),
                thickness(Length::metres(value), units),
                slope(Slope::ratio(value), units),
                time_span(TimeSpan::seconds(value)),
                temperature(Temperature::kelvins(value), units),
            ];
            prop_assert!(all.iter().all(|text| !text.is_empty() && text.len() < 60), "{all:?}");
        }
    }
}
