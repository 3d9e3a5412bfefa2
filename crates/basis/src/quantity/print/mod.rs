//! Prints quantities as people on site read them.
//!
//! Every text reads back to within half of its last printed step. A value that is no number prints as
//! `no number`, one beyond any site as a power of ten; neither panics. Halves are rounded away from zero.

mod length;
mod money;

pub use length::{
    decimal_feet, feet_inches, feet_inches_in_words, length, millimetres, rod, size, thickness,
};
pub use money::{money, price_per_time, price_per_volume};

use super::{
    Angle, Area, AreaRate, Cover, Density, Mass, Pressure, Share, Slope, Speed, Temperature,
    TemperatureDifference, TimeSpan, Volume, VolumeRate,
};
use crate::UnitSystem;
use length::mixed;

/// A number with decimals and its unit; never `-0`.
pub(super) fn decimal(value: f64, decimals: usize, unit: &str) -> String {
    if !value.is_finite() {
        return "no number".to_owned();
    }
    if value.abs() >= 1e12 {
        return format!("{value:.1e} {unit}");
    }
    let text = format!("{value:.decimals$} {unit}");
    match text.strip_prefix('-') {
        Some(rest) if !rest.bytes().any(|b| (b'1'..=b'9').contains(&b) && !unit.as_bytes().contains(&b)) => {
            rest.to_owned()
        }
        _ => text,
    }
}

fn by_system(units: UnitSystem, us: (f64, usize, &str), metric: (f64, usize, &str)) -> String {
    let (value, decimals, unit) = match units {
        UnitSystem::Us => us,
        UnitSystem::Metric => metric,
    };
    decimal(value, decimals, unit)
}

/// A volume to hundredths: `8.25 yd3`, `6.30 m3`.
///
/// ```
/// # use basis::{UnitSystem, Volume, quantity::volume};
/// assert_eq!(volume(Volume::cubic_yards(8.25), UnitSystem::Us), "8.25 yd3");
/// assert_eq!(volume(Volume::cubic_yards(8.25), UnitSystem::Metric), "6.31 m3");
/// ```
#[must_use]
pub fn volume(volume: Volume, units: UnitSystem) -> String {
    by_system(units, (volume.in_cubic_yards(), 2, "yd3"), (volume.in_cubic_metres(), 2, "m3"))
}

/// An area: `1476 ft2`, `137.1 m2`.
///
/// ```
/// # use basis::{Area, UnitSystem, quantity::area};
/// assert_eq!(area(Area::square_feet(1476.2), UnitSystem::Us), "1476 ft2");
/// assert_eq!(area(Area::square_feet(1476.2), UnitSystem::Metric), "137.1 m2");
/// ```
#[must_use]
pub fn area(area: Area, units: UnitSystem) -> String {
    by_system(units, (area.in_square_feet(), 0, "ft2"), (area.in_square_metres(), 1, "m2"))
}

/// A fall: `1/8 in/ft` where sixteenths say it within 1/200 in/ft, else `0.08 in/ft`; metric `1.0 %`.
///
/// ```
/// # use basis::{Slope, UnitSystem, quantity::slope};
/// assert_eq!(slope(Slope::inches_per_foot(0.125), UnitSystem::Us), "1/8 in/ft");
/// assert_eq!(slope(Slope::percent(0.7), UnitSystem::Us), "0.08 in/ft");
/// assert_eq!(slope(Slope::inches_per_foot(0.125), UnitSystem::Metric), "1.0 %");
/// ```
#[must_use]
pub fn slope(slope: Slope, units: UnitSystem) -> String {
    let value = slope.in_inches_per_foot();
    let sixteenths = (value * 16.0).round();
    if units == UnitSystem::Us && (value - sixteenths / 16.0).abs() < 0.005 && sixteenths.abs() < 1e6 {
        let sign = if sixteenths < 0.0 { "-" } else { "" };
        return format!("{sign}{} in/ft", mixed(sixteenths.abs() as u64, 16, ' '));
    }
    by_system(units, (value, 2, "in/ft"), (slope.in_percent(), 1, "%"))
}

