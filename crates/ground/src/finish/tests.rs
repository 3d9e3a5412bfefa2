use basis::{Angle, Length, Place, Slope, UnitSystem};

use super::*;
use crate::outline::{Corner, Door, Edge, EdgeKind, EdgeShape, Outline};
use crate::overlay::overlay;
use crate::{Plane, Polygon, floor, volume};

const FT: f64 = 0.3048;

fn rectangle(width: f64, height: f64, doors: Vec<Door>) -> Floor {
    let corner =
        |(x, y): (f64, f64)| Corner { name: format!("{x},{y}"), at: P2::new(x, y), place: Place::job() };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(corner).to_vec();
    let outline = Outline { corners, edges: vec![edge; 4], doors, ..Outline::default() };
    floor::lay_out(&outline).value.unwrap()
}

fn design(shape: FinishShape) -> FinishDesign {
    FinishDesign { shape, drains: Vec::new(), place: Place::at("finish") }
}

fn level(z: f64) -> FinishDesign {
    let elevation = Length::metres(z);
    design(FinishShape::Plane { through: P2::default(), elevation, fall: Slope::ZERO, toward: Angle::ZERO })
}

/// Concrete between the surface and a level base.
fn volume_above(surface: &FinishSurface, floor: &Floor, z: f64) -> f64 {
    let wide = Polygon::rectangle(P2::new(-1e3, -1e3), P2::new(1e3, 1e3)).corners().to_vec();
    let mesh = overlay(floor, surface.facets(), &[Facet { ring: wide, plane: Plane::level(z) }], &[]);
    assert!(mesh.uncovered < 1e-9 * floor.area);
    volume::volume(&mesh).in_cubic_metres()
}

#[test]
fn a_plane_falls_toward_its_direction() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let shape = FinishShape::Plane {
        through: P2::new(0.0, 4.0),
        elevation: Length::metres(1.0),
        fall: Slope::percent(1.0),
        toward: Angle::degrees(270.0),
    };
    let top = surface(&design(shape), &floor).value.unwrap();
    assert!((top.z(P2::new(3.0, 0.0)).unwrap() - 0.96).abs() < 1e-12);
    assert!((top.gradient(P2::new(3.0, 1.0)).unwrap().y - 0.01).abs() < 1e-12);
}

/// Square drain pyramid 20 × 20 ft, 2.5 in. deep: 27.777778 ft³ (A·depth/3).
#[test]
fn a_drain_without_radius_takes_the_whole_floor() {
    let floor = rectangle(20.0 * FT, 20.0 * FT, vec![]);
    let mut flat = level(0.0);
    flat.drains.push(DrainDish {
        name: "d".into(),
        at: P2::new(10.0 * FT, 10.0 * FT),
        low: Length::inches(-2.5),
        radius: None,
        place: Place::job(),
    });
    let top = surface(&flat, &floor).value.unwrap();
    let missing = -volume_above(&top, &floor, 0.0) / (FT * FT * FT);
    // Lines through the drain carry no leftover of the plane: halfway out it is halfway down.
    for (x, y) in [(15.0, 10.0), (10.0, 5.0), (15.0, 15.0)] {
        let z = top.z(P2::new(x * FT, y * FT)).unwrap();
        assert!((Length::metres(z).in_inches() + 1.25).abs() < 1e-9, "{x} {y}");
    }
    assert!((missing - 400.0 * (2.5 / 12.0) / 3.0).abs() < 1e-9);
    flat.drains[0].low = Length::inches(2.5);
    assert_eq!(surface(&flat, &floor).notes[0].code, "drain-is-high");
    flat.drains[0].at = P2::new(-1.0, 0.0);
    assert_eq!(surface(&flat, &floor).notes[0].code, "drain-not-on-floor");
}

