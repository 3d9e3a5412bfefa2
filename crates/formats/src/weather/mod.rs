//! Weather files: a plain table, EPW, and the forecasts of the US National Weather Service, from text alone.
//!
//! [`read_weather`] tells by the text which of them it is, and reads it to its end: every fault stands in the report
//! with its line. Nothing is fetched here.

mod epw;
mod forecast;
mod table;

#[cfg(test)]
mod tests;

use std::ops::Range;

use basis::{Note, Place, Report};
use clock::sun::Spot;
use clock::weather::{Record, Row, Series};
use jiff::Timestamp;
use jiff::tz::TimeZone;

use crate::job_toml::LARGEST_FILE;
use crate::source::{SourceFile, SourceMap, Span};

/// Faults shown for one file; the rest are counted.
const MOST_FAULTS: usize = 100;

/// A weather file as read.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherFile {
    /// The weather hour by hour.
    pub series: Series,
    /// Where the file says that it is for, if it does.
    pub spot: Option<Spot>,
    /// When a forecast was made, if the file says so.
    pub issued: Option<Timestamp>,
    /// Which kind of file it was.
    pub kind: WeatherKind,
}

/// The kinds of weather files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WeatherKind {
    /// A table with units in its heading.
    Table,
    /// EPW, the weather format of building energy models.
    Epw,
    /// A forecast of the US National Weather Service: by the hour, or its grid.
    Forecast,
}

/// A weather file's content or its faults, and where their places are.
#[derive(Debug, Clone)]
pub struct ParsedWeather {
    /// The file and the notes, in the order of the file.
    pub report: Report<WeatherFile>,
    /// From places to lines and columns.
    pub source: SourceMap,
}

/// Tells the kind of a weather file by how it begins.
#[must_use]
pub fn weather_kind(text: &str) -> WeatherKind {
    let start = text.trim_start();
    if start.starts_with('{') {
        WeatherKind::Forecast
    } else if start.get(..9).is_some_and(|head| head.eq_ignore_ascii_case("LOCATION,")) {
        WeatherKind::Epw
    } else {
        WeatherKind::Table
    }
}

/// Reads a weather file from its bytes.
///
/// `zone` is the site's: times of a table without an offset are local there. Every fault of the file is in the report;
/// the weather is there only when there is none. Checks against the site are `clock`'s.
#[must_use]
pub fn read_weather(bytes: &[u8], file_name: &str, zone: &TimeZone) -> ParsedWeather {
    let text = match std::str::from_utf8(bytes) {
        _ if bytes.len() > LARGEST_FILE => {
            let message = format!("the file has {} MB; at most 10 MB are read", bytes.len() / 1_000_000);
            let hint = "check that this is the right file";
            return refused(
                file_name,
                "",
                Note::fault("file-too-large", Place::at("weather"), message, hint),
            );
        }
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => {
            let line = bytes[..error.valid_up_to()].iter().filter(|&&b| b == b'\n').count() + 1;
            let message = format!("line {line} is not UTF-8 text");
            let hint = "save the file as UTF-8, or as \"CSV UTF-8\"";
            return refused(file_name, "", Note::fault("not-utf-8", Place::at("weather"), message, hint));
        }
    };
    if text.trim().is_empty() {
        let hint = "give a table of hours, an EPW file or a forecast";
        return refused(
            file_name,
            text,
            Note::fault("empty-file", Place::at("weather"), "the file is empty", hint),
        );
    }
    let mut reading = Reading::new(text);
    let kind = weather_kind(text);
    match kind {
        WeatherKind::Table => table::read(&mut reading, zone),
        WeatherKind::Epw => epw::read(&mut reading),
        WeatherKind::Forecast => forecast::read(&mut reading),
    }
    reading.finish(file_name, kind)
}

fn refused(file_name: &str, text: &str, note: Note) -> ParsedWeather {
    let files = vec![SourceFile { name: file_name.to_owned(), text: text.to_owned() }];
    ParsedWeather { report: Report::refused(vec![note]), source: SourceMap { files, ..SourceMap::default() } }
}