/// A share in per cent, to a tenth: `3.0 %`.
///
/// ```
/// # use basis::{Share, quantity::share};
/// assert_eq!(share(Share::ratio(0.03)), "3.0 %");
/// ```
#[must_use]
pub fn share(share: Share) -> String {
    decimal(share.in_percent(), 1, "%")
}

/// An angle in degrees, to a tenth: `90.0 deg`.
///
/// ```
/// # use basis::{Angle, quantity::angle};
/// assert_eq!(angle(Angle::radians(std::f64::consts::FRAC_PI_2)), "90.0 deg");
/// ```
#[must_use]
pub fn angle(angle: Angle) -> String {
    decimal(angle.in_degrees(), 1, "deg")
}

/// A time span: whole seconds under two minutes, else hours and whole minutes.
///
/// ```
/// # use basis::{TimeSpan, quantity::time_span};
/// assert_eq!(time_span(TimeSpan::seconds(90.0)), "90 s");
/// assert_eq!(time_span(TimeSpan::minutes(45.0)), "45 min");
/// assert_eq!(time_span(TimeSpan::seconds(5399.0)), "1 h 30 min");
/// assert_eq!(time_span(TimeSpan::hours(2.0)), "2 h");
/// ```
#[must_use]
pub fn time_span(span: TimeSpan) -> String {
    let seconds = span.in_seconds();
    if !(seconds.abs() >= 119.5 && seconds.abs() < 1e12) {
        return decimal(seconds, 0, "s");
    }
    let sign = if seconds < 0.0 { "-" } else { "" };
    let minutes = (seconds.abs() / 60.0).round() as u64;
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{sign}{minutes} min"),
        (hours, 0) => format!("{sign}{hours} h"),
        (hours, minutes) => format!("{sign}{hours} h {minutes} min"),
    }
}

/// A speed: `12.0 mph`, `5.4 m/s`.
///
/// ```
/// # use basis::{Speed, UnitSystem, quantity::speed};
/// assert_eq!(speed(Speed::miles_per_hour(12.0), UnitSystem::Us), "12.0 mph");
/// assert_eq!(speed(Speed::miles_per_hour(12.0), UnitSystem::Metric), "5.4 m/s");
/// ```
#[must_use]
pub fn speed(speed: Speed, units: UnitSystem) -> String {
    by_system(units, (speed.in_miles_per_hour(), 1, "mph"), (speed.in_metres_per_second(), 1, "m/s"))
}

/// A mass to a whole pound or kilogram: `94 lb`, `43 kg`.
///
/// ```
/// # use basis::{Mass, UnitSystem, quantity::mass};
/// assert_eq!(mass(Mass::pounds(94.0), UnitSystem::Us), "94 lb");
/// assert_eq!(mass(Mass::pounds(94.0), UnitSystem::Metric), "43 kg");
/// ```
#[must_use]
pub fn mass(mass: Mass, units: UnitSystem) -> String {
    by_system(units, (mass.in_pounds(), 0, "lb"), (mass.in_kilograms(), 0, "kg"))
}

/// A mass per volume: `145.0 lb/ft3`, `2323 kg/m3`.
///
/// ```
/// # use basis::{Density, UnitSystem, quantity::density};
/// assert_eq!(density(Density::pounds_per_cubic_foot(145.0), UnitSystem::Us), "145.0 lb/ft3");
/// assert_eq!(density(Density::pounds_per_cubic_foot(145.0), UnitSystem::Metric), "2323 kg/m3");
/// ```
#[must_use]
pub fn density(density: Density, units: UnitSystem) -> String {
    let us = (density.in_pounds_per_cubic_foot(), 1, "lb/ft3");
    by_system(units, us, (density.in_kilograms_per_cubic_metre(), 0, "kg/m3"))
}

