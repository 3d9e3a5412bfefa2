//! Need, odds and expected cost of an order against scipy.

use basis::{Estimate, Money, Origin, UnitSystem, Volume};
use house::python;
use pour::order::{OrderInput, example_terms, order};
use serde_json::json;

#[test]
fn need_odds_and_costs_agree_with_scipy() {
    let (mut plant, crew) = example_terms();
    // The example's standby is within its free time at 12 yd/h: 5 min a yard of 7.
    plant.truck = Volume::cubic_yards(9.0);
    let yards = |mean, sd| Estimate::new(Volume::cubic_yards(mean), Volume::cubic_yards(sd), Origin::Stated);
    for (forms, allowance) in
        [((8.2, 0.35), (0.04, 0.02)), ((13.1, 0.5), (0.03, 0.015)), ((3.4, 0.2), (0.06, 0.03))]
    {
        let input = OrderInput {
            forms: yards(forms.0, forms.1),
            allowance: Some(Estimate::new(allowance.0, allowance.1, Origin::Stated)),
            loss: Some(yards(0.15, 0.07)),
            plant: &plant,
            crew: &crew,
            cuts: &[],
            units: UnitSystem::Us,
        };
        let report = order(&input);
        let ours = report.value.unwrap_or_else(|| panic!("{:?}", report.notes));
        let steps: Vec<u64> =
            ours.rows.iter().map(|row| (row.quantity.in_cubic_yards() / 0.25).round() as u64).collect();
        let answer = python::ask(
            "order",
            &json!({
                "forms": forms, "allowance": allowance, "loss": (0.15, 0.07), "steps": steps,
                "terms": {
                    "increment": 0.25, "truck": 9.0, "price": 160.0, "minimum": 3.0, "short_below": 5.0,
                    "fee": 120.0, "disposal": 40.0, "waiting": 140.0,
                },
            }),
        );
        let total = ours.need.total;
        // Both are exact for products of normals: only rounding parts them.
        assert!((total.mean.in_cubic_yards() - python::number(&answer, "mean")).abs() < 1e-12);
        assert!((total.sd.in_cubic_yards() - python::number(&answer, "spread")).abs() < 1e-12);
        let (odds, costs) = (python::numbers(&answer, "chance_short"), python::numbers(&answer, "cost"));
        for ((row, odds), cost) in ours.rows.iter().zip(odds).zip(costs) {
            assert!((row.chance_short - odds).abs() < 1e-12, "{row:?}");
            // Our sum stops 8 standard deviations out, where less than 1e-12 of some hundred dollars is left;
            // scipy's quadrature answers for 1e-8 of each part; money is kept to the hundredth of a cent.
            let ours = row.cost.map_or(f64::NAN, Money::in_units);
            assert!((ours - cost).abs() < 2e-4, "{ours} against {cost} for {:?}", row.quantity);
        }
    }
}
