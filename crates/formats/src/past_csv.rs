//! Past pours in a CSV file: one row for each, with a heading that names columns and their units [@rfc4180].
//!
//! `day` and `pour` must be there. All other columns may be left out, and all other cells empty: what was not written down is not known.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use basis::{Note, Place, Report, TimeSpan, Volume};
use jiff::civil::Date;
use pour::learn::Past;

use crate::job_toml::LARGEST_FILE;
use crate::nearest::nearest;
use crate::quantity::shown;
use crate::source::{SourceFile, SourceMap, Span};
use crate::survey_csv::{cells, content, lines, separator};

/// Faults shown for one file; the rest are counted.
const MOST_FAULTS: usize = 100;

/// Past pours or the faults of their file, and where their places are.
#[derive(Debug, Clone)]
pub struct ParsedPast {
    /// The pours by their days, and the notes in the order of the file.
    pub report: Report<Vec<Past>>,
    /// From places to lines and columns.
    pub source: SourceMap,
}

/// What a column holds: words, or a number in one of its units.
type Units = &'static [(&'static str, f64)];

const WORDS: Units = &[];
const VOLUME: Units = &[("yd3", 0.764_554_857_984), ("cy", 0.764_554_857_984), ("m3", 1.0)];
const RATE: Units = &[("yd3/h", 0.764_554_857_984), ("m3/h", 1.0)];
const NONE: Units = &[("", 1.0)];
const COLUMNS: [(&str, Units); 19] = [
    ("day", WORDS),
    ("pour", WORDS),
    ("base", WORDS),
    ("figured doubt", VOLUME),
    ("figured", VOLUME),
    ("delivered", VOLUME),
    ("left", VOLUME),
    ("mix", WORDS),
    ("set factor", NONE),
    ("set doubt", &[("%", 0.01)]),
    ("crew", WORDS),
    ("rate figured", RATE),
    ("rate found", RATE),
    ("plant", WORDS),
    ("late", &[("min", 1.0)]),
    ("finish", WORDS),
    ("hours figured", &[("h", 1.0)]),
    ("hours worked", &[("h", 1.0)]),
    ("cost figured", NONE),
];
const COST: (&str, Units) = ("cost", NONE);

/// Reads past pours from the bytes of their file. Every fault is told with its line; the pours are there when there is none.
#[must_use]
pub fn read_past(bytes: &[u8], file_name: &str) -> ParsedPast {
    let whole = |code, message: String, hint: &str| {
        let note = Note::fault(code, Place::at("past"), message, hint);
        ParsedPast { report: Report::refused(vec![note]), source: SourceMap::default() }
    };
    if bytes.len() > LARGEST_FILE {
        let message = format!("the file has {} MB; at most 10 MB are read", bytes.len() / 1_000_000);
        return whole("file-too-large", message, "check that this is the right file");
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        let hint = "save the file as UTF-8, or as \"CSV UTF-8\"";
        return whole("not-utf-8", "the file is not UTF-8 text".to_owned(), hint);
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reading = Reading { text, notes: Vec::new(), pins: BTreeMap::new(), faults: 0 };
    let mut pours = reading.all();
    reading.tell_doubles(&pours);
    if reading.faults > MOST_FAULTS {
        let message = format!("{} more faults are not shown", reading.faults - MOST_FAULTS);
        reading.notes.push(Note::fault("more-faults", Place::at("past"), message, "mend these first"));
    }
    let mut source = SourceMap { pins: reading.pins, ..SourceMap::default() };
    source.files.push(SourceFile { name: file_name.to_owned(), text: text.to_owned() });
    pours.sort_by_key(|(pour, _)| pour.day);
    let pours: Vec<Past> = pours.into_iter().map(|(pour, _)| pour).collect();
    let value = (!basis::has_fault(&reading.notes)).then_some(pours);
    ParsedPast { report: Report { value, notes: reading.notes }, source }
}

struct Reading<'t> {
    text: &'t str,
    notes: Vec<Note>,
    pins: BTreeMap<String, Span>,
    faults: usize,
}

