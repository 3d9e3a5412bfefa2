//! A layer of facets that answers quickly what it holds at a spot.

use crate::grid::Grid;
use crate::point::turn;
use crate::{Facet, P2};

/// How far outside a facet's edge a spot still counts as on it, m.
const EDGE: f64 = 1e-6;

/// Facets with an index over them.
#[derive(Debug, Clone, PartialEq)]
pub struct Layer {
    facets: Vec<Facet>,
    index: Grid,
}

impl Layer {
    /// Indexes facets.
    #[must_use]
    pub fn new(facets: Vec<Facet>) -> Self {
        let index = Grid::over(facets.iter().map(|f| f.ring.as_slice()));
        Self { facets, index }
    }

    /// The facets, in the order given.
    #[must_use]
    pub fn facets(&self) -> &[Facet] {
        &self.facets
    }

    /// The facet that holds a spot; within a micrometre of an edge the first of those that meet there.
    #[must_use]
    pub fn facet_at(&self, p: P2) -> Option<&Facet> {
        let near = self.index.near(&[p - P2::new(EDGE, EDGE), p + P2::new(EDGE, EDGE)]);
        let mut first: Option<u32> = None;
        for &i in &near {
            let depth = depth_inside(&self.facets[i as usize].ring, p);
            if depth > EDGE {
                return Some(&self.facets[i as usize]);
            }
            // Rounding must not choose between neighbours that disagree along their edge.
            if depth >= -EDGE && first.is_none_or(|f| i < f) {
                first = Some(i);
            }
        }
        first.map(|i| &self.facets[i as usize])
    }

    /// The value at a spot; `None` where there is no facet.
    #[must_use]
    pub fn z(&self, p: P2) -> Option<f64> {
        Some(self.facet_at(p)?.plane.z(p))
    }
}

/// Distance from a spot to the nearest edge line of a convex ring, m; negative outside.
///
/// An edge shorter than [`EDGE`] is left out: rounding of its ends turns its line any way, and it cuts off no more than that.
fn depth_inside(ring: &[P2], p: P2) -> f64 {
    let n = ring.len();
    let from = |i: usize| {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        let length = a.distance(b);
        if length > EDGE { turn(a, b, p) / length } else { f64::INFINITY }
    };
    (0..n).map(from).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{P3, tin};

    #[test]
    fn a_layer_agrees_with_its_triangles() {
        let spot = |i: i32| {
            let (x, y) = (f64::from(i * 37 % 101) * 0.1, f64::from(i * 53 % 97) * 0.1);
            P3::new(x, y, 0.01 * x * y)
        };
        let spots: Vec<P3> = (0..400).map(spot).collect();
        let built = tin::triangulate(&spots, &[]).value.unwrap();
        let layer = Layer::new(built.facets());
        for i in 0..500 {
            let p = P2::new(f64::from(i * 71 % 499) * 0.0201, f64::from(i * 29 % 503) * 0.0191);
            match (built.z(p), layer.z(p)) {
                (Some(a), Some(b)) => assert!((a - b).abs() < 1e-9),
                (a, b) => assert_eq!(a, b),
            }
        }
        assert_eq!(layer.z(P2::new(-1.0, 5.0)), None);
    }

    /// Neighbours that disagree along their edge: the first one is asked there, on either side of rounding.
    #[test]
    fn on_an_edge_the_first_facet_answers() {
        let strip = |x: f64, z: f64| Facet {
            ring: crate::Polygon::rectangle(P2::new(x, 0.0), P2::new(x + 1.0, 1.0)).corners().to_vec(),
            plane: crate::Plane::level(z),
        };
        for (facets, at_the_edge) in
            [(vec![strip(0.0, 5.0), strip(1.0, 7.0)], 5.0), (vec![strip(1.0, 7.0), strip(0.0, 5.0)], 7.0)]
        {
            let layer = Layer::new(facets);
            for off in [-5e-7, -1e-15, 0.0, 1e-15, 5e-7] {
                assert_eq!(layer.z(P2::new(1.0 + off, 0.5)), Some(at_the_edge));
            }
            assert_eq!(layer.z(P2::new(0.999, 0.5)), Some(5.0));
            assert_eq!(layer.z(P2::new(1.001, 0.5)), Some(7.0));
        }
    }

    /// Clipping leaves corners that lie a rounding apart; the line through two of them says nothing about the facet.
    #[test]
    fn corners_a_rounding_apart_hide_no_facet() {
        let corner = P2::new(2.0, 1.0);
        for apart in [P2::new(1e-12, 3e-12), P2::new(-4e-10, 1e-12), P2::new(0.0, 0.0)] {
            let ring = vec![P2::new(0.0, 0.0), P2::new(2.0, 0.0), corner, corner + apart, P2::new(0.0, 1.0)];
            let layer = Layer::new(vec![Facet { ring, plane: crate::Plane::level(3.0) }]);
            for i in 1..100 {
                let p = P2::new(f64::from(i % 10) * 0.2 + 0.01, f64::from(i / 10) * 0.1 + 0.001);
                assert_eq!(layer.z(p), Some(3.0), "{p:?}");
            }
        }
    }
}
