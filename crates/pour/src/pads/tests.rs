//! Pads of floors that can be set out by hand.

use basis::{Length, UnitSystem};
use ground::P2;
use ground::outline::{EdgeKind, Floor, Outline};
use ground::survey::RodReading;
use proptest::prelude::*;

use super::*;
use crate::bays::test_floors::{crew, ell_with_hole, rectangle, tee};
use crate::bays::{BayInput, bays};

const HI: f64 = 102.0;

fn set_out(pair: &(Floor, Outline), edge: f64, finish: &dyn Fn(P2) -> Option<f64>) -> Report<PadPlan> {
    let crew = crew(edge, 1.0);
    let laid =
        bays(&BayInput { floor: &pair.0, outline: &pair.1, crew: &crew, stands: &[], units: UnitSystem::Us })
            .value
            .unwrap();
    pads(&PadInput {
        floor: &pair.0,
        outline: &pair.1,
        bays: &laid,
        crew: &crew,
        finish,
        reading: &|z| RodReading::Rod(Length::metres(HI - z)),
        units: UnitSystem::Us,
    })
}

/// 20 by 33 ft inside forms with a 12 ft straightedge: one line down the middle, pads at 11 and 22 ft,
/// 10 ft from the long sides; the ends ride on the forms.
#[test]
fn two_pads_on_the_middle_line() {
    let f = 0.3048;
    let pair = rectangle(20.0 * f, 33.0 * f, EdgeKind::Free);
    let plan = set_out(&pair, 12.0, &|p| Some(100.0 - p.y / 96.0)).value.unwrap();
    assert_eq!(plan.lines.len(), 1);
    assert_eq!(plan.pads.len(), 2);
    for pad in &plan.pads {
        assert!((pad.at.x / f - 10.0).abs() < 1e-9, "{pad:?}");
        let RodReading::Rod(read) = pad.reading else { panic!("a rod reading is wanted") };
        assert!((read.in_metres() - (HI - pad.elevation.in_metres())).abs() < 1e-12);
        assert!((pad.elevation.in_metres() - (100.0 - pad.at.y / 96.0)).abs() < 1e-12);
    }
    let mut ys: Vec<f64> = plan.pads.iter().map(|p| (p.at.y / f).round()).collect();
    ys.sort_by(f64::total_cmp);
    assert_eq!(ys, [11.0, 22.0]);
    // 10 ft from a long side and 11 ft from the near end.
    let low = plan.pads.iter().find(|p| p.at.y < 4.0).unwrap();
    assert!((low.ties[0].distance.in_feet() - 10.0).abs() < 1e-9);
    assert!((low.ties[1].distance.in_feet() - 11.0).abs() < 1e-9);
    assert_eq!(low.ties[1].to, TieTo::Edge("A-B".into()));
}

/// Between walls the line's ends need pads too, and each wall a line of its own, 6 in. off.
#[test]
fn walls_need_pads_of_their_own() {
    let f = 0.3048;
    let pair = rectangle(10.0 * f, 11.0 * f, EdgeKind::Wall);
    let plan = set_out(&pair, 12.0, &|_| Some(100.0)).value.unwrap();
    assert_eq!(plan.lines.len(), 2);
    assert!(plan.lines.iter().all(|l| l.beside == RidesOn::Wall && l.pads.len() == 2));
    for pad in &plan.pads {
        assert!((pair.0.boundary.distance_to_edge(pad.at) / f - 0.5).abs() < 1e-9 && pad.why == PadFor::End);
    }
}

/// A ridge across the floor gets a pad where the middle line crosses it, and no second one near it.
#[test]
fn a_break_gets_a_pad() {
    let f = 0.3048;
    let pair = rectangle(20.0 * f, 30.0 * f, EdgeKind::Free);
    let ridge = 12.5 * f;
    let plan = set_out(&pair, 12.0, &|p| Some(100.0 - 0.01 * (p.y - ridge).abs())).value.unwrap();
    let broken: Vec<&Pad> = plan.pads.iter().filter(|p| p.why == PadFor::Break).collect();
    assert_eq!(broken.len(), 1);
    assert!((broken[0].at.y - ridge).abs() < 1e-3);
}

/// A ridge along the middle of a bay cannot be struck across: it is told.
#[test]
fn a_break_along_a_bay_is_told() {
    let f = 0.3048;
    let pair = rectangle(10.0 * f, 30.0 * f, EdgeKind::Free);
    let report = set_out(&pair, 12.0, &|p| Some(100.0 - 0.02 * (p.x - 5.0 * f).abs()));
    assert_eq!(report.notes[0].code, "break-across-bay");
}

#[test]
fn pads_above_the_laser_are_told() {
    let pair = rectangle(6.0, 9.0, EdgeKind::Free);
    let report = set_out(&pair, 12.0, &|_| Some(HI + 1.0));
    assert_eq!(report.notes[0].code, "above-the-laser");
}

#[test]
fn an_unknown_finish_gives_no_pad_and_no_panic() {
    let pair = tee();
    for finish in [None, Some(f64::NAN), Some(f64::INFINITY)] {
        assert!(set_out(&pair, 12.0, &|_| finish).value.unwrap().pads.is_empty());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    /// Pads lie inside the floor, off the forms, apart, and never farther apart than the straightedge spans.
    #[test]
    fn pads_keep_their_distances(edge in 6.0..16.0f64, slope in -0.03..0.03f64, which in 0..3usize) {
        let pair = match which { 0 => tee(), 1 => ell_with_hole(), _ => rectangle(9.0, 14.0, EdgeKind::Wall) };
        let plan = set_out(&pair, edge, &|p| Some(100.0 + slope * p.x - 0.01 * p.y)).value.unwrap();
        for (i, pad) in plan.pads.iter().enumerate() {
            prop_assert_eq!(pad.number, i + 1);
            prop_assert!(pair.0.boundary.contains(pad.at) && !pair.0.holes.iter().any(|h| h.contains(pad.at)));
            for s in pair.0.segments.iter().filter(|s| s.kind == EdgeKind::Free) {
                prop_assert!(ground::polygon::distance_to_segment(pad.at, s.a, s.b) > NEAR_FORM.in_metres() - 1e-9);
            }
            for other in &plan.pads[..i] {
                prop_assert!(other.at.distance(pad.at) >= spots::APART - 1e-9);
                prop_assert!(other.bay <= pad.bay);
            }
        }
        for line in &plan.lines {
            let at = |n: &usize| plan.pads[n - 1].at;
            for pair in line.pads.windows(2) {
                // A pad taken over from another line may stand up to `APART` aside.
                prop_assert!(at(&pair[0]).distance(at(&pair[1])) <= Length::feet(edge - 1.0).in_metres() + 2.0 * spots::APART);
            }
        }
    }
}
