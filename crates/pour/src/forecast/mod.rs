//! When each bay can be worked: weather, mix, slab and placing times put together, with 10-50-90 % bands.
//!
//! A pure function of the job, the plan and a seed. Method, sources and limits: `docs/methods/forecast.md`.

mod bays;
mod defaults;
pub mod placing;
mod seen;
mod slab;
pub mod state;
pub mod sweep;
mod weather;

use basis::{Length, Note, Place, Report, Share, Temperature, TimeSpan};
use clock::band::{EventBand, RoundBand};
use clock::events::{Event, EventModel, Events};
use clock::finish::{Finish, FinishSpec};
use clock::limits::{self, Gain, Placement};
use clock::mix::{Admixture, Cement, Mix};
use clock::observe::{self, Draw};
use clock::sun::Daylight;
use clock::weather::Record;
use clock::{History, risk, sun};
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use rand::Rng;

use crate::bays::Bay;
use crate::job::{Assumed, Job, MixOrdered};
use crate::loads::LoadPlan;
use crate::trucks::{self, Band, TruckInput};
use placing::{Placed, placed};
pub use seen::{Sight, Update, seen};
pub use slab::Fresh;

/// Draws of what is not known: set factor, trucks, weather, warmth of the concrete.
const DRAWS: usize = 200;
/// Courses of the weather among them; each serves several draws of the rest.
const COURSES: usize = 40;
/// The weather is followed for so many hours from the first truck.
const AHEAD: i64 = 72;
/// Water meets cement so long before the truck leaves the plant; common practice, no source.
const BATCHING: TimeSpan = TimeSpan::minutes(10.0);

/// What a forecast is made from.
#[derive(Debug, Clone, Copy)]
pub struct ForecastInput<'a> {
    /// The job, with mix, site, weather and day.
    pub job: &'a Job,
    /// The bays in order of placing.
    pub bays: &'a [Bay],
    /// What each load covers.
    pub loads: &'a LoadPlan,
    /// Loads, plant and crew, as the trucks were followed.
    pub trucks: TruckInput<'a>,
    /// Mean thickness of the slab.
    pub thickness: Length,
}

/// When everything happens on one floor. Times count from the instant for which the first truck is asked.
#[derive(Debug, Clone)]
pub struct Forecast {
    /// That instant.
    pub first_truck: Timestamp,
    /// Zone of the site, for local times.
    pub zone: TimeZone,
    /// The finish.
    pub finish: Finish,
    /// Rise and set of the sun on the day.
    pub daylight: Option<Daylight>,
    /// Temperature of the fresh concrete.
    pub fresh: Fresh,
    /// The weather as told, hour by hour from the hour of the first truck, as far as it goes.
    pub weather: Vec<(Timestamp, Record)>,
    /// The bays in order of placing.
    pub bays: Vec<BayForecast>,
    /// The set factor that was gone by.
    pub set_factor: basis::Estimate<f64>,
    /// The instant asked about, when the day is under way: what is past by then is left out, and nothing starts before it.
    pub now: Option<TimeSpan>,
    /// What was taken because the job does not state it.
    pub assumed: Vec<Assumed>,
    /// What the bands were drawn from, for forecasting again.
    pub draws: Drawn,
}

/// One bay's day.
#[derive(Debug, Clone, PartialEq)]
pub struct BayForecast {
    /// Its number.
    pub number: usize,
    /// When its first concrete is placed.
    pub from: Band,
    /// When it is struck off to its end.
    pub until: Band,
    /// The rounds of its finish, as a crew works them: bleed water is waited for over a third of the window, then dragged off.
    pub rounds: Vec<RoundBand>,
    /// Chance that water has to be dragged off before each of those rounds.
    pub dragged: Vec<Share>,
    /// All events: windows and milestones.
    pub events: Vec<EventBand>,
}

impl BayForecast {
    /// The band of an event, if the finish has it.
    #[must_use]
    pub fn event(&self, event: Event) -> Option<&EventBand> {
        self.events.iter().find(|band| band.event == event)
    }
}

impl Forecast {
    /// How many draws the bands rest on.
    #[must_use]
    pub fn count(&self) -> usize {
        self.draws.factors.len()
    }

    /// Weight of a draw; only ratios matter.
    #[must_use]
    pub fn weight(&self, draw: usize) -> f64 {
        self.draws.factors[draw].weight
    }

