//! Weather as a person says it: low, high, humidity, wind and sky, given the shape of a day.

use basis::math::{cos, pow};
use basis::{Note, Place, Pressure, Report, Share, Speed, Temperature};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp};

use super::{Record, Series, Site};
use crate::moist_air;
use crate::sun::{self, Daylight};

/// Hours from the sun's noon to the day's high: about 15:00 by the sun (from memory of the design days of
/// [@ashrae-fundamentals-2017, ch. 14], which put it at 15:00 standard time).
const HIGH_AFTER_NOON: f64 = 3.0;

/// Powers that bend time from low to high and from high to low: mornings warm slowly at first, evenings cool fast.
/// Fitted here to the handbook's design day (from memory), which they follow within 8 % of the daily range.
const BEND: (f64, f64) = (1.1, 0.75);

/// How a person states humidity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SaidHumidity {
    /// The day's humidity, taken at the mean of low and high.
    Day(Share),
    /// Humidity in the afternoon, at the high: the day's lowest.
    AtHigh(Share),
    /// The dew point, which hardly changes over a day.
    DewPoint(Temperature),
}

/// What the sky is said to be, in the words of public forecasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SkyWord {
    /// Clear or sunny.
    Clear,
    /// Mostly clear or mostly sunny: one to two eighths.
    MostlyClear,
    /// Partly cloudy or partly sunny: three to five eighths.
    PartlyCloudy,
    /// Mostly cloudy: six to seven eighths.
    MostlyCloudy,
    /// Cloudy or overcast: all of it.
    Cloudy,
}

impl SkyWord {
    /// Middle of the eighths that a weather service means by the word [@nws-sky-words].
    ///
    /// ```
    /// use clock::weather::SkyWord;
    /// assert!((SkyWord::PartlyCloudy.cloud().in_percent() - 50.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub const fn cloud(self) -> Share {
        Share::ratio(match self {
            Self::Clear => 0.0,
            Self::MostlyClear => 1.5 / 8.0,
            Self::PartlyCloudy => 4.0 / 8.0,
            Self::MostlyCloudy => 6.5 / 8.0,
            Self::Cloudy => 1.0,
        })
    }

    /// The word that a text says, in any case; none for another.
    #[must_use]
    pub fn read(said: &str) -> Option<Self> {
        Some(match said.trim().to_lowercase().as_str() {
            "clear" | "sunny" | "fair" => Self::Clear,
            "mostly clear" | "mostly sunny" => Self::MostlyClear,
            "partly cloudy" | "partly sunny" => Self::PartlyCloudy,
            "mostly cloudy" => Self::MostlyCloudy,
            "cloudy" | "overcast" => Self::Cloudy,
            _ => return None,
        })
    }
}

/// A day's weather as a person says it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spoken {
    /// The local date.
    pub date: Date,
    /// Lowest temperature, near sunrise.
    pub low: Temperature,
    /// Highest temperature, in the afternoon.
    pub high: Temperature,
    /// How moist the air is.
    pub humidity: SaidHumidity,
    /// Mean wind of the day, as a forecast states it: at 10 m.
    pub wind: Speed,
    /// Share of the sky under cloud.
    pub cloud: Share,
}

impl Spoken {
    /// The day hour by hour, from the local midnight to noon of the day after, which is taken to be like it.
    ///
    /// Between the low at sunrise and the high three hours after the sun's noon the temperature follows half a bent
    /// cosine, and back over the night. Vapour pressure stays level, but for hours in which the air would be over-full: there
    /// it is saturated. Wind and cloud stay as said; there is no rain. Days of 23 and 25 hours come out right.
    #[must_use]
    pub fn series(&self, site: &Site, place: &Place) -> Report<Series> {
        let mut notes = self.faults(place);
        if basis::has_fault(&notes) {
            return Report::refused(notes);
        }
        let Some(shape) = Shape::of(self.date, site) else {
            let message = format!("the sun's path on {} cannot be found at this site", self.date);
            notes.push(Note::fault(
                "no-such-day",
                place.key("date"),
                message,
                "check date, latitude and longitude",
            ));
            return Report::refused(notes);
        };
        let vapour = self.vapour();
        let hours = shape.end.duration_since(shape.start).as_hours().max(0);
        let records = (0..=hours).map(|hour| {
            let at = shape.start.saturating_add(SignedDuration::from_hours(hour)).unwrap_or(Timestamp::MAX);
            Some(self.record(shape.warmth(at), vapour))
        });
        let series = Series { start: shape.start, records: records.collect() };
        notes.push(Note::remark(
            "weather-as-spoken",
            place.clone(),
            "the hours are drawn from low, high, humidity, wind and sky as said; the night and morning after are taken to be like the day before",
        ));
        Report::with(series, notes)
    }

