//! The file of the finished floor, layout 1: set-ups with shots, lines with readings.

mod lines_csv;

use std::collections::BTreeMap;

use basis::{Length, Place, Report};
use ground::flatness::Spacing;
use ground::survey::{RodReading, Survey};
use pour::Job;
use pour::asbuilt::{AsBuiltSurvey, LineReadings, ReadLine};

use crate::job_toml::survey::{check_sights, setups};
use crate::job_toml::{FetchFile, Findings, Table, opened, with_source};
use crate::keys::AS_BUILT_FILE;
use crate::nearest::nearest;
use crate::quantity::shown;
use crate::source::SourceMap;
use crate::survey_csv;

/// A file of the finished floor as read: the survey if nothing is at fault, all notes, and where their places are.
#[derive(Debug, Clone)]
pub struct ParsedAsBuilt {
    /// The survey and the notes, in the order of the files.
    pub report: Report<AsBuiltSurvey>,
    /// From places to lines and columns.
    pub source: SourceMap,
}

/// Reads a file of the finished floor of a job; all its faults are told at once.
///
/// `fetch` hands over the files of shots and lines that it names. Its set-ups stand on the job's benchmarks.
#[must_use]
pub fn read_as_built(bytes: &[u8], file_name: &str, job: &Job, fetch: FetchFile<'_>) -> ParsedAsBuilt {
    let (report, source) = with_source(bytes, file_name, |text, f, source| {
        let root = opened(&AS_BUILT_FILE, "as_built", text, f)?;
        let root = Table::open(&AS_BUILT_FILE, root.get_ref(), Place::job(), 0..0, f);
        Some(as_built(&root, job, f, source, fetch))
    });
    ParsedAsBuilt { report, source }
}

pub(crate) fn as_built(
    root: &Table<'_>,
    job: &Job,
    f: &mut Findings,
    source: &mut SourceMap,
    fetch: FetchFile<'_>,
) -> AsBuiltSurvey {
    let files = root.table(f, "survey");
    let file = |f: &mut Findings, key: &str| files.as_ref().and_then(|table| table.text(f, key));
    let mut survey = Survey {
        benchmarks: job.survey.benchmarks.clone(),
        setups: setups(root, f, job.units),
        misclosure_limit: job.survey.misclosure_limit,
    };
    if let Some(name) = file(f, "shots_file") {
        survey_csv::add_shots(&name, &mut survey, f, source, fetch);
    }
    check_sights(f, &survey);
    let tables = root.tables(f, "line");
    let mut lines: Vec<Started> = tables.iter().filter_map(|table| started(table, &survey, f)).collect();
    double_names(&lines, f);
    if let Some(name) = file(f, "lines_file") {
        lines_csv::add_readings(&name, &mut lines, f, source, fetch);
    }
    let lines = lines.into_iter().filter_map(|line| finished(line, f)).collect();
    AsBuiltSurvey { setups: survey.setups, lines }
}

/// A line while its readings are gathered.
struct Started {
    line: ReadLine,
    setup: Option<usize>,
    noise: Option<Length>,
    readings: Vec<(RodReading, Place)>,
    heights: Vec<Length>,
    /// Station of the last reading of the file of lines.
    station: Option<Length>,
}

fn started(table: &Table<'_>, survey: &Survey, f: &mut Findings) -> Option<Started> {
    let name = table.text(f, "name");
    let (from, to) = (table.point(f, "from"), table.point(f, "to"));
    let spacing = match table.choice(f, "spacing") {
        Some(1) => Spacing::Metric,
        _ => Spacing::Foot,
    };
    let setup = table.text(f, "setup").and_then(|name| setup(table, &name, survey, f));
    let noise = table.quantity(f, "noise");
    let readings: Vec<Length> = lengths(table, f, "readings");
    let heights = lengths(table, f, "heights");
    let (from, to) = (from?, to?);
    if from.distance(to) < 1e-3 {
        let message = "the line runs from a spot to the same spot";
        f.fault("line-without-direction", &table.place, &table.span, message, "name a spot farther along it");
    }
    let place = |i: usize| table.place.key("readings").index(i);
    Some(Started {
        setup,
        noise,
        station: None,
        readings: readings.into_iter().enumerate().map(|(i, r)| (RodReading::Rod(r), place(i))).collect(),
        heights,
        line: ReadLine {
            name: name?,
            from,
            to,
            spacing,
            readings: LineReadings::Heights { heights: Vec::new(), noise: None },
            place: table.place.clone(),
        },
    })
}

fn setup(table: &Table<'_>, name: &str, survey: &Survey, f: &mut Findings) -> Option<usize> {
    let found = survey.setups.iter().position(|s| s.name == name);
    if found.is_none() {
        let hint = match nearest(name, survey.setups.iter().map(|s| s.name.as_str())) {
            Some(known) => format!("did you mean \"{known}\"?"),
            None => "name one of the [[setup]] tables of this file".to_owned(),
        };
        let span = table.value(f, "setup").map_or(table.span.clone(), |value| value.span);
        let message = format!("there is no set-up \"{}\"", shown(name));
        f.fault("unknown-setup", &table.place.key("setup"), &span, message, hint);
    }
    found
}

/// Lengths of a list, each at its place.
fn lengths(table: &Table<'_>, f: &mut Findings, key: &str) -> Vec<Length> {
    let Some(value) = table.value(f, key) else { return Vec::new() };
    let example = format!("{key} = [\"4 ft 7 1/4 in\", ...]");
    let Some(items) = value.items(f, "a list of lengths", &example) else { return Vec::new() };
    items.iter().filter_map(|item| item.quantity::<Length>(f)).collect()
}

fn double_names(lines: &[Started], f: &mut Findings) {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    for line in lines {
        let times = seen.entry(&line.line.name).or_default();
        *times += 1;
        if *times == 2 {
            let message = format!("two lines are called {}", line.line.name);
            let note =
                basis::Note::fault("double-name", line.line.place.clone(), message, "give each its own name");
            f.notes.push(note);
        }
    }
}

/// A line with its readings, if they are of one kind and fit its set-up.
fn finished(started: Started, f: &mut Findings) -> Option<ReadLine> {
    let Started { mut line, setup, noise, readings, heights, station: _ } = started;
    let trouble = match (setup, readings.is_empty(), heights.is_empty()) {
        (_, true, true) => {
            Some(("the line has no readings", "list readings or heights, or give them in the lines_file"))
        }
        (_, false, false) => Some(("the line has rod readings and heights", "keep one of the two")),
        (None, false, true) => {
            Some(("rod readings need the set-up they were read from", "add setup = \"...\""))
        }
        _ => None,
    };
    if let Some((message, hint)) = trouble {
        f.notes.push(basis::Note::fault(
            "line-unclear",
            line.place.clone(),
            format!("line {}: {message}", line.name),
            hint,
        ));
        return None;
    }
    line.readings = match setup {
        Some(setup) if !readings.is_empty() => LineReadings::Rod { setup, readings },
        _ => LineReadings::Heights { heights, noise },
    };
    Some(line)
}

#[cfg(test)]
mod tests;
