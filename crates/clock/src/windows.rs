//! Windows of the finishing rounds: stiff enough, dry enough, not yet too stiff.

use basis::TimeSpan;

use crate::events::EventModel;
use crate::finish::{FinishSpec, Round};
use crate::setting::SetModel;
use crate::timeline::Timeline;

/// When a round can be worked. Times count from placing; `None` lies after the history's end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Which round.
    pub round: Round,
    /// Stiff enough from here, whatever water stands on it.
    pub stiff: Option<TimeSpan>,
    /// Stiff enough and free of bleed water from here.
    pub opens: Option<TimeSpan>,
    /// Too stiff from here.
    pub closes: Option<TimeSpan>,
}

impl Window {
    /// Whether the round is lost: water stands on the slab until it is too stiff, or it never opens.
    #[must_use]
    pub fn is_lost(&self) -> bool {
        match (self.opens, self.closes) {
            (None, _) => true,
            (Some(opens), Some(closes)) => opens >= closes,
            (Some(_), None) => false,
        }
    }
}

/// Equivalent ages of a round's limits at a set factor of 1, h.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RoundAges {
    round: Round,
    opens: f64,
    closes: f64,
}

/// The limits of all rounds as equivalent ages.
pub(crate) fn round_ages(set: &SetModel, spec: &FinishSpec) -> Vec<RoundAges> {
    spec.rounds()
        .into_iter()
        .map(|(round, span)| RoundAges {
            round,
            opens: set.age_at(span.opens),
            closes: set.age_at(span.closes),
        })
        .collect()
}

/// The windows of all rounds.
pub(crate) fn windows(model: &EventModel, line: Timeline<'_>, set_factor: f64) -> Vec<Window> {
    let limits = &model.spec.thresholds;
    model
        .rounds
        .iter()
        .map(|ages| {
            let at = |age: f64| line.reaches(|state| state.age_surface, set_factor * age);
            let (stiff, opens, closes) = if ages.round == Round::BullFloat {
                let bled = line.bled_by(limits.bull_float_bleeding);
                (Some(0.0), Some(0.0), earlier(at(ages.closes), bled))
            } else {
                let stiff = at(ages.opens);
                let opens = stiff.and_then(|hours| dry_from(&model.spec, line, hours));
                (stiff, opens, at(ages.closes))
            };
            Window {
                round: ages.round,
                stiff: stiff.map(TimeSpan::hours),
                opens: opens.map(TimeSpan::hours),
                closes: closes.map(TimeSpan::hours),
            }
        })
        .collect()
}

/// First instant, not before `from`, at which no bleed water stands: as seen, or as the history has it.
fn dry_from(spec: &FinishSpec, line: Timeline<'_>, from: f64) -> Option<f64> {
    match spec.sheen_gone {
        Some(seen) => Some(from.max(seen.in_hours())),
        None => line.dry_from(from, spec.thresholds.sheen),
    }
}

/// When the sheen is gone: the end of the last wet spell that began before initial set, when bleeding ends.
///
/// Zero if the surface never shone; that is no proof that it does not bleed.
pub(crate) fn sheen_gone(spec: &FinishSpec, line: Timeline<'_>, initial: Option<f64>) -> Option<f64> {
    if let Some(seen) = spec.sheen_gone {
        return Some(seen.in_hours());
    }
    water_gone(line, spec.thresholds.sheen, initial.unwrap_or(line.end()))
}

/// End of the last wet spell that began by `until`; zero if the surface never shone, none if it stays wet.
pub(crate) fn water_gone(line: Timeline<'_>, limit: f64, until: f64) -> Option<f64> {
    let wet = |(hours, state): &(f64, &crate::history::State)| *hours <= until && state.water > limit;
    match line.entries().filter(wet).last() {
        Some((hours, _)) => line.dry_from(hours, limit),
        None => Some(0.0),
    }
}

/// The earlier of two instants of which either may not come.
pub(crate) fn earlier(one: Option<f64>, other: Option<f64>) -> Option<f64> {
    match (one, other) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, b) => a.or(b),
    }
}

#[cfg(test)]
mod tests;

#[cfg(test)]
mod day_tests;
