//! What every page has at hand.

use std::sync::Arc;
use std::time::{Instant, SystemTime};

use jiff::Timestamp;
use tokio::sync::broadcast;

use crate::desk::{Desk, Fetch, Figured};
use crate::shelf::{Kept, Shelf, ShelfFault};

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
}

/// A job as a page needs it.
pub struct Opened {
    /// Its id.
    pub id: String,
    /// What lies on the shelf.
    pub kept: Kept,
    /// What the engine says of it.
    pub figured: Arc<Figured>,
}

impl App {
    /// What every page has at hand, over a shelf and a clock.
    #[must_use]
    pub fn new(shelf: Arc<dyn Shelf>, clock: WallClock) -> Self {
        let (tide, _) = broadcast::channel(256);
        Self { shelf, desk: Arc::default(), clock, tide, mark: crate::assets::mark().into() }
    }

    /// A job with its results; `None` when there is none of that id.
    ///
    /// # Errors
    /// When the shelf cannot be read.
    pub async fn open(&self, id: &str) -> Result<Option<Opened>, ShelfFault> {
        let Some(kept) = self.shelf.job(id)? else { return Ok(None) };
        let figured = self.figured(id, &kept.text).await;
        Ok(Some(Opened { id: id.to_owned(), kept, figured }))
    }

    /// The results of a job's text.
    pub async fn figured(&self, id: &str, text: &str) -> Arc<Figured> {
        let (shelf, id) = (Arc::clone(&self.shelf), id.to_owned());
        let fetch: Fetch = Arc::new(move |name: &str| shelf.file(&id, name));
        self.desk.figured(text, fetch).await
    }

    /// Tells all screens.
    pub fn tell(&self, job: &str, what: &'static str) {
        // Nobody may be looking.
        let _ = self.tide.send(Changed { job: job.to_owned(), what });
    }
}
