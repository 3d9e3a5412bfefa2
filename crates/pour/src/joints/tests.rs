use basis::{Length, UnitSystem};
use ground::floor::lay_out;
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Opening, OpeningKind, Outline, Shape};
use ground::polygon::distance_to_segment;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

use super::*;
use crate::job::{JointWish, Wish};

const FOOT: f64 = 0.3048;

/// A floor of corners in feet.
fn floor(corners: &[(f64, f64)]) -> (Floor, Outline) {
    with_column(corners, None)
}

fn with_column(corners: &[(f64, f64)], column: Option<(f64, f64)>) -> (Floor, Outline) {
    maybe(corners, column).unwrap()
}

fn maybe(corners: &[(f64, f64)], column: Option<(f64, f64)>) -> Option<(Floor, Outline)> {
    let feet = |x: f64, y: f64| P2::new(x * FOOT, y * FOOT);
    let corner = |(i, c): (usize, &(f64, f64))| Corner {
        name: format!("{}", i + 1),
        at: feet(c.0, c.1),
        place: Place::job(),
    };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let openings = column.map(|(x, y)| Opening {
        name: "post".into(),
        kind: OpeningKind::Column,
        shape: Shape::Rectangle {
            centre: feet(x, y),
            width: Length::inches(16.0),
            height: Length::inches(16.0),
        },
        place: Place::job(),
    });
    let outline = Outline {
        corners: corners.iter().enumerate().map(corner).collect(),
        edges: vec![edge; corners.len()],
        openings: openings.into_iter().collect(),
        ..Outline::default()
    };
    lay_out(&outline).value.map(|floor| (floor, outline))
}

const SMALL_STONE: &Jointing = &of_stone(0.5);
const LARGE: &Jointing = &of_stone(0.75);

const fn of_stone(inches: f64) -> Jointing {
    Jointing {
        stone: Some(Length::inches(inches)),
        slump: None,
        saw: None,
        spacing: None,
        wishes: Vec::new(),
    }
}

fn wished(wishes: &[(&str, Wish)]) -> Jointing {
    let wish = |(name, wish): &(&str, Wish)| JointWish {
        name: (*name).to_owned(),
        wish: wish.clone(),
        place: Place::at("joint"),
    };
    Jointing { wishes: wishes.iter().map(wish).collect(), ..of_stone(0.75) }
}

fn input<'a>(pair: &'a (Floor, Outline), wanted: &'a Jointing) -> JointInput<'a> {
    JointInput {
        floor: &pair.0,
        outline: &pair.1,
        depth: Length::inches(4.0),
        wanted,
        bays: &[],
        units: UnitSystem::Us,
    }
}

fn laid(input: &JointInput<'_>) -> JointPlan {
    let plan = joints(input).value.unwrap();
    check_identities(input, &plan);
    plan
}

/// Panels tile the floor, sawing is the sum of the joints, every joint runs from edge to edge.
fn check_identities(input: &JointInput<'_>, plan: &JointPlan) {
    let area: f64 = plan.panels.iter().map(|p| p.area.in_square_metres()).sum();
    assert!((area - input.floor.area).abs() < 1e-4, "{area} for {}", input.floor.area);
    let rings: f64 = plan.panels.iter().map(|p| p.ring.area()).sum();
    assert!(rings > input.floor.area - 1e-2, "rings hold {rings}");
    let sawn: f64 = plan.joints.iter().map(|j| j.length().in_metres()).sum();
    assert!((sawn - plan.sawn.in_metres()).abs() < 1e-9 && plan.least <= plan.sawn);
    let edges: Vec<(P2, P2)> = std::iter::once(&input.floor.boundary)
        .chain(&input.floor.holes)
        .flat_map(|r| r.edges().collect::<Vec<_>>())
        .collect();
    for end in plan.joints.iter().flat_map(|j| [j.a, j.b]) {
        let far = edges.iter().map(|e| distance_to_segment(end, e.0, e.1)).fold(f64::INFINITY, f64::min);
        assert!(far < 1e-3, "a joint stops {far} m within the floor");
    }
}

fn feet(l: Length) -> f64 {
    (l.in_feet() * 100.0).round() / 100.0
}

