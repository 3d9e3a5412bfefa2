//! Weather as a table: one row for each hour, units in the heading.
//!
//! Columns are `time`, `temperature`, `humidity` or `dew point`, `wind` and `cloud`, and if need be `rain`, `sun`, `diffuse`
//! and `pressure`, in any order, each with its unit: `time, temperature degC, humidity %, wind m/s, cloud %, rain mm/h`.
//! A time is local (`2026-06-21 07:00`) or carries its offset (`2026-06-21T07:00-05:00`).

use std::ops::Range;

use basis::{Pressure, Share, Speed, Temperature};
use clock::moist_air;
use clock::sun::Sunshine;
use clock::weather::Record;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use super::{Reading, lines, number};
use crate::nearest::nearest;
use crate::quantity::{Trouble, shown};
use crate::survey_csv::{cells, content, separator};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Time,
    Temperature,
    Humidity,
    DewPoint,
    Wind,
    Cloud,
    Rain,
    Sun,
    Diffuse,
    Pressure,
}

/// Units that a column may carry, each with its factor to SI.
type Units = &'static [(&'static str, f64)];

/// Every column with the units that it may carry: the name, the kind, and each unit's factor to SI.
const COLUMNS: &[(&str, Kind, Units)] = &[
    ("time", Kind::Time, &[("", 1.0), ("local", 1.0)]),
    ("temperature", Kind::Temperature, TEMPERATURES),
    ("humidity", Kind::Humidity, PERCENT),
    ("dew point", Kind::DewPoint, TEMPERATURES),
    ("wind", Kind::Wind, &[("m/s", 1.0), ("km/h", 1.0 / 3.6), ("mph", 0.447_04), ("kn", 1852.0 / 3600.0)]),
    ("cloud", Kind::Cloud, PERCENT),
    ("rain", Kind::Rain, &[("mm/h", 1.0), ("mm", 1.0), ("in/h", 25.4), ("in", 25.4)]),
    ("sun", Kind::Sun, &[("w/m2", 1.0), ("w/m²", 1.0)]),
    ("diffuse", Kind::Diffuse, &[("w/m2", 1.0), ("w/m²", 1.0)]),
    ("pressure", Kind::Pressure, &[("hpa", 100.0), ("kpa", 1000.0), ("pa", 1.0), ("inhg", 3386.389)]),
];
/// Temperatures have no factor: 0 stands for Celsius and 1 for Fahrenheit.
const TEMPERATURES: Units = &[("degc", 0.0), ("c", 0.0), ("°c", 0.0), ("degf", 1.0), ("f", 1.0), ("°f", 1.0)];
const PERCENT: Units = &[("%", 0.01)];

const EXAMPLE: &str = "time, temperature degC, humidity %, wind m/s, cloud %, rain mm/h";

/// Share of a clear sky's sun that comes from the sky, where a table has the sun but not its diffuse part.
const CLEAR_DIFFUSE: f64 = 0.15;

/// A column: what it holds and its unit's factor.
#[derive(Debug, Clone, Copy)]
struct Column {
    kind: Kind,
    name: &'static str,
    factor: f64,
}

pub(super) fn read(reading: &mut Reading<'_>, zone: &TimeZone) {
    let text = reading.text;
    let mut lines = lines(text);
    let Some(heading) = lines.next() else { return };
    let separator = separator(&text[heading.clone()]);
    let Some(columns) = read_heading(reading, heading, separator) else { return };
    let mut last = None;
    for line in lines {
        let found: Vec<Range<usize>> = cells(&text[line.clone()], separator)
            .map(|cell| line.start + cell.start..line.start + cell.end)
            .collect();
        if found.len() != columns.len() {
            let message = format!("{} cells, but the heading has {}", found.len(), columns.len());
            reading.fault("wrong-count", line, message, "add or take out cells");
            continue;
        }
        let mut row = TableRow { reading, columns: &columns, found: &found };
        let at = row.time(zone, last);
        let record = row.record();
        last = at.or(last);
        if let (Some(at), Some(record)) = (at, record) {
            reading.row(at, record, line);
        }
    }
}

