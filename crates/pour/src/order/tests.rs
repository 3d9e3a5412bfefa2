//! Tests of the order as a whole.

use super::*;
use crate::chance::Normal;
use basis::{Money, Origin, Severity};
use proptest::prelude::*;

fn yards(v: f64) -> Volume {
    Volume::cubic_yards(v)
}

fn forms(mean: f64, sd: f64) -> Estimate<Volume> {
    Estimate::new(yards(mean), yards(sd), Origin::Derived)
}

fn ordered(forms: Estimate<Volume>, plant: &Plant, crew: &Crew) -> Report<Order> {
    order(&OrderInput { forms, allowance: None, loss: None, plant, crew, cuts: &[], units: UnitSystem::Us })
}

/// The least-cost order meets the first-order condition of its cost, worked by hand for a plant without minimum or fee:
/// `100 q + 50 E[left] + 100 E[short] + 400 P(short)` has the slope `150 F(q) − 400 f(q)`.
#[test]
fn least_cost_meets_its_first_order_condition() {
    let grid = Grid { increment: 0.01, limits: LoadLimits { truck: 100_000, short_below: 0 } };
    let charges = Charges {
        price: 100.0,
        minimum: 0.0,
        short_below: 0.0,
        fee: 0.0,
        each_load: None,
        disposal: 50.0,
        waiting: 400.0,
        standby: 0.0,
        late: 0.0,
    };
    let need = Normal { mean: 20.0, sd: 0.8 };
    let table = table(need, &grid, Some(&charges), 0.1);
    let best = table.rows[table.recommended].quantity.in_cubic_metres();
    let z = (best - 20.0) / 0.8;
    let slope = 150.0 * basis::math::normal_below(z) - 400.0 * basis::math::normal_density(z) / 0.8;
    let curvature = (150.0 + 400.0 * z / 0.8) * basis::math::normal_density(z) / 0.8;
    // The stationary point lies within one shown step, plus half a step that a further truck brings too much.
    assert!((slope / curvature).abs() < 0.02, "{best}: {slope} {curvature}");
}

/// By hand, one quantity: 10 yd³ against a need that is 10.3 for certain. Further truck 0.5 yd³ (rounded up from 0.3):
/// 10 × 160 + 3 × 160 (minimum) + 120 (fee) + 140 (an hour's wait) + 0.2 × 40 (its rest) = 2,348.
#[test]
fn cost_of_a_certain_shortage_by_hand() {
    let (plant, crew) = example_terms();
    let (charges, _) = charges(&plant, &crew, UnitSystem::Us).expect("complete terms");
    let grid = grid(&plant, 100.0, UnitSystem::Us).expect("a plain plant");
    let need = Normal { mean: yards(10.3).in_cubic_metres(), sd: 0.0 };
    assert!((expected_cost(40, need, &grid, &charges) - 2_348.0).abs() < 1e-6);
    // And 10.5: loads of 5.25 and 5.25 pay no fee: 10.5 × 160 + 0.2 × 40 = 1,688.
    assert!((expected_cost(42, need, &grid, &charges) - 1_688.0).abs() < 1e-6);
}

/// Expected cost against 200,000 draws, by another way of summing: the tolerance is 4 standard errors (cost sd ≈ 350).
#[test]
fn expected_cost_agrees_with_draws() {
    use rand::SeedableRng;
    let (plant, crew) = example_terms();
    let (charges, _) = charges(&plant, &crew, UnitSystem::Us).expect("complete terms");
    let grid = grid(&plant, 100.0, UnitSystem::Us).expect("a plain plant");
    let need = Normal { mean: yards(14.7).in_cubic_metres(), sd: yards(0.6).in_cubic_metres() };
    let mut rng = rand::rngs::ChaCha12Rng::seed_from_u64(11);
    let (q, inc, n) = (59, yards(0.25).in_cubic_metres(), 200_000);
    let mean = (0..n)
        .map(|_| {
            let lack = need.mean + need.sd * crate::chance::standard_normal(&mut rng) - grid.volume(q);
            if lack <= 0.0 {
                return charges.order(q, &grid) - charges.disposal * lack;
            }
            let further = (lack / inc).ceil();
            charges.order(q, &grid)
                + charges.order(further as u32, &grid)
                + charges.waiting
                + charges.disposal * (further * inc - lack)
        })
        .sum::<f64>()
        / f64::from(n);
    let exact = expected_cost(q, need, &grid, &charges);
    assert!((mean - exact).abs() < 3.2, "{mean} {exact}");
}

