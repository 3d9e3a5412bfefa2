//! `sweep`: every hour of a weather file as the start of the pour.

use std::path::Path;

use basis::{Note, Place, Severity, has_fault};
use jiff::civil::Date;
use jiff::tz::{TimeZone, TimeZoneDatabase};
use pour::Job;
use pour::job::Weather;
use pour::plan::{plan, swept};
use pour::sweep::{Asked, StartHours};

use super::{instant, load, notes_text, read};
use crate::args::SweepArgs;
use crate::error::Failure;
use crate::show;

/// Scores the starts and prints the best of each day.
pub fn run(args: &SweepArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let refused = |notes: &[Note]| Failure::faults(notes_text(notes, &loaded.source, Severity::Remark));
    let mut job = loaded.job.clone();
    let mut notes: Vec<Note> = Vec::new();
    match &args.weather {
        Some(file) => job.weather = Some(hours(file, &job, &mut notes)?),
        None => notes.extend(loaded.notes.iter().filter(|n| n.place.path().starts_with("weather")).cloned()),
    }
    let asked = asked(args, &mut notes);
    // The day of the job itself is not asked for: its floor is planned without weather.
    let planned = plan(&Job { weather: None, ..job.clone() }, args.seed);
    let Some(floor) = planned.value else {
        notes.extend(planned.notes);
        return Err(refused(&notes));
    };
    let sweep = swept(&job, &floor, &asked, args.seed).unload(&mut notes);
    match sweep {
        Some(sweep) if !has_fault(&notes) && args.json => {
            Ok(format!("{:#}\n", formats::sweep_json(&job, &sweep, &notes)))
        }
        Some(sweep) if !has_fault(&notes) => Ok(show::sweep::page(&job, &sweep) + &show::notes(&notes)),
        _ => Err(refused(&notes)),
    }
}

/// The weather file of the command line.
fn hours(path: &Path, job: &Job, notes: &mut Vec<Note>) -> Result<Weather, Failure> {
    let zone = TimeZoneDatabase::bundled().get(&job.zone).unwrap_or(TimeZone::UTC);
    let file = path.display().to_string();
    let parsed = formats::read_weather(&read(path)?, &file, &zone);
    match parsed.report.value {
        Some(read) => {
            notes.extend(parsed.report.notes);
            Ok(Weather::Hourly { file, series: read.series })
        }
        None => Err(Failure::faults(notes_text(&parsed.report.notes, &parsed.source, Severity::Remark))),
    }
}

fn asked(args: &SweepArgs, notes: &mut Vec<Note>) -> Asked {
    let mut date = |said: Option<&str>, option: &str| -> Option<Date> {
        let read = said?.parse();
        if read.is_err() {
            let message = format!("{option} {}: no date", said?);
            notes.push(Note::fault(
                "option-unclear",
                Place::at(option),
                message,
                "write it as in 2026-06-12",
            ));
        }
        read.ok()
    };
    let from = date(args.from.as_deref(), "--from");
    let until = date(args.until.as_deref(), "--until");
    let hours = match &args.start_hours {
        None => StartHours::CUSTOMARY,
        Some(said) => start_hours(said).unwrap_or_else(|| {
            let message = format!("--start-hours {said}: no two times of day");
            let hint = "write them as in \"6:00 - 14:30\" or \"6 am - 2:30 pm\"";
            notes.push(Note::fault("option-unclear", Place::at("--start-hours"), message, hint));
            StartHours::CUSTOMARY
        }),
    };
    Asked { from, until, hours }
}

/// `6:00 - 14:30`, `6 am to 2:30 pm`.
fn start_hours(said: &str) -> Option<StartHours> {
    let (from, until) = said.split_once('-').or_else(|| said.split_once(" to "))?;
    Some(StartHours { from: instant::clock(from)?, until: instant::clock(until)? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn start_hours_are_read_as_people_write_them() {
        let told = |said| start_hours(said).map(|hours| (hours.from.to_string(), hours.until.to_string()));
        let hours = |from: &str, until: &str| Some((from.to_owned(), until.to_owned()));
        assert_eq!(told("6:00 - 14:30"), hours("06:00:00", "14:30:00"));
        assert_eq!(told("6 am to 2:30 pm"), hours("06:00:00", "14:30:00"));
        assert_eq!(told("20:00-2:00"), hours("20:00:00", "02:00:00"));
        for said in ["", "6:00", "6-14", "25:00 - 26:00", "dawn - dusk"] {
            assert_eq!(told(said), None, "{said}");
        }
    }
}
