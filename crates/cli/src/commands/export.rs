//! `export`: the floor for other programs.

use basis::Severity;
use jiff::Timestamp;

use super::{load, notes_text, write_file};
use crate::args::ExportArgs;
use crate::error::Failure;
use crate::show;

/// Figures the plan and writes the floor as a drawing, a survey, a table of shots and a job file.
pub fn run(args: &ExportArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let report = pour::plan::plan(&loaded.job, args.seed);
    let Some(plan) = report.value else {
        let notes: Vec<_> = loaded.notes.into_iter().chain(report.notes).collect();
        return Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark)));
    };
    let job = &loaded.job;
    std::fs::create_dir_all(&args.out).map_err(|why| Failure::file(&args.out, "make", &why))?;
    let drawing = formats::carried::floor_dxf(job, &plan);
    let survey = formats::carried::floor_land_xml(job, &plan, changed(&args.job)?);
    let table = formats::carried::shots_csv(job);
    write_file(&args.out, "floor.dxf", drawing.as_bytes())?;
    write_file(&args.out, "floor.xml", survey.as_bytes())?;
    write_file(&args.out, "shots.csv", table.as_bytes())?;
    let shots = show::count(plan.levelled.shots.len(), "shot");
    Ok(format!(
        "floor.dxf: outline, openings, {}, {}, {}, {shots}\nfloor.xml: {shots}, {}, 2 surfaces\nshots.csv: {shots}\n",
        show::count(plan.bays.bays.len(), "bay"),
        show::count(plan.joints.joints.len(), "joint"),
        show::count(plan.pads.pads.len(), "pad"),
        show::count(plan.pads.pads.len(), "pad"),
    ))
}

/// When the job file was last changed, to the second: the same job file gives the same survey.
fn changed(job: &std::path::Path) -> Result<Timestamp, Failure> {
    let fault = |why| Failure::file(job, "read", &why);
    let at = std::fs::metadata(job).and_then(|about| about.modified()).map_err(fault)?;
    let since = at.duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
    Ok(Timestamp::from_second(i64::try_from(since.as_secs()).unwrap_or(0)).unwrap_or(Timestamp::UNIX_EPOCH))
}