/// Reads the heading; none when a column is missing or unclear: then no row can be read.
fn read_heading(reading: &mut Reading<'_>, line: Range<usize>, separator: u8) -> Option<Vec<Column>> {
    let text = reading.text;
    let mut columns: Vec<Column> = Vec::new();
    let mut sound = true;
    for cell in cells(&text[line.clone()], separator) {
        let at = line.start + cell.start..line.start + cell.end;
        let said = content(&text[at.clone()]).to_lowercase().replace('_', " ");
        match column(&said) {
            Ok(column) if columns.iter().any(|other| other.kind == column.kind) => {
                let message = format!("the column {} is there twice", column.name);
                reading.fault("double-name", at, message, "take one of the two out");
                sound = false;
            }
            Ok(column) => columns.push(column),
            Err((code, message, hint)) => {
                reading.fault(code, at, message, hint);
                sound = false;
            }
        }
    }
    let has = |kind| columns.iter().any(|column| column.kind == kind);
    let mut missing: Vec<&str> = [Kind::Time, Kind::Temperature, Kind::Wind, Kind::Cloud]
        .into_iter()
        .filter(|kind| !has(*kind))
        .filter_map(|kind| COLUMNS.iter().find(|column| column.1 == kind).map(|column| column.0))
        .collect();
    if !has(Kind::Humidity) && !has(Kind::DewPoint) {
        missing.push("humidity or dew point");
    }
    if !missing.is_empty() {
        let hint = format!("the first line names the columns, each with its unit: {EXAMPLE}");
        reading.fault("missing-column", line, format!("the heading lacks {}", missing.join(", ")), hint);
        return None;
    }
    if sound && !has(Kind::Rain) {
        let hint = "add a column such as rain mm/h; without it the pour is taken to stay dry";
        reading.warning("rain-not-stated", line, "the table does not say whether it rains", hint);
    }
    sound.then_some(columns)
}

/// What a cell of the heading means, or why it means nothing.
fn column(said: &str) -> Result<Column, (&'static str, String, String)> {
    let known = |column: &&(&'static str, Kind, Units)| {
        said.strip_prefix(column.0).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '[', '(']))
    };
    let Some((name, kind, units)) = COLUMNS.iter().find(known) else {
        let names = COLUMNS.iter().map(|column| column.0);
        let hint = match nearest(said.split_whitespace().next().unwrap_or(""), names.clone()) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("known columns: {}", names.collect::<Vec<_>>().join(", ")),
        };
        return Err(("unknown-column", format!("there is no column \"{}\"", shown(said)), hint));
    };
    let unit = said[name.len()..].trim().trim_matches(['[', ']', '(', ')']).trim();
    let Some((_, factor)) = units.iter().find(|(known, _)| *known == unit) else {
        let known: Vec<&str> = units.iter().map(|(unit, _)| *unit).filter(|unit| !unit.is_empty()).collect();
        let message = match unit {
            "" => format!("the column {name} does not say its unit"),
            unit => format!("\"{}\" is no unit of the column {name}", shown(unit)),
        };
        return Err(("unknown-unit", message, format!("write {name} with one of {}", known.join(", "))));
    };
    Ok(Column { kind: *kind, name, factor: *factor })
}

/// One row while it is read.
struct TableRow<'a, 'r, 't> {
    reading: &'r mut Reading<'t>,
    columns: &'a [Column],
    found: &'a [Range<usize>],
}

