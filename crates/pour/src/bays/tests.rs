//! Bays of floors whose layout can be told by hand, and laws that every layout keeps.

use basis::{Angle, Length, Place, UnitSystem};
use ground::P2;
use ground::outline::{EdgeKind, Floor, Outline};
use proptest::prelude::*;

use super::test_floors::{add_door, crew, ell_with_hole, floor, rectangle, tee};
use super::*;
use crate::job::{Crew, TruckStand};

fn lay(pair: &(Floor, Outline), crew: &Crew, stands: &[TruckStand]) -> Report<BayPlan> {
    bays(&BayInput { floor: &pair.0, outline: &pair.1, crew, stands, units: UnitSystem::Us })
}

fn stand(x: f64, y: f64) -> TruckStand {
    TruckStand {
        name: "apron".into(),
        at: P2::new(x, y),
        elevation: None,
        facing: Angle::degrees(90.0),
        swing: Angle::degrees(90.0),
        place: Place::job(),
    }
}

fn assert_tiles(pair: &(Floor, Outline), plan: &BayPlan) {
    let sum: f64 = plan.bays.iter().map(|b| b.area.in_square_metres()).sum();
    assert!((sum / pair.0.area - 1.0).abs() < 1e-9, "{sum} of {}", pair.0.area);
    for bay in &plan.bays {
        assert!((area_in(&pair.0, &bay.window) - bay.area.in_square_metres()).abs() < 1e-9 * pair.0.area);
        assert!(bay.width.in_metres() <= plan.widest.in_metres() * (1.0 + 1e-9));
    }
}

/// Two 10 ft bays run from the wall to the boat door of a T, and one stands at each shoulder.
#[test]
fn a_tee_takes_four_bays_that_end_at_the_boat_door() {
    let pair = tee();
    let mut crew = crew(12.0, 1.0);
    crew.exit = Some("boat door".into());
    let report = lay(&pair, &crew, &[stand(6.1, -1.2)]);
    assert!(report.notes.is_empty(), "{:?}", report.notes);
    let plan = report.value.unwrap();
    assert_tiles(&pair, &plan);
    assert_eq!(plan.bays.len(), 4);
    let feet: Vec<(f64, f64)> =
        plan.bays.iter().map(|b| (b.width.in_feet().round(), b.length.in_feet().round())).collect();
    assert_eq!(feet, [(10.0, 28.0), (10.0, 46.0), (10.0, 28.0), (10.0, 46.0)].map(|x| x), "{feet:?}");
    let last = &plan.bays[3];
    assert_eq!(last.way_out, WayOut::Exit("boat door".into()));
    // The last bay starts at the wall and ends at the door.
    assert!((last.start.y - Length::feet(46.0).in_metres()).abs() < 1e-9 && last.axis.y < -0.999);
    assert_eq!(last.sides[2].runs[0].on, RidesOn::Wall);
    assert_eq!(last.sides[3].runs[0].on, RidesOn::Form);
}

/// 24 by 36 ft with a 12 ft straightedge and 1 ft laps: 10 ft bays along 36 ft are three of 8 ft.
#[test]
fn equal_widths_rather_than_a_sliver() {
    let f = 0.3048;
    let pair = rectangle(36.0 * f, 24.0 * f, EdgeKind::Free);
    let plan = lay(&pair, &crew(12.0, 1.0), &[stand(-1.0, 3.0)]).value.unwrap();
    assert_eq!(plan.bays.len(), 3);
    for bay in &plan.bays {
        assert!((bay.width.in_feet() - 8.0).abs() < 1e-9 && (bay.length.in_feet() - 36.0).abs() < 1e-9);
        // Placed toward the truck at the left.
        assert!(bay.axis.x < -0.999);
    }
    assert_tiles(&pair, &plan);
}

/// The side of the first bay rides on its form, then on the column's box where one stands in the line.
#[test]
fn a_hole_in_the_line_between_bays_is_found() {
    let wall = EdgeKind::Wall;
    let pair = floor(
        &[("A", 0.0, 0.0, wall), ("B", 8.0, 0.0, wall), ("C", 8.0, 6.0, wall), ("D", 0.0, 6.0, wall)],
        &[[0.0, 0.0, 4.0, 6.0], [5.0, 0.0, 8.0, 6.0], [4.0, 0.0, 5.0, 2.5], [4.0, 3.5, 5.0, 6.0]],
        &[[4.0, 2.5, 5.0, 3.5]],
    );
    let plan = lay(&pair, &crew(12.0, 1.0), &[]).value.unwrap();
    assert_eq!(plan.bays.len(), 2);
    let first = &plan.bays[0];
    let inner = first.sides.iter().find(|s| s.runs.iter().any(|r| r.on == RidesOn::Opening)).unwrap();
    assert!((inner.length_on(RidesOn::Opening).in_metres() - 1.0).abs() < 1e-6);
    assert!((inner.length_on(RidesOn::Bay(2)).in_metres() - 7.0).abs() < 1e-6);
    assert_tiles(&pair, &plan);
}

