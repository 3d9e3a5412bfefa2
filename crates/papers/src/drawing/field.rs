//! Cuts a surface into bands between limits, with the lines where they meet.

use std::collections::BTreeMap;

use ground::{P2, P3};

use super::canvas::Canvas;
use super::page::is_point;
use super::{Field, MOST_BANDS};

/// Limits at the finest of the steps that gives at most [`MOST_BANDS`] bands from `low` to `high`.
///
/// The steps rise, in the unit of the values; past the last they are doubled. No limits where the values are no
/// numbers or all the same band.
///
/// ```
/// # use papers::drawing::neat_limits;
/// assert_eq!(neat_limits(99.6, 100.3, &[0.05, 0.1, 0.25]), [99.75, 100.0, 100.25]);
/// ```
#[must_use]
pub fn neat_limits(low: f64, high: f64, steps: &[f64]) -> Vec<f64> {
    let largest = steps.last().copied().unwrap_or(0.0);
    if !(low.is_finite() && high.is_finite() && largest > 0.0 && largest.is_finite()) {
        return Vec::new();
    }
    let doubled = (1..200).map(|i| largest * 2f64.powi(i));
    for step in steps.iter().copied().filter(|step| *step > 0.0).chain(doubled) {
        let (first, last) = ((low / step).floor() + 1.0, (high / step).ceil() - 1.0);
        if last - first + 1.0 <= (MOST_BANDS - 1) as f64 {
            let count = (last - first + 1.0).max(0.0) as usize;
            return (0..count).map(|i| (first + i as f64) * step).collect();
        }
    }
    Vec::new()
}

/// Draws the bands, then the lines between them; gives those lines on the page, by limit.
pub(super) fn draw(canvas: &mut Canvas, field: &Field) -> Vec<Vec<(P2, P2)>> {
    let mut bands: Vec<Vec<Vec<P2>>> = vec![Vec::new(); MOST_BANDS];
    let mut contours = vec![Vec::new(); field.limits.len()];
    for piece in field.pieces.iter().filter(|piece| is_drawable(piece)) {
        let mut rest = piece.clone();
        for (i, limit) in field.limits.iter().enumerate() {
            bands[i.min(MOST_BANDS - 1)].push(plan(&cut(&rest, |z| limit - z)));
            rest = cut(&rest, |z| z - limit);
            contours[i].extend(contour(&rest, *limit).map(|(a, b)| (canvas.page.at(a), canvas.page.at(b))));
        }
        bands[field.limits.len().min(MOST_BANDS - 1)].push(plan(&rest));
    }
    for (i, band) in bands.iter().enumerate() {
        let rings: Vec<Vec<P2>> = band.iter().map(|ring| canvas.run(ring)).collect();
        canvas.under.rings(&format!("h{i}"), &rings);
    }
    for (a, b) in contours.iter().flatten() {
        canvas.under.run("contour", &[*a, *b]);
    }
    contours
}

/// Writes each limit's level on its longest line, where there is room.
pub(super) fn levels(canvas: &mut Canvas, contours: &[Vec<(P2, P2)>], levels: &[String]) {
    for (lines, level) in contours.iter().zip(levels) {
        for chain in chains(lines).iter().take(2).filter(|chain| length(chain) > SHORTEST_TOLD) {
            let spots = SHARES.iter().map(|share| (along(chain, *share), P2::default()));
            canvas.label_on(spots, level);
        }
    }
}

/// A shorter line between bands is not given its level, mm.
const SHORTEST_TOLD: f64 = 18.0;
/// Where on its line a level is tried.
const SHARES: [f64; 9] = [0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88];

fn length(chain: &[P2]) -> f64 {
    chain.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

/// The point at a share of a chain's length.
fn along(chain: &[P2], share: f64) -> P2 {
    let mut left = length(chain) * share;
    for pair in chain.windows(2) {
        let here = pair[0].distance(pair[1]);
        if here >= left && here > 0.0 {
            return pair[0].lerp(pair[1], left / here);
        }
        left -= here;
    }
    chain.last().copied().unwrap_or_default()
}

/// Joins segments end to end into runs, longest first; ends within 0.02 mm are one.
pub(super) fn chains(lines: &[(P2, P2)]) -> Vec<Vec<P2>> {
    const MOST: usize = 20_000;
    let key = |p: P2| ((p.x * 50.0).round() as i64, (p.y * 50.0).round() as i64);
    let mut at: BTreeMap<(i64, i64), Vec<usize>> = BTreeMap::new();
    let lines = &lines[..lines.len().min(MOST)];
    for (i, (a, b)) in lines.iter().enumerate() {
        at.entry(key(*a)).or_default().push(i);
        at.entry(key(*b)).or_default().push(i);
    }
    let mut used = vec![false; lines.len()];
    let mut found = Vec::new();
    for first in 0..lines.len() {
        if std::mem::replace(&mut used[first], true) {
            continue;
        }
        let mut chain = std::collections::VecDeque::from([lines[first].0, lines[first].1]);
        for is_back in [true, false] {
            while let Some(end) = if is_back { chain.back() } else { chain.front() }.copied() {
                let next = at.get(&key(end)).and_then(|all| all.iter().find(|i| !used[**i]));
                let Some(&next) = next else { break };
                used[next] = true;
                let (a, b) = lines[next];
                let far = if key(a) == key(end) { b } else { a };
                if is_back { chain.push_back(far) } else { chain.push_front(far) }
            }
        }
        found.push(Vec::from(chain));
    }
    found.sort_by(|a: &Vec<P2>, b| length(b).total_cmp(&length(a)));
    found
}

fn is_drawable(piece: &[P3]) -> bool {
    piece.len() > 2 && piece.iter().all(|p| is_point(p.plan()) && p.z.is_finite())
}

fn plan(ring: &[P3]) -> Vec<P2> {
    ring.iter().map(|p| p.plan()).collect()
}

/// The part of a flat convex piece where a function of its value is not negative.
fn cut(ring: &[P3], value: impl Fn(f64) -> f64) -> Vec<P3> {
    let mut keep = Vec::new();
    for (i, a) in ring.iter().enumerate() {
        let b = &ring[(i + 1) % ring.len()];
        let (va, vb) = (value(a.z), value(b.z));
        if va >= 0.0 {
            keep.push(*a);
        }
        if (va > 0.0 && vb < 0.0) || (va < 0.0 && vb > 0.0) {
            let t = va / (va - vb);
            let at = a.plan().lerp(b.plan(), t);
            keep.push(at.at(a.z + (b.z - a.z) * t));
        }
    }
    keep
}

/// The edge of a cut piece on which the value is the limit, if it is not flat at the limit.
fn contour(ring: &[P3], limit: f64) -> Option<(P2, P2)> {
    let tolerance = 1e-9 * (1.0 + limit.abs());
    let on = |p: &P3| (p.z - limit).abs() <= tolerance;
    if ring.len() < 3 || ring.iter().all(on) {
        return None;
    }
    let n = ring.len();
    (0..n)
        .map(|i| (&ring[i], &ring[(i + 1) % n]))
        .find(|(a, b)| on(a) && on(b))
        .map(|(a, b)| (a.plan(), b.plan()))
}
