//! Days that cannot be forecast as stated: a fault or a warning at its place, never a panic.

use basis::Severity;

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
