//! Laid joints against shapely: what they part the floor into, what panels cover, which inner corners are left.

use basis::{Length, Place, UnitSystem};
use ground::P2;
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Opening, OpeningKind, Outline, Shape};
use house::{python, tree};
use pour::job::Jointing;
use pour::joints::{JointInput, JointPlan, joints};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

use crate::floors::{pairs, rings};

const FOOT: f64 = 0.3048;

/// A floor of unit squares grown one beside the other, its outline walked with the floor on the left.
fn grown(rng: &mut ChaCha12Rng) -> Vec<(i32, i32)> {
    let mut cells = vec![(0_i32, 0_i32)];
    while cells.len() < 6 {
        let (x, y) = cells[rng.random_range(0..cells.len())];
        let (dx, dy) = [(1, 0), (-1, 0), (0, 1), (0, -1)][rng.random_range(0..4)];
        let next = (x + dx, y + dy);
        if !cells.contains(&next) && is_plain(&cells, next) {
            cells.push(next);
        }
    }
    cells
}

/// Whether a square may be added without closing a ring or touching corner to corner.
fn is_plain(cells: &[(i32, i32)], (x, y): (i32, i32)) -> bool {
    let has = |dx: i32, dy: i32| cells.contains(&(x + dx, y + dy));
    let corners = [(1, 1), (1, -1), (-1, 1), (-1, -1)];
    let sides = [(1, 0), (-1, 0), (0, 1), (0, -1)].iter().filter(|d| has(d.0, d.1)).count();
    corners.iter().all(|(dx, dy)| !has(*dx, *dy) || has(*dx, 0) || has(0, *dy)) && sides == 1
}

/// The outline of squares, each step of the walk a side without a neighbour.
fn outline_of(cells: &[(i32, i32)]) -> Vec<(i32, i32)> {
    let mut sides: Vec<((i32, i32), (i32, i32))> = Vec::new();
    for &(x, y) in cells {
        let around = [((0, -1), (x, y), (x + 1, y)), ((1, 0), (x + 1, y), (x + 1, y + 1))];
        let back = [((0, 1), (x + 1, y + 1), (x, y + 1)), ((-1, 0), (x, y + 1), (x, y))];
        for ((dx, dy), a, b) in around.into_iter().chain(back) {
            if !cells.contains(&(x + dx, y + dy)) {
                sides.push((a, b));
            }
        }
    }
    let mut walk = vec![sides[0].0];
    let mut at = sides[0].1;
    while at != walk[0] {
        walk.push(at);
        at = sides.iter().find(|side| side.0 == at).expect("a closed outline").1;
    }
    let n = walk.len();
    let straight = |i: usize| {
        let (a, b, c) = (walk[(i + n - 1) % n], walk[i], walk[(i + 1) % n]);
        (b.0 - a.0) * (c.1 - b.1) == (b.1 - a.1) * (c.0 - b.0)
    };
    (0..n).filter(|i| !straight(*i)).map(|i| walk[i]).collect()
}

