//! The last-load call on a plan, and what a call will know while the plan is made.

use basis::{Length, Report, Volume};
use ground::{Ground, Polygon};

use super::Plan;
use crate::balance::{Balance, BalanceInput, Regions, balance};
use crate::bays::Bay;
use crate::job::Job;
use crate::loads::{Extent, PlacedBay, PlacedRegion, placed_region};

/// What the last-load call is asked with.
#[derive(Debug, Clone)]
pub struct Call<'a> {
    /// The floor behind and beyond the line.
    pub region: &'a PlacedRegion,
    /// Length of the lines across the open bays, for the doubt of where they lie.
    pub open_width: Length,
    /// Tickets so far.
    pub delivered: &'a [Volume],
    /// What of that is still in a drum, with its doubt.
    pub in_drum: basis::Estimate<Volume>,
}

/// How well a person tells where the line across a bay lies, one standard deviation: common practice, no source.
const LINE_DOUBT: Length = Length::inches(6.0);

/// Lines across each bay at which the floor is cut for what a call will know: at thirds, and at its end.
const CUTS: u32 = 3;

/// The floor behind and beyond lines along the placing, without the ends of the floor.
pub(super) fn cuts(job: &Job, bays: &[Bay], ground: &Ground) -> Vec<Regions> {
    let mut all = Vec::new();
    for (i, bay) in bays.iter().enumerate() {
        for part in 1..=CUTS {
            let done = |b: &Bay| PlacedBay { bay: b.number, extent: Extent::Done };
            let mut said: Vec<PlacedBay> = bays[..i].iter().map(done).collect();
            let along = bay.length * (f64::from(part) / f64::from(CUTS));
            let extent = if part == CUTS { Extent::Done } else { Extent::To(along) };
            said.push(PlacedBay { bay: bay.number, extent });
            let width = if part == CUTS { Length::ZERO } else { bay.width };
            all.push(regions(job, ground, &placed_region(bays, &said), width));
        }
    }
    all.pop();
    all
}

/// Volumes behind and beyond the line with their covariance.
fn regions(job: &Job, ground: &Ground, region: &PlacedRegion, open_width: Length) -> Regions {
    let volume_of = |windows: &[Polygon]| windows.iter().map(|w| ground.volume_in(w)).sum::<Volume>();
    let (placed, remaining) = (ground.weights_in(&region.placed), ground.weights_in(&region.remaining));
    let mixed = ground.covariance(&placed, &remaining);
    let covariance =
        [[ground.covariance(&placed, &placed), mixed], [mixed, ground.covariance(&remaining, &remaining)]];
    Regions {
        placed: volume_of(&region.placed),
        remaining: volume_of(&region.remaining),
        covariance,
        line: LINE_DOUBT * open_width * job.slab.nominal,
    }
}

/// Figures the last-load call on a plan.
#[must_use]
pub fn call(job: &Job, plan: &Plan, asked: &Call<'_>) -> Report<Balance> {
    balance(&BalanceInput {
        regions: regions(job, &plan.ground, asked.region, asked.open_width),
        delivered: asked.delivered,
        in_drum: asked.in_drum,
        on_the_way: Volume::ZERO,
        allowance: job.allowance,
        loss: job.loss,
        loss_share: None,
        plant: &job.plant,
        crew: &job.crew,
        units: job.units,
    })
}
