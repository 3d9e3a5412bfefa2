//! Trucks by chance against a simulation by events with numpy's draws.

use basis::{Estimate, Origin, TimeSpan, UnitSystem, Volume};
use house::python;
use pour::order::example_terms;
use pour::trucks::{TruckInput, timeline};
use rand::SeedableRng;
use rand::rngs::ChaCha12Rng;
use serde_json::json;

#[test]
fn waits_standby_idling_and_odds_agree_with_a_simulation_by_events() {
    let days: u32 = 4_000;
    // Close trucks, wide spacing, and two trucks for four loads.
    for (spacing, trucks, yards) in
        [(30.0, 4, [9.0; 4]), (60.0, 4, [10.0, 10.0, 10.0, 5.5]), (45.0, 2, [8.0; 4])]
    {
        let (mut plant, crew) = example_terms();
        plant.spacing = Some(TimeSpan::minutes(spacing));
        plant.trucks = Some(trucks);
        plant.haul = Some(Estimate::new(TimeSpan::minutes(25.0), TimeSpan::minutes(6.0), Origin::Stated));
        let loads = yards.map(Volume::cubic_yards);
        let input = TruckInput {
            loads: &loads,
            plant: &plant,
            crew: &crew,
            lateness: Some(TimeSpan::minutes(10.0)),
            draws: days,
            units: UnitSystem::Us,
        };
        let report = timeline(&input, &mut ChaCha12Rng::seed_from_u64(31));
        let ours = report.value.unwrap_or_else(|| panic!("{:?}", report.notes)).totals;
        // Minutes and yards throughout.
        let answer = python::ask(
            "trucks",
            &json!({
                "loads": yards, "asked": [0.0, spacing, 2.0 * spacing, 3.0 * spacing], "haul": [25.0, 6.0],
                "rate": [12.0 / 60.0, 1.5 / 60.0], "lateness": 10.0, "turnaround": 15.0, "trucks": trucks,
                "free": 7.0, "cold_joint": 45.0, "limit": 90.0, "days": days, "seed": 32,
            }),
        );
        let (mean, spread) = (python::numbers(&answer, "mean"), python::numbers(&answer, "spread"));
        let minutes = |span: TimeSpan| span.in_minutes();
        let figures = [
            ("end", minutes(ours.end.mean)),
            ("wait", minutes(ours.wait.mean)),
            ("standby", ours.standby.map_or(f64::NAN, |band| minutes(band.mean))),
            ("idle", minutes(ours.idle.mean)),
            ("cold joint", ours.chance_cold_joint.unwrap_or(f64::NAN)),
            ("over the limit", ours.chance_over_limit.unwrap_or(f64::NAN)),
        ];
        for (i, (name, figure)) in figures.into_iter().enumerate() {
            // Two independent means of 4,000 days differ by √2·s/√4000; four times that happens to one in 16,000.
            let allowed = 4.0 * spread[i] * (2.0 / f64::from(days)).sqrt() + 1e-9;
            assert!((figure - mean[i]).abs() <= allowed, "{name}: {figure} against {} ± {allowed}", mean[i]);
        }
    }
}
