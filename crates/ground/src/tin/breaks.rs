//! Break lines cut where they meet each other or a spot.

use basis::Note;

use super::merge::{Spread, merged};
use super::{ONE_SPOT, SAME};
use crate::grid::Grid;
use crate::{P2, P3};

/// Rounds of cutting: drawing a line through a spot beside it can bring it to another spot or line.
const ROUNDS: usize = 4;

/// All spots, each place once, and the break lines as edges between them that meet only at their ends.
///
/// Given spots within [`ONE_SPOT`] are one, and a line is drawn through a given spot within half of that: both were
/// measured, and no better. Crossings are computed, so they are told apart down to [`SAME`] and stay on both lines.
pub(super) fn joined(points: &[P3], breaks: &[Vec<P3>], notes: &mut Vec<Note>) -> (Vec<P3>, Vec<[usize; 2]>) {
    let mut net = Net { spots: points.to_vec(), pieces: Vec::new(), spread: Spread::default() };
    for line in breaks {
        let first = net.spots.len();
        net.pieces.extend((1..line.len()).map(|i| [first + i - 1, first + i]));
        net.spots.extend_from_slice(line);
    }
    net.merge(ONE_SPOT);
    for _ in 0..ROUNDS {
        let stops = net.stops_at_spots(ONE_SPOT / 2.0);
        if !net.cut(stops) {
            break;
        }
    }
    for _ in 0..ROUNDS {
        let mut stops = net.stops_at_spots(SAME / 2.0);
        net.add_crossings(&mut stops);
        if !net.cut(stops) {
            break;
        }
    }
    net.spread.tell(notes);
    (net.spots, net.pieces)
}

/// Where pieces are to be cut: for each piece, shares of its length with the spot there.
type Stops = Vec<Vec<(f64, usize)>>;

/// Spots and the pieces of break lines between them.
struct Net {
    spots: Vec<P3>,
    pieces: Vec<[usize; 2]>,
    spread: Spread,
}

impl Net {
    /// Makes one of spots closer than `within`, and drops pieces that thereby vanish or stand twice.
    fn merge(&mut self, within: f64) {
        let (spots, became) = merged(&self.spots, within, &mut self.spread);
        self.spots = spots;
        for end in self.pieces.iter_mut().flatten() {
            *end = became[*end];
        }
        self.pieces.retain(|[a, b]| a != b);
        self.pieces.sort_unstable_by_key(|&[a, b]| (a.min(b), a.max(b)));
        self.pieces.dedup_by_key(|&mut [a, b]| (a.min(b), a.max(b)));
    }

    fn ends(&self, piece: usize) -> [P2; 2] {
        self.pieces[piece].map(|i| self.spots[i].plan())
    }

    fn index(&self) -> Grid {
        let ends: Vec<[P2; 2]> = (0..self.pieces.len()).map(|i| self.ends(i)).collect();
        Grid::over(ends.iter().map(|e| e.as_slice()))
    }

    /// The spot with the elevation that a piece has beside it, as one more spot in the same place.
    fn told_by(&mut self, piece: usize, at: P2) -> usize {
        let [a, b] = self.pieces[piece].map(|i| self.spots[i]);
        let along = b.plan() - a.plan();
        let share = (at - a.plan()).dot(along) / along.dot(along);
        self.spots.push(at.at(a.z + share * (b.z - a.z)));
        self.spots.len() - 1
    }

    /// Stops where a piece runs past a spot closer than `within`: it has its own elevation there.
    fn stops_at_spots(&mut self, within: f64) -> Stops {
        let mut stops = vec![Vec::new(); self.pieces.len()];
        if self.pieces.is_empty() {
            return stops;
        }
        let (index, around) = (self.index(), P2::new(within, within));
        for spot in 0..self.spots.len() {
            let p = self.spots[spot].plan();
            for piece in index.near(&[p - around, p + around]).into_iter().map(|i| i as usize) {
                if let Some(share) = passed(p, self.ends(piece), within) {
                    let told = self.told_by(piece, p);
                    stops[piece].push((share, told));
                }
            }
        }
        stops
    }

    /// Stops where two pieces cross, one spot in one place told by each.
    fn add_crossings(&mut self, stops: &mut Stops) {
        if self.pieces.is_empty() {
            return;
        }
        let index = self.index();
        for i in 0..self.pieces.len() {
            let [a, b] = self.ends(i);
            for j in index.near(&[a, b]).into_iter().map(|j| j as usize).filter(|&j| j > i) {
                if self.pieces[i].iter().any(|end| self.pieces[j].contains(end)) {
                    continue;
                }
                let Some((s, t)) = crossing([a, b], self.ends(j)) else { continue };
                let at = a.lerp(b, s);
                for (piece, share) in [(i, s), (j, t)] {
                    let told = self.told_by(piece, at);
                    stops[piece].push((share, told));
                }
            }
        }
    }

    /// Cuts the pieces at their stops; tells whether there was anything to cut.
    fn cut(&mut self, stops: Stops) -> bool {
        let any = stops.iter().any(|s| !s.is_empty());
        let mut cut = Vec::with_capacity(self.pieces.len());
        for (&[a, b], mut stops) in self.pieces.iter().zip(stops) {
            stops.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
            let mut from = a;
            for (_, spot) in stops {
                cut.push([from, spot]);
                from = spot;
            }
            cut.push([from, b]);
        }
        self.pieces = cut;
        if any {
            self.merge(SAME);
        }
        any
    }
}

/// How far along a line, as a share, a spot lies that it runs past closer than `within`, away from its ends.
fn passed(spot: P2, [a, b]: [P2; 2], within: f64) -> Option<f64> {
    let (along, length) = ((b - a).unit(), a.distance(b));
    let run = (spot - a).dot(along);
    let inside = run > within && run < length - within;
    (inside && (spot - a).cross(along).abs() < within).then(|| run / length)
}

/// Where two lines cross away from their ends, as shares of each.
fn crossing([a, b]: [P2; 2], [c, d]: [P2; 2]) -> Option<(f64, f64)> {
    let (u, v) = (b - a, d - c);
    let den = u.cross(v);
    if den == 0.0 {
        return None;
    }
    let (s, t) = ((c - a).cross(v) / den, (c - a).cross(u) / den);
    let away = |share: f64, length: f64| share.min(1.0 - share) * length > SAME / 2.0;
    (away(s, u.norm()) && away(t, v.norm())).then_some((s, t))
}
