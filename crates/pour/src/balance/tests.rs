//! Tests of the last-load call as a whole.

use super::*;
use crate::order::example_terms;
use basis::{Severity, TimeSpan};
use proptest::prelude::*;

fn yards(v: f64) -> Volume {
    Volume::cubic_yards(v)
}

/// 10.4 yd³ of the forms placed, 4.6 remaining, with 2 % of doubt each and a correlation of a half.
fn regions() -> Regions {
    let (s, t) = (0.2 * 0.7645549, 0.12 * 0.7645549);
    let covariance = [[s * s, 0.5 * s * t], [0.5 * s * t, t * t]];
    Regions { placed: yards(10.4), remaining: yards(4.6), covariance, line: yards(0.1) }
}

fn input<'a>(delivered: &'a [Volume], plant: &'a Plant, crew: &'a Crew) -> BalanceInput<'a> {
    BalanceInput {
        regions: regions(),
        delivered,
        in_drum: Estimate::new(Volume::ZERO, Volume::ZERO, Origin::Measured),
        on_the_way: Volume::ZERO,
        allowance: None,
        loss: None,
        loss_share: None,
        plant,
        crew,
        units: UnitSystem::Us,
    }
}

/// A pour that took more than expected raises the allowance and the call; one that took less lowers both.
#[test]
fn the_pour_teaches_its_own_allowance() {
    let (plant, crew) = example_terms();
    let call = |delivered: f64| balance(&input(&[yards(delivered)], &plant, &crew)).value.expect("a call");
    let (less, same, more) = (call(10.5), call(10.92), call(11.4));
    assert!(less.allowance.mean < same.allowance.mean && same.allowance.mean < more.allowance.mean);
    assert!(less.need.mean < same.need.mean && same.need.mean < more.need.mean);
    assert!(less.recommended.quantity <= same.recommended.quantity);
    assert!(same.recommended.quantity <= more.recommended.quantity);
    assert!(same.allowance.sd < 0.02, "something was learned");
    assert!(same.surprise.abs() < 0.1, "{}", same.surprise);
}

/// What is still in the drum and on the way need not be called.
#[test]
fn concrete_on_hand_is_not_called_again() {
    let (plant, crew) = example_terms();
    let tickets = [yards(10.92), yards(2.0)];
    let mut held = input(&tickets, &plant, &crew);
    held.in_drum.mean = yards(2.0);
    let plain = balance(&input(&tickets[..1], &plant, &crew)).value.expect("a call");
    let with_drum = balance(&held).value.expect("a call");
    assert!((plain.need.mean - with_drum.need.mean - yards(2.0)).abs().in_cubic_yards() < 0.02);
    held.on_the_way = yards(10.0);
    let enough = balance(&held).value.expect("an answer");
    assert_eq!(enough.recommended.quantity, Volume::ZERO);
    assert!(enough.loads.is_empty() && enough.need.mean < Volume::ZERO);
    // 12 yd³ at 12 yd³/h last an hour.
    assert!((enough.times.out_of_concrete - TimeSpan::hours(1.0)).abs().in_seconds() < 1e-6);
}

/// By hand: an empty site, 60 min from the call to the truck, a crew of 140 an hour: whatever is called costs 140 more than
/// the same quantity called in time, and nothing called costs no wait for it.
#[test]
fn a_late_call_costs_the_wait_for_what_is_called() {
    let (plant, crew) = example_terms();
    let tickets = [yards(10.92)];
    let mut seen = input(&tickets, &plant, &crew);
    seen.regions.remaining = yards(0.1);
    let called = balance(&seen).value.expect("a call");
    let (charges, _) = crate::order::charges(&plant, &crew, UnitSystem::Us).expect("complete terms");
    let grid = grid(&plant, 100.0, UnitSystem::Us).expect("a plain plant");
    let law = Normal { mean: called.need.mean.in_cubic_metres(), sd: called.need.sd.in_cubic_metres() };
    assert!(called.rows.len() > 1 && called.rows[0].quantity == Volume::ZERO);
    for row in &called.rows {
        let steps = grid.down(row.quantity.in_cubic_metres());
        let in_time = crate::order::expected_cost(steps, law, &grid, &charges);
        let wait = row.cost.expect("complete terms").in_units() - in_time;
        let expected = if steps > 0 { 140.0 } else { 0.0 };
        assert!((wait - expected).abs() < 1e-3, "{:?}: {wait}", row.quantity);
    }
}

/// The doubt of a drum that was only looked at counts against the rest: what it hides was either placed or is still there.
#[test]
fn a_doubtful_drum_costs_knowledge() {
    let (plant, crew) = example_terms();
    let tickets = [yards(10.92), yards(2.0)];
    let mut seen = input(&tickets, &plant, &crew);
    seen.in_drum.mean = yards(2.0);
    let sure = balance(&seen).value.expect("a call");
    seen.in_drum.sd = yards(0.5);
    let doubtful = balance(&seen).value.expect("a call");
    assert!(doubtful.need.sd > sure.need.sd && doubtful.allowance.sd > sure.allowance.sd);
}

