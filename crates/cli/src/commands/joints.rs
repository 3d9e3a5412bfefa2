//! `joints`: where to saw, how deep and in which order.

use basis::quantity::{area, length, thickness};
use basis::{Length, Note, Place, Severity, has_fault};
use pour::Job;
use pour::joints::{JointInput, JointPlan, Saw, joints};

use super::{load, notes_text};
use crate::args::JointArgs;
use crate::error::Failure;
use crate::page::{Align, Table, heading, paragraph};
use crate::show;

/// Lays out and prints the joints.
pub fn run(args: &JointArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let mut notes = loaded.notes.clone();
    let stone = size(args.stone.as_deref(), "--stone", &mut notes);
    let slump = size(args.slump.as_deref(), "--slump", &mut notes);
    let plan = pour::plan::plan(&loaded.job, 1).unload(&mut notes);
    let laid = plan.and_then(|plan| {
        let input = JointInput {
            floor: &plan.floor,
            outline: &plan.outline,
            depth: loaded.job.slab.nominal,
            stone,
            slump,
            saw: Saw::Conventional,
            bays: &plan.bays.bays,
            forced: &[],
            keep_off: &[],
            units: loaded.job.units,
        };
        joints(&input).unload(&mut notes)
    });
    match laid {
        Some(plan) if !has_fault(&notes) => Ok(page(&loaded.job, &plan) + &show::notes(&notes)),
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
    text += &paragraph(&format!(
        "At most {} apart: {}. Saw {} deep, {} in all; no layout of lines right across saws under {}.",
        told(plan.spacing.most),
        plan.spacing.why,
        thickness(plan.cut, job.units),
        told(plan.sawn),
        told(plan.least),
    ));
    let mut cuts = Table::new(&[
        ("cut", Align::Right),
        ("long", Align::Right),
        ("tape", Align::Left),
        ("after bay", Align::Right),
    ]);
    for (i, joint) in plan.joints.iter().enumerate() {
        let tape = joint.tape.as_ref().map_or(String::new(), |(l, edge)| format!("{} from {edge}", told(*l)));
        cuts.row([(i + 1).to_string(), told(joint.length()), tape, joint.after.to_string()]);
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
    if let Some((dowel, count)) = plan.dowels {
        text += &paragraph(&format!(
            "Dowels to the existing slab, unless it is isolated: {count} of {} by {}, {} apart.",
            thickness(dowel.diameter, job.units),
            told(dowel.length),
            told(dowel.spacing)
        ));
    }
    text + &paragraph(
        "Cut a trial: start when the cut hardly ravels. Sawing dust holds silica: water or vacuum, and what the rules ask. \
         Joints do not stop every crack. Local codes and licensed design govern.",
    )
}