    /// The events of a bay, by its place in the order of placing, on one draw.
    #[must_use]
    pub fn events(&self, bay: usize, draw: usize) -> Events {
        bays::on_draw(bay, draw, &self.draws).events
    }

    /// When a bay's first and last concrete are placed on one draw.
    #[must_use]
    pub fn placed_between(&self, bay: usize, draw: usize) -> (TimeSpan, TimeSpan) {
        let placed = &self.draws.placings[draw % self.draws.placings.len()][bay];
        (TimeSpan::seconds(placed.from), TimeSpan::seconds(placed.until))
    }

    /// When the last bay is struck off on one draw.
    #[must_use]
    pub fn placed_on(&self, draw: usize) -> TimeSpan {
        let day = &self.draws.placings[draw % self.draws.placings.len()];
        TimeSpan::seconds(day.iter().map(|placed| placed.until).fold(0.0, f64::max))
    }
}

/// What the bands were drawn from.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Set and finish of the mix.
    pub model: EventModel,
    /// Set factor and weight of each draw.
    pub factors: Vec<Draw>,
    /// Placing of each bay on each draw's day: `placings[draw][bay]`.
    pub placings: Vec<Vec<Placed>>,
    /// Bays whose columns were worked, in order of placing.
    pub anchors: Vec<Anchor>,
    /// When the sheen was seen gone on each bay, from the instant of the first truck.
    pub sheen: Vec<Option<TimeSpan>>,
    /// Events of each of those bays on each draw: `worked[anchor][draw]`.
    worked: Vec<Vec<bays::Worked>>,
    /// What the columns and placings are worked from, for working them again.
    source: Source,
}

/// What columns and placings are worked from.
#[derive(Debug, Clone)]
struct Source {
    slab: slab::SlabOfJob,
    courses: Vec<weather::Course>,
    /// How much warmer the concrete comes on each course, K.
    warmer: Vec<f64>,
    trucks: trucks::DrawnDays,
    /// Volume of each bay in the forms, and what each load covers of them, m³.
    bays: Vec<f64>,
    covers: Vec<f64>,
}

impl Source {
    /// When each bay is placed on each draw's day; `came[load]` is when a load is known to have come, in seconds.
    fn placings(&self, came: &[Option<f64>]) -> Vec<Vec<Placed>> {
        let days = self.trucks.passages(came);
        days.iter().map(|passages| placed(&self.bays, &self.covers, passages)).collect()
    }
}

/// A bay whose column was worked over all courses of the weather.
#[derive(Debug, Clone)]
pub struct Anchor {
    /// When it is placed, mean over the draws, seconds from the first truck.
    pub placed: f64,
    /// What the slab goes through: one history for each course, the first for the weather as told.
    pub histories: Vec<History>,
}

/// Forecasts the floor. `rng` draws the trucks, the weather and the warmth of the concrete.
///
/// # Errors
/// Refused with the faults of mix, site, weather and slab; also when the weather ends before the first bay can be floated.
#[must_use]
pub fn forecast(input: &ForecastInput<'_>, rng: &mut impl Rng) -> Report<Forecast> {
    let mut notes = Vec::new();
    match figured(input, rng, &mut notes) {
        Some(forecast) if !basis::has_fault(&notes) => Report::with(forecast, notes),
        _ => Report::refused(notes),
    }
}

