//! `joints`: where to saw, how deep and in which order.

use basis::quantity::{area, length, thickness};
use basis::{Length, Note, Place, Severity, has_fault};
use pour::Job;
use pour::joints::{JointPlan, Saw};

use super::{load, notes_text};
use crate::args::JointArgs;
use crate::error::Failure;
use crate::page::{Align, Table, heading, paragraph};
use crate::show;

/// Lays out and prints the joints.
pub fn run(args: &JointArgs) -> Result<String, Failure> {
    let mut loaded = load(&args.job)?;
    let mut notes = loaded.notes.clone();
    let wanted = &mut loaded.job.joints;
    wanted.stone = size(args.stone.as_deref(), "--stone", &mut notes).or(wanted.stone);
    wanted.slump = size(args.slump.as_deref(), "--slump", &mut notes).or(wanted.slump);
    let plan = pour::plan::plan(&loaded.job, 1).unload(&mut notes);
    match plan {
        Some(plan) if !has_fault(&notes) => Ok(page(&loaded.job, &plan.joints) + &show::notes(&notes)),
        _ => Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark))),
    }
}

fn size(said: Option<&str>, option: &str, notes: &mut Vec<Note>) -> Option<Length> {
    match said?.parse::<Length>() {
        Ok(length) => Some(length),
        Err(e) => {
            let told = format!("{option}: {}", e.message);
            notes.push(Note::fault("option-unclear", Place::at(option), told, e.hint));
            None
        }
    }
}

fn page(job: &Job, plan: &JointPlan) -> String {
    let told = |l: Length| length(l, job.units);
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &heading("Joints");
    let apart = if plan.apart == plan.spacing.most {
        format!("At most {} apart: {}.", told(plan.apart), plan.spacing.why)
    } else {
        let (most, why) = (told(plan.spacing.most), &plan.spacing.why);
        format!("At most {} apart as wanted; allowed are {most}: {why}.", told(plan.apart))
    };
    let saw = match (plan.saw, job.joints.saw) {
        (Saw::EarlyEntry, _) => "an early-entry saw",
        (Saw::Conventional, Some(_)) => "a wet saw",
        (Saw::Conventional, None) => "a wet saw (assumed)",
    };
    text += &paragraph(&format!(
        "{apart} Cut {} deep with {saw}, {} in all; no layout of lines right across saws under {}.",
        thickness(plan.cut, job.units),
        told(plan.sawn),
        told(plan.least),
    ));
    let mut cuts = Table::new(&[
        ("cut", Align::Right),
        ("long", Align::Right),
        ("tape", Align::Left),
        ("after bay", Align::Right),
        ("", Align::Left),
    ]);
    for (i, joint) in plan.joints.iter().enumerate() {
        let tape = joint.tape.as_ref().map_or(String::new(), |(l, edge)| format!("{} from {edge}", told(*l)));
        let forced = joint.forced.as_ref().map_or(String::new(), |name| format!("must be: {name}"));
        cuts.row([(i + 1).to_string(), told(joint.length()), tape, joint.after.to_string(), forced]);
    }
    text += &cuts.print();
    text + &panels(job, plan) + &beside(job, plan)
}

fn panels(job: &Job, plan: &JointPlan) -> String {
    let mut text = heading("Panels");
    let mut table = Table::new(&[
        ("panel", Align::Right),
        ("size", Align::Left),
        ("area", Align::Right),
        ("long/wide", Align::Right),
        ("rules", Align::Left),
    ]);
    for (i, panel) in plan.panels.iter().enumerate() {
        let [a, b] = panel.size.map(|l| length(l, job.units));
        let rules = if panel.breaks.is_empty() { "meets all".to_owned() } else { panel.breaks.join("; ") };
        let shape = format!("{:.2}", panel.aspect());
        table.row([(i + 1).to_string(), format!("{a} x {b}"), area(panel.area, job.units), shape, rules]);
    }
    text += &table.print();
    text
}

fn beside(job: &Job, plan: &JointPlan) -> String {
    let told = |l: Length| length(l, job.units);
    let mut text = heading("Beside the joints");
    for strip in &plan.strips {
        text += &paragraph(&format!("Isolation strip, full depth: {}, {}.", strip.name, told(strip.length)));
    }
    for corner in &plan.corners {
        text += &paragraph(&format!(
            "No joint meets inner corner {}: two #4 bars of 4 ft across it.",
            corner.name
        ));
    }
    if let Some(dowels) = &plan.dowels {
        text += &paragraph(&format!(
            "Dowels to the existing slab, unless it is isolated: {} of {} by {}, {} apart.",
            dowels.places.len(),
            thickness(dowels.bar.diameter, job.units),
            told(dowels.bar.length),
            told(dowels.bar.spacing)
        ));
    }
    for place in &plan.kept_off {
        text += &paragraph(&format!("No joint through {}, as the job says.", place.name));
    }
    text + &paragraph(
        "Cut a trial: start when the cut hardly ravels. Sawing dust holds silica: water or vacuum, and what the rules ask. \
         Joints do not stop every crack. Local codes and licensed design govern.",
    )
}
