//! Tests of order and hold chosen together.

use super::*;
use crate::chance::standard_normal;
use crate::order::{example_terms, expected_cost, grid};
use basis::UnitSystem;
use rand::SeedableRng;

fn yards(v: f64) -> f64 {
    Volume::cubic_yards(v).in_cubic_metres()
}

fn terms() -> (Grid, Charges) {
    let (plant, crew) = example_terms();
    let charges = crate::order::charges(&plant, &crew, UnitSystem::Us).expect("complete terms").0;
    (grid(&plant, 100.0, UnitSystem::Us).expect("a plain plant"), charges)
}

/// The least expected cost among the quantities that the table offers.
fn once(law: Normal, grid: &Grid, charges: &Charges) -> f64 {
    let most = grid.up(law.mean + 6.0 * law.sd).max(grid.limits.short_below);
    let least = grid.down(law.quantile(super::super::table::RANGE.0).max(0.0));
    (least..=most).map(|q| expected_cost(q, law, grid, charges)).fold(f64::INFINITY, f64::min)
}

fn foreseen(mean: f64, sd: f64, at_call: f64) -> Foreseen {
    Foreseen { rest: Normal { mean: yards(mean), sd: yards(sd) }, sd_at_call: yards(at_call) }
}

/// A call that learns nothing is the order placed once: the least of [`expected_cost`], to the 1e-5 beyond the reach.
#[test]
fn a_call_that_learns_nothing_costs_what_the_order_costs() {
    let (grid, charges) = terms();
    let called = Called::new(grid, &charges, 200);
    for (mean, sd) in [(1.3, 0.3), (5.4, 0.45), (6.2, 0.7), (9.8, 0.2), (14.0, 0.9)] {
        let at = foreseen(mean, sd, sd);
        let (ours, plain) = (called.expected(&at, 0.0), once(at.rest, &grid, &charges));
        assert!((ours - plain).abs() < 0.05, "{mean} {sd}: {ours} {plain}");
    }
}

/// A call that learns all leaves only the rounding to the increment: the least that each rest can cost, over 20,000 draws
/// of it within 4 standard errors (a cost spreads by some 100 dollars). The rest is half a node off a whole increment, so that the
/// nodes stand in the middle of their quarters; at a call that still has a doubt this does not matter.
#[test]
fn a_call_that_learns_all_leaves_the_increment_alone() {
    let (grid, charges) = terms();
    let called = Called::new(grid, &charges, 200);
    let at = foreseen(7.0 + 0.25 / 8.0, 0.6, 0.0);
    let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(5);
    let n = 20_000;
    let drawn = (0..n)
        .map(|_| {
            once(
                Normal { mean: at.rest.mean + at.rest.sd * standard_normal(&mut rng), sd: 0.0 },
                &grid,
                &charges,
            )
        })
        .sum::<f64>()
        / f64::from(n);
    let ours = called.expected(&at, 0.0);
    assert!((ours - drawn).abs() < 4.0 * 100.0 / f64::from(n).sqrt(), "{ours} {drawn}");
}

/// The sum over what the call finds against 4,000 draws of it, each with its cheapest call by [`expected_cost`]: within 4
/// standard errors (the cheapest call's cost spreads by about 60 dollars). A wait falls on every call that is not nothing.
#[test]
fn the_sum_over_what_the_call_finds_agrees_with_draws() {
    let (grid, mut charges) = terms();
    charges.waiting = 140.0;
    let called = Called::new(grid, &charges, 200);
    let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(6);
    for (mean, sd, at_call) in [(5.4, 0.7, 0.4), (2.0, 0.5, 0.2), (0.4, 0.5, 0.3)] {
        let at = foreseen(mean, sd, at_call);
        let found = at.mean_at_call();
        let late = Charges { late: 30.0, ..charges };
        let n = 4_000;
        let drawn = (0..n)
            .map(|_| {
                let mean = found.mean + found.sd * standard_normal(&mut rng);
                once(Normal { mean, sd: at.sd_at_call }, &grid, &late)
            })
            .sum::<f64>()
            / f64::from(n);
        let ours = called.expected(&at, 30.0);
        let spread = 160.0 * yards(sd) / yards(1.0) * 1.5 + 60.0;
        assert!((ours - drawn).abs() < 4.0 * spread / f64::from(n).sqrt(), "{mean}: {ours} {drawn}");
    }
}

/// Less doubt at the call never costs more: what is learned can be left unused (two cents for the nodes).
#[test]
fn less_doubt_at_the_call_never_costs_more() {
    let (grid, charges) = terms();
    let called = Called::new(grid, &charges, 200);
    for mean in [0.5, 3.0, 5.2, 7.7] {
        let costs: Vec<f64> =
            (0..=6).map(|i| called.expected(&foreseen(mean, 0.6, 0.1 * f64::from(i)), 0.0)).collect();
        assert!(costs.windows(2).all(|pair| pair[0] <= pair[1] + 0.02), "{mean}: {costs:?}");
    }
}

/// The newsvendor's closed form [@arrow-harris-marschak-1951]: with an increment that does not matter, no minimum, no fee and
/// a wait `w` as the only price of being short, a call left over costs price and disposal `c`, and the least expected cost
/// over the price of the rest is `c·(q − μ + σL(z)) + w·Φ(−z)` at `σφ(z)·w/σ² = c·Φ(z)`, worked here by a walk over `z`.
/// The increment of 0.02 yd³ leaves half of itself at `c`, 2 dollars.
#[test]
fn a_fine_increment_gives_the_newsvendors_cost() {
    let grid = Grid { increment: yards(0.02), limits: LoadLimits { truck: 500, short_below: 0 } };
    let per_yard = |units: f64| units / yards(1.0);
    let charges = Charges {
        price: per_yard(160.0),
        minimum: 0.0,
        short_below: 0.0,
        fee: 0.0,
        each_load: None,
        disposal: per_yard(40.0),
        waiting: 400.0,
        standby: 0.0,
        late: 0.0,
    };
    let (mean, sd) = (yards(5.0), yards(0.5));
    let law = Normal { mean, sd };
    let c = charges.price + charges.disposal;
    let closed = (-300..=400)
        .map(|i| {
            let q = mean + sd * f64::from(i) / 100.0;
            c * law.lack(q) + charges.waiting * law.above(q)
        })
        .fold(f64::INFINITY, f64::min);
    let called = Called::new(grid, &charges, 1_000);
    let at = Foreseen { rest: law, sd_at_call: sd };
    let ours = called.expected(&at, 0.0) - charges.price * mean;
    assert!((ours - closed).abs() < 2.0, "{ours} {closed}");
}
