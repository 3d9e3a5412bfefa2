//! Cuts a surface into bands between limits, with the lines where they meet.

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

/// Draws the bands, then the lines between them.
pub(super) fn draw(canvas: &mut Canvas, field: &Field) {
    let mut bands: Vec<Vec<Vec<P2>>> = vec![Vec::new(); MOST_BANDS];
    let mut contours = Vec::new();
    for piece in field.pieces.iter().filter(|piece| is_drawable(piece)) {
        let mut rest = piece.clone();
        for (i, limit) in field.limits.iter().enumerate() {
            bands[i.min(MOST_BANDS - 1)].push(plan(&cut(&rest, |z| limit - z)));
            rest = cut(&rest, |z| z - limit);
            contours.extend(contour(&rest, *limit));
        }
        bands[field.limits.len().min(MOST_BANDS - 1)].push(plan(&rest));
    }
    for (i, band) in bands.iter().enumerate() {
        let rings: Vec<Vec<P2>> = band.iter().map(|ring| canvas.run(ring)).collect();
        canvas.under.rings(&format!("h{i}"), &rings);
    }
    for (a, b) in contours {
        let line = canvas.run(&[a, b]);
        canvas.under.run("contour", &line);
    }
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
