//! What the plant charges for loads, when its terms are known.

use basis::{Money, Note, Place, TimeSpan, UnitSystem, Volume};

use super::grid::Grid;
use super::loads::split;
use crate::job::{Crew, Plant};
use crate::words;

/// The plant's terms in plain numbers: currency units, cubic metres, seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Charges {
    /// Price per cubic metre.
    pub price: f64,
    /// A smaller load is charged as this, m³.
    pub minimum: f64,
    /// A load under this pays the fee, m³.
    pub short_below: f64,
    /// Fee for a short load.
    pub fee: f64,
    /// What is added to each load; absent when it is not stated, and then counted as nothing.
    pub each_load: Option<f64>,
    /// Cost of being rid of a cubic metre left over.
    pub disposal: f64,
    /// Cost of the crew that waits for a further truck; 0 when unknown.
    pub waiting: f64,
    /// Standby of a truck that unloads at the placing rate, per cubic metre; 0 when unknown or within the free time.
    pub standby: f64,
    /// Cost of the crew that waits for what is called now, because the call is late; 0 for an order before the pour.
    pub late: f64,
}

impl Charges {
    /// What one load of `volume` cubic metres costs on delivery; nothing for no load.
    ///
    /// Price × the larger of load and minimum, plus the fee if it is short, what is added to each load, and standby beyond
    /// the free time.
    #[must_use]
    pub fn load(&self, volume: f64) -> f64 {
        if volume <= 0.0 {
            return 0.0;
        }
        let fee = if volume < self.short_below - 1e-9 { self.fee } else { 0.0 };
        self.price * volume.max(self.minimum) + fee + self.each_load.unwrap_or(0.0) + self.standby * volume
    }

    /// What an order of `steps` increments costs on delivery, split the cheaper way.
    #[must_use]
    pub fn order(&self, steps: u32, grid: &Grid) -> f64 {
        let of = |loads: &[u32]| loads.iter().map(|load| self.load(grid.volume(*load))).sum::<f64>();
        let split = split(steps, grid.limits);
        let full_first = of(&split.full_first);
        split.evened.map_or(full_first, |evened| of(&evened).min(full_first))
    }
}

/// The charges, if the plant's terms are complete; otherwise one note for each that is missing.
///
/// Needed: price, minimum load, short-load limit and fee, disposal. What is added to each load enters when stated. What is known to be nothing is to be stated as
/// nothing. The crew's waiting and standby enter when known; when not, a remark says that the cost leaves them out.
///
/// # Errors
/// Warnings that name the missing terms and what each would add, and faults for terms that are none.
pub fn charges(plant: &Plant, crew: &Crew, units: UnitSystem) -> Result<(Charges, Vec<Note>), Vec<Note>> {
    let mut refused = missing_terms(plant);
    refused.extend(bad_terms(plant, crew, units));
    let per = |amount: Money, per: Volume| amount.in_units() / per.in_cubic_metres();
    if let (true, Some(price), Some(minimum), Some(short_below), Some(fee), Some(disposal)) = (
        refused.is_empty(),
        plant.price,
        plant.minimum_load,
        plant.short_load_below,
        plant.short_load_fee,
        plant.disposal,
    ) {
        let mut notes = Vec::new();
        let charges = Charges {
            price: per(price.amount, price.per),
            minimum: minimum.in_cubic_metres(),
            short_below: short_below.in_cubic_metres(),
            fee: fee.in_units(),
            each_load: plant.fuel.map(Money::in_units),
            disposal: per(disposal.amount, disposal.per),
            waiting: waiting(plant, crew, &mut notes),
            standby: standby(plant, crew),
            late: 0.0,
        };
        return Ok((charges, notes));
    }
    Err(refused)
}

/// How long after a shortage is seen a further truck can stand on site, if that is known.
///
/// The plant's lead time; without it the haul, which no truck can beat.
#[must_use]
pub fn wait_for_a_further_truck(plant: &Plant) -> Option<TimeSpan> {
    plant.call_lead.or(plant.haul.map(|haul| haul.mean))
}

fn waiting(plant: &Plant, crew: &Crew, notes: &mut Vec<Note>) -> f64 {
    if let (Some(idle), Some(wait)) = (crew.idle_cost, wait_for_a_further_truck(plant)) {
        return idle.amount.in_units() * (wait / idle.per);
    }
    notes.push(Note::remark(
        "waiting-not-costed",
        Place::at("crew.idle_cost"),
        "the expected cost leaves out the crew that waits for a further truck: its cost by the hour, or the plant's \
         lead time, is not stated; with them the order would come out higher, not lower",
    ));
    0.0
}

