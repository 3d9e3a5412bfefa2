//! A whole measured year, each of its hours tried as the start of a pour.

use basis::TimeSpan;
use formats::read_weather;
use house::python;
use jiff::tz::TimeZone;
use pour::Job;
use pour::job::Weather;
use pour::sweep::{Against, Asked, Start, Why};
use serde_json::json;

const BOAT_SHED: &str = include_str!("../../../../demo/boat-shed.toml");

/// The boat shed's floor in the open, where the file was measured.
fn job(zone: &str, answer: &serde_json::Value) -> Job {
    let number = |key| python::number(answer, key);
    let none = |_: &str| Err("none".to_owned());
    let text = BOAT_SHED.replacen("roof = \"over\"", "", 1);
    let mut job = formats::read_job(&text, "floor.toml", &none).report.value.expect("the demo");
    job.zone = zone.to_owned();
    let site = job.site.as_mut().expect("a site");
    site.latitude = basis::Angle::degrees(number("latitude"));
    site.longitude = basis::Angle::degrees(number("longitude"));
    site.elevation = Some(basis::Length::metres(number("height")));
    job
}

/// Two typical years that pvlib carries, Greensboro in North Carolina and an island off Alaska: every hour is scored but for
/// the last ones, whose finish the file does not cover; what a season is known for shows.
#[test]
fn every_hour_of_a_measured_year_is_a_start() {
    for (name, zone) in [("723170TYA.CSV", "America/New_York"), ("703165TY.csv", "America/Anchorage")] {
        let answer = python::ask("weather", &json!({"name": name}));
        let bytes = answer["epw"].as_str().expect("the file").as_bytes().to_vec();
        let parsed = read_weather(&bytes, name, &TimeZone::get(zone).expect("a zone"));
        let series = parsed.report.value.expect("no fault").series;
        let mut job = job(zone, &answer);
        let floor =
            pour::plan::plan(&Job { weather: None, ..job.clone() }, 1).value.expect("the demo's plan");
        job.weather = Some(Weather::Hourly { file: name.to_owned(), series: series.clone() });
        let report = pour::plan::swept(&job, &floor, &Asked::default(), 1);
        let sweep = report.value.unwrap_or_else(|| panic!("{name}: {:?}", report.notes));
        assert_eq!(sweep.starts.len() + sweep.unscored.len(), 8760, "{name}");
        let late = series.end().saturating_sub(jiff::SignedDuration::from_hours(48)).expect("in range");
        for start in &sweep.unscored {
            assert!(
                start.why == Why::TooSlow || start.why == Why::WeatherEnds && start.at > late,
                "{start:?}"
            );
        }
        for start in &sweep.starts {
            assert!(
                start.ends <= series.end() && start.ends >= start.struck_off && start.struck_off > start.at
            );
            assert!(start.finishing > TimeSpan::ZERO && start.dark <= start.finishing, "{start:?}");
            assert!((0.0..6.0).contains(&start.evaporation), "{start:?}");
        }
        // The last day of a slow winter may have no start whose finish the file covers.
        assert!(sweep.days().count() >= 364, "{name}");
        seasons(name, &sweep.zone, &sweep.starts);
    }
}

/// Winter is slower than summer, and frost and short days are its own.
fn seasons(name: &str, zone: &TimeZone, starts: &[Start]) {
    let of = |month: i8| -> Vec<&Start> {
        starts.iter().filter(|start| start.in_hours && zone.to_datetime(start.at).month() == month).collect()
    };
    let share = |starts: &[&Start], reason: Against| {
        starts.iter().filter(|start| start.against.contains(&reason)).count() as f64 / starts.len() as f64
    };
    let hours = |starts: &[&Start]| {
        starts.iter().map(|start| start.finishing.in_hours()).sum::<f64>() / starts.len() as f64
    };
    let (winter, summer) = (of(1), of(7));
    assert!(hours(&winter) > 1.3 * hours(&summer), "{name}: {} {}", hours(&winter), hours(&summer));
    assert!(share(&summer, Against::Frost) == 0.0 && share(&winter, Against::Frost) > 0.0, "{name}");
    assert!(share(&winter, Against::Dark) > share(&summer, Against::Dark), "{name}");
    assert!(share(&winter, Against::Cold) > 0.5, "{name}");
}
