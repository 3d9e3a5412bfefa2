//! The floor as small pieces, for sums that no closed form gives.

use crate::outline::Floor;
use crate::polygon::{centroid, clip_convex, signed_area};
use crate::{P2, Polygon};

/// The floor cut by a square grid; the pieces tile it exactly.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Quadrature {
    /// Convex rings of each piece; a piece at a corner may have several.
    rings: Vec<Vec<Vec<P2>>>,
    /// Middle of each piece, m.
    pub points: Vec<P2>,
    /// Area of each piece, m².
    pub weights: Vec<f64>,
}

/// Cuts the floor into about `target` pieces.
#[must_use]
pub fn quadrature(floor: &Floor, target: usize) -> Quadrature {
    let (low, high) = floor.boundary.bounds();
    let cell = (floor.area / target.max(1) as f64).sqrt().max(1e-6);
    let count = |span: f64| ((span / cell).ceil() as usize).clamp(1, 1000);
    let (columns, rows) = (count(high.x - low.x), count(high.y - low.y));
    let step = P2::new((high.x - low.x) / columns as f64, (high.y - low.y) / rows as f64);
    let mut result = Quadrature::default();
    for row in 0..rows {
        for column in 0..columns {
            let corner = low + P2::new(step.x * column as f64, step.y * row as f64);
            let window = Polygon::rectangle(corner, corner + step);
            let rings: Vec<Vec<P2>> = floor
                .triangles
                .iter()
                .map(|t| clip_convex(t, window.corners()))
                .filter(|ring| signed_area(ring) > 1e-12)
                .collect();
            let area: f64 = rings.iter().map(|ring| signed_area(ring)).sum();
            if area > 0.0 {
                let moment =
                    rings.iter().fold(P2::default(), |s, ring| s + centroid(ring) * signed_area(ring));
                result.points.push(moment / area);
                result.weights.push(area);
                result.rings.push(rings);
            }
        }
    }
    result
}

impl Quadrature {
    /// Area of each piece inside a convex window, m².
    #[must_use]
    pub fn weights_in(&self, window: &Polygon) -> Vec<f64> {
        let inside = |ring: &Vec<P2>| signed_area(&clip_convex(ring, window.corners()));
        self.rings.iter().map(|rings| rings.iter().map(inside).sum()).collect()
    }
}
