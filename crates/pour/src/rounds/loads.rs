//! How many people or machines are taken at a time, and the rule of the road between two floors.
//!
//! With one floor a crew is enough when no more are asked for at once than there are. With two, a person who
//! leaves one floor is on the other a hop later. Work spans form a partial order, "can be done by the same
//! person after": the least number of persons that do them all is the size of the largest set of spans of
//! which no two can [@dilworth-1950]. On a line of time with two places such a set lies over an instant `a` of
//! one floor and an instant `b` of the other with `|a − b| ≤ hop`. So the crew is enough exactly when
//! `load₁(a) + load₂(b)` never exceeds it for any such pair: for every offset between −hop and hop, one
//! plain limit on the sum of two profiles.

use super::day::{Day, Fixed};
use super::problem::Problem;

/// A choice for every task: start and way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    pub start: i32,
    pub way: usize,
}

/// Something of which there are so many, that takes a hop from floor to floor.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Supply {
    pub capacity: i32,
    pub hop: i32,
    pub fixed: Vec<Fixed>,
    /// The fleet; absent for people.
    pub fleet: Option<usize>,
}

/// The people, then each fleet.
pub(super) fn supplies(day: &Day, problem: &Problem) -> Vec<Supply> {
    let people = Supply { capacity: day.people, hop: day.travel, fixed: day.busy.clone(), fleet: None };
    let fleets = day.fleets.iter().enumerate().map(|(index, fleet)| Supply {
        capacity: fleet.machines.len() as i32,
        hop: fleet.hop,
        fixed: day.standing(problem, index),
        fleet: Some(index),
    });
    std::iter::once(people).chain(fleets).collect()
}

/// How many of a supply a way takes.
pub(super) fn taken(supply: &Supply, way: &super::day::GridWay) -> i32 {
    match supply.fleet {
        None => way.people,
        Some(fleet) => i32::from(way.fleet == Some(fleet)),
    }
}

/// What a schedule takes of a supply, what is fixed included.
pub(super) fn spans(day: &Day, supply: &Supply, slots: &[Slot]) -> Vec<Fixed> {
    let mut spans = supply.fixed.clone();
    for (task, slot) in day.tasks.iter().zip(slots) {
        let way = task.ways[slot.way];
        let count = taken(supply, &way);
        if count > 0 {
            spans.push(Fixed { floor: task.floor, start: slot.start, end: slot.start + way.minutes, count });
        }
    }
    spans
}

/// The number taken at every minute of each floor.
pub(super) fn profiles(spans: &[Fixed], horizon: i32) -> [Vec<i32>; 2] {
    let mut loads = [vec![0; horizon as usize + 1], vec![0; horizon as usize + 1]];
    for span in spans {
        for minute in span.start.max(0)..span.end.min(horizon + 1) {
            loads[span.floor.min(1)][minute as usize] += span.count;
        }
    }
    loads
}

/// The smallest offset, by size, at which the two floors together ask for more than there is.
///
/// Those who have gone home, each from a minute on, are gone for both instants of a pair.
pub(super) fn overload(spans: &[Fixed], gone: &[i32], supply: &Supply, horizon: i32) -> Option<i32> {
    let loads = profiles(spans, horizon);
    let over = |offset: i32| {
        (0..=horizon).any(|a| {
            let b = a + offset;
            let there = if (0..=horizon).contains(&b) { loads[1][b as usize] } else { 0 };
            let (here, home) =
                (loads[0][a as usize], |by: i32| gone.iter().filter(|from| **from <= by).count());
            let alone = here + home(a) as i32;
            let both = if there > 0 { here + there + home(a.min(b)) as i32 } else { 0 };
            alone.max(both) > supply.capacity
        }) || (offset == 0 && loads[1].iter().any(|load| *load > supply.capacity))
    };
    (0..=supply.hop).flat_map(|size| [size, -size]).find(|offset| over(*offset))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(floor: usize, start: i32, end: i32) -> Fixed {
        Fixed { floor, start, end, count: 1 }
    }

    #[test]
    fn one_person_needs_the_whole_hop_between_two_floors() {
        let one = Supply { capacity: 1, hop: 25, fixed: Vec::new(), fleet: None };
        // Out of floor 0 at 60, on floor 1 at 85: just in time. A minute less is too late.
        assert_eq!(overload(&[span(0, 0, 60), span(1, 85, 100)], &[], &one, 200), None);
        assert_eq!(overload(&[span(0, 0, 60), span(1, 84, 100)], &[], &one, 200), Some(25));
        assert_eq!(overload(&[span(1, 0, 60), span(0, 84, 100)], &[], &one, 200), Some(-25));
        assert_eq!(overload(&[span(0, 0, 60), span(0, 60, 100)], &[], &one, 200), None);
        assert_eq!(overload(&[span(0, 0, 60), span(0, 59, 100)], &[], &one, 200), Some(0));
    }
}
