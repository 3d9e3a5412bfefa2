//! Which lines to saw: dynamic programming along each direction, the directions tied by the shape of panels.

use std::collections::{BTreeMap, BTreeSet};

use super::lines::Along;

/// A panel over a limit outweighs any sawing, m.
const BREACH: f64 = 1e5;
/// Of equal sawing the more even panels: weight of the squares of spacings, m.
const EVEN: f64 = 1e-4;
/// Of equal sawing the line at a jamb, m.
const JAMB: f64 = 1e-3;
/// Steps of the narrowest panel tried in each direction.
const STEPS: usize = 16;
/// Widths of the floor itself that are tried beside them.
const MOST_WIDTHS: usize = 8;
/// Corners and columns of which every choice of direction is tried.
const MOST_CHOICES: usize = 10;

/// What panels may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits {
    /// Longest side, m.
    pub most: f64,
    /// Longest over shortest side.
    pub aspect: f64,
    /// A side under this makes a sliver, m.
    pub sliver: f64,
}

/// A corner or column that wants a line through it in one direction or the other.
pub(super) type Choice = [Option<usize>; 2];

/// Lines chosen, as indices of places.
#[derive(Debug, Clone)]
pub(super) struct Chosen {
    /// In either direction.
    pub lines: [Vec<usize>; 2],
    /// Sawing that no choice of these lines can go under, breaches or not, m.
    pub least: f64,
}

type Wanted = [BTreeSet<usize>; 2];

/// The lines with the fewest breaches, then the least sawing.
pub(super) fn search(along: &[Along; 2], forced: &Wanted, choices: &[Choice], limits: Limits) -> Chosen {
    let mut relaxed: BTreeMap<(usize, Vec<usize>), f64> = BTreeMap::new();
    let mut open: Vec<(f64, Wanted)> = Vec::new();
    for wanted in assignments(along, forced, choices) {
        let mut bound = 0.0;
        for (way, (along, set)) in along.iter().zip(&wanted).enumerate() {
            let key = (way, set.iter().copied().collect());
            let found = relaxed.entry(key);
            bound += *found.or_insert_with(|| shortest(along, set, [0.0, limits.most], limits).0);
        }
        open.push((bound, wanted));
    }
    open.sort_by(|a, b| a.0.total_cmp(&b.0));
    let least = open.first().map_or(0.0, |o| o.0) % BREACH;
    let mut best = (f64::INFINITY, [Vec::new(), Vec::new()]);
    for (bound, wanted) in &open {
        if *bound >= best.0 - 1e-9 {
            break;
        }
        tied(along, wanted, limits, &mut best);
    }
    Chosen { lines: best.1, least }
}

/// Every pair of least panel sizes: with sides between `m` and `min(S, 1.5 m')` no panel is too long.
fn tied(along: &[Along; 2], wanted: &Wanted, limits: Limits, best: &mut (f64, [Vec<usize>; 2])) {
    let sizes = sizes(along, limits);
    for right in &sizes {
        for up in &sizes {
            let range = |own: f64, other: f64| [own, limits.most.min(limits.aspect * other)];
            let first = shortest(&along[0], &wanted[0], range(*right, *up), limits);
            if first.0 >= best.0 {
                continue;
            }
            let second = shortest(&along[1], &wanted[1], range(*up, *right), limits);
            if first.0 + second.0 < best.0 - 1e-9 {
                *best = (first.0 + second.0, [first.1, second.1]);
            }
        }
    }
}

/// Least panel sizes tried: steps down from two thirds of the spacing, and the floor's own widths.
fn sizes(along: &[Along; 2], limits: Limits) -> Vec<f64> {
    let most = limits.most / limits.aspect;
    let mut all = vec![most];
    for k in 1..STEPS {
        all.push(all[k - 1] * 0.9);
    }
    let whole = along.iter().flat_map(|a| a.between[a.places.len() - 1].iter().copied());
    all.extend(whole.filter(|w| *w < most).take(MOST_WIDTHS));
    all
}

/// The cheapest row of lines through all wanted ones, with panels between two sizes where that can be.
fn shortest(along: &Along, wanted: &BTreeSet<usize>, range: [f64; 2], limits: Limits) -> (f64, Vec<usize>) {
    let n = along.places.len();
    let mut cost = vec![f64::INFINITY; n];
    let mut from = vec![0; n];
    cost[0] = 0.0;
    #[allow(clippy::needless_range_loop, reason = "costs are read and written by index")]
    for j in 1..n {
        let own = if j + 1 < n { along.lengths[j] - if along.jamb[j] { JAMB } else { 0.0 } } else { 0.0 };
        for i in (0..j).rev() {
            let total = cost[i] + own + gap(along, i, j, range, limits);
            if total < cost[j] {
                (cost[j], from[j]) = (total, i);
            }
            if wanted.contains(&i) {
                break;
            }
        }
    }
    let mut lines = Vec::new();
    let mut at = from[n - 1];
    while at > 0 {
        lines.push(at);
        at = from[at];
    }
    lines.reverse();
    (cost[n - 1], lines)
}

/// What is wrong with the floor between two neighbouring lines.
fn gap(along: &Along, i: usize, j: usize, range: [f64; 2], limits: Limits) -> f64 {
    let mut total = 0.0;
    for width in &along.between[i * along.places.len() + j] {
        let even = width / limits.most;
        total += EVEN * even * even;
        if *width > range[1] * (1.0 + 1e-9) + 1e-6 {
            total += BREACH * width / range[1];
        } else if *width < range[0].max(limits.sliver.min(range[1])) - 1e-6 && range[0] > 0.0 {
            total += BREACH;
        }
    }
    total
}

/// Each way of giving every corner and column a line in one direction.
fn assignments(along: &[Along; 2], forced: &Wanted, choices: &[Choice]) -> Vec<Wanted> {
    let mut sure = forced.clone();
    let mut open: Vec<[usize; 2]> = Vec::new();
    for choice in choices {
        match *choice {
            [Some(a), Some(b)] if !open.contains(&[a, b]) => open.push([a, b]),
            [Some(a), None] => {
                sure[0].insert(a);
            }
            [None, Some(b)] => {
                sure[1].insert(b);
            }
            _ => {}
        }
    }
    // Beyond what can be tried, the shorter line.
    for [a, b] in open.split_off(open.len().min(MOST_CHOICES)) {
        let way = usize::from(along[1].lengths[b] < along[0].lengths[a]);
        sure[way].insert([a, b][way]);
    }
    let mut all: BTreeSet<Wanted> = BTreeSet::new();
    for bits in 0..1_usize << open.len() {
        let mut wanted = sure.clone();
        for (i, choice) in open.iter().enumerate() {
            let way = (bits >> i) & 1;
            wanted[way].insert(choice[way]);
        }
        all.insert(wanted);
    }
    all.into_iter().collect()
}
