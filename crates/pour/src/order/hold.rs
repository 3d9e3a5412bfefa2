//! The hold: order the most that may be needed, and stop where it is time to measure again.

use basis::quantity::{money, volume};
use basis::{Currency, Money, TimeSpan, UnitSystem, Volume};

use super::grid::Grid;
use super::loads::{LoadLimits, split};
use crate::chance::Normal;

/// Chance that even the open order does not fill the floor.
const OPEN_SHORT: f64 = 0.01;

/// Most acceptable chance that what comes before the hold is already too much.
const HELD_TOO_MUCH: f64 = 0.10;

/// When to stop and measure before the balance is called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// When the last load before the hold stands unopened and the one before it is empty: no drum must be guessed at.
    AtTruckChange,
    /// When so much is left in the drum of the last load before the hold.
    LeftInDrum(Volume),
}

/// An open order with a hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// Order this as the most that may be needed: it is short 1 time in 100.
    pub open_order: Volume,
    /// Let this much come without asking; then stop, measure and call the balance.
    pub hold: Volume,
    /// The loads up to the hold.
    pub loads: Vec<Volume>,
    /// When to measure.
    pub measure: Measure,
    /// Chance that what comes before the hold is too much; at most one in ten.
    pub chance_too_much: f64,
    /// Smallest and largest balance to expect, with 9 chances in 10 and 99 in 100 of not passing them.
    pub balance: (Volume, Volume),
    /// What the call is worth, when order and hold were chosen together by their cost; absent when the odds chose the hold.
    pub ahead: Option<Ahead>,
}

/// What a hold with its call is expected to come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ahead {
    /// Expected cost of all loads, of the call and of what follows.
    pub cost: Money,
    /// What that is under the cost of the recommended order placed once.
    pub saves: Money,
    /// How long the crew waits for a called load; nothing when the call is in time.
    pub wait: TimeSpan,
    /// Spread of what is still needed, one standard deviation: as seen now, and as seen at the call.
    pub spread: [Volume; 2],
}

impl Ahead {
    /// What the hold is worth, and the wait that it asks for, in a sentence.
    #[must_use]
    pub fn told(&self, currency: Currency, units: UnitSystem) -> String {
        let [now, then] = self.spread.map(|spread| volume(spread, units));
        let waits = match self.wait.in_minutes() {
            minutes if minutes < 1.0 => "called then, the last truck comes in time".to_owned(),
            minutes => format!("the crew then waits about {minutes:.0} min for the last truck"),
        };
        format!(
            "The hold saves {} on average over ordering once: the doubt of what is still needed goes from {now} to {then} by \
             the call; {waits}.",
            money(self.saves, currency)
        )
    }
}

/// The least order that is short at most 1 time in 100, in increments.
pub(super) fn open_order(need: Normal, grid: &Grid) -> u32 {
    grid.up(need.quantile(1.0 - OPEN_SHORT).max(0.0))
}

/// The open order and its hold by the odds alone; `None` when one truck brings all, or when no hold leaves a load to call.
///
/// The open order is the least quantity that is short at most 1 time in 100; it takes `n` trucks. The hold is the largest
/// sum of the first `n − 1` loads such that it is too much at most 1 time in 10, the last truck can bring the rest of the
/// open order, and the last load is, 9 times in 10, not a short one. The last wish yields first.
/// Suppliers' guidelines describe ordering this way (hold quantity; a supplier's published terms); the odds are our choice.
///
/// `at_hand` is what the crew places during the plant's lead time, m³; absent when that is not known. The last load
/// before the hold is made that large, if it takes no further truck: the call made when it stands unopened then comes
/// neither too early to have learned, nor so late that the crew waits. Without it half of that load is taken, as in the
/// advice to measure when the last full truck is half out [@nrmca-cip-8].
#[must_use]
pub fn hold(need: Normal, grid: &Grid, at_hand: Option<f64>) -> Option<Hold> {
    let truck = grid.limits.truck;
    let open = open_order(need, grid);
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
    let loads = held_loads(held, grid, at_hand);
    let last = loads.last().copied().unwrap_or(held);
    let in_drum = at_hand.map_or(grid.volume(last) / 2.0, |at_hand| at_hand.min(grid.volume(last)));
    let measure = if loads.len() > 1 {
        Measure::AtTruckChange
    } else {
        Measure::LeftInDrum(Volume::cubic_metres(in_drum))
    };
    Some(hold_of(&loads, measure, open, need, grid, None))
}

