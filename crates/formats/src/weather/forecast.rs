//! The forecasts of the US National Weather Service as JSON: by the hour, or the grid from which it is made [@nws-api].
//!
//! The hourly forecast has a list `periods`; its cloud is read from the words, and it has no depth of rain. The grid has
//! a list for each quantity, every value with the span of time for which it holds; it is the better of the two.

use std::borrow::Cow;
use std::ops::Range;

use basis::{Share, Speed, Temperature};
use clock::moist_air;
use clock::weather::{Record, SkyWord};
use jiff::{Span, Timestamp};
use serde::Deserialize;
use serde_json::value::RawValue;

use super::{Reading, number};
use crate::quantity::shown;

#[derive(Deserialize)]
struct Document<'a> {
    #[serde(borrow)]
    properties: Option<Properties<'a>>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Properties<'a> {
    #[serde(borrow)]
    periods: Option<Vec<&'a RawValue>>,
    #[serde(borrow)]
    temperature: Option<Layer<'a>>,
    #[serde(borrow)]
    dewpoint: Option<Layer<'a>>,
    #[serde(borrow)]
    relative_humidity: Option<Layer<'a>>,
    #[serde(borrow)]
    sky_cover: Option<Layer<'a>>,
    #[serde(borrow)]
    wind_speed: Option<Layer<'a>>,
    #[serde(borrow)]
    quantitative_precipitation: Option<Layer<'a>>,
    #[serde(borrow)]
    update_time: Option<Cow<'a, str>>,
}

/// One quantity of the grid.
#[derive(Deserialize)]
struct Layer<'a> {
    #[serde(borrow)]
    uom: Option<Cow<'a, str>>,
    #[serde(borrow, default)]
    values: Vec<&'a RawValue>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct GridValue<'a> {
    #[serde(borrow)]
    valid_time: Cow<'a, str>,
    value: Option<f64>,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Period<'a> {
    #[serde(borrow)]
    start_time: Cow<'a, str>,
    temperature: Amount<'a>,
    #[serde(borrow)]
    temperature_unit: Option<Cow<'a, str>>,
    dewpoint: Option<Amount<'a>>,
    relative_humidity: Option<Amount<'a>>,
    wind_speed: Amount<'a>,
    #[serde(borrow, default)]
    short_forecast: Cow<'a, str>,
}

/// A value with its unit in one of the three ways in which the service writes one.
#[derive(Deserialize)]
#[serde(untagged)]
enum Amount<'a> {
    Bare(f64),
    Words(Cow<'a, str>),
    #[serde(rename_all = "camelCase")]
    Quantity {
        unit_code: Cow<'a, str>,
        value: Option<f64>,
    },
}

pub(super) fn read(reading: &mut Reading<'_>) {
    let text = reading.text;
    let document: Document<'_> = match serde_json::from_str(text) {
        Ok(document) => document,
        Err(error) => {
            let at = byte_of(text, error.line(), error.column());
            let hint = "save the service's answer as it came";
            reading.fault("not-forecast", at..at, format!("not the JSON of a forecast: {error}"), hint);
            return;
        }
    };
    let Some(properties) = document.properties else {
        reading.fault("not-forecast", 0..1, "the JSON has no properties, so it is no forecast", WHICH);
        return;
    };
    reading.issued = properties.update_time.as_deref().and_then(|said| said.parse().ok());
    if let Some(periods) = &properties.periods {
        by_the_hour(reading, periods);
    } else {
        by_the_grid(reading, &properties);
    }
}

const WHICH: &str =
    "save the answer to forecastHourly, or better to forecastGridData, of the service's page of the point";

