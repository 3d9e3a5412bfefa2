//! Floors, surfaces and windows made from a seed, and their JSON.

use basis::{Length, Place, math};
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Opening, OpeningKind, Outline, Shape};
use ground::{P2, P3, Polygon};
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

/// A floor about the origin with one round column in it; all within 7 m of the origin.
pub fn floor(rng: &mut ChaCha12Rng) -> Floor {
    let count = rng.random_range(5..11);
    let ring = star(rng, P2::default(), count, 4.0..7.0);
    let corners =
        ring.iter().enumerate().map(|(i, at)| Corner { name: format!("c{i}"), at: *at, place: Place::job() });
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let column = Opening {
        name: "column".into(),
        kind: OpeningKind::Column,
        shape: Shape::Rectangle {
            centre: P2::new(rng.random_range(-1.0..1.0), rng.random_range(-1.0..1.0)),
            width: Length::metres(rng.random_range(0.2..0.9)),
            height: Length::metres(rng.random_range(0.2..0.9)),
        },
        place: Place::job(),
    };
    let outline = Outline {
        corners: corners.collect(),
        edges: vec![edge; ring.len()],
        openings: vec![column],
        ..Outline::default()
    };
    let report = ground::floor::lay_out(&outline);
    report.value.unwrap_or_else(|| panic!("a star is a floor: {:?}", report.notes))
}

/// Spots of a rough surface over a square that holds every floor of [`floor`].
pub fn spots(rng: &mut ChaCha12Rng, count: usize, low: f64, rough: f64) -> Vec<P3> {
    let mut spots: Vec<P3> = [(-9.0, -9.0), (9.0, -9.2), (9.1, 9.0), (-9.3, 9.1)]
        .iter()
        .map(|(x, y)| P3::new(*x, *y, low + rng.random_range(0.0..rough)))
        .collect();
    spots.extend((0..count).map(|_| {
        P3::new(rng.random_range(-8.0..8.0), rng.random_range(-8.0..8.0), low + rng.random_range(0.0..rough))
    }));
    spots
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

/// Space points as JSON triples.
pub fn triples(points: &[P3]) -> Value {
    points.iter().map(|p| json!([p.x, p.y, p.z])).collect()
}

/// Polygons as JSON rings.
pub fn rings(polygons: &[Polygon]) -> Value {
    polygons.iter().map(|polygon| pairs(polygon.corners())).collect()
}
