use basis::{Length, Place};

use super::*;
use crate::floor::lay_out;
use crate::outline::{Corner, Edge, EdgeKind, EdgeShape, Footing, Shape};
use crate::overlay::overlay;
use crate::polygon::signed_area;
use crate::volume::dug_volume;

const FT: f64 = 0.3048;

fn outline(points: &[(f64, f64)]) -> Outline {
    let corner = |&(x, y): &(f64, f64)| Corner {
        name: format!("{x},{y}"),
        at: P2::new(x * FT, y * FT),
        place: Place::job(),
    };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    Outline {
        corners: points.iter().map(corner).collect(),
        edges: vec![edge; points.len()],
        ..Outline::default()
    }
}

fn thicken(outline: &mut Outline, edges: &[usize], depth: f64, flat: f64, haunch: f64) {
    let ft = Length::feet;
    outline.thickened.extend(edges.iter().map(|&edge| ThickenedEdge {
        edge,
        depth: ft(depth),
        flat: ft(flat),
        haunch: ft(haunch),
        place: Place::job(),
    }));
}

fn footing(shape: Shape, depth: f64, haunch: f64) -> Footing {
    let (depth, haunch) = (Length::feet(depth), Length::feet(haunch));
    Footing { name: "pad".into(), shape, depth, haunch, place: Place::job() }
}

/// What is dug under the floor, in cubic feet.
fn cubic_feet(outline: &Outline) -> f64 {
    let floor = lay_out(outline).value.unwrap();
    let facets = dug(outline, &floor).value.unwrap();
    let plane = |z| {
        let far = Polygon::rectangle(P2::new(-1e3, -1e3), P2::new(1e3, 1e3));
        [Facet { ring: far.corners().to_vec(), plane: Plane::level(z) }]
    };
    let mesh = overlay(&floor, &plane(0.1), &plane(0.0), &facets);
    let area: f64 = mesh.cells.iter().map(|c| signed_area(&c.ring)).sum();
    assert!((area - floor.area).abs() < 1e-11 * floor.area, "cells overlap or leave gaps: {area}");
    dug_volume(&mesh).in_cubic_feet()
}

use crate::Polygon;

const SQUARE: [(f64, f64); 4] = [(0.0, 0.0), (24.0, 0.0), (24.0, 24.0), (0.0, 24.0)];

/// The derived closed form dLW − d/6·(A1 + 4Am + A2): 89.777778 ft³ for 24 × 24 ft, 1 + 1 ft, 8 in.
#[test]
fn thickened_edge_round_a_square() {
    let mut square = outline(&SQUARE);
    thicken(&mut square, &[0, 1, 2, 3], 8.0 / 12.0, 1.0, 1.0);
    assert!((cubic_feet(&square) - 808.0 / 9.0).abs() < 1e-9);
    square.corners.reverse();
    assert!((cubic_feet(&square) - 808.0 / 9.0).abs() < 1e-9);
}

/// 1.25 t at the edge tapering to t over 5 ft [@ufc-3-260-02], 6 in. slab, 24 × 24 ft: 25.833333 ft³ (derived).
#[test]
fn thickened_edge_without_a_flat() {
    let mut square = outline(&SQUARE);
    thicken(&mut square, &[0, 1, 2, 3], 1.5 / 12.0, 0.0, 5.0);
    assert!((cubic_feet(&square) - 155.0 / 6.0).abs() < 1e-9);
}

/// One edge alone: its section, (b + a/2)·d, times its length.
#[test]
fn one_edge_is_section_times_length() {
    let mut square = outline(&SQUARE);
    thicken(&mut square, &[1], 0.5, 1.0, 0.75);
    assert!((cubic_feet(&square) - 24.0 * 0.5 * 1.375).abs() < 1e-9);
}

/// Round an L: the area left at distance t inward is 100 − 44t + 4t² (five corners out, one in), so by
/// Simpson's rule V = d·(100 − (60 + 4·43 + 28)/6) = 37.777778 ft³ with b = a = 1 ft, d = 8 in.
#[test]
fn thickened_edge_round_an_l() {
    let mut l = outline(&[(0.0, 0.0), (12.0, 0.0), (12.0, 6.0), (7.0, 6.0), (7.0, 10.0), (0.0, 10.0)]);
    thicken(&mut l, &[0, 1, 2, 3, 4, 5], 8.0 / 12.0, 1.0, 1.0);
    assert!((cubic_feet(&l) - 340.0 / 9.0).abs() < 1e-9);
}

