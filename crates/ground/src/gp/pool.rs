//! Pools many shots into fewer that carry the same news.

use std::collections::BTreeMap;

use super::BaseShot;
use crate::P2;
use crate::polygon::bounds;

/// Most shots that the process takes one by one.
pub const MOST_SHOTS: usize = 120;

/// Shots of one set-up and zone in one square of a grid become one at their mean place and height; its
/// variance is the shots' own plus their scatter within the square, both over their number.
#[must_use]
pub fn pooled(shots: &[BaseShot]) -> Vec<BaseShot> {
    if shots.len() <= MOST_SHOTS {
        return shots.to_vec();
    }
    let places: Vec<P2> = shots.iter().map(|s| s.at).collect();
    let (low, high) = bounds(&places);
    let span = P2::new((high.x - low.x).max(1e-6), (high.y - low.y).max(1e-6));
    let cell = (span.x * span.y / MOST_SHOTS as f64).sqrt() * 1.1;
    let mut squares: BTreeMap<(usize, usize, u64, u64), Vec<&BaseShot>> = BTreeMap::new();
    for shot in shots {
        // Casts from f64 saturate, so odd spans cannot overflow.
        let column = ((shot.at.x - low.x) / cell) as u64;
        let row = ((shot.at.y - low.y) / cell) as u64;
        squares.entry((shot.setup, shot.zone, column, row)).or_default().push(shot);
    }
    squares.into_values().map(|group| one(&group)).collect()
}

fn one(group: &[&BaseShot]) -> BaseShot {
    let n = group.len() as f64;
    let mean = |f: &dyn Fn(&BaseShot) -> f64| group.iter().map(|s| f(s)).sum::<f64>() / n;
    let z = mean(&|s| s.z);
    let scatter =
        if n > 1.0 { group.iter().map(|s| (s.z - z) * (s.z - z)).sum::<f64>() / (n - 1.0) } else { 0.0 };
    BaseShot {
        name: group[0].name.clone(),
        at: P2::new(mean(&|s| s.at.x), mean(&|s| s.at.y)),
        z,
        // Where the scatter within the square exceeds the stick's own error, it is the base that is rough.
        variance: mean(&|s| s.variance).max(scatter) / n,
        ..group[0].clone()
    }
}
