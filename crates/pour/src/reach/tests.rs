//! Reach on floors whose reached part is a closed form.

use basis::{Angle, Length, Place, Slope, UnitSystem, Volume};
use ground::outline::{EdgeKind, Floor, Outline};
use ground::{P2, Polygon};
use proptest::prelude::*;

use super::*;
use crate::bays::test_floors::{crew, ell_with_hole, rectangle, tee};
use crate::bays::{BayInput, area_in, bays};

const F: f64 = 0.3048;
const THICKNESS: f64 = 0.1;

fn chutes(main: f64, extensions: &[f64]) -> Chutes {
    Chutes {
        main: Length::feet(main),
        extensions: extensions.iter().map(|&e| Length::feet(e)).collect(),
        discharge_height: Length::feet(4.0),
        least_fall: Slope::ratio(1.0 / 3.0),
    }
}

fn stand(x: f64, y: f64, swing: f64, elevation: Option<f64>) -> TruckStand {
    TruckStand {
        name: "door".into(),
        at: P2::new(x, y),
        elevation: elevation.map(Length::feet),
        facing: Angle::degrees(90.0),
        swing: Angle::degrees(swing),
        place: Place::at("stand[0]"),
    }
}

fn figure(
    pair: &(Floor, Outline),
    chutes: &Chutes,
    stands: &[TruckStand],
    carry: Option<&Carry>,
) -> Report<Reach> {
    let crew = crew(12.0, 1.0);
    let laid =
        bays(&BayInput { floor: &pair.0, outline: &pair.1, crew: &crew, stands, units: UnitSystem::Us });
    let volume = |w: &Polygon| Volume::cubic_metres(THICKNESS * area_in(&pair.0, w));
    reach(&ReachInput {
        floor: &pair.0,
        bays: &laid.value.unwrap().bays,
        chutes,
        stands,
        carry,
        finish: &|_| Some(0.0),
        volume: &volume,
        units: UnitSystem::Us,
    })
}

/// A rear-discharge truck at the door of a 36 by 24 ft garage: 6 ft of fixed chute and three 4 ft
/// extensions reach about 18 ft (a floor contractor's page; research notes B.5), a half disc of
/// π·18²/2 = 508.9 of 864 ft². 1 % is the stated accuracy.
#[test]
fn a_rear_discharge_truck_at_a_garage_door() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let carry = Carry { by: "wheelbarrow".into(), load: Volume::cubic_feet(3.0) };
    let report =
        figure(&pair, &chutes(6.0, &[4.0, 4.0, 4.0]), &[stand(18.0 * F, 0.0, 90.0, None)], Some(&carry));
    let found = report.value.unwrap();
    assert_eq!(
        found.chutes.iter().map(|c| c.reach.in_feet().round()).collect::<Vec<_>>(),
        [6.0, 10.0, 14.0, 18.0]
    );
    for (set, radius) in found.chutes.iter().zip([6.0, 10.0, 14.0, 18.0_f64]) {
        let index = found.chutes.iter().position(|c| c == set).unwrap();
        let wanted = 0.5 * std::f64::consts::PI * radius * radius;
        let area = found.stands[0].areas[index].in_square_feet();
        assert!((area / wanted - 1.0).abs() < 0.01, "{area} for {wanted}");
    }
    let beyond = 864.0 - 0.5 * std::f64::consts::PI * 18.0 * 18.0;
    assert!((found.beyond.area.in_square_feet() / beyond - 1.0).abs() < 0.01);
    // The far corner is hypot(18, 24) = 30 ft away: 12 ft of chute are missing.
    assert!((found.added.unwrap().length.in_feet() - 12.0).abs() < 0.01);
    let loads = (found.beyond.volume.in_cubic_feet() / 3.0).ceil();
    assert_eq!(found.carried.unwrap().loads, loads as u64);
    let codes: Vec<&str> = report.notes.iter().map(|n| n.code).collect();
    assert_eq!(codes, ["stand-elevation-unknown", "beyond-reach"]);
}

fn area_of(rings: &[Vec<P2>]) -> f64 {
    rings.iter().map(|r| ground::polygon::signed_area(r)).sum::<f64>() / (F * F)
}

