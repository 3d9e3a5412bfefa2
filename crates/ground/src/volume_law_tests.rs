//! Laws that hold for any floor: volumes add up, and do not care where the origin of the plan is.

use basis::math::{cos, sin};
use basis::{Length, Place, Volume};
use proptest::prelude::*;

use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Outline, ThickenedEdge};
use crate::overlay::{Mesh, overlay};
use crate::polygon::{centroid, signed_area};
use crate::volume::{area_in, cut_fill, volume, volume_in};
use crate::{Facet, P2, P3, Plane, Polygon, dug, floor, thickness, tin};

/// A change of the plan: turned about the origin, then moved.
#[derive(Clone, Copy)]
struct Moved {
    angle: f64,
    by: P2,
}

impl Moved {
    fn at(&self, x: f64, y: f64) -> P2 {
        let (c, s) = (cos(self.angle), sin(self.angle));
        P2::new(c * x - s * y, s * x + c * y) + self.by
    }
}

const AS_IS: Moved = Moved { angle: 0.0, by: P2::new(0.0, 0.0) };

/// An L with sides that depend on `a` and `b`, thickened all round.
fn outline(a: f64, b: f64, moved: Moved) -> Outline {
    let corners = [(0.0, 0.0), (a, 0.0), (a, b * 0.6), (a * 0.55, b * 0.5), (a * 0.55, b), (0.0, b)];
    let corner =
        |&(x, y): &(f64, f64)| Corner { name: format!("{x}/{y}"), at: moved.at(x, y), place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let mm = Length::millimetres;
    let thickened = |edge| ThickenedEdge {
        edge,
        depth: mm(200.0),
        flat: mm(300.0),
        haunch: mm(250.0),
        place: Place::job(),
    };
    Outline {
        corners: corners.iter().map(corner).collect(),
        edges: vec![edge; 6],
        thickened: (0..6).map(thickened).collect(),
        ..Outline::default()
    }
}

/// Base shots over the floor from shares of its box, with some height.
fn shots(shares: &[(f64, f64, f64)], a: f64, b: f64, moved: Moved) -> Vec<P3> {
    let around =
        [(-0.1, -0.1), (1.1, -0.1), (1.1, 1.1), (-0.1, 1.1)].map(|(u, v)| (u, v, 0.01 * u - 0.02 * v));
    around.iter().chain(shares).map(|&(u, v, z)| moved.at(u * a, v * b).at(z)).collect()
}

/// Floor, finish with a fall, base through shots, thickened edges; all moved.
fn mesh(a: f64, b: f64, shares: &[(f64, f64, f64)], moved: Moved) -> (Mesh, Floor) {
    let outline = outline(a, b, moved);
    let floor = floor::lay_out(&outline).value.unwrap();
    let dug = dug::dug(&outline, &floor).value.unwrap();
    let top = |x: f64, y: f64| moved.at(x, y).at(0.03 + 0.01 * x + 0.004 * y);
    let plane = Plane::through(top(0.0, 0.0), top(1.0, 0.0), top(0.0, 1.0)).unwrap();
    let far = Polygon::rectangle(moved.by - P2::new(200.0, 200.0), moved.by + P2::new(200.0, 200.0));
    let finish = [Facet { ring: far.corners().to_vec(), plane }];
    let base = tin::triangulate(&shots(shares, a, b, moved), &[]).value.unwrap().facets();
    (overlay(&floor, &finish, &base, &dug), floor)
}

fn cubic(v: Volume) -> f64 {
    v.in_cubic_metres()
}

fn shares() -> impl Strategy<Value = Vec<(f64, f64, f64)>> {
    prop::collection::vec((0.0..1.0_f64, 0.0..1.0_f64, -0.1..0.1_f64), 1..40)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn windows_bands_and_signs_add_up(a in 4.0..30.0_f64, b in 4.0..30.0_f64, shares in shares(), share in 0.1..0.9_f64) {
        let (mesh, floor) = mesh(a, b, &shares, AS_IS);
        let covered: f64 = mesh.cells.iter().map(|c| signed_area(&c.ring)).sum();
        prop_assert!((covered - floor.area).abs() < 1e-11 * floor.area);
        let whole = cubic(volume(&mesh));
        let (low, high) = (P2::new(-1.0, -1.0), P2::new(a + 1.0, b + 1.0));
        let (bottom, top) = (P2::new(a * share - 3.0, low.y), P2::new(a * share + 2.0, high.y));
        let left = Polygon::new(vec![low, bottom, top, P2::new(low.x, high.y)]);
        let right = Polygon::new(vec![bottom, P2::new(high.x + 9.0, low.y), P2::new(high.x + 9.0, high.y), top]);
        if bottom.x > low.x {
            let parts = cubic(volume_in(&mesh, &left)) + cubic(volume_in(&mesh, &right));
            prop_assert!((parts - whole).abs() < 1e-11 * whole.abs().max(1.0), "{parts} against {whole}");
            let area = area_in(&mesh, &left) + area_in(&mesh, &right);
            prop_assert!((area.in_square_metres() - floor.area).abs() < 1e-11 * floor.area);
        }
        let (fill, cut) = cut_fill(&mesh);
        let slab: f64 = mesh.cells.iter().map(|c| signed_area(&c.ring) * c.thickness().z(centroid(&c.ring))).sum();
        prop_assert!((cubic(fill) - cubic(cut) - slab).abs() < 1e-11 * cubic(fill).max(1.0));
        let levels: Vec<Length> = [-9.0, -0.05, 0.0, 0.05, 0.1, 9.0].map(Length::metres).to_vec();
        let banded: f64 = thickness::bands(&mesh, &levels).iter().flatten().map(|r| signed_area(r)).sum();
        prop_assert!((banded - floor.area).abs() < 1e-10 * floor.area);
        let thinner = thickness::area_thinner_than(&mesh, Length::metres(9.0)).in_square_metres();
        prop_assert!((thinner - floor.area).abs() < 1e-11 * floor.area);
    }

    /// As far out as a floor may stand, and turned: the same volume.
    #[test]
    fn neither_place_nor_direction_matters(
        a in 4.0..30.0_f64, b in 4.0..30.0_f64, shares in shares(), angle in 0.0..6.2_f64,
    ) {
        let here = cubic(volume(&mesh(a, b, &shares, AS_IS).0));
        let turned = cubic(volume(&mesh(a, b, &shares, Moved { angle, by: P2::default() }).0));
        prop_assert!((turned - here).abs() < 1e-9 * here.abs().max(1.0), "{turned} against {here}");
        let far = Moved { angle: 0.0, by: P2::new(9000.0, -9000.0) };
        let moved = cubic(volume(&mesh(a, b, &shares, far).0));
        prop_assert!((moved - here).abs() < 1e-8 * here.abs().max(1.0), "{moved} against {here}");
    }
}
