//! Spots that stand in one place.

use std::collections::BTreeMap;

use basis::{Note, Place};

use super::ONE_SPOT;
use crate::P3;

/// Makes one of spots closer than `within` m, where the first stands, at their mean elevation.
///
/// Gives the spots left and, for each spot given, the index of the one it became.
pub(super) fn merged(spots: &[P3], within: f64, spread: &mut Spread) -> (Vec<P3>, Vec<usize>) {
    let bucket = |p: &P3| ((p.x / within).floor() as i64, (p.y / within).floor() as i64);
    let mut buckets: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    let mut kept: Vec<P3> = Vec::with_capacity(spots.len());
    let mut tallies: Vec<Tally> = Vec::with_capacity(spots.len());
    let mut became = Vec::with_capacity(spots.len());
    for (spot, crowded) in spots.iter().zip(crowded(spots, within)) {
        if !crowded {
            became.push(kept.len());
            kept.push(*spot);
            tallies.push(Tally::of(spot.z));
            continue;
        }
        let (column, row) = bucket(spot);
        let around = (-1..=1).flat_map(|i| (-1..=1).map(move |j| (column + i, row + j)));
        let near = around
            .filter_map(|key| buckets.get(&key))
            .flatten()
            .copied()
            .find(|&i| kept[i].plan().distance(spot.plan()) < within);
        let index = near.unwrap_or(kept.len());
        if near.is_none() {
            buckets.entry((column, row)).or_default().push(index);
            kept.push(*spot);
            tallies.push(Tally::default());
        }
        tallies[index].count(spot.z);
        became.push(index);
    }
    for (spot, tally) in kept.iter_mut().zip(&tallies) {
        spot.z = tally.sum / tally.count;
    }
    spread.widest = tallies.iter().map(|t| t.high - t.low).fold(spread.widest, f64::max);
    (kept, became)
}

/// Whether each spot may have another one closer than `within` m: none that has one is left out.
///
/// Spots are sorted into rows as high as that, each row from left to right; only a spot of the same row or of the rows
/// beside it, less than that to the left or right, can be so close. Few are, and only they are looked up one by one.
fn crowded(spots: &[P3], within: f64) -> Vec<bool> {
    let mut sorted: Vec<(i64, f64, usize)> =
        spots.iter().enumerate().map(|(i, p)| ((p.y / within).floor() as i64, p.x, i)).collect();
    sorted.sort_unstable_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut crowded = vec![false; spots.len()];
    let mut reached = [0; 2];
    for (k, &(row, x, i)) in sorted.iter().enumerate() {
        let close =
            |j: usize, row: i64| sorted.get(j).is_some_and(|s| s.0 == row && (s.1 - x).abs() < within);
        let beside = close(k + 1, row) || k.checked_sub(1).is_some_and(|j| close(j, row));
        let above_or_below = [row - 1, row + 1].into_iter().zip(&mut reached).any(|(row, j)| {
            while sorted.get(*j).is_some_and(|s| s.0 < row || (s.0 == row && x - s.1 >= within)) {
                *j += 1;
            }
            close(*j, row)
        });
        crowded[i] = beside || above_or_below;
    }
    crowded
}

/// The most by which elevations told for one place differ, m.
#[derive(Default)]
pub(super) struct Spread {
    widest: f64,
}

impl Spread {
    /// Warns when it is more than [`ONE_SPOT`].
    pub(super) fn tell(&self, notes: &mut Vec<Note>) {
        if self.widest > ONE_SPOT {
            notes.push(Note::in_both(|units| {
                let most = crate::words::small(self.widest, units);
                let message = format!("spots in one place differ by up to {most}; the mean is taken");
                Note::warning("spots-differ", Place::job(), message, "shoot them again")
            }));
        }
    }
}

/// The elevations told for one place.
#[derive(Clone, Copy)]
struct Tally {
    sum: f64,
    count: f64,
    low: f64,
    high: f64,
}

impl Default for Tally {
    fn default() -> Self {
        Self { sum: 0.0, count: 0.0, low: f64::INFINITY, high: f64::NEG_INFINITY }
    }
}

impl Tally {
    fn of(z: f64) -> Self {
        Self { sum: z, count: 1.0, low: z, high: z }
    }

    fn count(&mut self, z: f64) {
        self.sum += z;
        self.count += 1.0;
        (self.low, self.high) = (self.low.min(z), self.high.max(z));
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Every spot that has another one closer than a millimetre is looked up, and far ones are not.
        #[test]
        fn no_close_pair_is_left_out(
            steps in prop::collection::vec((-40..40_i32, -40..40_i32), 0..60), fineness in 0.0001..0.002_f64,
        ) {
            let spots: Vec<P3> =
                steps.iter().map(|&(i, j)| P3::new(f64::from(i) * fineness, f64::from(j) * fineness, 0.0)).collect();
            for (i, crowded) in crowded(&spots, ONE_SPOT).into_iter().enumerate() {
                let nearest = (0..spots.len())
                    .filter(|&j| j != i)
                    .map(|j| spots[i].plan().distance(spots[j].plan()))
                    .fold(f64::INFINITY, f64::min);
                prop_assert!(crowded || nearest >= ONE_SPOT, "spot {i}, {nearest} m from the nearest");
                prop_assert!(!crowded || nearest < 3.0 * ONE_SPOT, "spot {i}, {nearest} m from the nearest");
            }
        }
    }
}