/// Standby per cubic metre: what unloading at the placing rate takes beyond the free time.
fn standby(plant: &Plant, crew: &Crew) -> f64 {
    let (Some(standby), Some(free)) = (plant.standby, plant.free_unloading) else { return 0.0 };
    let takes = 1.0 / crew.placing_rate.mean.in_cubic_metres_per_second();
    let over = (takes - free.span.in_seconds() / free.per.in_cubic_metres()).max(0.0);
    if over.is_finite() { over * standby.amount.in_units() / standby.per.in_seconds() } else { 0.0 }
}

/// The terms that a cost needs: whether stated, where, what, and what it adds.
fn needed_terms(plant: &Plant) -> [(bool, &'static str, &'static str, &'static str); 5] {
    [
        (plant.price.is_some(), "plant.price", "the price of the mix", "without it there is no cost at all"),
        (
            plant.minimum_load.is_some(),
            "plant.minimum_load",
            "the minimum load",
            "a further truck is charged for that at least",
        ),
        (
            plant.short_load_below.is_some(),
            "plant.short_load_below",
            "the limit under which a load is short",
            "it decides whether a small last load pays a fee",
        ),
        (
            plant.short_load_fee.is_some(),
            "plant.short_load_fee",
            "the short-load fee",
            "it adds to each small load and to every further truck",
        ),
        (
            plant.disposal.is_some(),
            "plant.disposal",
            "what it costs to be rid of concrete left over",
            "it adds to every yard ordered too much",
        ),
    ]
}

fn missing_terms(plant: &Plant) -> Vec<Note> {
    needed_terms(plant)
        .into_iter()
        .filter(|(stated, ..)| !stated)
        .map(|(_, path, what, adds)| {
            Note::warning(
                "plant-term-missing",
                Place::at(path),
                format!("{what} is not stated: {adds}; the order goes by the odds alone"),
                "ask the plant for its sheet and state the term; write 0 if there is no charge",
            )
        })
        .collect()
}

/// Faults for terms that no plant can mean: amounts per nothing, negative prices, sizes that are not numbers.
pub(super) fn bad_terms(plant: &Plant, crew: &Crew, units: UnitSystem) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut bad = |path: &str, message: String| {
        notes.push(Note::fault(
            "plant-term-impossible",
            Place::at(path),
            message,
            "state it as on the plant's sheet",
        ));
    };
    for (path, price) in [("plant.price", plant.price), ("plant.disposal", plant.disposal)] {
        if let Some(price) = price {
            let per = price.per.in_cubic_metres();
            if !(per.is_finite() && per > 0.0) || price.amount < Money::ZERO {
                let per = words::volume(price.per, units);
                bad(path, format!("{:.2} for {per} is not a price", price.amount.in_units()));
            }
        }
    }
    for (path, size) in
        [("plant.minimum_load", plant.minimum_load), ("plant.short_load_below", plant.short_load_below)]
    {
        if let Some(size) = size.filter(|size| !size.is_finite() || size.in_cubic_metres() < 0.0) {
            bad(path, format!("{} is not a load", words::volume(size, units)));
        }
    }
    bad_times(plant, crew, &mut bad);
    for (path, fee) in [("plant.short_load_fee", plant.short_load_fee), ("plant.fuel", plant.fuel)] {
        if let Some(fee) = fee.filter(|fee| *fee < Money::ZERO) {
            bad(path, format!("{:.2} is not a fee", fee.in_units()));
        }
    }
    notes
}

fn bad_times(plant: &Plant, crew: &Crew, bad: &mut impl FnMut(&str, String)) {
    for (path, price) in [("plant.standby", plant.standby), ("crew.idle_cost", crew.idle_cost)] {
        if price.is_some_and(|p| !(p.per.is_finite() && p.per > TimeSpan::ZERO) || p.amount < Money::ZERO) {
            bad(path, "the price is not per a time".to_owned());
        }
    }
    for (path, time) in
        [("plant.call_lead", plant.call_lead), ("plant.haul", plant.haul.map(|haul| haul.mean))]
    {
        if let Some(time) = time.filter(|time| !(time.in_days() >= 0.0 && time.in_days() <= 7.0)) {
            bad(path, format!("{} is outside 0 to 7 days", words::minutes(time)));
        }
    }
}
