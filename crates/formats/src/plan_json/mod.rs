//! The whole plan as one JSON report for other programs, and its schema.
//!
//! Value and schema of each field stand together in a [`part::Part`], so that neither can hold what the
//! other does not. Every field is always there; what is not known is null.

mod as_built;
mod clock;
mod joints;
mod measured;
mod order;
mod part;
mod placing;
mod price;
mod reach;
mod rounds;
mod stone;
mod sweep;
mod takeoff;
mod units;

use basis::{Note, Severity};
use pour::Job;
use pour::job::Assumed;
use pour::plan::Plan;
use serde_json::{Value, json};

pub use as_built::{as_built_json, as_built_schema};
pub use clock::{ClockFloor, clock_json, clock_schema};
use part::{Context, Part};
pub use price::{price_json, price_schema};
pub use sweep::{sweep_json, sweep_schema};
pub use takeoff::{takeoff_json, takeoff_schema};
use units::list;

/// The layout of the report; it changes when a field goes or changes its meaning.
const LAYOUT: u32 = 1;

/// The plan as a report: every number in SI units with its unit, every field always there.
///
/// A number that is none (NaN, infinite) is null. The same job, plan and notes give the same text.
#[must_use]
pub fn plan_json(job: &Job, plan: &Plan, notes: &[Note]) -> Value {
    report().value(plan, &Context { job, notes })
}

/// The JSON Schema of the report (draft 2020-12).
#[must_use]
pub fn plan_schema() -> Value {
    titled(report().schema(), "Flatwright plan report, layout 1")
}

/// A report's schema with its title and all definitions.
fn titled(mut schema: Value, title: &str) -> Value {
    if let Value::Object(fields) = &mut schema {
        fields.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
        fields.insert("title".to_owned(), json!(title));
        fields.insert("$defs".to_owned(), units::definitions());
    }
    schema
}

fn report() -> Part<Plan> {
    let words = || json!({ "type": "string" });
    Part::<Plan>::new(
        "Everything figured for one pour. Places are metres in the job's plan, x right and y up.",
    )
    .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
    .any("job", "Name of the job.", words(), |_, c| c.job.name.clone().into())
    .any("point_unit", "Unit of every x and y that is a place.", json!({ "const": "m" }), |_, _| "m".into())
    .any("assumed", "What the job does not say.", list(&assumed().schema()), |_, c| {
        c.job.assumed.iter().map(|a| assumed().value(a, c)).collect()
    })
    .any("notes", "All notes.", list(&note().schema()), |_, c| {
        c.notes.iter().map(|n| note().value(n, c)).collect()
    })
    .part("floor", "The floor.", measured::floor(), |p| &p.floor)
    .maybe_part("walk", "The walk; null when the corners were given.", measured::walk(), |p| p.walk.as_ref())
    .list("setups", "Set-ups in the order made.", measured::setup(), |p| &p.levelled.setups)
    .list("shots", "Shots in the order taken.", measured::shot(), |p| &p.levelled.shots)
    .count("datum", "Index of the set-up that readings are for, from 0.", |p| p.datum)
    .part("ground", "Finish, base, volume and doubt.", measured::ground(), |p| &p.ground)
    .part("bays", "Bays.", placing::bays(), |p| &p.bays)
    .part("pads", "Pads.", placing::pads(), |p| &p.pads)
    .part("joints", "Joints.", joints::joints(), |p| &p.joints)
    .part("order", "What to order.", order::order(), |p| &p.order)
    .part("loads", "Where each load ends.", order::loads(), |p| &p.loads)
    .part("trucks", "Trucks.", order::trucks(), |p| &p.trucks)
    .maybe_part("reach", "Reach; null when no stand is given.", reach::reach(), |p| p.reach.as_ref())
    .part("prep", "Prep sheet.", placing::prep(), |p| &p.prep)
    .part("stone", "Working the base over.", stone::stone(), |p| &p.stone)
    .maybe_part(
        "forecast",
        "When each bay can be worked; null without weather.",
        clock::forecast(),
        |p| p.forecast.as_ref(),
    )
}

fn assumed() -> Part<Assumed> {
    Part::<Assumed>::new("A value taken by default.")
        .text("place", "Where it would stand in the job.", |a| a.place.path().to_owned())
        .text("what", "What it is.", |a| a.what.clone())
        .text("value", "The value as a person reads it.", |a| a.value.clone())
        .text("source", "Where it comes from.", |a| a.source.clone())
}

fn note() -> Part<Note> {
    Part::<Note>::new("A note.")
        .text("code", "Its stable short name.", |n| n.code.to_owned())
        .word("severity", "How much it matters.", &["remark", "warning", "fault"], |n| match n.severity {
            Severity::Remark => "remark",
            Severity::Warning => "warning",
            Severity::Fault => "fault",
        })
        .text("place", "Where in the job; empty is the job as a whole.", |n| n.place.path().to_owned())
        .text("message", "What is so.", |n| n.message.clone())
        .text("hint", "What to do; empty is nothing.", |n| n.hint.clone())
}

#[cfg(test)]
pub(crate) use tests::keeps_to;

#[cfg(test)]
mod tests;
