//! The finishing clock in the reports: forecast, what was learned, the day's rounds.

use basis::{Estimate, Note, TimeSpan};
use clock::band::{EventBand, RoundBand};
use clock::events::{Event, Milestone};
use clock::finish::{Finish, Round};
use clock::weather::Record;
use jiff::Timestamp;
use pour::Job;
use pour::day::Day;
use pour::forecast::state::RoundName;
use pour::forecast::{BayForecast, Forecast, Update};
use serde_json::{Value, json};

use super::part::{Context, Part};
use super::units::{self, list, or_null, refer};
use super::{LAYOUT, assumed, note, order, rounds, titled};

/// A floor of the clock's report.
#[derive(Debug, Clone, Copy)]
pub struct ClockFloor<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its forecast, after what was seen.
    pub forecast: &'a Forecast,
    /// What was learned, when something was seen.
    pub update: Option<&'a Update>,
}

/// What the report is made from, as values of its own.
struct Told {
    floors: Vec<Floor>,
    day: Day,
}

struct Floor {
    job: String,
    forecast: Forecast,
    learned: Option<Learned>,
}

struct Learned {
    before: Estimate<f64>,
    after: Estimate<f64>,
    effective: f64,
    misfit: f64,
    moved: Option<TimeSpan>,
}

/// The clock of a day as a report: every number in SI units with its unit, every field always there.
///
/// A number that is none (NaN, infinite) is null. The same floors, day and notes give the same text.
#[must_use]
pub fn clock_json(floors: &[ClockFloor<'_>], day: &Day, notes: &[Note]) -> Value {
    let Some(first) = floors.first() else { return Value::Null };
    let floor = |floor: &ClockFloor<'_>| Floor {
        job: floor.job.name.clone(),
        forecast: floor.forecast.clone(),
        learned: floor.update.map(|update| Learned {
            before: update.before,
            after: update.learned.set_factor,
            effective: update.learned.effective_draws,
            misfit: update.learned.misfit,
            moved: update.moved,
        }),
    };
    let told = Told { floors: floors.iter().map(floor).collect(), day: day.clone() };
    report().value(&told, &Context { job: first.job, notes })
}

/// The JSON Schema of the clock's report (draft 2020-12).
#[must_use]
pub fn clock_schema() -> Value {
    titled(report().schema(), "Flatwright clock report, layout 1")
}

fn report() -> Part<Told> {
    Part::<Told>::new("The finishing clock of one floor, or of the two of a day.")
        .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
        .any("notes", "All notes.", list(&note().schema()), |_, c| {
            c.notes.iter().map(|n| note().value(n, c)).collect()
        })
        .list("floors", "The floors in the order of the jobs.", floor(), |t| &t.floors)
        .part("day", "The finishing of the day.", rounds::day(), |t| &t.day)
}

fn floor() -> Part<Floor> {
    Part::<Floor>::new("One floor.")
        .text("job", "Name of the job.", |f| f.job.clone())
        .part("forecast", "When everything happens.", forecast(), |f| &f.forecast)
        .maybe_part("learned", "What was learned; null when nothing was seen.", learned(), |f| {
            f.learned.as_ref()
        })
}

fn learned() -> Part<Learned> {
    Part::<Learned>::new("What was learned from what was seen.")
        .estimate("before", "Set factor before.", |l| l.before)
        .estimate("after", "Set factor after.", |l| l.after)
        .quantity("effective_draws", "How many draws of equal weight are left.", |l| l.effective)
        .quantity("misfit", "Misfit for each degree of freedom; about 1 or less when all agrees.", |l| {
            l.misfit
        })
        .maybe("moved", "How much later the next round of the last bay is ready; negative is sooner.", |l| {
            l.moved
        })
}

fn instant(at: Option<Timestamp>) -> Value {
    at.map_or(Value::Null, |at| at.to_string().into())
}

/// An instant in UTC by RFC 3339.
pub(super) fn utc() -> Value {
    json!({ "type": "string", "format": "date-time" })
}

