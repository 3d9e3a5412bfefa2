//! Columns of some bays, events of all, bands over the draws.

use std::borrow::Cow;

use basis::{Note, Share, Temperature, TimeSpan};
use clock::band::{self, Weighted};
use clock::column::run_batch;
use clock::events::{EventModel, Events, Milestone};
use clock::observe::Draw;
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
    let drawn: Vec<Worked> = (0..draws.factors.len()).map(|draw| on_draw(bay, draw, draws)).collect();
    let dragged = chances_of_dragging(&drawn, &draws.factors);
    let weighted: Vec<Weighted> = drawn
        .into_iter()
        .zip(&draws.factors)
        .map(|(worked, factor)| Weighted { events: worked.events, weight: factor.weight })
        .collect();
    let times = |of: &dyn Fn(&Placed) -> f64| placing_band(bay, draws, of);
    let events = band::bands(&weighted);
    BayForecast {
        number,
        dragged,
        from: times(&|placed| placed.from),
        until: times(&|placed| placed.until),
        rounds: band::round_bands(&weighted, &events),
        events,
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

/// The events of a bay on one draw, as a crew works it.
#[derive(Debug, Clone)]
pub(super) struct Worked {
    /// Windows and milestones.
    pub events: Events,
    /// For each window, whether water has to be dragged off before it.
    pub wet: Vec<bool>,
}

impl Worked {
    /// Windows as a crew works them: it waits for the bleed water, but for no more than a share of the round's window; what
    /// then still stands is dragged off.
    fn of(model: &EventModel, history: &History, set_factor: f64) -> Self {
        let natural = model.events(history, set_factor);
        let opens = natural.windows.iter().map(dragged);
        let wet = |(window, opens): (&Window, Option<TimeSpan>)| {
            opens.is_some_and(|opens| window.opens.is_none_or(|dry| dry > opens))
        };
        let wet = natural.windows.iter().zip(opens.clone()).map(wet).collect();
        let windows = natural.windows.iter().zip(opens).map(|(window, opens)| Window { opens, ..*window });
        Self { events: Events { windows: windows.collect(), ..natural }, wet }
    }
}

/// When a crew goes on, dragging off what water still stands.
fn dragged(window: &Window) -> Option<TimeSpan> {
    let (Some(stiff), Some(closes)) = (window.stiff, window.closes) else { return window.opens };
    let patience = stiff + (closes - stiff).max(TimeSpan::ZERO) * PATIENCE;
    let opens = window.opens.map_or(patience, |dry| dry.min(patience));
    Some(opens.max(stiff))
}

/// The events of every worked bay on each draw, from its own placing: once for all bays that are read off between them.
pub(super) fn worked(model: &EventModel, anchors: &[Anchor], factors: &[Draw]) -> Vec<Vec<Worked>> {
    let of = |anchor: &Anchor| {
        let draws = factors.iter().zip(anchor.histories.iter().cycle());
        draws.map(|(factor, history)| Worked::of(model, history, factor.set_factor)).collect()
    };
    anchors.iter().map(of).collect()
}

/// The events of a bay on one draw, from the instant of the first truck; water as on the nearer of the worked bays.
pub(super) fn on_draw(bay: usize, draw: usize, draws: &Drawn) -> Worked {
    let placed = draws.placings[draw % draws.placings.len()][bay].middle();
    let (low, high, part) = between(&draws.anchors, placed);
    let own = own_model(bay, placed, draws);
    let of = |anchor: usize| match &own {
        None => Cow::Borrowed(&draws.worked[anchor][draw]),
        Some(model) => {
            let histories = &draws.anchors[anchor].histories;
            let history = &histories[draw % histories.len()];
            Cow::Owned(Worked::of(model, history, draws.factors[draw].set_factor))
        }
    };
    let (first, other) = (of(low), (part > 0.0).then(|| of(high)));
    let nearer = if part < 0.5 { &first } else { other.as_ref().unwrap_or(&first) };
    let wet = nearer.wet.clone();
    let mut events =
        other.map_or_else(|| first.events.clone(), |other| blended(&first.events, &other.events, part));
    shift(&mut events, TimeSpan::seconds(placed));
    Worked { events, wet }
}

/// Set and finish of a bay of its own: where the sheen was seen gone, that stands in for the bleeding.
fn own_model(bay: usize, placed: f64, draws: &Drawn) -> Option<EventModel> {
    let seen = draws.sheen.get(bay).copied().flatten()?;
    let mut model = draws.model.clone();
    model.spec.sheen_gone = Some((seen - TimeSpan::seconds(placed)).max(TimeSpan::ZERO));
    Some(model)
}

/// Chance that water still stands on the bay when each round opens.
fn chances_of_dragging(drawn: &[Worked], factors: &[Draw]) -> Vec<Share> {
    let mut wet = vec![0.0; drawn.first().map_or(0, |first| first.wet.len())];
    for (worked, factor) in drawn.iter().zip(factors) {
        for (sum, _) in wet.iter_mut().zip(&worked.wet).filter(|(_, wet)| **wet) {
            *sum += factor.weight;
        }
    }
    let all: f64 = factors.iter().map(|factor| factor.weight).sum();
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
        stiff: mix(a.stiff, b.stiff),
        opens: mix(a.opens, b.opens),
        closes: mix(a.closes, b.closes),
    });
    let milestones = one.milestones.iter().zip(&other.milestones);
    Events { windows: windows.collect(), milestones: milestones.map(|(a, b)| (a.0, mix(a.1, b.1))).collect() }
}

fn shift(events: &mut Events, by: TimeSpan) {
    let move_on = |time: &mut Option<TimeSpan>| *time = time.map(|time| time + by);
    for window in &mut events.windows {
        [&mut window.stiff, &mut window.opens, &mut window.closes].into_iter().for_each(move_on);
    }
    events.milestones.iter_mut().for_each(|(_, time)| move_on(time));
}
