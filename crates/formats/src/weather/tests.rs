//! Weather files: each kind reads, says the same in other units, and tells every fault with its line.

use jiff::tz::{TimeZone, TimeZoneDatabase};
use proptest::prelude::*;

use crate::{ParsedWeather, WeatherKind, read_weather, weather_kind};

fn zone() -> TimeZone {
    TimeZoneDatabase::bundled().get("America/Chicago").expect("a zone")
}

fn read(text: &str) -> ParsedWeather {
    read_weather(text.as_bytes(), "weather.csv", &zone())
}

fn told(parsed: &ParsedWeather) -> Vec<(&'static str, usize, usize)> {
    let place = |note: &basis::Note| {
        let at = parsed.source.locate(&note.place).and_then(|span| parsed.source.position(span));
        at.map_or((note.code, 0, 0), |at| (note.code, at.line, at.column))
    };
    parsed.report.notes.iter().map(place).collect()
}

fn codes(text: &str) -> Vec<&'static str> {
    read(text).report.notes.iter().map(|note| note.code).collect()
}

const TABLE: &str = "time, temperature degC, humidity %, wind m/s, cloud %, rain mm/h\n\
    2026-06-21 07:00, 15.5, 80, 2.0, 25, 0\n\
    2026-06-21 08:00, 17, 74, 2.5, 25, 0\n\
    2026-06-21 09:00, 19, 66, 3, 50, 0.4\n";

#[test]
fn a_table_reads_in_local_time() {
    let parsed = read(TABLE);
    let file = parsed.report.value.expect("clean");
    assert!(parsed.report.notes.is_empty());
    assert_eq!(file.kind, WeatherKind::Table);
    assert_eq!(file.series.start, "2026-06-21T12:00:00Z".parse().expect("an instant"));
    let last = file.series.records[2].expect("there");
    assert!((last.air.in_celsius() - 19.0).abs() < 1e-9 && (last.rain - 0.4).abs() < 1e-12);
    assert!((clock::moist_air::relative_humidity(last.air, last.vapour).in_percent() - 66.0).abs() < 1e-9);
}

#[test]
fn us_units_separators_offsets_and_order_of_columns_say_the_same() {
    let metric = read(TABLE).report.value.expect("clean").series;
    let us = read(
        "wind [mph];cloud %;time;Temperature [degF];humidity (%);rain in/h\n\
         4.47387258;25;2026-06-21T07:00-05:00;59.9;80;0\n\
         5.59234073;25;2026-06-21T13:00Z;62.6;74;0\n\
         6.71080888;50;2026-06-21T09:00-05:00;66.2;66;0.015748031\n",
    );
    let us = us.report.value.unwrap_or_else(|| panic!("{:?}", us.report.notes)).series;
    assert_eq!(us.start, metric.start);
    for (one, other) in us.records.iter().zip(&metric.records) {
        let (one, other) = (one.expect("there"), other.expect("there"));
        assert!((one.air.in_kelvins() - other.air.in_kelvins()).abs() < 1e-9);
        assert!((one.vapour / other.vapour - 1.0).abs() < 1e-9);
        assert!((one.wind / other.wind - 1.0).abs() < 1e-6 && (one.rain - other.rain).abs() < 1e-6);
    }
}

#[test]
fn a_dew_point_stands_for_a_humidity() {
    let parsed = read(
        "time,temperature degC,dew point degC,wind km/h,cloud %,rain mm/h,sun W/m2,diffuse W/m2,pressure hPa\n\
         2026-06-21 07:00,20,9.27,7.2,0,0,300,60,985\n2026-06-21 08:00,20,9.27,7.2,0,0,400,70,985\n",
    );
    let file = parsed.report.value.expect("clean");
    let record = file.series.records[0].expect("there");
    // 20 °C at 50 % has its dew point at 9.27 °C.
    assert!((record.vapour.in_pascals() - 1169.4).abs() < 1.0);
    assert!((record.wind.in_metres_per_second() - 2.0).abs() < 1e-12);
    assert!((record.sun.expect("told").direct() - 240.0).abs() < 1e-9);
    assert!((record.pressure.expect("told").in_kilopascals() - 98.5).abs() < 1e-9);
}

