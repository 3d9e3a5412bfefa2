//! Load lines on floors whose volumes are closed forms.

use basis::{Length, UnitSystem, Volume};
use ground::Polygon;
use ground::outline::EdgeKind;
use proptest::prelude::*;

use super::*;
use crate::bays::test_floors::{crew, ell_with_hole, rectangle, tee};
use crate::bays::{BayInput, area_in, bays};

type Pair = (ground::outline::Floor, ground::outline::Outline);

fn laid(pair: &Pair) -> Vec<Bay> {
    let crew = crew(12.0, 1.0);
    let input =
        BayInput { floor: &pair.0, outline: &pair.1, crew: &crew, stands: &[], units: UnitSystem::Us };
    bays(&input).value.unwrap().bays
}

fn level<'a>(pair: &'a Pair, thickness: f64) -> impl Fn(&Polygon) -> Volume + 'a {
    move |w| Volume::cubic_metres(area_in(&pair.0, w) * thickness)
}

/// 20 by 81 ft at 4 in. holds 20 yd³ (a yard covers 81 ft², handbook cover figure): two bays of
/// 10 by 81 ft with 10 yd³ each. Loads of 8 yd³ end at 64.8 ft, then 48.6 ft into the second, then full.
#[test]
fn loads_of_eight_yards_on_a_level_slab() {
    let f = 0.3048;
    let pair = rectangle(20.0 * f, 81.0 * f, EdgeKind::Free);
    let bays = laid(&pair);
    assert_eq!(bays.len(), 2);
    let volume = level(&pair, Length::inches(4.0).in_metres());
    let loads = [8.0, 8.0, 4.0].map(Volume::cubic_yards);
    let input = LoadInput {
        bays: &bays,
        loads: &loads,
        allowance: 0.0,
        loss: Volume::cubic_metres(0.0),
        volume: &volume,
        units: UnitSystem::Us,
    };
    let report = super::loads(&input);
    assert!(report.notes.is_empty());
    let plan = report.value.unwrap();
    assert!((plan.forms.in_cubic_yards() - 20.0).abs() < 1e-9);
    let ends: Vec<(usize, f64)> = plan.lines.iter().map(|l| (l.end.bay, l.end.along.in_feet())).collect();
    // The line is found to 0.1 mm, 0.0003 ft.
    for ((bay, along), (wanted_bay, wanted)) in ends.iter().zip([(1, 64.8), (2, 48.6), (2, 81.0)]) {
        assert!(*bay == wanted_bay && (along - wanted).abs() < 4e-4, "{ends:?}");
    }
    assert_eq!(plan.uncovered.in_cubic_metres(), 0.0);
}

/// Allowance 5 % and a loss of 0.4 yd³ of 21.4 yd³: each 10.7 yd³ load covers 10 yd³.
#[test]
fn allowance_and_loss_are_taken_off() {
    let f = 0.3048;
    let pair = rectangle(20.0 * f, 81.0 * f, EdgeKind::Free);
    let bays = laid(&pair);
    let volume = level(&pair, Length::inches(4.0).in_metres());
    let loads = [10.7, 10.7].map(Volume::cubic_yards);
    let input = LoadInput {
        bays: &bays,
        loads: &loads,
        allowance: 0.05,
        loss: Volume::cubic_yards(0.4),
        volume: &volume,
        units: UnitSystem::Us,
    };
    let plan = super::loads(&input).value.unwrap();
    assert!((plan.lines[0].covers.in_cubic_yards() - 10.0).abs() < 1e-9);
    assert!(plan.lines[0].end.bay == 1 && (plan.lines[0].end.along.in_feet() - 81.0).abs() < 1e-3);
    assert!(plan.lines[1].over.in_cubic_yards() < 1e-6);
}

