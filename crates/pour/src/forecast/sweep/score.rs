//! One start's score: hours, dark, and the clock's cautions as reasons.

use std::collections::BTreeSet;

use basis::{Place, Temperature, TimeSpan};
use clock::events::{Event, Events, Milestone};
use clock::limits::{self, Placement};
use clock::weather::Series;
use clock::{History, risk};
use jiff::{SignedDuration, Timestamp};

use super::floor::Floor;
use super::{Against, Start};
use crate::forecast::{day_mean, gain, later, later_by};

/// The sun's centre stands so low at sunset, with its radius and the air's bending: 50 arc minutes, by definition.
const SUNSET: f64 = -50.0 / 60.0;
/// How finely dark is told.
const LOOK: i64 = 10;

/// Scores a start; none when its history ends before the last round closes or the slab has set.
pub(super) fn score(
    floor: &Floor<'_>,
    at: Timestamp,
    fresh: Temperature,
    history: &History,
) -> Option<Start> {
    let events = floor.model.events(history, floor.ordered.mix.set_factor.mean);
    let closes = events.time(Event::At(Milestone::LastUseful))?;
    let set = events.time(Event::At(Milestone::FinalSet))?;
    let after = |span: TimeSpan| later_by(at, span.in_seconds());
    // The column is the middle of the last bay.
    let ends = after(floor.last.middle + closes);
    let struck_off = after(floor.last.until).min(ends);
    let dark = dark(floor, struck_off, ends);
    let mut against = cautions(floor, (at, fresh), history, &events);
    let mut also = |reason: Against, holds: bool| {
        if holds {
            against.insert(reason);
        }
    };
    also(Against::Rain, floor.rains(at, floor.last.middle + set));
    also(Against::Dark, dark > TimeSpan::ZERO);
    also(Against::NotFollowed, events.time(Event::At(Milestone::FreezeSafe)).is_none());
    Some(Start {
        at,
        in_hours: floor.hours.hold(floor.day.site.zone.to_datetime(at).time()),
        struck_off,
        ends,
        finishing: TimeSpan::seconds(ends.duration_since(struck_off).as_secs_f64()),
        dark,
        fresh,
        evaporation: driest(history, set),
        against: against.into_iter().collect(),
    })
}

/// The clock's own cautions of risk, cold and heat, as reasons.
fn cautions(
    floor: &Floor<'_>,
    (at, fresh): (Timestamp, Temperature),
    history: &History,
    events: &Events,
) -> BTreeSet<Against> {
    let (mix, series, units) = (&floor.ordered.mix, &floor.day.series, basis::UnitSystem::Metric);
    let watch = risk::Watch { history, mix, spec: &floor.model.spec, events, rain: &[], units };
    let mut notes = risk::notes(&watch, &Place::job());
    let gain = gain(mix);
    let air = series.at(at).map_or(fresh, |record| record.air);
    let placement = Placement {
        thickness: floor.thickness,
        concrete: fresh,
        base: day_mean(series, at),
        air,
        coldest: coldest(series, at, limits::protection(gain)).unwrap_or(air),
        gain,
    };
    notes.extend(limits::notes(&placement, &Place::job(), units));
    notes.iter().filter_map(|note| Against::of_caution(note.code)).collect()
}

/// Coldest air for a time after an instant, as far as the weather goes.
fn coldest(series: &Series, from: Timestamp, span: TimeSpan) -> Option<Temperature> {
    let hours = 0..=span.in_hours() as i64;
    let air = hours.map_while(|hour| series.at(later(from, hour))).map(|record| record.air);
    air.reduce(|a, b| if b < a { b } else { a })
}

/// Highest evaporation of a wet surface until a time after placing, kg/m²/h.
fn driest(history: &History, until: TimeSpan) -> f64 {
    let states = history.states.iter().enumerate();
    let before = states.take_while(|(i, _)| history.step * (*i as f64) <= until);
    before.map(|(_, state)| state.demand).fold(0.0, f64::max)
}

/// How much of a span the sun is down, told every ten minutes.
fn dark(floor: &Floor<'_>, from: Timestamp, until: Timestamp) -> TimeSpan {
    let down = |at: Timestamp| floor.sun(at) < SUNSET;
    let looks = until.duration_since(from).as_mins() / LOOK;
    let at = |look: i64| from.checked_add(SignedDuration::from_mins(look * LOOK)).ok();
    let dark = (0..=looks).filter_map(at).chain([until]).filter(|at| down(*at)).count() as i64;
    // One look more than spans; the end counts so that a finish just after sunset is seen.
    TimeSpan::minutes((dark * LOOK) as f64).min(TimeSpan::seconds(until.duration_since(from).as_secs_f64()))
}
