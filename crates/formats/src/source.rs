//! From a place in the job to a line and column of a file.
//!
//! A place is a path of keys, as the file's tables nest: `door[0].width`, `walk.leg[3]`,
//! `setup[1].shots[4].reading`, `survey.shots_file[12].reading`. Indices count from 0. In a row of
//! `shots` the parts are `name`, `x`, `y` (or `at`), `reading` and `on`; in a point they are `x`, `y`
//! and `z`; a row of the CSV file is counted from the first line under the heading. A path that leads
//! nowhere falls back to its longest part that leads somewhere.

use std::collections::BTreeMap;

use basis::Place;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A stretch of one of the files, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// Index of the file in the map.
    pub file: usize,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// Where a span starts, as an editor counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Position {
    /// Name of the file.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// Column in characters, counted from 1.
    pub column: usize,
}

/// A file as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SourceFile {
    pub name: String,
    pub text: String,
}

impl SourceFile {
    /// Byte range of the line that holds this byte, without its line end, and the line's number from 1.
    pub fn line_at(&self, byte: usize) -> (usize, std::ops::Range<usize>) {
        let bytes = self.text.as_bytes();
        let byte = byte.min(bytes.len());
        let number = bytes[..byte].iter().filter(|&&b| b == b'\n').count() + 1;
        let start = bytes[..byte].iter().rposition(|&b| b == b'\n').map_or(0, |at| at + 1);
        let mut end = bytes[byte..].iter().position(|&b| b == b'\n').map_or(bytes.len(), |at| byte + at);
        if end > start && bytes[end - 1] == b'\r' {
            end -= 1;
        }
        (number, start..end)
    }
}

/// Rows of a CSV file of shots: where each starts.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct CsvRows {
    pub file: usize,
    pub separator: u8,
    /// Name of each column, as far as known.
    pub columns: Vec<String>,
    /// Byte at which each row starts.
    pub starts: Vec<usize>,
}

/// Knows which line and column of which file a place of the job is.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SourceMap {
    pub(crate) files: Vec<SourceFile>,
    pub(crate) pins: BTreeMap<String, Span>,
    pub(crate) csv: Option<CsvRows>,
}

impl SourceMap {
    /// The stretch that a place points at, or nothing for the job as a whole.
    ///
    /// Reads the file anew, so take a few places this way, or all notes through
    /// [`render_notes`](crate::render_notes).
    #[must_use]
    pub fn locate(&self, place: &Place) -> Option<Span> {
        Locator::new(self).locate(place)
    }

    /// Where a span starts, as an editor counts.
    #[must_use]
    pub fn position(&self, span: Span) -> Option<Position> {
        let file = self.files.get(span.file)?;
        let (line, range) = file.line_at(span.start);
        let before = file.text.get(range.start..span.start.clamp(range.start, range.end)).unwrap_or("");
        Some(Position { file: file.name.clone(), line, column: before.chars().count() + 1 })
    }
}

/// Finds places in a job file that is parsed once.
pub(crate) struct Locator<'a> {
    map: &'a SourceMap,
    // Parsed when a place is first asked for that is not pinned; most faults of a file are.
    root: std::cell::OnceCell<Option<DeTable<'a>>>,
}

impl<'a> Locator<'a> {
    pub fn new(map: &'a SourceMap) -> Self {
        Self { map, root: std::cell::OnceCell::new() }
    }

    fn root(&self) -> Option<&DeTable<'a>> {
        let parse = || {
            let file = self.map.files.first()?;
            Some(DeTable::parse_recoverable(&file.text).0.into_inner())
        };
        self.root.get_or_init(parse).as_ref()
    }

    pub fn locate(&self, place: &Place) -> Option<Span> {
        let path = place.path();
        if path.is_empty() {
            return None;
        }
        if let Some(span) = self.map.pins.get(path) {
            return Some(*span);
        }
        if let Some(span) = self.map.csv.as_ref().and_then(|rows| in_csv(self.map, rows, path)) {
            return Some(span);
        }
        let range = walk_to(self.root()?, &steps(path))?;
        Some(Span { file: 0, start: range.start, end: range.end })
    }
}

/// One step of a path.
pub(crate) enum Step<'p> {
    Key(&'p str),
    Index(usize),
}

pub(crate) fn steps(path: &str) -> Vec<Step<'_>> {
    let mut out = Vec::new();
    for part in path.split('.') {
        let mut pieces = part.split('[');
        out.extend(pieces.next().filter(|key| !key.is_empty()).map(Step::Key));
        out.extend(pieces.filter_map(|piece| piece.strip_suffix(']')?.parse().ok()).map(Step::Index));
    }
    out
}

fn walk_to(root: &DeTable<'_>, steps: &[Step<'_>]) -> Option<std::ops::Range<usize>> {
    let Some(Step::Key(first)) = steps.first() else { return None };
    let (key, value) = root.get_key_value(*first)?;
    let mut found = useful(key.span(), value.span());
    let mut value = value;
    for step in &steps[1..] {
        let Some((next, range)) = one_step(value, step) else { break };
        value = next;
        found = range;
    }
    Some(found)
}

/// The next value on a path and the stretch that stands for it.
fn one_step<'t, 'i>(
    value: &'t Spanned<DeValue<'i>>,
    step: &Step<'_>,
) -> Option<(&'t Spanned<DeValue<'i>>, std::ops::Range<usize>)> {
    match (value.get_ref(), step) {
        (DeValue::Table(table), Step::Key(key)) => {
            let (key, value) = table.get_key_value(*key)?;
            Some((value, useful(key.span(), value.span())))
        }
        (DeValue::Array(items), Step::Index(index)) => items.get(*index).map(|item| (item, item.span())),
        (DeValue::Array(items), Step::Key(key)) => {
            let index = part_of_row(key, items.len())?;
            items.get(index).map(|item| (item, item.span()))
        }
        _ => None,
    }
}

/// Which part of a row or a point a key means.
pub(crate) fn part_of_row(key: &str, length: usize) -> Option<usize> {
    let row = ["name", "x", "y", "reading", "on"];
    let point = ["x", "y", "z"];
    let names: &[&str] = if length > 3 { &row } else { &point };
    let key = if key == "at" { "x" } else { key };
    names.iter().position(|name| *name == key)
}

/// A table that is only implied by its children has no stretch of its own: its key stands for it.
fn useful(key: std::ops::Range<usize>, value: std::ops::Range<usize>) -> std::ops::Range<usize> {
    if value.is_empty() { key } else { value }
}

fn in_csv(map: &SourceMap, rows: &CsvRows, path: &str) -> Option<Span> {
    let rest = path.strip_prefix("survey.shots_file[")?;
    let (index, rest) = rest.split_once(']')?;
    let start = *rows.starts.get(index.parse::<usize>().ok()?)?;
    let (_, line) = map.files.get(rows.file)?.line_at(start);
    let column = match rest.strip_prefix('.').unwrap_or("") {
        "at" => "x",
        other => other,
    };
    let text = map.files[rows.file].text.get(start..line.end)?;
    let cell = rows
        .columns
        .iter()
        .position(|name| name == column)
        .and_then(|at| crate::survey_csv::cells(text, rows.separator).nth(at));
    let (from, to) = cell.map_or((start, line.end), |cell| (start + cell.start, start + cell.end));
    Some(Span { file: rows.file, start: from, end: to })
}