/// Every row against its neighbour: more concrete is less often short, and left − short = quantity − need.
#[test]
fn rows_obey_their_laws() {
    let (plant, crew) = example_terms();
    let order = ordered(forms(14.0, 0.5), &plant, &crew).value.expect("an order");
    for pair in order.rows.windows(2) {
        assert!(pair[1].chance_short < pair[0].chance_short);
        assert!((pair[1].quantity - pair[0].quantity - yards(0.25)).abs().in_cubic_yards() < 1e-9);
    }
    for row in &order.rows {
        let balance = row.expected_left - row.expected_short - (row.quantity - order.need.total.mean);
        assert!(balance.abs().in_cubic_yards() < 1e-9);
        assert!(row.cost >= order.recommended.cost);
    }
    assert!(order.rows.first().expect("rows").chance_short > 0.98);
    assert!(order.rows.last().expect("rows").chance_short < 0.006);
}

/// Without money the order is the least quantity that is short at most 1 time in 6: a quarter yard less is over it.
#[test]
fn without_terms_the_odds_decide_and_each_missing_term_is_told() {
    let (mut plant, crew) = example_terms();
    plant.price = None;
    plant.short_load_fee = None;
    let report = ordered(forms(14.0, 0.5), &plant, &crew);
    let order = report.value.as_ref().expect("an order");
    assert_eq!(order.basis, Basis::Odds(1.0 / 6.0));
    assert!(order.recommended.chance_short <= 1.0 / 6.0);
    let below =
        order.rows.iter().rev().find(|row| row.quantity < order.recommended.quantity).expect("a row below");
    assert!(below.chance_short > 1.0 / 6.0);
    assert!(order.rows.iter().all(|row| row.cost.is_none()));
    let told: Vec<_> =
        report.notes.iter().filter(|n| n.code == "plant-term-missing").map(|n| n.place.path()).collect();
    assert_eq!(told, ["plant.price", "plant.short_load_fee"]);
}

#[test]
fn defaults_are_told_as_assumed() {
    let (plant, crew) = example_terms();
    let report = ordered(forms(14.0, 0.5), &plant, &crew);
    let codes: Vec<_> = report.notes.iter().map(|note| note.code).collect();
    assert!(codes.contains(&"allowance-assumed") && codes.contains(&"loss-assumed"), "{codes:?}");
}

#[test]
fn impossible_input_is_refused_with_all_faults() {
    let (mut plant, crew) = example_terms();
    plant.truck = Volume::ZERO;
    plant.disposal = Some(basis::Price { amount: Money::ZERO, per: Volume::ZERO });
    let report = ordered(forms(f64::NAN, 0.5), &plant, &crew);
    assert!(report.value.is_none());
    let faults: Vec<_> =
        report.notes.iter().filter(|n| n.severity == Severity::Fault).map(|n| n.code).collect();
    assert_eq!(faults, ["volume-impossible", "plant-term-impossible", "plant-term-impossible"]);
}

proptest! {
    /// No input panics, and a result obeys its own promises.
    #[test]
    fn any_input_is_answered(
        mean in prop_oneof![Just(f64::NAN), Just(1e300), Just(-1.0), 0.0..1e7], sd in prop_oneof![Just(f64::INFINITY), 0.0..50.0],
        truck in prop_oneof![Just(f64::NAN), Just(1e-300), 0.1..20.0], increment in prop_oneof![Just(0.0), Just(1e300), 1e-4..2.0],
    ) {
        let (mut plant, crew) = example_terms();
        plant.truck = Volume::cubic_metres(truck);
        plant.increment = Volume::cubic_metres(increment);
        let forms = Estimate::new(Volume::cubic_metres(mean), Volume::cubic_metres(sd), Origin::Derived);
        let report = ordered(forms, &plant, &crew);
        prop_assert_eq!(report.value.is_none(), report.has_fault());
        if let Some(order) = report.value {
            let sum: Volume = order.loads.iter().copied().sum();
            prop_assert!((sum - order.recommended.quantity).abs().in_cubic_metres() <= 1e-9 * sum.in_cubic_metres());
            prop_assert!(order.rows.len() <= 402);
        }
    }
}
