//! Notes on chutes and stands.

use basis::{Length, Note, Place, UnitSystem, quantity};

use super::{Reach, ReachInput};
use crate::words;

/// Beyond this the flow slows and the mix may part (suppliers' and contractors' pages; read, not named).
const FAR: Length = Length::feet(18.5);

pub(super) fn check(input: &ReachInput<'_>, notes: &mut Vec<Note>) {
    let chutes = input.chutes;
    let place = Place::at("chutes");
    let positive = |l: Length| l.is_finite() && l.in_metres() > 0.0;
    if !positive(chutes.main) || !chutes.extensions.iter().all(|&e| positive(e)) {
        notes.push(Note::fault(
            "chute-impossible",
            place.clone(),
            "a chute has no length",
            "state the reach of the truck's chute and the length of every extension as more than 0",
        ));
    }
    let fall = chutes.least_fall.in_ratio();
    if !fall.is_finite() || fall < 0.0 || !chutes.discharge_height.is_finite() {
        notes.push(Note::fault(
            "chute-fall-impossible",
            place,
            "the least fall or the height of discharge is no number, or the fall is negative",
            "state the least fall as in \"1:3\" or \"4 in/ft\" and the height as in \"4 ft\"",
        ));
    }
    if input.stands.is_empty() {
        notes.push(Note::warning(
            "no-stand",
            Place::at("stand"),
            "no place is stated where a truck can stand; nothing is reached",
            "add a stand",
        ));
    }
    for stand in input.stands {
        let odd = !stand.at.is_finite() || !stand.facing.is_finite() || !stand.swing.is_finite();
        if odd {
            notes.push(Note::warning(
                "stand-impossible",
                stand.place.clone(),
                format!(
                    "stand \"{}\" has no place, direction or swing that is a number; it is left out",
                    stand.name
                ),
                "state all three",
            ));
        } else if stand.elevation.is_none() {
            notes.push(Note::warning(
                "stand-elevation-unknown",
                stand.place.clone(),
                format!(
                    "the ground at stand \"{}\" was not shot; whether a chute falls enough is not judged",
                    stand.name
                ),
                "shoot the ground where the truck will stand and state its elevation",
            ));
        }
    }
}

pub(super) fn tell(input: &ReachInput<'_>, reach: &Reach, notes: &mut Vec<Note>) {
    if reach.beyond.area > reach.whole.area * 1e-3 && !input.stands.is_empty() {
        let share = reach.beyond.area / reach.whole.area;
        notes.push(Note::warning(
            "beyond-reach",
            Place::at("chutes"),
            format!(
                "{} of the floor, {} in the forms, is beyond the chutes",
                words::percent(share),
                words::volume(reach.beyond.volume, input.units)
            ),
            hint(input, reach),
        ));
    }
    let longest = reach.chutes.last().map_or(Length::metres(0.0), |s| s.reach);
    if longest > FAR && reach.stands.iter().any(|s| s.areas.last() > s.areas.first()) {
        notes.push(Note::remark(
            "long-chute",
            Place::at("chutes"),
            format!(
                "with extensions the chute is {} long; beyond about {} concrete slows and may part",
                quantity::length(longest, input.units),
                match input.units {
                    UnitSystem::Us => "18 ft",
                    UnitSystem::Metric => "5.5 m",
                }
            ),
        ));
    }
}

fn hint(input: &ReachInput<'_>, reach: &Reach) -> String {
    let mut ways = Vec::new();
    if let Some(carried) = &reach.carried {
        ways.push(format!("{} loads by {}", carried.loads, carried.by));
    }
    if let Some(added) = &reach.added {
        ways.push(format!(
            "{} more chute for what is only too far",
            quantity::length(added.length, input.units)
        ));
    }
    if let Some(raise) = &reach.raise {
        ways.push(format!(
            "a stand {} higher for what is only too flat",
            quantity::length(*raise, input.units)
        ));
    }
    if ways.is_empty() { "add a stand, or something that carries".to_owned() } else { ways.join("; or ") }
}
