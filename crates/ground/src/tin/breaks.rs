//! Break lines cut where they meet each other or a spot.

use basis::Note;

use super::ONE_SPOT;
use super::merge::merged;
use crate::grid::Grid;
use crate::{P2, P3};

/// Rounds of cutting: moving an end by up to a millimetre can make a new crossing.
const ROUNDS: usize = 4;

/// All spots, each place once, and the break lines as edges between them that meet only at their ends.
pub(super) fn joined(points: &[P3], breaks: &[Vec<P3>], notes: &mut Vec<Note>) -> (Vec<P3>, Vec<[usize; 2]>) {
    let mut all: Vec<P3> = points.to_vec();
    let mut pieces = Vec::new();
    for line in breaks {
        pieces.extend((1..line.len()).map(|i| [all.len() + i - 1, all.len() + i]));
        all.extend_from_slice(line);
    }
    for _ in 0..ROUNDS {
        let (spots, became) = merged(&all, notes);
        for end in pieces.iter_mut().flatten() {
            *end = became[*end];
        }
        pieces.retain(|[a, b]| a != b);
        pieces.sort_unstable_by_key(|&[a, b]| (a.min(b), a.max(b)));
        pieces.dedup_by_key(|&mut [a, b]| (a.min(b), a.max(b)));
        all = spots;
        let before = all.len();
        let cut = cut(&mut all, &pieces);
        let done = cut.len() == pieces.len();
        pieces = cut;
        if done && all.len() == before {
            break;
        }
    }
    (all, pieces)
}

/// Cuts pieces at each other and at spots on them; new spots are added, one for each line that meets there.
fn cut(all: &mut Vec<P3>, pieces: &[[usize; 2]]) -> Vec<[usize; 2]> {
    let ends: Vec<[P2; 2]> = pieces.iter().map(|p| p.map(|i| all[i].plan())).collect();
    let index = Grid::over(ends.iter().map(|e| e.as_slice()));
    let mut stops: Vec<Vec<(f64, usize)>> = vec![Vec::new(); pieces.len()];
    for (spot, p) in all.iter().enumerate() {
        for j in index.near(&[p.plan()]) {
            let j = j as usize;
            if let Some(t) = passed(p.plan(), ends[j]) {
                stops[j].push((t, spot));
            }
        }
    }
    let given = all.len();
    for i in 0..pieces.len() {
        for j in index.near(&ends[i]).into_iter().map(|j| j as usize).filter(|&j| j > i) {
            let Some((s, t)) = crossing(ends[i], ends[j]) else { continue };
            for (k, share) in [(i, s), (j, t)] {
                let [a, b] = pieces[k].map(|i| all[i]);
                stops[k].push((share, all.len()));
                all.push(ends[i][0].lerp(ends[i][1], s).at(a.z + share * (b.z - a.z)));
            }
        }
    }
    for (piece, stops) in pieces.iter().zip(&stops) {
        let [a, b] = piece.map(|i| all[i]);
        // A line that runs through a spot has its own elevation there: both are told if they differ.
        for &(t, spot) in stops.iter().filter(|s| s.1 < given) {
            all.push(all[spot].plan().at(a.z + t * (b.z - a.z)));
        }
    }
    let mut result = Vec::with_capacity(pieces.len());
    for (&[a, b], stops) in pieces.iter().zip(&mut stops) {
        stops.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
        let mut from = a;
        for &(_, spot) in stops.iter() {
            result.push([from, spot]);
            from = spot;
        }
        result.push([from, b]);
    }
    result
}

/// How far along a line, as a share, a spot lies that it runs through within [`ONE_SPOT`].
fn passed(spot: P2, [a, b]: [P2; 2]) -> Option<f64> {
    let (along, length) = ((b - a).unit(), a.distance(b));
    let run = (spot - a).dot(along);
    let inside = run > ONE_SPOT && run < length - ONE_SPOT;
    (inside && (spot - a).cross(along).abs() < ONE_SPOT * 0.5).then(|| run / length)
}

/// Where two lines cross away from their ends, as shares of each.
fn crossing([a, b]: [P2; 2], [c, d]: [P2; 2]) -> Option<(f64, f64)> {
    let (u, v) = (b - a, d - c);
    let den = u.cross(v);
    if den == 0.0 {
        return None;
    }
    let (s, t) = ((c - a).cross(v) / den, (c - a).cross(u) / den);
    let away = |share: f64, length: f64| share * length > ONE_SPOT && (1.0 - share) * length > ONE_SPOT;
    (away(s, u.norm()) && away(t, v.norm())).then_some((s, t))
}