impl TableRow<'_, '_, '_> {
    fn cell(&self, kind: Kind) -> Option<(Column, Range<usize>)> {
        let index = self.columns.iter().position(|column| column.kind == kind)?;
        Some((self.columns[index], self.found[index].clone()))
    }

    /// The row's instant: as stated, or local, the first of a doubled hour first.
    fn time(&mut self, zone: &TimeZone, last: Option<Timestamp>) -> Option<Timestamp> {
        let (_, at) = self.cell(Kind::Time)?;
        let text = self.reading.text;
        let said = content(&text[at.clone()]);
        match instant(&said, zone, last) {
            Ok(instant) => Some(instant),
            Err(trouble) => {
                self.reading.fault(trouble.code, at, trouble.message, trouble.hint);
                None
            }
        }
    }

    /// A cell's number in SI; a fault where the cell is empty or none.
    fn value(&mut self, kind: Kind) -> Option<f64> {
        let (column, at) = self.cell(kind)?;
        let text = self.reading.text;
        let said = content(&text[at.clone()]);
        if said.is_empty() {
            let hint = "fill the cell; leave the whole row out if nothing is known";
            self.reading.fault("empty-cell", at, format!("the row has no {}", column.name), hint);
            return None;
        }
        let Some(value) = number(&said) else {
            let message = format!("\"{}\" is no number", shown(&said));
            let hint = "plain decimal numbers; the unit stands in the heading";
            self.reading.fault("not-a-number", at, message, hint);
            return None;
        };
        Some(
            value
                * if column.kind == Kind::Temperature || column.kind == Kind::DewPoint {
                    1.0
                } else {
                    column.factor
                },
        )
    }

    fn temperature(&mut self, kind: Kind) -> Option<Temperature> {
        let fahrenheit = self.cell(kind)?.0.factor > 0.5;
        let value = self.value(kind)?;
        Some(if fahrenheit { Temperature::fahrenheit(value) } else { Temperature::celsius(value) })
    }

    fn record(&mut self) -> Option<Record> {
        // Every cell is read before the first missing one ends the row, so that all faults are told.
        let air = self.temperature(Kind::Temperature);
        let humidity = self.value(Kind::Humidity);
        let dew = self.temperature(Kind::DewPoint);
        let wind = self.value(Kind::Wind);
        let cloud = self.value(Kind::Cloud);
        let rain = self.optional(Kind::Rain);
        let sun = self.optional(Kind::Sun);
        let diffuse = self.optional(Kind::Diffuse);
        let pressure = self.optional(Kind::Pressure);
        let (air, cloud) = (air?, Share::ratio(cloud?));
        let vapour = match dew {
            Some(dew) => moist_air::saturation_pressure_over_water(dew),
            None => moist_air::vapour_pressure(air, Share::ratio(humidity?)),
        };
        let covered = cloud.in_ratio().clamp(0.0, 1.0);
        let usual = CLEAR_DIFFUSE + (1.0 - CLEAR_DIFFUSE) * covered * covered;
        Some(Record {
            air,
            vapour,
            wind: Speed::metres_per_second(wind?),
            cloud,
            sun: sun?.map(|global| Sunshine { global, diffuse: diffuse.flatten().unwrap_or(global * usual) }),
            long_wave: None,
            pressure: pressure?.map(Pressure::pascals),
            rain: rain?.unwrap_or(0.0),
        })
    }

    /// The value of a column that need not be there: none outside for a fault, none inside for no column.
    fn optional(&mut self, kind: Kind) -> Option<Option<f64>> {
        if self.cell(kind).is_none() { Some(None) } else { self.value(kind).map(Some) }
    }
}

/// Reads a time: with an offset an instant, without one a local time.
fn instant(said: &str, zone: &TimeZone, last: Option<Timestamp>) -> Result<Timestamp, Trouble> {
    if let Ok(instant) = said.parse::<Timestamp>() {
        return Ok(instant);
    }
    let none = |message: String| Trouble {
        code: "not-a-time",
        message,
        hint: "write 2026-06-21 07:00 (local), or 2026-06-21T07:00-05:00 with its offset".to_owned(),
    };
    let local: DateTime =
        said.parse().map_err(|_| none(format!("\"{}\" is no date and time", shown(said))))?;
    let meant = || zone.to_ambiguous_timestamp(local);
    if matches!(meant().offset(), jiff::tz::AmbiguousOffset::Gap { .. }) {
        return Err(Trouble {
            code: "hour-skipped",
            message: format!("{local} is skipped: the clocks go forward over it"),
            hint: "take the row out, or write times with their offset".to_owned(),
        });
    }
    let out_of_range = |_| none(format!("{local} is out of range"));
    let earlier = meant().earlier().map_err(out_of_range)?;
    let later = meant().later().map_err(out_of_range)?;
    // Where the clocks go back, an hour comes twice: the second time it follows the first.
    let second = last.is_some_and(|last| {
        earlier <= last && last < later && later.duration_since(last) <= SignedDuration::from_hours(2)
    });
    Ok(if second { later } else { earlier })
}
