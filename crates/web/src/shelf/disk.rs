//! The shelf on disk: a folder of jobs as `store` keeps it.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::{Arc, Mutex, PoisonError};

use formats::events::{Event, JobId, State};
use jiff::Timestamp;
use store::{Answer, Fault, Place, Store};

use super::{DEMO, Shelf, ShelfFault, Told};

/// The setting that holds the rate book, and the file in the folder that does so until it is written here.
const RATES: &str = "rates.toml";

/// The shelf on disk. Jobs stand in addresses by their ids.
#[derive(Debug)]
pub struct DiskShelf {
    store: Arc<Store>,
    /// What was folded last of each job, with the place of its last event.
    folded: Mutex<BTreeMap<JobId, (Place, Arc<State>)>>,
}

impl DiskShelf {
    /// Opens a folder, and makes it where there is none. `who` is told to a second program that tries.
    ///
    /// # Errors
    /// As [`Store::open`].
    pub fn open(folder: &Path, who: &str, now: Timestamp) -> Result<Self, Fault> {
        Ok(Self { store: Arc::new(Store::open(folder, who, now)?), folded: Mutex::default() })
    }

    /// The folder, for its people and photos.
    #[must_use]
    pub fn store(&self) -> Arc<Store> {
        Arc::clone(&self.store)
    }

    /// Puts the jobs of the demonstration into a folder that has none.
    ///
    /// # Errors
    /// When the folder cannot be read or written.
    pub fn bring_demo(&self, now: Timestamp) -> Result<(), Fault> {
        if !self.store.jobs()?.is_empty() {
            return Ok(());
        }
        for demo in &DEMO {
            self.store.import(demo.text, demo.files, "demonstration", now)?;
        }
        Ok(())
    }

    fn state(&self, job: JobId) -> Result<Option<Arc<State>>, Fault> {
        let last = self.store.last_place(Some(job))?;
        let known = |folded: &BTreeMap<JobId, (Place, Arc<State>)>| folded.get(&job).cloned();
        if let Some((place, state)) = known(&self.folded.lock().unwrap_or_else(PoisonError::into_inner))
            && place == last
        {
            return Ok(Some(state));
        }
        let Some((state, place)) = self.store.state(job)? else { return Ok(None) };
        let state = Arc::new(state);
        self.folded.lock().unwrap_or_else(PoisonError::into_inner).insert(job, (place, Arc::clone(&state)));
        Ok(Some(state))
    }
}

/// A fault in words for a page.
pub fn in_words(fault: &Fault) -> String {
    let hint = if fault.note.hint.is_empty() { String::new() } else { format!(" ({})", fault.note.hint) };
    format!("{}{hint}", fault.note.message)
}

fn told(fault: Fault) -> ShelfFault {
    ShelfFault(in_words(&fault))
}

impl Shelf for DiskShelf {
    fn ids(&self) -> Result<Vec<String>, ShelfFault> {
        let jobs = self.store.jobs().map_err(told)?;
        Ok(jobs.into_iter().filter(|job| !job.shelved).map(|job| job.id.to_string()).collect())
    }
    fn job(&self, id: &str) -> Result<Option<Arc<State>>, ShelfFault> {
        let Ok(id) = id.parse() else { return Ok(None) };
        self.state(id).map_err(told)
    }
    fn last(&self, id: &str, most: usize) -> Result<Vec<Event>, ShelfFault> {
        let Ok(id) = id.parse() else { return Ok(Vec::new()) };
        let all = self.store.events_after(Some(id), Place(0), usize::MAX).map_err(told)?;
        Ok(all.into_iter().rev().take(most).map(|kept| kept.event).collect())
    }
    fn append(&self, id: &str, told_event: Told) -> Result<(), ShelfFault> {
        let job = id.parse().map_err(|_| ShelfFault(format!("there is no job {id}")))?;
        let Told { id, tick, made, came, by, change } = told_event;
        // A form that was sent twice comes at two times: as an event it is the first.
        let known = self.store.events_after(Some(job), Place(0), usize::MAX).map_err(told)?;
        if let Some(known) = known.iter().find(|kept| kept.event.id == id) {
            return super::same(&known.event.change, &change);
        }
        let event = Event { id, job, tick, made, by, change };
        match self.store.append(&[event], came).map_err(told)?.pop() {
            Some(Answer::Refused(fault)) => Err(told(fault)),
            _ => Ok(()),
        }
    }
    fn rates(&self, _: &str) -> Option<String> {
        // The book that was written here goes before a file that somebody laid beside the jobs: it is in the backup too.
        let kept = self.store.setting(RATES).ok().flatten();
        kept.or_else(|| std::fs::read_to_string(self.store.folder().join(RATES)).ok())
    }
    fn keep_rates(&self, _: &str, text: &str) -> Result<(), ShelfFault> {
        self.store.set_setting(RATES, Some(text)).map_err(told)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use formats::events::{Change, EventId};

    /// What was acknowledged is there when the folder is opened again, and a form that came twice is there once.
    #[test]
    fn what_is_kept_is_there_after_a_new_start() {
        let folder = tempfile::tempdir().unwrap();
        let now: Timestamp = "2026-06-12T15:00:00Z".parse().unwrap();
        let shelf = DiskShelf::open(folder.path(), "a test", now).unwrap();
        shelf.bring_demo(now).unwrap();
        let ids = shelf.ids().unwrap();
        assert_eq!(ids.len(), DEMO.len());
        let id = ids[0].clone();
        let tick = shelf.job(&id).unwrap().unwrap().tick + 1;
        let remark = |words: &str| Told {
            id: EventId::from_bytes([7; 16]),
            tick,
            made: now,
            came: now,
            by: "a test".into(),
            change: Change::Log(pour::log::Entry {
                at: now,
                what: pour::log::What::Remark { words: words.into() },
            }),
        };
        shelf.append(&id, remark("gate is locked")).unwrap();
        shelf.append(&id, remark("gate is locked")).unwrap();
        assert!(shelf.append(&id, remark("gate is open")).is_err());
        drop(shelf);
        let again = DiskShelf::open(folder.path(), "a test", now).unwrap();
        again.bring_demo(now).unwrap();
        assert_eq!(again.ids().unwrap().len(), DEMO.len());
        assert_eq!(again.job(&id).unwrap().unwrap().log.len(), 1);
    }

    #[test]
    fn a_strange_id_is_no_job() {
        let folder = tempfile::tempdir().unwrap();
        let shelf = DiskShelf::open(folder.path(), "a test", Timestamp::UNIX_EPOCH).unwrap();
        for id in ["", "../../x", "boat-shed", "0123"] {
            assert!(shelf.job(id).unwrap().is_none(), "{id}");
        }
    }
}
