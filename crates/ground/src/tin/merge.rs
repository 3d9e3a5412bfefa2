//! Spots that stand in one place.

use std::collections::BTreeMap;

use basis::{Note, Place};

use super::ONE_SPOT;
use crate::P3;

/// Spots closer than [`ONE_SPOT`] become one, where the first stands, at their mean elevation.
///
/// Gives the spots left and, for each spot given, the index of the one it became.
pub(super) fn merged(spots: &[P3], notes: &mut Vec<Note>) -> (Vec<P3>, Vec<usize>) {
    let bucket = |p: &P3| ((p.x / ONE_SPOT).floor() as i64, (p.y / ONE_SPOT).floor() as i64);
    let mut buckets: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    let mut kept: Vec<P3> = Vec::with_capacity(spots.len());
    let mut tallies: Vec<Tally> = Vec::with_capacity(spots.len());
    let mut became = Vec::with_capacity(spots.len());
    for spot in spots {
        let (column, row) = bucket(spot);
        let around = (-1..=1).flat_map(|i| (-1..=1).map(move |j| (column + i, row + j)));
        let near = around
            .filter_map(|key| buckets.get(&key))
            .flatten()
            .copied()
            .find(|&i| kept[i].plan().distance(spot.plan()) < ONE_SPOT);
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
    tell(&tallies, notes);
    (kept, became)
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
    fn count(&mut self, z: f64) {
        self.sum += z;
        self.count += 1.0;
        (self.low, self.high) = (self.low.min(z), self.high.max(z));
    }
}

fn tell(tallies: &[Tally], notes: &mut Vec<Note>) {
    let spread = tallies.iter().map(|t| t.high - t.low).fold(0.0, f64::max);
    if spread > ONE_SPOT {
        let message =
            format!("spots in one place differ by up to {}; the mean is taken", crate::words::small(spread));
        notes.push(Note::warning("spots-differ", Place::job(), message, "shoot them again"));
    }
}