#[test]
fn every_bad_cell_is_told_with_its_line_and_column() {
    let parsed = read(
        "time,temperature degC,humidity %,wind m/s,cloud %,rain mm/h\n\
         2026-06-21 07:00,15.x,80,2,25,0\n\
         2026-06-21 08:00,17,,2,25,0\n\
         yesterday,17,70,2,25,0\n\
         2026-06-21 10:00,17,70,2,25\n\
         2026-06-21 11:00,17,104,-2,25,0\n\
         2026-06-21 12:00,17,nan,inf,25,0\n",
    );
    assert!(parsed.report.value.is_none());
    let told = told(&parsed);
    for expected in [
        ("not-a-number", 2, 18),
        ("empty-cell", 3, 21),
        ("not-a-time", 4, 1),
        ("wrong-count", 5, 1),
        ("humidity-over-100", 6, 1),
        ("negative-wind", 6, 1),
        ("not-a-number", 7, 21),
        ("not-a-number", 7, 25),
    ] {
        assert!(told.contains(&expected), "{expected:?} in {told:?}");
    }
}

#[test]
fn headings_that_say_too_little_are_refused() {
    for (heading, code) in [
        ("time,temperature,humidity %,wind m/s,cloud %,rain mm", "unknown-unit"),
        ("time,temperature degC,humidity %,wind beaufort,cloud %,rain mm", "unknown-unit"),
        ("time,temprature degC,humidity %,wind m/s,cloud %,rain mm", "unknown-column"),
        ("time,temperature degC,wind m/s,cloud %,rain mm", "missing-column"),
        ("time,temperature degC,humidity %,wind m/s,cloud %,cloud %", "double-name"),
    ] {
        let found = codes(&format!("{heading}\n2026-06-21 07:00,1,2,3,4,5\n"));
        assert!(found.contains(&code), "{heading}: {found:?}");
    }
    let dry = codes(
        "time,temperature degC,humidity %,wind m/s,cloud %\n2026-06-21 07:00,15,80,2,25\n2026-06-21 08:00,15,80,2,25\n",
    );
    assert_eq!(dry, ["rain-not-stated"]);
}

/// In 2026 clocks in Chicago skip 2:00 to 3:00 on 8 March and repeat 1:00 to 2:00 on 1 November.
#[test]
fn skipped_and_doubled_hours() {
    let day = |rows: &[&str]| {
        let rows: String = rows.iter().map(|at| format!("{at},5,80,2,25,0\n")).collect();
        read(&format!("time,temperature degC,humidity %,wind m/s,cloud %,rain mm/h\n{rows}"))
    };
    let spring = day(&["2026-03-08 01:00", "2026-03-08 02:00", "2026-03-08 03:00"]);
    assert_eq!(told(&spring), [("hour-skipped", 3, 1)]);
    let right = day(&["2026-03-08 01:00", "2026-03-08 03:00", "2026-03-08 04:00"]);
    assert_eq!(right.report.value.expect("clean").series.records.len(), 3);
    let autumn = day(&["2026-11-01 00:00", "2026-11-01 01:00", "2026-11-01 01:00", "2026-11-01 02:00"]);
    let series = autumn.report.value.unwrap_or_else(|| panic!("{:?}", autumn.report.notes)).series;
    assert_eq!(series.records.len(), 4);
    assert_eq!(series.end(), "2026-11-01T08:00:00Z".parse().expect("an instant"));
    let twice = day(&["2026-06-01 01:00", "2026-06-01 01:00", "2026-06-01 02:00"]);
    assert_eq!(told(&twice), [("hour-doubled", 3, 1)]);
}

