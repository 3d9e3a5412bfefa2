//! Moist air: saturation pressure over water and ice, dew point, relative humidity, pressure at a height.
//!
//! Everything a slab sees of the air's water is its partial pressure; humidity and dew point are two ways to
//! state it. Saturation after Hyland and Wexler [@hyland-wexler-1983] as the ASHRAE handbook prints it
//! [@ashrae-fundamentals-2017, ch. 1, eqs. 5 and 6], within 300 ppm of its table over -50 to 150 °C.

use basis::math::{exp, log, pow};
use basis::{Length, Pressure, Share, Temperature};

/// Triple point of water, where the curves over ice and over water meet, K.
const TRIPLE_POINT: f64 = 273.16;

/// Coldest and warmest temperature for which the saturation curves are stated, °C.
pub const RANGE_CELSIUS: (f64, f64) = (-100.0, 200.0);

/// Pressure of the standard atmosphere at sea level, Pa.
pub const STANDARD_PRESSURE: f64 = 101_325.0;

/// Coefficients of `ln p = a/T + b + c T + d T² + e T³ + f T⁴ + g ln T`, p in Pa, T in K.
struct Curve {
    a: f64,
    b: f64,
    c: f64,
    d: f64,
    e: f64,
    f: f64,
    g: f64,
}

const OVER_ICE: Curve = Curve {
    a: -5.674_535_9e3,
    b: 6.392_524_7,
    c: -9.677_843e-3,
    d: 6.221_570_1e-7,
    e: 2.074_782_5e-9,
    f: -9.484_024e-13,
    g: 4.163_501_9,
};

const OVER_WATER: Curve = Curve {
    a: -5.800_220_6e3,
    b: 1.391_499_3,
    c: -4.864_023_9e-2,
    d: 4.176_476_8e-5,
    e: -1.445_209_3e-8,
    f: 0.0,
    g: 6.545_967_3,
};

impl Curve {
    const fn at(kelvins: f64) -> &'static Self {
        if kelvins <= TRIPLE_POINT { &OVER_ICE } else { &OVER_WATER }
    }
    fn log_pressure(&self, t: f64) -> f64 {
        self.a / t + self.b + t * (self.c + t * (self.d + t * (self.e + t * self.f))) + self.g * log(t)
    }
    fn log_slope(&self, t: f64) -> f64 {
        -self.a / (t * t) + self.c + t * (2.0 * self.d + t * (3.0 * self.e + t * 4.0 * self.f)) + self.g / t
    }
}

/// Pressure of water vapour in balance with water, or with ice at and below 0.01 °C.
///
/// Valid from -100 to 200 °C ([`RANGE_CELSIUS`]); outside it the curves run on and mean nothing, and 0 K or
/// less gives no number. Within 300 ppm of the handbook's table [@ashrae-fundamentals-2017, ch. 1, table 3].
///
/// ```
/// use basis::Temperature;
/// // The handbook's table: 3169.7 Pa at 25 °C.
/// let pressure = clock::moist_air::saturation_pressure(Temperature::celsius(25.0));
/// assert!((pressure.in_pascals() / 3169.7 - 1.0).abs() < 3e-4);
/// ```
#[must_use]
pub fn saturation_pressure(temperature: Temperature) -> Pressure {
    let t = temperature.in_kelvins();
    Pressure::pascals(exp(Curve::at(t).log_pressure(t)))
}

/// Slope of [`saturation_pressure`] with temperature, Pa/K: what an implicit heat balance needs.
#[must_use]
pub fn saturation_slope(temperature: Temperature) -> f64 {
    let t = temperature.in_kelvins();
    let curve = Curve::at(t);
    exp(curve.log_pressure(t)) * curve.log_slope(t)
}

/// Saturation over water at any temperature: over supercooled water below 0.01 °C.
///
/// Weather services state relative humidity over water in frost too. The curve is stated for 0 to 200 °C;
/// down to -30 °C it stays within 1 % of what is published for supercooled water (from memory).
#[must_use]
pub fn saturation_pressure_over_water(temperature: Temperature) -> Pressure {
    Pressure::pascals(exp(OVER_WATER.log_pressure(temperature.in_kelvins())))
}

/// Vapour pressure of air by its temperature and relative humidity, as a weather service states them: over water.
///
/// ```
/// use basis::{Share, Temperature};
/// // 20 °C at 50 %: half of 2338.8 Pa.
/// let vapour = clock::moist_air::vapour_pressure(Temperature::celsius(20.0), Share::percent(50.0));
/// assert!((vapour.in_pascals() - 1169.4).abs() < 0.1);
/// ```
#[must_use]
pub fn vapour_pressure(air: Temperature, humidity: Share) -> Pressure {
    saturation_pressure_over_water(air) * humidity.in_ratio()
}

