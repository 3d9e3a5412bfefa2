use basis::{Angle, Place, Slope};
use ground::finish::{FinishDesign, FinishShape};
use ground::floor::lay_out;
use ground::outline::{Corner, Door, Edge, EdgeShape, Opening, OpeningKind, Shape};

use super::*;

const FOOT: f64 = 0.3048;

/// A floor of free edges through corners in metres, named A, B, ...
fn outline(corners: &[(f64, f64)]) -> Outline {
    let corner = |(i, &(x, y)): (usize, &(f64, f64))| Corner {
        name: char::from(b'A' + i as u8).to_string(),
        at: P2::new(x, y),
        place: Place::job(),
    };
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    Outline {
        corners: corners.iter().enumerate().map(corner).collect(),
        edges: vec![edge; corners.len()],
        ..Outline::default()
    }
}

fn garage() -> Outline {
    let mut garage =
        outline(&[(0.0, 0.0), (20.0 * FOOT, 0.0), (20.0 * FOOT, 24.0 * FOOT), (0.0, 24.0 * FOOT)]);
    garage.doors.push(Door {
        name: "door".to_owned(),
        edge: 0,
        start: Length::feet(2.0),
        width: Length::feet(9.0),
        drop: Length::inches(0.5),
        taper: Length::inches(9.0),
        place: Place::job(),
    });
    garage
}

fn sheet(outline: &Outline, finish: &dyn Fn(P2) -> Option<f64>, units: UnitSystem) -> PrepSheet {
    let floor = lay_out(outline).value.expect("a sound outline");
    prep(&PrepInput {
        floor: &floor,
        outline,
        finish_z: finish,
        base_z: &|p| Some(-0.1 + if p.y > 3.0 { 0.02 } else { -0.03 }),
        dug: &|_| Length::ZERO,
        nominal: Length::metres(0.1),
        shot: &[],
        tolerance: Length::ZERO,
        reading: &|z| RodReading::Rod(Length::metres(2.0 - z)),
        units,
    })
}

fn labels(sheet: &PrepSheet) -> Vec<&str> {
    sheet.forms.iter().map(|f| f.label.as_str()).collect()
}

#[test]
fn forms_of_a_garage_are_listed_edge_after_edge() {
    let sheet = sheet(&garage(), &|p| Some(0.01 * p.y), UnitSystem::Us);
    assert_eq!(
        labels(&sheet),
        [
            "A",
            "door, jamb at 2', full",
            "door, jamb at 2', dropped",
            "A-B at 10'",
            "door, jamb at 11', full",
            "door, jamb at 11', dropped",
            "B",
            "B-C at 10'",
            "B-C at 20'",
            "C",
            "C-D at 10'",
            "D",
            "D-A at 10'",
            "D-A at 20'",
        ]
    );
    let z = |label: &str| sheet.forms.iter().find(|f| f.label == label).expect("a point").z;
    assert!((z("B-C at 10'") - 0.03048).abs() < 1e-12);
    assert!((z("D-A at 10'") - 0.01 * 14.0 * FOOT).abs() < 1e-12);
    // Half an inch between the two heights of a jamb.
    let (full, dropped) = (z("door, jamb at 2', full"), z("door, jamb at 2', dropped"));
    assert!((full - dropped - 0.0127).abs() < 1e-12);
    for form in &sheet.forms {
        assert_eq!(form.reading, RodReading::Rod(Length::metres(2.0 - form.z)));
    }
}

#[test]
fn an_outline_drawn_the_other_way_round_measures_from_its_own_corners() {
    let mut turned = garage();
    turned.corners[1..].reverse();
    // Now A (0,0), D's place (0,24), C's, B's; the names follow the places.
    turned.doors.clear();
    let sheet = sheet(&turned, &|p| Some(0.01 * p.y), UnitSystem::Us);
    let point = sheet.forms.iter().find(|f| f.label == "A-D at 10'").expect("a point");
    assert!((point.at.x).abs() < 1e-12 && (point.at.y - 10.0 * FOOT).abs() < 1e-12);
}

#[test]
fn a_door_in_a_corner_takes_its_height_from_behind_the_taper() {
    let mut garage = garage();
    garage.doors[0].start = Length::ZERO;
    // The finish in the door is low by half an inch at the form and tapers back over 9 in.
    let finish = |p: P2| {
        let back = (p.y / (9.0 * 0.0254)).min(1.0);
        Some(if p.x <= 9.0 * FOOT { -0.0127 * (1.0 - back) } else { 0.0 })
    };
    let sheet = sheet(&garage, &finish, UnitSystem::Us);
    let z = |label: &str| sheet.forms.iter().find(|f| f.label == label).expect("a point").z;
    assert!(z("door, jamb at 0\", full").abs() < 1e-9);
    assert!((z("door, jamb at 9', dropped") + 0.0127).abs() < 1e-9);
}

