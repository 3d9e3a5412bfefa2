//! The floor cut along joints into panels.

use std::collections::BTreeMap;

use ground::polygon::{bounds, clip_convex, signed_area};
use ground::{P2, Polygon};

/// Pieces smaller than this are rounding, m².
const NOTHING: f64 = 1e-7;

/// A panel in the floor's own frame.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    /// Its outline.
    pub ring: Vec<P2>,
    /// Net area, m².
    pub area: f64,
    /// Lower left and upper right.
    pub bounds: [P2; 2],
}

/// Parts of the floor between lines; a cell that the outline parts in two makes two.
pub(super) fn cut(triangles: &[[P2; 3]], right: &[f64], up: &[f64]) -> Vec<Cut> {
    let mut all = Vec::new();
    for y in up.windows(2) {
        for x in right.windows(2) {
            let cell = Polygon::rectangle(P2::new(x[0], y[0]), P2::new(x[1], y[1]));
            let touches = |t: &&[P2; 3]| {
                let (low, high) = bounds(*t);
                low.x < x[1] && high.x > x[0] && low.y < y[1] && high.y > y[0]
            };
            let pieces = triangles.iter().filter(touches).map(|t| clip_convex(t, cell.corners()));
            let pieces: Vec<Vec<P2>> = pieces.filter(|ring| signed_area(ring) > NOTHING).collect();
            all.extend(grouped(&pieces).iter().map(|group| joined(group)));
        }
    }
    all
}

/// A point as a key: equal to a hundredth of a millimetre.
type Key = (i64, i64);

fn key(p: P2) -> Key {
    ((p.x * 1e5).round() as i64, (p.y * 1e5).round() as i64)
}

fn point(k: Key) -> P2 {
    P2::new(k.0 as f64 * 1e-5, k.1 as f64 * 1e-5)
}

/// Edges of pieces, split where another piece has a corner on them.
fn edges(pieces: &[Vec<P2>]) -> Vec<(usize, Key, Key)> {
    let corners: Vec<Key> = pieces.iter().flatten().map(|p| key(*p)).collect();
    let mut all = Vec::new();
    for (index, ring) in pieces.iter().enumerate() {
        for (i, &a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            let (along, long) = ((b - a).unit(), a.distance(b));
            let mut stops: Vec<(f64, Key)> = corners
                .iter()
                .map(|k| (point(*k) - a, *k))
                .filter(|(d, _)| {
                    d.cross(along).abs() < 3e-5 && d.dot(along) > 3e-5 && d.dot(along) < long - 3e-5
                })
                .map(|(d, k)| (d.dot(along), k))
                .collect();
            stops.sort_by(|p, q| p.0.total_cmp(&q.0));
            let mut from = key(a);
            for to in stops.into_iter().map(|s| s.1).chain([key(b)]) {
                if from != to {
                    all.push((index, from, to));
                    from = to;
                }
            }
        }
    }
    all
}

/// Pieces that hang together.
fn grouped(pieces: &[Vec<P2>]) -> Vec<Vec<Vec<P2>>> {
    let mut of: Vec<usize> = (0..pieces.len()).collect();
    let all = edges(pieces);
    let by_ends: BTreeMap<(Key, Key), usize> = all.iter().map(|e| ((e.1, e.2), e.0)).collect();
    for (index, a, b) in &all {
        if let Some(other) = by_ends.get(&(*b, *a)) {
            let (keep, drop) = (of[*index], of[*other]);
            of.iter_mut().filter(|o| **o == drop).for_each(|o| *o = keep);
        }
    }
    let mut groups: BTreeMap<usize, Vec<Vec<P2>>> = BTreeMap::new();
    for (piece, group) in pieces.iter().zip(&of) {
        groups.entry(*group).or_default().push(piece.clone());
    }
    groups.into_values().collect()
}

/// One panel of its pieces: inner edges fall away, the rest is walked round.
fn joined(pieces: &[Vec<P2>]) -> Cut {
    let mut open: BTreeMap<Key, Vec<Key>> = BTreeMap::new();
    let all = edges(pieces);
    let mut count: BTreeMap<(Key, Key), usize> = BTreeMap::new();
    all.iter().for_each(|e| *count.entry((e.1, e.2)).or_default() += 1);
    for (_, a, b) in &all {
        if !count.contains_key(&(*b, *a)) {
            open.entry(*a).or_default().push(*b);
        }
    }
    let mut ring: Vec<P2> = Vec::new();
    while let Some((&start, _)) = open.iter().next() {
        let (mut at, mut walked) = (start, Vec::new());
        while let Some(next) = open.get_mut(&at).and_then(Vec::pop) {
            if open.get(&at).is_some_and(Vec::is_empty) {
                open.remove(&at);
            }
            walked.push(point(at));
            at = next;
        }
        open.remove(&at);
        if signed_area(&walked) > signed_area(&ring) {
            ring = walked;
        }
    }
    let points: Vec<P2> = pieces.iter().flatten().copied().collect();
    let (low, high) = bounds(&points);
    let area = pieces.iter().map(|p| signed_area(p)).sum();
    Cut { ring: straightened(ring), area, bounds: [low, high] }
}

/// Without corners on straight edges.
fn straightened(ring: Vec<P2>) -> Vec<P2> {
    let n = ring.len();
    let is_corner = |i: usize| {
        let (a, b, c) = (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
        (b - a).unit().cross((c - b).unit()).abs() > 1e-3
    };
    (0..n).filter(|i| is_corner(*i)).map(|i| ring[i]).collect()
}
