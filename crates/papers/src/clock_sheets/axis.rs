//! The axis of the day line: how far it goes, its hours, night and weather.

use basis::UnitSystem;
use basis::quantity::{speed, temperature};
use clock::events::{Event, Milestone};
use clock::weather::Record;
use jiff::{SignedDuration, Timestamp};
use pour::day::{Day, FloorOfDay};
use pour::forecast::{BayForecast, Forecast};
use pour::rounds::Answer;
use pour::wall::{Wall, weekday};

use crate::drawing::dayline::{HourMark, WeatherMark};

/// Milestones are taken onto the axis as long as it is no longer than this, h; our own choice.
const LONG_DAY: f64 = 11.0;
/// The axis is no longer than this, h.
const LONGEST: f64 = 40.0;
/// The same words of wind or sky are told again after so many hours.
const TELL_AGAIN: i64 = 4;

/// From the first truck to the last round, and to the milestones after it while the day stays short.
pub(super) fn span(floors: &[FloorOfDay<'_>], day: &Day) -> (f64, f64) {
    let lines: Vec<(f64, &FloorOfDay<'_>, &Forecast)> = floors
        .iter()
        .filter_map(|floor| {
            let forecast = floor.plan.forecast.as_ref()?;
            Some((since(day.start, forecast.first_truck), floor, forecast))
        })
        .collect();
    let mut from = 0.0_f64;
    let mut until = 1.0_f64;
    for (by, floor, forecast) in &lines {
        let starts = floor.plan.trucks.trucks.iter().map(|truck| truck.start.low);
        for at in starts.chain(forecast.bays.iter().map(|bay| bay.from.low)) {
            from = from.min(by + at.in_hours());
        }
        let done = floor.plan.trucks.trucks.iter().map(|truck| truck.done.high);
        let bays = &forecast.bays;
        let rounds = bays
            .iter()
            .flat_map(|bay| &bay.rounds)
            .filter_map(|round| round.closes.high.or(round.closes.middle));
        for at in done.chain(bays.iter().map(|bay| bay.until.high)).chain(rounds) {
            until = until.max(by + at.in_hours());
        }
    }
    if let Answer::Plan(plan) = &day.answer {
        until = until.max(plan.end.in_hours());
    }
    for milestone in [Milestone::EarlyEntryFrom, Milestone::SawFrom, Milestone::FootTraffic] {
        let latest = lines.iter().flat_map(|(by, _, forecast)| {
            let band = |bay: &BayForecast| {
                bay.event(Event::At(milestone)).and_then(|band| band.high.or(band.middle))
            };
            forecast.bays.iter().filter_map(band).map(move |at| by + at.in_hours())
        });
        let latest = latest.fold(until, f64::max);
        if latest - from <= LONG_DAY {
            until = latest;
        }
    }
    // Half hours, with room for the words of what comes last.
    let from = (from * 2.0).floor() / 2.0;
    (from, ((until * 2.0).ceil() / 2.0).min(from + LONGEST))
}

/// Hours from one instant to another.
pub(super) fn since(start: Timestamp, at: Timestamp) -> f64 {
    at.duration_since(start).as_secs_f64() / 3600.0
}

/// Full hours of local time; quarters are looked at, since some zones are off by half hours.
pub(super) fn hours(wall: &Wall<'_>, from: f64, until: f64) -> Vec<HourMark> {
    let quarters = ((until - from) * 4.0).ceil() as i64 + 4;
    let first = (from * 4.0).floor() as i64 - 1;
    let aligned = wall.start.as_second().rem_euclid(900);
    let mark = |quarter: i64| {
        let seconds = quarter * 900 - aligned;
        let instant = wall.start.checked_add(SignedDuration::from_secs(seconds)).ok()?;
        let local = wall.zone.to_datetime(instant);
        let label = match (local.hour(), wall.units) {
            (0, _) => weekday(local.date()).to_owned(),
            (hour, UnitSystem::Metric) => format!("{hour}:00"),
            (hour, UnitSystem::Us) => {
                format!("{} {}", (hour + 11) % 12 + 1, if hour < 12 { "am" } else { "pm" })
            }
        };
        (local.minute() == 0).then_some(HourMark { at: seconds as f64 / 3600.0, label })
    };
    (first..first + quarters).filter_map(mark).collect()
}

/// Dark spells; the sun of the next days is taken to rise and set as on the first, which is true to a few minutes.
pub(super) fn nights(forecast: &Forecast, start: Timestamp, until: f64) -> Vec<(f64, f64)> {
    let Some((rise, set)) = forecast.daylight.and_then(|light| light.rise.zip(light.set)) else {
        return Vec::new();
    };
    let (rise, set) = (since(start, rise), since(start, set));
    let days = (0..).map(|day| 24.0 * f64::from(day)).take_while(|day| set + day < until);
    std::iter::once((rise - 12.0, rise)).chain(days.map(|day| (set + day, rise + day + 24.0))).collect()
}

pub(super) fn sun(forecast: &Forecast, wall: &Wall<'_>) -> Vec<(f64, String)> {
    let Some((rise, set)) = forecast.daylight.and_then(|light| light.rise.zip(light.set)) else {
        return Vec::new();
    };
    let told = |what: &str, at: Timestamp| (since(wall.start, at), format!("{what} {}", wall.at(at)));
    vec![told("up", rise), told("down", set)]
}

pub(super) fn weather(
    forecast: &Forecast,
    start: Timestamp,
    wall: &Wall<'_>,
    until: f64,
) -> Vec<WeatherMark> {
    let mut told = (0_i64, String::new());
    let hours = forecast.weather.iter().map(|(at, record)| (since(start, *at), record));
    hours
        .take_while(|(at, _)| *at <= until)
        .zip(0_i64..)
        .map(|((at, record), hour)| {
            let mut sky = sky(record, wall.units);
            if sky == told.1 && hour < told.0 + TELL_AGAIN {
                sky.clear();
            } else {
                told = (hour, sky.clone());
            }
            let air_label = temperature(record.air, wall.units);
            WeatherMark { at, air: record.air.in_kelvins(), air_label, sky }
        })
        .collect()
}

/// Wind, cloud and rain: `7.0 mph, cloud 30 %`.
fn sky(record: &Record, units: UnitSystem) -> String {
    let rain = if record.rain > 0.0 { ", rain" } else { "" };
    format!("{}, cloud {:.0} %{rain}", speed(record.wind, units), record.cloud.in_percent())
}
