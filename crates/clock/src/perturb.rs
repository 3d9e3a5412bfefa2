//! How far a forecast may be off, and a series moved by one draw of that error.
//!
//! A forecast errs as a whole more than hour by hour: a day comes out warmer or windier than told. So one draw moves
//! all hours together, by a spread that grows with the time between the forecast and the hour. Randomness is handed in.

use basis::math::exp;
use basis::{Share, Temperature, TemperatureDifference};
use jiff::Timestamp;

use crate::moist_air;
use crate::sun::{self, Sunshine};
use crate::weather::{Record, Series};

/// A spread that grows with the lead of a forecast.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// One standard deviation at no lead.
    pub now: f64,
    /// Added for each day of lead, up to ten days.
    pub per_day: f64,
}

impl Spread {
    /// One standard deviation at a lead in days; weather that has passed counts as now.
    #[must_use]
    pub fn at(self, days: f64) -> f64 {
        self.now + self.per_day * days.clamp(0.0, 10.0)
    }
}

/// How far forecasts are off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForecastError {
    /// Temperature, K.
    pub temperature: Spread,
    /// Dew point, K.
    pub dew_point: Spread,
    /// Logarithm of the wind.
    pub wind: Spread,
    /// Cloud, as a share of the sky.
    pub cloud: Spread,
}

impl ForecastError {
    /// Errors of public forecasts: assumed, after what is customarily told of them (no single source).
    ///
    /// Temperature 1.2 K and 0.4 K a day, a mean miss of some 2 to 3 °F for tomorrow; dew point 1.3 K and 0.4 K a day;
    /// wind 25 % and 3 % a day; cloud 15 % of the sky and 3 % a day.
    pub const CUSTOMARY: Self = Self {
        temperature: Spread { now: 1.2, per_day: 0.4 },
        dew_point: Spread { now: 1.3, per_day: 0.4 },
        wind: Spread { now: 0.25, per_day: 0.03 },
        cloud: Spread { now: 0.15, per_day: 0.03 },
    };

    /// Errors of weather that a person tells from memory of a forecast: half as much again (assumed).
    pub const SPOKEN: Self = Self {
        temperature: Spread { now: 1.8, per_day: 0.5 },
        dew_point: Spread { now: 2.0, per_day: 0.5 },
        wind: Spread { now: 0.35, per_day: 0.03 },
        cloud: Spread { now: 0.20, per_day: 0.03 },
    };

    /// No error: weather that was measured.
    pub const NONE: Self = {
        let none = Spread { now: 0.0, per_day: 0.0 };
        Self { temperature: none, dew_point: none, wind: none, cloud: none }
    };
}

/// One draw of a forecast's error: four independent standard normal numbers.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Draw {
    /// For the temperature.
    pub temperature: f64,
    /// For the dew point.
    pub dew_point: f64,
    /// For the wind.
    pub wind: f64,
    /// For the cloud.
    pub cloud: f64,
}

/// The series as it may come out, by one draw of its error; a draw of zeros gives it back.
///
/// `issued` is when the forecast was made. Temperature and dew point move by so many kelvins, but the air is never
/// over-full; wind is multiplied; cloud moves and stays within none and all, and a sun or long-wave radiation that the
/// file holds moves with it. Rain stays as told: its chance is not drawn here.
#[must_use]
pub fn perturbed(series: &Series, issued: Timestamp, error: &ForecastError, draw: &Draw) -> Series {
    let records = series.records.iter().enumerate().map(|(hour, record)| {
        let days = series.instant(hour).duration_since(issued).as_secs_f64() / 86_400.0;
        record.as_ref().map(|record| moved(record, days, error, draw))
    });
    Series { start: series.start, records: records.collect() }
}

fn moved(record: &Record, days: f64, error: &ForecastError, draw: &Draw) -> Record {
    let warmer = error.temperature.at(days) * draw.temperature;
    let moister = error.dew_point.at(days) * draw.dew_point;
    let air = record.air + TemperatureDifference::kelvins(warmer);
    let cloud = record.cloud.in_ratio() + error.cloud.at(days) * draw.cloud;
    let cloud = if draw.cloud == 0.0 { record.cloud } else { Share::ratio(cloud.clamp(0.0, 1.0)) };
    Record {
        air,
        vapour: moved_vapour(record, air, warmer, moister),
        wind: record.wind * exp(error.wind.at(days) * draw.wind),
        cloud,
        sun: record.sun.map(|measured| moved_sun(measured, record.cloud, cloud)),
        long_wave: record.long_wave.map(|told| moved_long_wave(told, record, air, cloud)),
        ..*record
    }
}

/// The vapour at the moved dew point; a warmer day's dew point moves with the day by a share of its own error only.
fn moved_vapour(record: &Record, air: Temperature, warmer: f64, moister: f64) -> basis::Pressure {
    if warmer == 0.0 && moister == 0.0 {
        return record.vapour;
    }
    let moved = moist_air::dew_point(record.vapour).map_or(record.vapour, |dew| {
        moist_air::saturation_pressure_over_water(dew + TemperatureDifference::kelvins(moister))
    });
    let full = moist_air::saturation_pressure_over_water(air);
    moved.min(full)
}

