//! Lines and arcs that meet at their ends, joined to rings.

use std::collections::BTreeMap;

use ground::P2;

use super::Ring;

/// A line or an arc, of a drawing's layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Piece {
    pub a: P2,
    pub b: P2,
    /// As [`Ring::bulges`], from `a` to `b`.
    pub bulge: f64,
}

/// Rings of pieces whose ends are no farther apart than `close`, m; and how many chains did not close.
///
/// Only where exactly two ends meet does a ring go on: at a fork nobody can say which way.
pub(super) fn joined(pieces: &[Piece], close: f64) -> (Vec<Ring>, usize) {
    let pieces: Vec<Piece> =
        pieces.iter().filter(|p| p.bulge != 0.0 || p.a.distance(p.b) > close).copied().collect();
    let nodes = nodes(&pieces, close);
    let count = nodes.iter().flatten().max().map_or(0, |most| most + 1);
    let mut at_node: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (piece, ends) in nodes.iter().enumerate() {
        ends.iter().for_each(|node| at_node[*node].push(piece));
    }
    let mut used = vec![false; pieces.len()];
    let (mut rings, mut open) = (Vec::new(), 0);
    for first in 0..pieces.len() {
        if used[first] {
            continue;
        }
        let (members, is_ring) = connected(first, &nodes, &at_node, &mut used);
        if is_ring { rings.push(ring(&members, &pieces, &nodes, &at_node)) } else { open += 1 }
    }
    (rings, open)
}

/// The pieces that hang together with one, and whether two meet at each of their ends.
fn connected(
    first: usize,
    nodes: &[[usize; 2]],
    at_node: &[Vec<usize>],
    used: &mut [bool],
) -> (Vec<usize>, bool) {
    let (mut members, mut next, mut is_ring) = (Vec::new(), vec![first], true);
    used[first] = true;
    while let Some(piece) = next.pop() {
        members.push(piece);
        for node in nodes[piece] {
            is_ring &= at_node[node].len() == 2;
            for other in &at_node[node] {
                if !used[*other] {
                    used[*other] = true;
                    next.push(*other);
                }
            }
        }
    }
    (members, is_ring)
}

fn ring(members: &[usize], pieces: &[Piece], nodes: &[[usize; 2]], at_node: &[Vec<usize>]) -> Ring {
    let first = members.iter().copied().min().unwrap_or(0);
    let mut out = Ring::default();
    let (mut piece, mut enters) = (first, 0);
    for _ in members {
        let run = pieces[piece];
        let (from, to) = if enters == 0 { (run.a, run.b) } else { (run.b, run.a) };
        // Where two ends do not quite meet, the corner stands between them: mended when the next piece comes.
        if let Some(last) = out.corners.last_mut() {
            out.gap = out.gap.max(last.distance(from));
            *last = last.lerp(from, 0.5);
        } else {
            out.corners.push(from);
        }
        out.bulges.push(if enters == 0 { run.bulge } else { -run.bulge });
        out.corners.push(to);
        let node = nodes[piece][1 - enters];
        let next = at_node[node].iter().copied().find(|other| *other != piece).unwrap_or(piece);
        // Two pieces may share both ends: the other end of the same node is the one that goes on.
        enters = usize::from(nodes[next][0] != node);
        piece = next;
    }
    if let Some(last) = out.corners.pop() {
        out.gap = out.gap.max(last.distance(out.corners[0]));
        out.corners[0] = out.corners[0].lerp(last, 0.5);
    }
    out
}

/// For both ends of each piece the number of the spot where they meet others.
fn nodes(pieces: &[Piece], close: f64) -> Vec<[usize; 2]> {
    let ends: Vec<P2> = pieces.iter().flat_map(|piece| [piece.a, piece.b]).collect();
    let mut group: Vec<usize> = (0..ends.len()).collect();
    let cell = |p: P2| ((p.x / close).floor() as i64, (p.y / close).floor() as i64);
    let mut cells: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    for (i, end) in ends.iter().enumerate() {
        let (x, y) = cell(*end);
        for other in
            (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (x + dx, y + dy))).filter_map(|c| cells.get(&c))
        {
            // The first of a cell is enough for those that stand at one spot; few cells hold many spots.
            for j in other.iter().take(16).filter(|j| ends[**j].distance(*end) <= close) {
                let (one, two) = (root(&mut group, i), root(&mut group, *j));
                group[one.max(two)] = one.min(two);
            }
        }
        cells.entry((x, y)).or_default().push(i);
    }
    let mut numbers = BTreeMap::new();
    let mut number = |i: usize, group: &mut Vec<usize>| {
        let of = root(group, i);
        let next = numbers.len();
        *numbers.entry(of).or_insert(next)
    };
    (0..pieces.len()).map(|p| [number(2 * p, &mut group), number(2 * p + 1, &mut group)]).collect()
}

fn root(group: &mut [usize], mut i: usize) -> usize {
    while group[i] != i {
        group[i] = group[group[i]];
        i = group[i];
    }
    i
}
