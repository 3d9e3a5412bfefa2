//! What was seen on the slab and of the trucks narrows the set factor and moves the remaining windows of all bays.
//!
//! Method, sources and limits: `docs/methods/observations.md`.

use basis::{Estimate, Note, Place, Report, TimeSpan};
use clock::History;
use clock::events::EventModel;
use clock::finish::Round;
use clock::history::State;
use clock::observe::{self, Learned, Observation, Seen, Sighting};
use jiff::Timestamp;

use super::placing::Placed;
use super::{Anchor, BayForecast, Drawn, Forecast, bays};

/// A load that comes this far from when any drawn day has it is worth a word.
const FAR_OFF: f64 = 12.0 * 3600.0;

/// Something seen on the day of the pour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// In the middle of a bay, by its number.
    OnBay {
        /// Number of the bay.
        bay: usize,
        /// When.
        at: Timestamp,
        /// What.
        seen: Seen,
    },
    /// A round of a bay is done, and with it those before.
    Done {
        /// Number of the bay.
        bay: usize,
        /// When.
        at: Timestamp,
        /// Which.
        round: Round,
    },
    /// A load came on site.
    Came {
        /// Its number, from 1.
        load: usize,
        /// When.
        at: Timestamp,
    },
}

impl Sight {
    /// When it was seen.
    #[must_use]
    pub const fn at(&self) -> Timestamp {
        match self {
            Self::OnBay { at, .. } | Self::Done { at, .. } | Self::Came { at, .. } => *at,
        }
    }
}

/// A forecast after what was seen.
#[derive(Debug, Clone)]
pub struct Update {
    /// The forecast of all bays anew; rounds that are done or too late by the instant asked about are left out.
    pub forecast: Forecast,
    /// The set factor before.
    pub before: Estimate<f64>,
    /// What was learned of the set factor; as before when nothing that tells of it was seen.
    pub learned: Learned,
    /// How much later the first round that is left of the last bay becomes ready, middle of its band; negative is earlier.
    pub moved: Option<TimeSpan>,
}

/// Forecasts anew after what was seen, as things stand at the instant `now`.
///
/// The order of the sights does not matter. Only what the forecast was drawn from is gone by: nothing is drawn.
///
/// # Errors
/// Sights of bays and loads that are not there, of an instant after `now`, or of a bay that was placed on no drawn day are
/// faults, each at its place `seen[i]`. Contradictions are warnings.
#[must_use]
pub fn seen(forecast: &Forecast, sights: &[Sight], now: Timestamp) -> Report<Update> {
    let mut notes = Vec::new();
    for (i, sight) in sights.iter().enumerate() {
        check(forecast, sight, now, &Place::at("seen").index(i), &mut notes);
    }
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    match updated(forecast, sights, now, &mut notes) {
        Some(update) if !basis::has_fault(&notes) => Report::with(update, notes),
        _ => Report::refused(notes),
    }
}

fn check(forecast: &Forecast, sight: &Sight, now: Timestamp, place: &Place, notes: &mut Vec<Note>) {
    if sight.at() > now {
        let message = "something is said to have been seen after the time that is asked about";
        notes.push(Note::fault(
            "seen-too-late",
            place.clone(),
            message,
            "correct its time, or ask about a later one",
        ));
    }
    match *sight {
        Sight::OnBay { bay, .. } | Sight::Done { bay, .. } => {
            let numbers: Vec<String> = forecast.bays.iter().map(|bay| bay.number.to_string()).collect();
            if place_of(forecast, bay).is_none() {
                let message = format!("there is no bay {bay}; there are {}", numbers.join(", "));
                notes.push(Note::fault("seen-nowhere", place.clone(), message, "name a bay of the plan"));
            }
        }
        Sight::Came { load, at } => came(forecast, load, at, place, notes),
    }
}

fn came(forecast: &Forecast, load: usize, at: Timestamp, place: &Place, notes: &mut Vec<Note>) {
    let plan = &forecast.draws.source.trucks.plan;
    let count = plan.loads.len();
    let Some(asked) = load.checked_sub(1).and_then(|index| plan.asked.get(index)) else {
        let message = format!("there is no load {load}; the plan has {count}");
        notes.push(Note::fault("seen-nowhere", place.clone(), message, "count the loads from 1"));
        return;
    };
    if (since(forecast, at).in_seconds() - asked).abs() > FAR_OFF {
        let message = format!("load {load} is said to have come over 12 h from when it was asked for");
        notes.push(Note::fault("seen-too-late", place.clone(), message, "check the time and the day"));
    }
}

