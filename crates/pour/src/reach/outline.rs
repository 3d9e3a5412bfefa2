//! The part of the floor that no chute reaches, as rings to draw.

use ground::P2;
use ground::polygon::signed_area;

use super::ReachInput;
use super::chutes::{ChuteSet, Eye};

/// Longest side of a piece that the limit crosses, m: its chord leaves an arc of 3 m radius by 10 mm at most.
const FINE: f64 = 0.5;
/// Longest side of any other piece, m; larger on floors over about 2,000 m².
const COARSE: f64 = 1.0;
/// Limits of a stand: two ends of the swing, reach, fall.
const LIMITS: usize = 4;
/// A chute of no reach at all.
const NOWHERE: f64 = 1e9;

/// A corner with, for each stand, what keeps its chutes from there: both ends of the swing, reach and fall.
/// Reached when none is above 0.
#[derive(Debug, Clone)]
struct Corner {
    at: P2,
    short: Vec<[f64; LIMITS]>,
}

/// How far beyond an edge of a piece it is looked whether the floor is reached there, m.
const BESIDE: f64 = 0.02;

/// Cuts the floor along the limits of all stands. The pieces that are not reached are convex and do not overlap; with
/// them come those of their edges behind which the floor is reached.
pub(super) fn beyond(
    input: &ReachInput<'_>,
    sets: &[ChuteSet],
    eyes: &[Option<Eye>],
) -> (Vec<Vec<P2>>, Vec<(P2, P2)>) {
    let longest = sets.last().map_or(0.0, |s| s.reach.in_metres());
    let cut = Cut { input, eyes, longest, coarse: COARSE.max((input.floor.area / 2000.0).sqrt()) };
    let mut pieces = Vec::new();
    for t in &input.floor.triangles {
        cut.triangle(&t.map(|p| cut.corner(p)), &mut pieces);
    }
    let edges = pieces.iter().flat_map(|ring| (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])));
    let limit = edges.filter(|edge| cut.is_limit(*edge)).collect();
    (pieces, limit)
}

struct Cut<'a> {
    input: &'a ReachInput<'a>,
    eyes: &'a [Option<Eye>],
    longest: f64,
    coarse: f64,
}

impl Cut<'_> {
    fn corner(&self, at: P2) -> Corner {
        let z = (self.input.finish)(at);
        let short = |eye: &Option<Eye>| {
            eye.as_ref().map_or([NOWHERE; LIMITS], |eye| {
                let view = eye.view(at, z);
                let [left, right] = eye.beyond_swing(at);
                [left, right, view.distance - self.longest, view.lacking]
            })
        };
        Corner { at, short: self.eyes.iter().map(short).collect() }
    }

    /// Whether the floor is reached just outside an edge of a piece.
    fn is_limit(&self, (a, b): (P2, P2)) -> bool {
        let outside = a.lerp(b, 0.5) - (b - a).unit().left() * BESIDE;
        let is_reached = |short: &[f64; LIMITS]| short.iter().all(|s| *s <= 0.0);
        a.distance(b) > 1e-6
            && self.input.floor.contains(outside)
            && self.corner(outside).short.iter().any(is_reached)
    }

    fn triangle(&self, t: &[Corner; 3], pieces: &mut Vec<Vec<P2>>) {
        let side = |i: usize| t[i].at.distance(t[(i + 1) % 3].at);
        let Some(i) = (0..3).max_by(|&i, &j| side(i).total_cmp(&side(j))) else { return };
        let (a, b, c) = (&t[i], &t[(i + 1) % 3], &t[(i + 2) % 3]);
        let middle = a.at.lerp(b.at, 0.5);
        let is_splittable = middle != a.at && middle != b.at && side(i).is_finite();
        if is_splittable && (side(i) > self.coarse || (side(i) > FINE && is_on_limit(t))) {
            let m = self.corner(middle);
            self.triangle(&[a.clone(), m.clone(), c.clone()], pieces);
            self.triangle(&[m, b.clone(), c.clone()], pieces);
            return;
        }
        let mut rest = vec![t.to_vec()];
        for stand in 0..self.eyes.len() {
            rest = rest.into_iter().flat_map(|ring| without(ring, stand)).collect();
        }
        let rings = rest.into_iter().map(|ring| ring.into_iter().map(|c| c.at).collect::<Vec<P2>>());
        pieces.extend(rings.filter(|ring| signed_area(ring) > 1e-9));
    }
}

/// Whether some stand's limit can run through a triangle.
fn is_on_limit(t: &[Corner; 3]) -> bool {
    let stands = t[0].short.len();
    (0..stands).any(|stand| {
        (0..LIMITS).any(|k| {
            let above = t.iter().filter(|c| c.short[stand][k] > 0.0).count();
            above == 1 || above == 2
        })
    })
}

/// A piece less what one stand reaches of it.
fn without(ring: Vec<Corner>, stand: usize) -> Vec<Vec<Corner>> {
    let mut out = Vec::new();
    let mut rest = ring;
    for k in 0..LIMITS {
        if rest.len() < 3 {
            break;
        }
        // A piece that only touches the limit is reached.
        if rest.iter().all(|c| c.short[stand][k] <= 0.0) {
            continue;
        }
        out.push(half(&rest, |c| c.short[stand][k]));
        rest = half(&rest, |c| -c.short[stand][k]);
    }
    out.retain(|ring| ring.len() > 2);
    out
}

/// The part of a convex piece where a value at its corners, taken as linear along its sides, is not negative.
fn half(ring: &[Corner], value: impl Fn(&Corner) -> f64) -> Vec<Corner> {
    let mut keep = Vec::new();
    for (i, a) in ring.iter().enumerate() {
        let b = &ring[(i + 1) % ring.len()];
        let (va, vb) = (value(a), value(b));
        if va >= 0.0 {
            keep.push(a.clone());
        }
        if (va > 0.0 && vb < 0.0) || (va < 0.0 && vb > 0.0) {
            keep.push(between(a, b, va / (va - vb)));
        }
    }
    keep
}

fn between(a: &Corner, b: &Corner, t: f64) -> Corner {
    let mix = |(p, q): (&[f64; LIMITS], &[f64; LIMITS])| std::array::from_fn(|k| p[k] + (q[k] - p[k]) * t);
    Corner { at: a.at.lerp(b.at, t), short: a.short.iter().zip(&b.short).map(mix).collect() }
}