/// A crown of 50 mm in the middle of a 5 m edge is the high point of both ends.
#[test]
fn the_high_point_of_an_edge_is_listed() {
    let room = outline(&[(0.0, 0.0), (5.0, 0.0), (5.0, 4.0), (0.0, 4.0)]);
    let sheet = sheet(&room, &|p| Some(0.05 - 0.02 * (p.x - 1.5).abs()), UnitSystem::Metric);
    let high: Vec<&FormPoint> = sheet.forms.iter().filter(|f| f.mark == FormMark::High).collect();
    assert_eq!(high.len(), 2);
    assert_eq!(high[0].label, "A-B at 1.500 m, high point");
    assert!((high[0].z - 0.05).abs() < 1e-9);
    assert!(!sheet.forms.iter().any(|f| f.mark == FormMark::Low));
}

/// Level for 2.2 m, then falling 2 %: a board from corner to corner of 5 m would be 25 mm off at the bend.
#[test]
fn a_bend_of_the_finish_along_a_form_is_listed() {
    let room = outline(&[(0.0, 0.0), (5.0, 0.0), (5.0, 2.5), (0.0, 2.5)]);
    let sheet = sheet(&room, &|p| Some(-0.02 * (p.x - 2.2).max(0.0)), UnitSystem::Metric);
    let bends: Vec<&FormPoint> = sheet.forms.iter().filter(|f| f.mark == FormMark::Bend).collect();
    assert_eq!(bends.len(), 2);
    assert!(bends.iter().all(|f| (f.at.x - 2.2).abs() < 2e-3 && f.z.abs() < 1e-4));
}

/// A garage turned by any angle keeps its corners and jambs on the real surface with its door taper.
#[test]
fn every_corner_and_jamb_is_found_on_the_surface_itself() {
    for degrees in [0.0_f64, 33.0, 90.0, 211.0] {
        let (sin, cos) = (basis::math::sin(degrees.to_radians()), basis::math::cos(degrees.to_radians()));
        let turn = |p: P2| P2::new(4e3 + p.x * cos - p.y * sin, p.x * sin + p.y * cos);
        let mut garage = garage();
        garage.corners.iter_mut().for_each(|c| c.at = turn(c.at));
        let floor = lay_out(&garage).value.expect("a sound outline");
        let at = turn(P2::default());
        let shape = FinishShape::Plane {
            through: at,
            elevation: Length::metres(10.0),
            fall: Slope::percent(1.0),
            toward: Angle::degrees(degrees - 90.0),
        };
        let design = FinishDesign { shape, drains: Vec::new(), place: Place::job() };
        let finish = ground::finish::surface(&design, &floor).value.expect("a surface");
        let sheet = sheet(&garage, &|p| finish.z(p), UnitSystem::Us);
        let z = |label: &str| sheet.forms.iter().find(|f| f.label == label).expect(label).z;
        // The floor falls 1 % to the door's edge, where it stands at 10 m.
        for (label, height) in [("A", 10.0), ("B", 10.0), ("C", 10.073_152), ("D", 10.073_152)] {
            assert!((z(label) - height).abs() < 1e-9, "{degrees}: {label} {}", z(label));
        }
        for jamb in ["2'", "11'"] {
            let (full, dropped) =
                (format!("door, jamb at {jamb}, full"), format!("door, jamb at {jamb}, dropped"));
            assert!((z(&full) - 10.0).abs() < 1e-9 && (z(&dropped) - 9.9873).abs() < 1e-9);
        }
        assert_eq!(sheet.forms.len(), 14);
    }
}

#[test]
fn the_base_grid_tells_cut_and_fill() {
    let sheet = sheet(&garage(), &|_| Some(0.0), UnitSystem::Us);
    // 20 by 24 ft: two by three squares, rows along the longest edge of 24 ft.
    assert_eq!(sheet.base.len(), 6);
    for spot in &sheet.base {
        assert!((spot.z + 0.1).abs() < 1e-12);
        assert_eq!(spot.reading, RodReading::Rod(Length::metres(2.1)));
        let cut = spot.cut.expect("a known base").in_metres();
        let wanted = if spot.at.y > 3.0 { 0.02 } else { -0.03 };
        assert!((cut - wanted).abs() < 1e-12);
    }
}

