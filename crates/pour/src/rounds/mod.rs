//! Finishing rounds: who floats and trowels which bay when, so that the day ends earliest.
//!
//! Windows come from whoever forecasts them; here they are plain times. Method, sources and limits: `docs/methods/rounds.md`.

mod bound;
mod check_input;
mod day;
mod example;
mod greedy;
mod loads;
mod model;
mod people;
mod plan;
mod problem;
mod rates;
mod refusal;
mod solve;
mod trace;
mod verify;

use basis::{Note, Place, Report};

pub use example::{Size, example_day, simple_round};
pub use plan::{Answer, Assignment, Cause, Direction, FailedRound, First, Proof, RoundPlan};
pub use problem::{BayRounds, Busy, Hands, Machine, Problem, Round, RoundKind, Tool, Way, Window};
pub use rates::{Coverage, EdgeRate, MachineRate, RATES_SOURCE, Rates, default_rates, ways};
pub use refusal::{Change, Offer, Outcome, Refusal, Remake, Tried, more_people, one_more_machine};
pub use trace::directions;
pub use verify::{Fault, check};

use day::{Day, lay};
use loads::supplies;
use model::Steps;
use solve::Searched;

/// How much search is allowed; the same budget gives the same answer on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Budget {
    /// Steps for each question of the kind "how early" or "is there a plan".
    pub steps: u64,
    /// Steps for the time on site, once the end is settled.
    pub people_steps: u64,
}

impl Default for Budget {
    /// 10,000 steps for the end and 2,000 for the time on site: a second or two for most days of two dozen bays, half a minute for the worst.
    ///
    /// Chosen by measurement, see `docs/methods/rounds.md`: more proved no further end, fewer lost some.
    fn default() -> Self {
        Self { steps: 10_000, people_steps: 2_000 }
    }
}

/// Plans a day's finishing rounds: the earliest end, and with that end the least time of the people on site.
///
/// When the day has no plan, the answer names the first round that fails and tries the changes of the menu, each by planning
/// the changed day. Refused with faults for times, people or machines that no day can have.
#[must_use]
pub fn plan_rounds(problem: &Problem, menu: &[Offer<'_>], budget: Budget) -> Report<Answer> {
    let mut notes = Vec::new();
    check_input::check(problem, &mut notes);
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let day = lay(problem);
    let answer = match solve_day(problem, &day, budget, &mut notes) {
        Some(answer) => answer,
        None => Answer::Refused(refusal::refuse(problem, &day, menu, budget, &mut notes)),
    };
    Report::with(answer, notes)
}

/// A verified plan or none within the budget; absent when it is shown that there is no plan.
fn solve_day(problem: &Problem, day: &Day, budget: Budget, notes: &mut Vec<Note>) -> Option<Answer> {
    let supplies = supplies(day, problem);
    let mut steps = Steps { left: budget.steps };
    let end = match solve::least_end(day, &supplies, &mut steps) {
        Searched::Best(best) => best,
        Searched::Impossible => return None,
        Searched::OutOfSteps => return Some(Answer::Undecided { steps: budget.steps }),
    };
    let people = solve::least_people_time(day, &supplies, &end, &mut Steps { left: budget.people_steps });
    let plan = trace::plan(problem, day, &supplies, &end, &people);
    Some(verified(problem, plan, budget, notes))
}

/// The plan, once a check that shares nothing with the search finds it sound; else undecided, with a note of what is wrong.
fn verified(problem: &Problem, plan: RoundPlan, budget: Budget, notes: &mut Vec<Note>) -> Answer {
    let faults = check(problem, &plan);
    let Some(fault) = faults.first() else { return Answer::Plan(plan) };
    notes.push(Note::warning(
        "rounds-plan-unsound",
        Place::at("bays"),
        format!(
            "a plan of the rounds failed its check in {} places, first {fault:?}: it is not used",
            faults.len()
        ),
        "change the day a little, and report this: it is a fault of the program",
    ));
    Answer::Undecided { steps: budget.steps }
}

#[cfg(test)]
mod tests;
