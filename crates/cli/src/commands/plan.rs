//! `plan`: the whole pour on one page, or as a JSON report.

use basis::Severity;
use pour::Job;
use pour::day::{Day, FloorOfDay};
use pour::plan::Plan;
use pour::rounds::Budget;

use super::{load, notes_text, write_drawings};
use crate::args::PlanArgs;
use crate::error::Failure;
use crate::show;

/// Figures and prints the plan.
pub fn run(args: &PlanArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let report = pour::plan::plan(&loaded.job, args.seed);
    let mut notes = loaded.notes;
    notes.extend(report.notes);
    let Some(plan) = report.value else {
        return Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark)));
    };
    if let Some(folder) = &args.out {
        let day = day_of(&loaded.job, &plan, args.seed);
        write_drawings(folder, &papers::sheets(&loaded.job, &plan, day.as_ref()))?;
    }
    if args.json {
        return Ok(format!("{:#}\n", formats::plan_json(&loaded.job, &plan, &notes)));
    }
    let mut text = show::plan(&loaded.job, &plan);
    text.push_str(&show::notes(&notes));
    Ok(text)
}

/// The finishing of the day, for its day line; nothing without weather.
fn day_of(job: &Job, plan: &Plan, seed: u64) -> Option<Day> {
    plan.forecast.as_ref()?;
    pour::day::day(&[FloorOfDay { job, plan }], seed, Budget::default()).value
}
