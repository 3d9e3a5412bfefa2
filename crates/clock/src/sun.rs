//! The sun: where it stands, and how strong it is on a level slab under a clear and a clouded sky.
//!
//! Position by the algorithm of Reda and Andreas [@reda-andreas-2004], good to 0.0003°; clear sky by Ineichen and
//! Perez [@ineichen-perez-2002] with one figure for haze; cloud by Kasten and Czeplak [@kasten-czeplak-1980].

use basis::math::{cos, exp, pow, sin};
use basis::{Angle, Length, Share};
use jiff::Timestamp;
use solar_positioning::{
    Horizon, Location, RefractionCorrection, SolarEvents, SolarPositions, time::JulianDate,
};

/// Sun outside the air, mean over the year, W/m², with the value that the library pvlib has.
pub const SOLAR_CONSTANT: f64 = 1366.1;

/// Haze taken where none is stated: Linke's turbidity, 2 for very clear cold air to 5 for a hazy city.
pub const TURBIDITY: f64 = 3.0;

/// Julian date of 1970-01-01T00:00Z, by definition.
const UNIX_EPOCH: f64 = 2_440_587.5;

/// A spot on the earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// North is positive, -90 to 90°.
    pub latitude: Angle,
    /// East is positive, -180 to 180°.
    pub longitude: Angle,
    /// Height over the sea.
    pub height: Length,
}

/// Where the sun stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Angle over the horizon without the air.
    pub elevation: Angle,
    /// Angle over the horizon as seen through the air, which bends light.
    pub apparent_elevation: Angle,
    /// Direction from north through east, 0 to 360°.
    pub azimuth: Angle,
}

/// Sun on a level surface, W/m².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Sunshine {
    /// All that arrives.
    pub global: f64,
    /// What comes from the whole sky instead of from the sun itself.
    pub diffuse: f64,
}

impl Sunshine {
    /// What comes from the sun itself.
    #[must_use]
    pub fn direct(self) -> f64 {
        self.global - self.diffuse
    }
}

/// Where the sun stands at an instant, or none for a spot that is not on the earth.
///
/// ```
/// use basis::{Angle, Length};
/// use clock::sun::{Spot, position};
/// // The published example of the algorithm: 39.742476 N, 105.1786 W, 1830.14 m, 2003-10-17 12:30:30 MST:
/// // topocentric zenith without refraction 90 - 39.872046 deg, azimuth 194.34024 deg.
/// let spot = Spot {
///     latitude: Angle::degrees(39.742476),
///     longitude: Angle::degrees(-105.1786),
///     height: Length::metres(1830.14),
/// };
/// let at = "2003-10-17T12:30:30-07:00".parse().expect("an instant");
/// let sun = position(&spot, at).expect("on the earth");
/// assert!((sun.azimuth.in_degrees() - 194.34024).abs() < 1e-3);
/// assert!((sun.elevation.in_degrees() - 39.872046).abs() < 1e-3);
/// ```
#[must_use]
pub fn position(spot: &Spot, at: Timestamp) -> Option<SunPosition> {
    let height = spot.height.in_metres().clamp(-500.0, 9000.0);
    let prepared = SolarPositions::new().for_time_from_julian(julian(at)?).ok()?;
    let found = prepared.at(location(spot), height, None).ok()?;
    let elevation = found.elevation_angle();
    let pressure = crate::moist_air::standard_pressure(Length::metres(height));
    let air = RefractionCorrection::new(pressure.in_pascals() / 100.0, 12.0).ok()?;
    let seen = prepared.at(location(spot), height, Some(air)).ok()?;
    Some(SunPosition {
        elevation: Angle::degrees(elevation),
        apparent_elevation: Angle::degrees(seen.elevation_angle()),
        azimuth: Angle::degrees(found.azimuth()),
    })
}

fn location(spot: &Spot) -> Location {
    Location { latitude: spot.latitude.in_degrees(), longitude: spot.longitude.in_degrees() }
}

fn julian_day(at: Timestamp) -> f64 {
    UNIX_EPOCH + at.as_millisecond() as f64 / 86_400_000.0
}

/// Seconds from the sun's time to the clock's, by the fit of Espenak and Meeus.
fn delta_t(day: f64) -> f64 {
    let year = 2000.0 + (day - 2_451_544.5) / 365.2425;
    solar_positioning::delta_t::estimate(year).unwrap_or(69.0)
}

