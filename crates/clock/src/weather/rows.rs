//! From the rows of a weather file to a series: order, holes, jumps, units that cannot be right.

use basis::{Note, Place, Share, Temperature};
use jiff::Timestamp;

use super::{Record, Series};
use crate::moist_air;

/// One row of a weather file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// When.
    pub at: Timestamp,
    /// What.
    pub record: Record,
}

/// Missing hours that are bridged by a straight line: as a forecast in steps of three hours needs it.
pub const BRIDGED: i64 = 3;

/// Longest series, hours: ten years.
const LONGEST: i64 = 87_672;

/// A change of temperature in an hour that asks for a look, K (common practice, no source; fronts reach it).
const JUMP: f64 = 12.0;

/// Faults of a kind that are told one by one; the rest are counted.
const TOLD: usize = 20;

/// Makes a series of the rows of a file and tells all that is wrong with them.
///
/// A row's place is `place[i]`, counted from 0. Refused: fewer than two rows, rows out of order or doubled, steps that
/// are not whole hours, values that no weather has, temperatures that can only be Fahrenheit. Up to three missing
/// hours in a row are bridged with a warning; longer holes stay holes.
#[must_use]
pub fn series(rows: &[Row], place: &Place) -> basis::Report<Series> {
    let mut notes = values(rows, place);
    notes.extend(units(rows, place));
    notes.extend(jumps(rows, place));
    let steps = order(rows, place);
    let broken = basis::has_fault(&steps);
    notes.extend(steps);
    if rows.len() < 2 {
        let message = format!("{} hours make no weather", rows.len());
        notes.push(Note::fault(
            "too-few-hours",
            place.clone(),
            message,
            "give at least the hours of the pour",
        ));
    } else if !broken {
        let (series, holes) = laid_out(rows, place);
        notes.extend(holes);
        if !basis::has_fault(&notes) {
            return basis::Report { value: series, notes };
        }
    }
    basis::Report::refused(notes)
}

/// Keeps the first of many notes and counts the rest.
fn thinned(mut notes: Vec<Note>, place: &Place) -> Vec<Note> {
    let more = notes.len().saturating_sub(TOLD);
    notes.truncate(TOLD);
    if more > 0 {
        let message = format!("{more} more rows of this kind are not shown");
        notes.push(Note::remark("more-weather-rows", place.clone(), message));
    }
    notes
}

/// Values that no weather has.
fn values(rows: &[Row], place: &Place) -> Vec<Note> {
    let bad = rows.iter().enumerate().flat_map(|(index, row)| impossible(&row.record, &place.index(index)));
    thinned(bad.collect(), place)
}

fn impossible(record: &Record, place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut fault = |code, key: &str, message: String, hint: &str| {
        notes.push(Note::fault(code, place.key(key), message, hint));
    };
    let air = record.air.in_celsius();
    if !(-90.0..=60.0).contains(&air) {
        let message = format!(
            "an air temperature of {air:.1} degC ({:.0} degF) has never been",
            record.air.in_fahrenheit()
        );
        fault(
            "weather-out-of-range",
            "temperature",
            message,
            "check the unit in the heading, and marks for missing values",
        );
    } else if let Some(said) = humidity_over_100(record) {
        let message = format!("the relative humidity is {said:.0} %");
        fault(
            "humidity-over-100",
            "humidity",
            message,
            "humidity lies in 0 to 100 %; a dew point is at most the air's temperature",
        );
    }
    if record.vapour.in_pascals() <= 0.0 || !record.vapour.is_finite() {
        fault(
            "humidity-not-positive",
            "humidity",
            "the air holds no water at all".to_owned(),
            "state a humidity over 0 %, or a dew point",
        );
    }
    let wind = record.wind.in_metres_per_second();
    if wind < 0.0 || !wind.is_finite() {
        fault(
            "negative-wind",
            "wind",
            format!("a wind of {wind:.1} m/s"),
            "state 0 or more; the direction stands elsewhere",
        );
    } else if wind > 60.0 {
        fault(
            "weather-out-of-range",
            "wind",
            format!("a mean wind of {wind:.0} m/s is a hurricane's"),
            "check the unit in the heading",
        );
    }
    if !(0.0..=1.0).contains(&record.cloud.in_ratio()) {
        let message = format!("{:.0} % of the sky under cloud", record.cloud.in_percent());
        fault("cloud-out-of-range", "cloud", message, "state 0 to 100 % of the sky");
    }
    if !(0.0..=300.0).contains(&record.rain) {
        fault(
            "rain-out-of-range",
            "rain",
            format!("{} mm of rain in an hour", record.rain),
            "state 0 or more, as a depth per hour",
        );
    }
    if let Some(pressure) = record.pressure.filter(|p| !(40.0..=110.0).contains(&p.in_kilopascals())) {
        let message = format!("an air pressure of {:.1} kPa", pressure.in_kilopascals());
        fault(
            "pressure-out-of-range",
            "pressure",
            message,
            "state the station's own pressure, 40 to 110 kPa; check the unit",
        );
    }
    if let Some(sun) =
        record.sun.filter(|s| !(0.0..=1500.0).contains(&s.global) || !(0.0..=1500.0).contains(&s.diffuse))
    {
        let message = format!("a sun of {:.0} W/m2, {:.0} of it from the sky", sun.global, sun.diffuse);
        fault("sun-out-of-range", "sun", message, "state W/m2 on the level, 0 to 1500");
    }
    if let Some(long_wave) = record.long_wave.filter(|w| !(50.0..=700.0).contains(w)) {
        let message = format!("{long_wave:.0} W/m2 of long-wave radiation from the sky");
        fault("sky-out-of-range", "sky", message, "state 50 to 700 W/m2, or leave it out");
    }
    notes
}

