//! What the log tells of each load.

use std::collections::BTreeMap;

use basis::{Estimate, Note, Origin, Place, UnitSystem, Volume};
use jiff::Timestamp;

use super::{Entry, TruckStep, What};
use crate::{defaults, words};

/// A load as far as the log tells of it.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadSoFar {
    /// Its number, from 1.
    pub number: usize,
    /// When it came.
    pub arrived: Option<Timestamp>,
    /// When it began to unload.
    pub discharging: Option<Timestamp>,
    /// When it was empty or sent away.
    pub done: Option<Timestamp>,
    /// What it brought: measured by its ticket, assumed from the plan, or not known.
    pub size: Option<(Volume, Origin)>,
    /// What is still in its drum; nothing once it is done, unknown when its size is.
    pub in_drum: Option<Estimate<Volume>>,
    /// What went home with it.
    pub sent_home: Volume,
    /// Water added on site.
    pub water: Volume,
}

impl LoadSoFar {
    /// What stayed on site of it or is still in its drum here: the size less what went home.
    #[must_use]
    pub fn delivered(&self) -> Option<Volume> {
        self.size.map(|(size, _)| Volume::ZERO.max(size - self.sent_home))
    }

    /// The last step it is known to have made.
    #[must_use]
    pub fn step(&self) -> TruckStep {
        match (self.discharging, self.done) {
            (_, Some(_)) => TruckStep::Done,
            (Some(_), None) => TruckStep::Discharging,
            (None, None) => TruckStep::Arrived,
        }
    }
}

/// What entries say of one load, each with its index in the log.
#[derive(Default)]
struct Told {
    steps: [Option<(usize, Timestamp)>; 3],
    ticket: Option<(usize, Volume)>,
    drum: Option<(usize, Timestamp, Volume)>,
    water: Volume,
}

/// The loads that have come, by their numbers; `entries` are in order of time, each with its index in the log.
pub(super) fn loads(
    entries: &[(usize, &Entry)],
    planned: &[Volume],
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> Vec<LoadSoFar> {
    let mut told: BTreeMap<usize, Told> = BTreeMap::new();
    for &(index, entry) in entries {
        take(index, entry, &mut told, units, notes);
    }
    let come = told.into_iter().filter(|(number, told)| {
        let came = told.steps.iter().any(Option::is_some);
        if let (false, Some((index, ..))) = (came, told.drum) {
            let message = format!("a look into the drum of load {number} is logged, but no truck with it");
            let hint = "log when it came, or correct the number of the load";
            notes.push(Note::warning("log-load-not-there", place(index), message, hint));
        }
        came
    });
    let come: Vec<(usize, Told)> = come.collect();
    come.into_iter().map(|(number, told)| load(number, &told, planned, units, notes)).collect()
}

fn place(index: usize) -> Place {
    Place::at("log").index(index)
}

fn take(
    index: usize,
    entry: &Entry,
    told: &mut BTreeMap<usize, Told>,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) {
    match entry.what {
        What::Truck { load, step, ticket } => {
            let of = told.entry(load).or_default();
            of.steps[step as usize] = Some((index, entry.at));
            let Some(ticket) = ticket else { return };
            if let Some((_, before)) = of.ticket.filter(|(_, before)| *before != ticket) {
                let (old, new) = (words::volume(before, units), words::volume(ticket, units));
                let message = format!("the ticket of load {load} was told as {old}, then as {new}");
                let hint = "the later is taken; take back the wrong one";
                notes.push(Note::warning("log-ticket-contradicts", place(index), message, hint));
            }
            of.ticket = Some((index, ticket));
        }
        What::Drum { load, left } => told.entry(load).or_default().drum = Some((index, entry.at, left)),
        What::Water { load, added } => told.entry(load).or_default().water += added,
        _ => {}
    }
}

fn load(
    number: usize,
    told: &Told,
    planned: &[Volume],
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> LoadSoFar {
    order_of_steps(number, told, notes);
    let size = size(number, told, planned, units, notes);
    let [arrived, discharging, done] = told.steps.map(|step| step.map(|(_, at)| at));
    if let (Some((index, _, left)), Some((size, _))) = (told.drum, size)
        && left > size
    {
        let (left, size) = (words::volume(left, units), words::volume(size, units));
        let message = format!("{left} is said to be left in the drum of load {number}, which brought {size}");
        let hint = "check the ticket and the look into the drum";
        notes.push(Note::warning("log-drum-over-ticket", place(index), message, hint));
    }
    let looked = told.drum.map(|(_, at, left)| (at, size.map_or(left, |(size, _)| left.min(size))));
    let sent_home = match (done, looked) {
        (Some(done), Some((at, left))) if at >= done => left,
        _ => Volume::ZERO,
    };
    let in_drum = in_drum(done, discharging, looked.map(|(_, left)| left), size);
    LoadSoFar { number, arrived, discharging, done, size, in_drum, sent_home, water: told.water }
}

/// Warns of steps whose times run against their order.
fn order_of_steps(number: usize, told: &Told, notes: &mut Vec<Note>) {
    let names = ["came", "began to unload", "was done"];
    let known: Vec<(usize, (usize, Timestamp))> =
        told.steps.iter().enumerate().filter_map(|(step, told)| Some((step, (*told)?))).collect();
    for pair in known.windows(2) {
        let [(first, (_, before)), (second, (index, after))] = pair else { continue };
        if after < before {
            let message = format!("load {number} {} before it {}", names[*second], names[*first]);
            let hint = "take back the entry that is wrong and tell it anew with its time";
            notes.push(Note::warning("log-load-out-of-order", place(*index), message, hint));
        }
    }
}

fn size(
    number: usize,
    told: &Told,
    planned: &[Volume],
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> Option<(Volume, Origin)> {
    if let Some((_, ticket)) = told.ticket {
        return Some((ticket, Origin::Measured));
    }
    let index = told.steps.iter().flatten().map(|(index, _)| *index).next_back().unwrap_or_default();
    let planned = number.checked_sub(1).and_then(|at| planned.get(at)).copied();
    let (message, hint) = match planned {
        Some(size) => (
            format!(
                "the ticket of load {number} is not told: {} is taken, as planned",
                words::volume(size, units)
            ),
            "tell what the ticket says",
        ),
        None => (
            format!("load {number} is not of the plan and its ticket is not told: it is not counted"),
            "tell what the ticket says, or correct the number of the load",
        ),
    };
    notes.push(Note::warning("log-ticket-missing", place(index), message, hint));
    planned.map(|size| (size, Origin::Assumed))
}

/// What is still in the drum.
///
/// Nothing once the load is done, all before it unloads, as looked at while it does; and while nobody has looked, any part of it alike.
fn in_drum(
    done: Option<Timestamp>,
    discharging: Option<Timestamp>,
    looked: Option<Volume>,
    size: Option<(Volume, Origin)>,
) -> Option<Estimate<Volume>> {
    if done.is_some() {
        return Some(Estimate::new(Volume::ZERO, Volume::ZERO, Origin::Stated));
    }
    if let Some(left) = looked {
        return Some(Estimate::new(left, left * defaults::DRUM_DOUBT, Origin::Stated));
    }
    let (size, _) = size?;
    if discharging.is_none() {
        return Some(Estimate::new(size, Volume::ZERO, Origin::Stated));
    }
    // A load of which any part may be left, each alike, has half of it left give or take its twelfth's root.
    Some(Estimate::new(size * 0.5, size * (1.0 / 12.0_f64.sqrt()), Origin::Assumed))
}
