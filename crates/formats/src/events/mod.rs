//! Every change of a job as an event, and the job as the fold of its events.
//!
//! An [`Event`] is made by whoever changes something, on a phone without signal too: its id is drawn there, so that sending it twice
//! does no harm. [`fold`] brings all events of a job into one order and applies them; the order and the number of times in which
//! they arrive do not matter. Values are addressed by the rows that they stand in, not by counting rows, so that an edit finds its row
//! after others have added or removed some: see [`Address`].
//!
//! Method and limits: `docs/events.md`.

mod address;
mod document;
mod edit;
mod fold;
mod id;
mod label;
mod rows;
mod state;
mod value;
mod wire;
mod wire_log;

use jiff::Timestamp;
use pour::log::Entry;

pub use address::{Address, RowId, Step};
pub use fold::fold;
pub use id::{EventId, Fingerprint, JobId};
pub use state::{Conflict, EventNote, Logged, Outcome, State, Touched};
pub use wire::{
    HIGHEST_TICK, LARGEST_EVENT, LARGEST_TEXT, LARGEST_VALUE, LONGEST_NAME, LONGEST_WORDS, event_schema,
    read_event, write_event,
};
pub(crate) use wire_log::LogWire;

/// One change of one job.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Drawn at random by the client that made it.
    pub id: EventId,
    /// The job that it changes.
    pub job: JobId,
    /// Lamport counter: one more than the highest that its maker knew of.
    pub tick: u64,
    /// What the maker's clock showed; nothing is ordered by it.
    pub made: Timestamp,
    /// Who made it.
    pub by: String,
    /// The change.
    pub change: Change,
}

/// What an event changes.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The whole text of the job file: a new job, an import, an edit by hand.
    Text {
        /// The text, which must be TOML.
        text: String,
        /// What the writer saw before; nothing for a new job.
        saw: Option<Fingerprint>,
    },
    /// A file that the job file names: shots, weather.
    File {
        /// Its name as the job file says it.
        name: String,
        /// Its text; nothing takes it away.
        text: Option<String>,
        /// What the writer saw before; nothing where no such file was.
        saw: Option<Fingerprint>,
    },
    /// One value of the job file.
    Set {
        /// Where it stands.
        at: Address,
        /// What the writer saw there, as TOML; nothing where nothing stood.
        was: Option<String>,
        /// The value as TOML; nothing takes it away, a row from its list too.
        to: Option<String>,
    },
    /// A new row of a list; its id is that of the event.
    Add {
        /// The list.
        list: Address,
        /// Where in the list.
        after: After,
        /// The row as TOML: a table, or a list as a row of shots is.
        row: String,
    },
    /// An entry of the log of the pour day.
    Log(Entry),
    /// Takes back an event. An event that takes back this one brings that one again.
    Undo {
        /// Which.
        event: EventId,
    },
}

/// Where a row is added.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    /// Before all others.
    Start,
    /// Straight after a row, or where it was.
    Row(RowId),
    /// After all others.
    End,
}

#[cfg(test)]
mod tests;
