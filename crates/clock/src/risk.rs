//! What can go wrong on a bay, as notes: drying, bleed water, air and the trowel, rain, frost, the saw; and the usual cautions.
//!
//! Hot and cold limits of the concrete and the weather stand in [`crate::limits`]. Codes, the specification and the plant
//! go before everything here.

mod cautions;

pub use cautions::cautions;

use basis::quantity::{temperature, time_span};
use basis::{Length, Note, Place, Temperature, TimeSpan, UnitSystem};

use crate::History;
use crate::evaporation::{self, threshold};
use crate::events::{Event, Events, Milestone};
use crate::finish::{Finish, FinishSpec, Round};
use crate::history::State;
use crate::limits::FRESH_FREEZES;
use crate::mix::{Air, Mix};
use crate::timeline::Timeline;
use crate::windows::Window;

/// Bleeding slower than this no longer matters under a closed surface, kg/m²/h: proposal.
const STILL_BLEEDS: f64 = 0.02;
/// Total air that a machine trowel may meet: 3 % (ACI 302.1 as retold in the trade press).
const AIR_FOR_TROWEL: f64 = 0.03;
/// Published hours of the conventional saw after placing: 4 h in heat to 3 days in the cold.
const SAW_HOURS: (f64, f64) = (4.0, 72.0);

/// A spell of rain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rain {
    /// From, since the bay was placed.
    pub from: TimeSpan,
    /// Until.
    pub until: TimeSpan,
    /// How much falls.
    pub depth: Length,
}

/// A bay whose risks are asked for.
#[derive(Debug, Clone, Copy)]
pub struct Watch<'a> {
    /// What the slab goes through, the likely course.
    pub history: &'a History,
    /// The mix.
    pub mix: &'a Mix,
    /// The finish.
    pub spec: &'a FinishSpec,
    /// The events of that course.
    pub events: &'a Events,
    /// Rain on the bay.
    pub rain: &'a [Rain],
    /// Units of the messages.
    pub units: UnitSystem,
}

/// All risks of a bay: drying first, then in the order of its day.
#[must_use]
pub fn notes(watch: &Watch<'_>, place: &Place) -> Vec<Note> {
    let mut notes = Vec::new();
    notes.extend(drying(watch, place));
    notes.extend(crust(watch, place));
    notes.extend(air(watch, place));
    notes.extend(bleed_water(watch, place));
    notes.extend(still_bleeding(watch, place));
    notes.extend(rain(watch, place));
    notes.extend(frost(watch, place));
    notes.extend(saw(watch, place));
    notes.extend(unfinished(watch, place));
    notes
}

/// When a milestone comes, h; the end of the history if it does not come within it.
fn hours(watch: &Watch<'_>, milestone: Milestone) -> f64 {
    watch.events.time(Event::At(milestone)).map_or(Timeline::of(watch.history).end(), TimeSpan::in_hours)
}

/// Time as people read it.
fn shown(hours: f64) -> String {
    time_span(TimeSpan::minutes((hours * 60.0).round()))
}

/// Evaporation over the published thresholds before final set.
fn drying(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let set = hours(watch, Milestone::FinalSet);
    let demand = Timeline::of(watch.history)
        .entries()
        .take_while(|(at, _)| *at <= set)
        .map(|(_, state)| state.demand)
        .fold(0.0, f64::max);
    evaporation::note(demand, place.clone(), watch.units)
}

/// A surface that dries fast while the concrete under it is still soft: crusting.
fn crust(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let floated =
        watch.events.windows.iter().find(|w| matches!(w.round, Round::Float | Round::Broom))?.opens?;
    let dries = |(at, state): &(f64, &State)| {
        *at < floated.in_hours()
            && state.water <= watch.spec.thresholds.sheen
            && state.demand > state.bleeding
            && state.demand >= threshold::CAUTION
    };
    let (from, _) = Timeline::of(watch.history).entries().find(dries)?;
    Some(Note::warning(
        "crusting-likely",
        place.clone(),
        format!(
            "the surface dries from {} after placing and is stiff enough to float only after {}: it may crust over soft concrete",
            shown(from),
            shown(floated.in_hours())
        ),
        "windbreak, shade, fog in the air or an evaporation retarder before that; never work fog water in, and do not take the crust for set",
    ))
}

