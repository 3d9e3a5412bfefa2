//! Order and hold chosen together: the least expected cost when the last load is decided anew at the call.
//!
//! Two stages: now, the loads before the hold and when to measure; at the call, the balance. Method and sources:
//! `docs/methods/order.md`.

use basis::{Money, TimeSpan, Volume};

use super::charges::Charges;
use super::grid::Grid;
use super::hold::{Ahead, Hold, Measure, held_loads, hold_of, open_order};
use super::loads::LoadLimits;
use super::need::Need;
use crate::balance::{CallAhead, Foreseen, Regions, foresee};
use crate::chance::Normal;
use crate::defaults;

/// Nodes to an increment in the sums over what the call may find.
const NODES: i32 = 4;

/// How far the sums reach, in standard deviations: what lies beyond weighs less than 1e-5.
const REACH: f64 = 4.5;

/// Most increments that the doubt may span before several are taken as one.
const FINEST: f64 = 12.0;

/// Steps of the first, coarse walk over holds.
const COARSE: u32 = 12;

/// Shares of the lead time's concrete that may be at hand at the call: less at hand is more learned and a longer wait.
const AT_HAND: [f64; 5] = [1.0, 0.75, 0.5, 0.25, 0.0];

/// What is known when order and hold are chosen.
#[derive(Clone, Copy)]
pub struct Stages<'a> {
    /// What the floor will take.
    pub need: &'a Need,
    /// The floor on both sides of lines along the placing, in the order in which the placing reaches them.
    pub cuts: &'a [Regions],
    /// The plant's increments.
    pub grid: Grid,
    /// Its charges.
    pub charges: &'a Charges,
    /// The plant's lead time.
    pub lead: TimeSpan,
    /// What the crew places in that time, m³.
    pub at_hand: f64,
    /// Cost of the crew that waits, per second, and the longest wait that may be planned; absent: it must not wait.
    pub idle: Option<(f64, TimeSpan)>,
}

/// One way to hold: loads that come without asking, when to measure, and what comes of it.
#[derive(Debug, Clone)]
struct Way {
    loads: Vec<u32>,
    measure: Measure,
    wait: TimeSpan,
    foreseen: Foreseen,
    cost: f64,
}

/// Expected cost of what is called at last, for every quantity, with what a call costs as a table.
struct Called<'a> {
    grid: Grid,
    charges: &'a Charges,
    /// Delivery of so many increments.
    delivery: Vec<f64>,
}

