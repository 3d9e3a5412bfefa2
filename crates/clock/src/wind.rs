//! Wind from where the weather service measures it down to the slab.

use basis::math::log;
use basis::{Estimate, Length, Origin, Speed};

/// Height at which weather services state the wind.
pub const STATION_HEIGHT: Length = Length::metres(10.0);

/// Height over the slab at which evaporation is figured.
pub const SLAB_HEIGHT: Length = Length::metres(0.5);

/// Wind half a metre over open ground as a share of that at 10 m.
///
/// 0.6 stands between 0.51 (the profile over grass of [`at_two_metres`] run on to 0.5 m), 0.65 (the 1/7 power law) and
/// 0.67 (two thirds, the rule of the hot-weather guide, from memory); their spread as one standard deviation.
#[must_use]
pub const fn down_to_the_slab() -> Estimate<f64> {
    Estimate::new(0.60, 0.07, Origin::Assumed)
}

/// What stands around the slab and keeps wind off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shelter {
    /// Open ground, or a few low things.
    Open,
    /// Houses, hedges or framed walls on some sides.
    Partly,
    /// Within walls, with doors or a roof open.
    Enclosed,
    /// Own share of the wind that an open slab would have, from 0 to 1.5.
    Share(f64),
}

impl Shelter {
    /// Wind over the slab as a share of that over an open one.
    ///
    /// 1, 0.6 and 0.3 (common practice, no source; within walls 0.1 to 0.3 of the wind at 10 m is told).
    #[must_use]
    pub fn share(self) -> f64 {
        match self {
            Self::Open => 1.0,
            Self::Partly => 0.6,
            Self::Enclosed => 0.3,
            Self::Share(share) => share.clamp(0.0, 1.5),
        }
    }
}

/// Wind half a metre over the slab from the wind at 10 m.
///
/// ```
/// use basis::Speed;
/// use clock::wind::{Shelter, at_slab};
/// let open = at_slab(Speed::miles_per_hour(20.0), Shelter::Open);
/// assert!((open.in_miles_per_hour() - 12.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn at_slab(at_ten_metres: Speed, shelter: Shelter) -> Speed {
    at_ten_metres * (down_to_the_slab().mean * shelter.share())
}

/// Wind two metres over short grass from the wind at another height: `u 4.87 / ln(67.8 z - 5.42)` [@fao-56, eq. 47].
///
/// For heights over 0.1 m; none below.
///
/// ```
/// use basis::{Length, Speed};
/// // The report's use: 5 m/s at 10 m is 3.74 m/s at 2 m.
/// let two = clock::wind::at_two_metres(Speed::metres_per_second(5.0), Length::metres(10.0)).expect("over the grass");
/// assert!((two.in_metres_per_second() - 3.74).abs() < 0.005);
/// ```
#[must_use]
pub fn at_two_metres(wind: Speed, height: Length) -> Option<Speed> {
    let z = height.in_metres();
    (z > 0.1).then(|| wind * (4.87 / log(67.8 * z - 5.42)))
}

/// Wind at 10 m from wind stated for another height, by the same profile; none below 0.5 m.
#[must_use]
pub fn at_ten_metres(wind: Speed, height: Length) -> Option<Speed> {
    if height.in_metres() < 0.5 {
        return None;
    }
    let down = at_two_metres(Speed::metres_per_second(1.0), STATION_HEIGHT)?;
    Some(at_two_metres(wind, height)? * (1.0 / down.in_metres_per_second()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published ways to 0.5 m: profile 0.514, power law 0.652, two thirds; the default stands among them.
    #[test]
    fn the_published_spread_of_ways_down() {
        let two = at_two_metres(Speed::metres_per_second(1.0), STATION_HEIGHT).expect("over the grass");
        // At 0.5 m the profile itself gives the ratio to 2 m.
        let half = log(67.8 * 0.5 - 5.42) / 4.87;
        let profile = two.in_metres_per_second() * half;
        assert!((profile - 0.514).abs() < 0.001, "{profile}");
        let power = basis::math::pow(0.05, 1.0 / 7.0);
        assert!((power - 0.652).abs() < 0.001);
        let ours = down_to_the_slab();
        assert!(profile < ours.mean && ours.mean < 2.0 / 3.0);
        assert!(ours.mean - 2.0 * ours.sd < profile && ours.mean + 2.0 * ours.sd > 2.0 / 3.0);
    }

    #[test]
    fn wind_goes_up_and_comes_down_again() {
        let up = at_ten_metres(Speed::metres_per_second(3.74), Length::metres(2.0)).expect("high enough");
        assert!((up.in_metres_per_second() - 5.0).abs() < 0.005);
        let same = at_ten_metres(Speed::metres_per_second(5.0), STATION_HEIGHT).expect("high enough");
        assert!((same.in_metres_per_second() - 5.0).abs() < 1e-12);
        assert_eq!(at_ten_metres(Speed::metres_per_second(5.0), Length::metres(0.3)), None);
        assert_eq!(at_two_metres(Speed::metres_per_second(5.0), Length::metres(0.05)), None);
    }

    #[test]
    fn walls_take_wind_away() {
        let wind = Speed::metres_per_second(6.0);
        let all = [Shelter::Open, Shelter::Partly, Shelter::Enclosed, Shelter::Share(0.0)];
        let slab: Vec<f64> = all.iter().map(|s| at_slab(wind, *s).in_metres_per_second()).collect();
        assert!(slab.windows(2).all(|pair| pair[1] < pair[0]));
        // Within walls 0.1 to 0.3 of the wind at 10 m.
        assert!((0.6..=1.8).contains(&slab[2]), "{slab:?}");
        assert!((slab[3]).abs() < 1e-12);
    }
}