/// A hold from its loads.
pub(super) fn hold_of(
    loads: &[u32],
    measure: Measure,
    open: u32,
    need: Normal,
    grid: &Grid,
    ahead: Option<Ahead>,
) -> Hold {
    let held: u32 = loads.iter().sum();
    let sure = grid.down(need.quantile(HELD_TOO_MUCH).max(0.0));
    let quantity = |steps: u32| grid.quantity(steps);
    Hold {
        open_order: quantity(open),
        hold: quantity(held),
        loads: loads.iter().map(|load| quantity(*load)).collect(),
        measure,
        chance_too_much: 1.0 - need.above(grid.volume(held)),
        balance: (quantity(sure.saturating_sub(held)), quantity(open.saturating_sub(held))),
        ahead,
    }
}

/// The loads before the hold: the last as large as what must be at hand, within the truck and over the short loads; the
/// others full, the balance of them first made even where it would be short.
pub(super) fn held_loads(held: u32, grid: &Grid, at_hand: Option<f64>) -> Vec<u32> {
    let LoadLimits { truck, short_below } = grid.limits;
    let trucks = held.div_ceil(truck);
    let least = held - (trucks - 1) * truck;
    let wanted = at_hand.map_or(least, |volume| grid.up(volume));
    let last = wanted.max(short_below).clamp(least, truck.min(held));
    let first = split(held - last, grid.limits);
    let mut loads = first.evened.unwrap_or(first.full_first);
    if loads.iter().any(|load| *load < short_below) {
        let whole = split(held, grid.limits);
        return whole.evened.unwrap_or(whole.full_first);
    }
    loads.push(last);
    loads
}

#[cfg(test)]
mod tests {
    use super::*;

    const QUARTERS: Grid = Grid { increment: 0.25, limits: LoadLimits { truck: 40, short_below: 16 } };

    fn held(mean: f64, sd: f64) -> Option<(f64, f64, usize)> {
        hold(Normal { mean, sd }, &QUARTERS, None)
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
            if let Some(hold) = hold(Normal { mean, sd: 0.04 * mean }, &QUARTERS, None) {
                assert!(hold.chance_too_much <= 0.1, "{mean}: {}", hold.chance_too_much);
                let last = hold.open_order - hold.hold;
                assert!(last.in_cubic_metres() <= 10.0 + 1e-9, "{mean}: last {last:?}");
            }
        }
    }

    /// By hand: 22 ± 0.6 is over 21.23 with 90 %, so 17.00 is held and 5 yd at hand asks for [10, 7]: 7 is the least that one
    /// full truck leaves; 8 at hand makes it [9, 8].
    #[test]
    fn the_last_held_load_lasts_as_long_as_the_call_takes() {
        let loads = |at_hand| {
            let hold = hold(Normal { mean: 22.0, sd: 0.6 }, &QUARTERS, Some(at_hand)).expect("three trucks");
            assert_eq!(hold.measure, Measure::AtTruckChange);
            hold.loads.iter().map(|load| load.in_cubic_metres()).collect::<Vec<_>>()
        };
        assert_eq!(loads(5.0), [10.0, 7.0]);
        assert_eq!(loads(8.0), [9.0, 8.0]);
    }

    proptest::proptest! {
        #[test]
        fn held_loads_add_up(held in 1u32..400, at_hand in 0.0..30.0) {
            let loads = held_loads(held, &QUARTERS, Some(at_hand));
            proptest::prop_assert_eq!(loads.iter().sum::<u32>(), held);
            proptest::prop_assert!(loads.iter().all(|load| *load > 0 && *load <= 40));
            proptest::prop_assert_eq!(loads.len() as u32, held.div_ceil(40));
        }
    }
}
