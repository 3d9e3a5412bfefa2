//! The demonstration jobs read without a fault.

use crate::{NoteStyle, Parsed, read_job_bytes, render_notes};

pub(crate) const BOAT_SHED: &str = include_str!("../../../demo/boat-shed.toml");
pub(crate) const BAKERY_YARD: &str = include_str!("../../../demo/bakery-yard.toml");
pub(crate) const BAKERY_SHOTS: &str = include_str!("../../../demo/bakery-yard-shots.csv");
pub(crate) const PATIO: &str = include_str!("../../../demo/patio.toml");

/// Reads a job whose file of shots, if any, is the bakery's.
pub(crate) fn read(text: &str) -> Parsed {
    read_job_bytes(text.as_bytes(), "job.toml", &|name| match name {
        "bakery-yard-shots.csv" => Ok(BAKERY_SHOTS.as_bytes().to_vec()),
        _ => Err("no such file".to_owned()),
    })
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