#[test]
fn fahrenheit_in_a_celsius_column_is_seen() {
    let rows: String =
        (0..12).map(|hour| format!("2026-06-21 {hour:02}:00,{},50,2,25,0\n", 58 + hour)).collect();
    let found = codes(&format!("time,temperature degC,humidity %,wind m/s,cloud %,rain mm/h\n{rows}"));
    assert!(found.contains(&"temperatures-look-fahrenheit"), "{found:?}");
}

#[test]
fn files_that_are_none_are_refused_with_a_reason() {
    for (bytes, code) in [
        (&b""[..], "empty-file"),
        (b" \n\n", "empty-file"),
        (b"time\xff", "not-utf-8"),
        (b"{\"a\": ", "not-forecast"),
        (b"{\"status\": 404}", "not-forecast"),
        (b"{\"properties\": {}}", "not-forecast"),
        (b"LOCATION,x\n", "not-epw"),
        (b"hello\n", "unknown-column"),
    ] {
        let parsed = read_weather(bytes, "w", &zone());
        assert!(parsed.report.value.is_none());
        let found: Vec<_> = parsed.report.notes.iter().map(|note| note.code).collect();
        assert!(found.contains(&code), "{code}: {found:?}");
    }
}

#[test]
fn many_faults_are_counted() {
    let rows: String = (0..5000).map(|_| "x,5,80,2,25,0\n").collect();
    let parsed = read(&format!("time,temperature degC,humidity %,wind m/s,cloud %,rain mm/h\n{rows}"));
    assert_eq!(parsed.report.notes.len(), 101);
    assert!(parsed.report.notes.iter().any(|note| note.message.starts_with("4900 more")));
}

/// An EPW file of a day, made up: heading of eight lines, 35 values.
fn epw(rows: &str) -> String {
    format!(
        "LOCATION,Nowhere,-,-,made up,000000,41.0,-88.0,-6.0,200.0\nDESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\n\
         GROUND TEMPERATURES,0\nHOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,made up\nCOMMENTS 2,\n\
         DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n{rows}"
    )
}

fn epw_row(year: i32, month: u32, day: u32, hour: u32, dry: &str, cover: &str) -> String {
    format!(
        "{year},{month},{day},{hour},60,A7,{dry},9.3,50,98000,0,0,330,500,400,100,0,0,0,0,180,3.0,{cover},5,20,77777,9,\
         999999999,20,0.1,0,88,0.2,1.5,1.0\n"
    )
}

#[test]
fn epw_hours_end_at_the_hour_that_they_name() {
    let rows: String = (1..=24).map(|hour| epw_row(2021, 6, 21, hour, "20.0", "4")).collect();
    let parsed = read(&epw(&rows));
    let file = parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    assert_eq!(file.kind, WeatherKind::Epw);
    assert_eq!(file.series.start, "2021-06-21T07:00:00Z".parse().expect("an instant"));
    assert_eq!(file.series.end(), "2021-06-22T06:00:00Z".parse().expect("an instant"));
    let record = file.series.records[0].expect("there");
    assert!((record.air.in_celsius() - 20.0).abs() < 1e-9 && (record.cloud.in_percent() - 40.0).abs() < 1e-9);
    assert!((record.sun.expect("told").direct() - 400.0).abs() < 1e-9);
    assert_eq!((record.long_wave, record.rain), (Some(330.0), 1.5));
    assert!((file.spot.expect("told").longitude.in_degrees() + 88.0).abs() < 1e-9);
}