fn figured(input: &ForecastInput<'_>, rng: &mut impl Rng, notes: &mut Vec<Note>) -> Option<Forecast> {
    let job = input.job;
    let mut taken = defaults::Taken { list: Vec::new(), units: job.units };
    let ordered = job.mix.as_ref()?;
    let first = first_truck(job, notes)?;
    let set = clock::setting::setting(&ordered.mix, &slab::place()).unload(notes);
    let day = weather::of_day(job, first, &mut taken, notes)?;
    let start = instant(&day.site.zone, first, notes)?;
    let spec = FinishSpec::of(taken.finish(job.finishing.finish));
    notes.extend(spec.check(&Place::at("finishing")));
    let set = set?;
    let told = day.told(start, AHEAD);
    let mean = day_mean(&day.series, start);
    let (Some(told), Some(mean)) = (told, mean) else {
        notes.extend(day.series.check_span(start, later(start, 12), &day.site.zone, &Place::at("weather")));
        return None;
    };
    let air = (mean, told.exposures[0].air);
    let slab = slab::of_job(job, ordered, input.thickness, &set, air, &mut taken, notes)?;
    if basis::has_fault(notes) {
        return None;
    }
    let model = EventModel::new(&ordered.mix, &spec);
    let source = source(input, slab, &day, start, rng)?;
    let placings = source.placings(&[]);
    let Some(anchors) = bays::anchors(&source, &model, &placings, notes) else {
        if !basis::has_fault(notes) {
            // Some bay is placed after the last hour.
            let until = later(start, 12).max(later(day.series.end(), 1));
            notes.extend(day.series.check_span(start, until, &day.site.zone, &Place::at("weather")));
        }
        return None;
    };
    let factors = observe::set_draws(&ordered.mix.set_factor, DRAWS);
    let sheen = vec![None; input.bays.len()];
    let worked = bays::worked(&model, &anchors, &factors);
    let draws = Drawn { model, factors, placings, anchors, sheen, worked, source };
    let numbers: Vec<usize> = input.bays.iter().map(|bay| bay.number).collect();
    let bays = bays::all(&numbers, &draws);
    notes.extend(ends_early(&bays, &day, start));
    warn(input, ordered, &draws.source.slab, &draws, &day, start, notes);
    Some(Forecast {
        first_truck: start,
        daylight: midnight(&day.site.zone, first)
            .and_then(|midnight| sun::daylight(&day.site.spot, midnight)),
        zone: day.site.zone.clone(),
        finish: spec.finish,
        fresh: draws.source.slab.fresh,
        weather: hours(&day.series, start),
        bays,
        set_factor: ordered.mix.set_factor,
        now: None,
        assumed: taken.list,
        draws,
    })
}

/// Tells that the weather ends before the finishing surely has: what lies beyond is left open.
fn ends_early(bays: &[BayForecast], day: &weather::DayWeather, start: Timestamp) -> Option<Note> {
    let end = day.series.end();
    let open = |bay: &&BayForecast| bay.rounds.iter().any(|round| round.closes.high.is_none());
    let first = bays.iter().find(open).filter(|_| end < later(start, AHEAD))?;
    let message = format!(
        "the weather ends at {}, when bay {} and what is placed after it may not be finished yet: the times beyond are left open",
        day.site.zone.to_datetime(end).strftime("%Y-%m-%d %H:%M"),
        first.number
    );
    let hint = "get a longer forecast: it is not run on past its end";
    Some(Note::warning("weather-ends-early", Place::at("weather"), message, hint))
}

fn first_truck(job: &Job, notes: &mut Vec<Note>) -> Option<jiff::civil::DateTime> {
    if job.day.first_truck.is_none() {
        let message = "the clock needs the day and the time of the first truck";
        let hint = "add first_truck = 2026-06-12T07:00:00 under [day]";
        notes.push(Note::fault("no-first-truck", Place::at("day.first_truck"), message, hint));
    }
    job.day.first_truck
}

/// The instant of a local time. A time that the clocks skip is a fault; one that they show twice is the earlier, told.
fn instant(zone: &TimeZone, local: jiff::civil::DateTime, notes: &mut Vec<Note>) -> Option<Timestamp> {
    let place = Place::at("day.first_truck");
    let found = zone.to_ambiguous_timestamp(local);
    match found.offset() {
        jiff::tz::AmbiguousOffset::Unambiguous { .. } => {}
        jiff::tz::AmbiguousOffset::Gap { .. } => {
            let message = format!("the clocks skip {local} on that day");
            notes.push(Note::fault("time-skipped", place, message, "state a time that the clocks show"));
            return None;
        }
        jiff::tz::AmbiguousOffset::Fold { .. } => {
            let message = format!("the clocks show {local} twice on that day; the earlier is taken");
            let hint = "state a time outside the hour that is shown twice, if the later is meant";
            notes.push(Note::warning("time-doubled", place, message, hint));
        }
    }
    found.earlier().ok()
}

fn later(at: Timestamp, hours: i64) -> Timestamp {
    at.checked_add(SignedDuration::from_hours(hours)).unwrap_or(Timestamp::MAX)
}

fn midnight(zone: &TimeZone, local: jiff::civil::DateTime) -> Option<Timestamp> {
    zone.to_ambiguous_timestamp(local.date().to_datetime(jiff::civil::Time::midnight())).later().ok()
}

