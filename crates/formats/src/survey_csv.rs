//! Shots in a CSV file: one row for each, with a heading.
//!
//! Columns are `x`, `y` and `reading`, and if need be `name`, `setup` and `on`, in any order. A length
//! carries its unit in the cell (`4 ft 7 1/4 in`) or in the heading (`reading [mm]`), where the cells are
//! then plain numbers. Cells are separated by comma, semicolon or tab, and may be quoted [@rfc4180].

use std::collections::BTreeMap;
use std::ops::Range;

use basis::{Length, Note, Place};
use ground::P2;
use ground::survey::{RodReading, Shot, ShotOn, Survey};

use crate::job_toml::plan_words::reading_of;
use crate::job_toml::survey::{ON_HINT, shot_on};
use crate::job_toml::{FetchFile, Findings, LARGEST_FILE};
use crate::nearest::nearest;
use crate::quantity::{self, Trouble, shown};
use crate::source::{CsvRows, SourceFile, SourceMap, Span};

/// Faults shown for one file; the rest are counted.
const MOST_FAULTS: usize = 100;
const COLUMNS: [&str; 6] = ["setup", "name", "x", "y", "reading", "on"];

/// Stretches of a row's cells, quotes included.
pub(crate) fn cells(row: &str, separator: u8) -> impl Iterator<Item = Range<usize>> + '_ {
    let bytes = row.as_bytes();
    let mut next = Some(0);
    std::iter::from_fn(move || {
        let start = next?;
        let mut quoted = false;
        let mut end = start;
        while end < bytes.len() && (quoted || bytes[end] != separator) {
            quoted ^= bytes[end] == b'"';
            end += 1;
        }
        next = (end < bytes.len()).then_some(end + 1);
        Some(start..end)
    })
}

/// What a cell says, without quotes.
pub(crate) fn content(cell: &str) -> std::borrow::Cow<'_, str> {
    let cell = cell.trim();
    match cell.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')) {
        Some(inside) => inside.replace("\"\"", "\"").trim().to_owned().into(),
        None => cell.into(),
    }
}

/// Reads a cell with the unit of its column, or with its own.
pub(crate) fn read_cell<T>(
    said: &str,
    unit: Option<&str>,
    name: &str,
    read: impl Fn(&str) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    match unit {
        Some(unit) if is_plain_number(said) => read(&format!("{said} {unit}")),
        _ if said.is_empty() => Err(Trouble {
            code: "empty-cell",
            message: format!("the row has no {name}"),
            hint: "fill the cell, or take the row out".to_owned(),
        }),
        _ => read(said),
    }
}

/// Reads the file of shots that the job names, and adds its shots to their set-ups.
pub(crate) fn add_shots(
    name: &str,
    survey: &mut Survey,
    f: &mut Findings,
    source: &mut SourceMap,
    fetch: FetchFile<'_>,
) {
    let place = Place::at("survey.shots_file");
    let note = match fetch(name) {
        Err(why) => {
            let hint = "check its name; it is looked for beside the job file";
            Note::fault("no-shots-file", place, format!("{} cannot be read: {why}", shown(name)), hint)
        }
        Ok(bytes) if bytes.len() > LARGEST_FILE => {
            let message =
                format!("{} has {} MB; at most 10 MB are read", shown(name), bytes.len() / 1_000_000);
            Note::fault("file-too-large", place, message, "check that this is the right file")
        }
        Ok(bytes) => match String::from_utf8(bytes) {
            Err(error) => {
                let at = error.utf8_error().valid_up_to();
                let line = error.as_bytes()[..at].iter().filter(|&&b| b == b'\n').count() + 1;
                let message = format!("line {line} of {} is not UTF-8 text", shown(name));
                Note::fault("not-utf-8", place, message, "save the file as UTF-8, or as \"CSV UTF-8\"")
            }
            Ok(text) => {
                let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned();
                let file = source.files.len();
                let rows = read(&text, file, survey, f);
                source.files.push(SourceFile { name: name.to_owned(), text });
                source.csv = Some(rows);
                return;
            }
        },
    };
    f.notes.push(note);
}

/// A column: what it is and the unit in its heading.
struct Column {
    name: String,
    unit: Option<String>,
}

