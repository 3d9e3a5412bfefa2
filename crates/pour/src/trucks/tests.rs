//! Tests of the timeline as a whole.

use super::*;
use crate::order::example_terms;
use basis::{Origin, VolumeRate};
use proptest::prelude::*;
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;

fn yards(v: f64) -> Volume {
    Volume::cubic_yards(v)
}

fn certain() -> (Plant, Crew) {
    let (mut plant, mut crew) = example_terms();
    plant.haul = Some(Estimate::new(TimeSpan::minutes(20.0), TimeSpan::ZERO, Origin::Stated));
    crew.placing_rate =
        Estimate::new(VolumeRate::cubic_yards_per_hour(10.0), VolumeRate::default(), Origin::Stated);
    (plant, crew)
}

fn follow_days(loads: &[Volume], plant: &Plant, crew: &Crew, lateness: Option<f64>, seed: u64) -> Timeline {
    let lateness = lateness.map(TimeSpan::minutes);
    let input = TruckInput { loads, plant, crew, lateness, draws: 300, units: UnitSystem::Us };
    timeline(&input, &mut ChaCha12Rng::seed_from_u64(seed)).value.expect("plain loads have a timeline")
}

/// Without chance the timeline is arithmetic: 10 yd at 10 yd/h every 40 min, 7 free minutes a yard, $130 an hour.
/// Waits 0, 20, 40; on site 60, 80, 100 against 70 free: standby 40 min, $86.67; concrete 20 + 100 min old at the most.
#[test]
fn a_day_without_chance_by_hand() {
    let (mut plant, crew) = certain();
    plant.spacing = Some(TimeSpan::minutes(40.0));
    let t = follow_days(&[yards(10.0); 3], &plant, &crew, Some(0.0), 1);
    let minutes = |span: TimeSpan| (span.in_minutes() * 1e6).round() / 1e6;
    assert_eq!(t.trucks.iter().map(|r| minutes(r.wait.high)).collect::<Vec<_>>(), [0.0, 20.0, 40.0]);
    assert_eq!(minutes(t.totals.standby.expect("free time is stated").middle), 40.0);
    assert!((t.standby_charge.expect("terms are stated").in_units() - 86.6667).abs() < 1e-3);
    assert_eq!(minutes(t.trucks[2].age.low), 120.0);
    assert_eq!(t.totals.chance_over_limit, Some(1.0));
    assert_eq!(t.totals.chance_cold_joint, Some(0.0));
    assert_eq!(minutes(t.totals.end.middle), 180.0);
}

/// Without chance the matched spacing is the best: no wait, no idling, and 5 min to either side costs something.
#[test]
fn the_matched_spacing_is_best_without_chance() {
    let (plant, crew) = certain();
    let t = follow_days(&[yards(10.0); 4], &plant, &crew, Some(0.0), 1);
    let best = &t.spacings[t.best_spacing];
    assert!(best.totals.idle.mean.in_minutes() < 1e-6);
    // Ten minutes of each truck are free beyond the unloading, so the closest spacing without standby or idling is taken.
    assert!((50.0..=60.0).contains(&best.spacing.in_minutes()), "{:?}", best.spacing);
    assert_eq!(t.spacing_basis, SpacingBasis::LeastCost);
    assert_eq!(t.matched, TimeSpan::hours(1.0));
}

/// With chance, wider spacing means less standby and more idling, in the mean over the same days, and a later end.
#[test]
fn spacings_trade_standby_for_idling() {
    let (plant, crew) = example_terms();
    let t = follow_days(&[yards(9.0); 5], &plant, &crew, None, 4);
    assert!(t.spacings.len() >= 5);
    for pair in t.spacings.windows(2) {
        let (a, b) = (&pair[0].totals, &pair[1].totals);
        assert!(b.standby.expect("stated").mean <= a.standby.expect("stated").mean + TimeSpan::seconds(1.0));
        assert!(b.idle.mean >= a.idle.mean - TimeSpan::seconds(1.0));
    }
    let costs: Vec<_> = t.spacings.iter().map(|trial| trial.cost).collect();
    assert_eq!(costs.iter().min(), Some(&costs[t.best_spacing]));
}

