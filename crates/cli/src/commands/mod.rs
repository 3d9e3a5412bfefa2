//! One file a command.

pub mod backup;
pub mod balance;
pub mod clock;
pub mod close;
pub mod export;
pub mod import;
mod instant;
pub mod joints;
pub mod learn;
pub mod new;
pub mod papers;
pub mod people;
pub mod plan;
pub mod price;
pub mod schema;
mod seen;
pub mod serve;
pub mod sweep;
pub mod takeoff;

use std::io::IsTerminal;
use std::path::Path;

use basis::{Note, Severity};
use formats::{Ink, NoteStyle, SourceMap, read_job_bytes, render_notes};
use pour::Job;

use crate::error::Failure;

/// A job as read, with what is needed to point into its file.
pub struct Loaded {
    /// The job.
    pub job: Job,
    /// From places to lines.
    pub source: SourceMap,
    /// Notes made while reading.
    pub notes: Vec<Note>,
}

/// Largest file looked at, bytes; the reader's own limit is below it and says so with a note.
const LARGEST: u64 = 64 * 1024 * 1024;

/// Reads a job file and the shots that it names beside it.
pub fn load(path: &Path) -> Result<Loaded, Failure> {
    let bytes = read(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let fetch = |name: &str| {
        let beside = folder.join(name);
        std::fs::read(&beside).map_err(|why| format!("{}: {why}", beside.display()))
    };
    let parsed = read_job_bytes(&bytes, &path.display().to_string(), &fetch);
    match parsed.report.value {
        Some(job) => Ok(Loaded { job, source: parsed.source, notes: parsed.report.notes }),
        None => Err(Failure::faults(notes_text(&parsed.report.notes, &parsed.source, Severity::Remark))),
    }
}

pub fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let size = std::fs::metadata(path).map_err(|why| Failure::file(path, "read", &why))?.len();
    if size > LARGEST {
        let text = format!("{} holds {} MB: that is no job file\n", path.display(), size / 1_000_000);
        return Err(Failure::faults(text));
    }
    std::fs::read(path).map_err(|why| Failure::file(path, "read", &why))
}

/// Notes of at least a severity, as text for the terminal.
pub fn notes_text(notes: &[Note], source: &SourceMap, least: Severity) -> String {
    let shown: Vec<Note> = notes.iter().filter(|n| n.severity >= least).cloned().collect();
    let ink = if std::io::stderr().is_terminal() { Ink::Colour } else { Ink::Plain };
    render_notes(&shown, source, NoteStyle { ink, ..NoteStyle::default() })
}

/// Writes one file into a folder, which is there.
fn write_file(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), Failure> {
    let path = folder.join(name);
    std::fs::write(&path, bytes).map_err(|why| Failure::file(&path, "write", &why))
}

/// Writes the drawings into a folder, which is made if it is not there.
pub fn write_drawings(folder: &Path, sheets: &[(String, String)]) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|why| Failure::file(folder, "make", &why))?;
    for (name, drawing) in sheets {
        write_file(folder, name, drawing.as_bytes())?;
    }
    Ok(())
}
