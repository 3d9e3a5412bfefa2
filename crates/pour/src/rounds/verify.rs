//! A check of a plan against its problem that shares nothing with the search.

use std::collections::BTreeMap;

use basis::TimeSpan;

use super::plan::{Assignment, Direction, RoundPlan};
use super::problem::{Problem, RoundKind, Tool};

/// A round of a bay, by their indices.
pub type Spot = (usize, usize);

/// What is wrong with a plan.
#[derive(Debug, Clone, PartialEq)]
pub enum Fault {
    /// A round is planned never or more than once, or one that is not there is planned: so many times.
    Count(Spot, usize),
    /// A round starts before or ends after its window.
    OutsideWindow(Spot),
    /// A round starts before the one before it is over and the gap has passed.
    OutOfOrder(Spot),
    /// No way of the round has this tool, so many people and so little time.
    NoSuchWay(Spot),
    /// A person is in two places at once, or had too little time for the road, at this instant.
    PersonTorn(u32, TimeSpan),
    /// A machine is in two places at once, or had too little time to move, at this instant.
    MachineTorn(usize, TimeSpan),
    /// A person is named who is not there, or one is named twice.
    NoSuchPerson(u32),
    /// A busy span, by its index, does not have its people.
    BusyUnserved(usize),
    /// Passes run the same way as in the round before.
    NotCrossed(Spot),
    /// The end stated is not that of the last round, which is this.
    WrongEnd(TimeSpan),
    /// The people named stay longer than the time on site stated, so long together.
    WrongPeopleTime(TimeSpan),
}

/// A stay of a person or machine: floor, start, end.
type Stay = (usize, TimeSpan, TimeSpan);

/// Lists everything in which a plan breaks its problem; empty for a sound plan.
#[must_use]
pub fn check(problem: &Problem, plan: &RoundPlan) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut by_round: BTreeMap<(usize, usize), Vec<&Assignment>> = BTreeMap::new();
    for assignment in &plan.assignments {
        by_round.entry((assignment.bay, assignment.round)).or_default().push(assignment);
    }
    for (bay, rounds) in problem.bays.iter().enumerate() {
        let mut before: Option<&Assignment> = None;
        let mut passes = None;
        for round in 0..rounds.rounds.len() {
            let found = by_round.remove(&(bay, round)).unwrap_or_default();
            if let [one] = found.as_slice() {
                check_round(problem, one, before, &mut passes, &mut faults);
                before = Some(one);
            } else {
                faults.push(Fault::Count((bay, round), found.len()));
            }
        }
    }
    faults.extend(by_round.iter().map(|(at, found)| Fault::Count(*at, found.len())));
    if faults.iter().any(|fault| matches!(fault, Fault::Count(..))) {
        return faults;
    }
    check_people(problem, plan, &mut faults);
    check_machines(problem, plan, &mut faults);
    let end = plan.assignments.iter().map(|one| one.end).fold(TimeSpan::ZERO, TimeSpan::max);
    if end != plan.end && !plan.assignments.is_empty() {
        faults.push(Fault::WrongEnd(end));
    }
    faults
}

/// A millionth of a minute: windows are stated in any unit and rounded once.
const ROUNDING: TimeSpan = TimeSpan::minutes(2e-6);

fn check_round(
    problem: &Problem,
    one: &Assignment,
    before: Option<&Assignment>,
    passes: &mut Option<Direction>,
    faults: &mut Vec<Fault>,
) {
    let (bay, round) = (one.bay, one.round);
    let asked = &problem.bays[bay].rounds[round];
    if one.start < asked.window.earliest - ROUNDING || one.end > asked.window.latest + ROUNDING {
        faults.push(Fault::OutsideWindow((bay, round)));
    }
    if before.is_some_and(|before| one.start < before.end + asked.gap - ROUNDING) {
        faults.push(Fault::OutOfOrder((bay, round)));
    }
    let tool = match one.machine {
        None => Some(Tool::Hands),
        Some(machine) => problem.machines.get(machine).map(|machine| Tool::Machine(machine.kind.clone())),
    };
    let sound = asked.ways.iter().any(|way| {
        Some(&way.tool) == tool.as_ref()
            && way.people as usize == one.people.len()
            && one.end - one.start >= way.time - ROUNDING
    });
    if !sound {
        faults.push(Fault::NoSuchWay((bay, round)));
    }
    let crossed = if asked.kind == RoundKind::Edges {
        one.direction == Direction::Around
    } else {
        let fresh = one.direction != Direction::Around && *passes != Some(one.direction);
        *passes = Some(one.direction);
        fresh
    };
    if !crossed {
        faults.push(Fault::NotCrossed((bay, round)));
    }
}

fn check_people(problem: &Problem, plan: &RoundPlan, faults: &mut Vec<Fault>) {
    let mut stays: Vec<Vec<Stay>> = vec![Vec::new(); problem.crew.people as usize];
    let mut stay = |people: &[u32], stay: Stay, faults: &mut Vec<Fault>| {
        for (index, person) in people.iter().enumerate() {
            match stays.get_mut(*person as usize) {
                Some(list) if !people[..index].contains(person) => list.push(stay),
                _ => faults.push(Fault::NoSuchPerson(*person)),
            }
        }
    };
    for (index, busy) in problem.crew.busy.iter().enumerate() {
        let people = plan.busy.get(index).map_or(&[][..], Vec::as_slice);
        if people.len() != busy.people as usize {
            faults.push(Fault::BusyUnserved(index));
        }
        stay(people, (busy.floor, busy.from, busy.until), faults);
    }
    for one in &plan.assignments {
        stay(&one.people, (problem.bays[one.bay].floor, one.start, one.end), faults);
    }
    let mut on_site = TimeSpan::ZERO;
    for (person, stays) in stays.iter_mut().enumerate() {
        for at in torn(stays, problem.travel) {
            faults.push(Fault::PersonTorn(person as u32, at));
        }
        // A busy span that ends within a minute holds its person to the end of that minute.
        let last = stays.iter().map(|stay| (stay.2.in_minutes() - 1e-6).ceil()).fold(0.0, f64::max);
        on_site += TimeSpan::minutes(last);
    }
    // The plan counts with the fewest sent home late; the people named stay no longer than that.
    if on_site > plan.people_time + ROUNDING {
        faults.push(Fault::WrongPeopleTime(on_site));
    }
}

fn check_machines(problem: &Problem, plan: &RoundPlan, faults: &mut Vec<Fault>) {
    for (index, machine) in problem.machines.iter().enumerate() {
        let mut stays: Vec<Stay> = plan
            .assignments
            .iter()
            .filter(|one| one.machine == Some(index))
            .map(|one| (problem.bays[one.bay].floor, one.start, one.end))
            .collect();
        if problem.floors.len() > 1 {
            stays.push((machine.floor, TimeSpan::ZERO, TimeSpan::ZERO));
        }
        for at in torn(&mut stays, problem.travel + machine.moving) {
            faults.push(Fault::MachineTorn(index, at));
        }
    }
}

/// The starts of stays that begin before the one before is over and the road is behind.
fn torn(stays: &mut [Stay], road: TimeSpan) -> Vec<TimeSpan> {
    stays.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.2.total_cmp(&b.2)));
    let short = |pair: &&[Stay]| {
        let road = if pair[0].0 == pair[1].0 { TimeSpan::ZERO } else { road };
        pair[1].1 < pair[0].2 + road - ROUNDING
    };
    stays.windows(2).filter(short).map(|pair| pair[1].1).collect()
}
