//! `takeoff`: what is bought for the floor and how it is cut.

use basis::{Severity, has_fault};
use pour::takeoff::{TakeOffInput, takeoff};

use super::{load, notes_text, write_drawings, write_file};
use crate::args::TakeoffArgs;
use crate::error::Failure;
use crate::show;

/// Takes the floor off; prints the page or a report, and writes drawings and lists.
pub fn run(args: &TakeoffArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let mut notes = loaded.notes.clone();
    let floor = pour::plan::plan(&loaded.job, args.seed).unload(&mut notes);
    let taken = floor.and_then(|plan| {
        let input = TakeOffInput { job: &loaded.job, plan: &plan };
        let first = notes.len();
        let taken = takeoff(&input).unload(&mut notes)?;
        Some((plan, taken, first))
    });
    let Some((plan, taken, first)) = taken.filter(|_| !has_fault(&notes)) else {
        return Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark)));
    };
    if let Some(folder) = &args.out {
        write_drawings(folder, &papers::takeoff_sheets(&loaded.job, &plan, &taken))?;
        write_file(folder, "take-off.csv", formats::takeoff_csv(&loaded.job, &taken).as_bytes())?;
        write_file(folder, "cuts.csv", formats::cuts_csv(&loaded.job, &taken).as_bytes())?;
    }
    if args.json {
        return Ok(format!("{:#}\n", formats::takeoff_json(&loaded.job, &taken, &notes)));
    }
    // Notes of the plan stand on the plan's own page.
    Ok(show::takeoff::page(&loaded.job, &taken) + &show::notes(&notes[first..]))
}
