use proptest::prelude::*;

use super::*;

fn topo() -> Vec<P3> {
    let text = include_str!("../../tests/data/topo.csv");
    let row = |line: &str| {
        let v: Vec<f64> = line.split(',').map(|c| c.parse().unwrap()).collect();
        P3::new(v[0], v[1], v[2])
    };
    text.lines().skip(1).map(row).collect()
}

/// The 52 survey points of Davis (1973), computed alike by four independent triangulation libraries.
#[test]
fn davis_1973_topography() {
    let tin = triangulate(&topo(), &[]).value.unwrap();
    assert_eq!((tin.points.len(), tin.triangles.len()), (52, 87));
    assert!((tin.hull_area() - 35.99).abs() < 1e-7);
    assert!((tin.integral() - 29_928.15).abs() < 1e-9 * 29_928.15 + 1e-5);
    let printed =
        [(3.0, 3.0, 823.702_830), (1.0, 5.0, 817.366_255), (5.0, 2.0, 844.591_837), (4.2, 5.1, 760.336_134)];
    for (x, y, z) in printed {
        assert!((tin.z(P2::new(x, y)).unwrap() - z).abs() < 1e-6);
    }
    assert_eq!(tin.z(P2::new(-1.0, -1.0)), None);
}

#[test]
fn a_break_line_is_never_crossed() {
    let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 0.5), (2.0, 3.5)];
    let flat: Vec<P3> = corners.iter().map(|&(x, y)| P3::new(x, y, 0.0)).collect();
    let ridge = vec![P3::new(0.0, 2.0, 1.0), P3::new(4.0, 2.0, 1.0)];
    let tin = triangulate(&flat, &[ridge]).value.unwrap();
    for x in [0.5, 1.7, 2.0, 3.1] {
        assert!((tin.z(P2::new(x, 2.0)).unwrap() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn crossing_breaks_on_a_coarse_grid_do_not_panic() {
    let line = |a: (f64, f64), b: (f64, f64)| vec![P3::new(a.0, a.1, 1.0), P3::new(b.0, b.1, 2.0)];
    let breaks = [
        line((12.0, 8.25), (5.5, 11.75)),
        line((11.75, 8.25), (19.25, 19.75)),
        line((6.25, 13.75), (18.0, 0.25)),
        line((16.0, 18.75), (10.0, 3.0)),
        line((15.75, 10.5), (13.25, 14.0)),
    ];
    assert!(triangulate(&[], &breaks).value.is_some());
}

#[test]
fn spots_that_carry_no_surface_are_refused() {
    let line: Vec<P3> = (0..5).map(|i| P3::new(f64::from(i), f64::from(i), 1.0)).collect();
    assert_eq!(triangulate(&line, &[]).notes[0].code, "spots-in-one-line");
    assert_eq!(triangulate(&line[..2], &[]).notes[0].code, "too-few-spots");
    assert_eq!(triangulate(&[P3::new(f64::NAN, 0.0, 0.0)], &[]).notes[0].code, "spot-out-of-range");
    let mut twice = topo();
    twice.push(P3::new(0.3, 6.1, 871.0));
    let report = triangulate(&twice, &[]);
    assert_eq!((report.notes[0].code, report.value.unwrap().points.len()), ("spots-differ", 52));
}

/// A spot half a millimetre beside a break line's corner is that corner; no triangle is lost.
#[test]
fn a_spot_beside_a_break_lines_corner_is_that_corner() {
    let square =
        [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 2.0)].map(|(x, y)| P3::new(x, y, 1.0));
    let line = vec![P3::new(2.0005, 2.0, 1.0), P3::new(3.0, 3.5, 1.0)];
    let report = triangulate(&square, &[line]);
    assert!(report.notes.is_empty());
    let tin = report.value.unwrap();
    assert_eq!(tin.points.len(), 6);
    assert!((tin.hull_area() - 16.0).abs() < 1e-12);
}

/// Break lines that cross at different heights, and one that ends on another, meet at the mean and say so.
#[test]
fn break_lines_that_cross_at_different_heights_are_told() {
    let line = |a: (f64, f64), b: (f64, f64), z: f64| vec![P3::new(a.0, a.1, z), P3::new(b.0, b.1, z)];
    let breaks = [
        line((0.0, 0.0), (4.0, 4.0), 1.0),
        line((4.0, 0.0), (0.0, 4.0), 2.0),
        line((3.0, 3.0), (3.0, 1.5), 1.0),
    ];
    let report = triangulate(&[], &breaks);
    assert_eq!(report.notes[0].code, "spots-differ");
    let tin = report.value.unwrap();
    assert!((tin.z(P2::new(2.0, 2.0)).unwrap() - 1.5).abs() < 1e-9);
    assert!((tin.z(P2::new(3.0, 2.0)).unwrap() - 1.0).abs() < 1e-9);
    assert!((tin.hull_area() - 16.0).abs() < 1e-9);
}

/// Three break lines of one plane that meet in nearly one place, two of them at 0.2°: each crossing lies on its lines, and
/// no line is moved onto the next one's crossing, a third of a millimetre off.
#[test]
fn crossings_beside_each_other_stay_on_their_lines() {
    let plane = |x: f64, y: f64| 3.0 + 0.08 * x - 0.05 * y;
    let line = |a: (f64, f64), b: (f64, f64)| {
        vec![P3::new(a.0, a.1, plane(a.0, a.1)), P3::new(b.0, b.1, plane(b.0, b.1))]
    };
    let breaks =
        [line((0.0, 5.0), (10.0, 5.0)), line((0.0, 4.982), (10.0, 5.018)), line((5.0, 0.0), (5.0006, 10.0))];
    let report = triangulate(&[], &breaks);
    assert_eq!(report.notes, []);
    let tin = report.value.unwrap();
    // Elevations of 3 m after some ten operations: 1e-14 m; a thin triangle's slope multiplies that by its length over width.
    for (i, p) in tin.points.iter().enumerate() {
        assert!((p.z - plane(p.x, p.y)).abs() < 1e-13, "{i}: {p:?}");
    }
    let crossings = [(5.0, 5.0), (5.0003, 5.0), (5.000_3, 5.000_001_08)];
    for (x, y) in crossings {
        let nearest =
            tin.points.iter().map(|p| p.plan().distance(P2::new(x, y))).fold(f64::INFINITY, f64::min);
        assert!(nearest < 1e-8, "{x}, {y}: {nearest:e}");
    }
}

/// A row of spots turned by some angle stands in one line but for rounding: no triangle hangs on that rounding.
#[test]
fn a_turned_row_of_spots_makes_no_slivers() {
    for degrees in 1..90 {
        let angle = f64::from(degrees).to_radians();
        let (sin, cos) = (basis::math::sin(angle), basis::math::cos(angle));
        let turned = |x: f64, y: f64| {
            P3::new(x * cos - y * sin, x * sin + y * cos, if y > 0.0 { 1.0 } else { x % 0.7 })
        };
        let row: Vec<P3> = (0..9).map(|i| turned(f64::from(i) * 1.3, 0.0)).collect();
        assert_eq!(triangulate(&row, &[]).notes[0].code, "spots-in-one-line");
        let with_one_aside = [row, vec![turned(5.0, 4.0)]].concat();
        let facets = triangulate(&with_one_aside, &[]).value.unwrap().facets();
        assert_eq!(facets.len(), 8, "{degrees} degrees");
        assert!(facets.iter().all(|f| f.plane.gx.abs() + f.plane.gy.abs() < 5.0));
    }
}

/// A spot 0.3 mm beside a level break line along the sheet is on it, as beside one across the sheet.
#[test]
fn a_spot_beside_a_line_along_the_sheet_is_on_it() {
    for turned in [|x: f64, y: f64| P2::new(x, y), |x: f64, y: f64| P2::new(y, x)] {
        let at = |x: f64, y: f64, z: f64| turned(x, y).at(z);
        let spots = [at(0.0, 0.0, 1.0), at(4.0, 0.0, 1.0), at(2.0, 4.0, 1.0), at(2.0, 2.0003, 1.0)];
        let ridge = vec![at(0.5, 2.0, 1.2), at(3.5, 2.0, 1.2)];
        let report = triangulate(&spots, &[ridge]);
        assert_eq!(report.notes[0].code, "spots-differ");
        let tin = report.value.unwrap();
        assert!((tin.z(turned(2.0, 2.0003)).unwrap() - 1.1).abs() < 1e-12);
    }
}

/// Coordinates as they come: on a quarter grid, far out, absurd, no numbers.
fn coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => (0..80_i32).prop_map(|i| f64::from(i) * 0.25),
        2 => -20.0..20.0_f64,
        1 => (0..80_i32).prop_map(|i| 6e6 + f64::from(i) * 0.25),
    ]
}

