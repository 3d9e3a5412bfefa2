//! `papers`: what leaves the foreman's hands, written into a folder.

use std::path::Path;

use basis::{Note, Severity};
use formats::CalendarEvent;
use jiff::Timestamp;
use papers::{Appointment, Document, DocumentOptions, Language, Paper, Planned};
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::plan::Plan;
use pour::rounds::Budget;
use pour::wall::Wall;

use super::price::{ByBook, charged};
use super::{load, notes_text, write_file};
use crate::args::{Languages, PaperSize, PapersArgs};
use crate::error::Failure;
use crate::show;

/// Figures the plan, sets the papers and writes them.
pub fn run(args: &PapersArgs) -> Result<String, Failure> {
    let loaded = load(&args.job)?;
    let report = pour::plan::plan(&loaded.job, args.seed);
    let mut notes = loaded.notes.clone();
    notes.extend(report.notes);
    let Some(plan) = report.value else {
        return Err(Failure::faults(notes_text(&notes, &loaded.source, Severity::Remark)));
    };
    let day = day_of(&loaded.job, &plan, args.seed, &mut notes);
    let planned = Planned { job: &loaded.job, plan: &plan, day: day.as_ref() };
    let options = options(args, &loaded.job);
    // Before anything is written: a quote with a blank is refused with the list.
    let by = |rates| ByBook { rates, ways: &args.option, seed: args.seed };
    let asked = args.rates.as_deref().map(|rates| charged(&loaded, &by(rates))).transpose()?;
    let quote = asked.as_ref().map(|charged| charged.quote(&loaded.job.name)).transpose()?;
    std::fs::create_dir_all(&args.out).map_err(|why| Failure::file(&args.out, "make", &why))?;
    let mut told = String::new();
    for document in papers::documents(planned, &options) {
        told += &set(&args.out, &document)?;
    }
    match asked.as_ref().zip(quote.as_ref()) {
        Some((charged, quote)) => {
            told += &set(&args.out, &papers::quote_sheet(planned, quote, &options))?;
            told += &list(&args.out, "price.csv", &formats::price_csv(&charged.priced))?;
        }
        None => told += "no quote: name a rate book with --rates\n",
    }
    told += &lists(&args.out, planned)?;
    let language = options.languages.first().copied().unwrap_or(Language::English);
    told += &calendar(args, planned, language)?;
    Ok(told + &show::notes(&notes))
}

fn options(args: &PapersArgs, job: &Job) -> DocumentOptions {
    let languages = match args.lang {
        Languages::En => vec![Language::English],
        Languages::Es => vec![Language::Spanish],
        Languages::Both => vec![Language::English, Language::Spanish],
    };
    let paper = match args.paper {
        None => Paper::of(job.units),
        Some(PaperSize::Letter) => Paper::Letter,
        Some(PaperSize::A4) => Paper::A4,
    };
    DocumentOptions { languages, paper }
}

/// The finishing of the day; nothing without weather.
fn day_of(job: &Job, plan: &Plan, seed: u64, notes: &mut Vec<Note>) -> Option<Day> {
    plan.forecast.as_ref()?;
    day(&[FloorOfDay { job, plan }], seed, Budget::default()).unload(notes)
}

fn set(folder: &Path, document: &Document) -> Result<String, Failure> {
    let copy = press::Copy { main: document.main, files: &document.files };
    let printed = press::print(copy).map_err(|faults| Failure {
        text: format!("{} could not be set: {}\n", document.name, faults.join("; ")),
        code: 1,
    })?;
    let name = format!("{}.pdf", document.name);
    write_file(folder, &name, &printed.pdf)?;
    Ok(format!("{name}: {}\n", show::count(printed.pages, "page")))
}

fn lists(folder: &Path, planned: Planned<'_>) -> Result<String, Failure> {
    let Planned { job, plan, day } = planned;
    let rounds = day.zip(plan.forecast.as_ref()).map(|(day, forecast)| {
        let wall = Wall { zone: &forecast.zone, start: day.start, units: job.units };
        ("rounds.csv", formats::rounds_csv(day, &wall))
    });
    let lists = [("loads.csv", formats::loads_csv(job, plan)), ("pads.csv", formats::pads_csv(job, plan))];
    let mut told = String::new();
    for (name, text) in lists.into_iter().chain(rounds) {
        told += &list(folder, name, &text)?;
    }
    Ok(told)
}

fn list(folder: &Path, name: &str, text: &str) -> Result<String, Failure> {
    write_file(folder, name, text.as_bytes())?;
    Ok(format!("{name}: {}\n", show::count(text.lines().count().saturating_sub(1), "row")))
}

/// The calendar; a job without a time for its first truck has none.
fn calendar(args: &PapersArgs, planned: Planned<'_>, language: Language) -> Result<String, Failure> {
    let appointments = papers::appointments(planned, language);
    if appointments.is_empty() {
        return Ok(String::new());
    }
    let file = args.job.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
    let of_job = fingerprint(&format!("{file}\n{}", planned.job.name));
    let events: Vec<CalendarEvent> = appointments.into_iter().map(|a| event(of_job, a)).collect();
    let text = formats::calendar(&planned.job.name, changed(&args.job)?, &events);
    write_file(&args.out, "day.ics", text.as_bytes())?;
    Ok(format!("day.ics: {}\n", show::count(events.len(), "event")))
}

fn event(of_job: u64, appointment: Appointment) -> CalendarEvent {
    let Appointment { key, start, end, what, more } = appointment;
    CalendarEvent {
        uid: format!("{key}-{of_job:016x}@flatwright"),
        start,
        end,
        summary: what,
        description: more,
    }
}

/// Tells jobs apart by file and name, 64-bit FNV-1a: events of one job keep their names when the plan is made anew.
fn fingerprint(name: &str) -> u64 {
    name.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

/// When the job file was last changed, to the second: the same job file gives the same calendar.
fn changed(job: &Path) -> Result<Timestamp, Failure> {
    let fault = |why| Failure::file(job, "read", &why);
    let at = std::fs::metadata(job).and_then(|about| about.modified()).map_err(fault)?;
    let since = at.duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
    Ok(Timestamp::from_second(i64::try_from(since.as_secs()).unwrap_or(0)).unwrap_or(Timestamp::UNIX_EPOCH))
}
