//! Finishing rounds: how long the planner takes by the number of bays, and OR-tools' CP-SAT on the same days.

use std::time::Instant;

use pour::rounds::{Answer, Budget, Problem, Proof, Size, example_day, plan_rounds};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;
use serde_json::Value;

use crate::python;
use crate::rounds_question::question;
use crate::row::Row;

/// Days of each size.
const DAYS: u64 = 4;
/// Seconds that the other solver may take for a day, on one worker.
const THEIRS: f64 = 10.0;

fn day(bays: usize, seed: u64) -> Problem {
    let size = Size {
        bays,
        rounds: 4 + (seed % 2) as u32,
        people: 3 + (seed / 2 % 2) as u32,
        machines: 1 + bays / 9 + (seed % 2) as usize,
        floors: 1 + (seed / 2 % 2) as usize,
        ease: [0.8, 1.2][(seed % 2) as usize],
        by_hand: (seed % 3) as u32,
    };
    example_day(&size, &mut ChaCha12Rng::seed_from_u64(7_000 + seed))
}

/// The day as a question, for one core.
fn asked(problem: &Problem) -> Value {
    let mut question = question(problem, THEIRS, "end");
    question["workers"] = 1.into();
    question
}

/// A row for each number of bays from 4 to 24.
pub fn rows() -> Vec<Row> {
    [4, 8, 12, 16, 20, 24].into_iter().map(row).collect()
}

fn row(bays: usize) -> Row {
    let days: Vec<Problem> = (0..DAYS).map(|seed| day(bays, seed)).collect();
    let what = format!("rounds of {bays} bays, {DAYS} days, against CP-SAT on one core");
    let theirs = match python::ask_reference("rounds.py", &days.iter().map(asked).collect()) {
        Ok(answer) => answer,
        Err(why) => return Row::failed(what, "the same end where both prove it", why),
    };
    let (mut times, mut proven, mut refused, mut both, mut apart) = (Vec::new(), 0, 0, 0, Vec::new());
    for (problem, theirs) in days.iter().zip(theirs.as_array().into_iter().flatten()) {
        let start = Instant::now();
        let report = plan_rounds(problem, &[], Budget::default());
        times.push(start.elapsed().as_secs_f64());
        let (verdict, value) = (&theirs["end"]["verdict"], theirs["end"]["value"].as_i64());
        match report.value {
            Some(Answer::Plan(plan)) => {
                let end = plan.end.in_minutes().round() as i64;
                if plan.proof == Proof::Proven {
                    proven += 1;
                    if *verdict == "optimal" {
                        both += 1;
                        apart.push(value.map_or(i64::MAX, |value| end - value));
                    }
                }
            }
            Some(Answer::Refused(_)) => {
                refused += 1;
                if *verdict == "infeasible" {
                    both += 1;
                } else if value.is_some() {
                    apart.push(i64::MAX);
                }
            }
            _ => {}
        }
    }
    let same = apart.iter().all(|apart| *apart == 0);
    let figure = format!(
        "{} ({proven} proven, {refused} refused; theirs {}; {both} settled by both, {})",
        spread(&times),
        spread(&seconds(&theirs)),
        if same { "all alike" } else { "not all alike" },
    );
    Row::judged(what, "the same end where both prove it", figure, same)
}

fn seconds(theirs: &Value) -> Vec<f64> {
    theirs.as_array().into_iter().flatten().filter_map(|day| day["end"]["seconds"].as_f64()).collect()
}

/// Shortest to longest, in seconds.
fn spread(times: &[f64]) -> String {
    let (low, high) =
        times.iter().fold((f64::INFINITY, 0.0_f64), |(low, high), t| (low.min(*t), high.max(*t)));
    format!("{low:.2} to {high:.2} s")
}
