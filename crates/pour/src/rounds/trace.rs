//! From the grid back to people: names, instants, directions.

use super::day::Day;
use super::loads::{Slot, Supply};
use super::people::{Piece, share_out};
use super::plan::{Assignment, Direction, Proof, RoundPlan};
use super::problem::{Problem, RoundKind};
use super::solve::{Best, leaves};

/// Which way the passes of each round of a bay run: square to those of the round before, edges apart.
///
/// The first is across: the straightedge has just gone along the bay.
#[must_use]
pub fn directions(rounds: &[RoundKind]) -> Vec<Direction> {
    let mut next = Direction::Across;
    let mut all = Vec::with_capacity(rounds.len());
    for kind in rounds {
        if *kind == RoundKind::Edges {
            all.push(Direction::Around);
            continue;
        }
        all.push(next);
        next = if next == Direction::Across { Direction::Along } else { Direction::Across };
    }
    all
}

/// The plan in the words of the problem.
pub(super) fn plan(
    problem: &Problem,
    day: &Day,
    supplies: &[Supply],
    end: &Best,
    people: &Best,
) -> RoundPlan {
    let slots = &people.slots;
    let (who, busy) = who(day, &supplies[0], slots);
    let machines = machines(problem, day, supplies, slots);
    let mut assignments = Vec::with_capacity(slots.len());
    for (index, (task, slot)) in day.tasks.iter().zip(slots).enumerate() {
        let kinds: Vec<RoundKind> = problem.bays[task.bay].rounds.iter().map(|round| round.kind).collect();
        assignments.push(Assignment {
            bay: task.bay,
            round: task.round,
            start: day.instant(slot.start),
            end: day.instant(slot.start + task.ways[slot.way].minutes),
            people: who[index].clone(),
            machine: machines[index],
            direction: directions(&kinds)[task.round],
        });
    }
    assignments.sort_by(|a, b| a.start.total_cmp(&b.start).then((a.bay, a.round).cmp(&(b.bay, b.round))));
    let proof = |best: &Best, bound| {
        if best.bound >= best.value { Proof::Proven } else { Proof::Gap { bound } }
    };
    RoundPlan {
        assignments,
        busy,
        end: day.instant(end.value as i32),
        proof: proof(end, day.instant(end.bound as i32)),
        people_time: Day::span(people.value),
        people_proof: proof(people, Day::span(people.bound)),
    }
}

/// The people of each task and of each busy span.
fn who(day: &Day, people: &Supply, slots: &[Slot]) -> (Vec<Vec<u32>>, Vec<Vec<u32>>) {
    let mut pieces = Vec::new();
    let mut owner = Vec::new();
    for (index, busy) in people.fixed.iter().enumerate() {
        for _ in 0..busy.count {
            pieces.push(Piece { floor: Some(busy.floor), start: busy.start, end: busy.end });
            owner.push(Some((true, index)));
        }
    }
    for (index, (task, slot)) in day.tasks.iter().zip(slots).enumerate() {
        let way = task.ways[slot.way];
        for _ in 0..way.people {
            pieces.push(Piece { floor: Some(task.floor), start: slot.start, end: slot.start + way.minutes });
            owner.push(Some((false, index)));
        }
    }
    // Going home closes a chain, so that the shares fit the times on site that were counted.
    for leave in leaves(day, people, slots).iter().filter(|leave| **leave > day.origin) {
        pieces.push(Piece { floor: None, start: *leave, end: i32::MAX });
        owner.push(None);
    }
    let doers = share_out(&pieces, people.hop);
    let (mut tasks, mut busy) = (vec![Vec::new(); slots.len()], vec![Vec::new(); people.fixed.len()]);
    for (doer, owner) in doers.iter().zip(&owner) {
        match owner {
            Some((true, index)) => busy[*index].push(*doer as u32),
            Some((false, index)) => tasks[*index].push(*doer as u32),
            None => {}
        }
    }
    tasks.iter_mut().chain(&mut busy).for_each(|list| list.sort_unstable());
    (tasks, busy)
}

/// The machine of each task.
fn machines(problem: &Problem, day: &Day, supplies: &[Supply], slots: &[Slot]) -> Vec<Option<usize>> {
    let mut found = vec![None; slots.len()];
    for supply in supplies {
        let Some(fleet) = supply.fleet else { continue };
        let machines = &day.fleets[fleet].machines;
        // Each machine begins where it stands; with one floor that is no matter.
        let mut pieces: Vec<Piece> = machines
            .iter()
            .map(|machine| Piece {
                floor: Some(problem.machines[*machine].floor.min(day.floors - 1)),
                start: day.origin - 1,
                end: day.origin,
            })
            .collect();
        let mut owner = Vec::new();
        for (index, (task, slot)) in day.tasks.iter().zip(slots).enumerate() {
            let way = task.ways[slot.way];
            if way.fleet == Some(fleet) {
                pieces.push(Piece {
                    floor: Some(task.floor),
                    start: slot.start,
                    end: slot.start + way.minutes,
                });
                owner.push(index);
            }
        }
        let doers = share_out(&pieces, supply.hop);
        for (index, doer) in owner.iter().zip(&doers[machines.len()..]) {
            let machine = doers[..machines.len()].iter().position(|first| first == doer);
            found[*index] = machine.map(|machine| machines[machine]);
        }
    }
    found
}