/// By hand: 4 in. and 3/4 in. stone allow 10 ft, so 20 x 30 ft takes one joint of 30 and two of 20 ft: six squares.
#[test]
fn a_rectangle_of_whole_squares() {
    let pair = floor(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    let plan = laid(&input(&pair, LARGE));
    assert_eq!((feet(plan.sawn), feet(plan.least), plan.panels.len()), (70.0, 70.0, 6));
    assert!(plan.panels.iter().all(|p| p.breaks.is_empty() && p.size.map(feet) == [10.0, 10.0]));
    assert_eq!(plan.corners, []);
}

/// By hand: small stone allows 8 ft; 24 x 24 ft takes two joints of 24 ft each way, nine panels of 8 ft.
#[test]
fn a_square_garage() {
    let pair = floor(&[(0.0, 0.0), (24.0, 0.0), (24.0, 24.0), (0.0, 24.0)]);
    let plan = laid(&input(&pair, SMALL_STONE));
    assert_eq!((feet(plan.sawn), plan.panels.len()), (96.0, 9));
}

/// By hand: a walk of 4 ft takes panels of at most 6 ft by shape, so 24 ft take three joints of 4 ft.
#[test]
fn a_walk_is_cut_by_its_width() {
    let pair = floor(&[(0.0, 0.0), (24.0, 0.0), (24.0, 4.0), (0.0, 4.0)]);
    let plan = laid(&input(&pair, LARGE));
    assert_eq!((feet(plan.sawn), plan.panels.len()), (12.0, 4));
    assert!(plan.panels.iter().all(|p| p.breaks.is_empty()));
}

/// By hand: an L of 20 x 20 ft less 10 x 10 ft: one joint of 10 ft each way through the inner corner, or both lines.
#[test]
fn an_l_is_cut_at_its_inner_corner() {
    let pair = floor(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0)]);
    let plan = laid(&input(&pair, LARGE));
    assert_eq!((feet(plan.sawn), plan.panels.len()), (20.0, 3));
    assert_eq!(plan.corners, []);
}

/// A T: the stem's two inner corners are met, all panels within the limits.
#[test]
fn a_t_is_cut_at_both_inner_corners() {
    let t = [
        (10.0, 0.0),
        (30.0, 0.0),
        (30.0, 18.0),
        (40.0, 18.0),
        (40.0, 46.0),
        (0.0, 46.0),
        (0.0, 18.0),
        (10.0, 18.0),
    ];
    let pair = floor(&t);
    let plan = laid(&input(&pair, LARGE));
    assert_eq!(plan.corners, []);
    assert!(plan.panels.iter().all(|p| p.breaks.is_empty()));
}

/// By hand: a post in the middle of 16 x 16 ft stands where both joints of two by two panels of 8 ft cross.
#[test]
fn a_column_in_the_middle_stands_on_joints() {
    let pair = with_column(&[(0.0, 0.0), (16.0, 0.0), (16.0, 16.0), (0.0, 16.0)], Some((8.0, 8.0)));
    let plan = laid(&input(&pair, SMALL_STONE));
    // Each joint is broken by the 16 in. of the post.
    assert_eq!((plan.joints.len(), plan.panels.len(), feet(plan.sawn)), (4, 4, 29.33));
    assert_eq!(plan.strips.len(), 1);
}

fn feet_at(x: f64, y: f64) -> P2 {
    P2::new(x * FOOT, y * FOOT)
}