/// A crown and a valley of one fall over one line lie as far above and below it.
#[test]
fn crown_and_valley_mirror_each_other() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let line = [P3::new(0.0, 2.0, 0.0), P3::new(6.0, 2.0, 0.0)];
    let fall = Slope::inches_per_foot(0.25);
    let crown = surface(&design(FinishShape::Crown { line, fall }), &floor).value.unwrap();
    let valley = surface(&design(FinishShape::Valley { line, fall }), &floor).value.unwrap();
    assert!((crown.z(P2::new(1.0, 4.0)).unwrap() + 2.0 / 48.0).abs() < 1e-12);
    // Ridge over a 6 × 4 m floor: A·s·W/4 below the ridge, as much above the valley.
    let expected = 24.0 * (1.0 / 48.0);
    assert!((volume_above(&crown, &floor, 0.0) + expected).abs() < 1e-12);
    assert!((volume_above(&valley, &floor, 0.0) - expected).abs() < 1e-12);
}

/// Taper of 1/2 in. over 9 in. behind a 16 ft door takes width·taper·drop/2.
#[test]
fn a_door_taper_is_in_the_geometry() {
    let door = Door {
        name: "wide".into(),
        edge: 0,
        start: Length::feet(4.0),
        width: Length::feet(16.0),
        drop: Length::inches(0.5),
        taper: Length::inches(9.0),
        place: Place::job(),
    };
    let floor = rectangle(24.0 * FT, 20.0 * FT, vec![door]);
    let top = surface(&level(1.0), &floor).value.unwrap();
    let taken = floor.area - volume_above(&top, &floor, 0.0);
    let expected = 16.0 * FT * 0.0254 * 9.0 * 0.0254 * 0.5 / 2.0;
    assert!((taken - expected).abs() < 1e-12);
    assert!((top.z(P2::new(12.0 * FT, 0.0)).unwrap() - (1.0 - 0.0127)).abs() < 1e-9);
}

/// A bilinear surface has the mean of its corners over a rectangle.
#[test]
fn a_warp_holds_the_mean_of_its_corners() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let z = [0.00, 0.04, 0.10, 0.02];
    let at = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)];
    let corners = [0, 1, 2, 3].map(|i: usize| P3::new(at[i].0, at[i].1, z[i]));
    let report = surface(&design(FinishShape::Warp { corners }), &floor);
    assert_eq!(report.notes[0].code, "warp-drawn-as-facets");
    let found = volume_above(&report.value.unwrap(), &floor, 0.0) / 24.0;
    // The diagonals of the small cells all run one way: off by half the told error at most.
    assert!((found - 0.04).abs() < 0.04 / 4.0 / 576.0);
}

#[test]
fn spots_must_cover_the_floor() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let spots = vec![P3::new(0.0, 0.0, 0.0), P3::new(6.0, 0.0, 0.0), P3::new(6.0, 4.0, 0.1)];
    let report = surface(&design(FinishShape::Points { spots: spots.clone(), breaks: vec![] }), &floor);
    assert_eq!(report.notes[0].code, "finish-leaves-floor-uncovered");
    let mut all = spots;
    all.push(P3::new(0.0, 4.0, 0.1));
    let top = surface(&design(FinishShape::Points { spots: all, breaks: vec![] }), &floor).value.unwrap();
    assert!((volume_above(&top, &floor, 0.0) - 1.2).abs() < 1e-12);
}

#[test]
fn impossible_figures_are_refused() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let mut steep = level(0.0);
    if let FinishShape::Plane { fall, .. } = &mut steep.shape {
        *fall = Slope::percent(30.0);
    }
    assert_eq!(surface(&steep, &floor).notes[0].code, "fall-out-of-range");
    assert_eq!(surface(&level(f64::NAN), &floor).notes[0].code, "finish-out-of-range");
}

