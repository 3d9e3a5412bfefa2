//! Trucks through the day: when they come, wait, unload, and how long the crew and the edge wait for them.

mod check;
mod course;
mod luck;
mod spacing;
mod summary;

use basis::{Estimate, Money, Note, Place, Report, TimeSpan, UnitSystem, Volume};
use rand::Rng;

pub use course::{Day, Passage, Plan, follow, follow_known};
pub use luck::{Lognormal, Luck, day};
pub use spacing::{
    SpacingBasis, SpacingTrial, TimeCosts, matched_spacing, time_cost, trucks_needed, try_spacings,
};
pub(crate) use summary::band;
pub use summary::{Band, Judged, Totals, TruckRow, rows, totals};

use crate::job::{Crew, Plant};
use crate::{defaults, words};

/// What a timeline is figured from.
#[derive(Debug, Clone, Copy)]
pub struct TruckInput<'a> {
    /// The loads in the order in which they are asked for.
    pub loads: &'a [Volume],
    /// The plant: haul, turnaround, trucks, spacing, free time, limits.
    pub plant: &'a Plant,
    /// The crew: placing rate and what its idling costs.
    pub crew: &'a Crew,
    /// Spread of departures around the times ordered; absent: the default, assumed.
    pub lateness: Option<TimeSpan>,
    /// How many days are drawn, at least 1; a few hundred steady the 90 % figures to a few minutes.
    pub draws: u32,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// The trucks of a pour over many days.
#[derive(Debug, Clone, PartialEq)]
pub struct Timeline {
    /// The loads.
    pub loads: Vec<Volume>,
    /// Time between trucks as ordered; absent when each is asked for as the one before is empty.
    pub spacing: Option<TimeSpan>,
    /// Time between full trucks that matches the placing rate.
    pub matched: TimeSpan,
    /// One row a truck.
    pub trucks: Vec<TruckRow>,
    /// All trucks together.
    pub totals: Totals,
    /// Mean standby charge; absent when terms are missing.
    pub standby_charge: Option<Money>,
    /// Mean cost of the idle crew; absent when it is not stated.
    pub idle_cost: Option<Money>,
    /// Trucks that keep the crew going; absent when the haul is not stated.
    pub trucks_needed: Option<u32>,
    /// Other spacings on the same days; empty for a single load.
    pub spacings: Vec<SpacingTrial>,
    /// Index of the best of them.
    pub best_spacing: usize,
    /// By what rule it is the best.
    pub spacing_basis: SpacingBasis,
}

/// Follows the trucks over many days drawn by chance.
///
/// Method, sources and limits: `docs/methods/trucks.md`. The same input and the same state of `rng` give the same result.
/// Refused with faults for impossible loads, rates and times; without a stated haul the trucks come straight from the plant's
/// gate, and a warning says what is missing.
#[must_use]
pub fn timeline(input: &TruckInput<'_>, rng: &mut impl Rng) -> Report<Timeline> {
    let mut notes = Vec::new();
    check::check(input, &mut notes);
    if basis::report::has_fault(&notes) {
        return Report::refused(notes);
    }
    let haul = stated_haul(input.plant, &mut notes);
    let luck = luck_of(input, haul, &mut notes);
    let judged = judged(input.plant);
    let costs = time_costs(input);
    let plan = plan(input, haul.mean);
    let days: Vec<Day> = (0..input.draws.max(1)).map(|_| day(&luck, plan.loads.len(), rng)).collect();
    let passages: Vec<Vec<Passage>> = days.iter().map(|day| follow(&plan, day)).collect();
    let totals = totals(&plan, &passages, &judged);
    let full = input.loads.iter().copied().fold(Volume::ZERO, Volume::max);
    let matched = matched_spacing(full, input.crew.placing_rate.mean);
    let (spacings, best_spacing, spacing_basis) = if plan.loads.len() > 1 {
        try_spacings(&plan, &days, matched, &judged, &costs)
    } else {
        (Vec::new(), 0, SpacingBasis::LeastMinutes)
    };
    let timeline = Timeline {
        loads: input.loads.to_vec(),
        spacing: input.plant.spacing,
        matched,
        trucks: rows(&plan, &passages, &judged),
        totals,
        standby_charge: totals.standby.zip(costs.standby).map(|(span, rate)| charge(span.mean, rate)),
        idle_cost: costs.idle.map(|rate| charge(totals.idle.mean, rate)),
        trucks_needed: needed(input.plant, matched),
        spacings,
        best_spacing,
        spacing_basis,
    };
    judge(&timeline, input.plant, &mut notes);
    Report::with(timeline, notes)
}

/// What was ordered and the luck of days drawn by chance, kept so that they can be followed again.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnDays {
    /// What was ordered.
    pub plan: Plan,
    /// The luck of each day.
    pub days: Vec<Day>,
}

/// Draws days for the trucks.
///
/// The input is taken to be sound: [`timeline`] says what is wrong with it.
#[must_use]
pub fn drawn_days(input: &TruckInput<'_>, rng: &mut impl Rng) -> DrawnDays {
    let haul = stated_haul(input.plant, &mut Vec::new());
    let luck = luck_of(input, haul, &mut Vec::new());
    let plan = plan(input, haul.mean);
    let days = (0..input.draws.max(1)).map(|_| day(&luck, plan.loads.len(), rng)).collect();
    DrawnDays { plan, days }
}

