//! How often the plan of the rounds can be kept, when the windows come as drawn.

use basis::{Share, TimeSpan};
use clock::events::Events;
use jiff::Timestamp;

use super::since;
use super::windows::Posed;
use crate::forecast::Forecast;
use crate::rounds::{Assignment, RoundPlan};

/// A round may end this much after its window closes before the day counts as lost: an eye, not a clock, tells stiffness.
const GRACE: TimeSpan = TimeSpan::minutes(5.0);

/// Share of the draws in which all rounds, done in the order of the plan by the same people and machines, keep their
/// windows.
pub(super) fn of_keeping(
    posed: &Posed,
    plan: &RoundPlan,
    forecasts: &[&Forecast],
    start: Timestamp,
) -> Share {
    let draws = forecasts.iter().map(|forecast| forecast.count()).min().unwrap_or(0);
    let mut order: Vec<&Assignment> = plan.assignments.iter().collect();
    order.sort_by(|a, b| a.start.total_cmp(&b.start).then(a.bay.cmp(&b.bay)).then(a.round.cmp(&b.round)));
    let (mut kept, mut all) = (0.0, 0.0);
    for draw in 0..draws {
        let weight: f64 = forecasts.iter().map(|forecast| forecast.weight(draw)).product();
        all += weight;
        if keeps(posed, (&order, &plan.busy), forecasts, start, draw) {
            kept += weight;
        }
    }
    Share::ratio(if all > 0.0 { kept / all } else { 0.0 })
}

/// Whether one draw of the day can be kept.
fn keeps(
    posed: &Posed,
    (order, plan_busy): (&[&Assignment], &[Vec<u32>]),
    forecasts: &[&Forecast],
    start: Timestamp,
    draw: usize,
) -> bool {
    let problem = &posed.problem;
    let events: Vec<Events> =
        posed.stretches.iter().map(|s| forecasts[s.floor].events(s.bay, draw)).collect();
    let placed = |floor: usize| forecasts[floor].placed_on(draw) + since(start, forecasts[floor].first_truck);
    let mut people = vec![(TimeSpan::ZERO, None::<usize>); problem.crew.people as usize];
    let mut machines = vec![(TimeSpan::ZERO, None::<usize>); problem.machines.len()];
    let mut done = vec![TimeSpan::ZERO; problem.bays.len()];
    for assignment in order {
        let stretch = posed.stretches[assignment.bay];
        let floor = stretch.floor;
        let kind = posed.rounds[assignment.bay][assignment.round];
        let by = since(start, forecasts[floor].first_truck);
        let Some(window) = events[assignment.bay].window(kind) else { return false };
        let (Some(opens), Some(closes)) = (window.opens, window.closes) else { return false };
        let work = assignment.end - assignment.start;
        let placed_between = forecasts[floor].placed_between(stretch.bay, draw);
        let window = stretch.window(placed_between, opens, closes, work);
        let now = forecasts[floor].now.unwrap_or(window.earliest);
        let mut begin = (window.earliest.max(now) + by).max(done[assignment.bay]);
        let free = |(until, at): (TimeSpan, Option<usize>)| {
            if at.is_some_and(|at| at != floor) { until + problem.travel } else { until }
        };
        for &person in &assignment.people {
            begin = begin.max(free(people[person as usize]));
        }
        if let Some(machine) = assignment.machine {
            begin = begin.max(free(machines[machine]));
        }
        // Who is placing on the plan's day is placing on this day too, until its last bay is struck off.
        for (busy, placing) in problem.crew.busy.iter().zip(plan_busy) {
            let after = assignment.start >= busy.until;
            if after && assignment.people.iter().any(|person| placing.contains(person)) {
                begin = begin.max(placed(busy.floor));
            }
        }
        let end = begin + work;
        if end > window.latest + by + GRACE {
            return false;
        }
        done[assignment.bay] = end;
        for &person in &assignment.people {
            people[person as usize] = (end, Some(floor));
        }
        if let Some(machine) = assignment.machine {
            machines[machine] = (end, Some(floor));
        }
    }
    true
}
