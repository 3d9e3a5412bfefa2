//! Where jobs are kept while the program runs, behind an interface that a store on disk meets as well.

mod disk;

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use formats::events::{Change, Event, EventId, JobId, State, fold};
use jiff::Timestamp;

pub use disk::DiskShelf;
pub(crate) use disk::in_words;

/// Why the shelf did not give or take something, in words for a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShelfFault(pub String);

/// What the pages need of whatever keeps the jobs. A job is what its events come to.
pub trait Shelf: Send + Sync + 'static {
    /// The jobs by the ids that stand in their addresses, in order.
    ///
    /// # Errors
    /// When what keeps them cannot be read.
    fn ids(&self) -> Result<Vec<String>, ShelfFault>;
    /// A job as its events have left it; `None` when there is none of that id.
    ///
    /// # Errors
    /// As [`Shelf::ids`].
    fn job(&self, id: &str) -> Result<Option<Arc<State>>, ShelfFault>;
    /// The last events of a job, the newest first.
    ///
    /// # Errors
    /// As [`Shelf::ids`].
    fn last(&self, id: &str, most: usize) -> Result<Vec<Event>, ShelfFault>;
    /// Keeps an event of a job, once however often it comes. A whole text begins a job where there is none.
    ///
    /// # Errors
    /// When there is no such job, another event has that id, or it cannot be written.
    fn append(&self, id: &str, event: Told) -> Result<(), ShelfFault>;
    /// The rate book by which a job is priced, if there is one.
    fn rates(&self, id: &str) -> Option<String>;
    /// Keeps a rate book in place of the one by which a job is priced.
    ///
    /// # Errors
    /// When it cannot be written.
    fn keep_rates(&self, id: &str, text: &str) -> Result<(), ShelfFault>;
}

/// An event as a page tells it: the shelf knows the job.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Its id, drawn for the form that it came with.
    pub id: EventId,
    /// One more than what the page had seen.
    pub tick: u64,
    /// When it was made, by the clock of whoever made it.
    pub made: Timestamp,
    /// When it came, by the clock of this machine.
    pub came: Timestamp,
    /// Who made it.
    pub by: String,
    /// The change.
    pub change: Change,
}

/// A shelf in memory: what is put there is gone when the program ends.
#[derive(Debug, Default)]
pub struct MemoryShelf {
    jobs: Mutex<BTreeMap<String, InMemory>>,
    rates: Mutex<BTreeMap<String, String>>,
}

#[derive(Debug)]
struct InMemory {
    id: JobId,
    events: Vec<Event>,
    state: Arc<State>,
}

/// A job of the demonstration with the files that it names and the rate book that prices it.
struct Demo {
    id: &'static str,
    text: &'static str,
    files: &'static [(&'static str, &'static str)],
    rates: &'static str,
}

const DOLLAR: &str = include_str!("../../../../demo/rates/dollar.toml");

const DEMO: [Demo; 4] = [
    Demo {
        id: "boat-shed",
        text: include_str!("../../../../demo/boat-shed.toml"),
        files: &[],
        rates: DOLLAR,
    },
    Demo { id: "lean-to", text: include_str!("../../../../demo/lean-to.toml"), files: &[], rates: DOLLAR },
    Demo {
        id: "bakery-yard",
        text: include_str!("../../../../demo/bakery-yard.toml"),
        files: &[
            ("bakery-yard-shots.csv", include_str!("../../../../demo/bakery-yard-shots.csv")),
            ("bakery-yard-weather.csv", include_str!("../../../../demo/bakery-yard-weather.csv")),
        ],
        rates: include_str!("../../../../demo/rates/euro.toml"),
    },
    Demo { id: "patio", text: include_str!("../../../../demo/patio.toml"), files: &[], rates: DOLLAR },
];

