//! The job file, layout 1: TOML text to a [`Job`], with every fault found and where it stands.
//!
//! While a file is read, a required value that is missing or wrong is noted as a fault and stands as
//! zero for the rest of the reading, so that one fault does not hide the next. Nobody sees that zero: a
//! job with any fault is not handed out.

mod crew;
mod defaults;
mod findings;
mod finish;
mod finishing;
mod joints;
mod names;
mod outline;
pub(crate) mod plan_words;
mod plant;
mod supplies;
pub(crate) mod survey;
mod table;
mod walk;

use basis::{Note, Place, Report, RodMarks, UnitSystem};
use pour::Job;
use toml::de::{DeTable, DeValue};

use crate::keys::{JOB_FILE, TableSpec};
use crate::quantity::shown;
use crate::source::{Locator, SourceFile, SourceMap, Span};
use crate::survey_csv;

pub(crate) use crew::BASE_NOT_STATED;
pub(crate) use findings::Findings;
pub(crate) use finish::level;
pub(crate) use plant::currency;
pub(crate) use table::Table;
#[cfg(test)]
pub(crate) use table::example_of;

/// Largest job file and largest file of shots that is read: 10 MB.
pub const LARGEST_FILE: usize = 10_000_000;

/// A job file as read: the job if nothing is at fault, all notes, and where their places are.
#[derive(Debug, Clone)]
pub struct Parsed {
    /// The job and the notes, in the order of the files.
    pub report: Report<Job>,
    /// From places to lines and columns.
    pub source: SourceMap,
}

/// Fetches the bytes of a file that the job file names, or says why it cannot.
pub type FetchFile<'f> = &'f dyn Fn(&str) -> Result<Vec<u8>, String>;

/// Reads a job file from its bytes. Not UTF-8, empty and oversized files are faults like any other.
#[must_use]
pub fn read_job_bytes(bytes: &[u8], file_name: &str, csv: FetchFile<'_>) -> Parsed {
    let (report, source) = with_source(bytes, file_name, |text, f, source| {
        let root = opened(&JOB_FILE, "flatwright", text, f)?;
        let table = Table::open(&JOB_FILE, root.get_ref(), Place::job(), 0..0, f);
        Some(job(&table, f, source, csv))
    });
    Parsed { report, source }
}

/// Reads a job file.
///
/// `csv` fetches the file of shots that the job may name. Every fault of both files is in the report; the
/// job is there only when there is none.
#[must_use]
pub fn read_job(text: &str, file_name: &str, csv: FetchFile<'_>) -> Parsed {
    read_job_bytes(text.as_bytes(), file_name, csv)
}

/// Reads a file with all its faults: what `read` makes of the text, if nothing is at fault.
pub(crate) fn with_source<T>(
    bytes: &[u8],
    file_name: &str,
    read: impl FnOnce(&str, &mut Findings, &mut SourceMap) -> Option<T>,
) -> (Report<T>, SourceMap) {
    if bytes.len() > LARGEST_FILE {
        return refused(file_name, "", too_large(bytes.len(), Place::job()));
    }
    let text = match std::str::from_utf8(bytes) {
        // A byte order mark is kept out of the text, so that columns of the first line are right.
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => return not_utf8(bytes, file_name, error.valid_up_to()),
    };
    let mut source = SourceMap::default();
    source.files.push(SourceFile { name: file_name.to_owned(), text: text.to_owned() });
    let mut f = Findings::default();
    let value = read(text, &mut f, &mut source);
    source.pins.append(&mut f.pins);
    let mut notes = f.notes;
    sort_by_file(&mut notes, &source);
    let value = value.filter(|_| !basis::report::has_fault(&notes));
    (Report { value, notes }, source)
}

fn not_utf8<T>(bytes: &[u8], file_name: &str, start: usize) -> (Report<T>, SourceMap) {
    let text = String::from_utf8_lossy(bytes);
    let place = Place::at("flatwright");
    let hint = "save the file as UTF-8 in the editor";
    let note = Note::fault("not-utf-8", place, format!("byte {start} is not UTF-8 text"), hint);
    let (report, mut source) = refused(file_name, &text, note);
    source.pins.insert("flatwright".to_owned(), Span { file: 0, start, end: start + 1 });
    (report, source)
}

fn too_large(size: usize, place: Place) -> Note {
    let message =
        format!("the file has {} MB; at most {} MB are read", size / 1_000_000, LARGEST_FILE / 1_000_000);
    Note::fault("file-too-large", place, message, "check that this is the right file")
}

fn refused<T>(file_name: &str, text: &str, note: Note) -> (Report<T>, SourceMap) {
    let mut source = SourceMap::default();
    source.files.push(SourceFile { name: file_name.to_owned(), text: text.to_owned() });
    (Report::refused(vec![note]), source)
}

/// Sorts notes by where they stand; those about the job as a whole come first.
pub(crate) fn sort_by_file(notes: &mut [Note], source: &SourceMap) {
    let locator = Locator::new(source);
    notes.sort_by_cached_key(|note| locator.locate(&note.place));
}

