//! What every page has at hand.

use std::sync::Arc;
use std::time::{Instant, SystemTime};

use formats::events::{Change, EventId};
use jiff::Timestamp;
use store::{Secret, Store};
use tokio::sync::broadcast;

use crate::desk::Desk;
use crate::draw;
pub use crate::opened::Opened;
use crate::opened::{Frame, Ids, Occasion, Signal};
use crate::people::Door;
use crate::shelf::{DiskShelf, Shelf, ShelfFault, Told};
use crate::who::Who;

/// The clock that the pages go by: the machine's, or for the demonstration one that was set to its day.
#[derive(Debug, Clone, Copy)]
pub struct WallClock {
    set: Option<(Timestamp, Instant)>,
}

impl WallClock {
    /// The machine's clock.
    #[must_use]
    pub const fn of_the_machine() -> Self {
        Self { set: None }
    }
    /// A clock that starts at an instant now.
    #[must_use]
    pub fn set_to(at: Timestamp) -> Self {
        Self { set: Some((at, Instant::now())) }
    }
    /// What it shows.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        match self.set {
            Some((at, since)) => at.saturating_add(since.elapsed()).unwrap_or(at),
            None => Timestamp::try_from(SystemTime::now()).unwrap_or(Timestamp::UNIX_EPOCH),
        }
    }
    /// Whether it was set.
    #[must_use]
    pub const fn is_set(&self) -> bool {
        self.set.is_some()
    }
}

/// Something changed that pages on other screens show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// The job.
    pub job: String,
    /// How: the job itself, or a result that was waited for.
    pub what: &'static str,
}

/// What every page has at hand.
#[derive(Clone)]
pub struct App {
    /// The jobs.
    pub shelf: Arc<dyn Shelf>,
    /// The engine's results.
    pub desk: Arc<Desk>,
    /// The clock.
    pub clock: WallClock,
    /// Told to all screens.
    pub tide: broadcast::Sender<Changed>,
    /// The mark under which the built-in files are asked for.
    pub mark: Arc<str>,
    /// Who looks.
    pub who: Who,
    /// The secret of the session in which they are signed in.
    pub session: Option<Secret>,
    /// What guards the way in.
    pub door: Arc<Door>,
    /// The folder of jobs; a demonstration from memory has none.
    pub store: Option<Arc<Store>>,
}

/// So many of the last events a page may show.
const LAST: usize = 40;

impl App {
    /// What every page has at hand, over a shelf and a clock.
    #[must_use]
    pub fn new(shelf: Arc<dyn Shelf>, clock: WallClock) -> Self {
        let (tide, _) = broadcast::channel(256);
        Self {
            shelf,
            desk: Arc::default(),
            clock,
            tide,
            mark: crate::assets::mark().into(),
            who: Who::here(),
            session: None,
            door: Arc::default(),
            store: None,
        }
    }

    /// What every page has at hand, over a folder of jobs; its people sign in.
    #[must_use]
    pub fn over(shelf: DiskShelf, clock: WallClock) -> Self {
        let store = shelf.store();
        Self { store: Some(store), ..Self::new(Arc::new(shelf), clock) }
    }

    /// The same for one visitor.
    #[must_use]
    pub fn seen_by(self, who: Who, session: Option<Secret>) -> Self {
        Self { who, session, ..self }
    }

    /// Whether the session with which the visitor came still holds; without one, whether still nobody signs in.
    #[must_use]
    pub fn still_holds(&self) -> bool {
        let Some(store) = &self.store else { return true };
        match &self.session {
            Some(secret) => matches!(store.session(secret, crate::people::now()), Ok(Some(_))),
            None => matches!(store.has_people(), Ok(false)),
        }
    }

    /// What a page stands in now.
    #[must_use]
    pub fn frame(&self) -> Frame<'_> {
        let occasion = if self.clock.is_set() { Occasion::Demonstration } else { Occasion::Work };
        Frame { mark: &self.mark, now: self.clock.now(), occasion, signal: Signal::Here, who: &self.who }
    }

    /// A job with its results; `None` when there is none of that id.
    ///
    /// # Errors
    /// When the shelf cannot be read.
    pub async fn open(&self, id: &str) -> Result<Option<Opened>, ShelfFault> {
        let Some(state) = self.shelf.job(id)? else { return Ok(None) };
        let figured = self.desk.figured(&state).await;
        let ids = Ids::from(u128::from_be_bytes(draw::event_id().bytes()));
        let (last, who) = (self.shelf.last(id, LAST)?, self.who.clone());
        Ok(Some(Opened { id: id.to_owned(), state, figured, last, waiting: Vec::new(), ids, who }))
    }

    /// Keeps a change of a job and tells all screens.
    ///
    /// # Errors
    /// As [`Shelf::append`].
    pub async fn keep(&self, job: &str, stamp: (EventId, u64), change: Change) -> Result<(), ShelfFault> {
        self.keep_made(job, stamp, self.clock.now(), change).await
    }

    /// Keeps a change that was made at an instant by the clock of whoever made it, and tells all screens.
    ///
    /// # Errors
    /// As [`Shelf::append`].
    pub async fn keep_made(
        &self,
        job: &str,
        (id, tick): (EventId, u64),
        made: Timestamp,
        change: Change,
    ) -> Result<(), ShelfFault> {
        if let Some(words) = self.forbids(job, &change)? {
            return Err(ShelfFault(words.to_owned()));
        }
        let what = if matches!(change, Change::Log(_)) { "log" } else { "job" };
        let by = self.who.name.to_string();
        let told = Told { id, tick, made, came: self.clock.now(), by, change };
        let (shelf, to) = (Arc::clone(&self.shelf), job.to_owned());
        // The disk is waited for where nobody else is kept waiting.
        let kept = tokio::task::spawn_blocking(move || shelf.append(&to, told)).await;
        kept.unwrap_or_else(|_| {
            Err(ShelfFault("it could not be kept: that is a fault of the program".to_owned()))
        })?;
        self.tell(job, what);
        Ok(())
    }

    /// Why the visitor may not make a change of a job, if so.
    ///
    /// # Errors
    /// When the shelf cannot be read.
    pub fn forbids(&self, job: &str, change: &Change) -> Result<Option<&'static str>, ShelfFault> {
        let by = match change {
            Change::Undo { event } if !self.who.is_owner() => {
                let all = self.shelf.last(job, usize::MAX)?;
                all.into_iter().find(|known| known.id == *event).map(|known| known.by)
            }
            _ => None,
        };
        let words = "that is for the owner to change; the crew logs, and takes back what is its own";
        Ok((!self.who.may_keep(change, by.as_deref())).then_some(words))
    }

    /// Tells all screens.
    pub fn tell(&self, job: &str, what: &'static str) {
        // Nobody may be looking.
        let _ = self.tide.send(Changed { job: job.to_owned(), what });
    }
}