impl Reading<'_> {
    fn fault(&mut self, code: &'static str, at: Range<usize>, message: String, hint: impl Into<String>) {
        self.faults += 1;
        if self.faults <= MOST_FAULTS {
            let place = self.pinned(at);
            self.notes.push(Note::fault(code, place, message, hint));
        }
    }

    fn pinned(&mut self, at: Range<usize>) -> Place {
        let place = Place::at(format!("past byte {}", at.start));
        self.pins.insert(place.path().to_owned(), Span { file: 0, start: at.start, end: at.end });
        place
    }

    fn all(&mut self) -> Vec<(Past, Range<usize>)> {
        let text = self.text;
        let mut lines = lines(text);
        let Some(heading) = lines.next() else {
            self.fault(
                "empty-file",
                0..0,
                "the file is empty".to_owned(),
                "write a heading: day, pour, base, figured yd3, …",
            );
            return Vec::new();
        };
        let separator = separator(&text[heading.clone()]);
        let Some(columns) = self.heading(heading, separator) else { return Vec::new() };
        let mut pours = Vec::new();
        for line in lines {
            let found: Vec<Range<usize>> = cells(&text[line.clone()], separator)
                .map(|cell| line.start + cell.start..line.start + cell.end)
                .collect();
            if found.len() == columns.len() {
                pours.push((self.row(&columns, &found), line));
            } else {
                let message = format!("{} cells, but the heading has {}", found.len(), columns.len());
                self.fault("wrong-count", line, message, "add or take out cells");
            }
        }
        pours
    }

    /// Names and factors of the columns.
    fn heading(&mut self, line: Range<usize>, separator: u8) -> Option<Vec<(&'static str, f64)>> {
        let text = self.text;
        let before = self.faults;
        let mut columns: Vec<(&'static str, f64)> = Vec::new();
        for cell in cells(&text[line.clone()], separator) {
            let at = line.start + cell.start..line.start + cell.end;
            let said = content(&text[at.clone()]).to_lowercase().replace('_', " ");
            match column(&said) {
                Ok((name, _)) if columns.iter().any(|(other, _)| *other == name) => {
                    let message = format!("the column {name} is there twice");
                    self.fault("double-name", at, message, "take one of the two out");
                }
                Ok(column) => columns.push(column),
                Err((code, message, hint)) => self.fault(code, at, message, hint),
            }
        }
        for must in ["day", "pour"] {
            if !columns.iter().any(|(name, _)| *name == must) {
                let hint = "the first line names the columns: day, pour, base, figured yd3, delivered yd3, left yd3, …";
                self.fault("missing-column", line.clone(), format!("the heading lacks {must}"), hint);
            }
        }
        (self.faults == before).then_some(columns)
    }

    fn row(&mut self, columns: &[(&'static str, f64)], found: &[Range<usize>]) -> Past {
        let mut row = Row { reading: self, columns, found };
        let day = row.day();
        let figured = row.number("figured").map(Volume::cubic_metres);
        let figured_doubt = row.number("figured doubt").map(Volume::cubic_metres);
        let set = row.number("set factor");
        let set_doubt = row.number("set doubt");
        let mut volume = |name| row.number(name).map(Volume::cubic_metres);
        let (delivered, left) = (volume("delivered"), volume("left"));
        let rate = ["rate figured", "rate found"].map(&mut volume);
        let mut hours = |name| row.number(name).map(TimeSpan::hours);
        let hours = [hours("hours figured"), hours("hours worked")];
        let cost = ["cost figured", "cost"].map(|name| row.number(name));
        Past {
            day: day.unwrap_or_default(),
            pour: row.words("pour").unwrap_or_default(),
            base: row.words("base"),
            figured: figured.map(|volume| (volume, figured_doubt)),
            delivered,
            left,
            mix: row.words("mix"),
            set_factor: set.map(|factor| (factor, set_doubt)),
            crew: row.words("crew"),
            rate,
            plant: row.words("plant"),
            late: row.signed("late").map(TimeSpan::minutes),
            finish: row.words("finish"),
            hours,
            cost,
        }
    }

    /// One pour written down twice would count twice.
    fn tell_doubles(&mut self, pours: &[(Past, Range<usize>)]) {
        let mut there: BTreeSet<(Date, &str)> = BTreeSet::new();
        for (pour, line) in pours {
            if !there.insert((pour.day, &pour.pour)) {
                let message = format!("{} of {} is there twice", shown(&pour.pour), pour.day);
                self.fault(
                    "double-name",
                    line.clone(),
                    message,
                    "take one out, or give the second pour of a day its own name",
                );
            }
        }
    }
}

fn column(said: &str) -> Result<(&'static str, f64), (&'static str, String, String)> {
    let fits = |(name, _): &&(&'static str, Units)| {
        said.strip_prefix(*name).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '[', '(']))
    };
    let known = || COLUMNS.iter().chain([&COST]);
    // The longest name that fits: "figured doubt" goes before "figured".
    let Some((name, units)) = known().filter(fits).max_by_key(|(name, _)| name.len()) else {
        let names: Vec<&str> = known().map(|(name, _)| *name).collect();
        let hint = match nearest(said, names.iter().copied()) {
            Some(near) => format!("did you mean {near}?"),
            None => format!("known columns: {}", names.join(", ")),
        };
        return Err(("unknown-column", format!("there is no column \"{}\"", shown(said)), hint));
    };
    let unit = said[name.len()..].trim().trim_matches(['[', ']', '(', ')']).trim();
    match units.iter().find(|(known, _)| *known == unit) {
        Some((_, factor)) => Ok((name, *factor)),
        None if units.is_empty() && unit.is_empty() => Ok((name, 1.0)),
        None => {
            let known: Vec<&str> =
                units.iter().map(|(unit, _)| *unit).filter(|unit| !unit.is_empty()).collect();
            let hint = if known.is_empty() {
                format!("write {name} alone")
            } else {
                format!("write {name} with one of {}", known.join(", "))
            };
            Err(("unknown-unit", format!("\"{}\" is no unit of the column {name}", shown(unit)), hint))
        }
    }
}

