//! Finishing rounds against OR-tools' CP-SAT, with a model of its own in which every person and machine is named.

use basis::TimeSpan;
use house::python;
use pour::rounds::{Answer, Budget, Problem, Proof, Size, example_day, plan_rounds};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;
use serde_json::Value;

use crate::rounds_question::question;

/// Small enough that both sides prove their answer, tight enough that about one day in six has no plan.
fn days() -> Vec<Problem> {
    let size = |seed: u64| Size {
        bays: 4 + 2 * (seed % 2) as usize,
        rounds: 4 + (seed / 3 % 2) as u32,
        people: 2 + (seed / 5 % 2) as u32,
        machines: 1 + (seed / 5 % 2) as usize,
        floors: 1 + (seed / 2 % 2) as usize,
        ease: [0.18, 0.3, 0.8][(seed / 4 % 3) as usize],
        by_hand: (seed / 7 % 3) as u32,
    };
    (0..36).map(|seed| example_day(&size(seed), &mut ChaCha12Rng::seed_from_u64(500 + seed))).collect()
}

/// Days of the size of a whole garage or shop floor, on one floor or two.
fn larger_days() -> Vec<Problem> {
    let size = |seed: u64| Size {
        bays: 8 + (seed % 3) as usize,
        rounds: 4 + (seed % 2) as u32,
        people: 3 + (seed / 2 % 2) as u32,
        machines: 1 + (seed / 3 % 2) as usize,
        floors: 1 + usize::from(seed % 4 == 3),
        ease: [0.8, 1.2][(seed / 5 % 2) as usize],
        by_hand: (seed / 2 % 3) as u32,
    };
    (0..10).map(|seed| example_day(&size(seed), &mut ChaCha12Rng::seed_from_u64(3_100 + seed))).collect()
}

/// The other side's least value, where it was proven.
fn optimum(theirs: &Value) -> Option<i64> {
    if theirs["verdict"] == "optimal" { theirs["value"].as_i64() } else { None }
}

/// Whole minutes, equal on both sides where both prove them; else each side's bound keeps to the other's value.
///
/// Tells whether both were proven.
fn agree(value: TimeSpan, proof: Proof, theirs: &Value, what: &str) -> bool {
    let ours = value.in_minutes().round() as i64;
    let bound = match proof {
        Proof::Proven => ours,
        Proof::Gap { bound } => bound.in_minutes().round() as i64,
    };
    if let Some(theirs) = theirs["bound"].as_i64() {
        assert!(ours >= theirs, "{what}: {ours} under their bound {theirs}");
    }
    if let Some(theirs) = theirs["value"].as_i64() {
        assert!(theirs >= bound, "{what}: theirs {theirs} under our bound {bound}");
    }
    let proven = optimum(theirs).filter(|_| proof == Proof::Proven);
    proven.inspect(|theirs| assert_eq!(ours, *theirs, "{what}")).is_some()
}

/// How many ends, times on site and refusals both sides proved.
fn compared(days: &[Problem], budget: Budget, answers: &Value) -> (usize, usize, usize) {
    let (mut ends, mut sites, mut refused) = (0, 0, 0);
    for (seed, (problem, theirs)) in
        days.iter().zip(answers.as_array().expect("one answer a day")).enumerate()
    {
        let verdict = theirs["end"]["verdict"].as_str().expect("a verdict");
        match plan_rounds(problem, &[], budget).value.expect("a sound day") {
            Answer::Plan(plan) => {
                assert_ne!(verdict, "infeasible", "day {seed}");
                let end = agree(plan.end, plan.proof, &theirs["end"], &format!("day {seed}"));
                ends += usize::from(end);
                let what = format!("day {seed}, time on site");
                // Times on site compare only at the same end.
                let site = end && agree(plan.people_time, plan.people_proof, &theirs["site"], &what);
                sites += usize::from(site);
            }
            Answer::Refused(_) => {
                assert!(["infeasible", "unknown"].contains(&verdict), "day {seed}: refused, {theirs}");
                refused += usize::from(verdict == "infeasible");
            }
            Answer::Undecided { .. } => {}
        }
    }
    (ends, sites, refused)
}

#[test]
fn verdict_end_and_time_on_site_agree_with_cp_sat() {
    let days = days();
    let ask = |problem: &Problem| question(problem, 20.0, "site");
    let answers = python::ask("rounds", &days.iter().map(ask).collect());
    let budget = Budget { steps: 20_000, people_steps: 4_000 };
    let (ends, sites, refused) = compared(&days, budget, &answers);
    // Nearly all must be decided, or nothing was compared.
    assert!(ends + refused >= 34 && ends >= 15 && refused >= 4 && sites >= 10, "{ends} {refused} {sites}");
}

#[test]
fn ends_of_eight_to_ten_bays_agree_with_cp_sat() {
    let days = larger_days();
    let ask = |problem: &Problem| question(problem, 10.0, "nothing");
    let answers = python::ask("rounds", &days.iter().map(ask).collect());
    let (ends, _, refused) = compared(&days, Budget { people_steps: 1, ..Budget::default() }, &answers);
    // Most must be proven on both sides, or nothing was compared.
    assert!(ends + refused >= 7 && ends >= 5, "{ends} {refused}");
}