/// The humidity in % where it is over 100 by more than rounding: of a temperature to 0.1 K, 0.7 %; of a whole per cent, 0.5.
fn humidity_over_100(record: &Record) -> Option<f64> {
    let humidity = moist_air::relative_humidity(record.air, record.vapour).in_percent();
    (humidity > 101.5).then_some(humidity)
}

/// Columns that can only be in another unit.
fn units(rows: &[Row], place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    let count = rows.len().max(1) as f64;
    let mean = rows.iter().map(|row| row.record.air.in_celsius()).sum::<f64>() / count;
    let coldest = rows.iter().map(|row| row.record.air.in_celsius()).fold(f64::INFINITY, f64::min);
    let hottest = rows.iter().map(|row| row.record.air.in_celsius()).fold(f64::NEG_INFINITY, f64::max);
    // No place on earth has a day whose mean passes 43 °C, or a night that stays over 38 °C with days over 52 °C.
    if rows.len() >= 6 && (mean > 43.0 || coldest > 38.0) {
        let message = format!(
            "the air would be {coldest:.0} to {hottest:.0} degC; read as degF these are {:.0} to {:.0} degC",
            Temperature::fahrenheit(coldest).in_celsius(),
            Temperature::fahrenheit(hottest).in_celsius(),
        );
        let hint = "the temperatures look like Fahrenheit in a Celsius column: correct the heading";
        notes.push(Note::fault("temperatures-look-fahrenheit", place.key("temperature"), message, hint));
    }
    let humidity = |row: &Row| moist_air::relative_humidity(row.record.air, row.record.vapour);
    if rows.len() >= 6 && rows.iter().all(|row| humidity(row) <= Share::percent(1.0)) {
        let hint = "the humidities look like shares of 1 in a column of per cent: write 55, not 0.55";
        notes.push(Note::fault(
            "humidity-looks-like-a-share",
            place.key("humidity"),
            "the relative humidity never passes 1 %",
            hint,
        ));
    }
    let wind = |row: &Row| row.record.wind.in_metres_per_second();
    let windy = rows.iter().map(wind).sum::<f64>() / count;
    if rows.len() >= 24 && windy > 20.0 {
        let message = format!("the mean wind of all hours is {windy:.0} m/s ({:.0} mph)", windy / 0.447_04);
        let hint = "check the unit in the heading: mph or km/h in a column of m/s?";
        notes.push(Note::warning("wind-looks-wrong", place.key("wind"), message, hint));
    }
    notes
}

