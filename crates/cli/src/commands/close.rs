//! `close`: the finished floor against what was planned.

use std::path::Path;

use basis::{Note, Severity};
use formats::{ParsedAsBuilt, read_as_built};

use super::{Loaded, load, notes_text, read, write_drawings};
use crate::args::CloseArgs;
use crate::error::Failure;
use crate::show;

/// Figures and prints the floor as built.
pub fn run(args: &CloseArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let parsed = asbuilt(&args.asbuilt, &loaded)?;
    let refused = |notes: &[Note]| Failure::faults(notes_text(notes, &parsed.source, Severity::Remark));
    let Some(survey) = &parsed.report.value else { return Err(refused(&parsed.report.notes)) };
    let planned = pour::plan::plan(&loaded.job, args.seed);
    let Some(plan) = planned.value else {
        let notes: Vec<Note> = loaded.notes.into_iter().chain(planned.notes).collect();
        return Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark)));
    };
    let report = pour::asbuilt::as_built(&loaded.job, &plan, survey);
    let mut notes = parsed.report.notes.clone();
    notes.extend(report.notes);
    let Some(built) = report.value else { return Err(refused(&notes)) };
    if let Some(folder) = &args.out {
        write_drawings(folder, &papers::as_built_sheets(&loaded.job, &plan, &built))?;
    }
    if args.json {
        return Ok(format!("{:#}\n", formats::as_built_json(&loaded.job, &built, &notes)));
    }
    Ok(show::close::page(&loaded.job, &plan, &built) + &show::notes(&notes))
}

/// Reads the file of the finished floor and those that it names beside it.
fn asbuilt(path: &Path, loaded: &Loaded) -> Result<ParsedAsBuilt, Failure> {
    let bytes = read(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let fetch = |name: &str| {
        let beside = folder.join(name);
        std::fs::read(&beside).map_err(|why| format!("{}: {why}", beside.display()))
    };
    Ok(read_as_built(&bytes, &path.display().to_string(), &loaded.job, &fetch))
}
