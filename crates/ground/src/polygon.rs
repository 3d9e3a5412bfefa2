//! Simple polygons of the plan: area, centroid, containment, and exact clipping of convex pieces.

use crate::point::{P2, turn};

/// A simple closed polygon, counter-clockwise, last corner joined to the first. Metres.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polygon {
    corners: Vec<P2>,
}

impl Polygon {
    /// A polygon from its corners in either direction; it is turned counter-clockwise.
    #[must_use]
    pub fn new(mut corners: Vec<P2>) -> Self {
        if signed_area(&corners) < 0.0 {
            corners.reverse();
        }
        Self { corners }
    }

    /// An upright rectangle from its lower left and upper right corners.
    #[must_use]
    pub fn rectangle(low: P2, high: P2) -> Self {
        Self::new(vec![low, P2::new(high.x, low.y), high, P2::new(low.x, high.y)])
    }

    /// The corners, counter-clockwise.
    #[must_use]
    pub fn corners(&self) -> &[P2] {
        &self.corners
    }

    /// Edges from each corner to the next.
    pub fn edges(&self) -> impl Iterator<Item = (P2, P2)> + '_ {
        let n = self.corners.len();
        (0..n).map(move |i| (self.corners[i], self.corners[(i + 1) % n]))
    }

    /// Area, m².
    #[must_use]
    pub fn area(&self) -> f64 {
        signed_area(&self.corners)
    }

    /// Length of all edges, m.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.edges().map(|(a, b)| a.distance(b)).sum()
    }

    /// Centre of area; the mean of the corners when the area is nil.
    #[must_use]
    pub fn centroid(&self) -> P2 {
        centroid(&self.corners)
    }

    /// Lower left and upper right of the upright box around the polygon.
    #[must_use]
    pub fn bounds(&self) -> (P2, P2) {
        bounds(&self.corners)
    }

    /// Whether a point lies inside or on the boundary within rounding (even-odd rule).
    #[must_use]
    pub fn contains(&self, p: P2) -> bool {
        let mut inside = false;
        for (a, b) in self.edges() {
            if (a.y > p.y) != (b.y > p.y) {
                let x = a.x + (p.y - a.y) * (b.x - a.x) / (b.y - a.y);
                if p.x < x {
                    inside = !inside;
                }
            }
        }
        inside || self.distance_to_edge(p) < 1e-9
    }

    /// Distance from a point to the nearest edge, m.
    #[must_use]
    pub fn distance_to_edge(&self, p: P2) -> f64 {
        self.edges().map(|(a, b)| distance_to_segment(p, a, b)).fold(f64::INFINITY, f64::min)
    }
}

/// Signed area of a ring, m²; positive when counter-clockwise.
#[must_use]
pub fn signed_area(ring: &[P2]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    ring.windows(2).map(|w| (w[0] - o).cross(w[1] - o)).sum::<f64>() * 0.5
}

/// Centre of area of a ring; the mean of the corners when the area is nil.
#[must_use]
pub fn centroid(ring: &[P2]) -> P2 {
    let Some(&o) = ring.first() else { return P2::default() };
    let (mut twice, mut sum) = (0.0, P2::default());
    for w in ring.windows(2) {
        let (u, v) = (w[0] - o, w[1] - o);
        let c = u.cross(v);
        twice += c;
        sum = sum + (u + v) * c;
    }
    if twice == 0.0 {
        return ring.iter().fold(P2::default(), |s, &p| s + p) / ring.len() as f64;
    }
    o + sum / (3.0 * twice)
}

/// Upright box around points.
#[must_use]
pub fn bounds(points: &[P2]) -> (P2, P2) {
    let mut low = P2::new(f64::INFINITY, f64::INFINITY);
    let mut high = P2::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
    for p in points {
        low = P2::new(low.x.min(p.x), low.y.min(p.y));
        high = P2::new(high.x.max(p.x), high.y.max(p.y));
    }
    (low, high)
}

/// Distance from a point to a segment, m.
#[must_use]
pub fn distance_to_segment(p: P2, a: P2, b: P2) -> f64 {
    let d = b - a;
    let len2 = d.dot(d);
    let t = if len2 > 0.0 { ((p - a).dot(d) / len2).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + d * t)
}

/// Edges of a window shorter than this have no direction worth cutting with, m.
const POINT_LIKE: f64 = 1e-8;

/// The edges of a convex window that cut. An edge left over between two nearly equal corners is
/// passed by: its direction is rounding, and a cut along it could take off anything.
pub fn cutting_edges(window: &[P2]) -> impl Iterator<Item = (P2, P2)> + '_ {
    let n = window.len();
    let edges = (0..n).map(move |i| (window[i], window[(i + 1) % n]));
    edges.filter(|(a, b)| (a.x - b.x).abs().max((a.y - b.y).abs()) > POINT_LIKE)
}

/// Cuts a convex ring with the line `value = 0` of a linear function and appends the part where it
/// is positive to `keep` (Sutherland–Hodgman, one half-plane).
///
/// Shared edges get the same cut point from both sides as long as both rings hold the same corners,
/// so pieces of one ring tile it without overlap.
pub fn clip_half(ring: &[P2], value: impl Fn(P2) -> f64, keep: &mut Vec<P2>) {
    keep.clear();
    let n = ring.len();
    for i in 0..n {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        let (va, vb) = (value(a), value(b));
        if va >= 0.0 {
            keep.push(a);
        }
        if (va > 0.0 && vb < 0.0) || (va < 0.0 && vb > 0.0) {
            keep.push(a.lerp(b, va / (va - vb)));
        }
    }
    if keep.len() < 3 {
        keep.clear();
    }
}

/// The common part of two convex counter-clockwise rings; empty when they do not overlap.
#[must_use]
pub fn clip_convex(ring: &[P2], window: &[P2]) -> Vec<P2> {
    if cutting_edges(window).count() < 3 {
        return Vec::new();
    }
    let mut now = ring.to_vec();
    let mut next = Vec::with_capacity(now.len() + window.len());
    for (a, b) in cutting_edges(window) {
        if now.is_empty() {
            break;
        }
        clip_half(&now, |p| turn(a, b, p), &mut next);
        std::mem::swap(&mut now, &mut next);
    }
    now
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn area_and_centroid_of_an_l() {
        let l = Polygon::new(
            [(0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (2.0, 2.0), (2.0, 4.0), (0.0, 4.0)]
                .map(|(x, y)| P2::new(x, y))
                .to_vec(),
        );
        assert_eq!(l.area(), 12.0);
        // Two rectangles: 8 m² about (2, 1) and 4 m² about (1, 3).
        let c = l.centroid();
        assert!((c.x - 20.0 / 12.0).abs() < 1e-12 && (c.y - 20.0 / 12.0).abs() < 1e-12);
        assert!(l.contains(P2::new(1.0, 3.0)) && !l.contains(P2::new(3.0, 3.0)));
    }

    #[test]
    fn clipped_halves_tile_the_whole() {
        let square = Polygon::rectangle(P2::new(0.0, 0.0), P2::new(1.0, 1.0));
        let (mut left, mut right) = (Vec::new(), Vec::new());
        let line = |p: P2| p.x - 0.3 + 0.2 * p.y;
        clip_half(square.corners(), line, &mut right);
        clip_half(square.corners(), |p| -line(p), &mut left);
        assert!((signed_area(&left) + signed_area(&right) - 1.0).abs() < 1e-15);
    }
}
