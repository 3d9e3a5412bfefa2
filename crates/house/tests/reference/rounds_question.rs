//! A day of rounds as a question to `tests/reference/rounds.py`; the bench asks the same.

use basis::TimeSpan;
use pour::rounds::{Problem, Tool};
use serde_json::{Value, json};

/// Whole minutes, as the planner lays its grid.
fn up(time: TimeSpan) -> i64 {
    (time.in_minutes() - 1e-6).ceil() as i64
}

fn down(time: TimeSpan) -> i64 {
    (time.in_minutes() + 1e-6).floor() as i64
}

/// The day for the other side, with the seconds that each of its searches may take; what is asked beside the end.
pub fn question(problem: &Problem, seconds: f64, beside: &str) -> Value {
    let way = |way: &pour::rounds::Way| {
        let kind = if let Tool::Machine(kind) = &way.tool { Some(kind) } else { None };
        json!({ "kind": kind, "people": way.people, "minutes": up(way.time).max(1) })
    };
    let round = |round: &pour::rounds::Round| {
        json!({
            "earliest": up(round.window.earliest), "latest": down(round.window.latest), "gap": up(round.gap),
            "ways": round.ways.iter().map(way).collect::<Vec<_>>(),
        })
    };
    let bays = problem
        .bays
        .iter()
        .map(|bay| json!({ "floor": bay.floor, "rounds": bay.rounds.iter().map(round).collect::<Vec<_>>() }));
    let busy = problem.crew.busy.iter().map(|busy| {
        json!({ "floor": busy.floor, "people": busy.people, "from": down(busy.from), "until": up(busy.until) })
    });
    let machines = problem
        .machines
        .iter()
        .map(|machine| json!({ "kind": machine.kind, "floor": machine.floor, "moving": up(machine.moving) }));
    json!({
        "seconds": seconds, "beside": beside,
        "horizon": 2_000, "people": problem.crew.people, "travel": up(problem.travel),
        "bays": bays.collect::<Vec<_>>(), "busy": busy.collect::<Vec<_>>(), "machines": machines.collect::<Vec<_>>(),
    })
}
