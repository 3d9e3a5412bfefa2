//! The day's rounds in the clock's report: problem, answer, chance.

use pour::day::Day;
use pour::rounds::{
    Answer, Assignment, BayRounds, Busy, Cause, Change, Direction, FailedRound, First, Machine, Outcome,
    Problem, Proof, Refusal, Round, RoundPlan, Tool, Tried, Way,
};
use serde_json::{Value, json};

use super::assumed;
use super::clock::utc;
use super::part::{Context, Part};
use super::units::{list, or_null};

/// The finishing of a day; its times count from `start`.
pub(super) fn day() -> Part<Day> {
    Part::<Day>::new("The finishing of a day. Times count from its start.")
        .any("start", "The first truck of the first floor, UTC.", utc(), |d, _| d.start.to_string().into())
        .part("problem", "What was planned.", problem(), |d| &d.problem)
        .any("beyond", "Rounds after the weather that was given.", words(), |d, _| d.beyond.clone().into())
        .word("answer", "What came of it.", &["plan", "refused", "undecided"], |d| match d.answer {
            Answer::Plan(_) => "plan",
            Answer::Refused(_) => "refused",
            Answer::Undecided { .. } => "undecided",
        })
        .maybe_part("plan", "The plan; null when there is none.", plan(), |d| match &d.answer {
            Answer::Plan(plan) => Some(plan),
            _ => None,
        })
        .maybe_part("refusal", "Why there is no plan; null when it is not shown.", refusal(), |d| {
            if let Answer::Refused(refusal) = &d.answer { Some(refusal) } else { None }
        })
        .maybe_count("steps", "Steps that were spent without an answer.", |d| match d.answer {
            Answer::Undecided { steps } => Some(steps),
            _ => None,
        })
        .maybe("chance", "Chance that the plan can be kept in its order; null without a plan.", |d| {
            d.chance.map(|chance| chance.in_ratio())
        })
        .list("assumed", "Rates and the like that were taken.", assumed(), |d| &d.assumed)
}

fn words() -> Value {
    list(&json!({ "type": "string" }))
}

fn counts() -> Value {
    list(&json!({ "type": "integer", "minimum": 0 }))
}

fn problem() -> Part<Problem> {
    Part::<Problem>::new("Floors, bays with their windows in the middle of their bands, people, machines.")
        .any("floors", "Names of the floors.", words(), |p, _| p.floors.clone().into())
        .quantity("travel", "Time on the road between two floors.", |p| p.travel)
        .count("people", "How many people.", |p| p.crew.people as usize)
        .list("busy", "When some do something else, such as placing.", busy(), |p| &p.crew.busy)
        .list("machines", "The machines.", machine(), |p| &p.machines)
        .list("bays", "Bays, or stretches of long ones.", bay(), |p| &p.bays)
}

fn busy() -> Part<Busy> {
    Part::<Busy>::new("People kept from finishing.")
        .count("floor", "Index of the floor, from 0.", |b| b.floor)
        .count("people", "How many.", |b| b.people as usize)
        .quantity("from", "From when.", |b| b.from)
        .quantity("until", "Until when.", |b| b.until)
}

fn machine() -> Part<Machine> {
    Part::<Machine>::new("A machine.")
        .text("name", "Its name.", |m| m.name.clone())
        .text("kind", "Its kind.", |m| m.kind.clone())
        .count("floor", "Index of the floor on which it stands at the start, from 0.", |m| m.floor)
        .quantity("moving", "Time to load and unload it.", |m| m.moving)
}

fn bay() -> Part<BayRounds> {
    Part::<BayRounds>::new("A bay, or a stretch of one.")
        .text("name", "Its name.", |b| b.name.clone())
        .count("floor", "Index of its floor, from 0.", |b| b.floor)
        .list("rounds", "Its rounds in order.", round(), |b| &b.rounds)
}

fn round() -> Part<Round> {
    Part::<Round>::new("A round.")
        .text("kind", "Which.", |r| r.kind.to_string())
        .quantity("earliest", "Earliest start.", |r| r.window.earliest)
        .quantity("latest", "Latest end.", |r| r.window.latest)
        .quantity("gap", "Least time after the round before.", |r| r.gap)
        .list("ways", "How it can be done.", way(), |r| &r.ways)
}

fn way() -> Part<Way> {
    let machine = or_null(&json!({ "type": "string" }));
    Part::<Way>::new("A way to do a round.")
        .any("machine", "Kind of machine; null is by hand.", machine, |w, _| match &w.tool {
            Tool::Hands => Value::Null,
            Tool::Machine(kind) => kind.clone().into(),
        })
        .count("people", "How many people.", |w| w.people as usize)
        .quantity("time", "How long it takes them.", |w| w.time)
}

fn plan() -> Part<RoundPlan> {
    let bound = |proof: Proof| if let Proof::Gap { bound } = proof { Some(bound) } else { None };
    let said = |proof: Proof| if proof == Proof::Proven { "proven" } else { "gap" };
    Part::<RoundPlan>::new("A plan that keeps every window.")
        .list("assignments", "Who does what when, by start.", assignment(), |p| &p.assignments)
        .any("busy", "People of each busy span, from 0.", list(&counts()), |p, _| {
            p.busy.clone().into_iter().map(Value::from).collect()
        })
        .quantity("end", "End of the last round.", |p| p.end)
        .word("proof", "Whether an earlier end is excluded.", &["proven", "gap"], move |p| said(p.proof))
        .maybe("bound", "No earlier end than this is possible; null when proven.", move |p| bound(p.proof))
        .quantity("people_time", "Time on site of all people together.", |p| p.people_time)
        .word("people_proof", "Whether less is excluded.", &["proven", "gap"], move |p| said(p.people_proof))
        .maybe("people_bound", "No less than this is possible; null when proven.", move |p| {
            bound(p.people_proof)
        })
}

