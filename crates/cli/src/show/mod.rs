//! The plan and the last-load call as pages of text, in the job's units.

pub mod clock;
pub mod close;
pub mod learn;
mod order;
mod placing;
mod prep;
pub mod price;
pub mod seen;
pub mod sweep;
pub mod takeoff;
mod words;

use basis::quantity::{angle, area, length, thickness};
use basis::{Length, Note, Severity};
use pour::Job;
use pour::plan::Plan;

pub use order::balance;
pub use words::count;

use crate::page::{Align, Table, heading, paragraph};

/// The whole plan.
pub fn plan(job: &Job, plan: &Plan) -> String {
    [
        title(job, plan),
        survey(job, plan),
        order::need(job, plan),
        order::order(job, plan),
        placing::bays(job, plan),
        placing::loads(job, plan),
        placing::trucks(job, plan),
        placing::pads(job, plan),
        joints(job, plan),
        placing::reach(job, plan),
        plan.forecast.as_ref().map_or_else(String::new, |forecast| clock::in_short(job, forecast)),
        prep::sheet(job, plan),
        prep::worth_doing(job, plan),
        assumed(job),
        cautions(),
    ]
    .concat()
}

fn joints(job: &Job, plan: &Plan) -> String {
    let joints = &plan.joints;
    let over = joints.panels.iter().filter(|panel| !panel.breaks.is_empty()).count();
    let judged = if over == 0 { String::new() } else { format!(", {over} of them over a limit") };
    heading("Joints")
        + &paragraph(&format!(
            "{} in all, {} deep, at most {} apart: {}{judged}. `flatwright joints` lists the cuts.",
            length(joints.sawn, job.units),
            thickness(joints.cut, job.units),
            length(joints.apart, job.units),
            count(joints.panels.len(), "panel"),
        ))
}

fn title(job: &Job, plan: &Plan) -> String {
    let set = plan.levelled.setups.get(plan.datum).map_or("", |s| s.name.as_str());
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &paragraph(&format!(
        "Floor {}, {} thick ({} at least), {}, {}. Readings are for the laser at set-up {set}.",
        area(basis::Area::square_metres(plan.floor.area), job.units),
        thickness(job.slab.nominal, job.units),
        thickness(job.slab.minimum, job.units),
        count(plan.bays.bays.len(), "bay"),
        count(plan.pads.pads.len(), "pad"),
    ));
    text
}

/// How far something is off: `1/8" high`, or nothing that the job's units can tell.
fn off(by: Length, job: &Job) -> Option<String> {
    let much = thickness(by.abs(), job.units);
    let word = if by > Length::ZERO { "high" } else { "low" };
    (much != thickness(Length::ZERO, job.units)).then(|| format!("{much} {word}"))
}

fn survey(job: &Job, plan: &Plan) -> String {
    let mut text = heading("Measured");
    for setup in &plan.levelled.setups {
        let closed = match setup.misclosure {
            None => "not closed".to_owned(),
            Some(by) => {
                format!("closes {}", off(by, job).unwrap_or_else(|| "within what can be read".into()))
            }
        };
        text += &paragraph(&format!(
            "Set-up {}: laser plane at {}, {closed}.",
            setup.name,
            length(setup.instrument, job.units)
        ));
    }
    text + &walk(job, plan) + &forms(job, plan)
}

fn walk(job: &Job, plan: &Plan) -> String {
    let Some(walk) = &plan.walk else { return String::new() };
    let told = |o: &&(String, basis::Angle)| o.1.in_degrees().abs() > 0.05;
    let square = walk.out_of_square.iter().filter(told).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let square = square.map_or(String::new(), |(corner, by)| {
        format!(" Farthest from square is corner {corner}, by {}.", angle(by.abs()))
    });
    paragraph(&format!("The walk round the floor closes within {}.{square}", thickness(walk.gap, job.units)))
}

fn forms(job: &Job, plan: &Plan) -> String {
    let forms = &plan.ground.forms;
    let Some(worst) = forms.iter().max_by(|a, b| a.deviation.abs().total_cmp(&b.deviation.abs())) else {
        return String::new();
    };
    let worst = off(worst.deviation, job)
        .map_or("all stand as drawn".to_owned(), |by| format!("the farthest off is {}, {by}", worst.name));
    paragraph(&format!("{} shot; {worst}. The floor follows the forms.", count(forms.len(), "form top")))
}

fn assumed(job: &Job) -> String {
    if job.assumed.is_empty() {
        return String::new();
    }
    let mut table =
        Table::new(&[("assumed", Align::Left), ("", Align::Right), ("in the job file", Align::Left)]);
    for a in &job.assumed {
        table.row([a.what.clone(), a.value.clone(), a.place.path().to_owned()]);
    }
    heading("Assumed, until you state it") + &table.print()
}

fn cautions() -> String {
    heading("Take care")
        + &paragraph(
            "Wet concrete burns skin: waterproof gloves and boots, rinse at once. One spotter for backing trucks; \
             keep out from under chutes and between truck and form. Chutes, booms and float handles stay 10 ft \
             (3 m) or more from overhead lines. Have buried lines marked before any stake. Cap rebar and stakes.",
        )
        + &paragraph(
            "Structure, soil, frost and drainage are for local codes and licensed practice to decide.",
        )
}

/// Warnings and remarks under the page; what several have in common to do stands once, under the last of them.
pub fn notes(notes: &[Note]) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let mut text = heading("Notes");
    for least in [Severity::Warning, Severity::Remark] {
        let kind: Vec<&Note> = notes.iter().filter(|n| n.severity == least).collect();
        for (i, note) in kind.iter().enumerate() {
            let again = kind.get(i + 1).is_some_and(|next| next.code == note.code && next.hint == note.hint);
            let hint =
                if note.hint.is_empty() || again { String::new() } else { format!(" ({})", note.hint) };
            text += &paragraph(&format!("{}: {}{hint}", note.severity, note.message));
        }
    }
    text
}