fn julian(at: Timestamp) -> Option<JulianDate> {
    let day = julian_day(at);
    JulianDate::new(day, delta_t(day)).ok()
}

/// When the sun rises, stands highest and sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Daylight {
    /// Sunrise (upper edge, through the air), or none in polar day or night.
    pub rise: Option<Timestamp>,
    /// The sun's noon.
    pub noon: Timestamp,
    /// Sunset.
    pub set: Option<Timestamp>,
}

/// Rise, noon and set of the day that begins at `midnight`, or none where the sun's path cannot be found.
///
/// `midnight` is the local one; the next 26 hours are searched, so that a day of any length is whole.
#[must_use]
pub fn daylight(spot: &Spot, midnight: Timestamp) -> Option<Daylight> {
    let events = SolarEvents::new();
    let start = julian_day(midnight);
    let (end, shift) = (start + 26.0 / 24.0, delta_t(start));
    let longitude = spot.longitude.in_degrees();
    let noon = events.next_transit_from_julian(start, end, longitude, shift).ok()??;
    let horizon = Horizon::SunriseSunset;
    let (before, after) = (noon - 0.5, noon + 0.5);
    let rise = events.next_rise_from_julian(before, noon, location(spot), shift, horizon).ok()?;
    let set = events.next_set_from_julian(noon, after, location(spot), shift, horizon).ok()?;
    Some(Daylight { rise: rise.and_then(timestamp), noon: timestamp(noon)?, set: set.and_then(timestamp) })
}

fn timestamp(day: f64) -> Option<Timestamp> {
    let seconds = (day - UNIX_EPOCH) * 86_400.0;
    if seconds.abs() > 2e11 {
        return None;
    }
    Timestamp::from_second(seconds.round() as i64).ok()
}

/// Sun outside the air on a surface that faces it, W/m²: [`SOLAR_CONSTANT`] by the earth's distance [@spencer-1971].
#[must_use]
pub fn outside_the_air(at: Timestamp) -> f64 {
    let day = jiff::tz::Offset::UTC.to_datetime(at).date().day_of_year();
    let b = 2.0 * std::f64::consts::PI / 365.0 * (f64::from(day) - 1.0);
    SOLAR_CONSTANT
        * (1.000_11
            + 0.034_221 * cos(b)
            + 0.001_28 * sin(b)
            + 0.000_719 * cos(2.0 * b)
            + 7.7e-5 * sin(2.0 * b))
}

/// Length of the sun's way through the air against the way straight down [@kasten-young-1989], at sea level.
///
/// None with the sun below the horizon.
#[must_use]
pub fn air_mass(apparent_elevation: Angle) -> Option<f64> {
    let height = apparent_elevation.in_degrees();
    if !(0.0..=90.0).contains(&height) {
        return None;
    }
    Some(1.0 / (sin(apparent_elevation.in_radians()) + 0.505_72 * pow(height + 6.079_95, -1.6364)))
}

/// Sun on a level surface under a clear sky [@ineichen-perez-2002], in the form of [@reno-2012]; zero by night.
///
/// `turbidity` is Linke's: 2 to 5 in practice, [`TURBIDITY`] where unknown. Clear-sky models differ among
/// themselves by some 5 to 10 %, which is also what a step of 1 in the turbidity makes.
#[must_use]
pub fn clear_sky(spot: &Spot, at: Timestamp, turbidity: f64) -> Option<Sunshine> {
    let sun = position(spot, at)?;
    Some(clear_sky_at(&sun, spot.height, outside_the_air(at), turbidity))
}

pub(crate) fn clear_sky_at(sun: &SunPosition, height: Length, outside: f64, turbidity: f64) -> Sunshine {
    let Some(mass) = air_mass(sun.apparent_elevation) else { return Sunshine::default() };
    let mass = mass * (crate::moist_air::standard_pressure(height).in_pascals() / 101_325.0);
    let upward = sin(sun.apparent_elevation.in_radians());
    let metres = height.in_metres().clamp(0.0, 5000.0);
    let (near, low) = (exp(-metres / 8000.0), exp(-metres / 1250.0));
    let (a1, a2) = (5.09e-5 * metres + 0.868, 3.92e-5 * metres + 0.0387);
    let global = a1 * outside * upward * exp(-a2 * mass * (near + low * (turbidity - 1.0)));
    let beam = outside * (0.664 + 0.163 / near) * exp(-0.09 * mass * (turbidity - 1.0));
    let other = global * (1.0 - (0.1 - 0.2 * exp(-turbidity)) / (0.1 + 0.882 / near)) / upward.max(1e-9);
    let direct = beam.min(other).max(0.0) * upward;
    Sunshine { global, diffuse: (global - direct).max(0.0) }
}

