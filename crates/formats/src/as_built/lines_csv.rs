//! Readings of lines in a CSV file: `line`, `station` and `reading` or `height`, one row for each, in the order of each line.
//!
//! The station is the distance from the line's first reading. Units stand in the cells or in the heading, as in the file of shots.

use std::ops::Range;

use basis::{Length, Note, Place};

use super::Started;
use crate::job_toml::plan_words::reading_of;
use crate::job_toml::{FetchFile, Findings, LARGEST_FILE};
use crate::nearest::nearest;
use crate::quantity::{self, Trouble, shown};
use crate::source::{SourceFile, SourceMap, Span};
use crate::survey_csv::{cells, content, lines, read_cell, separator};

/// Faults shown for one file; the rest are counted.
const MOST_FAULTS: usize = 100;
const COLUMNS: [&str; 4] = ["line", "station", "reading", "height"];
/// How far a station may be off its place, m: 1 in.
const OFF: f64 = 0.0254;

/// Reads the file and adds its readings to their lines.
pub(super) fn add_readings(
    name: &str,
    started: &mut [Started],
    f: &mut Findings,
    source: &mut SourceMap,
    fetch: FetchFile<'_>,
) {
    let place = Place::at("survey.lines_file");
    let fault = |code, message: String, hint: &str| Note::fault(code, place.clone(), message, hint);
    let note = match fetch(name) {
        Err(why) => fault(
            "no-lines-file",
            format!("{} cannot be read: {why}", shown(name)),
            "check its name; it is looked for beside the file of the finished floor",
        ),
        Ok(bytes) if bytes.len() > LARGEST_FILE => fault(
            "file-too-large",
            format!("{} has {} MB; at most 10 MB are read", shown(name), bytes.len() / 1_000_000),
            "check that this is the right file",
        ),
        Ok(bytes) => match String::from_utf8(bytes) {
            Err(_) => {
                fault("not-utf-8", format!("{} is not UTF-8 text", shown(name)), "save the file as UTF-8")
            }
            Ok(text) => {
                let text = text.strip_prefix('\u{feff}').unwrap_or(&text).to_owned();
                let file = source.files.len();
                Reading { text: &text, file, columns: Vec::new(), f, faults: 0 }.read(started);
                source.files.push(SourceFile { name: name.to_owned(), text });
                return;
            }
        },
    };
    f.notes.push(note);
}

struct Reading<'t, 'f> {
    text: &'t str,
    file: usize,
    /// Name and unit of each column.
    columns: Vec<(String, Option<String>)>,
    f: &'f mut Findings,
    faults: usize,
}

impl Reading<'_, '_> {
    fn read(mut self, started: &mut [Started]) {
        let mut lines = lines(self.text);
        let heading = lines.next().unwrap_or(0..0);
        let separator = separator(&self.text[heading.clone()]);
        if self.heading(heading, separator) {
            for (row, line) in lines.enumerate() {
                self.row(line, separator, &Place::at("survey.lines_file").index(row), started);
            }
        }
        if self.faults > MOST_FAULTS {
            let message =
                format!("{} more faults in the file of lines are not shown", self.faults - MOST_FAULTS);
            self.f.notes.push(Note::fault(
                "more-faults",
                Place::at("survey.lines_file"),
                message,
                "mend these first",
            ));
        }
    }

    fn fault(&mut self, code: &'static str, place: &Place, at: Range<usize>, message: String, hint: String) {
        self.faults += 1;
        if self.faults <= MOST_FAULTS {
            let span = Span { file: self.file, start: at.start, end: at.end };
            self.f.fault_in(code, place, span, message, hint);
        }
    }

    fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.0 == name)
    }

    fn heading(&mut self, line: Range<usize>, separator: u8) -> bool {
        let place = Place::at("survey.lines_file");
        for cell in cells(&self.text[line.clone()], separator) {
            let at = line.start + cell.start..line.start + cell.end;
            let said = content(&self.text[at.clone()]).to_lowercase();
            let (name, unit) = match said.split_once('[') {
                Some((name, unit)) => {
                    (name.trim().to_owned(), Some(unit.trim_end_matches(']').trim().to_owned()))
                }
                None => (said.clone(), None),
            };
            if !COLUMNS.contains(&name.as_str()) {
                let hint = match nearest(&name, COLUMNS) {
                    Some(known) => format!("did you mean {known}?"),
                    None => format!("known columns: {}", COLUMNS.join(", ")),
                };
                let message = format!("there is no column \"{}\"", shown(&name));
                self.fault("unknown-column", &place.key(&shown(&name)), at.clone(), message, hint);
            }
            if let Some(unit) = &unit
                && quantity::read::<Length>(&format!("1 {unit}")).is_err()
            {
                let message = format!("\"{}\" is no unit of length", shown(unit));
                let hint = "write station [ft], reading [mm]".to_owned();
                self.fault("unknown-unit", &place.key(&format!("{} unit", shown(&name))), at, message, hint);
            }
            self.columns.push((name, unit));
        }
        let told = self.column("reading").is_some() != self.column("height").is_some();
        let complete = self.column("line").is_some() && self.column("station").is_some() && told;
        if !complete {
            let message = "the heading lacks line, station, or one of reading and height".to_owned();
            let hint = "the first line names the columns: line,station,reading".to_owned();
            self.fault("missing-column", &place.key("heading"), line, message, hint);
        }
        complete
    }

    fn row(&mut self, line: Range<usize>, separator: u8, place: &Place, started: &mut [Started]) {
        let found: Vec<Range<usize>> = cells(&self.text[line.clone()], separator)
            .map(|cell| line.start + cell.start..line.start + cell.end)
            .collect();
        if found.len() != self.columns.len() {
            let message = format!("{} cells, but the heading has {}", found.len(), self.columns.len());
            let hint = "add or take out cells; a cell that holds a separator stands in quotes".to_owned();
            return self.fault("wrong-count", place, line, message, hint);
        }
        let name = self
            .column("line")
            .map(|c| content(&self.text[found[c].clone()]).into_owned())
            .unwrap_or_default();
        let station = self.cell(&found, "station", place, quantity::read::<Length>);
        let reading = self.cell(&found, "reading", place, reading_of);
        let height = self.cell(&found, "height", place, quantity::read::<Length>);
        let Some(into) = started.iter_mut().find(|s| s.line.name == name) else {
            let message = format!("there is no line \"{}\"", shown(&name));
            let hint = match nearest(&name, started.iter().map(|s| s.line.name.as_str())) {
                Some(known) => format!("did you mean \"{known}\"?"),
                None => "name one of the [[line]] tables".to_owned(),
            };
            return self.fault("unknown-line", &place.key("line"), line, message, hint);
        };
        let Some(station) = station else { return };
        let number = into.readings.len() + into.heights.len();
        // One reading left out is one fault: the next is wanted one space on.
        let wanted = into.station.map_or(Length::ZERO, |last| last + into.line.spacing.step());
        into.station = Some(station);
        if let Some(reading) = reading {
            into.readings.push((reading, place.clone()));
        }
        into.heights.extend(height);
        if (station - wanted).abs().in_metres() > OFF {
            self.off_station(&line, place, (number, station, wanted));
        }
    }

    /// A station that is not the next one of its line.
    fn off_station(
        &mut self,
        line: &Range<usize>,
        place: &Place,
        (number, station, wanted): (usize, Length, Length),
    ) {
        let told = |l: Length| format!("{:.3} m", l.in_metres());
        let (code, hint) = if station < wanted {
            ("stations-out-of-order", "put the rows of a line in order, each station once")
        } else {
            ("line-spacing-off", "read every foot or every 300 mm, as the line says; leave no reading out")
        };
        let message = format!(
            "reading {} of the line is at {}, it should be at {}",
            number + 1,
            told(station),
            told(wanted)
        );
        self.fault(code, &place.key("station"), line.clone(), message, hint.to_owned());
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
        match read_cell(&said, self.columns[column].1.as_deref(), name, read) {
            Ok(value) => Some(value),
            Err(trouble) => {
                self.fault(
                    trouble.code,
                    &place.key(name),
                    found[column].clone(),
                    trouble.message,
                    trouble.hint,
                );
                None
            }
        }
    }
}