/// Temperatures that jump within an hour.
fn jumps(rows: &[Row], place: &Place) -> Vec<Note> {
    let pairs = rows
        .windows(2)
        .enumerate()
        .filter(|(_, pair)| pair[1].at.duration_since(pair[0].at).as_secs() == 3600);
    let notes = pairs.filter_map(|(index, pair)| {
        let change = pair[1].record.air.in_kelvins() - pair[0].record.air.in_kelvins();
        (change.abs() > JUMP && change.is_finite()).then(|| {
            let message = format!(
                "the air changes by {change:+.1} K in an hour, to {:.1} degC",
                pair[1].record.air.in_celsius()
            );
            let hint = "a front can do that; a wrong digit or a mark for a missing value can too";
            Note::warning("weather-jump", place.index(index + 1), message, hint)
        })
    });
    thinned(notes.collect(), place)
}

/// Rows that do not follow one another by whole hours.
fn order(rows: &[Row], place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    for (index, pair) in rows.windows(2).enumerate() {
        let step = pair[1].at.duration_since(pair[0].at).as_secs();
        let place = place.index(index + 1);
        let at = pair[1].at;
        if step == 0 {
            let hint = "take one of the two out; at the end of daylight saving write the offset, as in 2026-11-01T01:00-05:00";
            notes.push(Note::fault("hour-doubled", place, format!("{at} is there twice"), hint));
        } else if step < 0 {
            let message = format!("{at} stands after {}", pair[0].at);
            notes.push(Note::fault("hours-out-of-order", place, message, "put the rows in order of time"));
        } else if step % 3600 != 0 {
            let message = format!("{at} is {:.0} min after the row before", step as f64 / 60.0);
            notes.push(Note::fault("not-hourly", place, message, "give one row for each hour"));
        }
    }
    let mut notes = thinned(notes, place);
    if let (Some(first), Some(last)) = (rows.first(), rows.last())
        && last.at.duration_since(first.at).as_hours() > LONGEST
    {
        let message = format!("the file runs from {} to {}", first.at, last.at);
        notes.push(Note::fault("weather-too-long", place.clone(), message, "give at most ten years"));
    }
    notes
}

/// The rows on their hours, short gaps bridged. The rows are in order.
fn laid_out(rows: &[Row], place: &Place) -> (Option<Series>, Vec<Note>) {
    let Some(first) = rows.first() else { return (None, Vec::new()) };
    let mut records = vec![Some(first.record)];
    let (mut bridged, mut bridges) = (0_i64, Vec::new());
    let mut holes = Vec::new();
    for (index, pair) in rows.windows(2).enumerate() {
        let steps = pair[1].at.duration_since(pair[0].at).as_secs() / 3600;
        if steps > BRIDGED + 1 {
            let message =
                format!("{} hours are missing between {} and {}", steps - 1, pair[0].at, pair[1].at);
            let hint =
                "nothing is forecast across the hole; fill it if the pour or its finishing falls in it";
            holes.push(Note::warning("weather-hours-missing", place.index(index + 1), message, hint));
            records.extend((1..steps).map(|_| None));
        } else if steps > 1 {
            bridged += steps - 1;
            bridges.push(index + 1);
            let between = (1..steps).map(|step| step as f64 / steps as f64);
            records.extend(between.map(|part| Some(mixed(&pair[0].record, &pair[1].record, part))));
        }
        records.push(Some(pair[1].record));
    }
    let mut notes = thinned(holes, place);
    if let Some(first) = bridges.first() {
        let message = format!(
            "{bridged} missing hours in {} gaps of up to {BRIDGED} h are bridged by straight lines",
            bridges.len()
        );
        let hint = "hourly weather is better: a straight line knows no sunrise";
        notes.push(Note::warning("weather-hours-bridged", place.index(*first), message, hint));
    }
    (Some(Series { start: first.at, records }), notes)
}

fn mixed(one: &Record, next: &Record, part: f64) -> Record {
    Record {
        air: Temperature::kelvins(
            one.air.in_kelvins() + part * (next.air.in_kelvins() - one.air.in_kelvins()),
        ),
        vapour: one.vapour + (next.vapour - one.vapour) * part,
        wind: one.wind + (next.wind - one.wind) * part,
        cloud: one.cloud + (next.cloud - one.cloud) * part,
        // Sun and sky of a bridged hour are figured: a line between two hours of sun may run through the night.
        sun: None,
        long_wave: None,
        pressure: None,
        rain: next.rain,
    }
}
