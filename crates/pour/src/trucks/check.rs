//! Faults of what is stated about trucks, crew and plant.

use basis::{Note, Place, TimeSpan, Volume};

use super::TruckInput;
use crate::words;

/// Most loads that are followed: beyond it a floor is no day's pour.
const MOST_LOADS: usize = 1_000;

/// Longest time that anything of one pour may take; a longer one is a slip of the pen.
const LONGEST: TimeSpan = TimeSpan::days(7.0);

/// Adds a fault for everything that no pour can have.
pub(super) fn check(input: &TruckInput<'_>, notes: &mut Vec<Note>) {
    let mut bad = |path: &str, message: String| {
        let hint = "state a positive amount that fits the pour of one day";
        notes.push(Note::fault("timeline-input-impossible", Place::at(path), message, hint));
    };
    check_work(input, &mut bad);
    check_times(input, &mut bad);
    check_prices(input, &mut bad);
    if input.plant.trucks == Some(0) {
        bad("plant.trucks", "no truck runs".to_owned());
    }
}

fn check_work(input: &TruckInput<'_>, bad: &mut impl FnMut(&str, String)) {
    if input.loads.is_empty() || input.loads.len() > MOST_LOADS {
        bad("plant.truck", format!("{} loads cannot be followed through a day", input.loads.len()));
    }
    for load in input.loads.iter().filter(|load| !(load.is_finite() && **load > Volume::ZERO)) {
        bad("plant.truck", format!("a load of {} is none", words::volume(*load, input.units)));
    }
    let rate = input.crew.placing_rate;
    let (mean, sd) = (rate.mean.in_cubic_metres_per_second(), rate.sd.in_cubic_metres_per_second());
    if !(mean.is_finite() && mean > 0.0 && sd.is_finite() && sd >= 0.0) {
        bad("crew.placing_rate", "the placing rate is not a positive rate".to_owned());
        return;
    }
    let work: TimeSpan = input.loads.iter().map(|load| *load / rate.mean).sum();
    if work > LONGEST {
        bad("crew.placing_rate", format!("placing takes {:.3e} days at the stated rate", work.in_days()));
    }
}

fn check_times(input: &TruckInput<'_>, bad: &mut impl FnMut(&str, String)) {
    let haul = input.plant.haul;
    let times = [
        ("plant.spacing", input.plant.spacing),
        ("plant.turnaround", input.plant.turnaround),
        ("plant.haul", haul.map(|haul| haul.mean)),
        ("plant.haul", haul.map(|haul| haul.sd)),
        ("plant.cold_joint", input.plant.cold_joint),
        ("plant.discharge_limit", input.plant.discharge_limit),
        ("plant.free_unloading", input.plant.free_unloading.map(|free| free.span)),
        ("plant", input.lateness),
    ];
    for (path, time) in times.into_iter().filter_map(|(path, time)| Some((path, time?))) {
        if !(time >= TimeSpan::ZERO && time <= LONGEST) {
            bad(path, format!("{} is outside 0 to 7 days", words::minutes(time)));
        }
    }
}

fn check_prices(input: &TruckInput<'_>, bad: &mut impl FnMut(&str, String)) {
    let per = input.plant.free_unloading.map(|free| free.per);
    if per.is_some_and(|per| !(per.is_finite() && per > Volume::ZERO)) {
        bad("plant.free_unloading", "the free time is not per a volume".to_owned());
    }
    let prices = [("plant.standby", input.plant.standby), ("crew.idle_cost", input.crew.idle_cost)];
    for (path, price) in prices.into_iter().filter_map(|(path, price)| Some((path, price?))) {
        if !(price.per.is_finite() && price.per > TimeSpan::ZERO) {
            bad(path, "the price is not per a time".to_owned());
        }
    }
}