#[test]
fn the_floor_follows_forms_that_stand_high() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let top = surface(&level(0.0), &floor).value.unwrap();
    let form = |name: &str, x: f64, y: f64, z: f64| FormShot {
        name: name.into(),
        at: P2::new(x, y),
        z,
        place: Place::job(),
    };
    // All forms 10 mm high and no pad inside: the whole floor comes up by 10 mm.
    let all = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)].map(|(x, y)| form("f", x, y, 0.01));
    let report = follow_forms(&top, &floor, &all, &[]);
    let (raised, deviations) = report.value.unwrap();
    assert!((volume_above(&raised, &floor, 0.0) - 0.24).abs() < 1e-12);
    assert!(deviations.iter().all(|d| (d.deviation.in_millimetres() - 10.0).abs() < 1e-9));
    // A pad in the middle holds its elevation: four pyramids take a third.
    let (held, _) = follow_forms(&top, &floor, &all, &[P2::new(3.0, 2.0)]).value.unwrap();
    assert!((volume_above(&held, &floor, 0.0) - 0.16).abs() < 1e-12);
    assert_eq!(held.z(P2::new(3.0, 2.0)).map(|z| z.abs() < 1e-12), Some(true));
    let codes: Vec<_> =
        follow_forms(&top, &floor, &[form("a", 3.0, 2.0, 0.0), form("b", 0.1, 0.0, 0.0)], &[])
            .notes
            .iter()
            .map(|n| n.code)
            .collect();
    assert_eq!(codes, ["form-shot-off-the-edge", "forms-shot-far-apart"]);
}

/// At a jamb the floor's form and the door's form meet, 13 mm apart; a stick held there is on either.
#[test]
fn a_form_shot_at_a_jamb_is_judged_by_the_form_that_it_stands_on() {
    let door = Door {
        name: "door".into(),
        edge: 0,
        start: Length::metres(2.0),
        width: Length::metres(1.0),
        drop: Length::millimetres(13.0),
        taper: Length::millimetres(230.0),
        place: Place::job(),
    };
    let floor = rectangle(6.0, 4.0, vec![door]);
    let top = surface(&level(0.0), &floor).value.unwrap();
    let form = |x: f64, z: f64| FormShot { name: "f".into(), at: P2::new(x, 0.0), z, place: Place::job() };
    let off = |x: f64, z: f64| {
        let (_, deviations) = follow_forms(&top, &floor, &[form(x, z)], &[]).value.unwrap();
        deviations[0].deviation.in_millimetres()
    };
    for jamb in [2.0, 3.0] {
        for stray in [-0.03, 0.0, 0.03] {
            assert!(off(jamb + stray, 0.0).abs() < 0.02, "on the floor's form at {jamb}");
            assert!(off(jamb + stray, -0.013).abs() < 0.02, "on the door's form at {jamb}");
            assert!((off(jamb + stray, -0.018) + 5.0).abs() < 0.02, "5 mm under the door's form");
        }
    }
    // Away from the jamb nothing is forgiven.
    assert!((off(1.5, -0.013) + 13.0).abs() < 0.02);
    assert!((off(2.5, 0.0) - 13.0).abs() < 0.02);
}

/// A dish of 2 in. and a radius of 4 ft in a level floor takes the cone π r² h / 3, and no spot is off by more than 0.6 % of
/// its depth.
#[test]
fn a_round_dish_holds_its_cone() {
    let floor = rectangle(6.0, 6.0, vec![]);
    let (radius, depth) = (4.0 * FT, 2.0 * 0.0254);
    let mut flat = level(0.0);
    flat.drains.push(DrainDish {
        name: "d".into(),
        at: P2::new(3.0, 3.0),
        low: Length::metres(-depth),
        radius: Some(Length::metres(radius)),
        place: Place::job(),
    });
    let top = surface(&flat, &floor).value.unwrap();
    let cone = std::f64::consts::PI * radius * radius * depth / 3.0;
    assert!((-volume_above(&top, &floor, 0.0) - cone).abs() < 1e-12);
    let mut worst = 0.0_f64;
    for step in 0..720 {
        let angle = f64::from(step).to_radians() / 2.0;
        let (x, y) = (basis::math::cos(angle), basis::math::sin(angle));
        for share in [0.25, 0.5, 0.75, 0.99, 1.0, 1.005] {
            let at = P2::new(3.0, 3.0) + P2::new(x, y) * (radius * share);
            let true_depth = depth * (1.0 - share).max(0.0);
            worst = worst.max((top.z(at).unwrap() + true_depth).abs() / depth);
        }
    }
    assert!(worst < 0.006 && worst > 0.004, "{worst}");
}

