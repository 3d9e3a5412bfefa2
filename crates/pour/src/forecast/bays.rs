//! Columns of some bays, events of all, bands over the draws.

use std::borrow::Cow;

use basis::{Note, Share, Temperature, TimeSpan};
use clock::band::{self, Weighted};
use clock::column::run_batch;
use clock::events::{EventModel, Events, Milestone};
use clock::finish::Round;
use clock::surface::Covering;
use clock::windows::Window;
use clock::{Event, History};
use rand::Rng;
use rand_distr::{Distribution, StandardNormal};

use super::placing::Placed;
use super::slab::{SlabOfJob, Spot};
use super::{Anchor, BATCHING, BayForecast, Drawn, Source};
use crate::trucks::{self, Band};

/// Most bays whose columns are worked; those between are read off between them.
const MOST_ANCHORS: usize = 4;
/// A crew waits for bleed water over this share of a round's window, then drags it off; our own choice.
const PATIENCE: f64 = 1.0 / 3.0;
/// The cure goes on this long after the last round closes on the likely course.
const CURE_AFTER: TimeSpan = TimeSpan::minutes(20.0);

/// How much warmer the concrete comes on each course of the weather, K: as expected on the first.
pub(super) fn warmer(slab: &SlabOfJob, courses: usize, rng: &mut impl Rng) -> Vec<f64> {
    std::iter::once(0.0)
        .chain((1..courses).map(|_| StandardNormal.sample(rng)))
        .map(|z: f64| z * slab.fresh.sd.in_kelvins())
        .collect()
}

/// Works the columns of the first, the last and some bays between, over all courses of the weather.
pub(super) fn anchors(
    source: &Source,
    model: &EventModel,
    placings: &[Vec<Placed>],
    notes: &mut Vec<Note>,
) -> Option<Vec<Anchor>> {
    let Source { slab, courses, warmer, .. } = source;
    let chosen = chosen(placings.first().map_or(0, Vec::len));
    let spots: Vec<(f64, TimeSpan)> = chosen.iter().map(|&bay| mean_spot(placings, bay)).collect();
    let spot = |&(placed, age): &(f64, TimeSpan), warmer: f64| Spot {
        placed: TimeSpan::seconds(placed.max(0.0)),
        age,
        fresh: Temperature::kelvins(slab.fresh.mean.in_kelvins() + warmer),
    };
    let bare: Option<Vec<_>> =
        spots.iter().map(|at| slab.column(courses.first()?, spot(at, 0.0), &[])).collect();
    let bare = run_batch(&bare?).unload(notes)?;
    let covers: Vec<Vec<Covering>> =
        bare.iter().map(|outcome| slab.covers(finished(model, &outcome.history))).collect();
    let mut columns = Vec::with_capacity(spots.len() * courses.len());
    for (at, covers) in spots.iter().zip(&covers) {
        for (course, warmer) in courses.iter().zip(warmer) {
            columns.push(slab.column(course, spot(at, *warmer), covers)?);
        }
    }
    let mut outcomes = run_batch(&columns).unload(notes)?.into_iter().map(|outcome| outcome.history);
    let anchor = |&(placed, _): &(f64, TimeSpan)| Anchor {
        placed,
        histories: outcomes.by_ref().take(courses.len()).collect(),
    };
    Some(spots.iter().map(anchor).collect())
}

/// Even steps through the bays, first and last among them.
fn chosen(bays: usize) -> Vec<usize> {
    let count = bays.min(MOST_ANCHORS);
    if count < 2 {
        return (0..count).collect();
    }
    (0..count).map(|i| i * (bays - 1) / (count - 1)).collect()
}

/// When a bay is placed and how old its concrete then is, mean over the draws.
fn mean_spot(placings: &[Vec<Placed>], bay: usize) -> (f64, TimeSpan) {
    let count = placings.len().max(1) as f64;
    let placed: f64 = placings.iter().map(|day| day[bay].middle()).sum();
    let age: f64 = placings.iter().map(|day| day[bay].age).sum();
    (placed / count, TimeSpan::seconds(age / count) + BATCHING)
}