/// Sun on a level surface under a clear sky by Haurwitz, W/m²: only the sun's height counts [@haurwitz-1945].
///
/// For comparison; it knows no haze, no height and no diffuse part.
#[must_use]
pub fn haurwitz(apparent_elevation: Angle) -> f64 {
    let upward = sin(apparent_elevation.in_radians());
    if upward <= 0.0 { 0.0 } else { 1098.0 * upward * exp(-0.059 / upward) }
}

/// Share of a clear sky's sun that is left under cloud: `1 - 0.75 c^3.4` [@kasten-czeplak-1980].
///
/// `cloud` is the share of the sky that is covered. Found at one station over ten years of hours; a single hour may
/// lie far off, because thin and thick cloud count alike.
///
/// ```
/// use basis::Share;
/// // Overcast leaves a quarter, as the paper's equation says.
/// assert!((clock::sun::left_under(Share::percent(100.0)) - 0.25).abs() < 1e-12);
/// ```
#[must_use]
pub fn left_under(cloud: Share) -> f64 {
    1.0 - 0.75 * pow(cloud.in_ratio().clamp(0.0, 1.0), 3.4)
}

/// Sun on a level surface under cloud: the global part by [`left_under`], the direct part falling to none at overcast.
///
/// Kasten and Czeplak put the diffuse share at `0.3 + 0.7 c²`; here it starts from the clear sky's own share
/// instead of 0.3, so that no cloud gives the clear sky back.
#[must_use]
pub fn clouded(clear: Sunshine, cloud: Share) -> Sunshine {
    if clear.global <= 0.0 {
        return Sunshine::default();
    }
    let covered = cloud.in_ratio().clamp(0.0, 1.0);
    let own = clear.diffuse / clear.global;
    let share = own + (1.0 - own) * covered * covered;
    let global = clear.global * left_under(cloud);
    Sunshine { global, diffuse: global * share }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn spot(latitude: f64, longitude: f64, metres: f64) -> Spot {
        Spot {
            latitude: Angle::degrees(latitude),
            longitude: Angle::degrees(longitude),
            height: Length::metres(metres),
        }
    }

    fn at(text: &str) -> Timestamp {
        text.parse().expect("an instant")
    }

    /// Reda and Andreas (NREL/TP-560-34302), example A.5, printed: zenith 50.11162° with refraction at 820 hPa and
    /// 11 °C, azimuth 194.34024°. Standard air at 1830 m has 811 hPa, which moves refraction by 0.0003°.
    #[test]
    fn the_algorithms_worked_example() {
        let sun =
            position(&spot(39.742_476, -105.178_6, 1830.14), at("2003-10-17T19:30:30Z")).expect("found");
        assert!((90.0 - sun.apparent_elevation.in_degrees() - 50.111_62).abs() < 6e-4);
        // The printed value stands for a time shift of 67 s; the fit used here gives 64.5 s: 2.5 s are 4e-5°.
        assert!((sun.azimuth.in_degrees() - 194.340_24).abs() < 2e-4);
    }

    /// Spencer's series and the constant: at the nearest and farthest day the earth's orbit gives 1.0351 and 0.9666
    /// of the mean (Duffie and Beckman, from memory).
    #[test]
    fn the_years_swing_of_the_sun() {
        let near = outside_the_air(at("2026-01-03T12:00:00Z")) / SOLAR_CONSTANT;
        let far = outside_the_air(at("2026-07-05T12:00:00Z")) / SOLAR_CONSTANT;
        assert!((near - 1.0351).abs() < 5e-4 && (far - 0.9666).abs() < 5e-4, "{near} {far}");
    }

    /// Kasten and Young (1989), table: 1.0 straight up, 1.9939 at 30°, 37.92 at the horizon (from memory).
    #[test]
    fn the_published_air_masses() {
        for (degrees, mass) in [(90.0, 0.9997), (30.0, 1.9939), (0.0, 37.92)] {
            let ours = air_mass(Angle::degrees(degrees)).expect("above");
            assert!((ours / mass - 1.0).abs() < 1e-3, "{degrees}: {ours}");
        }
        assert_eq!(air_mass(Angle::degrees(-0.1)), None);
    }

    /// Kasten and Czeplak's equation at each eighth, by hand.
    #[test]
    fn cloud_by_eighths() {
        for (eighths, left) in [(0.0, 1.0), (4.0, 0.928_9), (6.0, 0.717_98), (7.0, 0.523_65), (8.0, 0.25)] {
            assert!((left_under(Share::ratio(eighths / 8.0)) - left).abs() < 2e-4, "{eighths}");
        }
    }

    /// A clear summer noon at 40° N near sea level is 900 to 1000 W/m² (common practice, no source); two models agree.
    #[test]
    fn a_clear_summer_noon() {
        let place = spot(40.0, -80.0, 200.0);
        let noon = at("2026-06-21T17:20:00Z");
        let ours = clear_sky(&place, noon, TURBIDITY).expect("found");
        assert!((900.0..1000.0).contains(&ours.global), "{ours:?}");
        assert!((0.08..0.2).contains(&(ours.diffuse / ours.global)), "{ours:?}");
        let sun = position(&place, noon).expect("found");
        assert!((haurwitz(sun.apparent_elevation) / ours.global - 1.0).abs() < 0.08);
    }

    /// Sunrise and sunset of a date at 0° N 0° E lie within minutes of 6 and 18 h (equation of time -1.5 to -3 min).
    #[test]
    fn an_equinox_day_at_the_equator() {
        let day = daylight(&spot(0.0, 0.0, 0.0), at("2026-03-20T00:00:00Z")).expect("found");
        let minutes = |t: Timestamp| (t.as_second() - at("2026-03-20T00:00:00Z").as_second()) as f64 / 60.0;
        // Noon is late by the equation of time, 7.5 min; refraction and the sun's edge lengthen the day by 6.7 min.
        assert!((minutes(day.noon) - 727.5).abs() < 1.0);
        assert!((minutes(day.rise.expect("rises")) - (727.5 - 363.4)).abs() < 1.0);
        assert!((minutes(day.set.expect("sets")) - (727.5 + 363.4)).abs() < 1.0);
    }

    #[test]
    fn polar_days_have_a_noon_and_no_sunrise() {
        let day = daylight(&spot(78.0, 15.0, 0.0), at("2026-06-21T00:00:00Z")).expect("found");
        assert_eq!((day.rise, day.set), (None, None));
        let night = daylight(&spot(78.0, 15.0, 0.0), at("2026-12-21T00:00:00Z")).expect("found");
        assert_eq!((night.rise, night.set), (None, None));
    }

    #[test]
    fn a_spot_that_is_none_has_no_sun() {
        assert_eq!(position(&spot(91.0, 0.0, 0.0), at("2026-06-21T00:00:00Z")), None);
        assert_eq!(position(&spot(f64::NAN, 0.0, 0.0), at("2026-06-21T00:00:00Z")), None);
        assert_eq!(daylight(&spot(40.0, 999.0, 0.0), at("2026-06-21T00:00:00Z")), None);
        assert!(
            position(&spot(40.0, 0.0, f64::INFINITY), Timestamp::MAX).is_none_or(|s| s.elevation.is_finite())
        );
    }

    proptest! {
        #[test]
        fn parts_add_up_and_stay_below_the_sun_outside(
            latitude in -65.0..65.0_f64, hour in 0_i64..8760, turbidity in 2.0..6.0_f64, cloud in 0.0..1.0_f64,
        ) {
            let instant = Timestamp::from_second(1_767_225_600 + hour * 3600).expect("in range");
            let place = spot(latitude, 10.0, 100.0);
            let sun = position(&place, instant).expect("found");
            let clear = clear_sky(&place, instant, turbidity).expect("found");
            let under = clouded(clear, Share::ratio(cloud));
            let outside = outside_the_air(instant) * sin(sun.apparent_elevation.in_radians()).max(0.0);
            prop_assert!(clear.global <= outside + 1e-9 && clear.diffuse >= 0.0 && clear.direct() >= -1e-9);
            prop_assert!(under.global <= clear.global + 1e-9 && under.direct() <= clear.direct() + 1e-9);
            prop_assert!(under.diffuse <= under.global + 1e-9 && under.diffuse >= 0.0);
            if sun.apparent_elevation.in_degrees() <= 0.0 {
                prop_assert_eq!(clear, Sunshine::default());
            }
        }
    }
}