/// The byte of a line and column, as the JSON reader counts them.
fn byte_of(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let mut at = (start + column.saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Where a part of the document stands in the text that it borrows from.
fn span_of(text: &str, part: &RawValue) -> Range<usize> {
    let start = (part.get().as_ptr() as usize).saturating_sub(text.as_ptr() as usize).min(text.len());
    start..(start + part.get().len()).min(text.len())
}

fn by_the_hour(reading: &mut Reading<'_>, periods: &[&RawValue]) {
    let text = reading.text;
    let mut unclear: Option<(Range<usize>, usize)> = None;
    for part in periods {
        let at = span_of(text, part);
        let period: Period<'_> = match serde_json::from_str(part.get()) {
            Ok(period) => period,
            Err(error) => {
                reading.fault("not-forecast", at, format!("a period cannot be read: {error}"), WHICH);
                continue;
            }
        };
        if let Err((code, message)) = hourly_record(reading, &period, &at, &mut unclear) {
            reading.fault(code, at, message, "save the service's answer as it came");
        }
    }
    if let Some((at, count)) = unclear {
        let message =
            format!("{count} hours do not tell the sky in words that are known, the first of them here");
        reading.warning(
            "sky-not-told",
            at,
            message,
            "half of the sky is taken as covered; the grid forecast has the cloud in per cent",
        );
    }
    if let Some(first) = periods.first() {
        let at = span_of(text, first);
        let hint = "without it the pour is taken to stay dry; the grid forecast has the depth of rain";
        reading.warning("rain-not-stated", at, "the hourly forecast does not say how much it rains", hint);
    }
}

type Trouble = (&'static str, String);

fn hourly_record(
    reading: &mut Reading<'_>,
    period: &Period<'_>,
    at: &Range<usize>,
    unclear: &mut Option<(Range<usize>, usize)>,
) -> Result<(), Trouble> {
    let start: Timestamp = period
        .start_time
        .parse()
        .map_err(|_| ("not-a-time", format!("\"{}\" is no instant", shown(&period.start_time))))?;
    let unit = period.temperature_unit.as_deref().unwrap_or("F");
    let air = period.temperature.temperature(unit)?.ok_or_else(|| lacking("temperature"))?;
    let dew = period.dewpoint.as_ref().map(|dew| dew.temperature(unit)).transpose()?.flatten();
    let humidity = period.relative_humidity.as_ref().map(Amount::percent).transpose()?.flatten();
    let vapour = match (dew, humidity) {
        (Some(dew), _) => moist_air::saturation_pressure_over_water(dew),
        (None, Some(humidity)) => moist_air::vapour_pressure(air, humidity),
        (None, None) => return Err(lacking("dew point or relative humidity")),
    };
    let wind = period.wind_speed.wind()?.ok_or_else(|| lacking("wind"))?;
    let cloud = sky_of(&period.short_forecast).unwrap_or_else(|| {
        unclear.get_or_insert_with(|| (at.clone(), 0)).1 += 1;
        Share::ratio(0.5)
    });
    let record = Record { air, vapour, wind, cloud, sun: None, long_wave: None, pressure: None, rain: 0.0 };
    reading.row(start, record, at.clone());
    Ok(())
}

fn lacking(what: &str) -> Trouble {
    ("weather-value-missing", format!("the period has no {what}"))
}

/// The cloud of a short forecast: by its words for the sky, or as a sky that rains or snows.
fn sky_of(said: &str) -> Option<Share> {
    let said = said.to_lowercase();
    let words = [
        "mostly clear",
        "mostly sunny",
        "partly cloudy",
        "partly sunny",
        "mostly cloudy",
        "cloudy",
        "overcast",
        "sunny",
        "clear",
    ];
    let first = words.iter().find(|word| said.contains(**word)).and_then(|word| SkyWord::read(word));
    let wet =
        ["rain", "shower", "storm", "drizzle", "snow", "sleet", "fog"].iter().any(|word| said.contains(word));
    first.or_else(|| wet.then_some(SkyWord::MostlyCloudy)).map(SkyWord::cloud)
}

impl Amount<'_> {
    fn temperature(&self, unit: &str) -> Result<Option<Temperature>, Trouble> {
        let (value, unit) = match self {
            Amount::Bare(value) => (Some(*value), unit),
            Amount::Quantity { unit_code, value } => (*value, unit_code.as_ref()),
            Amount::Words(said) => {
                return Err(("unknown-unit", format!("\"{}\" is no temperature", shown(said))));
            }
        };
        match unit {
            "F" | "wmoUnit:degF" | "unit:degF" => Ok(value.map(Temperature::fahrenheit)),
            "C" | "wmoUnit:degC" | "unit:degC" => Ok(value.map(Temperature::celsius)),
            other => Err(("unknown-unit", format!("\"{}\" is no unit of temperature", shown(other)))),
        }
    }

    fn percent(&self) -> Result<Option<Share>, Trouble> {
        match self {
            Amount::Bare(value) => Ok(Some(Share::percent(*value))),
            Amount::Quantity { unit_code, value } if unit_code.ends_with("percent") => {
                Ok(value.map(Share::percent))
            }
            Amount::Quantity { unit_code, .. } => {
                Err(("unknown-unit", format!("\"{}\" is no unit of humidity", shown(unit_code))))
            }
            Amount::Words(said) => Err(("unknown-unit", format!("\"{}\" is no humidity", shown(said)))),
        }
    }

    fn wind(&self) -> Result<Option<Speed>, Trouble> {
        match self {
            Amount::Quantity { unit_code, value } => {
                let factor = wind_factor(unit_code)?;
                Ok(value.map(|value| Speed::metres_per_second(value * factor)))
            }
            Amount::Words(said) => worded_wind(said).map(Some),
            Amount::Bare(_) => Err(("unknown-unit", "the wind has no unit".to_owned())),
        }
    }
}

fn wind_factor(unit: &str) -> Result<f64, Trouble> {
    match unit {
        "wmoUnit:km_h-1" | "unit:km_h-1" => Ok(1.0 / 3.6),
        "wmoUnit:m_s-1" | "unit:m_s-1" => Ok(1.0),
        other => Err(("unknown-unit", format!("\"{}\" is no unit of wind", shown(other)))),
    }
}

/// "10 mph" or "5 to 10 mph": the middle.
fn worded_wind(said: &str) -> Result<Speed, Trouble> {
    let trouble = || ("unknown-unit", format!("\"{}\" is no wind such as 5 to 10 mph", shown(said)));
    let (numbers, factor) = match (said.strip_suffix("mph"), said.strip_suffix("km/h")) {
        (Some(rest), _) => (rest, 0.447_04),
        (None, Some(rest)) => (rest, 1.0 / 3.6),
        (None, None) => return Err(trouble()),
    };
    let told: Option<Vec<f64>> = numbers.split("to").map(|part| number(part.trim())).collect();
    match told.ok_or_else(trouble)?.as_slice() {
        [one] => Ok(Speed::metres_per_second(one * factor)),
        [low, high] => Ok(Speed::metres_per_second(0.5 * (low + high) * factor)),
        _ => Err(trouble()),
    }
}

/// A quantity of the grid, value by value: the first and one past the last hour since 1970 for which each holds.
struct Steps {
    steps: Vec<(i64, i64, f64, Range<usize>)>,
}

/// Longest span that one value may hold for, hours.
const LONGEST: i64 = 24 * 14;

impl Steps {
    fn read(reading: &mut Reading<'_>, layer: &Layer<'_>) -> Self {
        let text = reading.text;
        let mut steps = Vec::new();
        for part in &layer.values {
            let at = span_of(text, part);
            match serde_json::from_str::<GridValue<'_>>(part.get()) {
                Err(error) => {
                    reading.fault("not-forecast", at, format!("a value cannot be read: {error}"), WHICH)
                }
                Ok(value) => match hours_of(&value.valid_time) {
                    None => {
                        let message = format!("\"{}\" is no span of hours", shown(&value.valid_time));
                        reading.fault("not-a-time", at, message, "save the service's answer as it came");
                    }
                    Some((from, to)) => steps.extend(value.value.map(|value| (from, to, value, at))),
                },
            }
        }
        steps.sort_by_key(|step| step.0);
        Self { steps }
    }

    /// The value that holds at an hour, with the hours for which it holds.
    fn at(&self, hour: i64) -> Option<&(i64, i64, f64, Range<usize>)> {
        let after = self.steps.partition_point(|step| step.0 <= hour);
        self.steps[..after].last().filter(|step| hour < step.1)
    }
}

