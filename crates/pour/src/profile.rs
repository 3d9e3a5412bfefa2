//! The finish along a line: where a straight edge laid on it would leave the surface.

use ground::P2;

/// Distance between samples of a line, m; kinks nearer than this to each other are one.
const STEP: f64 = 0.05;
/// Most samples of a line; a longer line is sampled more coarsely.
const MOST_SAMPLES: usize = 4000;

/// Distances along `a`–`b` where the finish must be given so that straight lines between them stay
/// within `tolerance` of it (m), the two ends left out.
///
/// Splits at the largest departure from the chord, again and again (Ramer–Douglas–Peucker, from
/// memory); on a surface of plane facets that is always at a break. Where the finish is not known
/// nothing is found.
pub(crate) fn breaks(a: P2, b: P2, finish: &dyn Fn(P2) -> Option<f64>, tolerance: f64) -> Vec<f64> {
    let length = a.distance(b);
    if !length.is_finite() || length <= 2.0 * STEP {
        return Vec::new();
    }
    let count = ((length / STEP).ceil() as usize).clamp(2, MOST_SAMPLES);
    let z = |s: f64| finish(a.lerp(b, s / length));
    let at = |i: usize| length * i as f64 / count as f64;
    let samples: Vec<Option<f64>> = (0..=count).map(|i| z(at(i)).filter(|z| z.is_finite())).collect();
    let mut found = Vec::new();
    let mut spans = vec![(0, count)];
    while let Some((i, j)) = spans.pop() {
        let (Some(zi), Some(zj)) = (samples[i], samples[j]) else { continue };
        let off = |k: usize, zk: f64| (zk - zi - (zj - zi) * ((at(k) - at(i)) / (at(j) - at(i)))).abs();
        let worst = (i + 1..j)
            .filter_map(|k| samples[k].map(|zk| (k, off(k, zk))))
            .max_by(|p, q| p.1.total_cmp(&q.1).then(q.0.cmp(&p.0)));
        let Some((k, departure)) = worst else { continue };
        if departure > tolerance {
            let chord = |s: f64| z(s).map(|zs| (zs - zi - (zj - zi) * ((s - at(i)) / (at(j) - at(i)))).abs());
            found.push(peak(at(k - 1), at(k + 1), &chord));
            spans.push((i, k));
            spans.push((k, j));
        }
    }
    found.sort_by(f64::total_cmp);
    found
}

/// Where a function with one peak is largest, by thirds.
fn peak(mut low: f64, mut high: f64, value: &dyn Fn(f64) -> Option<f64>) -> f64 {
    for _ in 0..40 {
        let (p, q) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        match (value(p), value(q)) {
            (Some(vp), Some(vq)) if vp < vq => low = p,
            (Some(_), Some(_)) => high = q,
            _ => break,
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A ridge at 3.21 m, falling 2 % both ways, and a taper of 1/2 in. in the last 9 in.
    #[test]
    fn a_ridge_and_a_taper_are_found_where_they_are() {
        let end: f64 = 8.0;
        let finish = |p: P2| {
            let taper = (p.x - (end - 0.2286)).max(0.0) / 0.2286 * 0.0127;
            Some(1.0 - 0.02 * (p.x - 3.21).abs() - taper)
        };
        let found = breaks(P2::new(0.0, 0.0), P2::new(end, 0.0), &finish, 0.0015);
        assert_eq!(found.len(), 2);
        assert!((found[0] - 3.21).abs() < 1e-3 && (found[1] - (end - 0.2286)).abs() < 1e-3, "{found:?}");
    }

    #[test]
    fn a_plane_has_no_break_and_odd_lines_are_passed_over() {
        let plane = |p: P2| Some(100.0 - 0.0104 * p.y);
        let (a, b) = (P2::new(0.0, 0.0), P2::new(3.0, 9.0));
        assert!(breaks(a, b, &plane, 0.0015).is_empty());
        assert!(breaks(a, a, &plane, 0.0015).is_empty());
        assert!(breaks(a, P2::new(f64::NAN, 1.0), &plane, 0.0015).is_empty());
        assert!(breaks(a, b, &|_| None, 0.0015).is_empty());
        assert!(breaks(a, P2::new(1e300, 0.0), &|p| Some(p.x), 0.0015).is_empty());
    }
}
