//! `clock`: when each bay can be finished, by whom, and what mends a day that cannot be.

use basis::{Note, Severity};
use formats::ClockFloor;
use papers::FloorsAsked;
use pour::day::{Day, FloorOfDay, day};
use pour::plan::Plan;
use pour::rounds::Budget;

use super::seen::updates;
use super::{Loaded, instant, load, notes_text, write_drawings};
use crate::args::ClockArgs;
use crate::error::Failure;
use crate::show;

/// Figures and prints the finishing clock of one job, or of the two of a day.
pub fn run(args: &ClockArgs) -> Result<String, Failure> {
    let loaded: Vec<Loaded> = args.jobs.iter().map(|job| load(job)).collect::<Result<_, _>>()?;
    let mut notes: Vec<Note> = Vec::new();
    let mut plans: Vec<Plan> = Vec::new();
    for floor in &loaded {
        let report = pour::plan::plan(&floor.job, args.seed);
        let told: Vec<Note> = floor.notes.iter().cloned().chain(report.notes).collect();
        let Some(plan) = report.value else {
            return Err(Failure::faults(notes_text(&told, &floor.source, Severity::Remark)));
        };
        notes.extend(told.into_iter().filter(is_of_the_clock));
        plans.push(plan);
    }
    let updates = updates(&mut plans, (&args.seen, args.now.as_deref()), &mut notes);
    let Some(updates) = updates else {
        let source = &loaded.first().ok_or_else(|| Failure::faults(String::new()))?.source;
        return Err(Failure::faults(notes_text(&notes, source, Severity::Fault)));
    };
    let floors: Vec<FloorOfDay<'_>> =
        loaded.iter().zip(&plans).map(|(floor, plan)| FloorOfDay { job: &floor.job, plan }).collect();
    let report = day(&floors, args.seed, Budget::default());
    let Some(day) = report.value else {
        let source = &loaded.first().ok_or_else(|| Failure::faults(String::new()))?.source;
        return Err(Failure::faults(notes_text(&report.notes, source, Severity::Remark)));
    };
    notes.extend(report.notes);
    if let Some(folder) = &args.out {
        write_drawings(folder, &drawings(&floors, &day, args.at.as_deref())?)?;
    }
    if args.json {
        let told: Vec<ClockFloor<'_>> = floors
            .iter()
            .enumerate()
            .filter_map(|(i, floor)| {
                let forecast = floor.plan.forecast.as_ref()?;
                Some(ClockFloor { job: floor.job, forecast, update: updates.get(i) })
            })
            .collect();
        return Ok(format!("{:#}\n", formats::clock_json(&told, &day, &notes)));
    }
    let mut text = String::new();
    for (floor, update) in floors.iter().zip(&updates) {
        text += &show::seen::learned(floor.job, update);
    }
    for floor in &floors {
        if let Some(forecast) = &floor.plan.forecast {
            text += &show::clock::floor(floor.job, forecast);
            text += &show::clock::assumed(&forecast.assumed);
        }
    }
    if let Some((floor, forecast)) =
        floors.first().and_then(|floor| Some((floor, floor.plan.forecast.as_ref()?)))
    {
        text += &show::clock::day(&forecast.zone, floor.job.units, &day);
    }
    if let Some(forecast) = floors.first().and_then(|floor| floor.plan.forecast.as_ref()) {
        text += &show::clock::cautions(forecast);
    }
    Ok(text + &show::notes(&notes))
}

/// The day line, and each floor at the instant asked for or at its telling ones.
fn drawings(
    floors: &[FloorOfDay<'_>],
    day: &Day,
    at: Option<&str>,
) -> Result<Vec<(String, String)>, Failure> {
    let mut drawn = papers::day_line(floors, day, "");
    for (index, floor) in floors.iter().enumerate() {
        let asked = if floors.len() > 1 { FloorsAsked::Numbered(index + 1) } else { FloorsAsked::Only };
        let Some(at) = at else {
            drawn.extend(papers::telling_floors(floor.job, floor.plan, asked));
            continue;
        };
        let Some(forecast) = &floor.plan.forecast else { continue };
        let at = instant::read(at, &forecast.zone, forecast.first_truck).map_err(Failure::faults)?;
        drawn.extend(papers::floor_at(floor.job, floor.plan, asked, at));
    }
    Ok(drawn)
}

/// Notes of the plan that have nothing to do with finishing stand on the plan's own page.
fn is_of_the_clock(note: &Note) -> bool {
    let place = note.place.path();
    ["weather", "mix", "site", "finishing", "machine", "day", "column"]
        .iter()
        .any(|part| place.starts_with(part))
}
