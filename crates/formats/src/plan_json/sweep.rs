//! The sweep in a report of its own: every start, what speaks against it, the best.

use basis::Note;
use jiff::Timestamp;
use pour::Job;
use pour::sweep::{Against, Start, Sweep, Unscored, Why, best};
use serde_json::{Value, json};

use super::clock::utc;
use super::part::{Context, Part};
use super::units::{self, list, or_null, refer};
use super::{LAYOUT, note, titled};

/// A sweep as a report: every number in SI units with its unit, every field always there.
///
/// A number that is none (NaN, infinite) is null. The same job, sweep and notes give the same text.
#[must_use]
pub fn sweep_json(job: &Job, sweep: &Sweep, notes: &[Note]) -> Value {
    report().value(sweep, &Context { job, notes })
}

/// The JSON Schema of the sweep's report (draft 2020-12).
#[must_use]
pub fn sweep_schema() -> Value {
    titled(report().schema(), "Flatwright sweep report, layout 1")
}

fn report() -> Part<Sweep> {
    Part::<Sweep>::new("Every hour of a weather file tried as the first truck. Instants are UTC.")
        .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
        .any("job", "Name of the job.", json!({ "type": "string" }), |_, c| c.job.name.clone().into())
        .any("notes", "All notes.", list(&note().schema()), |_, c| {
            c.notes.iter().map(|n| note().value(n, c)).collect()
        })
        .text("zone", "Zone of the site.", |s| s.zone.iana_name().unwrap_or("UTC").to_owned())
        .text("start_hours_from", "Earliest first truck of the crew, local time.", |s| {
            s.hours.from.to_string()
        })
        .text("start_hours_until", "Latest first truck of the crew, local time.", |s| {
            s.hours.until.to_string()
        })
        .any("best", "The best start of all; null when there is none.", or_null(&utc()), |s, _| {
            instant(s.best().map(|start| start.at))
        })
        .any("best_of_days", "The best start of each local day, in time.", list(&utc()), |s, _| {
            s.days().filter_map(best).map(|start| instant(Some(start.at))).collect()
        })
        .list("starts", "The starts that were scored, in time.", start(), |s| &s.starts)
        .list("unscored", "The starts that were not, in time.", unscored(), |s| &s.unscored)
}

fn instant(at: Option<Timestamp>) -> Value {
    at.map_or(Value::Null, |at| at.to_string().into())
}

fn start() -> Part<Start> {
    let flag = || json!({ "type": "boolean" });
    Part::<Start>::new("One start and how it goes, on the likely course.")
        .any("at", "The first truck.", utc(), |s, _| instant(Some(s.at)))
        .any("in_hours", "Whether it lies in the crew's start hours.", flag(), |s, _| s.in_hours.into())
        .any("struck_off", "The last bay is struck off.", utc(), |s, _| instant(Some(s.struck_off)))
        .any("ends", "The last useful round of the last bay closes.", utc(), |s, _| instant(Some(s.ends)))
        .quantity("finishing", "Between the two.", |s| s.finishing)
        .quantity("dark", "How much of that the sun is down.", |s| s.dark)
        .quantity("fresh", "The concrete at the chute.", |s| s.fresh)
        .any(
            "evaporation",
            "Highest evaporation of a wet surface before final set.",
            refer("evaporation"),
            |s, _| json!({ "value": units::number(s.evaporation), "unit": "kg/m2/h" }),
        )
        .count("grave", "How many of the reasons can spoil the slab.", Start::grave)
        .any("against", "What speaks against it, in order of weight.", list(&words()), |s, _| {
            s.against.iter().map(|reason| Value::from(word(*reason))).collect()
        })
}

fn unscored() -> Part<Unscored> {
    Part::<Unscored>::new("A start that is not scored; nothing is guessed beyond the weather given.")
        .any("at", "The first truck.", utc(), |u, _| instant(Some(u.at)))
        .word("why", "Why.", &["hole", "weather-ends", "too-slow", "impossible"], |u| match u.why {
            Why::Hole => "hole",
            Why::WeatherEnds => "weather-ends",
            Why::TooSlow => "too-slow",
            Why::Impossible => "impossible",
        })
}

fn words() -> Value {
    json!({ "enum": Against::ALL.map(word) })
}

const fn word(reason: Against) -> &'static str {
    match reason {
        Against::FrozenBase => "frozen-base",
        Against::Frost => "frost",
        Against::Rain => "rain",
        Against::Shrinkage => "shrinkage",
        Against::Crusting => "crusting",
        Against::Drying => "drying",
        Against::BleedWater => "bleed-water",
        Against::Dark => "dark",
        Against::Cold => "cold",
        Against::Hot => "hot",
        Against::NotFollowed => "not-followed",
    }
}