impl MemoryShelf {
    /// A shelf with the jobs of the demonstration.
    #[must_use]
    pub fn with_demo() -> Self {
        let mut jobs = BTreeMap::new();
        let mut rates = BTreeMap::new();
        for demo in &DEMO {
            let id = job_id(demo.id);
            let file = |(name, text): &(&str, &str)| Change::File {
                name: (*name).to_owned(),
                text: Some((*text).to_owned()),
                saw: None,
            };
            let text = Change::Text { text: demo.text.to_owned(), saw: None };
            let changes = demo.files.iter().map(file).chain([text]);
            let event = |(i, change)| Event {
                id: EventId::from_bytes((u128::from_be_bytes(id.bytes()) ^ (i as u128 + 1)).to_be_bytes()),
                job: id,
                tick: i as u64 + 1,
                made: Timestamp::UNIX_EPOCH,
                by: "demonstration".to_owned(),
                change,
            };
            let events: Vec<Event> = changes.enumerate().map(event).collect();
            let state = Arc::new(fold(&events));
            jobs.insert(demo.id.to_owned(), InMemory { id, events, state });
            rates.insert(demo.id.to_owned(), demo.rates.to_owned());
        }
        Self { jobs: Mutex::new(jobs), rates: Mutex::new(rates) }
    }
}

/// The id of a job in memory: its name in bytes.
fn job_id(name: &str) -> JobId {
    let mut bytes = [0; 16];
    bytes.iter_mut().zip(name.bytes()).for_each(|(to, from)| *to = from);
    JobId::from_bytes(bytes)
}

/// Whether a form that was sent before says the same; the clock of an entry may have moved in between.
fn same(known: &Change, change: &Change) -> Result<(), ShelfFault> {
    let is_same = match (known, change) {
        (Change::Log(known), Change::Log(now)) => known.what == now.what,
        _ => known == change,
    };
    if is_same {
        return Ok(());
    }
    Err(ShelfFault("this form was sent before with other words: open the page anew".to_owned()))
}

impl Shelf for MemoryShelf {
    fn ids(&self) -> Result<Vec<String>, ShelfFault> {
        Ok(self.jobs.lock().unwrap_or_else(PoisonError::into_inner).keys().cloned().collect())
    }
    fn job(&self, id: &str) -> Result<Option<Arc<State>>, ShelfFault> {
        let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(jobs.get(id).map(|job| Arc::clone(&job.state)))
    }
    fn last(&self, id: &str, most: usize) -> Result<Vec<Event>, ShelfFault> {
        let jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(jobs.get(id).map_or_else(Vec::new, |job| job.events.iter().rev().take(most).cloned().collect()))
    }
    fn append(&self, id: &str, told: Told) -> Result<(), ShelfFault> {
        let mut jobs = self.jobs.lock().unwrap_or_else(PoisonError::into_inner);
        let begins = matches!(told.change, Change::Text { saw: None, .. });
        if !jobs.contains_key(id) && begins {
            jobs.insert(
                id.to_owned(),
                InMemory { id: job_id(id), events: Vec::new(), state: Arc::default() },
            );
        }
        let Some(job) = jobs.get_mut(id) else {
            return Err(ShelfFault(format!("there is no job {id}")));
        };
        let Told { id, tick, made, by, change, .. } = told;
        if let Some(known) = job.events.iter().find(|event| event.id == id) {
            // A double tap: the same form twice. The clock may have moved in between.
            return same(&known.change, &change);
        }
        job.events.push(Event { id, job: job.id, tick, made, by, change });
        job.state = Arc::new(fold(&job.events));
        Ok(())
    }
    fn rates(&self, id: &str) -> Option<String> {
        self.rates.lock().unwrap_or_else(PoisonError::into_inner).get(id).cloned()
    }
    fn keep_rates(&self, id: &str, text: &str) -> Result<(), ShelfFault> {
        self.rates.lock().unwrap_or_else(PoisonError::into_inner).insert(id.to_owned(), text.to_owned());
        Ok(())
    }
}
