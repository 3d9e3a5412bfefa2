//! Plane polygons against shapely.

use basis::math;
use ground::polygon::clip_convex;
use ground::{P2, Polygon};
use house::python;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

/// A star-shaped simple polygon: corners at rising angles about a centre.
fn star(rng: &mut ChaCha12Rng, centre: P2, corners: usize, radius: std::ops::Range<f64>) -> Vec<P2> {
    (0..corners)
        .map(|i| {
            let angle = std::f64::consts::TAU * (i as f64 + rng.random_range(0.0..0.8)) / corners as f64;
            let r = rng.random_range(radius.clone());
            centre + P2::new(math::cos(angle), math::sin(angle)) * r
        })
        .collect()
}

fn pairs(ring: &[P2]) -> Value {
    ring.iter().map(|p| json!([p.x, p.y])).collect()
}

#[test]
fn area_perimeter_and_centre_agree_with_shapely() {
    let mut rng = ChaCha12Rng::seed_from_u64(11);
    for corners in [3, 5, 9, 24] {
        let centre = P2::new(rng.random_range(-20.0..20.0), rng.random_range(-20.0..20.0));
        let ring = star(&mut rng, centre, corners, 3.0..9.0);
        let polygon = Polygon::new(ring.clone());
        let answer = python::ask("polygons", &json!({"shell": pairs(&ring), "holes": [], "windows": []}));
        let theirs = python::numbers(&answer, "shell_centroid");
        let ours = polygon.centroid();
        // Both sum a few dozen products of numbers near 30: 1e-12 leaves room for thousands of roundings.
        assert!(
            (polygon.area() - python::number(&answer, "shell_area")).abs()
                < 1e-12 * polygon.area().max(1.0) * 100.0
        );
        assert!((polygon.perimeter() - python::number(&answer, "perimeter")).abs() < 1e-11);
        assert!((ours.x - theirs[0]).abs() < 1e-11 && (ours.y - theirs[1]).abs() < 1e-11);
    }
}

#[test]
fn common_parts_of_convex_rings_agree_with_shapely() {
    let mut rng = ChaCha12Rng::seed_from_u64(12);
    let ring = Polygon::rectangle(P2::new(-4.0, -3.0), P2::new(5.0, 4.0));
    let windows: Vec<Vec<P2>> = (0..12)
        .map(|_| {
            let centre = P2::new(rng.random_range(-6.0..6.0), rng.random_range(-6.0..6.0));
            let corner = |i: usize, r: f64| {
                let angle = std::f64::consts::TAU * i as f64 / 7.0;
                centre + P2::new(math::cos(angle), math::sin(angle)) * r
            };
            let r = rng.random_range(1.0..5.0);
            (0..7).map(|i| corner(i, r)).collect()
        })
        .collect();
    let question = json!({"shell": pairs(ring.corners()), "holes": [], "windows": windows.iter().map(|w| pairs(w)).collect::<Value>()});
    let theirs = python::numbers(&python::ask("polygons", &question), "parts");
    let mut cut = 0;
    for (window, area) in windows.iter().zip(theirs) {
        let ours = ground::polygon::signed_area(&clip_convex(ring.corners(), window));
        assert!((ours - area).abs() < 1e-11, "{ours} against {area}");
        cut += usize::from(area > 0.0);
    }
    assert!(cut >= 6, "only {cut} of 12 windows touch the floor");
}