/// Two doors in a corner, 1 in. over 10 in. and 1/2 in. over 10 in.: the lower taper holds, they do not add up.
#[test]
fn tapers_that_meet_in_a_corner_do_not_add_up() {
    let inch = 0.0254;
    let door = |edge: usize, start: f64, drop: f64| Door {
        name: format!("{edge}"),
        edge,
        start: Length::metres(start),
        width: Length::metres(1.0),
        drop: Length::inches(drop),
        taper: Length::inches(10.0),
        place: Place::job(),
    };
    // Along the bottom from the corner at the origin, and down the left side to it.
    let floor = rectangle(6.0, 4.0, vec![door(0, 0.0, 1.0), door(3, 3.0, 0.5)]);
    let top = surface(&level(0.0), &floor).value.unwrap();
    let lowered = |x: f64, y: f64| {
        let one = if x < 1.0 { (1.0 - y / (10.0 * inch)).max(0.0) } else { 0.0 };
        let other = if y < 1.0 { 0.5 * (1.0 - x / (10.0 * inch)).max(0.0) } else { 0.0 };
        one.max(other) * inch
    };
    for i in 0..30 {
        for j in 0..30 {
            let (x, y) = ((f64::from(i) + 0.37) * 0.041, (f64::from(j) + 0.53) * 0.041);
            assert!((top.z(P2::new(x, y)).unwrap() + lowered(x, y)).abs() < 1e-12, "{x} {y}");
        }
    }
    // Each takes w·t·d/2; in the square of 10 in. the smaller of the two is not taken as well:
    // ∫∫ min(1 − v, (1 − u)/2) du dv = ∫ (s/2 − s²/8) ds = 1/4 − 1/24 over s = 1 − u, inches times square.
    let (a, t) = (1.0, 10.0 * inch);
    let both = a * t * (1.0 + 0.5) * inch / 2.0 - t * t * inch * (1.0 / 4.0 - 1.0 / 24.0);
    assert!((-volume_above(&top, &floor, 0.0) - both).abs() < 1e-12);
}

/// Spots a few millimetres inside the forms still carry the floor, in the plane of the nearest triangle.
#[test]
fn spots_just_inside_the_corners_reach_them() {
    let floor = rectangle(6.0, 4.0, vec![]);
    let plane = |x: f64, y: f64| 0.01 * x - 0.02 * y;
    let spots = |inside: f64| {
        let at =
            [(inside, inside), (6.0 - inside, inside), (6.0 - inside, 4.0 - inside), (inside, 4.0 - inside)];
        at.map(|(x, y)| P3::new(x, y, plane(x, y))).to_vec()
    };
    let points = |inside| design(FinishShape::Points { spots: spots(inside), breaks: vec![] });
    // 7 mm both ways is 9.9 mm from the corner.
    let report = surface(&points(0.007), &floor);
    assert_eq!(report.notes.iter().map(|n| n.code).collect::<Vec<_>>(), ["corner-just-outside-spots"]);
    assert!(report.notes[0].clone().in_units(UnitSystem::Metric).message.contains("9.90 mm"));
    let top = report.value.unwrap();
    for (x, y) in [(0.0, 0.0), (6.0, 4.0), (3.0, 0.0), (0.0, 2.0), (5.999, 0.003)] {
        assert!((top.z(P2::new(x, y)).unwrap() - plane(x, y)).abs() < 1e-12, "{x} {y}");
    }
    // The mean of a plane is its height in the middle: 0.03 − 0.04.
    assert!((volume_above(&top, &floor, 0.0) + 0.24).abs() < 1e-12);
    assert_eq!(surface(&points(0.0072), &floor).notes[0].code, "finish-leaves-floor-uncovered");
}
