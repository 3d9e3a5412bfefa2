//! The finishing of a day: one floor or two, forecast, planned round by round, and mended when it cannot be done.
//!
//! Method and limits: `docs/methods/day.md`.

mod chance;
mod menu;
mod windows;

use basis::{Note, Place, Report, Share, TimeSpan};
use jiff::Timestamp;

use crate::forecast::Forecast;
use crate::job::{Assumed, Job};
use crate::plan::Plan;
use crate::rounds::{Answer, Budget, Problem, plan_rounds};
pub use windows::Stretch;

/// A floor of the day, with its plan.
#[derive(Debug, Clone, Copy)]
pub struct FloorOfDay<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its plan, which must have a forecast.
    pub plan: &'a Plan,
}

/// The finishing of a day.
#[derive(Debug, Clone)]
pub struct Day {
    /// The instant from which all times of the problem count: the first truck of the first floor.
    pub start: Timestamp,
    /// What was planned: floors, bays with their windows in the middle of their bands, people, machines.
    pub problem: Problem,
    /// What of the floors each bay of the problem is.
    pub stretches: Vec<Stretch>,
    /// Rounds that never come within the weather given, as floor, bay and words; they are not in the problem.
    pub beyond: Vec<String>,
    /// The plan, or why there is none.
    pub answer: Answer,
    /// Chance that the plan can be kept in its order when windows come as drawn; absent without a plan.
    pub chance: Option<Share>,
    /// Rates and the like that were taken because no job states them.
    pub assumed: Vec<Assumed>,
}

/// Plans the finishing of one floor or two.
///
/// # Errors
/// Refused without a floor, with more than two, or when a floor has no forecast.
#[must_use]
pub fn day(floors: &[FloorOfDay<'_>], seed: u64, budget: Budget) -> Report<Day> {
    let mut notes = Vec::new();
    let Some(forecasts) = forecasts(floors, &mut notes) else { return Report::refused(notes) };
    let start = forecasts.iter().map(|forecast| forecast.first_truck).min().unwrap_or(Timestamp::UNIX_EPOCH);
    let posed = windows::posed(floors, &forecasts, start);
    let menu = menu::menu(floors, &forecasts, start, seed);
    let Some(answer) = plan_rounds(&posed.problem, &menu, budget).unload(&mut notes) else {
        return Report::refused(notes);
    };
    drop(menu);
    let chance = match &answer {
        Answer::Plan(plan) => Some(chance::of_keeping(&posed, plan, &forecasts, start)),
        Answer::Refused(_) | Answer::Undecided { .. } => None,
    };
    let day = Day {
        start,
        problem: posed.problem,
        stretches: posed.stretches,
        beyond: posed.beyond,
        answer,
        chance,
        assumed: posed.assumed,
    };
    Report::with(day, notes)
}

fn forecasts<'a>(floors: &[FloorOfDay<'a>], notes: &mut Vec<Note>) -> Option<Vec<&'a Forecast>> {
    if !(1..=2).contains(&floors.len()) {
        let message = format!("a day is planned for one floor or two, not for {}", floors.len());
        notes.push(Note::fault("too-many-floors", Place::job(), message, "name one job or two"));
        return None;
    }
    for floor in floors.iter().filter(|floor| floor.plan.forecast.is_none()) {
        let message = format!("{} states no weather: its finishing cannot be timed", floor.job.name);
        notes.push(Note::fault(
            "no-weather",
            Place::at("weather"),
            message,
            "add [weather], [site] and [mix]",
        ));
    }
    floors.iter().map(|floor| floor.plan.forecast.as_ref()).collect()
}

/// People by letters: A is the first.
#[must_use]
pub fn person_name(person: u32) -> String {
    char::from_u32('A' as u32 + person)
        .filter(char::is_ascii_uppercase)
        .map_or_else(|| format!("no. {}", person + 1), String::from)
}

/// An instant as a time from the day's start.
fn since(start: Timestamp, at: Timestamp) -> TimeSpan {
    TimeSpan::seconds(at.duration_since(start).as_secs_f64())
}
