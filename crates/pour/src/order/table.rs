//! Odds and expected cost of every quantity that can be ordered.

use basis::{Money, Volume};

use super::charges::Charges;
use super::grid::Grid;
use crate::chance::Normal;

/// Odds of the smallest and the largest quantity in a table: short 99 times in 100, and 1 time in 200.
pub(super) const RANGE: (f64, f64) = (0.01, 0.995);

/// Most rows that a person is shown.
const MOST_ROWS: u32 = 400;

/// Most sizes of further truck that are summed one by one.
const MOST_FURTHER: u32 = 400;

/// One quantity with what may come of ordering it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OrderRow {
    /// What is ordered.
    pub quantity: Volume,
    /// Chance that it does not fill the floor.
    pub chance_short: f64,
    /// Expected lack, counting what is left over as nothing.
    pub expected_short: Volume,
    /// Expected left-over, counting what is lacking as nothing.
    pub expected_left: Volume,
    /// Expected cost of delivery, of a further truck when short and of disposal, when the plant's terms are known.
    pub cost: Option<Money>,
}

/// Rows for all quantities across the relevant range, and the place of the recommended one.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// The rows, quantities rising.
    pub rows: Vec<OrderRow>,
    /// Index of the recommended row.
    pub recommended: usize,
}

/// Odds and cost of one quantity against a need.
#[must_use]
pub fn row(steps: u32, need: Normal, grid: &Grid, charges: Option<&Charges>) -> OrderRow {
    let q = grid.volume(steps);
    OrderRow {
        quantity: grid.quantity(steps),
        chance_short: need.above(q),
        expected_short: Volume::cubic_metres(need.excess(q)),
        expected_left: Volume::cubic_metres(need.lack(q)),
        cost: charges.map(|charges| money(expected_cost(steps, need, grid, charges))),
    }
}

/// Expected cost of ordering `steps` increments, in units of the currency.
///
/// Delivery of the order with the wait for it if it comes late, disposal of what is left over, and, with the chance of each, a further truck that brings the
/// lack rounded up to the increment: its delivery, the waiting crew, disposal of its own rest. The sum runs over every
/// size of further truck, so it is exact for a normal need; over 400 sizes it takes several at a time, by their middle.
#[must_use]
pub fn expected_cost(steps: u32, need: Normal, grid: &Grid, charges: &Charges) -> f64 {
    let q = grid.volume(steps);
    let mut cost = charges.order(steps, grid) + charges.disposal * need.lack(q);
    if steps > 0 {
        cost += charges.late;
    }
    let most = grid.up(need.mean + 8.0 * need.sd - q);
    let (mut brought, mut done) = (0.0, 0);
    let stride = most.div_ceil(MOST_FURTHER).max(1);
    while done < most {
        let low = q + grid.volume(done);
        let chance = need.between(low, low + grid.volume(stride));
        let further = done + stride.div_ceil(2);
        cost += chance * (charges.order(further, grid) + charges.waiting);
        brought += chance * grid.volume(further);
        done += stride;
    }
    cost + charges.disposal * (brought - need.excess(q)).max(0.0)
}

/// The table for a need: the range of odds, widened to hold the recommended quantity.
///
/// Recommended is the least expected cost when charges are known, the least of several equal ones; otherwise the least
/// quantity whose chance of short is at most `odds`.
#[must_use]
pub fn table(need: Normal, grid: &Grid, charges: Option<&Charges>, odds: f64) -> Table {
    let low = grid.down(need.quantile(RANGE.0).max(0.0));
    let high = grid.up(need.quantile(RANGE.1).max(0.0)).max(low);
    let best = match charges {
        Some(charges) => cheapest(low, high, need, grid, charges),
        None => grid.up(need.quantile(1.0 - odds).max(0.0)),
    };
    let (low, high) = (low.min(best), high.max(best));
    let stride = (high - low).div_ceil(MOST_ROWS).max(1);
    let mut shown: Vec<u32> = (low..=high).step_by(stride as usize).collect();
    if let Err(place) = shown.binary_search(&best) {
        shown.insert(place, best);
    }
    let rows = shown.iter().map(|steps| row(*steps, need, grid, charges)).collect();
    Table { rows, recommended: shown.iter().position(|steps| *steps == best).unwrap_or(0) }
}

/// The cheapest quantity, looked for across the range and above it as far as any need goes.
fn cheapest(low: u32, high: u32, need: Normal, grid: &Grid, charges: &Charges) -> u32 {
    let top = high.max(grid.up((need.mean + 5.0 * need.sd).max(0.0)));
    // Cost is piecewise smooth; with a very fine increment neighbours do not differ, so a stride loses nothing.
    let stride = ((top - low) / 2_000).max(1);
    let mut best = (low, f64::INFINITY);
    for steps in (low..=top).step_by(stride as usize) {
        let cost = expected_cost(steps, need, grid, charges);
        if cost < best.1 - 1e-9 {
            best = (steps, cost);
        }
    }
    best.0
}

/// Units of a currency as money, to the nearest ten-thousandth.
fn money(units: f64) -> Money {
    Money::ten_thousandths((units * 10_000.0).round() as i64)
}