/// The part to draw is the floor less a half disc of 18 ft, 864 - 508.9 ft2. A chord of 0.5 m cuts at most 6 mm off
/// an arc of that radius, 0.2 % of the area. No corner of it lies nearer than 18 ft to the stand, less that.
#[test]
fn what_is_drawn_as_out_of_reach_ends_at_the_arc() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let found = figure(&pair, &chutes(18.0, &[]), &[stand(18.0 * F, 0.0, 90.0, None)], None).value.unwrap();
    let wanted = 864.0 - 0.5 * std::f64::consts::PI * 18.0 * 18.0;
    let got = area_of(&found.outside);
    assert!((got / wanted - 1.0).abs() < 0.002, "{got} for {wanted}");
    let at = P2::new(18.0 * F, 0.0);
    assert!(found.outside.iter().flatten().all(|p| p.distance(at) > 18.0 * F - 0.02));
    // Its edge is the half circle, and not the forms.
    assert!(!found.limit.is_empty());
    assert!(found.limit.iter().all(|(a, b)| (a.lerp(*b, 0.5).distance(at) - 18.0 * F).abs() < 0.03));
}

/// 30 degrees to each side leave 864 less a sixth of the disc, 169.6 ft2; two stands leave what neither reaches;
/// a fall of 1 in 3 from 4 ft ends a chute of 22 ft at 6 + 12 = 18 ft.
#[test]
fn swing_fall_and_further_stands_bound_what_is_drawn() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let disc = std::f64::consts::PI * 18.0 * 18.0;
    let got = |c: &Chutes, s: &[TruckStand]| area_of(&figure(&pair, c, s, None).value.unwrap().outside);
    let swung = got(&chutes(18.0, &[]), &[stand(18.0 * F, 0.0, 30.0, None)]);
    assert!((swung / (864.0 - disc / 6.0) - 1.0).abs() < 0.002, "{swung}");
    let quarter = |x: f64| stand(x * F, 0.0, 90.0, None);
    let two = got(&chutes(18.0, &[]), &[quarter(0.0), quarter(36.0)]);
    assert!((two / (864.0 - disc / 2.0) - 1.0).abs() < 0.002, "{two}");
    let flat = got(&chutes(6.0, &[4.0, 4.0, 4.0, 4.0]), &[stand(18.0 * F, 0.0, 90.0, Some(0.0))]);
    assert!((flat / (864.0 - disc / 2.0) - 1.0).abs() < 0.002, "{flat}");
    // Nobody reaches anything: all of the floor is drawn.
    assert!((got(&chutes(18.0, &[]), &[]) / 864.0 - 1.0).abs() < 1e-9);
}

/// Set back 5 ft the disc leaves a segment on the floor: R²·acos(h/R) − h·√(R² − h²).
#[test]
fn a_truck_set_back_reaches_a_segment() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let found =
        figure(&pair, &chutes(18.0, &[]), &[stand(18.0 * F, -5.0 * F, 90.0, None)], None).value.unwrap();
    let (r, h) = (18.0_f64, 5.0_f64);
    let wanted = r * r * basis::math::acos(h / r) - h * (r * r - h * h).sqrt();
    let got = found.stands[0].areas[0].in_square_feet();
    assert!((got / wanted - 1.0).abs() < 0.01, "{got} for {wanted}");
}

/// A swing of 30 degrees to each side is a sixth of the disc; what lies aside is outside the swing.
#[test]
fn the_swing_limits_the_sector() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let found = figure(&pair, &chutes(18.0, &[]), &[stand(18.0 * F, 0.0, 30.0, None)], None).value.unwrap();
    let wanted = std::f64::consts::PI * 18.0 * 18.0 / 6.0;
    assert!((found.stands[0].areas[0].in_square_feet() / wanted - 1.0).abs() < 0.01);
    assert!(found.reasons[3].1.area.in_square_feet() > 300.0);
}

