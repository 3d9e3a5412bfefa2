//! How far the pour has got by its log: sights for the clock, line, tickets and drum for the last-load call.

use std::collections::BTreeMap;

use basis::{Estimate, Length, Note, Origin, Place, Report, UnitSystem, Volume};
use jiff::{SignedDuration, Timestamp};

use super::trucks::{LoadSoFar, loads};
use super::{Entry, TruckStep, What};
use crate::bays::Bay;
use crate::forecast::Sight;
use crate::loads::placed::tell_out_of_order;
use crate::loads::{Extent, PlacedBay, PlacedRegion, placed_region};
use crate::plan::Call;

/// A tape that reads this far past the end of a bay is still at its end.
const PAST_THE_END: Length = Length::inches(6.0);
/// From how long before the first truck until how long after it a truck can come, and anything else happen.
const TRUCKS_COME: [SignedDuration; 2] = [SignedDuration::from_hours(-6), SignedDuration::from_hours(12)];
const DAY_LASTS: [SignedDuration; 2] = [SignedDuration::from_hours(-12), SignedDuration::from_hours(48)];

/// What the log is read with.
#[derive(Debug, Clone, Copy)]
pub struct LogInput<'a> {
    /// The entries, in any order.
    pub entries: &'a [Entry],
    /// The instant asked about: later entries are left out.
    pub now: Timestamp,
    /// The bays of the plan.
    pub bays: &'a [Bay],
    /// The loads of the plan.
    pub loads: &'a [Volume],
    /// When the first truck is asked for, if the job states it.
    pub first_truck: Option<Timestamp>,
    /// Units of the messages.
    pub units: UnitSystem,
}

/// How far the pour has got.
#[derive(Debug, Clone, PartialEq)]
pub struct DaySoFar {
    /// What [`seen`](crate::forecast::seen()) goes by, in order of time.
    pub sights: Vec<Sight>,
    /// How far the bays are placed, by their numbers.
    pub placed: Vec<PlacedBay>,
    /// The loads that came, by their numbers.
    pub loads: Vec<LoadSoFar>,
}

/// What the last-load call is figured from, kept for [`Call`] to borrow.
#[derive(Debug, Clone, PartialEq)]
pub struct AtTheLine {
    /// The floor behind and beyond the line.
    pub region: PlacedRegion,
    /// Length of the lines across the open bays.
    pub open_width: Length,
    /// What came, load by load, less what went home.
    pub delivered: Vec<Volume>,
    /// What of that is still in drums.
    pub in_drum: Estimate<Volume>,
}

impl AtTheLine {
    /// What [`plan::call`](crate::plan::call) is asked with.
    #[must_use]
    pub fn call(&self) -> Call<'_> {
        Call {
            region: &self.region,
            open_width: self.open_width,
            delivered: &self.delivered,
            in_drum: self.in_drum,
        }
    }
}

impl DaySoFar {
    /// What the last-load call is figured from; nothing when no truck has come by the log.
    #[must_use]
    pub fn at_the_line(&self, bays: &[Bay]) -> Option<AtTheLine> {
        let delivered: Vec<Volume> = self.loads.iter().filter_map(LoadSoFar::delivered).collect();
        if delivered.is_empty() {
            return None;
        }
        let open = self.placed.iter().filter(|placed| matches!(placed.extent, Extent::To(_)));
        let width = |placed: &PlacedBay| {
            bays.iter().find(|bay| bay.number == placed.bay).map_or(Length::ZERO, |bay| bay.width)
        };
        Some(AtTheLine {
            region: placed_region(bays, &self.placed),
            open_width: open.map(width).sum(),
            delivered,
            in_drum: self.in_drums(),
        })
    }

    /// What is still in drums on site, all together; assumed when any of it is.
    #[must_use]
    pub fn in_drums(&self) -> Estimate<Volume> {
        let drums: Vec<Estimate<Volume>> =
            self.loads.iter().filter(|load| load.size.is_some()).filter_map(|load| load.in_drum).collect();
        let variance: f64 = drums.iter().map(|drum| drum.sd.in_cubic_metres().powi(2)).sum();
        let assumed = drums.iter().any(|drum| drum.origin == Origin::Assumed);
        let origin = if assumed { Origin::Assumed } else { Origin::Stated };
        Estimate::new(drums.iter().map(|drum| drum.mean).sum(), Volume::cubic_metres(variance.sqrt()), origin)
    }
}