impl Stages<'_> {
    /// The hold of least expected cost, if it costs less than the order placed once.
    ///
    /// `once` is the number of increments that would be ordered once. `None` as well when one truck brings the open order.
    #[must_use]
    pub fn hold(&self, once: u32) -> Option<Hold> {
        let law = self.need.law();
        let open = open_order(law, &self.grid);
        let (grid, many) = coarser(self.grid, law.sd);
        let truck = grid.limits.truck;
        let most = open.div_ceil(many);
        let trucks = most.div_ceil(truck);
        if trucks < 2 {
            return None;
        }
        let called = Called::new(grid, self.charges, most + grid.limits.short_below + truck);
        let high = grid.down(law.mean).min(most - 1);
        // Where it is not known what a further trip costs, no more are made than bring the open order.
        let high = if self.charges.each_load.is_some() { high } else { high.min((trucks - 1) * truck) };
        let low = most.saturating_sub(truck).max(1);
        let stride = (high.saturating_sub(low) / COARSE).max(1);
        let mut best: Option<(u32, Way)> = None;
        let mut seek = |from: u32, to: u32, stride: usize| {
            for held in (from..=to).step_by(stride) {
                for way in self.ways(held, &grid, &called) {
                    if best.as_ref().is_none_or(|(_, found)| way.cost < found.cost - 1e-6) {
                        best = Some((held, way));
                    }
                }
            }
            best.as_ref().map(|(held, _)| *held)
        };
        let near = seek(low, high, stride as usize)?;
        seek(near.saturating_sub(stride - 1).max(low), (near + stride - 1).min(high), 1);
        let (_, way) = best?;
        // Against the order placed once under the same doubts, those of the tickets included.
        let law = Normal { mean: law.mean, sd: way.foreseen.rest.sd };
        let plain = super::expected_cost(once, law, &self.grid, self.charges);
        (way.cost < plain - 0.5).then(|| self.told(&way, many, open, plain))
    }

    fn told(&self, way: &Way, many: u32, open: u32, plain: f64) -> Hold {
        let loads: Vec<u32> = way.loads.iter().map(|load| load * many).collect();
        let ahead = Ahead {
            cost: money(way.cost),
            saves: money(plain - way.cost),
            wait: way.wait,
            spread: [way.foreseen.rest.sd, way.foreseen.sd_at_call].map(Volume::cubic_metres),
        };
        hold_of(&loads, way.measure, open, self.need.law(), &self.grid, Some(ahead))
    }

    /// Every way to hold so many increments.
    fn ways(&self, held: u32, grid: &Grid, called: &Called<'_>) -> Vec<Way> {
        let mut shapes: Vec<Vec<u32>> = Vec::new();
        for share in AT_HAND {
            let loads = held_loads(held, grid, Some(share * self.at_hand));
            if !shapes.contains(&loads) {
                shapes.push(loads);
            }
        }
        let mut ways = Vec::new();
        for loads in shapes {
            for measure in self.measures(&loads, grid) {
                ways.extend(self.way(&loads, measure, grid, called));
            }
        }
        ways
    }

    /// When the line may be measured with these loads.
    fn measures(&self, loads: &[u32], grid: &Grid) -> Vec<Measure> {
        let last = grid.volume(loads.last().copied().unwrap_or(0));
        let mut all = Vec::new();
        if loads.len() > 1 {
            all.push(Measure::AtTruckChange);
        }
        let mut before = f64::INFINITY;
        for share in AT_HAND {
            let left = grid.volume(grid.up(share * self.at_hand));
            if left < last - 1e-9 && left < before {
                all.push(Measure::LeftInDrum(Volume::cubic_metres(left)));
                before = left;
            }
        }
        all
    }

    fn way(&self, loads: &[u32], measure: Measure, grid: &Grid, called: &Called<'_>) -> Option<Way> {
        let held: Vec<f64> = loads.iter().map(|load| grid.volume(*load)).collect();
        let left = match measure {
            Measure::AtTruckChange => (*held.last()?, 0.0),
            Measure::LeftInDrum(left) => {
                (left.in_cubic_metres(), defaults::DRUM_DOUBT * left.in_cubic_metres())
            }
        };
        let early = if self.at_hand > 0.0 { left.0 / self.at_hand } else { 1.0 };
        let wait = self.lead * (1.0 - early).max(0.0);
        let waiting = match self.idle {
            _ if wait.in_seconds() < 1.0 => 0.0,
            Some((rate, longest)) if wait <= longest => rate * wait.in_seconds(),
            _ => return None,
        };
        let foreseen = foresee(&CallAhead { need: self.need, cuts: self.cuts, held: &held, left })?;
        let delivered: f64 = held.iter().map(|load| self.charges.load(*load)).sum();
        let cost = delivered + called.expected(&foreseen, waiting);
        Some(Way { loads: loads.to_vec(), measure, wait, foreseen, cost })
    }
}

/// The grid for the search, and how many increments it takes as one.
fn coarser(grid: Grid, sd: f64) -> (Grid, u32) {
    let many = (sd / grid.increment / FINEST).ceil().max(1.0) as u32;
    let LoadLimits { truck, short_below } = grid.limits;
    let limits = LoadLimits { truck: (truck / many).max(1), short_below: short_below.div_ceil(many) };
    if truck < many { (grid, 1) } else { (Grid { increment: grid.volume(many), limits }, many) }
}

impl<'a> Called<'a> {
    fn new(grid: Grid, charges: &'a Charges, most: u32) -> Self {
        let delivery = (0..=most).map(|steps| charges.order(steps, &grid)).collect();
        Self { grid, charges, delivery }
    }

    fn delivery(&self, steps: u32) -> f64 {
        self.delivery.get(steps as usize).copied().unwrap_or_else(|| self.charges.order(steps, &self.grid))
    }