/// Sun of the file under other cloud: by what the cloud model leaves of a clear sky, before and after.
fn moved_sun(measured: Sunshine, before: Share, after: Share) -> Sunshine {
    let factor = sun::left_under(after) / sun::left_under(before);
    let global = measured.global * factor;
    let direct =
        (measured.direct() * factor * open_share(after) / open_share(before)).clamp(0.0, global.max(0.0));
    Sunshine { global, diffuse: global - direct }
}

/// Share of the direct sun that cloud lets through, kept off zero so that an overcast hour can clear up.
fn open_share(cloud: Share) -> f64 {
    (1.0 - cloud.in_ratio() * cloud.in_ratio()).max(0.05)
}

/// Long wave of the file under other cloud and air: by the sky model's difference.
fn moved_long_wave(told: f64, record: &Record, air: Temperature, cloud: Share) -> f64 {
    if air == record.air && cloud == record.cloud {
        return told;
    }
    let figured = |air, cloud| crate::sky::down(air, record.vapour, cloud);
    told + figured(air, cloud) - figured(record.air, record.cloud)
}

#[cfg(test)]
mod tests {
    use super::*;
    use basis::{Pressure, Speed};
    use proptest::prelude::*;

    fn series() -> Series {
        let air = Temperature::celsius(20.0);
        let record = Record {
            air,
            vapour: moist_air::vapour_pressure(air, Share::percent(60.0)),
            wind: Speed::metres_per_second(4.0),
            cloud: Share::percent(40.0),
            sun: Some(Sunshine { global: 600.0, diffuse: 150.0 }),
            long_wave: Some(350.0),
            pressure: Some(Pressure::kilopascals(100.0)),
            rain: 0.2,
        };
        Series { start: Timestamp::UNIX_EPOCH, records: vec![Some(record), None, Some(record)] }
    }

    #[test]
    fn no_draw_gives_the_forecast_back() {
        let back = perturbed(&series(), Timestamp::UNIX_EPOCH, &ForecastError::CUSTOMARY, &Draw::default());
        assert_eq!(back, series());
        let one = Draw { temperature: 1.0, dew_point: 1.0, wind: 1.0, cloud: 0.0 };
        assert_eq!(perturbed(&series(), Timestamp::UNIX_EPOCH, &ForecastError::NONE, &one), series());
    }

    #[test]
    fn the_spread_grows_with_the_lead_and_ends_at_ten_days() {
        let spread = ForecastError::CUSTOMARY.temperature;
        assert!((spread.at(-3.0) - 1.2).abs() < 1e-12);
        assert!((spread.at(1.0) - 1.6).abs() < 1e-12);
        assert!((spread.at(30.0) - 5.2).abs() < 1e-12);
    }

    #[test]
    fn a_warmer_windier_cloudier_draw() {
        let draw = Draw { temperature: 1.0, dew_point: 0.0, wind: 1.0, cloud: 2.0 };
        let moved = perturbed(&series(), Timestamp::UNIX_EPOCH, &ForecastError::CUSTOMARY, &draw);
        let (was, is) = (series().records[0].expect("there"), moved.records[0].expect("there"));
        assert!((is.air.in_celsius() - 21.2).abs() < 1e-9);
        assert!((is.vapour / was.vapour - 1.0).abs() < 1e-9);
        assert!((is.wind / was.wind - exp(0.25)).abs() < 1e-12);
        assert!((is.cloud.in_percent() - 70.0).abs() < 1e-9);
        let (sun, before) = (is.sun.expect("told"), was.sun.expect("told"));
        assert!(
            (sun.global / before.global - sun::left_under(is.cloud) / sun::left_under(was.cloud)).abs()
                < 1e-12
        );
        assert!(sun.direct() < before.direct());
        assert!(is.long_wave > was.long_wave);
        assert_eq!(moved.records[1], None);
    }

    proptest! {
        #[test]
        fn any_draw_gives_weather_that_can_be(
            t in -4.0..4.0_f64, d in -4.0..4.0_f64, w in -4.0..4.0_f64, c in -4.0..4.0_f64, days in 0_i64..12,
        ) {
            let issued = Timestamp::from_second(-86_400 * days).expect("in range");
            let draw = Draw { temperature: t, dew_point: d, wind: w, cloud: c };
            let moved = perturbed(&series(), issued, &ForecastError::SPOKEN, &draw);
            let is = moved.records[0].expect("there");
            prop_assert!(moist_air::relative_humidity(is.air, is.vapour).in_ratio() <= 1.0 + 1e-9);
            prop_assert!(is.vapour.in_pascals() > 0.0 && is.wind.in_metres_per_second() > 0.0);
            prop_assert!((0.0..=1.0).contains(&is.cloud.in_ratio()));
            let sun = is.sun.expect("told");
            prop_assert!(sun.diffuse >= -1e-9 && sun.direct() >= -1e-9 && sun.global.is_finite());
        }
    }
}
