//! Floors, surfaces and windows made from a seed, and their JSON.

use basis::math;
use ground::{P2, Polygon};
use rand::RngExt;
use rand::rngs::ChaCha12Rng;
use serde_json::{Value, json};

/// A star-shaped simple ring: corners at rising angles about a centre.
pub fn star(rng: &mut ChaCha12Rng, centre: P2, corners: usize, radius: std::ops::Range<f64>) -> Vec<P2> {
    (0..corners)
        .map(|i| {
            let angle = std::f64::consts::TAU * (i as f64 + rng.random_range(0.0..0.8)) / corners as f64;
            let r = rng.random_range(radius.clone());
            centre + P2::new(math::cos(angle), math::sin(angle)) * r
        })
        .collect()
}

/// Convex windows here and there over the floor.
pub fn windows(rng: &mut ChaCha12Rng, count: usize) -> Vec<Polygon> {
    (0..count)
        .map(|_| {
            let centre = P2::new(rng.random_range(-6.0..6.0), rng.random_range(-6.0..6.0));
            let r = rng.random_range(1.0..5.0);
            let corner = |i: u32| {
                let angle = std::f64::consts::TAU * f64::from(i) / 7.0;
                centre + P2::new(math::cos(angle), math::sin(angle)) * r
            };
            Polygon::new((0..7).map(corner).collect())
        })
        .collect()
}

/// Plan points as JSON pairs.
pub fn pairs(ring: &[P2]) -> Value {
    ring.iter().map(|p| json!([p.x, p.y])).collect()
}

/// Polygons as JSON rings.
pub fn rings(polygons: &[Polygon]) -> Value {
    polygons.iter().map(|polygon| pairs(polygon.corners())).collect()
}