#[test]
fn the_base_grid_of_an_l_with_a_hole_stays_inside_and_close() {
    let mut ell = outline(&[(0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (5.0, 4.0), (5.0, 8.0), (0.0, 8.0)]);
    ell.openings.push(Opening {
        name: "pit".to_owned(),
        kind: OpeningKind::Opening,
        shape: Shape::Circle { centre: P2::new(3.75, 1.35), diameter: Length::metres(1.0) },
        place: Place::job(),
    });
    let floor = lay_out(&ell).value.expect("a sound outline");
    let sheet = sheet(&ell, &|_| Some(0.0), UnitSystem::Metric);
    assert!(sheet.base.len() >= 6);
    for spot in &sheet.base {
        assert!(floor.contains(spot.at));
        let others = sheet.base.iter().filter(|o| o.label != spot.label);
        let nearest = others.map(|o| o.at.distance(spot.at)).fold(f64::INFINITY, f64::min);
        assert!(nearest <= 3.0 + 1e-9);
    }
}

#[test]
fn odd_surfaces_leave_points_out_and_never_panic() {
    let outline = garage();
    for z in [None, Some(f64::NAN), Some(f64::INFINITY)] {
        let sheet = sheet(&outline, &|_| z, UnitSystem::Us);
        assert!(sheet.forms.is_empty() && sheet.base.is_empty());
    }
    let mut floor = lay_out(&outline).value.expect("a sound outline");
    floor.corners.clear();
    floor.segments.clear();
    floor.boundary = ground::Polygon::default();
    let empty = prep(&PrepInput {
        floor: &floor,
        outline: &outline,
        finish_z: &|_| Some(0.0),
        base_z: &|_| None,
        dug: &|_| Length::ZERO,
        nominal: Length::metres(0.1),
        shot: &[],
        tolerance: Length::ZERO,
        reading: &|z| RodReading::Rod(Length::metres(z)),
        units: UnitSystem::Us,
    });
    assert_eq!(empty, PrepSheet::default());
}

/// By hand: laser at 2 m, form drawn at 0.5 m reads 1.5 m; 4 mm high it reads 1.496 m. Tolerance 3 mm, and just at it.
#[test]
fn forms_as_shot_are_left_within_the_tolerance_and_else_reset() {
    let form = |name: &str, z: f64, millimetres: f64| FormDeviation {
        name: name.to_owned(),
        at: P2::new(0.0, 0.0),
        z,
        deviation: Length::millimetres(millimetres),
        place: Place::job(),
    };
    let shot = [form("high", 0.504, 4.0), form("just", 0.497, -3.0), form("low", 0.4969, -3.1)];
    let outline = garage();
    let floor = lay_out(&outline).value.expect("a sound outline");
    let sheet = prep(&PrepInput {
        floor: &floor,
        outline: &outline,
        finish_z: &|_| Some(0.5),
        base_z: &|_| None,
        dug: &|_| Length::ZERO,
        nominal: Length::metres(0.1),
        shot: &shot,
        tolerance: Length::millimetres(3.0),
        reading: &|z| RodReading::Rod(Length::metres(2.0 - z)),
        units: UnitSystem::Metric,
    });
    let verdicts: Vec<Verdict> = sheet.checks.iter().map(|c| c.verdict).collect();
    assert_eq!(verdicts, [Verdict::Reset, Verdict::Leave, Verdict::Reset]);
    let metres = |reading| match reading {
        RodReading::Rod(height) => height.in_metres(),
        RodReading::FromMark(_) => f64::NAN,
    };
    assert!((metres(sheet.checks[0].must_read) - 1.5).abs() < 1e-12);
    assert!((metres(sheet.checks[0].reads) - 1.496).abs() < 1e-12);
}

/// A door side 20 ft long, thickened by 8 in. over a flat of 12 in.: three bottoms 6 in. in, 4 + 8 in. under the top.
#[test]
fn bottoms_of_a_thickened_edge_are_on_the_sheet() {
    let mut outline = garage();
    outline.thickened.push(ground::outline::ThickenedEdge {
        edge: 0,
        depth: Length::inches(8.0),
        flat: Length::inches(12.0),
        haunch: Length::inches(8.0),
        place: Place::job(),
    });
    let floor = lay_out(&outline).value.expect("a sound outline");
    let dug = ground::layer::Layer::new(ground::dug::dug(&outline, &floor).value.expect("a sound dig"));
    let sheet = prep(&PrepInput {
        floor: &floor,
        outline: &outline,
        finish_z: &|_| Some(0.5),
        base_z: &|_| Some(0.5 - Length::inches(4.0).in_metres()),
        dug: &|p| Length::metres(dug.z(p).unwrap_or(0.0)),
        nominal: Length::inches(4.0),
        shot: &[],
        tolerance: Length::ZERO,
        reading: &|z| RodReading::Rod(Length::metres(2.0 - z)),
        units: UnitSystem::Us,
    });
    let bottoms: Vec<&BasePoint> = sheet.base.iter().filter(|b| b.dug > Length::ZERO).collect();
    assert_eq!(bottoms.len(), 3);
    for bottom in bottoms {
        assert!((bottom.at.y - Length::inches(6.0).in_metres()).abs() < 1e-9);
        assert!((bottom.z - (0.5 - Length::inches(12.0).in_metres())).abs() < 1e-9);
        assert!((bottom.cut.expect("the base is known") - Length::inches(8.0)).abs().in_metres() < 1e-9);
    }
}

/// A finish over the laser's 2 m is told once, with the highest point; one under it is not told.
#[test]
fn points_above_the_laser_are_told() {
    let above = sheet(&garage(), &|p| Some(1.9 + 0.05 * p.y), UnitSystem::Metric);
    let note = above_the_laser(&above, "front", UnitSystem::Metric).expect("points over 2 m");
    assert_eq!(note.code, "point-above-laser");
    // The back edge is 24 ft up: 1.9 + 0.05 * 7.3152 - 2 = 0.26576 m.
    assert!(note.message.contains("266 mm"), "{}", note.message);
    let under = sheet(&garage(), &|p| Some(1.6 + 0.05 * p.y), UnitSystem::Metric);
    assert!(above_the_laser(&under, "front", UnitSystem::Metric).is_none());
}