/// A forecast; its times count from `first_truck`.
pub(super) fn forecast() -> Part<Forecast> {
    Part::<Forecast>::new(
        "When everything happens on one floor. Times count from the instant of the first truck.",
    )
    .any("first_truck", "That instant, UTC.", utc(), |f, _| instant(Some(f.first_truck)))
    .text("zone", "Zone of the site.", |f| f.zone.iana_name().unwrap_or("UTC").to_owned())
    .text("finish", "The finish.", |f| finish(f.finish))
    .any("sunrise", "On that day, UTC; null in polar day or night.", or_null(&utc()), |f, _| {
        instant(f.daylight.and_then(|day| day.rise))
    })
    .any("sunset", "On that day, UTC; null in polar day or night.", or_null(&utc()), |f, _| {
        instant(f.daylight.and_then(|day| day.set))
    })
    .quantity("fresh", "Temperature of the fresh concrete.", |f| f.fresh.mean)
    .quantity("fresh_sd", "Its spread.", |f| f.fresh.sd)
    .estimate("set_factor", "Set factor gone by.", |f| f.set_factor)
    .maybe("now", "The instant asked about, on a day under way.", |f| f.now)
    .count("draws", "How many draws the bands rest on.", Forecast::count)
    .list("assumed", "What was taken because the job does not state it.", assumed(), |f| &f.assumed)
    .list("weather", "The weather as told, by the hour.", hour(), |f| &f.weather)
    .list("bays", "Bays in order of placing.", bay(), |f| &f.bays)
}

fn finish(finish: Finish) -> String {
    match finish {
        Finish::Broom => "broom".to_owned(),
        Finish::Float => "float".to_owned(),
        Finish::Trowel { rounds } => format!("trowel {rounds}"),
        Finish::HardTrowel { rounds } => format!("hard trowel {rounds}"),
    }
}

fn hour() -> Part<(Timestamp, Record)> {
    Part::<(Timestamp, Record)>::new("The weather at an instant.")
        .any("at", "The instant, UTC.", utc(), |h, _| instant(Some(h.0)))
        .quantity("air", "Air in the shade.", |h| h.1.air)
        .quantity("vapour", "Pressure of the water vapour.", |h| h.1.vapour)
        .quantity("wind", "Wind at 10 m.", |h| h.1.wind)
        .quantity("cloud", "Share of the sky under cloud.", |h| h.1.cloud.in_ratio())
        .any(
            "rain",
            "Rain over the hour before.",
            refer("rain"),
            |h, _| json!({ "value": units::number(h.1.rain), "unit": "mm/h" }),
        )
}

fn bay() -> Part<BayForecast> {
    Part::<BayForecast>::new("One bay's day.")
        .count("number", "Its number.", |b| b.number)
        .part("from", "When its first concrete is placed.", order::band(), |b| &b.from)
        .part("until", "When it is struck off to its end.", order::band(), |b| &b.until)
        .list("rounds", "Rounds of its finish; on a day under way, those that are left.", round(), |b| {
            &b.rounds
        })
        .any(
            "dragged",
            "Chance that water has to be dragged off before each round.",
            list(&refer("ratio")),
            |b, _| b.dragged.iter().map(|share| units::quantity(share.in_ratio())).collect(),
        )
        .list("events", "All events: windows and milestones.", event(), |b| &b.events)
}

fn round() -> Part<RoundBand> {
    Part::<RoundBand>::new("A round over all draws.")
        .text("round", "Which round.", |r| RoundName(r.round).to_string())
        .part("opens", "When its window opens.", event(), |r| &r.opens)
        .part("closes", "When its window closes.", event(), |r| &r.closes)
        .quantity("lost", "Chance that the round is lost.", |r| r.lost.in_ratio())
}

fn event() -> Part<EventBand> {
    Part::<EventBand>::new(
        "An event over all draws; a time is null that is not reached within the weather given.",
    )
    .text("event", "Which event.", |e| event_name(e.event))
    .maybe("low", "One draw in ten has it before this.", |e| e.low)
    .maybe("middle", "Half have it before this.", |e| e.middle)
    .maybe("high", "Nine in ten have it before this.", |e| e.high)
    .quantity("absent", "Chance that it does not come in the time that was followed.", |e| {
        e.absent.in_ratio()
    })
}

fn event_name(event: Event) -> String {
    let of = |round: Round| RoundName(round).to_string();
    match event {
        Event::Opens(round) => format!("{} opens", of(round)),
        Event::Closes(round) => format!("{} closes", of(round)),
        Event::At(milestone) => milestone_name(milestone).to_owned(),
    }
}

const fn milestone_name(milestone: Milestone) -> &'static str {
    match milestone {
        Milestone::SheenGone => "sheen gone",
        Milestone::InitialSet => "initial set",
        Milestone::FinalSet => "final set",
        Milestone::LastUseful => "last useful round",
        Milestone::EarlyEntryFrom => "early entry from",
        Milestone::SawFrom => "saw from",
        Milestone::SawBefore => "saw before",
        Milestone::FreezeSafe => "freeze safe",
        Milestone::FootTraffic => "foot traffic",
        Milestone::FormsOff => "forms off",
        Milestone::Vehicles => "vehicles",
    }
}