    fn record(&self, warmth: f64, vapour: Pressure) -> Record {
        let air = self.low + (self.high - self.low) * warmth;
        Record {
            air,
            vapour: vapour.min(moist_air::saturation_pressure_over_water(air)),
            wind: self.wind,
            cloud: self.cloud,
            sun: None,
            long_wave: None,
            pressure: None,
            rain: 0.0,
        }
    }

    fn vapour(&self) -> Pressure {
        match self.humidity {
            SaidHumidity::Day(share) => {
                moist_air::vapour_pressure(self.low + (self.high - self.low) * 0.5, share)
            }
            SaidHumidity::AtHigh(share) => moist_air::vapour_pressure(self.high, share),
            SaidHumidity::DewPoint(dew) => moist_air::saturation_pressure_over_water(dew),
        }
    }

    fn faults(&self, place: &Place) -> Vec<Note> {
        let mut notes = Vec::new();
        let (low, high) = (self.low.in_celsius(), self.high.in_celsius());
        if !(-60.0..=58.0).contains(&low) || !(-60.0..=58.0).contains(&high) {
            let message = format!("{low:.0} to {high:.0} degC is no weather to pour in");
            notes.push(Note::fault(
                "weather-out-of-range",
                place.key("high"),
                message,
                "check number and unit",
            ));
        } else if low > high {
            let message = format!("the low, {low:.1} degC, is over the high, {high:.1} degC");
            notes.push(Note::fault(
                "low-over-high",
                place.key("low"),
                message,
                "put the two the other way round",
            ));
        }
        let moist = match self.humidity {
            SaidHumidity::Day(share) | SaidHumidity::AtHigh(share) => {
                share.in_ratio() > 0.0 && share.in_ratio() <= 1.0
            }
            SaidHumidity::DewPoint(dew) => dew.is_finite() && dew.in_celsius() > -60.0 && dew <= self.high,
        };
        if !moist {
            let hint = "state a relative humidity over 0 and up to 100 %, or a dew point that is no higher than the high";
            notes.push(Note::fault(
                "humidity-impossible",
                place.key("humidity"),
                "the air cannot be as moist as said",
                hint,
            ));
        }
        let wind = self.wind.in_metres_per_second();
        if !(0.0..=60.0).contains(&wind) {
            let message = format!("a wind of {wind:.1} m/s");
            notes.push(Note::fault(
                "negative-wind",
                place.key("wind"),
                message,
                "state a mean wind of 0 or more; check the unit",
            ));
        }
        if !(0.0..=1.0).contains(&self.cloud.in_ratio()) {
            let message = format!("{:.0} % of the sky under cloud", self.cloud.in_percent());
            notes.push(Note::fault(
                "cloud-out-of-range",
                place.key("sky"),
                message,
                "state 0 to 100 % of the sky",
            ));
        }
        notes
    }
}

/// Lows and highs of a day and its neighbours, and the hours to give.
struct Shape {
    start: Timestamp,
    end: Timestamp,
    /// Instants of low and high in turn, beginning and ending with a high outside the hours given.
    turns: Vec<(Timestamp, f64)>,
}

impl Shape {
    fn of(date: Date, site: &Site) -> Option<Self> {
        let midnight = |date: Date| site.zone.to_timestamp(date.at(0, 0, 0, 0)).ok();
        let before = date.yesterday().ok()?;
        let after = date.tomorrow().ok()?;
        let start = midnight(date)?;
        let end = site.zone.to_timestamp(after.at(12, 0, 0, 0)).ok()?;
        let mut turns = Vec::with_capacity(6);
        for day in [before, date, after] {
            let light = sun::daylight(&site.spot, midnight(day)?)?;
            turns.push((low_of(&light), 0.0));
            turns.push((high_of(&light), 1.0));
        }
        Some(Self { start, end, turns })
    }

    /// 0 at a low, 1 at a high, half a cosine between, bent as [`BEND`] says.
    fn warmth(&self, at: Timestamp) -> f64 {
        let next = self.turns.iter().position(|(turn, _)| *turn > at).unwrap_or(self.turns.len() - 1).max(1);
        let ((from, warm), (to, other)) = (self.turns[next - 1], self.turns[next]);
        let whole = to.duration_since(from).as_secs_f64().max(1.0);
        let part = (at.duration_since(from).as_secs_f64() / whole).clamp(0.0, 1.0);
        let bent = pow(part, if other > warm { BEND.0 } else { BEND.1 });
        warm + (other - warm) * 0.5 * (1.0 - cos(std::f64::consts::PI * bent))
    }
}

/// The low: at sunrise, or 7 h before the sun's noon where it does not rise; at most 2 h before the high is possible.
fn low_of(light: &Daylight) -> Timestamp {
    let night = light.noon.saturating_sub(SignedDuration::from_hours(7)).unwrap_or(light.noon);
    light.rise.unwrap_or(night)
}

fn high_of(light: &Daylight) -> Timestamp {
    let later = SignedDuration::from_secs((HIGH_AFTER_NOON * 3600.0) as i64);
    light.noon.saturating_add(later).unwrap_or(light.noon)
}