    /// Expected cost of the call and of all that follows, before it is known what the call will find.
    ///
    /// The sum over the expected rest at the call, normal about the rest as seen now, of the cheapest call then. `waiting`
    /// is the cost of the crew that waits for a called load.
    fn expected(&self, foreseen: &Foreseen, waiting: f64) -> f64 {
        let found = foreseen.mean_at_call();
        let node = self.grid.increment / f64::from(NODES);
        let reach = (REACH * found.sd / node).ceil() as i32;
        let after = After::new(self, foreseen, reach, node);
        (-reach..=reach)
            .map(|k| {
                let middle = found.mean + f64::from(k) * node;
                let low = if k == -reach { f64::NEG_INFINITY } else { middle - 0.5 * node };
                let high = if k == reach { f64::INFINITY } else { middle + 0.5 * node };
                found.between(low, high) * self.cheapest(&after, k, waiting)
            })
            .sum()
    }

    /// The cheapest call when the expected rest is found at node `k`.
    fn cheapest(&self, after: &After, k: i32, waiting: f64) -> f64 {
        let calling = |steps: u32| if steps > 0 { waiting } else { 0.0 };
        (after.least(k, &self.grid)..=after.most)
            .map(|steps| self.delivery(steps) + calling(steps) + after.of(steps, k))
            .fold(f64::INFINITY, f64::min)
    }
}

/// Expected cost after the call, for every distance of a call from the rest that is expected then: disposal, and further
/// trucks with their wait.
struct After {
    /// Costs by distance, a node apart.
    costs: Vec<f64>,
    /// Node of the first.
    first: i32,
    /// Most increments that may be called.
    most: u32,
    /// The least quantity that the table of a call offers when the rest is found as it is expected, m³.
    offered: f64,
    /// Distance of two nodes, m³.
    node: f64,
}

impl After {
    fn new(called: &Called<'_>, foreseen: &Foreseen, reach: i32, node: f64) -> Self {
        let law = Normal { mean: foreseen.rest.mean, sd: foreseen.sd_at_call };
        let top = law.mean + f64::from(reach) * node + REACH * law.sd;
        let most = called.grid.up(top.max(0.0)).max(called.grid.limits.short_below);
        let (first, last) = (-reach, most as i32 * NODES + reach);
        // What is beyond so many increments over a quantity is past every doubt.
        let lacks = (called.grid.up(REACH * law.sd) + 1).max(1);
        let above: Vec<f64> = (first..=last).map(|i| law.above(f64::from(i) * node)).collect();
        let costs = (first..=last)
            .map(|i| {
                let q = f64::from(i) * node;
                Self::cost(called, law, q, lacks, &|b| {
                    let place = (i - first) as usize + b * NODES as usize;
                    above
                        .get(place)
                        .copied()
                        .unwrap_or_else(|| law.above(q + b as f64 * called.grid.increment))
                })
            })
            .collect();
        Self { costs, first, most, offered: law.quantile(super::table::RANGE.0), node }
    }

    /// The least call when the expected rest is found at node `k`. A call that is surely short would have the further truck
    /// bring the rest as if it were known exactly then.
    fn least(&self, k: i32, grid: &Grid) -> u32 {
        grid.down((self.offered + f64::from(k) * self.node).max(0.0)).min(self.most)
    }

    /// Expected cost after `q` m³ against this law: [`super::expected_cost`] without the delivery of `q`.
    fn cost(called: &Called<'_>, law: Normal, q: f64, lacks: u32, above: &dyn Fn(usize) -> f64) -> f64 {
        let charges = called.charges;
        // A lack of whole increments takes that many and no more: the sum starts one before.
        let start = called.grid.down((law.mean - REACH * law.sd - q).max(0.0)).saturating_sub(1);
        let (mut cost, mut brought) = (charges.disposal * law.lack(q), 0.0);
        let mut over = above(start as usize);
        for b in start + 1..=start + 2 * lacks + 1 {
            if over <= 0.0 {
                break;
            }
            let next = above(b as usize);
            cost += (over - next) * (called.delivery(b) + charges.waiting);
            brought += (over - next) * called.grid.volume(b);
            over = next;
        }
        cost + charges.disposal * (brought - law.excess(q)).max(0.0)
    }

    /// After `steps` increments against a rest that is found `k` nodes over the one seen now.
    fn of(&self, steps: u32, k: i32) -> f64 {
        let place = (steps as i32 * NODES - k - self.first).max(0) as usize;
        self.costs.get(place).copied().unwrap_or(f64::INFINITY)
    }
}

/// Units of a currency as money, to the nearest ten-thousandth.
fn money(units: f64) -> Money {
    Money::ten_thousandths((units * 10_000.0).round() as i64)
}

#[cfg(test)]
#[path = "stages_tests.rs"]
mod tests;