/// A wedge 0 to 0.2 m thick over 6 m: half of its volume lies within 6/√2 m of the thin end.
#[test]
fn half_of_a_wedge() {
    let pair = rectangle(2.0, 6.0, EdgeKind::Free);
    let bays = laid(&pair);
    let bay = &bays[0];
    // Exact prism sum over the window's rectangle, thickness growing from the bay's start.
    let volume = |w: &Polygon| {
        let middle = w.centroid();
        let s = (middle - bay.start).dot(bay.axis);
        Volume::cubic_metres(w.area() * 0.2 * s / 6.0)
    };
    let all = volume(&bay.window);
    let along = cut(bay, all, all * 0.5, &volume);
    assert!((along.in_metres() - 6.0 / 2.0_f64.sqrt()).abs() < 1e-4, "{along:?}");
}

#[test]
fn impossible_input_is_refused_and_short_orders_are_told() {
    let pair = tee();
    let bays = laid(&pair);
    let volume = level(&pair, 0.1);
    let one = [Volume::cubic_yards(1.0)];
    let base = LoadInput {
        bays: &bays,
        loads: &one,
        allowance: 0.03,
        loss: Volume::cubic_yards(0.2),
        volume: &volume,
        units: UnitSystem::Us,
    };
    let codes = |input: &LoadInput<'_>| super::loads(input).notes.iter().map(|n| n.code).collect::<Vec<_>>();
    assert_eq!(codes(&base), ["loads-do-not-fill"]);
    assert_eq!(codes(&LoadInput { loads: &[], ..base }), ["no-load-lines"]);
    assert_eq!(codes(&LoadInput { loads: &[Volume::cubic_metres(f64::NAN)], ..base }), ["load-impossible"]);
    assert_eq!(codes(&LoadInput { allowance: f64::INFINITY, ..base }), ["load-allowance-impossible"]);
    let broken = |_: &Polygon| Volume::cubic_metres(f64::NAN);
    assert!(codes(&LoadInput { volume: &broken, ..base }).contains(&"bay-volume-impossible"));
    // A loss as large as the floor: a load covers less than half of itself.
    let lost =
        super::loads(&LoadInput { loss: super::loads(&base).value.unwrap().forms, ..base }).value.unwrap();
    assert!((lost.lines[0].covers.in_cubic_yards() - 1.0 / 2.03).abs() < 1e-12);
}

fn feet(text: &str) -> Result<Length, String> {
    let number = text.strip_suffix("ft").ok_or("not a length")?;
    number.trim().parse().map(Length::feet).map_err(|_| "not a length".to_owned())
}

#[test]
fn placed_text_is_read() {
    let pair = tee();
    let bays = laid(&pair);
    let read = |text: &str| parse_placed(text, &bays, &feet);
    let said = read("1 done, bay 2 to 14.5 ft").value.unwrap();
    assert_eq!(
        said,
        [
            PlacedBay { bay: 1, extent: Extent::Done },
            PlacedBay { bay: 2, extent: Extent::To(Length::feet(14.5)) },
        ]
    );
    assert_eq!(read("1-3 done").value.unwrap().len(), 3);
    assert_eq!(read("ALL DONE").value.unwrap().len(), bays.len());
    assert!(read("none").value.unwrap().is_empty());
    let out_of_order = read("2 done");
    assert!(out_of_order.value.is_some() && out_of_order.notes[0].code == "placed-out-of-order");
    let region = placed_region(&bays, &said);
    let area = |windows: &[Polygon]| windows.iter().map(|w| area_in(&pair.0, w)).sum::<f64>();
    let (behind, beyond) = (area(&region.placed), area(&region.remaining));
    assert!((behind + beyond - pair.0.area).abs() < 1e-9);
}