#[test]
fn epw_marks_of_missing_values_are_missing_and_its_faults_have_lines() {
    let mut rows: Vec<String> = (1..=24).map(|hour| epw_row(2021, 6, 21, hour, "20.0", "4")).collect();
    rows[3] = epw_row(2021, 6, 21, 4, "99.9", "4");
    rows[5] = epw_row(2021, 6, 21, 6, "20.0", "99");
    rows[6] = epw_row(2021, 6, 21, 7, "20.0", "4").replace("1.5,1.0", "500,1");
    let parsed = read(&epw(&rows.concat()));
    assert!(parsed.report.value.is_some());
    assert_eq!(
        told(&parsed),
        [
            ("weather-values-missing", 12, 1),
            ("weather-hours-bridged", 13, 1),
            ("cloud-missing", 14, 1),
            ("rain-unlikely", 15, 1)
        ]
    );
    rows[7] = epw_row(2021, 6, 21, 25, "20.0", "4");
    rows[8] = epw_row(2021, 6, 31, 9, "20.0", "4");
    rows[9] = epw_row(2021, 6, 21, 10, "warm", "4");
    rows[10] = "2021,6,21\n".to_owned();
    let found = told(&read(&epw(&rows.concat())));
    for expected in
        [("no-such-time", 16, 11), ("no-such-time", 17, 1), ("not-a-number", 18, 20), ("wrong-count", 19, 1)]
    {
        assert!(found.contains(&expected), "{expected:?} in {found:?}");
    }
}

#[test]
fn months_of_different_years_become_one_year() {
    let rows: String = [(1996, 2, 27), (1996, 2, 28), (2003, 3, 1), (2003, 3, 2)]
        .iter()
        .flat_map(|(year, month, day)| (1..=24).map(|hour| epw_row(*year, *month, *day, hour, "5.0", "4")))
        .map(|row| row.replace(",9.3,", ",1.0,"))
        .collect();
    let parsed = read(&epw(&rows));
    assert_eq!(told(&parsed), [("typical-year", 9, 1)]);
    let series = parsed.report.value.expect("one run of hours").series;
    // 1996 has a 29 February, the file does not: the next year without one takes it.
    assert_eq!(series.start, "1997-02-27T07:00:00Z".parse().expect("an instant"));
    assert_eq!(series.records.len(), 96);
}

const HOURLY: &str = r#"{"type": "Feature", "properties": {
  "units": "us", "updateTime": "2026-06-21T09:30:00+00:00",
  "periods": [
    {"number": 1, "startTime": "2026-06-21T07:00:00-05:00", "temperature": 60, "temperatureUnit": "F",
     "dewpoint": {"unitCode": "wmoUnit:degC", "value": 12.2}, "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 81},
     "windSpeed": "5 mph", "windDirection": "S", "shortForecast": "Mostly Sunny"},
    {"number": 2, "startTime": "2026-06-21T08:00:00-05:00", "temperature": 64, "temperatureUnit": "F",
     "dewpoint": {"unitCode": "wmoUnit:degC", "value": null}, "relativeHumidity": {"unitCode": "wmoUnit:percent", "value": 70},
     "windSpeed": "5 to 10 mph", "windDirection": "S", "shortForecast": "Slight Chance Rain Showers"}
  ]}}"#;

#[test]
fn an_hourly_forecast_reads() {
    let parsed = read(HOURLY);
    let file = parsed.report.value.clone().unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    assert_eq!(told(&parsed), [("rain-not-stated", 4, 5)]);
    assert_eq!(file.issued, Some("2026-06-21T09:30:00Z".parse().expect("an instant")));
    let (one, two) = (file.series.records[0].expect("there"), file.series.records[1].expect("there"));
    assert!((one.air.in_fahrenheit() - 60.0).abs() < 1e-9 && (one.cloud.in_percent() - 18.75).abs() < 1e-9);
    assert!(
        (one.wind.in_miles_per_hour() - 5.0).abs() < 1e-9
            && (two.wind.in_miles_per_hour() - 7.5).abs() < 1e-9
    );
    assert!((clock::moist_air::relative_humidity(two.air, two.vapour).in_percent() - 70.0).abs() < 1e-9);
    assert!(two.cloud.in_percent() > 80.0);
}

