use basis::{Length, Place};

use super::*;
use crate::outline::{Corner, Door, EdgeKind, Opening, OpeningKind};

fn outline(points: &[(f64, f64)]) -> Outline {
    let corner = |(i, &(x, y)): (usize, &(f64, f64))| Corner {
        name: if i < 26 { char::from(b'A' + i as u8).to_string() } else { i.to_string() },
        at: P2::new(x, y),
        place: Place::job(),
    };
    Outline {
        corners: points.iter().enumerate().map(corner).collect(),
        edges: vec![
            Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
            points.len()
        ],
        ..Outline::default()
    }
}

fn door(edge: usize, start: f64, width: f64) -> Door {
    Door {
        name: "d".into(),
        edge,
        start: Length::metres(start),
        width: Length::metres(width),
        drop: Length::millimetres(12.0),
        taper: Length::millimetres(230.0),
        place: Place::job(),
    }
}

fn codes(report: &Report<Floor>) -> Vec<&'static str> {
    report.notes.iter().map(|n| n.code).collect()
}

const T: [(f64, f64); 8] =
    [(3.0, 0.0), (9.0, 0.0), (9.0, 5.0), (12.0, 5.0), (12.0, 14.0), (0.0, 14.0), (0.0, 5.0), (3.0, 5.0)];

#[test]
fn triangles_tile_a_t_with_a_column_and_a_pipe() {
    let mut t = outline(&T);
    let opening = |shape| Opening { name: "o".into(), kind: OpeningKind::Column, shape, place: Place::job() };
    let square = Length::millimetres(400.0);
    t.openings = vec![
        opening(Shape::Rectangle { centre: P2::new(6.0, 9.0), width: square, height: square }),
        opening(Shape::Circle { centre: P2::new(2.0, 7.0), diameter: Length::millimetres(100.0) }),
    ];
    let floor = lay_out(&t).value.unwrap();
    let net = 30.0 + 108.0 - 0.16 - std::f64::consts::PI * 0.0025;
    assert!((floor.area - net).abs() < 1e-12 * net);
    let tiled: f64 = floor.triangles.iter().map(|t| signed_area(t)).sum();
    assert!((tiled - net).abs() < 1e-12 * net);
    assert!(floor.contains(P2::new(6.0, 5.0)) && !floor.contains(P2::new(6.0, 9.0)));
}

#[test]
fn either_direction_round_gives_the_same_floor_and_doors() {
    let mut there = outline(&T);
    there.doors = vec![door(0, 1.0, 4.0)];
    let mut back = outline(&T.iter().rev().copied().collect::<Vec<_>>());
    // The corners come in reverse, so the old edge 0 runs from corner 6 to 7 and is measured from B.
    back.doors = vec![door(6, 1.0, 4.0)];
    let (there, back) = (lay_out(&there).value.unwrap(), lay_out(&back).value.unwrap());
    assert!((there.area - back.area).abs() < 1e-12);
    assert_eq!((there.doors[0].a, there.doors[0].b), (P2::new(4.0, 0.0), P2::new(8.0, 0.0)));
    assert_eq!((back.doors[0].a, back.doors[0].b), (P2::new(4.0, 0.0), P2::new(8.0, 0.0)));
    assert_eq!(there.segments.len(), 10);
}

/// A half circle on a diameter of 4 m adds 2π m² (closed form); chords lose under a thousandth.
#[test]
fn arcs_bulge_and_bite() {
    let mut out = outline(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
    out.edges[1].shape = EdgeShape::ArcOut(Length::metres(2.0));
    let half_circle = std::f64::consts::PI * 2.0;
    let area = lay_out(&out).value.unwrap().area;
    assert!((area - 16.0 - half_circle).abs() < 1e-3 * half_circle && area < 16.0 + half_circle);
    out.edges[1].shape = EdgeShape::ArcIn(Length::metres(2.5));
    // Circular segment: r = 2.5, half chord 2: r²·asin(0.8) − 2·1.5.
    let bite = 6.25 * 0.8_f64.asin() - 3.0;
    assert!((lay_out(&out).value.unwrap().area - 16.0 + bite).abs() < 2e-3 * bite);
    out.edges[1].shape = EdgeShape::ArcOut(Length::metres(1.9));
    assert_eq!(codes(&lay_out(&out)), ["arc-too-tight"]);
}

#[test]
fn crossing_edges_are_named() {
    let report = lay_out(&outline(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 3.0)]));
    assert_eq!(codes(&report), ["outline-crosses-itself"]);
    assert!(report.notes[0].message.contains("A-B") && report.notes[0].message.contains("C-D"));
}

