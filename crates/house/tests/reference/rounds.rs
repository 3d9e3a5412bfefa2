//! Finishing rounds against OR-tools' CP-SAT, with a model of its own in which every person and machine is named.

use basis::TimeSpan;
use house::python;
use pour::rounds::{Answer, Budget, Problem, Proof, Size, Tool, example_day, plan_rounds};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;
use serde_json::{Value, json};

/// Whole minutes, as the planner lays its grid.
fn up(time: TimeSpan) -> i64 {
    (time.in_minutes() - 1e-6).ceil() as i64
}

fn down(time: TimeSpan) -> i64 {
    (time.in_minutes() + 1e-6).floor() as i64
}

fn question(problem: &Problem) -> Value {
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
        "horizon": 2_000, "people": problem.crew.people, "travel": up(problem.travel), "seconds": 20.0,
        "bays": bays.collect::<Vec<_>>(), "busy": busy.collect::<Vec<_>>(), "machines": machines.collect::<Vec<_>>(),
    })
}

/// Small enough that both sides prove their answer, tight enough that about one day in six has no plan.
fn days() -> Vec<Problem> {
    let size = |seed: u64| Size {
        bays: 4 + 2 * (seed % 2) as usize,
        rounds: 4 + (seed / 3 % 2) as u32,
        people: 2 + (seed / 5 % 2) as u32,
        machines: 1 + (seed / 5 % 2) as usize,
        floors: 1 + (seed / 2 % 2) as usize,
        ease: [0.18, 0.3, 0.8][(seed / 4 % 3) as usize],
        by_hand: (seed / 7 % 3) as u32,
    };
    (0..36).map(|seed| example_day(&size(seed), &mut ChaCha12Rng::seed_from_u64(500 + seed))).collect()
}

#[test]
fn verdict_end_and_time_on_site_agree_with_cp_sat() {
    let days = days();
    let answers = python::ask("rounds", &days.iter().map(question).collect());
    let (mut ends, mut sites, mut refused) = (0, 0, 0);
    for (seed, (problem, theirs)) in
        days.iter().zip(answers.as_array().expect("one answer a day")).enumerate()
    {
        let budget = Budget { steps: 20_000, people_steps: 4_000 };
        match plan_rounds(problem, &[], budget).value.expect("a sound day") {
            // The grid is whole minutes on both sides: equal, not near.
            Answer::Plan(plan) => {
                let end = plan.end.in_minutes().round() as i64;
                let their_end = theirs["end"].as_i64().unwrap_or_else(|| panic!("day {seed}: {theirs}"));
                assert!(end >= their_end, "day {seed}: {end}, {theirs}");
                if plan.proof == Proof::Proven {
                    assert_eq!(end, their_end, "day {seed}");
                    ends += 1;
                    if let Some(site) = theirs["site"].as_i64() {
                        let ours = plan.people_time.in_minutes().round() as i64;
                        assert!(ours >= site, "day {seed}: {ours}, {theirs}");
                        if plan.people_proof == Proof::Proven {
                            assert_eq!(ours, site, "day {seed}: time on site");
                            sites += 1;
                        }
                    }
                }
            }
            Answer::Refused(_) => {
                assert!(theirs["end"].is_null(), "day {seed}: refused, {theirs}");
                refused += 1;
            }
            Answer::Undecided { .. } => {}
        }
    }
    // Nearly all must be decided, or nothing was compared.
    assert!(ends + refused >= 34 && ends >= 15 && refused >= 4 && sites >= 10, "{ends} {refused} {sites}");
}
