//! Days that cannot be forecast as stated: a fault or a warning at its place, never a panic.

use basis::{Severity, TimeSpan};

use super::boat_shed;

/// Codes with their severity and place, of the plan of a changed boat shed.
fn told(from: &str, to: &str) -> Vec<(Severity, &'static str, String)> {
    let none = |_: &str| Err("none".to_owned());
    let parsed = formats::read_job(&boat_shed(&[(from, to)]), "floor.toml", &none);
    let job = parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    let notes = pour::plan::plan(&job, 1).notes;
    notes.into_iter().map(|note| (note.severity, note.code, note.place.path().to_owned())).collect()
}

const FIRST: &str = "first_truck = 2026-06-12T07:00:00";

/// In America/Chicago the clocks go from 2:00 to 3:00 on 8 March 2026, and show 1:00 to 2:00 twice on 1 November.
#[test]
fn a_first_truck_at_a_time_that_the_clocks_skip_or_show_twice() {
    let skipped = told(FIRST, "first_truck = 2026-03-08T02:30:00");
    assert!(
        skipped.contains(&(Severity::Fault, "time-skipped", "day.first_truck".to_owned())),
        "{skipped:?}"
    );
    let doubled = told(FIRST, "first_truck = 2026-11-01T01:30:00");
    assert!(
        doubled.contains(&(Severity::Warning, "time-doubled", "day.first_truck".to_owned())),
        "{doubled:?}"
    );
    assert!(doubled.iter().all(|(severity, ..)| *severity != Severity::Fault), "{doubled:?}");
}

#[test]
fn a_mix_that_cannot_exist_is_refused() {
    let dry = told("water_cementitious = 0.50", "water_cementitious = 0.10");
    assert!(dry.iter().any(|(severity, ..)| *severity == Severity::Fault), "{dry:?}");
}

/// The bakery yard's hours, cut after so many of them.
fn bakery_yard(hours: usize) -> String {
    const HOURS: &str = include_str!("../../../../demo/bakery-yard-weather.csv");
    let cut: Vec<&str> = HOURS.lines().take(1 + hours).collect();
    cut.join("\n")
}

fn planned(hours: usize) -> basis::Report<pour::plan::Plan> {
    const JOB: &str = include_str!("../../../../demo/bakery-yard.toml");
    const SHOTS: &str = include_str!("../../../../demo/bakery-yard-shots.csv");
    let weather = bakery_yard(hours);
    let fetch = |name: &str| match name {
        "bakery-yard-shots.csv" => Ok(SHOTS.as_bytes().to_vec()),
        "bakery-yard-weather.csv" => Ok(weather.clone().into_bytes()),
        other => Err(format!("no file {other}")),
    };
    let parsed = formats::read_job(JOB, "yard.toml", &fetch);
    let job = parsed.report.value.unwrap_or_else(|| panic!("{:?}", parsed.report.notes));
    pour::plan::plan(&job, 1)
}

/// Hours that end at 8:00, while the last bay is being placed, at 10:00, 12:00 and 16:00: what the weather does not reach is
/// refused, or told and left open; nothing is guessed.
#[test]
fn a_forecast_that_ends_before_the_finish_is_never_run_on() {
    let ends = |report: &basis::Report<pour::plan::Plan>| {
        let told = report.notes.iter().find(|note| note.code == "weather-ends-early");
        told.map(|note| (note.severity, note.place.path().to_owned()))
    };
    let placing = planned(15);
    assert_eq!(ends(&placing), Some((Severity::Fault, "weather".to_owned())));
    assert!(placing.value.is_none());
    /// Half an hour: one truck in ten comes later than that.
    const LATE: f64 = 0.5;
    let mut known = Vec::new();
    for (hours, end, told) in [(17, 3.5, true), (19, 5.5, false), (23, 9.5, false)] {
        let report = planned(hours);
        let expected = told.then(|| (Severity::Warning, "weather".to_owned()));
        assert_eq!(ends(&report), expected, "{hours} hours: {:?}", report.notes);
        let forecast = report.value.and_then(|plan| plan.forecast).expect("all bays are placed by then");
        let events = forecast.bays.iter().flat_map(|bay| &bay.events);
        let times: Vec<f64> = events
            .flat_map(|band| [band.low, band.middle, band.high])
            .flatten()
            .map(TimeSpan::in_hours)
            .collect();
        // A bay is read from a column placed at its mean time: a late truck moves its times by its own lateness.
        let last = times.iter().copied().fold(0.0, f64::max);
        assert!(last <= end + LATE, "{hours} hours: {last}");
        known.push(times.len());
    }
    // More hours tell more.
    assert!(known.is_sorted() && known[2] > known[0], "{known:?}");
}
