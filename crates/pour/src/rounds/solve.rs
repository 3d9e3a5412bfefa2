//! The search for the best day: bounds, a first plan, then questions to the model until the two meet.

use super::bound::{earliest_end, earliest_leave};
use super::day::Day;
use super::greedy;
use super::loads::{Slot, Supply, profiles, spans};
use super::model::{Found, Goal, Model, Steps};

/// A least value with the schedule that has it and what is known below it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Best {
    pub slots: Vec<Slot>,
    pub value: i64,
    pub bound: i64,
}

/// What a search ended with.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Searched {
    Best(Best),
    Impossible,
    OutOfSteps,
}

/// Whether the day has any plan.
pub(super) fn feasible(day: &Day, supplies: &[Supply], steps: &mut Steps) -> Found {
    if day.tasks.iter().any(|task| task.ways.is_empty()) || earliest_end(day, supplies).is_none() {
        return Found::No;
    }
    match greedy::first_plan(day, supplies).or_else(|| greedy::plan_by(day, supplies, day.horizon)) {
        Some(slots) => Found::Yes(slots),
        None => Model::new(day, supplies, Goal::End).ask(day.horizon, steps),
    }
}

/// The plan that ends earliest.
pub(super) fn least_end(day: &Day, supplies: &[Supply], steps: &mut Steps) -> Searched {
    if day.tasks.iter().any(|task| task.ways.is_empty()) {
        return Searched::Impossible;
    }
    let Some(low) = earliest_end(day, supplies) else { return Searched::Impossible };
    let first = greedy::first_plan(day, supplies).or_else(|| greedy::plan_by(day, supplies, day.horizon));
    let first = first.map(|slots| greedy::drawn_in(day, supplies, slots, low));
    let value = |slots: &[Slot]| i64::from(greedy::end(day, slots));
    if let Some(slots) = first.as_ref().filter(|slots| value(slots) <= i64::from(low)) {
        return Searched::Best(Best { slots: slots.clone(), value: value(slots), bound: i64::from(low) });
    }
    let mut model = Model::new(day, supplies, Goal::End);
    let first = match first {
        Some(slots) => slots,
        None => match model.ask(day.horizon, steps) {
            Found::Yes(slots) => slots,
            Found::No => return Searched::Impossible,
            Found::OutOfSteps => return Searched::OutOfSteps,
        },
    };
    Searched::Best(close_in(&mut model, first, i64::from(low), &value, steps))
}

/// The plan that, with all over by `end`, keeps the people least on site.
pub(super) fn least_people_time(day: &Day, supplies: &[Supply], end: &Best, steps: &mut Steps) -> Best {
    let value = |slots: &[Slot]| people_minutes(day, &supplies[0], slots);
    let mut model = Model::new(day, supplies, Goal::PeopleTime { end: end.value as i32 });
    close_in(&mut model, end.slots.clone(), people_floor(day, supplies, end.value), &value, steps)
}

/// Narrows the gap between what is known to be possible and what is known not to be, while there are steps.
///
/// The first question is at the bound itself, which is most often the answer. A question gets a slice of the steps; when that
/// is spent, an easier one halfway to the best plan is asked, and so on; then the slices are made longer.
fn close_in(
    model: &mut Model<'_>,
    first: Vec<Slot>,
    low: i64,
    value: &dyn Fn(&[Slot]) -> i64,
    steps: &mut Steps,
) -> Best {
    let mut best = Best { value: value(&first), slots: first, bound: low };
    let (mut aim, mut slice) = (best.bound, steps.left / 16);
    while best.bound < best.value && steps.left > 0 {
        let mut part = Steps { left: slice.clamp(1, steps.left) };
        let given = part.left;
        match model.ask(aim as i32, &mut part) {
            Found::Yes(slots) => {
                best.value = value(&slots);
                best.slots = slots;
                aim = i64::midpoint(best.bound, best.value - 1);
            }
            Found::No => {
                best.bound = aim + 1;
                aim = i64::midpoint(best.bound, best.value - 1);
            }
            Found::OutOfSteps if aim < best.value - 1 => aim = i64::midpoint(aim + 1, best.value - 1),
            Found::OutOfSteps => {
                slice *= 2;
                aim = i64::midpoint(best.bound, best.value - 1);
            }
        }
        // A question that propagation alone answers still counts, so that the loop ends.
        steps.left = steps.left.saturating_sub((given - part.left).max(1));
    }
    best
}

/// Minutes on site of all people from the common instant to the end of their last work, with the fewest sent home late.
///
/// The k-th of the people is needed until the last minute at which k or more are taken, the two floors and the road counted
/// together.
pub(super) fn people_minutes(day: &Day, people: &Supply, slots: &[Slot]) -> i64 {
    leaves(day, people, slots).iter().map(|leave| i64::from(leave - day.origin)).sum()
}

/// When each of the people may leave, latest first.
pub(super) fn leaves(day: &Day, people: &Supply, slots: &[Slot]) -> Vec<i32> {
    let loads = profiles(&spans(day, people, slots), day.horizon);
    let mut leaves = vec![day.origin; people.capacity as usize];
    for (a, here) in loads[0].iter().enumerate() {
        for offset in -people.hop..=people.hop {
            let b = a as i32 + offset;
            let there = usize::try_from(b).ok().and_then(|b| loads[1].get(b)).copied().unwrap_or(0);
            // Both instants lie before the leave of the last of them.
            let until = if *here > 0 && there > 0 {
                (a as i32).min(b)
            } else if there > 0 {
                b
            } else {
                a as i32
            };
            for leave in leaves.iter_mut().take((here + there).max(0) as usize) {
                *leave = (*leave).max(until + 1);
            }
        }
    }
    leaves
}

/// A sum of times on site that is certainly needed: for each of the people the earliest leave by himself.
fn people_floor(day: &Day, supplies: &[Supply], end: i64) -> i64 {
    let busy = profiles(&supplies[0].fixed, day.horizon);
    let mut floor = end - i64::from(day.origin);
    for k in 1..supplies[0].capacity {
        let last = (0..=day.horizon).rev().find(|m| busy[0][*m as usize].max(busy[1][*m as usize]) > k);
        let busy_until = last.map_or(day.origin, |minute| minute + 1);
        floor += i64::from(busy_until.max(earliest_leave(day, supplies, end as i32, k)) - day.origin);
    }
    floor
}