fn finished(model: &EventModel, history: &History) -> TimeSpan {
    let events = model.events(history, 1.0);
    let last = events.time(Event::At(Milestone::LastUseful));
    last.or(events.time(Event::At(Milestone::FinalSet))).unwrap_or(TimeSpan::hours(12.0)) + CURE_AFTER
}

/// The forecast of every bay.
pub(super) fn all(numbers: &[usize], draws: &Drawn) -> Vec<BayForecast> {
    numbers.iter().enumerate().map(|(bay, &number)| one(number, bay, draws)).collect()
}

fn one(number: usize, bay: usize, draws: &Drawn) -> BayForecast {
    let weighted: Vec<Weighted> = (0..draws.factors.len())
        .map(|draw| Weighted { events: events(bay, draw, draws), weight: draws.factors[draw].weight })
        .collect();
    let times = |of: &dyn Fn(&Placed) -> f64| placing_band(bay, draws, of);
    let rounds = band::round_bands(&weighted);
    let kinds: Vec<Round> = rounds.iter().map(|band| band.round).collect();
    BayForecast {
        number,
        dragged: chances_of_dragging(bay, &kinds, draws),
        from: times(&|placed| placed.from),
        until: times(&|placed| placed.until),
        rounds,
        events: band::bands(&weighted),
    }
}

/// A time of placing over the draws; when they count alike, over the days of the trucks.
fn placing_band(bay: usize, draws: &Drawn, of: &dyn Fn(&Placed) -> f64) -> Band {
    let first = draws.factors.first().map_or(0.0, |factor| factor.weight);
    if draws.factors.iter().all(|factor| factor.weight == first) {
        return trucks::band(draws.placings.iter().map(|day| of(&day[bay])));
    }
    let days = draws.placings.iter().cycle();
    let mut times: Vec<(f64, f64)> =
        draws.factors.iter().zip(days).map(|(factor, day)| (of(&day[bay]), factor.weight)).collect();
    times.sort_by(|a, b| a.0.total_cmp(&b.0));
    let all: f64 = times.iter().map(|(_, weight)| weight).sum();
    let at = |part: f64| {
        let mut so_far = 0.0;
        let found = times.iter().find(|(_, weight)| {
            so_far += weight;
            so_far >= part * all
        });
        TimeSpan::seconds(found.or(times.last()).map_or(0.0, |(time, _)| *time))
    };
    let mean = times.iter().map(|(time, weight)| time * weight).sum::<f64>() / all;
    Band { low: at(0.1), middle: at(0.5), high: at(0.9), mean: TimeSpan::seconds(mean) }
}

/// The events of a bay on one draw, from the instant of the first truck.
pub(super) fn events(bay: usize, draw: usize, draws: &Drawn) -> Events {
    let placed = draws.placings[draw % draws.placings.len()][bay].middle();
    let factor = draws.factors[draw].set_factor;
    let (low, high, part) = between(&draws.anchors, placed);
    let model = model_of(bay, placed, draws);
    let of = |anchor: usize| {
        let histories = &draws.anchors[anchor].histories;
        let history = &histories[draw % histories.len()];
        dragged(model.events(history, factor), &draws.swept.events(history, factor))
    };
    let first = of(low);
    let mixed = if part > 0.0 { blended(&first, &of(high), part) } else { first };
    shifted(mixed, TimeSpan::seconds(placed))
}

/// Set and finish of a bay: where the sheen was seen gone, that stands in for the bleeding.
pub(super) fn model_of(bay: usize, placed: f64, draws: &Drawn) -> Cow<'_, EventModel> {
    let Some(seen) = draws.sheen.get(bay).copied().flatten() else { return Cow::Borrowed(&draws.model) };
    let mut model = draws.model.clone();
    model.spec.sheen_gone = Some((seen - TimeSpan::seconds(placed)).max(TimeSpan::ZERO));
    Cow::Owned(model)
}