fn any_coordinate() -> impl Strategy<Value = f64> {
    prop_oneof![6 => coordinate(), 1 => proptest::num::f64::ANY]
}

fn spot(coordinate: impl Strategy<Value = f64> + Clone) -> impl Strategy<Value = P3> {
    (coordinate.clone(), coordinate.clone(), coordinate).prop_map(|(x, y, z)| P3::new(x, y, z))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn nothing_makes_it_panic(
        points in prop::collection::vec(spot(any_coordinate().boxed()), 0..30),
        breaks in prop::collection::vec(prop::collection::vec(spot(coordinate().boxed()), 0..5), 0..6),
    ) {
        let report = triangulate(&points, &breaks);
        prop_assert_eq!(report.value.is_none(), report.has_fault());
    }

    /// Spots of one plane give that plane back, whatever break lines run through them.
    #[test]
    fn a_plane_is_exact(
        places in prop::collection::vec((0..40_i32, 0..40_i32), 3..40),
        lines in prop::collection::vec(prop::collection::vec((0..40_i32, 0..40_i32), 2..4), 0..4),
        (gx, gy) in (-0.1..0.1_f64, -0.1..0.1_f64),
    ) {
        let on = |&(x, y): &(i32, i32)| {
            let (x, y) = (f64::from(x) * 0.25, f64::from(y) * 0.25);
            P3::new(x, y, 3.0 + gx * x + gy * y)
        };
        let points: Vec<P3> = places.iter().map(on).collect();
        let breaks: Vec<Vec<P3>> = lines.iter().map(|l| l.iter().map(on).collect()).collect();
        let report = triangulate(&points, &breaks);
        prop_assert!(report.notes.iter().all(|n| n.severity == basis::Severity::Fault), "{:?}", report.notes);
        if let Some(tin) = report.value {
            for facet in tin.facets() {
                let c = crate::polygon::centroid(&facet.ring);
                // A line runs up to half of SAME beside a crossing, spots that are one stand up to SAME apart, and the slope
                // is at most 0.1·√2: 1.6e-9 m of height. Rounding at an elevation of 5 m is a millionth of that.
                let off = facet.plane.z(c) - (3.0 + gx * c.x + gy * c.y);
                prop_assert!(off.abs() < 2e-9, "{off:e}");
            }
            // No triangle is missing: the hull's area is that of all spots and break points.
            let all: Vec<P2> = points.iter().chain(breaks.iter().flatten()).map(|p| p.plan()).collect();
            prop_assert!((tin.hull_area() - hull_area(all)).abs() < 1e-7);
        }
    }
}

/// Area of the convex hull by Andrew's chain.
fn hull_area(mut points: Vec<P2>) -> f64 {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let half = |points: &mut dyn Iterator<Item = &P2>| {
        let mut chain: Vec<P2> = Vec::new();
        for &p in points {
            while chain.len() > 1 && turn(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0 {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut points.iter());
    ring.extend(half(&mut points.iter().rev()));
    signed_area(&ring)
}