struct Row<'a, 't, 'c> {
    reading: &'a mut Reading<'t>,
    columns: &'c [(&'static str, f64)],
    found: &'c [Range<usize>],
}

impl Row<'_, '_, '_> {
    fn cell(&self, name: &str) -> Option<(f64, Range<usize>, String)> {
        let index = self.columns.iter().position(|(column, _)| *column == name)?;
        let at = self.found[index].clone();
        let said = content(&self.reading.text[at.clone()]).into_owned();
        Some((self.columns[index].1, at, said))
    }

    fn words(&self, name: &str) -> Option<String> {
        self.cell(name).map(|(.., said)| said).filter(|said| !said.is_empty())
    }

    fn day(&mut self) -> Option<Date> {
        let (_, at, said) = self.cell("day")?;
        let day = said.parse::<Date>().ok();
        if day.is_none() {
            let message = format!("\"{}\" is no day", shown(&said));
            self.reading.fault("not-a-day", at, message, "write it as 2026-06-12");
        }
        day
    }

    fn signed(&mut self, name: &str) -> Option<f64> {
        let (factor, at, said) = self.cell(name)?;
        if said.is_empty() {
            return None;
        }
        let number = crate::weather::number(&said);
        if number.is_none() {
            let message = format!("\"{}\" is no number", shown(&said));
            let hint = "plain decimal numbers; the unit stands in the heading; leave the cell empty when it is not known";
            self.reading.fault("not-a-number", at, message, hint);
        }
        number.map(|number| number * factor)
    }

    /// A number of zero or more.
    fn number(&mut self, name: &str) -> Option<f64> {
        let value = self.signed(name)?;
        if !(0.0..=1e7).contains(&value) {
            let (_, at, said) = self.cell(name)?;
            let message = format!("{} cannot be {}", name, shown(&said));
            self.reading.fault("out-of-range", at, message, "check the sign and the number");
            return None;
        }
        Some(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pour::learn::{Factor, seen};

    const HEAD: &str =
        "day, pour, base, figured yd3, delivered yd3, left yd3, late min, cost figured, cost\n";

    #[test]
    fn pours_are_read_in_the_order_of_their_days_and_empty_cells_are_not_known() {
        let text = format!(
            "{HEAD}2026-05-04, second, stone, 10, 10.75, 0.25, -3, 1000, 1100\n2026-04-02, first, , 20, , , , ,\n"
        );
        let parsed = read_past(text.as_bytes(), "past.csv");
        let pours = parsed.report.value.expect("no fault");
        assert_eq!(pours.iter().map(|p| p.pour.as_str()).collect::<Vec<_>>(), ["first", "second"]);
        assert_eq!((pours[0].delivered, pours[0].base.as_deref()), (None, None));
        assert!((pours[1].late.expect("told").in_minutes() + 3.0).abs() < 1e-12);
        // (10.75 - 0.25 - 4 ft3) / 10 - 1 = 3.52 %.
        let allowance = seen(&pours, Factor::Allowance);
        assert_eq!(allowance.len(), 1);
        assert!((allowance[0].value - 0.0352).abs() < 1e-4, "{allowance:?}");
        assert!((seen(&pours, Factor::Cost)[0].value - 0.0953).abs() < 1e-4);
    }

    #[test]
    fn all_faults_are_told_at_once() {
        let text = format!(
            "{HEAD}2026-13-04, a, , x, 10, 0, 0, 1, 1\n2026-05-04, b, , -4, 10\n2026-05-05, c,,1,1,1,1,1,1\n2026-05-05, c,,1,1,1,1,1,1\n"
        );
        let parsed = read_past(text.as_bytes(), "past.csv");
        let codes: Vec<&str> = parsed.report.notes.iter().map(|n| n.code).collect();
        assert_eq!(codes, ["not-a-day", "not-a-number", "wrong-count", "double-name"]);
        for text in [
            "",
            "pour\n",
            "day, pour, figured\n",
            "day, pour, figured parsec\n",
            "day, pour, figurd yd3\n",
            "day, pour, base m\n",
        ] {
            assert!(read_past(text.as_bytes(), "past.csv").report.value.is_none(), "{text:?}");
        }
        assert!(read_past(&[0xff, 0xfe], "past.csv").report.value.is_none());
    }
}
