use basis::{Length, Place};

use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Outline};
use crate::overlay::{Mesh, overlay};
use crate::volume::{area_in, cut_fill, dug_volume, volume, volume_in};
use crate::{Facet, P2, P3, Plane, Polygon, floor, thickness, tin};

const FT: f64 = 0.3048;
const FT3: f64 = FT * FT * FT;

fn floor_of(points: &[(f64, f64)]) -> crate::outline::Floor {
    let corner =
        |&(x, y): &(f64, f64)| Corner { name: format!("{x},{y}"), at: P2::new(x, y), place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let outline = Outline {
        corners: points.iter().map(corner).collect(),
        edges: vec![edge; points.len()],
        ..Outline::default()
    };
    floor::lay_out(&outline).value.unwrap()
}

fn rectangle_ft(width: f64, height: f64) -> crate::outline::Floor {
    floor_of(&[(0.0, 0.0), (width * FT, 0.0), (width * FT, height * FT), (0.0, height * FT)])
}

fn everywhere(plane: Plane) -> Vec<Facet> {
    vec![Facet { ring: Polygon::rectangle(P2::new(-1e3, -1e3), P2::new(1e3, 1e3)).corners().to_vec(), plane }]
}

fn tin_of(points: &[(f64, f64, f64)]) -> Vec<Facet> {
    let points: Vec<P3> = points.iter().map(|&(x, y, z)| P3::new(x * FT, y * FT, z * FT)).collect();
    tin::triangulate(&points, &[]).value.unwrap().facets()
}

fn close(mesh: &Mesh, cubic_feet: f64) {
    let found = volume(mesh).in_cubic_metres() / FT3;
    assert!((found - cubic_feet).abs() < 1e-9 * cubic_feet, "{found} against {cubic_feet}");
}

/// 24 × 30 ft, 4 in. at the door to 7 in. at the back: 12.222222 yd³ (area × mean thickness).
#[test]
fn wedge_slab() {
    let floor = rectangle_ft(30.0, 24.0);
    let rise = Plane { at: P2::default(), z0: 0.0, gx: 0.25 / 30.0, gy: 0.0 };
    let mesh = overlay(&floor, &everywhere(Plane::level(7.0 / 12.0 * FT)), &everywhere(rise), &[]);
    close(&mesh, 330.0);
    assert!((volume(&mesh).in_cubic_yards() - 12.222_222_222).abs() < 1e-8);
    assert!((thickness::thinnest(&mesh).unwrap().thickness.in_inches() - 4.0).abs() < 1e-9);
    let most = thickness::thickest(&mesh).unwrap();
    assert!((most.thickness.in_inches() - 7.0).abs() < 1e-9 && most.at.x.abs() < 1e-9);
    let half = thickness::area_thinner_than(&mesh, Length::inches(5.5)).in_square_feet();
    assert!((half - 360.0).abs() < 1e-9);
}

/// Valley at 1/4 in./ft under a 30 × 20 ft level perimeter with hips: sW²(3L−W)/12 = 48.611111 ft³.
#[test]
fn hip_and_valley() {
    let s = 0.25 / 12.0;
    let low = -10.0 * s;
    let base = tin_of(&[
        (0.0, 0.0, 0.0),
        (30.0, 0.0, 0.0),
        (30.0, 20.0, 0.0),
        (0.0, 20.0, 0.0),
        (10.0, 10.0, low),
        (20.0, 10.0, low),
    ]);
    let mesh = overlay(&rectangle_ft(30.0, 20.0), &everywhere(Plane::level(0.0)), &base, &[]);
    close(&mesh, s * 400.0 * 70.0 / 12.0);
    assert!((volume(&mesh).in_cubic_metres() / FT3 - 48.611_111).abs() < 1e-6);
}

/// Four corners 1.0, 1.4, 2.1, 1.3 over 100 ft²: 148.333 or 141.667 by the diagonal chosen (derived).
#[test]
fn a_cell_by_either_diagonal() {
    let z = [1.0, 1.4, 2.1, 1.3];
    let p = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
        .map(|(x, y): (f64, f64)| P2::new(x * FT, y * FT));
    let facet = |ids: [usize; 3]| {
        let c = ids.map(|i| p[i].at(z[i] * FT));
        Facet { ring: ids.map(|i| p[i]).to_vec(), plane: Plane::through(c[0], c[1], c[2]).unwrap() }
    };
    let floor = rectangle_ft(10.0, 10.0);
    let zero = everywhere(Plane::level(0.0));
    close(&overlay(&floor, &[facet([0, 1, 2]), facet([0, 2, 3])], &zero, &[]), 148.333_333_333_333_33);
    close(&overlay(&floor, &[facet([0, 1, 3]), facet([1, 2, 3])], &zero, &[]), 141.666_666_666_666_67);
}

#[test]
fn windows_add_up_and_dug_counts_once() {
    let floor = floor_of(&[(0.0, 0.0), (9.0, 0.0), (9.0, 4.0), (5.0, 4.0), (5.0, 7.0), (0.0, 7.0)]);
    let base = everywhere(Plane { at: P2::new(1.0, 1.0), z0: -0.1, gx: 0.003, gy: -0.004 });
    let strip = Polygon::rectangle(P2::new(-1.0, -1.0), P2::new(0.3, 9.0));
    let dug = vec![Facet { ring: strip.corners().to_vec(), plane: Plane::level(0.2) }];
    let mesh = overlay(&floor, &everywhere(Plane::level(0.0)), &base, &dug);
    assert!((dug_volume(&mesh).in_cubic_metres() - 0.3 * 7.0 * 0.2).abs() < 1e-12);
    assert_eq!(mesh.uncovered, 0.0);
    let cuts = [-1.0, 0.2, 2.7, 5.0, 8.1, 10.0];
    let windows = cuts.windows(2).map(|w| Polygon::rectangle(P2::new(w[0], -1.0), P2::new(w[1], 8.0)));
    let parts: f64 = windows.clone().map(|w| volume_in(&mesh, &w).in_cubic_metres()).sum();
    assert!((parts - volume(&mesh).in_cubic_metres()).abs() < 1e-12);
    let area: f64 = windows.map(|w| area_in(&mesh, &w).in_square_metres()).sum();
    assert!((area - floor.area).abs() < 1e-12 * floor.area);
}

#[test]
fn cut_and_fill_are_apart_where_the_base_rises_through_the_floor() {
    let floor = rectangle_ft(10.0, 10.0);
    let tilted = Plane { at: P2::new(5.0 * FT, 0.0), z0: 0.0, gx: 0.1, gy: 0.0 };
    let mesh = overlay(&floor, &everywhere(Plane::level(0.0)), &everywhere(tilted), &[]);
    let (fill, cut) = cut_fill(&mesh);
    // Two wedges of 5 ft run, 0.5 ft high, 10 ft long: 12.5 ft³ each.
    assert!((fill.in_cubic_feet() - 12.5).abs() < 1e-9 && (cut.in_cubic_feet() - 12.5).abs() < 1e-9);
    let work = thickness::base_work(&mesh, Length::ZERO);
    assert!(
        (work.low.in_cubic_feet() - 12.5).abs() < 1e-9
            && (work.high_area.in_square_feet() - 50.0).abs() < 1e-9
    );
}

#[test]
fn what_no_layer_covers_is_reported() {
    let floor = rectangle_ft(10.0, 10.0);
    let half = vec![Facet {
        ring: Polygon::rectangle(P2::new(0.0, 0.0), P2::new(5.0 * FT, 10.0 * FT)).corners().to_vec(),
        plane: Plane::level(0.0),
    }];
    let mesh = overlay(&floor, &everywhere(Plane::level(0.1)), &half, &[]);
    assert!((mesh.uncovered / (FT * FT) - 50.0).abs() < 1e-9);
}

/// Square drain dish 20 × 20 ft, 2.5 in. deep: a pyramid of 27.777778 ft³ (derived).
#[test]
fn drain_pyramid() {
    let low = -2.5 / 12.0;
    let base =
        tin_of(&[(0.0, 0.0, 0.0), (20.0, 0.0, 0.0), (20.0, 20.0, 0.0), (0.0, 20.0, 0.0), (10.0, 10.0, low)]);
    let mesh = overlay(&rectangle_ft(20.0, 20.0), &everywhere(Plane::level(0.0)), &base, &[]);
    close(&mesh, 250.0 / 9.0);
}

/// Grid levelling of one 50 ft cell: corners 87.6, 87.6, 87.6, 88.6 ft filled to 90.0 ft give 199 yd³
/// (published exercise; 199.0741 unrounded). The four-point rule is the mean of both diagonals.
#[test]
fn grid_fill() {
    let z = [87.6, 87.6, 87.6, 88.6];
    let p = [(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0)].map(|(x, y)| P2::new(x * FT, y * FT));
    let facet = |ids: [usize; 3]| {
        let c = ids.map(|i| p[i].at(z[i] * FT));
        Facet { ring: ids.map(|i| p[i]).to_vec(), plane: Plane::through(c[0], c[1], c[2]).unwrap() }
    };
    let floor = rectangle_ft(50.0, 50.0);
    let top = everywhere(Plane::level(90.0 * FT));
    let by = |base: &[Facet]| volume(&overlay(&floor, &top, base, &[])).in_cubic_yards();
    let mean = 0.5 * (by(&[facet([0, 1, 2]), facet([0, 2, 3])]) + by(&[facet([0, 1, 3]), facet([1, 2, 3])]));
    assert!((mean - 199.074_074_074).abs() < 1e-6 && mean.round() == 199.0);
}

/// The railroad cut of Vose's handbook, §107: base 20 ft, slopes 1½ : 1, cuts 0, 5, 10, 15, 0 ft at 50 ft.
/// By the prismoidal rule 52 500 ft³ (unrounded; the printed end areas say 56 200). A warped bank is no
/// plane, so each bank is drawn by 200 strips along the cut; the sums then agree to 1 part in 10⁴.
#[test]
fn prismoidal_cut() {
    const STRIPS: i32 = 200;
    let cuts = [0.0, 5.0, 10.0, 15.0, 0.0];
    let mut depth = Vec::new();
    for (station, pair) in cuts.windows(2).enumerate() {
        for k in 0..STRIPS {
            let share = |k: i32| f64::from(k) / f64::from(STRIPS);
            let at = |k: i32| {
                let x = 50.0 * (station as f64 + share(k));
                let cut: f64 = pair[0] + (pair[1] - pair[0]) * share(k);
                [(-10.0 - 1.5 * cut, 0.0), (-10.0, cut), (10.0, cut), (10.0 + 1.5 * cut, 0.0)]
                    .map(|(y, d)| P3::new(x * FT, y * FT, -d * FT))
            };
            let (here, there) = (at(k), at(k + 1));
            for side in 0..3 {
                let corners = [here[side], there[side], there[side + 1], here[side + 1]];
                for t in [[0, 1, 2], [0, 2, 3]] {
                    let [a, b, c] = t.map(|i| corners[i]);
                    if let Some(plane) = Plane::through(a, b, c) {
                        let ring = Polygon::new(vec![a.plan(), b.plan(), c.plan()]);
                        depth.push(Facet { ring: ring.corners().to_vec(), plane });
                    }
                }
            }
        }
    }
    let floor =
        floor_of(&[(0.0, -40.0 * FT), (200.0 * FT, -40.0 * FT), (200.0 * FT, 40.0 * FT), (0.0, 40.0 * FT)]);
    let mesh = overlay(&floor, &everywhere(Plane::level(0.0)), &depth, &[]);
    let found = volume(&mesh).in_cubic_feet();
    assert!((found - 52_500.0).abs() < 1e-4 * 52_500.0, "{found}");
}

/// Davis (1973) above and below 830: 785.893992 and 729.443992, as four triangulation libraries agree.
#[test]
fn davis_1973_cut_and_fill() {
    let text = include_str!("../tests/data/topo.csv");
    let row = |line: &str| {
        let v: Vec<f64> = line.split(',').map(|c| c.parse().unwrap()).collect();
        P3::new(v[0], v[1], v[2])
    };
    let spots: Vec<P3> = text.lines().skip(1).map(row).collect();
    let built = tin::triangulate(&spots, &[]).value.unwrap();
    let floor = floor_of(&[(-1.0, -1.0), (8.0, -1.0), (8.0, 8.0), (-1.0, 8.0)]);
    let mesh = overlay(&floor, &built.facets(), &everywhere(Plane::level(830.0)), &[]);
    let (above, below) = cut_fill(&mesh);
    assert!((above.in_cubic_metres() - 785.893_992).abs() < 1e-6);
    assert!((below.in_cubic_metres() - 729.443_992).abs() < 1e-6);
    assert!((mesh.uncovered - (81.0 - 35.99)).abs() < 1e-9);
}

/// A plane over any polygon: area times the thickness at the centroid.
#[test]
fn plane_over_an_odd_polygon() {
    let floor = floor_of(&[(0.0, 0.0), (7.0, -1.0), (9.0, 4.0), (4.0, 2.5), (3.0, 8.0), (-1.0, 5.0)]);
    let top = Plane { at: P2::new(3.0, 2.0), z0: 0.4, gx: 0.02, gy: -0.013 };
    let mesh = overlay(&floor, &everywhere(top), &everywhere(Plane::level(0.1)), &[]);
    let expected = floor.area * (top.z(floor.boundary.centroid()) - 0.1);
    assert!((volume(&mesh).in_cubic_metres() - expected).abs() < 1e-12 * expected);
}