#[test]
fn an_ell_with_walls_all_round_keeps_a_way_to_its_gate() {
    let pair = ell_with_hole();
    let report = lay(&pair, &crew(12.0, 1.0), &[]);
    let plan = report.value.unwrap();
    assert_tiles(&pair, &plan);
    assert_eq!(plan.exit.as_ref().unwrap().name, "gate");
    for bay in &plan.bays[..plan.bays.len() - 1] {
        match &bay.way_out {
            WayOut::Bay(next) => assert!(*next > bay.number),
            other => assert!(*other != WayOut::None, "{bay:?}"),
        }
    }
    assert_eq!(plan.bays.last().unwrap().way_out, WayOut::Exit("gate".into()));
}

#[test]
fn walls_all_round_without_a_door_are_told() {
    let pair = rectangle(6.0, 6.0, EdgeKind::Wall);
    let report = lay(&pair, &crew(12.0, 1.0), &[]);
    let codes: Vec<&str> = report.notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["no-exit", "bay-walled-in"]);
}

#[test]
fn an_unknown_exit_is_told_with_the_names_that_exist() {
    let pair = tee();
    let mut crew = crew(12.0, 1.0);
    crew.exit = Some("back door".into());
    let report = lay(&pair, &crew, &[]);
    let note = report.notes.iter().find(|n| n.code == "exit-unknown").unwrap();
    assert!(note.hint.contains("boat door") && report.value.is_some());
    crew.exit = Some("B-A".into());
    let named = lay(&pair, &crew, &[]).value.unwrap();
    assert_eq!(named.exit.unwrap().name, "A-B");
}

#[test]
fn a_wanted_direction_is_kept() {
    let pair = tee();
    let mut crew = crew(12.0, 1.0);
    crew.bay_direction = Some(Angle::degrees(0.0));
    let plan = lay(&pair, &crew, &[]).value.unwrap();
    assert!(plan.axis.x > 0.999);
    assert_tiles(&pair, &plan);
}

#[test]
fn a_straightedge_of_nothing_is_refused() {
    let pair = tee();
    for bad in
        [crew(0.0, 1.0), crew(2.0, 1.0), crew(f64::NAN, 1.0), crew(12.0, -1.0), crew(f64::INFINITY, 0.0)]
    {
        let report = lay(&pair, &bad, &[]);
        assert!(report.value.is_none() && report.notes[0].code == "straightedge-too-short");
    }
    let report = lay(&pair, &crew(1e-6, 0.0), &[]);
    assert_eq!(report.notes.last().unwrap().code, "too-many-bays");
}

#[test]
fn cut_windows_make_up_the_bay() {
    let pair = tee();
    let plan = lay(&pair, &crew(12.0, 1.0), &[]).value.unwrap();
    for bay in &plan.bays {
        let along = bay.length * 0.37;
        let parts =
            area_in(&pair.0, &bay.behind(along).unwrap()) + area_in(&pair.0, &bay.beyond(along).unwrap());
        assert!((parts - bay.area.in_square_metres()).abs() < 1e-9);
        assert!(bay.behind(Length::metres(0.0)).is_none() && bay.beyond(bay.length).is_none());
        assert!(bay.between(Length::metres(f64::NAN), bay.length).is_some_and(|w| w.area() > 0.0));
    }
}

fn any_tee() -> impl Strategy<Value = (f64, f64, f64, f64, f64)> {
    (0.0..6.0f64, 0.5..8.0f64, 0.0..6.0f64, 0.5..9.0f64, 0.5..9.0f64)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    /// Bays tile any T (or L, or rectangle), in any direction, and none is wider than allowed.
    #[test]
    fn bays_tile_the_floor(
        (left, stem, right, low, high) in any_tee(),
        edge in 4.0..16.0f64,
        turn in prop::option::of(-180.0..180.0f64),
    ) {
        let free = EdgeKind::Free;
        let all = left + stem + right;
        let mut pair = floor(
            &[
                ("A", left, 0.0, free), ("B", left + stem, 0.0, EdgeKind::Wall), ("C", left + stem, low, free),
                ("D", all, low, free), ("E", all, low + high, EdgeKind::ExistingSlab), ("F", 0.0, low + high, free),
                ("G", 0.0, low, free), ("H", left, low, free),
            ],
            &[[left, 0.0, left + stem, low], [0.0, low, all, low + high]],
            &[],
        );
        add_door(&mut pair, "door", 0, 0.1 * stem, 0.8 * stem);
        let mut crew = crew(edge, 1.0);
        crew.bay_direction = turn.map(Angle::degrees);
        let plan = lay(&pair, &crew, &[stand(0.0, -1.0)]).value.unwrap();
        assert_tiles(&pair, &plan);
        let mut numbers: Vec<usize> = plan.bays.iter().map(|b| b.number).collect();
        numbers.sort_unstable();
        prop_assert!(numbers.into_iter().eq(1..=plan.bays.len()));
        for bay in &plan.bays {
            for side in &bay.sides {
                let sum: f64 = side.runs.iter().map(|r| r.from.distance(r.to)).sum();
                prop_assert!(sum <= bay.length.in_metres().max(bay.width.in_metres()) + 1e-6);
            }
        }
    }
}