/// Relative humidity of air over water; above 1 where the air holds more than saturation.
#[must_use]
pub fn relative_humidity(air: Temperature, vapour: Pressure) -> Share {
    Share::ratio(vapour / saturation_pressure_over_water(air))
}

/// Temperature at which air of this vapour pressure is saturated over water, or none for air without vapour.
///
/// Newton's method on the logarithm, from Magnus' form; inverts [`saturation_pressure_over_water`] to 1e-9 K
/// between -60 and 100 °C, and gives none outside. Frost points lie up to 5 K above dew points in deep cold.
///
/// ```
/// use basis::{Pressure, Temperature};
/// // 1169 Pa (20 °C, 50 %) has its dew point at 9.3 °C.
/// let dew = clock::moist_air::dew_point(Pressure::pascals(1169.4)).expect("moist air");
/// assert!((dew.in_celsius() - 9.27).abs() < 0.02);
/// ```
#[must_use]
pub fn dew_point(vapour: Pressure) -> Option<Temperature> {
    let pascals = vapour.in_pascals();
    if !(1.0..=102_000.0).contains(&pascals) {
        return None;
    }
    let wanted = log(pascals);
    let magnus = log(pascals / 610.94);
    let mut t = 273.15 + 243.04 * magnus / (17.625 - magnus);
    for _ in 0..12 {
        let step = (OVER_WATER.log_pressure(t) - wanted) / OVER_WATER.log_slope(t);
        t -= step;
        if step.abs() < 1e-10 {
            break;
        }
    }
    let celsius = t - 273.15;
    (-61.0..=101.0).contains(&celsius).then(|| Temperature::kelvins(t))
}

/// Mass of water per mass of dry air, kg/kg: `0.621945 e / (p - e)` [@ashrae-fundamentals-2017, ch. 1, eq. 20].
///
/// None where the vapour pressure is not below the air's.
#[must_use]
pub fn humidity_ratio(vapour: Pressure, air: Pressure) -> Option<f64> {
    let dry = (air - vapour).in_pascals();
    (dry > 0.0).then(|| 0.621_945 * vapour.in_pascals() / dry)
}