#[test]
fn a_seed_gives_the_same_days_and_another_seed_others() {
    let (plant, crew) = example_terms();
    let run = |seed| follow_days(&[yards(9.0); 3], &plant, &crew, None, seed);
    assert_eq!(run(9), run(9));
    assert_ne!(run(9), run(10));
}

/// Two seeds of 300 days agree on the 90 % figure of the end within 8 min: its sd over days is some 20 min, and the error
/// of a 90 % quantile is 20·√(0.1·0.9/300)/0.175 = 2 min (density of the normal curve there).
#[test]
fn three_hundred_days_are_enough() {
    let (plant, crew) = example_terms();
    let high = |seed| follow_days(&[yards(9.0); 3], &plant, &crew, None, seed).totals.end.high.in_minutes();
    assert!((high(1) - high(2)).abs() < 8.0, "{} {}", high(1), high(2));
}

#[test]
fn too_few_trucks_are_told() {
    let (mut plant, crew) = example_terms();
    plant.trucks = Some(1);
    let loads = [yards(9.0); 4];
    let input = TruckInput {
        loads: &loads,
        plant: &plant,
        crew: &crew,
        lateness: None,
        draws: 50,
        units: UnitSystem::Us,
    };
    let report = timeline(&input, &mut ChaCha12Rng::seed_from_u64(1));
    // Round trip 25 + 25 + 15 + 45 = 110 min over 45 to unload: 3 trucks.
    assert_eq!(report.value.as_ref().and_then(|t| t.trucks_needed), Some(3));
    let codes: Vec<_> = report.notes.iter().map(|note| note.code).collect();
    assert!(codes.contains(&"too-few-trucks") && codes.contains(&"cold-joint-likely"), "{codes:?}");
}

#[test]
fn a_missing_haul_is_told_and_a_missing_price_leaves_blanks() {
    let (mut plant, mut crew) = example_terms();
    (plant.haul, plant.standby, crew.idle_cost) = (None, None, None);
    let loads = [yards(9.0); 2];
    let input = TruckInput {
        loads: &loads,
        plant: &plant,
        crew: &crew,
        lateness: None,
        draws: 50,
        units: UnitSystem::Us,
    };
    let report = timeline(&input, &mut ChaCha12Rng::seed_from_u64(1));
    let t = report.value.expect("a timeline");
    assert_eq!((t.standby_charge, t.idle_cost, t.trucks_needed), (None, None, None));
    assert_eq!(t.spacing_basis, SpacingBasis::LeastMinutes);
    assert!(report.notes.iter().any(|note| note.code == "haul-not-stated"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn any_input_is_answered(
        load in prop_oneof![Just(f64::NAN), Just(1e300), Just(0.0), 0.1..12.0], rate in prop_oneof![Just(0.0), Just(1e-300), 1.0..40.0],
        haul in prop_oneof![Just(f64::INFINITY), Just(0.0), 1.0..300.0], n in 0usize..6, trucks in 0u32..4,
    ) {
        let (mut plant, mut crew) = example_terms();
        plant.haul = Some(Estimate::new(TimeSpan::minutes(haul), TimeSpan::minutes(haul / 3.0), Origin::Stated));
        plant.trucks = Some(trucks);
        crew.placing_rate.mean = VolumeRate::cubic_yards_per_hour(rate);
        let loads = vec![yards(load); n];
        let input = TruckInput { loads: &loads, plant: &plant, crew: &crew, lateness: None, draws: 20, units: UnitSystem::Us };
        let report = timeline(&input, &mut ChaCha12Rng::seed_from_u64(1));
        prop_assert_eq!(report.value.is_none(), report.has_fault());
    }
}
