//! How an order is split into truck loads.
//!
//! Quantities here are whole numbers of the plant's increment, so that sums are exact.

/// What a truck may carry, in increments.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LoadLimits {
    /// Most that one truck brings, at least 1.
    pub truck: u32,
    /// Loads under this are charged extra: the larger of minimum load and short-load limit; 0 when none is stated.
    pub short_below: u32,
}

/// An order as loads, in increments, in the order of arrival.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Split {
    /// Full trucks first, the balance last.
    pub full_first: Vec<u32>,
    /// The last loads made even, where that lifts the last one out of the short loads.
    pub evened: Option<Vec<u32>>,
}

/// Splits an order of `steps` increments.
///
/// Full trucks come first. When the balance is a short load, the last two loads are made even if both then stand at or
/// over the limit, else all are; when even that does not help there is no evened split.
///
/// ```
/// use pour::order::{LoadLimits, split};
/// // 10.25 yd in quarter yards, trucks of 10 yd, short loads under 4 yd.
/// let split = split(41, LoadLimits { truck: 40, short_below: 16 });
/// assert_eq!(split.full_first, [40, 1]);
/// assert_eq!(split.evened, Some(vec![21, 20]));
/// ```
#[must_use]
pub fn split(steps: u32, limits: LoadLimits) -> Split {
    let truck = limits.truck.max(1);
    let mut full_first = vec![truck; (steps / truck) as usize];
    if !steps.is_multiple_of(truck) {
        full_first.push(steps % truck);
    }
    let short = full_first.last().is_some_and(|last| *last < limits.short_below) && full_first.len() > 1;
    let evened = if short { even_out(&full_first, limits.short_below) } else { None };
    Split { full_first, evened }
}

fn even_out(loads: &[u32], short_below: u32) -> Option<Vec<u32>> {
    let last_two = loads.len().saturating_sub(2);
    for from in [last_two, 0] {
        let (kept, rest) = loads.split_at(from);
        let even = evenly(rest.iter().sum(), rest.len() as u32);
        if even.iter().all(|load| *load >= short_below) {
            return Some([kept, &even].concat());
        }
    }
    None
}

/// `steps` in `n` parts that differ by one at the most, the larger first.
fn evenly(steps: u32, n: u32) -> Vec<u32> {
    let n = n.max(1);
    (0..n).map(|i| steps / n + u32::from(i < steps % n)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_balance_over_the_limit_is_left_alone() {
        let limits = LoadLimits { truck: 40, short_below: 16 };
        assert_eq!(split(56, limits), Split { full_first: vec![40, 16], evened: None });
        assert_eq!(split(80, limits), Split { full_first: vec![40, 40], evened: None });
        assert_eq!(split(0, limits), Split { full_first: vec![], evened: None });
    }

    #[test]
    fn a_small_single_load_cannot_be_evened() {
        assert_eq!(split(8, LoadLimits { truck: 40, short_below: 16 }).evened, None);
    }

    /// Four trucks of 8 with a limit of 7: 24 + 2 in halves becomes even only over all loads.
    #[test]
    fn evening_all_loads_where_the_last_two_do_not_do() {
        let split = split(44, LoadLimits { truck: 16, short_below: 14 });
        assert_eq!(split.full_first, [16, 16, 12]);
        assert_eq!(split.evened, Some(vec![16, 14, 14]));
        let hard = super::split(42, LoadLimits { truck: 16, short_below: 14 });
        assert_eq!(hard.evened, Some(vec![14, 14, 14]));
    }

    proptest! {
        /// Loads add up to the order, none is over the truck, and an evened split has as many loads and no short one.
        #[test]
        fn nothing_is_lost(steps in 0u32..4_000, truck in 1u32..60, share in 0u32..60) {
            let limits = LoadLimits { truck, short_below: share.min(truck) };
            let split = split(steps, limits);
            prop_assert_eq!(split.full_first.iter().sum::<u32>(), steps);
            prop_assert!(split.full_first.iter().all(|l| *l > 0 && *l <= truck));
            if let Some(evened) = &split.evened {
                prop_assert_eq!(evened.iter().sum::<u32>(), steps);
                prop_assert_eq!(evened.len(), split.full_first.len());
                prop_assert!(evened.iter().all(|l| *l >= limits.short_below && *l <= truck));
            }
        }
    }
}
