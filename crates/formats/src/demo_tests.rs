//! The demonstration jobs read without a fault.

use crate::{NoteStyle, Parsed, read_job_bytes, render_notes};

pub(crate) const BOAT_SHED: &str = include_str!("../../../demo/boat-shed.toml");
pub(crate) const BAKERY_YARD: &str = include_str!("../../../demo/bakery-yard.toml");
pub(crate) const BAKERY_SHOTS: &str = include_str!("../../../demo/bakery-yard-shots.csv");
pub(crate) const BAKERY_WEATHER: &str = include_str!("../../../demo/bakery-yard-weather.csv");
pub(crate) const PATIO: &str = include_str!("../../../demo/patio.toml");

/// Reads a job whose file of shots, if any, is the bakery's.
pub(crate) fn read(text: &str) -> Parsed {
    read_job_bytes(text.as_bytes(), "job.toml", &|name| match name {
        "bakery-yard-shots.csv" => Ok(BAKERY_SHOTS.as_bytes().to_vec()),
        "bakery-yard-weather.csv" => Ok(BAKERY_WEATHER.as_bytes().to_vec()),
        "gap.csv" => Ok(without_the_night().into_bytes()),
        "wet.csv" => Ok(BAKERY_WEATHER.replacen("20.2, 59,", "20.2, 159,", 1).into_bytes()),
        _ => Err("no such file".to_owned()),
    })
}

/// The bakery's weather without the hours of one night.
fn without_the_night() -> String {
    let lines =
        BAKERY_WEATHER.lines().filter(|line| !line.starts_with("2026-07-14 0") || line > &"2026-07-14 06");
    lines.map(|line| format!("{line}\n")).collect()
}

/// The notes as text, for messages of failing tests and for looking at.
pub(crate) fn rendered(parsed: &Parsed) -> String {
    render_notes(&parsed.report.notes, &parsed.source, NoteStyle::default())
}

#[test]
fn each_demo_reads_without_a_note() {
    for text in [BOAT_SHED, BAKERY_YARD, PATIO] {
        let parsed = read(text);
        assert!(parsed.report.notes.is_empty(), "{}", rendered(&parsed));
        assert!(parsed.report.value.is_some());
    }
}

#[test]
fn the_boat_shed_is_read_as_written() {
    let job = read(BOAT_SHED).report.value.expect("reads");
    assert_eq!(job.outline.corners.len(), 8);
    assert_eq!(job.outline.edges.len(), 8);
    assert_eq!(job.outline.doors[1].edge, 6);
    assert_eq!(job.survey.setups.len(), 2);
    assert_eq!(job.survey.setups[1].shots.len(), 23);
    let feet = job.survey.setups[0].shots[0].at.y / 0.3048;
    assert!((feet - 44.0).abs() < 1e-9);
    assert_eq!(job.plant.currency.map(|currency| currency.0), Some(*b"USD"));
}

#[test]
fn the_bakery_takes_its_shots_from_the_file() {
    let job = read(BAKERY_YARD).report.value.expect("reads");
    assert_eq!(job.survey.setups[0].shots.len(), 18);
    assert_eq!(job.survey.setups[1].shots.len(), 17);
    assert_eq!(job.survey.setups[0].shots[0].place.path(), "survey.shots_file[0]");
    assert!((job.finish.drains[0].at.x - 6.0).abs() < 1e-12);
}

#[test]
fn the_patio_says_what_was_assumed() {
    let job = read(PATIO).report.value.expect("reads");
    assert!(job.plant.price.is_none());
    let assumed: Vec<_> = job.assumed.iter().map(|value| value.place.path()).collect();
    assert!(assumed.contains(&"slab.minimum") && assumed.contains(&"crew.straightedge"), "{assumed:?}");
}

/// The bakery's weather comes hour by hour from a file; what is wrong in the file is told at its line.
#[test]
fn the_bakery_takes_its_weather_from_the_file() {
    let parsed = read(BAKERY_YARD);
    let job = parsed.report.value.expect("reads");
    let Some(pour::job::Weather::Hourly { file, series }) = job.weather else { panic!("no hours") };
    assert_eq!(file, "bakery-yard-weather.csv");
    assert_eq!(series.records.len(), 55);
    assert_eq!(series.start.to_string(), "2026-07-13T16:00:00Z");
    assert!(series.records.iter().all(Option::is_some));
    let wet = read(&BAKERY_YARD.replace("bakery-yard-weather.csv", "wet.csv"));
    assert!(wet.report.value.is_none());
    assert!(rendered(&wet).contains("wet.csv:"), "{}", rendered(&wet));
    let gap = read(&BAKERY_YARD.replace("bakery-yard-weather.csv", "gap.csv"));
    assert!(!gap.report.notes.is_empty(), "a night without hours is not told");
    let none = read(&BAKERY_YARD.replace("bakery-yard-weather.csv", "nowhere.csv"));
    assert!(rendered(&none).contains("nowhere.csv cannot be read"), "{}", rendered(&none));
}