/// A sheer trench of 1 ft inside a round edge is the polygon less the polygon drawn 1 ft in.
#[test]
fn thickened_round_edge() {
    let mut round = outline(&[(0.0, 0.0), (20.0, 0.0)]);
    round.corners.push(Corner { name: "c".into(), at: P2::new(10.0 * FT, 10.0 * FT), place: Place::job() });
    round.edges.push(Edge { shape: EdgeShape::ArcOut(Length::feet(10.0)), ..round.edges[0].clone() });
    round.edges[1].shape = EdgeShape::ArcOut(Length::feet(10.0));
    thicken(&mut round, &[1, 2], 1.0, 1.0, 0.0);
    // Half a ring of 10 and 9 ft, but along the straight edge the last foot of the arc ends square.
    let half_ring = std::f64::consts::FRAC_PI_2 * 19.0;
    let found = cubic_feet(&round);
    assert!((found - half_ring).abs() < 0.01 * half_ring, "{found} against {half_ring}");
}

/// A pit with banks is a frustum of mitred corners: d/6·(A1 + 4Am + A2).
#[test]
fn footing_with_banks() {
    let mut square = outline(&SQUARE);
    let rectangle = Shape::Rectangle {
        centre: P2::new(12.0 * FT, 12.0 * FT),
        width: Length::feet(4.0),
        height: Length::feet(3.0),
    };
    square.footings = vec![footing(rectangle, 1.0, 1.0)];
    assert!((cubic_feet(&square) - (12.0 + 4.0 * 20.0 + 30.0) / 6.0).abs() < 1e-9);
    // The same pit twice is dug once; a deeper one inside replaces its part: 2 × 1 ft sheer, 1 ft deeper.
    square.footings.push(square.footings[0].clone());
    let inner = Shape::Polygon(
        [(11.0, 11.5), (13.0, 11.5), (13.0, 12.5), (11.0, 12.5)]
            .map(|(x, y)| P2::new(x * FT, y * FT))
            .to_vec(),
    );
    square.footings.push(footing(inner, 2.0, 0.0));
    assert!((cubic_feet(&square) - (122.0 / 6.0 + 2.0)).abs() < 1e-9);
}

/// An L-shaped pit with banks round it; outward at distance t its area is A + P·t + 4t².
#[test]
fn footing_of_l_shape() {
    let mut square = outline(&SQUARE);
    let l = [(5.0, 5.0), (13.0, 5.0), (13.0, 9.0), (9.0, 9.0), (9.0, 12.0), (5.0, 12.0)];
    let shape = Shape::Polygon(l.map(|(x, y)| P2::new(x * FT, y * FT)).to_vec());
    square.footings = vec![footing(shape, 0.9, 1.0)];
    let area = |t: f64| 44.0 + 30.0 * t + 4.0 * t * t;
    let closed_form = 0.9 * (area(0.0) + 4.0 * area(0.5) + area(1.0)) / 6.0;
    assert!((cubic_feet(&square) - closed_form).abs() < 1e-9);
}

/// A round footing keeps the volume of the cylinder; its bank is within 1 % of the cone's.
#[test]
fn round_footing() {
    let mut square = outline(&SQUARE);
    let circle = || Shape::Circle { centre: P2::new(8.0 * FT, 9.0 * FT), diameter: Length::feet(2.0) };
    square.footings = vec![footing(circle(), 3.0, 0.0)];
    assert!((cubic_feet(&square) - 3.0 * std::f64::consts::PI).abs() < 1e-9);
    square.footings = vec![footing(circle(), 3.0, 1.0)];
    let frustum = std::f64::consts::PI * (1.0 + 2.0 + 4.0);
    assert!((cubic_feet(&square) - frustum).abs() < 0.01 * frustum);
}

#[test]
fn sizes_that_cannot_be_are_refused() {
    for bad in [f64::NAN, -0.1, 1e300] {
        let mut square = outline(&SQUARE);
        let floor = lay_out(&square).value.unwrap();
        thicken(&mut square, &[0, 9], bad, 1.0, 1.0);
        let codes: Vec<_> = dug(&square, &floor).notes.iter().map(|n| n.code).collect();
        assert_eq!(codes, ["dug-size-impossible"; 3]);
    }
}