fn laid_out(corners: &[P2], openings: Vec<Opening>) -> (Floor, Outline) {
    let corner = |(i, at): (usize, &P2)| Corner { name: format!("c{i}"), at: *at, place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let outline = Outline {
        corners: corners.iter().enumerate().map(corner).collect(),
        edges: vec![edge; corners.len()],
        openings,
        ..Outline::default()
    };
    let report = ground::floor::lay_out(&outline);
    (report.value.unwrap_or_else(|| panic!("a floor: {:?}", report.notes)), outline)
}

/// Shapely's own findings about a layout.
fn judged(floor: &Floor, plan: &JointPlan) -> Value {
    let panels: Vec<Value> = plan.panels.iter().map(|panel| pairs(panel.ring.corners())).collect();
    let lines: Vec<Value> = plan.joints.iter().map(|joint| pairs(&[joint.a, joint.b])).collect();
    let question = json!({
        "shell": pairs(floor.boundary.corners()), "holes": rings(&floor.holes), "joints": lines, "panels": panels,
    });
    python::ask("joints", &question)
}

/// What must hold of every layout.
fn check(told: &str, floor: &Floor, plan: &JointPlan) -> Value {
    let answer = judged(floor, plan);
    let pieces = python::numbers(&answer, "pieces");
    let mut ours: Vec<f64> = plan.panels.iter().map(|panel| panel.area.in_square_metres()).collect();
    ours.sort_by(f64::total_cmp);
    assert_eq!(pieces.len(), ours.len(), "{told}: pieces {pieces:?}, panels {ours:?}");
    for (theirs, ours) in pieces.iter().zip(&ours) {
        // Shapely loses the width of its cut, 1e-5 m along a few metres of joint; our corners are rounded to as much.
        assert!((theirs - ours).abs() < 2e-3, "{told}: {theirs} against {ours}");
    }
    for what in ["uncovered", "outside", "overlap", "off"] {
        assert!(python::number(&answer, what) < 2e-3, "{told}: {what} {answer}");
    }
    assert!((python::number(&answer, "sawn") - plan.sawn.in_metres()).abs() < 1e-9, "{told}");
    let corners = answer["corners"].as_array().expect("corners");
    for corner in corners {
        let at = P2::new(corner[0].as_f64().expect("x"), corner[1].as_f64().expect("y"));
        let is_told = plan.corners.iter().any(|bars| bars.at.distance(at) < 1e-2);
        assert!(is_told, "{told}: inner corner at {at:?} has neither joint nor bars");
    }
    answer
}

#[test]
fn panels_of_grown_floors_cover_them_and_leave_no_inner_corner() {
    let mut rng = ChaCha12Rng::seed_from_u64(71);
    let mut inner = 0;
    for round in 0..14 {
        let walk = outline_of(&grown(&mut rng));
        let wide: Vec<f64> = (0..16).map(|_| f64::from(rng.random_range(6_u32..15)) * FOOT).collect();
        let place = |n: i32| {
            let count = usize::try_from(n + 8).expect("few squares");
            wide[..count].iter().sum::<f64>()
        };
        let corners: Vec<P2> = walk.iter().map(|(x, y)| P2::new(place(*x), place(*y))).collect();
        let (floor, outline) = laid_out(&corners, Vec::new());
        let wanted = Jointing { stone: Some(Length::inches(0.75)), ..Jointing::default() };
        let plan = lay(&floor, &outline, &wanted);
        let answer = check(&format!("floor {round}"), &floor, &plan);
        // Such a floor can always be cut to the spacing: lines run in its own directions.
        let most = plan.apart.in_metres();
        assert!(python::number(&answer, "longest") < most + 1e-3, "floor {round}: {answer} over {most}");
        assert!(plan.corners.is_empty(), "floor {round}");
        inner += corners.len().saturating_sub(4) / 2;
    }
    assert!(inner >= 14, "only {inner} inner corners were drawn");
}

fn lay(floor: &Floor, outline: &Outline, wanted: &Jointing) -> JointPlan {
    let input =
        JointInput { floor, outline, depth: Length::inches(4.0), wanted, bays: &[], units: UnitSystem::Us };
    let report = joints(&input);
    report.value.unwrap_or_else(|| panic!("joints: {:?}", report.notes))
}

/// Skew outlines with a column and a wide opening: the same, but for the spacing, which skew corners may break and then tell.
#[test]
fn panels_of_skew_floors_with_openings_cover_them() {
    let mut rng = ChaCha12Rng::seed_from_u64(72);
    for round in 0..8 {
        let mut far = || rng.random_range(0.0..1.8);
        let corners = [
            P2::new(-7.0 + far(), -6.0),
            P2::new(7.0, -6.0 + far()),
            P2::new(7.0 - far(), 6.0),
            P2::new(-7.0, 6.0 - far()),
        ];
        let opening = |name: &str, kind, centre: P2, wide: f64| Opening {
            name: name.into(),
            kind,
            shape: Shape::Rectangle { centre, width: Length::metres(wide), height: Length::metres(wide) },
            place: Place::job(),
        };
        let openings = vec![
            opening("post", OpeningKind::Column, P2::new(far() - 3.0, far() - 2.0), 0.4),
            opening("pit", OpeningKind::Opening, P2::new(far() + 1.5, far()), 1.6),
        ];
        let (floor, outline) = laid_out(&corners, openings);
        let wanted = Jointing { stone: Some(Length::inches(0.75)), ..Jointing::default() };
        check(&format!("skew floor {round}"), &floor, &lay(&floor, &outline, &wanted));
    }
}

#[test]
fn panels_of_the_demonstrations_cover_their_floors() {
    for path in tree::demo_jobs() {
        let told = tree::shown(&path);
        let fetch = |name: &str| Ok(tree::text(&tree::root().join("demo").join(name)).into_bytes());
        let job = formats::read_job(&tree::text(&path), &told, &fetch).report.value.expect("the demo reads");
        let plan = pour::plan::plan(&job, 1).value.expect("the demo plans");
        check(&told, &plan.floor, &plan.joints);
    }
}
