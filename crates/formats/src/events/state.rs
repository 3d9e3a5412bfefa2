//! A job as its events have left it.

use std::collections::BTreeMap;

use basis::{Note, Place};
use jiff::Timestamp;
use pour::log::Entry;

use super::document::Document;
use super::{Address, EventId, Fingerprint};
use crate::Parsed;

/// What all events of a job come to.
#[derive(Debug, Clone, Default)]
pub struct State {
    /// The job file with its remarks; empty when there is none.
    pub text: String,
    /// The files that it names, as far as they were given.
    pub files: BTreeMap<String, String>,
    /// The log of the pour day, in order of time.
    pub log: Vec<Logged>,
    /// Writers who did not see what others had written, in the order of the events.
    pub conflicts: Vec<Conflict>,
    /// Events that are taken back, each with those that do so.
    pub undone: BTreeMap<EventId, Vec<EventId>>,
    /// What is to be said of events that could not be applied as they were meant.
    pub faults: Vec<EventNote>,
    /// Highest tick of any event: the next one made takes one more.
    pub tick: u64,
    pub(super) document: Document,
}

/// An entry of the log with who told it.
#[derive(Debug, Clone, PartialEq)]
pub struct Logged {
    /// The event that told it.
    pub event: EventId,
    /// Who told it.
    pub by: String,
    /// What the teller's clock showed then.
    pub made: Timestamp,
    /// What was told.
    pub entry: Entry,
}

/// What two writers wrote without knowing of each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Touched {
    /// The whole text of the job file.
    Text,
    /// A file that the job file names.
    File(String),
    /// A value of the job file.
    Value(Address),
}

/// Somebody wrote a value and had seen another than the one that stood there. The later event by the order of all counts; the other
/// value is kept here.
#[derive(Debug, Clone, PartialEq)]
pub struct Conflict {
    /// The event of the later writer.
    pub event: EventId,
    /// The later writer.
    pub by: String,
    /// What was written.
    pub at: Touched,
    /// What the later writer had seen, as TOML or as the fingerprint of a text; nothing where nothing was.
    pub saw: Option<String>,
    /// What stood there, as TOML or text; nothing where nothing was, or a row was gone.
    pub stood: Option<String>,
    /// The event that had put or taken it, and who made it; absent when it came with the text of the job.
    pub stood_by: Option<(EventId, String)>,
    /// What the later writer wrote; nothing when it was taken away.
    pub wrote: Option<String>,
    /// Whether what was written stands; it cannot where the row was gone.
    pub outcome: Outcome,
    /// The event whose writer has seen both and decided.
    pub settled_by: Option<EventId>,
}

/// What stands after a conflict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// What the later writer wrote.
    LaterStands,
    /// Nothing of what the later writer wrote: the row that it was in had been taken away.
    RowIsGone,
}

/// Something to be said of an event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventNote {
    /// The event.
    pub event: EventId,
    /// Who made it.
    pub by: String,
    /// What is to be said; its place is where the event was meant to apply.
    pub note: Note,
}

impl State {
    /// Whether there is a job file.
    #[must_use]
    pub fn is_there(&self) -> bool {
        self.document.is_there
    }

    /// Reads the job file with the files that it names.
    #[must_use]
    pub fn read(&self, file_name: &str) -> Parsed {
        let fetch = |name: &str| {
            let text = self.files.get(name).ok_or_else(|| format!("{name} was not given with the job"))?;
            Ok(text.clone().into_bytes())
        };
        crate::read_job(&self.text, file_name, &fetch)
    }

    /// The address of a place of the job file as it stands: `setup[0].shots[3].reading`, as notes have it.
    ///
    /// Nothing when no such place is there and nothing can be put there.
    #[must_use]
    pub fn address(&self, place: &Place) -> Option<Address> {
        self.document.address(place)
    }

    /// The place of an address in the job file as it stands; nothing when its row is gone.
    #[must_use]
    pub fn place(&self, at: &Address) -> Option<Place> {
        self.document.place(at)
    }

    /// The value that stands at an address, as TOML in its one way of writing: what a writer states as seen.
    #[must_use]
    pub fn value(&self, at: &Address) -> Option<String> {
        self.document.find(at).ok()?.node?.canonical()
    }

    /// Fingerprint of the text of the job file; nothing when there is none.
    #[must_use]
    pub fn fingerprint(&self) -> Option<Fingerprint> {
        self.is_there().then(|| Fingerprint::of(&self.text))
    }

    /// The entries of the log alone, in order of time, as [`pour::log::so_far`] takes them: place `log[i]` is row `i` of
    /// [`State::log`].
    #[must_use]
    pub fn entries(&self) -> Vec<Entry> {
        self.log.iter().map(|logged| logged.entry.clone()).collect()
    }
}

/// Equal when all that can be seen is.
impl PartialEq for State {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
            && self.files == other.files
            && self.log == other.log
            && self.conflicts == other.conflicts
            && self.undone == other.undone
            && self.faults == other.faults
            && self.tick == other.tick
            && self.document.lists == other.document.lists
    }
}