#[test]
fn a_delivery_far_from_expected_is_told() {
    let (plant, crew) = example_terms();
    for (delivered, part) in [(14.0, "form that gave way"), (8.5, "thinner than designed")] {
        let report = balance(&input(&[yards(delivered)], &plant, &crew));
        let note = report.notes.iter().find(|n| n.code == "delivery-far-from-expected").expect("a warning");
        assert!(note.severity == Severity::Warning && note.hint.contains(part), "{note:?}");
    }
}

#[test]
fn impossible_amounts_are_faults() {
    let (plant, mut crew) = example_terms();
    crew.placing_rate.mean = basis::VolumeRate::cubic_metres_per_hour(0.0);
    let tickets = [yards(2.0)];
    let mut bad = input(&tickets, &plant, &crew);
    bad.in_drum.mean = yards(3.0);
    bad.on_the_way = yards(-1.0);
    bad.regions.covariance[0][1] = 9.0;
    let report = balance(&bad);
    let codes: Vec<_> =
        report.notes.iter().filter(|n| n.severity == Severity::Fault).map(|n| n.code).collect();
    assert_eq!(
        codes,
        [
            "covariance-impossible",
            "balance-amount-impossible",
            "more-in-drum-than-delivered",
            "placing-rate-impossible"
        ]
    );
}

/// Terms that are none are faults here as for the order, not costs without end.
#[test]
fn impossible_terms_are_faults() {
    let (mut plant, mut crew) = example_terms();
    plant.price = plant.price.map(|price| basis::Price { per: Volume::ZERO, ..price });
    crew.idle_cost = crew.idle_cost.map(|price| basis::Price { per: TimeSpan::ZERO, ..price });
    let report = balance(&input(&[yards(10.9)], &plant, &crew));
    assert!(report.value.is_none());
    let places: Vec<_> =
        report.notes.iter().filter(|n| n.code == "plant-term-impossible").map(|n| n.place.path()).collect();
    assert_eq!(places, ["plant.price", "crew.idle_cost"]);
}

/// Stated odds hold when the truth is drawn from the beliefs: over 4,000 simulated pours the need exceeds the quantile of
/// 10 % in 8 to 12 of 100 (4 standard errors are 1.9 points), and likewise at 50 %.
#[test]
fn stated_odds_of_the_call_are_calibrated() {
    use crate::chance::standard_normal;
    use rand::SeedableRng;
    let (plant, crew) = example_terms();
    let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(5);
    let asked = input(&[], &plant, &crew);
    let c =
        ahead::belief(&asked.regions, crate::defaults::allowance(), crate::defaults::loss(), asked.in_drum)
            .covariance;
    let (mut over_10, mut over_50) = (0, 0);
    for _ in 0..4_000 {
        let z: [f64; 6] = std::array::from_fn(|_| standard_normal(&mut rng));
        let l11 = c[0][0].sqrt();
        let l21 = c[1][0] / l11;
        let placed = yards(10.4).in_cubic_metres() + l11 * z[0];
        let remaining = yards(4.6).in_cubic_metres() + l21 * z[0] + (c[1][1] - l21 * l21).sqrt() * z[1];
        let (a, loss) =
            (0.04 + 0.02 * z[2], c[3][3].sqrt() * z[3] + crate::defaults::loss().mean.in_cubic_metres());
        let share = 10.4 / 15.0;
        let delivered = (placed * (1.0 + a) + share * loss) * (1.0 + 0.01 * z[4]);
        let call = balance(&input(&[Volume::cubic_metres(delivered)], &plant, &crew)).value.expect("a call");
        let truth = (remaining * (1.0 + a) + (1.0 - share) * loss) * (1.0 + 0.01 * z[5]);
        let law = Normal { mean: call.need.mean.in_cubic_metres(), sd: call.need.sd.in_cubic_metres() };
        over_10 += u32::from(truth > law.quantile(0.9));
        over_50 += u32::from(truth > law.mean);
    }
    assert!((320..=480).contains(&over_10), "{over_10}");
    assert!((1_870..=2_130).contains(&over_50), "{over_50}");
}

proptest! {
    #[test]
    fn any_input_is_answered(
        placed in prop_oneof![Just(f64::NAN), Just(0.0), Just(1e300), 0.0..30.0], remaining in prop_oneof![Just(-1.0), Just(0.0), 0.0..30.0],
        delivered in prop_oneof![Just(f64::INFINITY), 0.0..40.0], drum in 0.0..5.0, sd in prop_oneof![Just(0.0), 0.0..2.0],
    ) {
        let (plant, crew) = example_terms();
        let tickets = [yards(delivered)];
        let mut any = input(&tickets, &plant, &crew);
        any.regions = Regions { placed: yards(placed), remaining: yards(remaining), covariance: [[sd * sd, 0.0], [0.0, 0.0]], line: yards(sd) };
        any.in_drum.mean = yards(drum);
        let report = balance(&any);
        prop_assert_eq!(report.value.is_none(), report.has_fault());
        if let Some(call) = report.value {
            prop_assert!(call.need.sd >= Volume::ZERO && call.need.mean.is_finite());
        }
    }
}
