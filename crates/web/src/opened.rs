//! A job as a page needs it, and what a page stands in.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use formats::events::{Event, EventId, State};
use jiff::Timestamp;

use crate::figured::{Figured, Rounds};
use crate::who::Who;

/// A job as a page needs it.
pub struct Opened {
    /// Its id.
    pub id: String,
    /// What its events have come to.
    pub state: Arc<State>,
    /// What the engine says of it.
    pub figured: Arc<Figured>,
    /// Its last events, the newest first.
    pub last: Vec<Event>,
    /// Events that the server has not acknowledged yet; on the server there are none.
    pub waiting: Vec<EventId>,
    /// Ids for the forms of the page.
    pub ids: Ids,
    /// Who looks.
    pub who: Who,
}

impl Opened {
    /// What every form of the page carries: the id of the event that it becomes, and its tick.
    #[must_use]
    pub fn stamp(&self) -> (EventId, u64) {
        (self.ids.next(), self.state.tick + 1)
    }
}

/// Ids for events, one for each form of a page: a form that is sent twice is one event.
#[derive(Debug)]
pub struct Ids {
    first: u128,
    given: AtomicU64,
}

impl Ids {
    /// Ids that start from 128 bits drawn for this page alone.
    ///
    /// ```
    /// let ids = web::Ids::from(7);
    /// assert_ne!(ids.next(), ids.next());
    /// assert_eq!(web::Ids::from(7).next(), web::Ids::from(7).next());
    /// ```
    #[must_use]
    pub const fn from(drawn: u128) -> Self {
        Self { first: drawn, given: AtomicU64::new(0) }
    }

    /// The next one.
    #[must_use]
    pub fn next(&self) -> EventId {
        // Steps of an odd number come back to the start after 2^128 of them.
        const STEP: u128 = 0x9e37_79b9_7f4a_7c15_f39c_c060_5ced_c835;
        let count = u128::from(self.given.fetch_add(1, Ordering::Relaxed));
        EventId::from_bytes(self.first.wrapping_add(count.wrapping_mul(STEP)).to_be_bytes())
    }
}

/// What a page stands in, besides its job.
#[derive(Debug, Clone, Copy)]
pub struct Frame<'a> {
    /// The mark under which the built-in files are asked for.
    pub mark: &'a str,
    /// The instant that it shows.
    pub now: Timestamp,
    /// Whether the jobs are real.
    pub occasion: Occasion,
    /// Where it was made.
    pub signal: Signal,
    /// Who looks.
    pub who: &'a Who,
}

/// Whether the jobs are real.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Occasion {
    /// They are.
    Work,
    /// They are invented, and the clock was set to their day.
    Demonstration,
}

/// Where a page was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Signal {
    /// By the server.
    Here,
    /// On a phone without a signal, from what was known when there was one.
    Lost {
        /// When the phone last heard of the job.
        known: Timestamp,
    },
}

/// What the pages on site show: a job, its rounds, an instant.
#[derive(Clone, Copy)]
pub struct Sheet<'a> {
    /// The job.
    pub opened: &'a Opened,
    /// The plan of who does what, as far as it is there.
    pub rounds: &'a Rounds,
    /// The instant.
    pub now: Timestamp,
}