#[test]
fn all_faults_of_placed_text_come_at_once() {
    let pair = tee();
    let bays = laid(&pair);
    let report = parse_placed(
        "0 done, 9 done, 1 to, 2 to 99 ft, 3-2 done, , 1-2 to 3 ft, 4 done, 4 done",
        &bays,
        &feet,
    );
    assert!(report.value.is_none());
    assert_eq!(report.notes.iter().filter(|n| n.code == "placed-unclear").count(), 8);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever the loads, their shares of the floor add up to what they cover, line by line.
    #[test]
    fn loads_partition_the_volume(sizes in prop::collection::vec(0.2..9.0f64, 1..8), allowance in 0.0..0.1f64) {
        let pair = ell_with_hole();
        let bays = laid(&pair);
        // Thickness that changes along and across: not even, but positive.
        let volume = |w: &Polygon| Volume::cubic_metres(pair.0.triangles.iter().map(|t| {
            let ring = ground::polygon::clip_convex(t, w.corners());
            let c = ground::polygon::centroid(&ring);
            ground::polygon::signed_area(&ring) * (0.1 + 0.01 * c.x + 0.005 * c.y)
        }).sum());
        let loads: Vec<Volume> = sizes.iter().map(|&q| Volume::cubic_metres(q)).collect();
        let input = LoadInput {
            bays: &bays, loads: &loads, allowance, loss: Volume::cubic_metres(0.1), volume: &volume, units: UnitSystem::Metric,
        };
        let plan = super::loads(&input).value.unwrap();
        for line in &plan.lines {
            let behind: f64 = bays.iter().map(|bay| match bay.number.cmp(&line.end.bay) {
                std::cmp::Ordering::Less => volume(&bay.window).in_cubic_metres(),
                std::cmp::Ordering::Equal => bay.behind(line.end.along).map_or(0.0, |w| volume(&w).in_cubic_metres()),
                std::cmp::Ordering::Greater => 0.0,
            }).sum();
            // 0.1 mm of a line across 3 m of 0.3 m is 0.0001 m³.
            prop_assert!((behind - line.covered.in_cubic_metres()).abs() < 1e-4);
        }
        let total = plan.lines.iter().map(|l| l.covers.in_cubic_metres()).sum::<f64>() + plan.uncovered.in_cubic_metres();
        prop_assert!((total - plan.forms.in_cubic_metres()).abs() < 1e-9);
    }

    #[test]
    fn placed_text_never_panics(text in "\\PC{0,60}") {
        let pair = tee();
        let bays = laid(&pair);
        let report = parse_placed(&text, &bays, &feet);
        prop_assert!(report.value.is_some() != report.has_fault());
    }
}

/// 20 yd³ of forms by loads of 8, 8 and 4 without allowance or loss: with 10 yd³ placed two loads have come, and of
/// the second 6 of 8 yd³ are left, give or take the load.
#[test]
fn what_has_come_follows_from_the_line() {
    let f = 0.3048;
    let pair = rectangle(20.0 * f, 81.0 * f, EdgeKind::Free);
    let bays = laid(&pair);
    let volume = level(&pair, Length::inches(4.0).in_metres());
    let loads = [8.0, 8.0, 5.0].map(Volume::cubic_yards);
    let loss = Volume::cubic_metres(0.0);
    let units = UnitSystem::Us;
    let input = LoadInput { bays: &bays, loads: &loads, allowance: 0.0, loss, volume: &volume, units };
    let lines = super::loads(&input).value.unwrap().lines;
    let come = |placed: f64| {
        let reached = reached_loads(&lines, Volume::cubic_yards(placed));
        let drum = reached.in_drum;
        (reached.loads.len(), drum.mean.in_cubic_yards(), drum.sd.in_cubic_yards())
    };
    for (placed, count, left, spread) in [
        (0.0, 0, 0.0, 0.0),
        (0.5, 1, 7.5, 8.0),
        (10.0, 2, 6.0, 8.0),
        (19.0, 3, 2.0, 5.0),
        (20.0, 3, 1.0, 5.0),
    ] {
        let found = come(placed);
        assert_eq!(found.0, count, "{placed}");
        assert!((found.1 - left).abs() < 1e-9 && (found.2 - spread).abs() < 1e-12, "{placed}: {found:?}");
    }
    // A line that just ends a load has not opened the next.
    assert_eq!(come(16.0).0, 2);
}