/// Windows as a crew works them: it waits for the bleed water, but for no more than a share of the round's window; what
/// then still stands is dragged off. `swept` has the windows of a slab from which all water is dragged at once.
fn dragged(natural: Events, swept: &Events) -> Events {
    let windows = natural.windows.iter().zip(&swept.windows).map(|(natural, swept)| {
        let (Some(stiff), Some(closes)) = (swept.opens, swept.closes) else { return *natural };
        let patience = stiff + (closes - stiff).max(TimeSpan::ZERO) * PATIENCE;
        let opens = natural.opens.map_or(patience, |dry| dry.min(patience));
        Window { opens: Some(opens.max(stiff)), ..*natural }
    });
    Events { windows: windows.collect(), ..natural }
}

/// Chance that water still stands on the bay when each round opens.
fn chances_of_dragging(bay: usize, rounds: &[Round], draws: &Drawn) -> Vec<Share> {
    let mut wet = vec![0.0; rounds.len()];
    let mut all = 0.0;
    for (draw, factor) in draws.factors.iter().enumerate() {
        let placed = draws.placings[draw % draws.placings.len()][bay].middle();
        let (low, high, part) = between(&draws.anchors, placed);
        let histories = &draws.anchors[if part < 0.5 { low } else { high }].histories;
        let history = &histories[draw % histories.len()];
        let natural = model_of(bay, placed, draws).events(history, factor.set_factor);
        let worked = dragged(natural.clone(), &draws.swept.events(history, factor.set_factor));
        all += factor.weight;
        for (wet, round) in wet.iter_mut().zip(rounds) {
            let opens = worked.window(*round).and_then(|window| window.opens);
            let dry = natural.window(*round).and_then(|window| window.opens);
            if opens.is_some_and(|opens| dry.is_none_or(|dry| dry > opens)) {
                *wet += factor.weight;
            }
        }
    }
    wet.into_iter().map(|wet| Share::ratio(if all > 0.0 { wet / all } else { 0.0 })).collect()
}

/// The anchors before and after a placing time, and how far it lies between them.
pub(super) fn between(anchors: &[Anchor], placed: f64) -> (usize, usize, f64) {
    let after = anchors.partition_point(|anchor| anchor.placed < placed);
    let high = after.clamp(1, anchors.len().max(2) - 1).min(anchors.len() - 1);
    let low = high.saturating_sub(1);
    let span = anchors[high].placed - anchors[low].placed;
    let part = if span > 0.0 { ((placed - anchors[low].placed) / span).clamp(0.0, 1.0) } else { 0.0 };
    (low, high, part)
}

/// Events between two: times that both have are read off in between, others are the nearer's.
fn blended(one: &Events, other: &Events, part: f64) -> Events {
    let mix = |a: Option<TimeSpan>, b: Option<TimeSpan>| match (a, b) {
        (Some(a), Some(b)) => Some(a + (b - a) * part),
        (a, _) if part < 0.5 => a,
        (_, b) => b,
    };
    let windows = one.windows.iter().zip(&other.windows).map(|(a, b)| Window {
        round: a.round,
        opens: mix(a.opens, b.opens),
        closes: mix(a.closes, b.closes),
    });
    let milestones = one.milestones.iter().zip(&other.milestones);
    Events { windows: windows.collect(), milestones: milestones.map(|(a, b)| (a.0, mix(a.1, b.1))).collect() }
}

fn shifted(events: Events, by: TimeSpan) -> Events {
    let moved = |time: Option<TimeSpan>| time.map(|time| time + by);
    let windows = events.windows.into_iter().map(|window| Window {
        opens: moved(window.opens),
        closes: moved(window.closes),
        ..window
    });
    Events {
        windows: windows.collect(),
        milestones: events.milestones.into_iter().map(|(milestone, time)| (milestone, moved(time))).collect(),
    }
}