/// An instant from that of the first truck.
fn since(forecast: &Forecast, at: Timestamp) -> TimeSpan {
    TimeSpan::seconds(at.duration_since(forecast.first_truck).as_secs_f64())
}

fn place_of(forecast: &Forecast, number: usize) -> Option<usize> {
    forecast.bays.iter().position(|bay| bay.number == number)
}

fn updated(forecast: &Forecast, sights: &[Sight], now: Timestamp, notes: &mut Vec<Note>) -> Option<Update> {
    let came = arrivals(forecast, sights);
    let mut draws = forecast.draws.clone();
    if came.iter().any(Option::is_some) {
        draws.placings = draws.source.placings(&came);
        draws.anchors = bays::anchors(&draws.source, &draws.model, &draws.placings, notes)?;
    }
    draws.sheen = sheens(forecast, sights);
    let learned = learned(forecast, &draws, sights, notes)?;
    // Weights made to sum to 1 anew differ in their last digits: where nothing was looked at, the draws stay as they are.
    if sights.iter().any(|sight| matches!(sight, Sight::OnBay { .. })) {
        draws.factors.clone_from(&learned.draws);
    }
    draws.worked = bays::worked(&draws.model, &draws.anchors, &draws.factors);
    let numbers: Vec<usize> = forecast.bays.iter().map(|bay| bay.number).collect();
    let now = since(forecast, now);
    let mut anew = Forecast {
        first_truck: forecast.first_truck,
        zone: forecast.zone.clone(),
        finish: forecast.finish,
        daylight: forecast.daylight,
        fresh: forecast.fresh,
        weather: forecast.weather.clone(),
        bays: bays::all(&numbers, &draws),
        set_factor: learned.set_factor,
        assumed: forecast.assumed.clone(),
        now: Some(now),
        draws,
    };
    leave_out(&mut anew, sights, now);
    let moved = moved(forecast, &anew);
    Some(Update { forecast: anew, before: forecast.set_factor, learned, moved })
}

/// When each load is known to have come, seconds from the instant of the first truck; of several, the last.
fn arrivals(forecast: &Forecast, sights: &[Sight]) -> Vec<Option<f64>> {
    let mut came = vec![None; forecast.draws.source.trucks.plan.loads.len()];
    for sight in sights {
        if let Sight::Came { load, at } = *sight {
            let at = since(forecast, at).in_seconds();
            let known = &mut came[load - 1];
            *known = Some(known.map_or(at, |other: f64| other.max(at)));
        }
    }
    came
}

/// When the sheen was seen gone on each bay; of several, the last: to wait for water is the safe side.
fn sheens(forecast: &Forecast, sights: &[Sight]) -> Vec<Option<TimeSpan>> {
    let mut sheens = forecast.draws.sheen.clone();
    for sight in sights {
        if let Sight::OnBay { bay, at, seen: Seen::SheenGone } = *sight
            && let Some(index) = place_of(forecast, bay)
        {
            let at = since(forecast, at);
            sheens[index] = Some(sheens[index].map_or(at, |other| other.max(at)));
        }
    }
    sheens
}

/// What the sights of bays say of the set factor and of the draws.
fn learned(forecast: &Forecast, draws: &Drawn, sights: &[Sight], notes: &mut Vec<Note>) -> Option<Learned> {
    let mut looks: Vec<(usize, usize, Observation)> = Vec::new();
    for (i, sight) in sights.iter().enumerate() {
        if let Sight::OnBay { bay, at, seen } = *sight
            && let Some(bay) = place_of(forecast, bay)
        {
            looks.push((i, bay, Observation { at: since(forecast, at), seen }));
        }
    }
    // Sums depend on the order in their last digits: the looks are taken in an order of their own.
    let said = |look: &(usize, usize, Observation)| format!("{:?}", look.2.seen);
    looks.sort_by(|a, b| a.1.cmp(&b.1).then(a.2.at.total_cmp(&b.2.at)).then_with(|| said(a).cmp(&said(b))));
    let mut bays: Vec<usize> = looks.iter().map(|look| look.1).collect();
    bays.dedup();
    let stories: Vec<Story> = bays.iter().map(|&bay| Story::of(bay, draws)).collect();
    let sightings: Vec<Sighting<'_>> = looks
        .iter()
        .filter_map(|&(_, bay, observation)| {
            let story = stories.iter().find(|story| story.bay == bay)?;
            Some(Sighting {
                model: &story.model,
                histories: &story.histories,
                placed: &story.placed,
                observation,
            })
        })
        .collect();
    let report = observe::learn(&forecast.set_factor, &draws.factors, &sightings, &Place::at("seen"));
    notes.extend(report.notes.into_iter().map(|note| in_the_order_given(note, &looks)));
    report.value
}

