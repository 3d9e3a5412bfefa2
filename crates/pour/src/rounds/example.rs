//! Days of finishing made from a seed, for tests, comparisons and measurements.

use basis::{Area, Length, TimeSpan};
use rand::{Rng, RngExt};

use super::problem::{BayRounds, Busy, Hands, Machine, Problem, Round, RoundKind, Tool, Way, Window};
use super::rates::{Rates, default_rates, ways};

/// What a made-up day has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Bays of all floors together.
    pub bays: usize,
    /// Rounds of each bay, 3 or more: bull float, edges, float, trowels.
    pub rounds: u32,
    /// People.
    pub people: u32,
    /// Machines.
    pub machines: usize,
    /// Floors, one or two.
    pub floors: usize,
    /// Length of the windows against the usual one.
    pub ease: f64,
    /// Most people who may trowel a bay by hand together; 0: machines only.
    pub by_hand: u32,
}

/// A day: bays of 60 to 220 ft² placed one after another, all but one of the crew placing until the last is struck off.
///
/// Times are such as 70 °F brings (common practice, no source): edges from 2 h, float from 2 3/4 h, a trowelling every 35 min.
#[must_use]
pub fn example_day(size: &Size, rng: &mut impl Rng) -> Problem {
    let mut rates = default_rates("36 in");
    rates.by_hand = (size.by_hand > 0)
        .then_some(super::Coverage { area: Area::square_feet(200.0), per: TimeSpan::hours(1.0) });
    rates.together = size.by_hand;
    let (mut bays, mut busy, mut at) = (Vec::new(), Vec::new(), 0.0);
    for floor in 0..size.floors {
        let start = at;
        for number in 0..size.bays / size.floors {
            let area: f64 = rng.random_range(60.0..220.0);
            at += (area * 0.05).max(6.0).round();
            let pace = rng.random_range(0.9..1.1);
            let rounds =
                (0..size.rounds).map(|round| one_round(round, area, at, pace, size.ease, &rates)).collect();
            bays.push(BayRounds { name: format!("{}-{}", floor + 1, number + 1), floor, rounds });
        }
        if size.people > 1 {
            let (from, until) = (TimeSpan::minutes(start), TimeSpan::minutes(at));
            busy.push(Busy { floor, people: size.people - 1, from, until });
        }
        at += 60.0;
    }
    let machine = |index: usize| Machine {
        name: format!("machine {}", index + 1),
        kind: "36 in".to_owned(),
        floor: 0,
        moving: TimeSpan::minutes(15.0),
    };
    Problem {
        floors: (0..size.floors).map(|floor| format!("floor {}", floor + 1)).collect(),
        travel: TimeSpan::minutes(25.0),
        bays,
        crew: Hands { people: size.people, busy },
        machines: (0..size.machines).map(machine).collect(),
    }
}

fn one_round(round: u32, area: f64, placed: f64, pace: f64, ease: f64, rates: &Rates) -> Round {
    let (kind, from, length) = match round {
        0 => (RoundKind::BullFloat, 0.0, 40.0),
        1 => (RoundKind::Edges, 120.0, 90.0),
        2 => (RoundKind::Float, 165.0, 90.0),
        n => (RoundKind::Trowel(n - 2), 210.0 + 35.0 * f64::from(n - 3), 90.0),
    };
    let earliest = placed + from * pace;
    let edge = Length::feet(2.0 * area.sqrt());
    Round {
        kind,
        window: Window {
            earliest: TimeSpan::minutes(earliest),
            latest: TimeSpan::minutes(earliest + length * ease),
        },
        gap: TimeSpan::minutes(if round < 4 { 0.0 } else { 15.0 }),
        ways: ways(kind, Area::square_feet(area), edge, rates),
    }
}

/// A round done in one way, by hand or with a machine of this kind, by one person; for small days made by hand.
#[must_use]
pub fn simple_round(
    kind: RoundKind,
    machine: Option<&str>,
    minutes: f64,
    earliest: f64,
    latest: f64,
) -> Round {
    let tool = machine.map_or(Tool::Hands, |kind| Tool::Machine(kind.to_owned()));
    Round {
        kind,
        window: Window { earliest: TimeSpan::minutes(earliest), latest: TimeSpan::minutes(latest) },
        gap: TimeSpan::ZERO,
        ways: vec![Way { tool, people: 1, time: TimeSpan::minutes(minutes) }],
    }
}