/// Reads the log: what was seen, how far the floor is placed, what the trucks brought.
///
/// The order of the entries does not matter. Of two entries that say the same thing differently the later one, by its own time,
/// is taken; at one and the same time the later in the list. Nothing is refused: what cannot be is left out with a warning at its
/// place `log[i]`.
#[must_use]
pub fn so_far(input: &LogInput<'_>) -> Report<DaySoFar> {
    let mut notes = Vec::new();
    let mut entries: Vec<(usize, &Entry)> = input
        .entries
        .iter()
        .enumerate()
        .filter(|(i, entry)| is_sound(*i, entry, input, &mut notes))
        .collect();
    // Stable: entries of one instant stay in the order given.
    entries.sort_by_key(|(_, entry)| entry.at);
    let placed = placed(&entries, input, &mut notes);
    let loads = loads(&entries, input.loads, input.units, &mut notes);
    let sights = entries.iter().filter_map(|(_, entry)| sight(entry, input.loads.len())).collect();
    Report::with(DaySoFar { sights, placed, loads }, notes)
}

fn at(index: usize) -> Place {
    Place::at("log").index(index)
}

/// Whether an entry can be so; a warning says why not.
fn is_sound(index: usize, entry: &Entry, input: &LogInput<'_>, notes: &mut Vec<Note>) -> bool {
    let mut warn = |code: &'static str, message: String, hint: &str| {
        notes.push(Note::warning(code, at(index), message, hint));
        false
    };
    if let Some(why) = entry.what.impossible() {
        return warn(
            "log-impossible",
            format!("an entry is left out: {why}"),
            "take it back and tell it anew",
        );
    }
    if entry.at > input.now {
        let message = "an entry is of a time that is still to come: it is left out until then".to_owned();
        return warn("log-ahead-of-time", message, "check the clock of the phone that made it");
    }
    let truck = matches!(entry.what, What::Truck { step: TruckStep::Arrived, .. });
    let [from, until] = if truck { TRUCKS_COME } else { DAY_LASTS };
    if let Some(first) = input.first_truck {
        let after = entry.at.duration_since(first);
        if after < from || after > until {
            let message = "an entry is of another day than the pour: it is left out".to_owned();
            return warn("log-other-day", message, "check its time, and the day of the job");
        }
    }
    let bay = match entry.what {
        What::Line { bay, .. } | What::OnBay { bay, .. } | What::RoundDone { bay, .. } => bay,
        _ => return true,
    };
    if input.bays.iter().any(|known| known.number == bay) {
        return true;
    }
    let message = format!("there is no bay {bay}; the plan has {}", input.bays.len());
    warn("log-bay-unknown", message, "take it back and tell it for the bay that is meant")
}

/// How far each bay is placed by the last that was told of it.
fn placed(entries: &[(usize, &Entry)], input: &LogInput<'_>, notes: &mut Vec<Note>) -> Vec<PlacedBay> {
    let mut told: BTreeMap<usize, Extent> = BTreeMap::new();
    for &(index, entry) in entries {
        let What::Line { bay, reached } = entry.what else { continue };
        let Some(length) = input.bays.iter().find(|known| known.number == bay).map(|bay| bay.length) else {
            continue;
        };
        let reached = within(index, bay, reached, length, input.units, notes);
        if let Some(before) = told.insert(bay, reached)
            && along(reached, length) < along(before, length)
        {
            let message = format!(
                "the line in bay {bay} is told at {}, and was told further along before",
                basis::quantity::length(along(reached, length), input.units)
            );
            let hint = "the later is taken; take back the one that is wrong";
            notes.push(Note::warning("log-line-backward", at(index), message, hint));
        }
    }
    let placed: Vec<PlacedBay> =
        told.into_iter().map(|(bay, extent)| PlacedBay { bay, extent }).filter(is_begun).collect();
    tell_out_of_order(&placed, input.bays, notes);
    placed
}

fn is_begun(placed: &PlacedBay) -> bool {
    placed.extent != Extent::To(Length::ZERO)
}

fn along(extent: Extent, length: Length) -> Length {
    match extent {
        Extent::Done => length,
        Extent::To(along) => along,
    }
}

/// The line in its bay: at the end of it, the bay is done.
fn within(
    index: usize,
    bay: usize,
    reached: Extent,
    length: Length,
    units: UnitSystem,
    notes: &mut Vec<Note>,
) -> Extent {
    let Extent::To(along) = reached else { return Extent::Done };
    if along > length + PAST_THE_END {
        let told = |length| basis::quantity::length(length, units);
        let message =
            format!("the line is told {} along bay {bay}, which is {} long", told(along), told(length));
        let hint = "the bay is taken as done; correct bay or distance";
        notes.push(Note::warning("log-line-beyond", at(index), message, hint));
    }
    if along >= length { Extent::Done } else { reached }
}

/// What the clock learns from an entry, if anything.
fn sight(entry: &Entry, planned: usize) -> Option<Sight> {
    let at = entry.at;
    match entry.what {
        What::OnBay { bay, seen } => Some(Sight::OnBay { bay, at, seen }),
        What::RoundDone { bay, round } => Some(Sight::Done { bay, at, round }),
        // Loads that were called on top of the plan are in no forecast.
        What::Truck { load, step: TruckStep::Arrived, .. } if load <= planned => {
            Some(Sight::Came { load, at })
        }
        _ => None,
    }
}