#[test]
fn faults_of_a_forecast_have_lines() {
    let bad = HOURLY.replace("\"5 mph\"", "\"brisk\"").replace("2026-06-21T08:00:00-05:00", "eight");
    let found = told(&read(&bad));
    assert!(found.contains(&("unknown-unit", 4, 5)) && found.contains(&("not-a-time", 7, 5)), "{found:?}");
    let blue = HOURLY.replace("Mostly Sunny", "Lovely");
    assert!(told(&read(&blue)).contains(&("sky-not-told", 4, 5)));
    let broken = HOURLY.replace("\"units\": \"us\",", "\"units\": \"us\"");
    assert_eq!(told(&read(&broken))[0].1, 2);
}

const GRID: &str = r#"{"properties": {
  "updateTime": "2026-06-21T09:30:00+00:00",
  "temperature": {"uom": "wmoUnit:degC", "values": [
    {"validTime": "2026-06-21T12:00:00+00:00/PT1H", "value": 15},
    {"validTime": "2026-06-21T13:00:00+00:00/PT2H", "value": 18}]},
  "dewpoint": {"uom": "wmoUnit:degC", "values": [{"validTime": "2026-06-21T12:00:00+00:00/P1D", "value": 11}]},
  "relativeHumidity": {"uom": "wmoUnit:percent", "values": []},
  "skyCover": {"uom": "wmoUnit:percent", "values": [{"validTime": "2026-06-21T06:00:00+00:00/PT12H", "value": 35}]},
  "windSpeed": {"uom": "wmoUnit:km_h-1", "values": [{"validTime": "2026-06-21T06:00:00+00:00/PT12H", "value": 14.4}]},
  "quantitativePrecipitation": {"uom": "wmoUnit:mm", "values": [{"validTime": "2026-06-21T12:00:00+00:00/PT6H", "value": 3}]}
}}"#;

#[test]
fn a_grid_forecast_reads() {
    let parsed = read(GRID);
    let file = parsed.report.value.clone().unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    assert!(parsed.report.notes.is_empty());
    assert_eq!(file.series.records.len(), 3);
    let records: Vec<_> = file.series.records.iter().map(|record| record.expect("there")).collect();
    assert!(
        (records[2].air.in_celsius() - 18.0).abs() < 1e-9
            && (records[0].cloud.in_percent() - 35.0).abs() < 1e-9
    );
    assert!((records[1].wind.in_metres_per_second() - 4.0).abs() < 1e-9);
    // 3 mm from 12:00 on over six hours: none in the hour up to 12:00, half a millimetre in each that follows.
    assert!(records[0].rain.abs() < 1e-12 && (records[1].rain - 0.5).abs() < 1e-12);
    let wrong = GRID.replace("wmoUnit:km_h-1", "wmoUnit:knot").replace("PT2H", "P1Y");
    assert_eq!(told(&read(&wrong))[0].0, "unknown-unit");
    let wrong = told(&read(&GRID.replace("PT2H", "P1Y")));
    assert!(wrong.contains(&("not-a-time", 5, 5)), "{wrong:?}");
}

#[test]
fn kinds_are_told_by_how_a_file_begins() {
    assert_eq!(weather_kind(TABLE), WeatherKind::Table);
    assert_eq!(weather_kind(&epw("")), WeatherKind::Epw);
    assert_eq!(weather_kind(" \n{"), WeatherKind::Forecast);
    assert_eq!(weather_kind("é"), WeatherKind::Table);
}

proptest! {
    #[test]
    fn no_text_makes_it_panic_and_a_value_means_no_fault(
        which in 0..4_usize, cut in 0..2000_usize, put in "\\PC{0,12}", at in 0..2000_usize,
    ) {
        let rows: String = (1..=24).map(|hour| epw_row(2021, 6, 21, hour, "20.0", "4")).collect();
        let mut text = [TABLE.to_owned(), epw(&rows), HOURLY.to_owned(), GRID.to_owned()][which].clone();
        let mut at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        text.insert_str(at, &put);
        let mut bytes = text.into_bytes();
        bytes.truncate(bytes.len().saturating_sub(cut / 10));
        let parsed = read_weather(&bytes, "w", &zone());
        prop_assert_eq!(parsed.report.value.is_none(), parsed.report.has_fault());
    }
}