/// A joint that must be there is there under its name, and none runs where none may.
#[test]
fn forced_and_forbidden_places_are_kept() {
    let pair = floor(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    let zone = Polygon::rectangle(P2::new(5.0, 2.9), P2::new(6.0, 3.2));
    let wanted = wished(&[
        ("wall above", Wish::Joint([feet_at(12.0, 0.0), feet_at(12.0, 10.0)])),
        ("tank", Wish::KeepOff(zone.corners().to_vec())),
    ]);
    let plan = laid(&input(&pair, &wanted));
    let forced: Vec<&Joint> = plan.joints.iter().filter(|j| j.forced.is_some()).collect();
    assert!(forced.len() == 1 && forced[0].forced.as_deref() == Some("wall above"));
    assert!((forced[0].a.x - 12.0 * FOOT).abs() < 1e-9 && feet(forced[0].length()) == 20.0);
    for j in &plan.joints {
        let crosses = (0..=100).any(|i| zone.contains(j.a.lerp(j.b, f64::from(i) / 100.0)));
        assert!(!crosses, "{j:?}");
    }
    let wanted = wished(&[("skew", Wish::Joint([P2::new(1.0, 1.0), P2::new(2.0, 2.0)]))]);
    let refused = joints(&input(&pair, &wanted));
    assert!(refused.value.is_none() && refused.notes[0].code == "joint-askew");
    assert_eq!(refused.notes[0].place, Place::at("joint"));
}

/// By hand: 30 x 20 ft take joints at 10 and 20 ft across and one at 10 ft along. A heating pipe at 10 ft along the floor, end to end,
/// keeps that one off: no joint lies within 2 in. of it, and none crosses it, so only joints along it are left.
#[test]
fn no_joint_crosses_a_line_that_is_kept_off() {
    let pair = floor(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    let wanted = wished(&[("pipe", Wish::KeepOff(vec![feet_at(0.0, 10.0), feet_at(30.0, 10.0)]))]);
    let plan = laid(&input(&pair, &wanted));
    assert!(!plan.joints.is_empty());
    for j in &plan.joints {
        assert!((j.a.y - j.b.y).abs() < 1e-9, "{j:?} crosses the pipe");
        assert!((j.a.y - 10.0 * FOOT).abs() > 2.0 * 0.0254, "{j:?} lies on the pipe");
    }
    // A joint that must cross it does, and that is told.
    let both = wished(&[
        ("pipe", Wish::KeepOff(vec![feet_at(0.0, 10.0), feet_at(30.0, 10.0)])),
        ("door line", Wish::Joint([feet_at(15.0, 0.0), feet_at(15.0, 4.0)])),
    ]);
    let report = joints(&input(&pair, &both));
    let told = report.notes.iter().find(|n| n.code == "joint-where-none-may-be").unwrap();
    assert!(told.message.contains("door line") && told.message.contains("pipe"), "{told:?}");
    let plan = report.value.unwrap();
    let crossing: Vec<&Joint> = plan.joints.iter().filter(|j| (j.a.x - j.b.x).abs() < 1e-9).collect();
    assert!(crossing.len() == 1 && (crossing[0].a.x - 15.0 * FOOT).abs() < 1e-9);
}

/// By hand: 30 x 20 ft wanted at 5 ft take 5 joints of 20 ft and 3 of 30 ft; wanted at 15 ft, over the 10 ft allowed, 1 and 1,
/// and the panels are still told to be over 10 ft.
#[test]
fn a_wanted_spacing_goes_before_the_greatest_and_is_judged_by_it() {
    let pair = floor(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    let near = Jointing { spacing: Some(Length::feet(5.0)), ..LARGE.clone() };
    let plan = laid(&input(&pair, &near));
    assert_eq!((feet(plan.sawn), plan.panels.len(), feet(plan.apart)), (190.0, 24, 5.0));
    let far = Jointing { spacing: Some(Length::feet(15.0)), ..LARGE.clone() };
    let report = joints(&input(&pair, &far));
    let codes: Vec<&str> = report.notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["joints-far-apart", "panels-over-limits"]);
    let plan = report.value.unwrap();
    assert_eq!((feet(plan.sawn), plan.panels.len()), (50.0, 4));
    assert!(plan.panels.iter().all(|p| p.breaks[0].contains("longer than 10'")), "{:?}", plan.panels);
}

/// By hand: a joint in the upper arm of this L, at 15 ft up, is 5 ft from the top edge; the edge at 10 ft beside the lower arm lies as near but not
/// beside it. (Corners 1 to 6 in order; the top edge is 5-6.)
#[test]
fn the_tape_starts_at_an_edge_beside_the_joint() {
    let pair = floor(&[(0.0, 0.0), (24.0, 0.0), (24.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0)]);
    let wanted = wished(&[("shelf", Wish::Joint([feet_at(1.0, 15.0), feet_at(9.0, 15.0)]))]);
    let plan = laid(&input(&pair, &wanted));
    let shelf = plan.joints.iter().find(|j| j.forced.is_some()).unwrap();
    let (far, edge) = shelf.tape.clone().unwrap();
    assert_eq!((feet(far), edge.as_str()), (5.0, "5-6"));
}

/// An inner corner that is left without a joint gets bars, which lie square to the way into the floor. By hand: at (10, 10) ft of this L the
/// floor lies to the lower left.
#[test]
fn bars_lie_square_to_the_way_into_the_floor() {
    let pair = floor(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0)]);
    let off = Polygon::rectangle(feet_at(9.0, 9.0), feet_at(11.0, 11.0)).corners().to_vec();
    let plan = joints(&input(&pair, &wished(&[("drain pipe", Wish::KeepOff(off))]))).value.unwrap();
    assert_eq!(plan.corners.len(), 1);
    let inward = plan.corners[0].inward;
    assert!((inward - P2::new(-0.5_f64.sqrt(), -0.5_f64.sqrt())).norm() < 1e-9, "{inward:?}");
}