/// Mean air of the 24 hours around the first truck, as far as the weather has them.
fn day_mean(series: &clock::weather::Series, start: Timestamp) -> Option<Temperature> {
    let air =
        (-12..12).filter_map(|hour| series.at(later(start, hour))).map(|record| record.air.in_kelvins());
    let (sum, count) = air.fold((0.0, 0.0), |(sum, count), air| (sum + air, count + 1.0));
    (count > 0.0).then(|| Temperature::kelvins(sum / count))
}

fn hours(series: &clock::weather::Series, start: Timestamp) -> Vec<(Timestamp, Record)> {
    let at = (0..=AHEAD).map(|hour| later(start, hour));
    at.map_while(|at| series.at(at).map(|record| (at, record))).collect()
}

/// Draws trucks, weather and the warmth of the concrete.
fn source(
    input: &ForecastInput<'_>,
    slab: slab::SlabOfJob,
    day: &weather::DayWeather,
    start: Timestamp,
    rng: &mut impl Rng,
) -> Option<Source> {
    let trucks = trucks::drawn_days(&TruckInput { draws: DRAWS as u32, ..input.trucks }, rng);
    let courses = day.courses(start, AHEAD, COURSES, rng)?;
    let warmer = bays::warmer(&slab, courses.len(), rng);
    let bays = input.loads.bays.iter().map(|volume| volume.in_cubic_metres()).collect();
    let covers = input.loads.lines.iter().map(|line| line.covers.in_cubic_metres()).collect();
    Some(Source { slab, courses, warmer, trucks, bays, covers })
}

/// Cautions of the likely course on the last bay: risks, cold and hot weather.
fn warn(
    input: &ForecastInput<'_>,
    ordered: &MixOrdered,
    slab: &slab::SlabOfJob,
    draws: &Drawn,
    day: &weather::DayWeather,
    start: Timestamp,
    notes: &mut Vec<Note>,
) {
    let units = input.job.units;
    let Some(last) = draws.anchors.last() else { return };
    let Some(history) = last.histories.first() else { return };
    let events = draws.model.events(history, ordered.mix.set_factor.mean);
    // No rain falls under a roof.
    let rain = match day.site.shade.roof {
        clock::weather::Roof::Over => Vec::new(),
        clock::weather::Roof::None => rain(&day.series, later_by(start, last.placed)),
    };
    let watch = risk::Watch {
        history,
        mix: &ordered.mix,
        spec: &draws.model.spec,
        events: &events,
        rain: &rain,
        units,
    };
    notes.extend(risk::notes(&watch, &Place::at("weather")));
    let coldest =
        hours(&day.series, start).iter().map(|(_, record)| record.air.in_kelvins()).fold(f64::MAX, f64::min);
    let air = day.series.at(start).map_or(slab.fresh.mean, |record| record.air);
    let placement = Placement {
        thickness: slab.thickness,
        concrete: slab.fresh.mean,
        base: input.job.bed.temperature,
        air,
        coldest: Temperature::kelvins(coldest),
        gain: gain(&ordered.mix),
    };
    notes.extend(limits::notes(&placement, &Place::at("weather"), units));
}

fn later_by(at: Timestamp, seconds: f64) -> Timestamp {
    at.checked_add(SignedDuration::from_secs_f64(seconds)).unwrap_or(Timestamp::MAX)
}

fn gain(mix: &Mix) -> Gain {
    let faster = |admixture: &Admixture| {
        matches!(admixture, Admixture::CalciumChloride(_) | Admixture::Accelerator(_))
    };
    let fast = mix.cement == Cement::TypeIII || mix.admixtures.iter().any(faster);
    if fast { Gain::Accelerated } else { Gain::Usual }
}

/// Spells of rain since an instant.
fn rain(series: &clock::weather::Series, placed: Timestamp) -> Vec<risk::Rain> {
    let hour = |hour: i64| {
        let record = series.at(later(placed, hour))?;
        let spell = risk::Rain {
            from: TimeSpan::hours(hour as f64 - 1.0).max(TimeSpan::ZERO),
            until: TimeSpan::hours(hour as f64),
            depth: Length::millimetres(record.rain),
        };
        (record.rain > 0.0).then_some(spell)
    };
    (1..=AHEAD).filter_map(hour).collect()
}