/// What is gathered while a file is read.
struct Reading<'t> {
    text: &'t str,
    notes: Vec<Note>,
    pins: std::collections::BTreeMap<String, Span>,
    faults: usize,
    rows: Vec<Row>,
    /// Where each row stands in the file.
    spans: Vec<Range<usize>>,
    spot: Option<Spot>,
    issued: Option<Timestamp>,
}

impl<'t> Reading<'t> {
    fn new(text: &'t str) -> Self {
        Self {
            text,
            notes: Vec::new(),
            pins: std::collections::BTreeMap::new(),
            faults: 0,
            rows: Vec::new(),
            spans: Vec::new(),
            spot: None,
            issued: None,
        }
    }

    /// A fault that stands at these bytes.
    fn fault(
        &mut self,
        code: &'static str,
        at: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        self.faults += 1;
        if self.faults <= MOST_FAULTS {
            let place = self.pinned(at);
            self.notes.push(Note::fault(code, place, message, hint));
        }
    }

    /// A warning that stands at these bytes.
    fn warning(
        &mut self,
        code: &'static str,
        at: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let place = self.pinned(at);
        self.notes.push(Note::warning(code, place, message, hint));
    }

    /// The place of a stretch of the file, by its line and byte, so that no two hide each other.
    fn pinned(&mut self, at: Range<usize>) -> Place {
        let line =
            self.text.as_bytes()[..at.start.min(self.text.len())].iter().filter(|&&b| b == b'\n').count() + 1;
        let place = Place::at(format!("weather line {line} byte {}", at.start));
        self.pins.entry(place.path().to_owned()).or_insert(Span { file: 0, start: at.start, end: at.end });
        place
    }

    fn row(&mut self, at: Timestamp, record: Record, span: Range<usize>) {
        self.rows.push(Row { at, record });
        self.spans.push(span);
    }

    /// Judges the rows and hands the file out.
    fn finish(mut self, file_name: &str, kind: WeatherKind) -> ParsedWeather {
        let place = Place::at("weather");
        if self.faults > MOST_FAULTS {
            let message =
                format!("{} more faults in the weather file are not shown", self.faults - MOST_FAULTS);
            self.notes.push(Note::fault("more-faults", place.clone(), message, "mend these first"));
        }
        // A heading that cannot be read leaves no rows: that there are too few would be said in vain.
        let mut series = None;
        if !self.rows.is_empty() || self.faults == 0 {
            let report = clock::weather::series(&self.rows, &place);
            self.pin_rows(&report.notes);
            self.notes.extend(report.notes);
            series = report.value;
        }
        let mut source = SourceMap { pins: self.pins, ..SourceMap::default() };
        source.files.push(SourceFile { name: file_name.to_owned(), text: self.text.to_owned() });
        crate::job_toml::sort_by_file(&mut self.notes, &source);
        let sound = series.filter(|_| !basis::has_fault(&self.notes));
        let (spot, issued) = (self.spot, self.issued);
        let value = sound.map(|series| WeatherFile { series, spot, issued, kind });
        ParsedWeather { report: Report { value, notes: self.notes }, source }
    }

    /// Pins the places `weather[i].key` that the judging of rows has used.
    fn pin_rows(&mut self, notes: &[Note]) {
        for note in notes {
            let path = note.place.path();
            let row = path.strip_prefix("weather[").and_then(|rest| rest.split_once(']'));
            let span = row.and_then(|(index, _)| self.spans.get(index.parse::<usize>().ok()?));
            if let Some(span) = span {
                self.pins.insert(path.to_owned(), Span { file: 0, start: span.start, end: span.end });
            }
        }
    }
}

/// Lines that hold anything, each without its line end.
fn lines(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    crate::survey_csv::lines(text)
}

/// A finite decimal number, as files write it: no sign of infinity, no thousands separator.
pub(crate) fn number(said: &str) -> Option<f64> {
    let plain = said.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'+' | b'-' | b'e' | b'E'));
    if !plain {
        return None;
    }
    said.parse::<f64>().ok().filter(|value| value.is_finite())
}
