//! Spans of time from many draws: 10, 50 and 90 %, and how often an event does not come at all.

use basis::{Share, TimeSpan};

use crate::History;
use crate::events::{Event, EventModel, Events};
use crate::finish::Round;

/// The events of one draw and its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighted {
    /// When everything happens.
    pub events: Events,
    /// How much the draw counts, not negative; only ratios matter.
    pub weight: f64,
}

/// The span of one event over all draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EventBand {
    /// Which event.
    pub event: Event,
    /// 10 % come before this; `None` if fewer come within the period at all.
    pub low: Option<TimeSpan>,
    /// Half come before this.
    pub middle: Option<TimeSpan>,
    /// 90 % come before this.
    pub high: Option<TimeSpan>,
    /// Chance that the event does not come within the period that is told.
    pub absent: Share,
}

/// A round over all draws.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundBand {
    /// Which round.
    pub round: Round,
    /// When its window opens.
    pub opens: EventBand,
    /// When its window closes.
    pub closes: EventBand,
    /// Chance that the round is lost: water stands until it is too stiff, or it never opens in the period.
    pub lost: Share,
}

/// Spans of all events, in the order of the first draw; empty without draws or without weight.
///
/// The 10 % point is the first instant by which a tenth of the weight has come: the inverse of the stepped
/// distribution [@hyndman-fan-1996], type 1. A draw in which an event does not come counts as later than any instant.
#[must_use]
pub fn bands(draws: &[Weighted]) -> Vec<EventBand> {
    let Some(first) = draws.first() else { return Vec::new() };
    if total(draws).is_none() {
        return Vec::new();
    }
    let order: Vec<Event> = first.events.list().map(|(event, _)| event).collect();
    let mut columns: Vec<Vec<(f64, f64)>> = vec![Vec::with_capacity(draws.len()); order.len()];
    for draw in draws {
        let mut times = draw.events.list();
        for (event, column) in order.iter().zip(&mut columns) {
            // Draws of one model list the same events; another's are looked up.
            let time = match times.next() {
                Some((found, time)) if found == *event => time,
                _ => draw.events.time(*event),
            };
            column.push((time.map_or(f64::INFINITY, TimeSpan::in_seconds), draw.weight));
        }
    }
    order.into_iter().zip(columns).map(|(event, column)| band(event, column)).collect()
}

/// The rounds in their order, from the draws and their spans as [`bands`] gives them.
#[must_use]
pub fn round_bands(draws: &[Weighted], spans: &[EventBand]) -> Vec<RoundBand> {
    let Some(first) = draws.first() else { return Vec::new() };
    let Some(all) = total(draws) else { return Vec::new() };
    let lost = |round: Round| -> f64 {
        let is_lost =
            |draw: &&Weighted| draw.events.window(round).is_none_or(crate::windows::Window::is_lost);
        draws.iter().filter(is_lost).map(|draw| draw.weight).sum()
    };
    let of = |event: Event| spans.iter().find(|band| band.event == event).copied();
    let rounds = first.events.windows.iter().map(|window| window.round);
    rounds
        .filter_map(|round| {
            let (opens, closes) = (of(Event::Opens(round))?, of(Event::Closes(round))?);
            Some(RoundBand { round, opens, closes, lost: Share::ratio(lost(round) / all) })
        })
        .collect()
}

/// The events of each draw of a bay: its histories, one a draw or one for all, with set factors and weights.
///
/// Draws beyond the histories take the last one; no history, no events.
#[must_use]
pub fn forecast(model: &EventModel, histories: &[History], draws: &[crate::observe::Draw]) -> Vec<Weighted> {
    let Some(last) = histories.last() else { return Vec::new() };
    let event = |(i, draw): (usize, &crate::observe::Draw)| Weighted {
        events: model.events(histories.get(i).unwrap_or(last), draw.set_factor),
        weight: draw.weight,
    };
    draws.iter().enumerate().map(event).collect()
}

/// The sum of the weights, if it is more than nothing.
fn total(draws: &[Weighted]) -> Option<f64> {
    let sum: f64 = draws.iter().map(|draw| draw.weight).sum();
    (sum > 0.0 && sum.is_finite()).then_some(sum)
}

/// The span of one event from its times in seconds with their weights, infinite where it does not come.
fn band(event: Event, mut times: Vec<(f64, f64)>) -> EventBand {
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = times.iter().map(|(_, weight)| weight).sum();
    let absent: f64 = times.iter().filter(|(time, _)| time.is_infinite()).map(|(_, weight)| weight).sum();
    let point = |part: f64| {
        // A hair less than the share, so that rounding of equal weights does not move the point by a draw.
        let wanted = part * all * (1.0 - 1e-12);
        let mut so_far = 0.0;
        let found = times.iter().find(|(_, weight)| {
            so_far += weight;
            so_far >= wanted && *weight > 0.0
        });
        found.filter(|(time, _)| time.is_finite()).map(|(time, _)| TimeSpan::seconds(*time))
    };
    EventBand {
        event,
        low: point(0.1),
        middle: point(0.5),
        high: point(0.9),
        absent: Share::ratio(absent / all),
    }
}

#[cfg(test)]
mod tests;
