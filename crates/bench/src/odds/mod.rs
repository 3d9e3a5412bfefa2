//! Calibration and cost of the order on simulated floors with known truth.

mod floor;
mod judge;
mod page;
mod policy;

use basis::{Estimate, Origin, Volume};
use pour::chance::standard_normal;
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;

use crate::row::Row;
use floor::{Spots, World};
use judge::Judge;
use policy::{Terms, cuts, flat_order, judged_volume, last_load_call, our_order, truth};

/// Odds at which calibration is looked at.
const STATED: [f64; 5] = [0.05, 0.10, 0.20, 0.30, 0.50];

/// Rows of floors by how many trucks the order takes: one, two, three, four and more.
const TRUCKS: usize = 4;

const AS_ASSUMED: World = World {
    name: "as assumed",
    spectrum: 3,
    allowance: (0.04, 0.02),
    history: 0,
    asked: 0,
    rod_factor: 1.0,
    spots: Spots::Anywhere,
};

const WORLDS: [World; 7] = [
    AS_ASSUMED,
    World { name: "a crew with ten pours of its own measured", history: 10, ..AS_ASSUMED },
    World { name: "three further shots where the tool asks for them", asked: 3, ..AS_ASSUMED },
    World {
        name: "ten pours of its own, and three further shots where the tool asks",
        history: 10,
        asked: 3,
        ..AS_ASSUMED
    },
    World { name: "shots on an even grid", spots: Spots::Grid, ..AS_ASSUMED },
    World { name: "misjudged: allowance 5.5 ± 2.5 % in truth", allowance: (0.055, 0.025), ..AS_ASSUMED },
    World {
        name: "misjudged: rougher base, rod error half as large again",
        spectrum: 1,
        rod_factor: 1.5,
        ..AS_ASSUMED
    },
];

/// Flat shares among which the best is sought with hindsight: -5 to 25 % in quarters of a per cent.
fn shares() -> Vec<f64> {
    (0..=120).map(|i| -0.05 + 0.0025 * f64::from(i)).collect()
}

/// Sums over floors of one number of trucks.
#[derive(Default, Clone, Copy)]
struct Group {
    floors: u32,
    plain: f64,
    ours: f64,
    called: f64,
    perfect: f64,
    spread: f64,
    called_spread: f64,
}

/// What one world came to: sums over its floors.
struct Tally {
    floors: u32,
    need: f64,
    spread: f64,
    /// Floors that took more than the quantity stated to be short with each of the odds.
    over: [u32; STATED.len()],
    /// The same for calls, of `calls`.
    called_over: [u32; STATED.len()],
    calls: u32,
    flat: Vec<f64>,
    /// Cost with the volume inside the forms known exactly, allowance and loss as doubtful as ever.
    exact: f64,
    /// Squares of the difference between the plain rule and ours, for its standard error.
    difference: [f64; 2],
    groups: [Group; TRUCKS],
}

/// Floors a world, and the seed of all worlds.
const FLOORS: u32 = 2_000;
const SEED: u64 = 20_261_125;

/// Prints each world's page and gives the rows that have bars, those of the first world.
pub fn rows() -> Vec<Row> {
    let terms = Terms::example();
    print!("{}", page::head(FLOORS, SEED));
    let mut rows = Vec::new();
    for (i, world) in WORLDS.iter().enumerate() {
        let tally = simulate(world, FLOORS, SEED, &terms);
        print!("{}", page::world(world, &tally));
        if i == 0 {
            rows = page::rows(&tally);
        }
    }
    println!("\nOther terms, as assumed otherwise");
    for (name, fee, disposal) in [
        ("short load at 300 USD: the account's truck at the price of this mix", 300, 40),
        ("nothing paid to be rid of the rest", 110, 0),
        ("100 USD a yard to be rid of the rest", 110, 100),
    ] {
        let tally = simulate(&AS_ASSUMED, FLOORS, SEED, &Terms::with(fee, disposal));
        print!("{}", page::short(name, &tally));
    }
    println!();
    rows
}

fn simulate(world: &World, floors: u32, seed: u64, terms: &Terms) -> Tally {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    let mut tally = Tally {
        floors,
        need: 0.0,
        spread: 0.0,
        over: [0; STATED.len()],
        called_over: [0; STATED.len()],
        calls: 0,
        flat: vec![0.0; shares().len()],
        exact: 0.0,
        difference: [0.0; 2],
        groups: [Group::default(); TRUCKS],
    };
    for _ in 0..floors {
        one_floor(world, terms, &mut tally, &mut rng);
    }
    tally
}

fn one_floor(world: &World, terms: &Terms, tally: &mut Tally, rng: &mut ChaCha12Rng) {
    let floor = floor::draw(world, rng);
    let shots = floor.shoot(world, rng);
    let truth = truth(&floor, world, rng);
    let mut judge = Judge::fit(&floor, &shots);
    if world.asked > 0 {
        let more = floor.shoot_again(&shots, &judge.asked(shots.rod, world.asked), world, rng);
        judge = Judge::fit(&floor, &more);
    }
    let order = our_order(judged_volume(&judge, &floor), &cuts(&judge, &floor), &truth, terms);
    // Tickets err one by one; over several loads the errors even out.
    let ticket =
        pour::defaults::TICKET_DOUBT / (order.loads.len().max(1) as f64).sqrt() * standard_normal(rng);
    let need = truth.need() * (1.0 + ticket);
    let law = order.need.law();
    count(&mut tally.over, law.above(need));
    tally.need += need;
    tally.spread += law.sd / law.mean;
    let trips = terms.least_trips(truth.need());
    let placed_once = |ordered: f64| terms.beyond_split(ordered) - trips + terms.wrong(ordered, need);
    for (sum, share) in tally.flat.iter_mut().zip(shares()) {
        *sum += placed_once(flat_order(&shots, &floor, share, &terms.grid));
    }
    let known = Estimate::new(Volume::cubic_metres(truth.forms), Volume::ZERO, Origin::Measured);
    let exact = our_order(known, &[], &truth, terms).recommended.quantity.in_cubic_metres();
    tally.exact += placed_once(exact);
    let ours = placed_once(order.recommended.quantity.in_cubic_metres());
    let plain = placed_once(flat_order(&shots, &floor, 0.10, &terms.grid));
    tally.difference[0] += plain - ours;
    tally.difference[1] += (plain - ours).powi(2);
    let called = last_load_call(&order, &judge, &floor, &truth, terms, rng);
    if let Some(called) = &called {
        tally.calls += 1;
        count(&mut tally.called_over, called.rank);
    }
    let group = &mut tally.groups[(order.loads.len().max(1) - 1).min(TRUCKS - 1)];
    group.floors += 1;
    group.plain += plain;
    group.ours += ours;
    group.called += called.as_ref().map_or(ours, |called| called.cost);
    group.perfect += called.as_ref().map_or(ours, |called| called.perfect);
    group.spread += law.sd;
    group.called_spread += called.as_ref().map_or(law.sd, |called| called.spread);
}

/// Counts a floor whose need had the chance `above` of being exceeded: short of a quantity stated with larger odds.
fn count(over: &mut [u32; STATED.len()], above: f64) {
    for (over, stated) in over.iter_mut().zip(STATED) {
        *over += u32::from(above < stated);
    }
}
