//! Whole days of the demo floors: who does what on one pour and on two, and what mends a day that cannot be.

use basis::TimeSpan;
use pour::day::{Day, FloorOfDay, day};
use pour::rounds::{Answer, Budget, Change, Outcome, Proof, RoundPlan, check};

use super::boat_shed;

const LEAN_TO: &str = include_str!("../../../../demo/lean-to.toml");
const START: &str = "first_truck = 2026-06-12T13:00:00";

/// The day of these job files.
fn day_of(texts: &[&str]) -> Day {
    let none = |_: &str| Err("none".to_owned());
    let jobs: Vec<pour::job::Job> = texts
        .iter()
        .map(|text| formats::read_job(text, "floor.toml", &none).report.value.expect("a job"))
        .collect();
    let plans: Vec<pour::plan::Plan> =
        jobs.iter().map(|job| pour::plan::plan(job, 1).value.expect("a plan")).collect();
    let floors: Vec<FloorOfDay<'_>> =
        jobs.iter().zip(&plans).map(|(job, plan)| FloorOfDay { job, plan }).collect();
    day(&floors, 1, Budget::default()).value.expect("a day")
}

fn planned(day: &Day) -> &RoundPlan {
    let Answer::Plan(plan) = &day.answer else { panic!("{:?}", day.answer) };
    assert_eq!(check(&day.problem, plan), Vec::new());
    plan
}

/// The boat shed as a crew with one machine would have it.
fn one_machine() -> String {
    let text = boat_shed(&[]);
    let spare = text.rfind("[[machine]]").expect("a second machine");
    text[..spare].to_owned()
}

#[test]
fn the_boat_shed_has_a_proven_plan() {
    let day = day_of(&[&boat_shed(&[])]);
    assert!(day.beyond.is_empty());
    assert_eq!(planned(&day).proof, Proof::Proven);
}

#[test]
fn with_one_machine_the_boat_shed_is_refused_and_a_second_mends_it() {
    let refused = day_of(&[&one_machine()]);
    let Answer::Refused(refusal) = &refused.answer else { panic!("{:?}", refused.answer) };
    let machine = |change: &Change| matches!(change, Change::Machine(_));
    let (_, mended) = refusal.mends().find(|(change, _)| machine(change)).expect("a second machine mends it");
    // The machine of the menu is like the spare one of the demo: the same day, the same end.
    assert_eq!(mended.end, planned(&day_of(&[&boat_shed(&[])])).end);
}

#[test]
fn two_pours_of_a_day_share_crew_and_machines() {
    let day = day_of(&[&boat_shed(&[]), LEAN_TO]);
    let plan = planned(&day);
    assert_eq!(day.problem.machines.len(), 2, "the lean-to has none of its own");
    let works = |floor: usize| {
        let on = |one: &&pour::rounds::Assignment| day.problem.bays[one.bay].floor == floor;
        plan.assignments.iter().filter(on).filter(|one| one.machine.is_some()).count()
    };
    assert!(works(0) > 0 && works(1) > 0);
}

#[test]
fn a_lean_to_that_comes_too_early_is_refused_and_the_later_start_that_is_named_works() {
    let early = LEAN_TO.replace(START, "first_truck = 2026-06-12T12:30:00");
    assert_ne!(early, LEAN_TO);
    let refused = day_of(&[&boat_shed(&[]), &early]);
    let Answer::Refused(refusal) = &refused.answer else { panic!("{:?}", refused.answer) };
    let later = Change::Start(TimeSpan::minutes(30.0));
    let tried = refusal.tried.iter().find(|tried| tried.change == later).expect("it is on the menu");
    let Outcome::Mends(mended) = &tried.outcome else { panic!("{:?}", tried.outcome) };
    // Done as told, in the job file and from the beginning, the day ends when the mend said.
    let done = day_of(&[&boat_shed(&[]), LEAN_TO]);
    assert!((planned(&done).end - mended.end).abs() < TimeSpan::minutes(1.5));
}
