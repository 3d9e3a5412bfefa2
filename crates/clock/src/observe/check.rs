//! Faults of what was seen and of the draws.

use basis::{Estimate, Length, Note, Place, Pressure};

use super::{Draw, Seen, Sighting};
use crate::timeline::Timeline;

/// Deepest print that is one.
const DEEPEST: Length = Length::millimetres(300.0);

/// All faults, in the order prior, draws, sightings.
pub(super) fn notes(
    prior: &Estimate<f64>,
    draws: &[Draw],
    sightings: &[Sighting<'_>],
    place: &Place,
) -> Vec<Note> {
    let mut notes = Vec::new();
    let sane = prior.mean > 0.0 && prior.mean.is_finite() && prior.sd >= 0.0 && prior.sd.is_finite();
    if !sane {
        notes.push(Note::fault(
            "set-factor-impossible",
            place.key("set_factor"),
            format!("a set factor of {} +- {} is none", prior.mean, prior.sd),
            "state a factor over 0, commonly 1 +- 0.2",
        ));
    }
    let total: f64 = draws.iter().map(|draw| draw.weight).sum();
    let good = |draw: &Draw| draw.set_factor > 0.0 && draw.set_factor.is_finite() && draw.weight >= 0.0;
    if !(draws.iter().all(good) && total > 0.0 && total.is_finite()) {
        notes.push(Note::fault(
            "draws-impossible",
            place.clone(),
            "the draws have no weight, or a set factor that is none",
            "take the draws from the set factor's own law",
        ));
    }
    for (i, sighting) in sightings.iter().enumerate() {
        notes.extend(sighting_fault(sighting, draws.len(), &place.key("observation").index(i)));
    }
    notes
}

/// The first fault of one sighting.
fn sighting_fault(sighting: &Sighting<'_>, draws: usize, place: &Place) -> Option<Note> {
    let (count, placed) = (sighting.histories.len(), sighting.placed.len());
    if count == 0 || (count != 1 && count != draws) || (placed > 1 && placed != draws) {
        return Some(Note::fault(
            "draws-impossible",
            place.clone(),
            format!("the bay has {count} histories and {placed} placings for {draws} draws"),
            "give one for all draws, or one for each",
        ));
    }
    let set = &sighting.model.set;
    let reaches = |draw: usize| {
        let history = &sighting.histories[if count == 1 { 0 } else { draw }];
        let age = Timeline::of(history).at(|state| state.age_surface, sighting.hours(draw));
        age.is_some_and(|age| age > 0.0)
    };
    let there = (0..count.max(placed)).any(reaches);
    if !(set.initial > 0.0 && set.exponent > 0.0 && there) {
        let hours = sighting.hours(0);
        return Some(Note::fault(
            "observation-outside-history",
            place.key("at"),
            format!("{hours:.2} h after placing is not within the time that was figured for this bay"),
            "check the time and the bay, and give weather that reaches beyond it",
        ));
    }
    let seen = match sighting.observation.seen {
        Seen::Print(depth) => (Length::ZERO..=DEEPEST).contains(&depth).then_some(()),
        Seen::Penetration(reading) => {
            (reading > Pressure::ZERO && reading <= Pressure::psi(10_000.0)).then_some(())
        }
        Seen::SurfaceTemperature(at) => (-20.0..=80.0).contains(&at.in_celsius()).then_some(()),
        Seen::FloatStart | Seen::SheenGone => Some(()),
    };
    if seen.is_some() {
        return None;
    }
    Some(Note::fault(
        "observation-out-of-range",
        place.key("seen"),
        format!("{} is not what a fresh slab shows", words(sighting.observation.seen)),
        "a print is 0 to 12 in deep, a resistance over 0 to 10,000 psi, a surface -4 to 176 degF",
    ))
}

/// What was seen, with its figure.
fn words(seen: Seen) -> String {
    match seen {
        Seen::Print(depth) => format!("a boot print of {:.2} in", depth.in_inches()),
        Seen::Penetration(reading) => format!("a resistance of {:.0} psi", reading.in_psi()),
        Seen::SurfaceTemperature(at) => format!("a surface of {:.0} degF", at.in_fahrenheit()),
        Seen::FloatStart => "a float start".to_owned(),
        Seen::SheenGone => "the end of the sheen".to_owned(),
    }
}