/// The file's root table, if it is TOML of the right layout; `version` is the key that says which.
pub(crate) fn opened<'t>(
    spec: &TableSpec,
    version: &'static str,
    text: &'t str,
    f: &mut Findings,
) -> Option<toml::Spanned<DeTable<'t>>> {
    if text.trim().is_empty() {
        let hint = "write a starter with `flatwright new` and fill it in";
        f.notes.push(Note::fault("empty-file", Place::job(), "the file is empty", hint));
        return None;
    }
    let (root, errors) = DeTable::parse_recoverable(text);
    for error in errors.iter().take(50) {
        let at = error.span().unwrap_or(0..0);
        let line = text.as_bytes()[..at.start.min(text.len())].iter().filter(|&&b| b == b'\n').count() + 1;
        let hint = "every line is a [table], a key = \"value\", or a # remark; mend this first";
        // A place of its own for each, or the first would hide where the others stand.
        let place = Place::at(format!("line {line} byte {}", at.start));
        f.fault("not-toml", &place, &at, error.message(), hint);
    }
    if !errors.is_empty() || !right_version((spec, version), root.get_ref(), f) {
        return None;
    }
    Some(root)
}

fn right_version((spec, version): (&TableSpec, &'static str), root: &DeTable<'_>, f: &mut Findings) -> bool {
    let place = Place::at(version);
    let hint = format!("write {version} = 1 on the first line");
    match root.get(version) {
        None => {
            let message = format!("the {} does not say its layout", spec.called);
            f.notes.push(Note::fault("missing-version", place, message, hint));
        }
        Some(value) => match value.get_ref() {
            DeValue::Integer(number) if number.radix() == 10 && number.as_str() == "1" => return true,
            DeValue::Integer(number) => {
                let message = format!("layout {} is not known; this is layout 1", shown(number.as_str()));
                f.fault("wrong-version", &place, &value.span(), message, hint);
            }
            _ => f.fault("wrong-version", &place, &value.span(), "the layout is a whole number", hint),
        },
    }
    false
}

pub(crate) fn job(root: &Table<'_>, f: &mut Findings, source: &mut SourceMap, csv: FetchFile<'_>) -> Job {
    let head = root.table(f, "job");
    let head = head.as_ref();
    let units = match head.and_then(|table| table.choice(f, "units")) {
        Some(1) => UnitSystem::Metric,
        _ => UnitSystem::Us,
    };
    let rod = match head.and_then(|table| table.choice(f, "rod")) {
        Some(0) => RodMarks::Sixteenths,
        Some(2) => RodMarks::Tenths,
        Some(3) => RodMarks::Millimetres,
        _ => RodMarks::Eighths,
    };
    let (outline, walk) = outline::outline(root, f, units);
    let finish = finish::finish(root, f, &outline.openings);
    let (mut survey, shots_file) = survey::survey(root, f, units);
    if let Some(name) = shots_file {
        survey_csv::add_shots(&name, &mut survey, f, source, csv);
    }
    survey::check_sights(f, &survey);
    let (allowance, loss) = plant::order(root, f);
    let (base, bed) = crew::base(root, f);
    let mix = finishing::mix(root, f);
    let site = finishing::site(root, f);
    let zone = head.and_then(|table| zone(table, f)).unwrap_or_default();
    let weather = finishing::weather(root, f, source, csv, &zone);
    let mut job = Job {
        name: head.and_then(|table| table.text(f, "name")).unwrap_or_default(),
        zone,
        units,
        rod,
        slab: crew::slab(root, f, units),
        base,
        forms: crew::forms(root, f, &survey, units),
        crew: crew::crew(root, f, &outline, units),
        chutes: crew::chutes(root, f, units),
        stands: crew::stands(root, f),
        plant: plant::plant(root, f),
        allowance,
        loss,
        day: plant::day(root, f),
        mix,
        site,
        weather,
        bed,
        finishing: finishing::finishing(root, f),
        joints: joints::joints(root, f),
        reinforcement: supplies::reinforcement(root, f),
        supplies: supplies::supplies(root, f),
        assumed: Vec::new(),
        outline,
        walk,
        finish,
        survey,
    };
    job.plant.currency = plant::currency(f);
    job.assumed = std::mem::take(&mut f.assumed);
    job
}

fn zone(table: &Table<'_>, f: &mut Findings) -> Option<String> {
    let name = table.text(f, "zone")?;
    let bundled = jiff::tz::TimeZoneDatabase::bundled();
    if bundled.get(&name).is_ok() {
        return Some(name);
    }
    let span = table.value(f, "zone").map_or(table.span.clone(), |value| value.span);
    let message = format!("there is no time zone \"{}\"", shown(&name));
    let hint = "write the IANA name of the site's zone, as in \"America/New_York\" or \"Europe/Vienna\"";
    f.fault("unknown-zone", &table.place.key("zone"), &span, message, hint);
    None
}
