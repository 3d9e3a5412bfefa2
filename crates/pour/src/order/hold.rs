//! The hold: order the most that may be needed, and stop where it is time to measure again.

use basis::Volume;

use super::grid::Grid;
use super::loads::split;
use crate::chance::Normal;

/// Chance that even the open order does not fill the floor.
const OPEN_SHORT: f64 = 0.01;

/// Most acceptable chance that what comes before the hold is already too much.
const HELD_TOO_MUCH: f64 = 0.10;

/// An open order with a hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// Order this as the most that may be needed: it is short 1 time in 100.
    pub open_order: Volume,
    /// Let this much come without asking; then stop, measure and call the balance.
    pub hold: Volume,
    /// The loads up to the hold.
    pub loads: Vec<Volume>,
    /// Chance that what comes before the hold is too much; at most one in ten.
    pub chance_too_much: f64,
    /// Smallest and largest balance to expect, with 9 chances in 10 and 99 in 100 of not passing them.
    pub balance: (Volume, Volume),
}

/// The open order and its hold; `None` when one truck brings all, or when no hold leaves a load to call.
///
/// The open order is the least quantity that is short at most 1 time in 100; it takes `n` trucks. The hold is the largest
/// sum of the first `n − 1` loads such that it is too much at most 1 time in 10, the last truck can bring the rest of the
/// open order, and the last load is, 9 times in 10, not a short one. The last wish yields first.
/// Suppliers' guidelines describe ordering this way (hold quantity; a supplier's published terms); the odds are our choice.
#[must_use]
pub fn hold(need: Normal, grid: &Grid) -> Option<Hold> {
    let truck = grid.limits.truck;
    let open = grid.up(need.quantile(1.0 - OPEN_SHORT).max(0.0));
    let trucks = open.div_ceil(truck);
    if trucks < 2 {
        return None;
    }
    let sure = grid.down(need.quantile(HELD_TOO_MUCH).max(0.0));
    let unshort = sure.saturating_sub(grid.limits.short_below);
    let held = unshort.min((trucks - 1) * truck).max(open - truck);
    if held > sure || held == 0 {
        return None;
    }
    let loads = split(held, grid.limits);
    let quantity = |steps: u32| grid.quantity(steps);
    Some(Hold {
        open_order: quantity(open),
        hold: quantity(held),
        loads: loads.evened.unwrap_or(loads.full_first).into_iter().map(quantity).collect(),
        chance_too_much: 1.0 - need.above(grid.volume(held)),
        balance: (quantity(sure - held), quantity(open - held)),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::order::LoadLimits;

    const QUARTERS: Grid = Grid { increment: 0.25, limits: LoadLimits { truck: 40, short_below: 16 } };

    fn held(mean: f64, sd: f64) -> Option<(f64, f64, usize)> {
        hold(Normal { mean, sd }, &QUARTERS)
            .map(|h| (h.open_order.in_cubic_metres(), h.hold.in_cubic_metres(), h.loads.len()))
    }

    /// By hand: 16 ± 0.6 is under 17.40 with 99 %, so 17.50 open; 10 % lie under 15.23; one full truck of 10 leaves 5.25.
    #[test]
    fn a_full_first_truck_where_the_balance_is_large() {
        assert_eq!(held(16.0, 0.6), Some((17.5, 10.0, 1)));
    }

    /// 10.5 ± 0.4: open 11.50, 10 % under 9.99, so the hold is 9.75 − 4 = 5.75 and the balance is not a short load.
    #[test]
    fn an_earlier_hold_where_the_balance_would_be_short() {
        assert_eq!(held(10.5, 0.4), Some((11.5, 5.75, 1)));
    }

    #[test]
    fn one_truck_needs_no_hold() {
        assert_eq!(held(8.0, 0.4), None);
    }

    #[test]
    fn the_hold_is_seldom_too_much() {
        for mean in [10.2, 13.0, 19.9, 27.3, 44.0] {
            if let Some(hold) = hold(Normal { mean, sd: 0.04 * mean }, &QUARTERS) {
                assert!(hold.chance_too_much <= 0.1, "{mean}: {}", hold.chance_too_much);
                let last = hold.open_order - hold.hold;
                assert!(last.in_cubic_metres() <= 10.0 + 1e-9, "{mean}: last {last:?}");
            }
        }
    }
}