/// State of reading one file.
struct Reading<'t, 'f> {
    text: &'t str,
    file: usize,
    columns: Vec<Column>,
    f: &'f mut Findings,
    faults: usize,
}

fn read(text: &str, file: usize, survey: &mut Survey, f: &mut Findings) -> CsvRows {
    let mut lines = lines(text);
    let heading = lines.next().unwrap_or(0..0);
    let separator = separator(&text[heading.clone()]);
    let mut reading = Reading { text, file, columns: Vec::new(), f, faults: 0 };
    let complete = reading.heading(heading, separator);
    let mut starts = Vec::new();
    let setups: BTreeMap<String, usize> =
        survey.setups.iter().enumerate().map(|(index, setup)| (setup.name.clone(), index)).collect();
    if complete {
        for line in lines {
            let place = Place::at("survey.shots_file").index(starts.len());
            starts.push(line.start);
            if let Some((setup, shot)) = reading.row(line, separator, place, &setups) {
                survey.setups[setup].shots.push(shot);
            }
        }
    }
    reading.tell_the_rest();
    let columns = reading.columns.into_iter().map(|column| column.name).collect();
    CsvRows { file, separator, columns, starts }
}

/// Lines that hold anything, each without its line end. A quoted cell may not run over a line end.
pub(crate) fn lines(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut start = 0;
    let all = text.split_inclusive('\n').map(move |line| {
        let from = start;
        start += line.len();
        from..from + line.trim_end_matches(['\n', '\r']).len()
    });
    all.filter(move |range| !text[range.clone()].trim().is_empty())
}

/// The separator that the heading has most of.
pub(crate) fn separator(heading: &str) -> u8 {
    let count = |separator: u8| heading.bytes().filter(|&byte| byte == separator).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|&separator| count(separator)).unwrap_or(b',')
}

impl Reading<'_, '_> {
    fn fault(
        &mut self,
        code: &'static str,
        place: &Place,
        at: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.faults += 1;
        if self.faults <= MOST_FAULTS {
            let span = Span { file: self.file, start: at.start, end: at.end };
            self.f.fault_in(code, place, span, message, hint);
        }
    }

    fn tell_the_rest(&mut self) {
        if self.faults > MOST_FAULTS {
            let message =
                format!("{} more faults in the file of shots are not shown", self.faults - MOST_FAULTS);
            let place = Place::at("survey.shots_file");
            self.f.notes.push(Note::fault("more-faults", place, message, "mend these first"));
        }
    }