/// By hand: along an existing slab of 20 ft a 4 in. slab takes 20 dowels of 12 in. apart, the first 6 in. from the end, pointing into the floor.
#[test]
fn dowels_lie_along_the_existing_slab() {
    let mut pair = floor(&[(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)]);
    pair.1.edges[0].kind = EdgeKind::ExistingSlab;
    pair.0 = lay_out(&pair.1).value.unwrap();
    let dowels = laid(&input(&pair, LARGE)).dowels.unwrap();
    assert_eq!(dowels.places.len(), 20);
    assert!((dowels.places[0].at - feet_at(0.5, 0.0)).norm() < 1e-9);
    assert!(dowels.places.iter().all(|d| (d.inward - P2::new(0.0, 1.0)).norm() < 1e-9));
}

/// A random staircase of whole feet: every inner corner is met or told, nothing panics, panels tile the floor.
#[test]
fn random_staircases_keep_the_rules() {
    let mut rng = ChaCha12Rng::seed_from_u64(41);
    for _ in 0..12 {
        let steps = rng.random_range(1..4);
        let mut corners = vec![(0.0, 0.0)];
        let (mut x, mut y) = (0.0, 0.0);
        let mut tops = Vec::new();
        for _ in 0..steps {
            x += f64::from(rng.random_range(5_u32..14));
            y += f64::from(rng.random_range(5_u32..14));
            tops.push((x, y));
        }
        corners.push((x, 0.0));
        // From the right end up: each step is lower than the last.
        for (i, (right, _)) in tops.iter().enumerate().rev() {
            let height = tops[steps - 1 - i].1;
            corners.push((*right, height));
            if i > 0 {
                corners.push((tops[i - 1].0, height));
            }
        }
        corners.push((0.0, y));
        let pair = floor(&corners);
        let plan = laid(&input(&pair, LARGE));
        assert_eq!(plan.corners, [], "{corners:?}");
        let longest = plan.panels.iter().flat_map(|p| p.size).fold(Length::ZERO, Length::max);
        assert!(longest.in_feet() < 10.0 + 1e-3, "{corners:?}");
    }
}

/// Slivers and absurd sizes give a layout or a fault, never a panic.
#[test]
fn slivers_do_not_panic() {
    for thin in [0.001, 0.05, 0.5, 1.0] {
        let outline = [(0.0, 0.0), (40.0, 0.0), (40.0, thin), (0.0, thin)];
        let Some(pair) = maybe(&outline, None) else { continue };
        let report = joints(&input(&pair, LARGE));
        assert!(report.value.is_some() || report.has_fault());
        if let Some(plan) = report.value {
            assert!(plan.panels.iter().all(|p| !p.breaks.is_empty()));
        }
    }
    let pair = floor(&[(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (0.0, 20.0)]);
    for depth in [f64::NAN, 0.0, -4.0, f64::INFINITY] {
        let refused = joints(&JointInput { depth: Length::inches(depth), ..input(&pair, LARGE) });
        assert!(refused.value.is_none() && refused.has_fault());
    }
}