fn assignment() -> Part<Assignment> {
    Part::<Assignment>::new("One round of one bay.")
        .count("bay", "Index of the bay, from 0.", |a| a.bay)
        .count("round", "Index of the round, from 0.", |a| a.round)
        .quantity("start", "Start.", |a| a.start)
        .quantity("end", "End.", |a| a.end)
        .any("people", "Who, from 0.", counts(), |a, _| a.people.clone().into())
        .maybe_count("machine", "Index of the machine, from 0; null is by hand.", |a| {
            a.machine.map(|m| m as u64)
        })
        .word("direction", "Which way the passes run.", &["across", "along", "around"], |a| {
            match a.direction {
                Direction::Across => "across",
                Direction::Along => "along",
                Direction::Around => "around",
            }
        })
}

fn refusal() -> Part<Refusal> {
    Part::<Refusal>::new("Why there is no plan, and what was tried.")
        .part("failed", "The first round that fails.", failed(), |r| &r.failed)
        .list("tried", "Changes that were tried, each planned through.", tried(), |r| &r.tried)
}

fn failed() -> Part<FailedRound> {
    Part::<FailedRound>::new("A round that fails.")
        .count("bay", "Index of the bay, from 0.", |f| f.bay)
        .count("round", "Index of the round, from 0.", |f| f.round)
        .text("kind", "Which.", |f| f.kind.to_string())
        .quantity("earliest", "Earliest start.", |f| f.window.earliest)
        .quantity("latest", "Latest end.", |f| f.window.latest)
        .maybe("work", "Least time that it takes; null when nothing at hand can do it.", |f| f.work)
        .word("cause", "Why.", &CAUSES, |f| cause(f.cause))
        .count("planned_before", "Rounds before it that can still be planned.", |f| f.planned_before)
        .word("first", "Whether it is shown to be the first.", &["shown", "not shown"], |f| match f.first {
            First::Shown => "shown",
            First::NotShown => "not shown",
        })
}

const CAUSES: [&str; 7] = [
    "no way",
    "window too short",
    "short of people",
    "short of machines",
    "people or machines",
    "people and machines",
    "unexplained",
];

const fn cause(cause: Cause) -> &'static str {
    match cause {
        Cause::NoWay => CAUSES[0],
        Cause::WindowTooShort => CAUSES[1],
        Cause::ShortOfPeople => CAUSES[2],
        Cause::ShortOfMachines => CAUSES[3],
        Cause::PeopleOrMachines => CAUSES[4],
        Cause::PeopleAndMachines => CAUSES[5],
        Cause::Unexplained => CAUSES[6],
    }
}

fn tried() -> Part<Tried> {
    let outcomes = ["mends", "still none", "undecided", "cannot be made"];
    Part::<Tried>::new("A change that was tried.")
        .any("changes", "What was changed, together.", list(&change().schema()), |t, c| changes(&t.change, c))
        .word("outcome", "What came of it.", &outcomes, move |t| match t.outcome {
            Outcome::Mends(_) => outcomes[0],
            Outcome::StillNone => outcomes[1],
            Outcome::Undecided => outcomes[2],
            Outcome::CannotBeMade => outcomes[3],
        })
        .maybe_part("plan", "The plan with it; null when it mends nothing.", plan(), |t| match &t.outcome {
            Outcome::Mends(plan) => Some(plan.as_ref()),
            _ => None,
        })
}

/// A change, two together as two.
fn changes(of: &Change, context: &Context<'_>) -> Value {
    let mut singles = Vec::new();
    let mut left = vec![of];
    while let Some(next) = left.pop() {
        match next {
            Change::Both(one, other) => left.extend([other.as_ref(), one.as_ref()]),
            single => singles.push(change().value(single, context)),
        }
    }
    singles.into()
}

fn change() -> Part<Change> {
    let named = or_null(&json!({ "type": "string" }));
    Part::<Change>::new("A change of the day.")
        .word("kind", "Of what.", &["start", "spacing", "machine", "people", "mix", "both"], |c| match c {
            Change::Start(_) => "start",
            Change::Spacing(_) => "spacing",
            Change::Machine(_) => "machine",
            Change::People(_) => "people",
            Change::Mix(_) => "mix",
            Change::Both(..) => "both",
        })
        .maybe("time", "How much later the first truck, or how far apart the trucks; null for others.", |c| {
            match c {
                Change::Start(time) | Change::Spacing(time) => Some(*time),
                _ => None,
            }
        })
        .maybe_count("people", "How many more; null for others.", |c| match c {
            Change::People(more) => Some(u64::from(*more)),
            _ => None,
        })
        .any("name", "Of the machine or the mix; null for others.", named, |c, _| match c {
            Change::Machine(name) | Change::Mix(name) => name.clone().into(),
            _ => Value::Null,
        })
}
