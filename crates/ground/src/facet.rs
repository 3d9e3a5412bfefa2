//! Pieces of a surface: convex rings of the plan, each with one plane.

use crate::{P2, Plane};

/// A convex counter-clockwise ring of the plan on which a value varies linearly.
///
/// Facets of one layer do not overlap; neighbours may disagree along a shared edge, which is how a
/// door taper ends at its jamb or a trench at its bank.
#[derive(Debug, Clone, PartialEq)]
pub struct Facet {
    /// Corners, counter-clockwise, m.
    pub ring: Vec<P2>,
    /// The value on the ring: elevation or depth, m.
    pub plane: Plane,
}

/// The first facet of a layer that holds a spot, edges within a nanometre.
#[must_use]
pub fn at(layer: &[Facet], p: P2) -> Option<&Facet> {
    let inside = |f: &&Facet| {
        let n = f.ring.len();
        (0..n).all(|i| crate::point::turn(f.ring[i], f.ring[(i + 1) % n], p) >= -1e-9)
    };
    layer.iter().find(inside)
}
