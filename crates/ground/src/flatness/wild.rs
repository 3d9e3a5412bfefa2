//! Single readings that do not belong to their line.

use super::{Kept, curvatures};

/// So many spreads from where its neighbours put it, a reading is wild. Of normal readings one in 1.7 million is.
const FAR: f64 = 5.0;
/// A median of distances times this is the spread of normal readings [@hampel-1974].
const NORMAL: f64 = 1.4826;
/// A distance under this is never wild, m: about what a stick can be read to.
const READABLE: f64 = 1e-3;

/// A reading far from where its neighbours put it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wild {
    /// Index of the run.
    pub run: usize,
    /// Index of the reading in the run.
    pub reading: usize,
    /// How far it stands above where its neighbours put it, m.
    pub off: f64,
    /// The same in spreads of all readings.
    pub spreads: f64,
}

/// Readings that stand over five spreads off, worst first. They count all the same until they are read again.
///
/// How far a reading is off is what, taken from it, leaves the line with the least bending (the sum of all squared curvatures):
/// `(h₋₂ − 4h₋₁ + 6h − 4h₊₁ + h₊₂)/6` away from the ends. The spread is 1.4826 times the median over all readings, which a few wild
/// ones cannot move [@hampel-1974]. A wild reading throws its neighbours off too: of those beside each other only the worst is named.
#[must_use]
pub fn wild(runs: &[Kept]) -> Vec<Wild> {
    let off: Vec<Vec<Off>> = runs.iter().map(|run| distances(&run.elevations)).collect();
    let mut sizes: Vec<f64> = off.iter().flatten().map(|d| d.scaled).collect();
    if sizes.is_empty() {
        return Vec::new();
    }
    sizes.sort_by(f64::total_cmp);
    let spread = (NORMAL * sizes[sizes.len() / 2]).max(READABLE / FAR);
    let mut found = Vec::new();
    for (run, off) in off.iter().enumerate() {
        for (reading, d) in off.iter().enumerate() {
            let near = &off[reading.saturating_sub(2)..(reading + 3).min(off.len())];
            let is_worst = near.iter().all(|other| other.explains <= d.explains);
            if d.scaled > FAR * spread && is_worst {
                found.push(Wild { run, reading, off: d.by, spreads: d.scaled / spread });
            }
        }
    }
    found.sort_by(|a, b| b.spreads.total_cmp(&a.spreads).then((a.run, a.reading).cmp(&(b.run, b.reading))));
    found
}

/// How far a reading is off.
struct Off {
    /// By how much it stands too high, m.
    by: f64,
    /// Root of how much of the line's bending that explains.
    explains: f64,
    /// The distance so scaled that noise of one size gives the same everywhere on the line, and its own size away from the ends.
    scaled: f64,
}

fn distances(h: &[f64]) -> Vec<Off> {
    let bends = curvatures(h);
    let last = h.len().saturating_sub(1);
    let one = |i: usize| {
        // The reading stands in three bends with these weights, in fewer near an end.
        let (mut product, mut squares) = (0.0, 0.0);
        for (weight, at) in [(1.0, i.checked_sub(2)), (-2.0, i.checked_sub(1)), (1.0, Some(i))] {
            if let Some(bend) = at.and_then(|at| bends.get(at)) {
                product += weight * bend;
                squares += weight * weight;
            }
        }
        // Variance of the product from noise of variance one: 6, 46 and 70.
        let noise: f64 = match i.min(last - i) {
            0 => 6.0,
            1 => 46.0,
            _ => 70.0,
        };
        let size = f64::sqrt(70.0) / 6.0;
        Off {
            by: product / squares,
            explains: product.abs() / squares.sqrt(),
            scaled: size * product.abs() / noise.sqrt(),
        }
    };
    if bends.is_empty() { Vec::new() } else { (0..h.len()).map(one).collect() }
}