/// The note at the place of the sight as it was given.
fn in_the_order_given(note: Note, looks: &[(usize, usize, Observation)]) -> Note {
    let found = looks.iter().enumerate().find_map(|(sorted, look)| {
        let path = format!("seen.observation[{sorted}]");
        note.place.path().strip_prefix(&path).map(|rest| format!("seen[{}]{rest}", look.0))
    });
    match found {
        Some(path) => Note { place: Place::at(path), ..note },
        None => note,
    }
}

/// What a bay goes through on each draw.
struct Story {
    bay: usize,
    model: EventModel,
    histories: Vec<History>,
    placed: Vec<TimeSpan>,
}

impl Story {
    fn of(bay: usize, draws: &Drawn) -> Self {
        let count = draws.factors.len();
        let middles: Vec<f64> = (0..count).map(|draw| placed(bay, draw, draws).middle()).collect();
        let mut model = draws.model.clone();
        // Counted from the instant of the first truck, as the observations are.
        model.spec.sheen_gone = draws.sheen[bay];
        Self {
            bay,
            model,
            histories: middles
                .iter()
                .enumerate()
                .map(|(draw, &at)| history(at, draw, &draws.anchors))
                .collect(),
            placed: middles.into_iter().map(TimeSpan::seconds).collect(),
        }
    }
}

fn placed(bay: usize, draw: usize, draws: &Drawn) -> &Placed {
    &draws.placings[draw % draws.placings.len()][bay]
}

/// What a bay placed at an instant goes through on a draw, read off between the worked ones.
fn history(placed: f64, draw: usize, anchors: &[Anchor]) -> History {
    let (low, high, part) = bays::between(anchors, placed);
    let of = |anchor: usize| {
        let histories = &anchors[anchor].histories;
        &histories[draw % histories.len()]
    };
    if part <= 0.0 {
        return of(low).clone();
    }
    let (one, other) = (of(low), of(high));
    let states = one.states.iter().zip(&other.states).map(|(a, b)| blended(a, b, part));
    History { states: states.collect(), ..*one }
}

fn blended(a: &State, b: &State, part: f64) -> State {
    let mix = |a: f64, b: f64| a + (b - a) * part;
    State {
        surface: mix(a.surface, b.surface),
        middle: mix(a.middle, b.middle),
        bottom: mix(a.bottom, b.bottom),
        mean: mix(a.mean, b.mean),
        age_surface: mix(a.age_surface, b.age_surface),
        age_middle: mix(a.age_middle, b.age_middle),
        age_bottom: mix(a.age_bottom, b.age_bottom),
        evaporation: mix(a.evaporation, b.evaporation),
        demand: mix(a.demand, b.demand),
        bleeding: mix(a.bleeding, b.bleeding),
        water: mix(a.water, b.water),
    }
}

/// Leaves out rounds that are done, or more likely than not too late.
fn leave_out(forecast: &mut Forecast, sights: &[Sight], now: TimeSpan) {
    for bay in &mut forecast.bays {
        let order: Vec<Round> = bay.rounds.iter().map(|band| band.round).collect();
        let done = sights.iter().filter_map(|sight| match *sight {
            Sight::Done { bay: number, round, .. } if number == bay.number => Some(round),
            Sight::OnBay { bay: number, seen: Seen::FloatStart, .. } if number == bay.number => {
                Some(Round::Float)
            }
            _ => None,
        });
        let done = done.filter_map(|round| order.iter().position(|known| *known == round)).max();
        let left: Vec<bool> = bay
            .rounds
            .iter()
            .enumerate()
            .map(|(index, band)| {
                let late = band.closes.middle.is_some_and(|closes| closes <= now);
                !late && done.is_none_or(|last| index > last)
            })
            .collect();
        keep(&mut bay.rounds, &left);
        keep(&mut bay.dragged, &left);
    }
}

fn keep<T>(list: &mut Vec<T>, left: &[bool]) {
    let mut left = left.iter();
    list.retain(|_| left.next() != Some(&false));
}

/// How much later the first round left of the last bay that has one becomes ready.
fn moved(before: &Forecast, after: &Forecast) -> Option<TimeSpan> {
    let first = |bay: &'_ BayForecast| bay.rounds.iter().find(|band| band.round != Round::BullFloat).copied();
    let (index, round) =
        after.bays.iter().enumerate().rev().find_map(|(index, bay)| Some((index, first(bay)?)))?;
    let known = before.bays[index].rounds.iter().find(|known| known.round == round.round)?;
    Some(round.opens.middle? - known.opens.middle?)
}
