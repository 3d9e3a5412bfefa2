//! Plane polygons against shapely.

use ground::polygon::clip_convex;
use ground::{P2, Polygon};
use house::python;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::json;

use crate::floors::{self, pairs, star};

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
        // Both sum a few dozen products near 800 m², each rounded at 1e-13: 1e-10 is far more than that.
        assert!((polygon.area() - python::number(&answer, "shell_area")).abs() < 1e-10);
        assert!((polygon.perimeter() - python::number(&answer, "perimeter")).abs() < 1e-11);
        assert!((ours.x - theirs[0]).abs() < 1e-11 && (ours.y - theirs[1]).abs() < 1e-11);
    }
}

#[test]
fn common_parts_of_convex_rings_agree_with_shapely() {
    let mut rng = ChaCha12Rng::seed_from_u64(12);
    let ring = Polygon::rectangle(P2::new(-4.0, -3.0), P2::new(5.0, 4.0));
    let windows = floors::windows(&mut rng, 12);
    let question = json!({"shell": pairs(ring.corners()), "holes": [], "windows": floors::rings(&windows)});
    let theirs = python::numbers(&python::ask("polygons", &question), "parts");
    let mut cut = 0;
    for (window, area) in windows.iter().zip(theirs) {
        let ours = ground::polygon::signed_area(&clip_convex(ring.corners(), window.corners()));
        assert!((ours - area).abs() < 1e-11, "{ours} against {area}");
        cut += usize::from(area > 0.0);
    }
    assert!(cut >= 6, "only {cut} of 12 windows touch the floor");
}
