//! The day as appointments for a calendar: each truck, and each round with who does it.

use jiff::{SignedDuration, Timestamp};
use pour::rounds::Answer;

use crate::documents::{Facts, Planned, bay_name};
use crate::words::{Language, Said, Words};

/// Something that happens at a time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Appointment {
    /// A name that stays the same when the plan is made anew: `load-1`, `round-2-3`.
    pub key: String,
    /// When it begins.
    pub start: Timestamp,
    /// When it ends; never before it begins.
    pub end: Timestamp,
    /// What it is, in a line.
    pub what: String,
    /// More about it; may be empty.
    pub more: String,
}

/// The appointments of a plan, trucks first, in the order of their starts; none without a time of the first truck.
#[must_use]
pub fn appointments(planned: Planned<'_>, language: Language) -> Vec<Appointment> {
    let words = Words::new(&[language]);
    let facts = Facts::new(planned, &words);
    let mut all = trucks(&facts);
    all.extend(rounds(&facts).unwrap_or_default());
    all
}

fn trucks(facts: &Facts<'_>) -> Vec<Appointment> {
    let trucks = &facts.plan.trucks;
    let one = |(i, (truck, load)): (usize, (&pour::trucks::TruckRow, &basis::Volume))| {
        let (start, end) = (facts.since_first(truck.asked)?, facts.since_first(truck.done.middle)?);
        let word = facts.words.say("load");
        Some(Appointment {
            key: format!("load-{}", i + 1),
            start,
            end: after(start, end),
            what: format!(
                "{} {}: {}, {}",
                word.in_language(0),
                i + 1,
                basis::quantity::volume(*load, facts.job.units),
                facts.name()
            ),
            more: String::new(),
        })
    };
    trucks.trucks.iter().zip(&trucks.loads).enumerate().filter_map(one).collect()
}

fn rounds(facts: &Facts<'_>) -> Option<Vec<Appointment>> {
    let day = facts.day?;
    let Answer::Plan(plan) = &day.answer else { return None };
    let one = |line: &pour::rounds::Assignment| {
        let (start, end) = (facts.instant(day.start, line.start)?, facts.instant(day.start, line.end)?);
        let round = facts.round(day.problem.bays[line.bay].rounds[line.round].kind);
        let bay = bay_name(facts, day, line.bay);
        let who: Vec<String> = line.people.iter().map(|person| pour::day::person_name(*person)).collect();
        let with = line.machine.map_or_else(
            || facts.words.say("hands"),
            |machine| Said::same(crate::drawing::cut(&day.problem.machines[machine].name, 60)),
        );
        Some(Appointment {
            key: format!("round-{}-{}", line.bay + 1, line.round + 1),
            start,
            end: after(start, end),
            what: format!("{}, {}: {}", capital(round.in_language(0)), bay.in_language(0), who.join(" ")),
            more: format!("{}; {}", with.in_language(0), facts.words.say("rounds-say").in_language(0)),
        })
    };
    Some(plan.assignments.iter().filter_map(one).collect())
}

/// An end that is not before its start, and after it by a minute at least.
fn after(start: Timestamp, end: Timestamp) -> Timestamp {
    let least = start.checked_add(SignedDuration::from_mins(1)).unwrap_or(start);
    end.max(least)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
