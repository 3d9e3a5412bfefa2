//! `plan`: the whole pour on one page, or as a JSON report.

use std::path::Path;

use basis::Severity;

use super::{load, notes_text};
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
        write_drawings(folder, &papers::sheets(&loaded.job, &plan))?;
    }
    if args.json {
        return Ok(format!("{:#}\n", formats::plan_json(&loaded.job, &plan, &notes)));
    }
    let mut text = show::plan(&loaded.job, &plan);
    text.push_str(&show::notes(&notes));
    Ok(text)
}

/// Writes the drawings into a folder, which is made if it is not there.
fn write_drawings(folder: &Path, sheets: &[(&'static str, String)]) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|why| Failure::file(folder, "make", &why))?;
    for (name, drawing) in sheets {
        let path = folder.join(name);
        std::fs::write(&path, drawing).map_err(|why| Failure::file(&path, "write", &why))?;
    }
    Ok(())
}