/// Trowels on air.
fn air(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let Air::Entrained(share) = watch.mix.air else { return None };
    let percent = share.in_percent();
    match watch.spec.finish {
        Finish::HardTrowel { .. } => Some(Note::warning(
            "hard-trowel-on-air",
            place.key("finish"),
            format!(
                "a hard-trowelled finish on concrete with {percent:.1} % entrained air: blisters and loose skin are likely"
            ),
            "leave the air out and seal the floor, or stop at a light trowel or broom; where the code wants air, have the owner choose in writing",
        )),
        Finish::Trowel { .. } if share.in_ratio() > AIR_FOR_TROWEL => Some(Note::warning(
            "trowel-on-air",
            place.key("finish"),
            format!(
                "a machine trowel on concrete with {percent:.1} % entrained air, over the 3 % that trowelled floors may have"
            ),
            "delay every round, keep blades flat, leave the surface open; or agree on a broom",
        )),
        _ => None,
    }
}

/// Rounds that bleed water holds back, or takes away.
fn bleed_water(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let closed = |w: &&Window| w.closes.is_some() && w.is_lost();
    if let Some(lost) = watch.events.windows.iter().find(closed) {
        return Some(Note::warning(
            "round-lost",
            place.clone(),
            format!("bleed water stands until the slab is too stiff for {}", words(lost.round)),
            "drag the water off with a hose or squeegee and wait for the surface to dull; never work it in, nor dust cement on it",
        ));
    }
    let first = watch.events.windows.iter().find(|w| matches!(w.round, Round::Float | Round::Broom))?;
    let gone = watch.events.time(Event::At(Milestone::SheenGone))?;
    let held = first.opens.is_some_and(|opens| (opens - gone).abs() <= TimeSpan::minutes(1.0))
        && gone > TimeSpan::ZERO;
    held.then(|| {
        Note::warning(
            "bleed-water-in-window",
            place.clone(),
            format!(
                "the slab carries {} before its bleed water is gone, {} after placing",
                words(first.round),
                shown(gone.in_hours())
            ),
            "wait for the sheen to go: water worked in makes a weak, dusting, scaling surface",
        )
    })
}

/// A surface that would be closed while the slab still bleeds.
fn still_bleeding(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let line = Timeline::of(watch.history);
    let closing = watch.events.windows.iter().find(|w| matches!(w.round, Round::Float | Round::Trowel(_)))?;
    let opens = closing.opens?.in_hours();
    let rate = line.at(|state| state.bleeding, opens)?;
    (rate > STILL_BLEEDS).then(|| {
        Note::warning(
            "sealing-too-early",
            place.clone(),
            format!("the surface is dry {} after placing, but the slab still bleeds under it", shown(opens)),
            "drying has overtaken bleeding: keep floats flat and the surface open, and do not trowel it shut until it has stopped",
        )
    })
}

/// Rain before final set.
fn rain(watch: &Watch<'_>, place: &Place) -> Vec<Note> {
    let set = hours(watch, Milestone::FinalSet);
    let wet = |spell: &&Rain| {
        spell.depth > Length::ZERO
            && spell.from.in_hours() < set
            && spell.until > TimeSpan::ZERO
            && spell.from < spell.until
    };
    watch
        .rain
        .iter()
        .filter(wet)
        .map(|spell| {
            let meets = |w: &&Window| {
                w.round != Round::BullFloat
                    && w.opens.is_some_and(|opens| opens < spell.until)
                    && w.closes.is_none_or(|closes| closes > spell.from)
            };
            let rounds: Vec<&str> = watch.events.windows.iter().filter(meets).map(|w| words(w.round)).collect();
            let during = if rounds.is_empty() { "before it has set".to_owned() } else { format!("in the window of {}", rounds.join(", ")) };
            Note::warning(
                "rain-on-fresh-slab",
                place.clone(),
                format!(
                    "{} of rain from {} after placing, {during}",
                    depth(spell.depth, watch.units),
                    shown(spell.from.in_hours().max(0.0))
                ),
                "have sheet for the whole day's pour at hand, turn roof water away, drag rain off and never work it in",
            )
        })
        .collect()
}