/// The hours of an interval such as 2026-06-21T06:00:00+00:00/PT3H.
fn hours_of(said: &str) -> Option<(i64, i64)> {
    let (start, length) = said.split_once('/')?;
    let start: Timestamp = start.parse().ok()?;
    let length: Span = length.parse().ok()?;
    let whole = length.get_years() == 0 && length.get_months() == 0 && length.get_minutes() == 0;
    let hours = i64::from(length.get_weeks()) * 168
        + i64::from(length.get_days()) * 24
        + i64::from(length.get_hours());
    let from = start.as_second().div_euclid(3600);
    (whole && (1..=LONGEST).contains(&hours)).then_some((from, from + hours))
}

fn by_the_grid(reading: &mut Reading<'_>, grid: &Properties<'_>) {
    let (Some(temperature), Some(wind), Some(sky)) = (&grid.temperature, &grid.wind_speed, &grid.sky_cover)
    else {
        reading.fault(
            "not-forecast",
            0..1,
            "the JSON has neither periods nor temperature, windSpeed and skyCover",
            WHICH,
        );
        return;
    };
    let unit = |layer: &Layer<'_>| layer.uom.as_deref().unwrap_or("").to_owned();
    let Some(factor) =
        wind_factor(&unit(wind)).map_err(|(code, message)| reading.fault(code, 0..1, message, WHICH)).ok()
    else {
        return;
    };
    let fahrenheit = unit(temperature).ends_with("degF");
    let degrees =
        |value: f64| if fahrenheit { Temperature::fahrenheit(value) } else { Temperature::celsius(value) };
    let air = Steps::read(reading, temperature);
    let wind = Steps::read(reading, wind);
    let sky = Steps::read(reading, sky);
    let mut other = |layer: &Option<Layer<'_>>| layer.as_ref().map(|layer| Steps::read(reading, layer));
    let (dew, humidity) = (other(&grid.dewpoint), other(&grid.relative_humidity));
    let rain = other(&grid.quantitative_precipitation);
    let (Some(first), Some(last)) = (air.steps.first(), air.steps.last()) else {
        reading.fault("not-forecast", 0..1, "the grid has no temperatures", WHICH);
        return;
    };
    for hour in first.0..last.1.min(first.0 + 24 * 31) {
        let of = |steps: &Option<Steps>| Some(steps.as_ref()?.at(hour)?.2);
        let (Some(air), Some(wind), Some(cloud)) = (air.at(hour), wind.at(hour), sky.at(hour)) else {
            continue;
        };
        let warm = degrees(air.2);
        let vapour = match (of(&dew), of(&humidity)) {
            (Some(dew), _) => moist_air::saturation_pressure_over_water(degrees(dew)),
            (None, Some(humidity)) => moist_air::vapour_pressure(warm, Share::percent(humidity)),
            (None, None) => continue,
        };
        // Depths hold for the hours of their span: the hour up to this one decides.
        let wet = rain.as_ref().and_then(|rain| rain.at(hour - 1));
        let record = Record {
            air: warm,
            vapour,
            wind: Speed::metres_per_second(wind.2 * factor),
            cloud: Share::percent(cloud.2),
            sun: None,
            long_wave: None,
            pressure: None,
            rain: wet.map_or(0.0, |(from, to, depth, _)| depth / (to - from).max(1) as f64),
        };
        if let Ok(at) = Timestamp::from_second(hour.saturating_mul(3600)) {
            reading.row(at, record, air.3.clone());
        }
    }
    if rain.is_none() {
        reading.warning(
            "rain-not-stated",
            0..1,
            "the forecast does not say how much it rains",
            "the pour is taken to stay dry",
        );
    }
}