/// Air pressure of the standard atmosphere at a height over the sea: `101325 (1 - 2.25577e-5 z)^5.2559`.
///
/// Stated for -5,000 to 11,000 m [@ashrae-fundamentals-2017, ch. 1, eq. 3]; weather moves it by 3 % either way.
///
/// ```
/// use basis::Length;
/// // The handbook's table of the standard atmosphere: 89,875 Pa at 1,000 m.
/// let pressure = clock::moist_air::standard_pressure(Length::metres(1000.0));
/// assert!((pressure.in_pascals() - 89_875.0).abs() < 1.0);
/// ```
#[must_use]
pub fn standard_pressure(height: Length) -> Pressure {
    let base = (1.0 - 2.255_77e-5 * height.in_metres()).max(0.0);
    Pressure::pascals(STANDARD_PRESSURE * pow(base, 5.2559))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn pascals(celsius: f64) -> f64 {
        saturation_pressure(Temperature::celsius(celsius)).in_pascals()
    }

    /// ASHRAE Handbook Fundamentals 2017, ch. 1, table 3, as a public library's tests quote it. The handbook
    /// puts its formula within 300 ppm of the table; the entry at -60 °C has three digits.
    #[test]
    fn the_handbooks_table_of_saturation_pressures() {
        assert!((pascals(-60.0) - 1.08).abs() < 0.01);
        for (celsius, table) in [
            (-20.0, 103.24),
            (-5.0, 401.74),
            (5.0, 872.6),
            (25.0, 3169.7),
            (50.0, 12_351.3),
            (100.0, 101_418.0),
            (150.0, 476_101.4),
        ] {
            assert!((pascals(celsius) / table - 1.0).abs() < 3e-4, "{celsius} °C: {}", pascals(celsius));
        }
    }

    /// Computed apart from this code from the same equations, to five digits; at 0 °C the handbook takes the
    /// curve over water and the triple point the one over ice, 0.1 Pa apart.
    #[test]
    fn every_five_degrees_from_the_same_equations() {
        for (celsius, apart) in [
            (0.0, 611.2),
            (5.0, 872.5),
            (10.0, 1228.0),
            (15.0, 1705.4),
            (20.0, 2338.8),
            (25.0, 3169.2),
            (30.0, 4246.0),
            (35.0, 5627.8),
            (40.0, 7383.5),
        ] {
            assert!((pascals(celsius) - apart).abs() < 0.11, "{celsius} °C: {}", pascals(celsius));
        }
    }

    /// Magnus' form with the constants of Alduchov and Eskridge (1996), from memory: within 0.25 % from 0 to 40 °C.
    #[test]
    fn magnus_form_agrees() {
        for tenths in 0..=400 {
            let celsius = f64::from(tenths) / 10.0;
            let magnus = 610.94 * exp(17.625 * celsius / (celsius + 243.04));
            assert!((pascals(celsius) / magnus - 1.0).abs() < 0.0025, "{celsius}");
        }
    }

    #[test]
    fn the_curves_meet_at_the_triple_point() {
        let ice = exp(OVER_ICE.log_pressure(TRIPLE_POINT));
        let water = exp(OVER_WATER.log_pressure(TRIPLE_POINT));
        // 611.657 Pa is what the triple point was fixed at; each curve is within 300 ppm.
        assert!((ice / 611.657 - 1.0).abs() < 3e-4 && (water / 611.657 - 1.0).abs() < 3e-4, "{ice} {water}");
        assert!((ice - water).abs() < 0.1);
    }

    /// ASHRAE Handbook Fundamentals 2017, ch. 1, table 1, printed to 1 Pa.
    #[test]
    fn the_handbooks_table_of_the_standard_atmosphere() {
        for (metres, table) in
            [(-500.0, 107_478.0), (0.0, 101_325.0), (500.0, 95_461.0), (1000.0, 89_875.0), (4000.0, 61_640.0)]
        {
            let ours = standard_pressure(Length::metres(metres)).in_pascals();
            assert!((ours - table).abs() < 1.0, "{metres} m: {ours}");
        }
    }

    /// ASHRAE Handbook Fundamentals 2017, ch. 1, example 1: 40 °C dry bulb, humidity ratio 0.0065, 14 %.
    #[test]
    fn the_handbooks_example_of_moist_air() {
        let vapour = vapour_pressure(Temperature::celsius(40.0), Share::percent(14.0));
        let ratio = humidity_ratio(vapour, Pressure::pascals(STANDARD_PRESSURE)).expect("below");
        // Printed to a whole per cent, which is 7 parts in 100 of the ratio.
        assert!((ratio - 0.0065).abs() < 0.0005, "{ratio}");
        let dew = dew_point(vapour).expect("moist").in_celsius();
        assert!((dew - 7.0).abs() < 0.5, "{dew}");
    }

    #[test]
    fn air_without_vapour_has_no_dew_point() {
        for pascals in [0.0, -5.0, f64::NAN, f64::INFINITY, 2e5] {
            assert_eq!(dew_point(Pressure::pascals(pascals)), None);
        }
        assert_eq!(humidity_ratio(Pressure::pascals(2e5), Pressure::pascals(1e5)), None);
    }

    proptest! {
        #[test]
        fn a_dew_point_leads_back_to_its_pressure(celsius in -60.0..100.0_f64) {
            let vapour = saturation_pressure_over_water(Temperature::celsius(celsius));
            let dew = dew_point(vapour).expect("in range");
            prop_assert!((dew.in_celsius() - celsius).abs() < 1e-8);
        }

        #[test]
        fn humidity_leads_back_to_itself(celsius in -40.0..60.0_f64, percent in 1.0..100.0_f64) {
            let air = Temperature::celsius(celsius);
            let back = relative_humidity(air, vapour_pressure(air, Share::percent(percent)));
            prop_assert!((back.in_percent() - percent).abs() < 1e-9);
        }

        #[test]
        fn the_slope_is_that_of_the_curve(celsius in -90.0..190.0_f64) {
            // A central difference over 2 mK is off by the curve's third derivative: under 1e-6 of the slope.
            // Across the seam of the curves a difference sees the step between them.
            prop_assume!((celsius - 0.01).abs() > 0.01);
            let difference = (pascals(celsius + 1e-3) - pascals(celsius - 1e-3)) / 2e-3;
            let slope = saturation_slope(Temperature::celsius(celsius));
            prop_assert!((slope / difference - 1.0).abs() < 1e-5, "{slope} {difference}");
        }

        #[test]
        fn warmer_air_holds_more(celsius in -99.0..199.0_f64, more in 0.1..1.0_f64) {
            prop_assert!(pascals(celsius + more) > pascals(celsius));
        }
    }
}