/// Frost anywhere in the slab before 500 psi.
fn frost(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let safe = hours(watch, Milestone::FreezeSafe);
    let coldest = |state: &State| state.surface.min(state.middle).min(state.bottom);
    let (at, state) =
        Timeline::of(watch.history).entries().find(|(at, state)| *at < safe && coldest(state) <= 0.0)?;
    let least = Timeline::of(watch.history)
        .entries()
        .take_while(|(at, _)| *at < safe)
        .map(|(_, state)| coldest(state))
        .fold(coldest(state), f64::min);
    let frozen =
        if Temperature::celsius(least) <= FRESH_FREEZES { ", where fresh concrete freezes" } else { "" };
    Some(Note::warning(
        "frost-before-500-psi",
        place.clone(),
        format!(
            "the slab is at the frost point {} after placing and falls to {}{frozen}, before it has 500 psi (3.5 MPa)",
            shown(at),
            temperature(Temperature::celsius(least), watch.units)
        ),
        "cover with blankets at once after finishing and keep them on until strength is tested; warmer concrete or an accelerator helps, salt or cold water does not",
    ))
}

/// Joints: no time to saw, or hours unlike the published ones.
fn saw(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let time = |milestone| watch.events.time(Event::At(milestone));
    let (from, before) = (time(Milestone::SawFrom), time(Milestone::SawBefore));
    if let Some(before) = before
        && from.is_none_or(|from| from >= before)
    {
        let early = time(Milestone::EarlyEntryFrom).is_some_and(|early| early < before);
        let hint = if early {
            "use an early-entry saw, or tool or strip the joints in while it is fresh"
        } else {
            "tool or strip the joints in while it is fresh, and keep the slab from cooling fast"
        };
        return Some(Note::warning(
            "saw-window-shut",
            place.clone(),
            format!(
                "the slab pulls from {} after placing, before a wet saw stops ravelling",
                shown(before.in_hours())
            ),
            hint,
        ));
    }
    let from = from?.in_hours();
    (from < SAW_HOURS.0 || from > SAW_HOURS.1).then(|| {
        Note::remark(
            "saw-outside-published-hours",
            place.clone(),
            format!("sawing from {} after placing lies outside the published 4 h (hot) to 3 days (cold): cut a trial", shown(from)),
        )
    })
}

/// A history that ends before the finish.
fn unfinished(watch: &Watch<'_>, place: &Place) -> Option<Note> {
    let missing = watch.events.windows.iter().find(|w| w.opens.is_none() || w.closes.is_none())?;
    Some(Note::warning(
        "history-ends-before-finish",
        place.clone(),
        format!(
            "the weather given ends {} after placing, before {} is through",
            shown(Timeline::of(watch.history).end()),
            words(missing.round)
        ),
        "give weather that reaches further; nothing is guessed beyond it",
    ))
}

/// Rain as people read it.
fn depth(rain: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2} in", rain.in_inches()),
        UnitSystem::Metric => format!("{:.1} mm", rain.in_millimetres()),
    }
}

/// A round in words.
fn words(round: Round) -> &'static str {
    match round {
        Round::BullFloat => "the bull float",
        Round::Edges => "the edges",
        Round::Float => "the float",
        Round::Trowel(1) => "the first trowel",
        Round::Trowel(_) => "a later trowel",
        Round::Broom => "the broom",
    }
}

#[cfg(test)]
mod tests;
