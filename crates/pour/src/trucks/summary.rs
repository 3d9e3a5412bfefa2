//! What many days have in common: bands, chances and means.

use basis::TimeSpan;

use super::course::{Passage, Plan};
use crate::chance::quantile_of_sorted;

/// A time by its 10th, 50th and 90th of a hundred days, and its mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// One day in ten is under this.
    pub low: TimeSpan,
    /// As many days under as over.
    pub middle: TimeSpan,
    /// One day in ten is over this.
    pub high: TimeSpan,
    /// The average over all days.
    pub mean: TimeSpan,
}

/// Limits and free time against which days are judged, seconds; absent when not stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Judged {
    /// Free unloading time per cubic metre.
    pub free: Option<f64>,
    /// Age at which an open edge no longer knits.
    pub cold_joint: Option<f64>,
    /// Age at which concrete must be out of the drum.
    pub discharge_limit: Option<f64>,
}

/// One truck over all days. Times count from the instant for which the first truck is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruckRow {
    /// When it is asked for on site.
    pub asked: TimeSpan,
    /// When it arrives.
    pub arrive: Band,
    /// When it starts to unload.
    pub start: Band,
    /// When it is empty.
    pub done: Band,
    /// How long it waits before it starts.
    pub wait: Band,
    /// How long the crew stands idle before it.
    pub idle: Band,
    /// Age of its concrete when it is empty, from leaving the plant.
    pub age: Band,
    /// Chance that the open edge is too old when it starts; absent when that age is not stated.
    pub chance_cold_joint: Option<f64>,
    /// Chance that its concrete is past the discharge limit; absent when that is not stated.
    pub chance_over_limit: Option<f64>,
}

/// All trucks of a day together, over all days.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Totals {
    /// When the last concrete is placed.
    pub end: Band,
    /// Sum of the trucks' waits.
    pub wait: Band,
    /// Sum of the trucks' time on site beyond the free time; absent when that is not stated.
    pub standby: Option<Band>,
    /// How long the crew stands idle, waiting for the first truck included.
    pub idle: Band,
    /// Chance that some open edge is too old.
    pub chance_cold_joint: Option<f64>,
    /// Chance that some concrete is past the discharge limit.
    pub chance_over_limit: Option<f64>,
}

/// The rows of all trucks. `days` holds one passage a load for each day.
#[must_use]
pub fn rows(plan: &Plan, days: &[Vec<Passage>], judged: &Judged) -> Vec<TruckRow> {
    (0..plan.loads.len())
        .map(|i| {
            let of = |value: &dyn Fn(&Passage) -> f64| band(days.iter().map(|day| value(&day[i])));
            TruckRow {
                asked: TimeSpan::seconds(plan.asked[i]),
                arrive: of(&|p| p.arrive),
                start: of(&|p| p.start),
                done: of(&|p| p.done),
                wait: of(&|p| p.start - p.arrive),
                idle: of(&|p| p.idle),
                age: of(&|p| p.done - p.leave),
                chance_cold_joint: judged.cold_joint.map(|age| share(days, |day| edge_over(&day[i], age))),
                chance_over_limit: judged
                    .discharge_limit
                    .map(|age| share(days, |day| day[i].done - day[i].leave > age)),
            }
        })
        .collect()
}

/// The totals of all days.
#[must_use]
pub fn totals(plan: &Plan, days: &[Vec<Passage>], judged: &Judged) -> Totals {
    let sum = |value: &dyn Fn(usize, &Passage) -> f64| {
        band(days.iter().map(|day| day.iter().enumerate().map(|(i, p)| value(i, p)).sum()))
    };
    Totals {
        end: band(days.iter().map(|day| day.iter().map(|p| p.done).fold(0.0, f64::max))),
        wait: sum(&|_, p| p.start - p.arrive),
        standby: judged.free.map(|free| sum(&|i, p| (p.done - p.arrive - free * plan.loads[i]).max(0.0))),
        idle: sum(&|_, p| p.idle),
        chance_cold_joint: judged
            .cold_joint
            .map(|age| share(days, |day| day.iter().any(|p| edge_over(p, age)))),
        chance_over_limit: judged
            .discharge_limit
            .map(|age| share(days, |day| day.iter().any(|p| p.done - p.leave > age))),
    }
}

fn edge_over(passage: &Passage, age: f64) -> bool {
    passage.edge_age.is_some_and(|edge| edge > age)
}

fn share(days: &[Vec<Passage>], is: impl Fn(&[Passage]) -> bool) -> f64 {
    days.iter().filter(|day| is(day)).count() as f64 / days.len().max(1) as f64
}

/// The band of some figures, in seconds.
pub(crate) fn band(values: impl Iterator<Item = f64>) -> Band {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    let mean = sorted.iter().sum::<f64>() / sorted.len().max(1) as f64;
    let at = |p| TimeSpan::seconds(quantile_of_sorted(&sorted, p));
    Band { low: at(0.1), middle: at(0.5), high: at(0.9), mean: TimeSpan::seconds(mean) }
}
