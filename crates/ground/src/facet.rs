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
