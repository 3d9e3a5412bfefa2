//! Terms of an invented plant and crew, for examples, tests and the simulated floors of `bench`.

use basis::{Currency, Estimate, Length, Money, Origin, Price, TimeSpan, Volume, VolumeRate};

use crate::job::{Crew, Plant, TimePerVolume};

/// Terms of an invented plant and crew, for examples and tests: not prices of any place.
#[must_use]
pub fn example_terms() -> (Plant, Crew) {
    let dollars = |units: i64| Money::ten_thousandths(units * 10_000);
    let yard = Volume::cubic_yards(1.0);
    let plant = Plant {
        truck: Volume::cubic_yards(10.0),
        increment: Volume::cubic_yards(0.25),
        currency: Some(Currency(*b"USD")),
        price: Some(Price { amount: dollars(160), per: yard }),
        minimum_load: Some(Volume::cubic_yards(3.0)),
        short_load_below: Some(Volume::cubic_yards(5.0)),
        short_load_fee: Some(dollars(120)),
        fuel: None,
        free_unloading: Some(TimePerVolume { span: TimeSpan::minutes(7.0), per: yard }),
        standby: Some(Price { amount: dollars(130), per: TimeSpan::hours(1.0) }),
        disposal: Some(Price { amount: dollars(40), per: yard }),
        call_lead: Some(TimeSpan::minutes(60.0)),
        spacing: None,
        trucks: None,
        haul: Some(Estimate::new(TimeSpan::minutes(25.0), TimeSpan::minutes(6.0), Origin::Stated)),
        turnaround: Some(TimeSpan::minutes(15.0)),
        discharge_limit: Some(TimeSpan::minutes(90.0)),
        cold_joint: Some(TimeSpan::minutes(45.0)),
    };
    let rate = |yards| VolumeRate::cubic_yards_per_hour(yards);
    let crew = Crew {
        people: 4,
        straightedge: Length::feet(12.0),
        lap: Length::feet(1.0),
        placing_rate: Estimate::new(rate(12.0), rate(1.5), Origin::Stated),
        bay_direction: None,
        exit: None,
        idle_cost: Some(Price { amount: dollars(140), per: TimeSpan::hours(1.0) }),
        carry: None,
    };
    (plant, crew)
}