/// A temperature: `70 °F`, `21.1 °C`.
///
/// ```
/// # use basis::{Temperature, UnitSystem, quantity::temperature};
/// assert_eq!(temperature(Temperature::fahrenheit(70.0), UnitSystem::Us), "70 °F");
/// assert_eq!(temperature(Temperature::fahrenheit(70.0), UnitSystem::Metric), "21.1 °C");
/// ```
#[must_use]
pub fn temperature(temperature: Temperature, units: UnitSystem) -> String {
    by_system(units, (temperature.in_fahrenheit(), 0, "°F"), (temperature.in_celsius(), 1, "°C"))
}

/// A difference of temperature to a tenth: `9.0 °F`, `5.0 °C`.
///
/// ```
/// # use basis::{TemperatureDifference, UnitSystem, quantity::temperature_difference};
/// assert_eq!(temperature_difference(TemperatureDifference::kelvins(5.0), UnitSystem::Us), "9.0 °F");
/// ```
#[must_use]
pub fn temperature_difference(difference: TemperatureDifference, units: UnitSystem) -> String {
    by_system(units, (difference.in_fahrenheit_degrees(), 1, "°F"), (difference.in_kelvins(), 1, "°C"))
}

/// A strength: `4000 psi`, `27.6 MPa`.
///
/// ```
/// # use basis::{Pressure, UnitSystem, quantity::pressure};
/// assert_eq!(pressure(Pressure::psi(4000.0), UnitSystem::Us), "4000 psi");
/// assert_eq!(pressure(Pressure::psi(4000.0), UnitSystem::Metric), "27.6 MPa");
/// ```
#[must_use]
pub fn pressure(pressure: Pressure, units: UnitSystem) -> String {
    by_system(units, (pressure.in_psi(), 0, "psi"), (pressure.in_megapascals(), 1, "MPa"))
}

/// A placing rate to a tenth: `12.0 yd3/h`, `9.2 m3/h`.
///
/// ```
/// # use basis::{UnitSystem, VolumeRate, quantity::volume_rate};
/// assert_eq!(volume_rate(VolumeRate::cubic_yards_per_hour(12.0), UnitSystem::Us), "12.0 yd3/h");
/// assert_eq!(volume_rate(VolumeRate::cubic_yards_per_hour(12.0), UnitSystem::Metric), "9.2 m3/h");
/// ```
#[must_use]
pub fn volume_rate(rate: VolumeRate, units: UnitSystem) -> String {
    by_system(
        units,
        (rate.in_cubic_yards_per_hour(), 1, "yd3/h"),
        (rate.in_cubic_metres_per_hour(), 1, "m3/h"),
    )
}

/// A finishing rate: `1500 ft2/h`, `140 m2/h`.
///
/// ```
/// # use basis::{AreaRate, UnitSystem, quantity::area_rate};
/// assert_eq!(area_rate(AreaRate::square_feet_per_hour(1500.0), UnitSystem::Us), "1500 ft2/h");
/// assert_eq!(area_rate(AreaRate::square_feet_per_hour(1500.0), UnitSystem::Metric), "139 m2/h");
/// ```
#[must_use]
pub fn area_rate(rate: AreaRate, units: UnitSystem) -> String {
    by_system(
        units,
        (rate.in_square_feet_per_hour(), 0, "ft2/h"),
        (rate.in_square_metres_per_hour(), 0, "m2/h"),
    )
}

/// How far a compound goes: `200 ft2/gal`, `4.9 m2/l`.
///
/// ```
/// # use basis::{Cover, UnitSystem, quantity::cover};
/// assert_eq!(cover(Cover::square_feet_per_gallon(200.0), UnitSystem::Us), "200 ft2/gal");
/// assert_eq!(cover(Cover::square_feet_per_gallon(200.0), UnitSystem::Metric), "4.9 m2/l");
/// ```
#[must_use]
pub fn cover(cover: Cover, units: UnitSystem) -> String {
    by_system(
        units,
        (cover.in_square_feet_per_gallon(), 0, "ft2/gal"),
        (cover.in_square_metres_per_litre(), 1, "m2/l"),
    )
}

#[cfg(test)]
mod tests;
