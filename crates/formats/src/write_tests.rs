//! What is written reads back as the same job.

use basis::{Angle, Length, Place, Slope, Volume};
use ground::finish::FinishShape;
use ground::survey::RodReading;
use ground::{P2, P3};
use pour::Job;
use proptest::prelude::*;

use crate::demo_tests::{BAKERY_YARD, BOAT_SHED, PATIO, read, rendered};
use crate::{starter, write_job};

fn job(text: &str) -> Job {
    let parsed = read(text);
    parsed.report.value.clone().unwrap_or_else(|| panic!("{}\n{text}", rendered(&parsed)))
}

#[test]
fn demos_and_starter_read_back_as_written() {
    for text in [BOAT_SHED, PATIO, starter()] {
        let first = job(text);
        assert!(job(&write_job(&first)) == first, "{}", write_job(&first));
    }
}

/// Shots from a CSV file are written into the job file, so only their places differ.
#[test]
fn a_job_with_a_file_of_shots_becomes_one_file() {
    let mut first = job(BAKERY_YARD);
    let text = write_job(&first);
    let again = job(&text);
    for (index, setup) in first.survey.setups.iter_mut().enumerate() {
        for (row, shot) in setup.shots.iter_mut().enumerate() {
            shot.place = Place::at(format!("setup[{index}].shots[{row}]"));
        }
    }
    assert_eq!(again, first);
    assert_eq!(write_job(&again), text);
}

#[test]
fn written_files_use_the_words_of_the_site() {
    let text = write_job(&job(BOAT_SHED));
    for part in [
        "at = [\"10 ft\", \"18 ft\"]",
        "[\"b1\", \"2 ft\", \"44 ft\", \"5 ft 2 7/8 in\"]",
        "fall = \"1/8 in/ft\"",
        "toward = \"down\"",
        "haul = \"25 min +- 6 min\"",
        "price = \"158 USD/yd3\"",
        "standby = \"2.25 USD/min\"",
        "free_unloading = \"6 min/yd3\"",
        "first_truck = 2026-06-12T07:00:00",
    ] {
        assert!(text.contains(part), "{part} is not in\n{text}");
    }
    assert!(!write_job(&job(PATIO)).contains("straightedge"), "an assumed value is written as if stated");
}

/// What is said of the joints comes back: settings, a forced line, a line and an area kept off.
#[test]
fn joints_read_back_as_written() {
    let joints = "[joints]\nstone = \"3/4 in\"\nslump = \"3 1/2 in\"\nsaw = \"early entry\"\nspacing = \"9 ft\"\n\
        [[joint]]\nname = \"step\"\nline = [[\"6 ft\", \"1 ft\"], [\"6 ft\", \"9 ft\"]]\n\
        [[joint]]\nname = \"pipe\"\nkeep_off = [[\"2 ft\", \"1 ft\"], [\"2 ft\", \"9 ft\"]]\n\
        [[joint]]\nname = \"tank\"\nkeep_off = [[\"8 ft\", \"8 ft\"], [\"9 ft\", \"8 ft\"], [\"9 ft\", \"9 ft\"]]\n";
    let first = job(&format!("{PATIO}{joints}"));
    assert_eq!(first.joints.wishes.len(), 3);
    assert!(first.joints.saw.is_some() && first.joints.spacing.is_some());
    assert_eq!(job(&write_job(&first)), first, "{}", write_job(&first));
    let bare = job(PATIO);
    assert!(!write_job(&bare).contains("joint]") && bare.joints == pour::job::Jointing::default());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// Any value that can be read is written so that it reads back to the last bit.
    #[test]
    fn values_read_back_to_the_last_bit(
        lengths in proptest::collection::vec(-9000.0f64..9000.0, 12),
        positive in proptest::collection::vec(1e-6f64..9000.0, 6),
        degrees in 0.0f64..360.0,
        percent in 0.0f64..90.0,
        name in "x[a-z\"\\\\#' é日]{0,12}x",
    ) {
        let mut written = job(BOAT_SHED);
        written.name = name;
        written.outline.corners[0].at = P2::new(lengths[0], lengths[1]);
        written.outline.doors[0].width = Length::metres(positive[0]);
        written.slab.nominal = Length::metres(positive[1].max(0.2));
        written.survey.setups[0].shots[0].reading = RodReading::Rod(Length::metres(positive[2]));
        written.survey.setups[0].shots[1].reading = RodReading::FromMark(Length::metres(lengths[2]));
        written.survey.benchmarks[0].elevation = Length::metres(lengths[3]);
        written.stands[0].facing = Angle::degrees(degrees);
        written.chutes.least_fall = Slope::percent(percent);
        written.plant.truck = Volume::cubic_metres(positive[3]);
        let spots = lengths[3..].chunks_exact(3).map(|c| P3 { x: c[0], y: c[1], z: c[2] }).collect();
        written.finish.shape = FinishShape::Points { spots, breaks: Vec::new() };
        let text = write_job(&written);
        let parsed = read(&text);
        prop_assert!(parsed.report.value.as_ref() == Some(&written), "{}\n{}", rendered(&parsed), text);
    }
}