impl DrawnDays {
    /// The trucks' passages, one list a day with one passage a load; `came[load]` is when a load is known to have come.
    #[must_use]
    pub fn passages(&self, came: &[Option<f64>]) -> Vec<Vec<Passage>> {
        self.days.iter().map(|day| follow_known(&self.plan, day, came)).collect()
    }
}

fn charge(span: TimeSpan, per_second: f64) -> Money {
    Money::ten_thousandths((span.in_seconds() * per_second * 10_000.0).round() as i64)
}

fn needed(plant: &Plant, unloading: TimeSpan) -> Option<u32> {
    Some(trucks_needed(plant.haul?.mean, plant.turnaround.unwrap_or_default(), unloading))
}

fn stated_haul(plant: &Plant, notes: &mut Vec<Note>) -> Estimate<TimeSpan> {
    plant.haul.unwrap_or_else(|| {
        notes.push(Note::warning(
            "haul-not-stated",
            Place::at("plant.haul"),
            "the haul from the plant is not stated: trucks are followed from the plant's gate only, and the age of the \
             concrete leaves the haul out",
            "state it, as in \"25 min\", with its spread",
        ));
        Estimate::new(TimeSpan::ZERO, TimeSpan::ZERO, basis::Origin::Assumed)
    })
}

fn luck_of(input: &TruckInput<'_>, haul: Estimate<TimeSpan>, notes: &mut Vec<Note>) -> Luck {
    let lateness = input.lateness.unwrap_or_else(|| {
        let assumed = defaults::lateness();
        let said = format!(
            "departures stray by {:.1} min (one standard deviation), assumed; {}",
            assumed.in_minutes(),
            defaults::LATENESS_SOURCE
        );
        notes.push(Note::remark("lateness-assumed", Place::at("plant"), said));
        assumed
    });
    let rate = input.crew.placing_rate;
    Luck {
        lateness: lateness.in_seconds(),
        haul: Lognormal { mean: haul.mean.in_seconds(), sd: haul.sd.in_seconds() },
        rate: Lognormal {
            mean: rate.mean.in_cubic_metres_per_second(),
            sd: rate.sd.in_cubic_metres_per_second(),
        },
    }
}

fn judged(plant: &Plant) -> Judged {
    Judged {
        free: plant.free_unloading.map(|free| free.span.in_seconds() / free.per.in_cubic_metres()),
        cold_joint: plant.cold_joint.map(TimeSpan::in_seconds),
        discharge_limit: plant.discharge_limit.map(TimeSpan::in_seconds),
    }
}

fn time_costs(input: &TruckInput<'_>) -> TimeCosts {
    let per_second = |price: basis::Price<TimeSpan>| price.amount.in_units() / price.per.in_seconds();
    TimeCosts { standby: input.plant.standby.map(per_second), idle: input.crew.idle_cost.map(per_second) }
}

/// When each truck is asked for: at the plant's spacing, or as the one before is empty at the mean rate.
fn plan(input: &TruckInput<'_>, haul: TimeSpan) -> Plan {
    let mut at = TimeSpan::ZERO;
    let mut asked = Vec::with_capacity(input.loads.len());
    for load in input.loads {
        asked.push(at.in_seconds());
        at += input.plant.spacing.unwrap_or(*load / input.crew.placing_rate.mean);
    }
    Plan {
        loads: input.loads.iter().map(|load| load.in_cubic_metres()).collect(),
        asked,
        haul: haul.in_seconds(),
        turnaround: input.plant.turnaround.unwrap_or_default().in_seconds(),
        trucks: input.plant.trucks.map_or(input.loads.len(), |trucks| trucks as usize),
    }
}

fn judge(timeline: &Timeline, plant: &Plant, notes: &mut Vec<Note>) {
    let short_of_trucks = plant.trucks.zip(timeline.trucks_needed).filter(|(run, needed)| run < needed);
    if let Some((run, needed)) = short_of_trucks.filter(|(run, _)| (*run as usize) < timeline.loads.len()) {
        notes.push(Note::warning(
            "too-few-trucks",
            Place::at("plant.trucks"),
            format!("{run} trucks run, {needed} keep the crew going: round trip over unloading time"),
            "ask for another truck, or place slower",
        ));
    }
    if let Some(chance) = timeline.totals.chance_cold_joint.filter(|chance| *chance > 0.1) {
        let odds = words::percent(chance);
        notes.push(Note::warning(
            "cold-joint-likely",
            Place::at("plant.spacing"),
            format!("some open edge grows too old before the next truck with a chance of {odds}"),
            "ask for trucks closer together, or plan a construction joint there",
        ));
    }
    if let Some(chance) = timeline.totals.chance_over_limit.filter(|chance| *chance > 0.1) {
        let odds = words::percent(chance);
        notes.push(Note::warning(
            "discharge-limit-likely",
            Place::at("plant.discharge_limit"),
            format!("some load is past the discharge limit before it is empty with a chance of {odds}"),
            "ask for smaller loads or wider spacing; agree on the limit with the plant beforehand",
        ));
    }
}

#[cfg(test)]
mod tests;