    /// Reads the heading; false when a column is missing that no row can do without.
    fn heading(&mut self, line: Range<usize>, separator: u8) -> bool {
        let place = Place::at("survey.shots_file");
        for cell in cells(&self.text[line.clone()], separator) {
            let at = line.start + cell.start..line.start + cell.end;
            let said = content(&self.text[at.clone()]).to_lowercase();
            let (name, unit) = match said.split_once('[') {
                Some((name, unit)) => (name.trim(), Some(unit.trim_end_matches(']').trim().to_owned())),
                None => (said.as_str(), None),
            };
            if !COLUMNS.contains(&name) {
                let hint = match nearest(name, COLUMNS) {
                    Some(known) => format!("did you mean {known}?"),
                    None => format!("known columns: {}", COLUMNS.join(", ")),
                };
                let message = format!("there is no column \"{}\"", shown(name));
                self.fault("unknown-column", &place.key(&shown(name)), at.clone(), message, hint);
            } else if self.columns.iter().any(|column| column.name == name) {
                let message = format!("the column {name} is there twice");
                self.fault("double-name", &place.key(name), at.clone(), message, "take one of the two out");
            }
            if let Some(unit) = &unit
                && quantity::read::<Length>(&format!("1 {unit}")).is_err()
            {
                let message = format!("\"{}\" is no unit of length", shown(unit));
                self.fault(
                    "unknown-unit",
                    &place.key(&format!("{name} unit")),
                    at,
                    message,
                    "write x [ft], x [m] or x [mm]",
                );
            }
            self.columns.push(Column { name: name.to_owned(), unit });
        }
        let missing: Vec<_> =
            ["x", "y", "reading"].into_iter().filter(|name| self.column(name).is_none()).collect();
        if !missing.is_empty() {
            let message = format!("the heading lacks {}", missing.join(", "));
            let hint = "the first line names the columns: setup,name,x,y,reading,on";
            self.fault("missing-column", &place.key("heading"), line, message, hint);
        }
        missing.is_empty()
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.name == name)
    }

    fn row(
        &mut self,
        line: Range<usize>,
        separator: u8,
        place: Place,
        setups: &BTreeMap<String, usize>,
    ) -> Option<(usize, Shot)> {
        let found: Vec<Range<usize>> = cells(&self.text[line.clone()], separator)
            .map(|cell| line.start + cell.start..line.start + cell.end)
            .collect();
        if found.len() != self.columns.len() {
            let message = format!("{} cells, but the heading has {}", found.len(), self.columns.len());
            let hint = "add or take out cells; a cell that holds a separator stands in quotes";
            self.fault("wrong-count", &place, line, message, hint);
            return None;
        }
        let x = self.cell(&found, "x", &place, quantity::read::<Length>);
        let y = self.cell(&found, "y", &place, quantity::read::<Length>);
        let reading: Option<RodReading> = self.cell(&found, "reading", &place, reading_of);
        let on = self.stood_on(&found, &place);
        let setup = self.setup(&found, &place, &line, setups);
        let name = self.column("name").map(|at| content(&self.text[found[at].clone()]).into_owned());
        let name =
            name.filter(|name| !name.is_empty()).unwrap_or_else(|| (line_number(&place) + 1).to_string());
        let at = P2::new(x?.in_metres(), y?.in_metres());
        Some((setup?, Shot { name, at, reading: reading?, on: on?, place }))
    }

    fn cell<T>(
        &mut self,
        found: &[Range<usize>],
        name: &str,
        place: &Place,
        read: impl Fn(&str) -> Result<T, Trouble>,
    ) -> Option<T> {
        let column = self.column(name)?;
        let said = content(&self.text[found[column].clone()]);
        let unit = self.columns[column].unit.as_deref();
        read_cell(&said, unit, name, read)
            .map_err(|trouble| {
                self.fault(
                    trouble.code,
                    &place.key(name),
                    found[column].clone(),
                    trouble.message,
                    trouble.hint,
                );
            })
            .ok()
    }

    fn stood_on(&mut self, found: &[Range<usize>], place: &Place) -> Option<ShotOn> {
        let Some(column) = self.column("on") else { return Some(ShotOn::Base) };
        let said = content(&self.text[found[column].clone()]).into_owned();
        if said.is_empty() {
            return Some(ShotOn::Base);
        }
        let on = shot_on(&said);
        if on.is_none() {
            let message = format!("a shot cannot stand on \"{}\"", shown(&said));
            self.fault("unknown-word", &place.key("on"), found[column].clone(), message, ON_HINT);
        }
        on
    }

    fn setup(
        &mut self,
        found: &[Range<usize>],
        place: &Place,
        line: &Range<usize>,
        setups: &BTreeMap<String, usize>,
    ) -> Option<usize> {
        let column = self.column("setup");
        let said = column.map(|at| content(&self.text[found[at].clone()]).into_owned()).unwrap_or_default();
        if said.is_empty() {
            if setups.len() == 1 {
                return Some(0);
            }
            let message = format!("the row does not say which of {} set-ups it is from", setups.len());
            let hint = "add a column setup with the names of the [[setup]] tables";
            self.fault("unknown-setup", &place.key("setup"), line.clone(), message, hint);
            return None;
        }
        let setup = setups.get(&said).copied();
        if setup.is_none() {
            let hint = match nearest(&said, setups.keys().map(String::as_str)) {
                Some(known) => format!("did you mean \"{known}\"?"),
                None => "name one of the [[setup]] tables of the job file".to_owned(),
            };
            let at = column.map_or(line.clone(), |column| found[column].clone());
            self.fault(
                "unknown-setup",
                &place.key("setup"),
                at,
                format!("there is no set-up \"{}\"", shown(&said)),
                hint,
            );
        }
        setup
    }
}

/// The row's number, counted from 0, from its place.
fn line_number(place: &Place) -> usize {
    place.path().trim_start_matches("survey.shots_file[").trim_end_matches(']').parse().unwrap_or(0)
}

/// A decimal number without a unit; not a fraction, not feet and inches.
pub(crate) fn is_plain_number(text: &str) -> bool {
    let digits = text.strip_prefix(['+', '-']).unwrap_or(text);
    !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
}
