//! Triangulation, interpolation and volumes against scipy and shapely.

use ground::P2;
use ground::overlay::overlay;
use ground::tin::{Tin, triangulate};
use house::python;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::json;

use crate::floors;

fn tin(points: &[ground::P3]) -> Tin {
    let report = triangulate(points, &[]);
    report.value.unwrap_or_else(|| panic!("points at random make a surface: {:?}", report.notes))
}

#[test]
fn a_triangulated_surface_agrees_with_scipy() {
    let mut rng = ChaCha12Rng::seed_from_u64(21);
    for count in [6, 40, 300] {
        let points = floors::spots(&mut rng, count, 99.0, 0.2);
        let at: Vec<P2> =
            (0..50).map(|_| P2::new(rng.random_range(-8.0..8.0), rng.random_range(-8.0..8.0))).collect();
        let answer =
            python::ask("surfaces", &json!({"top": floors::triples(&points), "at": floors::pairs(&at)}));
        let ours = tin(&points);
        // Four hundred triangles of elevations near 100 m over 324 m²: sums near 3e4 hold 1e-11 of themselves.
        assert!((ours.integral() - python::number(&answer, "integral")).abs() < 1e-7, "{count} spots");
        assert!((ours.hull_area() - python::number(&answer, "hull_area")).abs() < 1e-9, "{count} spots");
        for (p, theirs) in at.iter().zip(python::numbers(&answer, "z")) {
            let z = ours.z(*p).unwrap_or(f64::NAN);
            // Long thin triangles lose digits in barycentric coordinates: a nanometre is far below any rod.
            assert!((z - theirs).abs() < 1e-9, "{z} against {theirs} at {p:?}");
        }
    }
}

#[test]
fn volumes_between_surfaces_agree_with_shapely() {
    let mut rng = ChaCha12Rng::seed_from_u64(22);
    // The first two lie apart; the third cross, so cut and fill are both there.
    let mut crossed = false;
    for (top_at, rough) in [(100.1, 0.03), (100.1, 0.05), (99.98, 0.1)] {
        let floor = floors::floor(&mut rng);
        let top = floors::spots(&mut rng, 9, top_at, rough);
        let bottom = floors::spots(&mut rng, 30, 99.95, rough);
        let windows = floors::windows(&mut rng, 6);
        let answer = python::ask(
            "surfaces",
            &json!({
                "top": floors::triples(&top), "bottom": floors::triples(&bottom),
                "shell": floors::pairs(floor.boundary.corners()), "holes": floors::rings(&floor.holes),
                "windows": floors::rings(&windows),
            }),
        );
        let mesh = overlay(&floor, &tin(&top).facets(), &tin(&bottom).facets(), &[]);
        let volumes = python::numbers(&answer, "volumes");
        // shapely works on the plain coordinates; planes near 100 m through triangles of a metre leave 1e-12 m
        // of thickness, times 100 m² of floor.
        let ours = ground::volume::volume(&mesh).in_cubic_metres();
        assert!((ours - volumes[0]).abs() < 1e-9, "{ours} against {}", volumes[0]);
        let (above, under) = ground::volume::cut_fill(&mesh);
        assert!((above.in_cubic_metres() - volumes[1]).abs() < 1e-9, "{above:?} against {}", volumes[1]);
        assert!((under.in_cubic_metres() - volumes[2]).abs() < 1e-9, "{under:?} against {}", volumes[2]);
        crossed |= volumes[2] > 1e-3 && volumes[1] > 1e-3;
        assert!((floor.area - python::number(&answer, "area")).abs() < 1e-9);
        let theirs = python::numbers(&answer, "windows");
        let areas = python::numbers(&answer, "window_areas");
        for ((window, volume), area) in windows.iter().zip(theirs).zip(areas) {
            assert!((ground::volume::volume_in(&mesh, window).in_cubic_metres() - volume).abs() < 1e-9);
            assert!((ground::volume::area_in(&mesh, window).in_square_metres() - area).abs() < 1e-9);
        }
    }
    assert!(crossed, "no case has both cut and fill");
}