#[test]
fn faulty_parts_are_all_told_at_once() {
    let mut bad = outline(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
    bad.doors = vec![door(0, 1.0, 5.0), door(9, 0.0, 1.0), door(1, 0.0, 2.0), door(1, 1.0, 2.0)];
    assert_eq!(codes(&lay_out(&bad)), ["door-does-not-fit", "door-edge-unknown", "doors-overlap"]);
    assert_eq!(codes(&lay_out(&outline(&[(0.0, 0.0), (1.0, 0.0)]))), ["too-few-corners"]);
    assert_eq!(codes(&lay_out(&outline(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0)]))), ["outline-without-area"]);
    assert_eq!(codes(&lay_out(&outline(&[(0.0, 0.0), (f64::NAN, 0.0), (1.0, 1e300)]))).len(), 2);
    assert_eq!(
        codes(&lay_out(&outline(&[(0.0, 0.0), (0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]))),
        ["corner-repeated"]
    );
}

#[test]
fn openings_at_the_edge_are_refused() {
    let mut bad = outline(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)]);
    let at = |x: f64, size: f64| Opening {
        name: "o".into(),
        kind: OpeningKind::Opening,
        shape: Shape::Rectangle {
            centre: P2::new(x, 2.0),
            width: Length::metres(size),
            height: Length::metres(size),
        },
        place: Place::job(),
    };
    bad.openings = vec![at(0.5, 1.0), at(2.0, 1.0), at(2.2, 0.2), at(3.0, 0.0)];
    assert_eq!(codes(&lay_out(&bad)), ["opening-outside", "openings-overlap", "opening-without-area"]);
}

#[test]
fn a_spot_is_taped_from_two_square_edges() {
    let floor = lay_out(&outline(&T)).value.unwrap();
    let tapes = tape_from(&floor, P2::new(4.0, 2.0));
    assert_eq!(tapes.len(), 2);
    assert_eq!((tapes[0].name.as_str(), tapes[0].distance), ("H-A", Length::metres(1.0)));
    assert_eq!((tapes[1].name.as_str(), tapes[1].distance), ("A-B", Length::metres(2.0)));
}

#[test]
fn openings_that_are_no_ring_or_reach_round_a_corner_are_refused() {
    let mut bad = outline(&T);
    let ring = |points: &[(f64, f64)]| Opening {
        name: "o".into(),
        kind: OpeningKind::Opening,
        shape: Shape::Polygon(points.iter().map(|&(x, y)| P2::new(x, y)).collect()),
        place: Place::job(),
    };
    // A bow tie; then one whose edge runs through the inner corner at (3, 5).
    bad.openings = vec![
        ring(&[(4.0, 8.0), (6.0, 8.0), (4.0, 9.0), (7.0, 11.0)]),
        ring(&[(2.0, 6.0), (4.0, 4.0), (4.0, 6.0)]),
    ];
    assert_eq!(codes(&lay_out(&bad)), ["opening-crosses-itself", "opening-outside"]);
}

#[test]
fn digs_that_do_not_fit_are_told() {
    let mut bad = outline(&T);
    bad.footings = vec![crate::outline::Footing {
        name: "f".into(),
        shape: Shape::Circle { centre: P2::new(0.2, 9.0), diameter: Length::metres(1.0) },
        depth: Length::millimetres(300.0),
        haunch: Length::ZERO,
        place: Place::job(),
    }];
    let strip = |edge: usize, flat: f64| crate::outline::ThickenedEdge {
        edge,
        depth: Length::millimetres(200.0),
        flat: Length::metres(flat),
        haunch: Length::ZERO,
        place: Place::job(),
    };
    bad.thickened = vec![strip(0, 20.0), strip(40, 0.3)];
    assert_eq!(
        codes(&lay_out(&bad)),
        ["footing-outside", "thickened-edge-wider-than-floor", "thickened-edge-without-size"]
    );
}

#[test]
fn thousands_of_corners_are_laid_out_or_refused() {
    let ring = |n: usize| -> Outline {
        let step = std::f64::consts::TAU / n as f64;
        let at = |i: usize| {
            let r = if i.is_multiple_of(2) { 20.0 } else { 19.5 };
            (r * (step * i as f64).cos(), r * (step * i as f64).sin())
        };
        outline(&(0..n).map(at).collect::<Vec<_>>())
    };
    let floor = lay_out(&ring(2000)).value.unwrap();
    let tiled: f64 = floor.triangles.iter().map(|t| signed_area(t)).sum();
    assert!((tiled - floor.area).abs() < 1e-12 * floor.area);
    assert_eq!(codes(&lay_out(&ring(10_001))), ["too-many-corners"]);
}

#[test]
fn two_corners_of_one_name_are_told_with_the_place() {
    let mut twice = outline(&T);
    for (i, corner) in twice.corners.iter_mut().enumerate() {
        corner.place = Place::at("corner").index(i);
    }
    twice.corners[5].name = twice.corners[2].name.clone();
    let report = lay_out(&twice);
    assert_eq!(codes(&report), ["corner-name-repeated"]);
    assert_eq!(report.notes[0].place, Place::at("corner").index(5));
    assert!(report.notes[0].message.contains("corner[2]"), "{}", report.notes[0].message);
}