/// 4 ft of height at 1 in 3 carries 12 ft of extensions, 18 ft with a fixed chute of 6 ft: the
/// contractor's 18 ft and the rule of 1 in 3 agree. A fourth extension does not help.
#[test]
fn the_fall_limits_the_reach() {
    let pair = rectangle(36.0 * F, 24.0 * F, EdgeKind::Free);
    let four = chutes(6.0, &[4.0, 4.0, 4.0, 4.0]);
    let found = figure(&pair, &four, &[stand(18.0 * F, 0.0, 90.0, Some(0.0))], None).value.unwrap();
    let disc = |r: f64| 0.5 * std::f64::consts::PI * r * r;
    let got = found.stands[0].areas.last().unwrap().in_square_feet();
    assert!((got / disc(18.0) - 1.0).abs() < 0.01, "{got}");
    assert!((found.stands[0].flattest.unwrap().in_ratio() * 3.0 - 1.0).abs() < 0.02);
    assert!(found.added.is_none());
    // The end of all four, 22 ft out, wants 16/3 ft of height, 4/3 ft more; pieces overhang by inches.
    assert!((found.raise.unwrap().in_feet() - 4.0 / 3.0).abs() < 0.2, "{:?}", found.raise);
}

#[test]
fn two_stands_reach_what_either_does() {
    let pair = rectangle(36.0 * F, 10.0 * F, EdgeKind::Free);
    let stands = [stand(9.0 * F, 0.0, 90.0, None), stand(27.0 * F, 0.0, 90.0, None)];
    let found = figure(&pair, &chutes(14.0, &[]), &stands, None).value.unwrap();
    // From 9 and 27 ft every corner of the two halves is hypot(9, 10) = 13.5 ft away.
    assert!(found.beyond.area.in_square_metres() < 1e-9 && found.carried.is_none() && found.added.is_none());
    assert!(found.bays.iter().all(|b| b.from.len() == 2));
}

#[test]
fn impossible_chutes_and_stands_are_told() {
    let pair = tee();
    let good = chutes(14.0, &[]);
    let codes = |c: &Chutes, s: &[TruckStand]| {
        figure(&pair, c, s, None).notes.iter().map(|n| n.code).collect::<Vec<_>>()
    };
    assert_eq!(codes(&good, &[]), ["no-stand"]);
    assert_eq!(codes(&chutes(0.0, &[]), &[]), ["chute-impossible", "no-stand"]);
    assert_eq!(codes(&chutes(f64::NAN, &[f64::INFINITY]), &[])[0], "chute-impossible");
    let flat = Chutes { least_fall: Slope::ratio(f64::NAN), ..good.clone() };
    assert_eq!(codes(&flat, &[])[0], "chute-fall-impossible");
    assert_eq!(codes(&good, &[stand(f64::NAN, 0.0, 90.0, None)]), ["stand-impossible", "beyond-reach"]);
    assert!(sector(&stand(f64::NAN, 0.0, 90.0, None), Length::feet(18.0)).is_empty());
    assert_eq!(sector(&stand(0.0, 0.0, 90.0, None), Length::feet(18.0)).len(), 62);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    /// Reached and beyond make up the floor; more chute never reaches less.
    #[test]
    fn reached_and_beyond_make_up_the_floor(x in -5.0..15.0f64, y in -5.0..15.0f64, main in 1.0..30.0f64, swing in 5.0..200.0f64) {
        let pair = ell_with_hole();
        let found = figure(&pair, &chutes(main, &[4.0]), &[stand(x, y, swing, Some(2.0))], None).value.unwrap();
        let all = found.whole.area.in_square_metres();
        let sum = found.stands[0].areas[1].in_square_metres() + found.beyond.area.in_square_metres();
        prop_assert!((sum / all - 1.0).abs() < 1e-9);
        prop_assert!(found.stands[0].areas[0] <= found.stands[0].areas[1]);
        let reasons: f64 = found.reasons.iter().map(|r| r.1.volume.in_cubic_metres()).sum();
        let drawn = area_of(&found.outside) * F * F;
        prop_assert!((drawn - found.beyond.area.in_square_metres()).abs() < 0.01 * all, "{drawn}");
        prop_assert!((reasons - found.beyond.volume.in_cubic_metres()).abs() < 1e-9);
        prop_assert!((found.beyond.volume.in_cubic_metres() - THICKNESS * found.beyond.area.in_square_metres()).abs() < 1e-9);
    }
}
