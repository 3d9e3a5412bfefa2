//! One job as files, and back.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;

use formats::events::{
    Change, Event, EventId, Fingerprint, JobId, LARGEST_EVENT, State, read_event, write_event,
};
use jiff::Timestamp;
use pour::log::What;

use crate::events::Place;
use crate::fault::{Fault, Kind};
use crate::open::Store;
use crate::photos::PhotoHash;
use crate::{files, secret};

/// What an export wrote, or an import of one took.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Exported {
    /// Events.
    pub events: u64,
    /// Photos.
    pub photos: u64,
    /// Photos that the log names and that never came.
    pub photos_missing: u64,
}

impl Store {
    /// Writes a job into a folder that is empty or not there: `job.toml` with the files that it names, `events.jsonl` with all events,
    /// `photos/` with what the log names.
    ///
    /// # Errors
    /// There is no such job, something is in the folder, or it cannot be written.
    pub fn export(&self, job: JobId, into: &Path) -> Result<Exported, Fault> {
        let kept = self.events_after(Some(job), Place(0), usize::MAX)?;
        let events: Vec<Event> = kept.into_iter().map(|kept| kept.event).collect();
        if events.is_empty() {
            return Err(Fault::new(
                Kind::NotThere,
                format!("there is no job {job}"),
                "look at the list of jobs",
            ));
        }
        files::make_folder(into)?;
        let is_empty = fs::read_dir(into).map_err(|error| Fault::file(into, &error))?.next().is_none();
        if !is_empty {
            let message = format!("{} is not empty", into.display());
            return Err(Fault::new(Kind::InTheWay, message, "name a folder that is not there yet"));
        }
        let state = formats::events::fold(&events);
        files::write_whole(&into.join("job.toml"), state.text.as_bytes())?;
        for (name, text) in &state.files {
            // Names were looked at when they came: no folders, nothing hidden, but one may be that of a file of ours.
            let ours = ["job.toml", "events.jsonl", "photos"].contains(&name.as_str());
            let name = if ours { format!("given-{name}") } else { name.clone() };
            files::write_whole(&into.join(name), text.as_bytes())?;
        }
        let lines: String = events.iter().map(|event| write_event(event) + "\n").collect();
        files::write_whole(&into.join("events.jsonl"), lines.as_bytes())?;
        let mut done = Exported { events: events.len() as u64, ..Exported::default() };
        for hash in photos_of(&state) {
            match self.photo(hash)? {
                None => done.photos_missing += 1,
                Some((bytes, _)) => {
                    files::make_folder(&into.join("photos"))?;
                    files::write_whole(&into.join("photos").join(hash.text()), &bytes)?;
                    done.photos += 1;
                }
            }
        }
        Ok(done)
    }

    /// Takes up the events and photos of a folder that [`Store::export`] wrote. Those that are kept already are passed over.
    ///
    /// # Errors
    /// The folder holds no events, a line is none, an event is refused; then nothing of its events is kept.
    pub fn take_export(&self, from: &Path, now: Timestamp) -> Result<Exported, Fault> {
        let path = from.join("events.jsonl");
        let events = lines(&path)?;
        let mut done = Exported::default();
        for hash in events.iter().filter_map(photo_of) {
            match fs::File::open(from.join("photos").join(hash.text())) {
                Ok(file) => {
                    self.keep_photo(file, Some(hash), now)?;
                    done.photos += 1;
                }
                Err(_) => done.photos_missing += 1,
            }
        }
        let refused = self.append_all(&events, now)?;
        if let Some(fault) = refused {
            return Err(fault);
        }
        done.events = events.len() as u64;
        Ok(done)
    }

    /// Makes a new job of a job file and the files that it names.
    ///
    /// # Errors
    /// The text is too long or no TOML, a name is none, or the database cannot be written; then nothing is kept.
    pub fn import(
        &self,
        text: &str,
        files: &[(&str, &str)],
        by: &str,
        now: Timestamp,
    ) -> Result<JobId, Fault> {
        let mut id = [0; 16];
        secret::fill(&mut id)?;
        let job = JobId::from_bytes(id);
        let mut events =
            vec![self.event(job, 1, by, Change::Text { text: text.to_owned(), saw: None }, now)?];
        for (tick, (name, text)) in (2..).zip(files) {
            let (name, text) = ((*name).to_owned(), Some((*text).to_owned()));
            events.push(self.event(
                job,
                tick,
                by,
                Change::File { name, text, saw: None::<Fingerprint> },
                now,
            )?);
        }
        match self.append_all(&events, now)? {
            None => Ok(job),
            Some(fault) => Err(fault),
        }
    }

    /// An event with a new id.
    ///
    /// # Errors
    /// When the system has no randomness to give.
    pub fn event(
        &self,
        job: JobId,
        tick: u64,
        by: &str,
        change: Change,
        now: Timestamp,
    ) -> Result<Event, Fault> {
        let mut id = [0; 16];
        secret::fill(&mut id)?;
        Ok(Event { id: EventId::from_bytes(id), job, tick, made: now, by: by.to_owned(), change })
    }
}

/// The photo that an event of the log names.
fn photo_of(event: &Event) -> Option<PhotoHash> {
    match &event.change {
        Change::Log(entry) => photo(&entry.what),
        _ => None,
    }
}

fn photo(what: &What) -> Option<PhotoHash> {
    if let What::Photo { hash, .. } = what { Some(PhotoHash(*hash)) } else { None }
}

fn photos_of(state: &State) -> Vec<PhotoHash> {
    let mut hashes: Vec<PhotoHash> =
        state.log.iter().filter_map(|logged| photo(&logged.entry.what)).collect();
    hashes.sort();
    hashes.dedup();
    hashes
}

/// The events of a file with one on each line.
fn lines(path: &Path) -> Result<Vec<Event>, Fault> {
    let failed = |error: std::io::Error| Fault::file(path, &error);
    let mut reader = BufReader::new(fs::File::open(path).map_err(failed)?);
    let mut events = Vec::new();
    let mut line = Vec::new();
    loop {
        line.clear();
        let most = LARGEST_EVENT as u64 + 2;
        let count = std::io::Read::take(&mut reader, most).read_until(b'\n', &mut line).map_err(failed)?;
        if count == 0 {
            return Ok(events);
        }
        let report = read_event(line.trim_ascii());
        match report.value {
            Some(event) => events.push(event),
            None => {
                let why = report.notes.first().map(|note| format!("{}: {}", note.place, note.message));
                let message = format!(
                    "line {} of {} is no event: {}",
                    events.len() + 1,
                    path.display(),
                    why.unwrap_or_default()
                );
                return Err(Fault::new(Kind::Refused, message, "export the job again"));
            }
        }
    }
}
