//! The level of water at each vertex of a graph, by priority flood.

use std::cmp::{Ordering, Reverse};
use std::collections::{BinaryHeap, VecDeque};

/// How water stands at each vertex.
#[derive(Debug, Clone, PartialEq)]
pub struct Flooded {
    /// Elevation of the water, or of the vertex where it is dry; infinite where no way leads to an outlet.
    pub level: Vec<f64>,
    /// For a vertex under water the dry vertex over which its water leaves; for a dry one itself.
    pub spill: Vec<usize>,
    /// The next vertex on the lowest way out; an outlet's is itself.
    pub way_out: Vec<usize>,
}

/// A vertex that waits for its turn, the lowest first.
#[derive(PartialEq)]
struct Waiting(f64, usize);

impl Eq for Waiting {}
impl PartialOrd for Waiting {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Waiting {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0).then(self.1.cmp(&other.1))
    }
}

/// Floods a graph from its outlets inward: the level of a vertex is the least, over all ways to an outlet, of the way's highest vertex.
///
/// The lowest vertex reached so far goes first; a neighbour that lies no higher is under its level or at it, and waits in a plain
/// queue [@barnes-2014]. Each vertex is reached once.
///
/// ```
/// # use ground::ponding::flood;
/// // A ditch between a low and a high bank: it fills to the low one.
/// let (heights, last) = ([1.0, 0.2, 0.5, 3.0], 3_usize);
/// let along = |v: usize| v.checked_sub(1).into_iter().chain((v < last).then_some(v + 1));
/// let flooded = flood(&heights, &[0, 3], along);
/// assert_eq!((flooded.level, flooded.spill), (vec![1.0, 1.0, 1.0, 3.0], vec![0, 0, 0, 3]));
/// ```
#[must_use]
pub fn flood<I: Iterator<Item = usize>>(
    heights: &[f64],
    outlets: &[usize],
    neighbours: impl Fn(usize) -> I,
) -> Flooded {
    let own: Vec<usize> = (0..heights.len()).collect();
    let mut flooded = Flooded { level: vec![f64::INFINITY; heights.len()], spill: own.clone(), way_out: own };
    let mut reached = vec![false; heights.len()];
    let mut waiting: BinaryHeap<Reverse<Waiting>> = BinaryHeap::new();
    let mut at_level: VecDeque<usize> = VecDeque::new();
    for &outlet in outlets {
        if !std::mem::replace(&mut reached[outlet], true) {
            flooded.level[outlet] = heights[outlet];
            waiting.push(Reverse(Waiting(heights[outlet], outlet)));
        }
    }
    while let Some(v) = at_level.pop_front().or_else(|| waiting.pop().map(|Reverse(w)| w.1)) {
        let level = flooded.level[v];
        let spill = if level > heights[v] { flooded.spill[v] } else { v };
        for n in neighbours(v) {
            if std::mem::replace(&mut reached[n], true) {
                continue;
            }
            flooded.way_out[n] = v;
            if heights[n] <= level {
                flooded.level[n] = level;
                flooded.spill[n] = if heights[n] < level { spill } else { n };
                at_level.push_back(n);
            } else {
                flooded.level[n] = heights[n];
                waiting.push(Reverse(Waiting(heights[n], n)));
            }
        }
    }
    flooded
}
