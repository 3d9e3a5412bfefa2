//! Events: added once, handed out in the order in which they came.

use formats::events::{Change, Event, EventId, JobId, State, fold, read_event, write_event};
use jiff::Timestamp;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};

use crate::fault::{Fault, Kind};
use crate::open::Store;

/// A tick may be this far ahead of all that are known of its job: a client that counts wrong would otherwise end the counting.
pub const FURTHEST_TICK: u64 = 1_000_000;

/// Place of an event in the order in which the store took them, over all jobs; rises by at least one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Place(pub u64);

/// What became of an event that was sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// It is kept, since now.
    New(Place),
    /// It was kept already: it came a second time.
    Known(Place),
    /// It is not kept.
    Refused(Fault),
}

impl Answer {
    /// The place, if the event is kept.
    #[must_use]
    pub const fn kept(&self) -> Option<Place> {
        match self {
            Self::New(place) | Self::Known(place) => Some(*place),
            Self::Refused(_) => None,
        }
    }
}

/// An event as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its place.
    pub place: Place,
    /// When it came, by the clock of this machine.
    pub came: Timestamp,
    /// The event.
    pub event: Event,
}

impl Store {
    /// Keeps events, each once, and says of each what became of it; when this returns, those that are kept are on the disk.
    ///
    /// The first event of a job is one that brings its text; it may come in the same call as others of its job, anywhere among them.
    /// An event that was kept before is acknowledged again; one with the id of another is refused.
    ///
    /// # Errors
    /// When the disk is full or fails, nothing of the call is kept.
    pub fn append(&self, events: &[Event], now: Timestamp) -> Result<Vec<Answer>, Fault> {
        let mut writer = self.writer();
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let answers = take_all(&transaction, events, now)?;
        transaction.commit()?;
        Ok(answers)
    }

    /// Keeps events as [`Store::append`] does, but none of them when one is refused; gives that one's fault.
    pub(crate) fn append_all(&self, events: &[Event], now: Timestamp) -> Result<Option<Fault>, Fault> {
        let mut writer = self.writer();
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        for answer in take_all(&transaction, events, now)? {
            if let Answer::Refused(fault) = answer {
                return Ok(Some(fault));
            }
        }
        transaction.commit()?;
        Ok(None)
    }

    /// Events after a place, of one job or of all, in the order in which they came; at most so many.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn events_after(&self, job: Option<JobId>, place: Place, most: usize) -> Result<Vec<Kept>, Fault> {
        events_after(&self.reader(), job, place, most)
    }

    /// The place of the last event that was kept, of one job or of all; the beginning when there is none.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn last_place(&self, job: Option<JobId>) -> Result<Place, Fault> {
        let reader = self.reader();
        let sql = "SELECT coalesce(max(place), 0) FROM events WHERE ?1 IS NULL OR job = ?1";
        let last: i64 =
            reader.prepare_cached(sql)?.query_row(params![job.map(JobId::bytes)], |row| row.get(0))?;
        Ok(Place(last.unsigned_abs()))
    }

    /// The state of a job by all its events, with the place of the last of them; nothing when there is no such job.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn state(&self, job: JobId) -> Result<Option<(State, Place)>, Fault> {
        let kept = self.events_after(Some(job), Place(0), usize::MAX)?;
        let Some(last) = kept.last().map(|kept| kept.place) else { return Ok(None) };
        let events: Vec<Event> = kept.into_iter().map(|kept| kept.event).collect();
        Ok(Some((fold(&events), last)))
    }
}

/// All events after a place that a database holds.
pub(crate) fn events_after(
    database: &Connection,
    job: Option<JobId>,
    place: Place,
    most: usize,
) -> Result<Vec<Kept>, Fault> {
    let sql = match job {
        Some(_) => {
            "SELECT place, came, body FROM events WHERE job = ?1 AND place > ?2 ORDER BY place LIMIT ?3"
        }
        None => {
            "SELECT place, came, body FROM events WHERE ?1 IS NULL AND place > ?2 ORDER BY place LIMIT ?3"
        }
    };
    let (after, most) = (number(place.0), i64::try_from(most).unwrap_or(i64::MAX));
    let mut statement = database.prepare_cached(sql)?;
    let mut rows = statement.query(params![job.map(JobId::bytes), after, most])?;
    let mut kept = Vec::new();
    while let Some(row) = rows.next()? {
        let place: i64 = row.get(0)?;
        let body = row.get_ref(2)?.as_bytes().map_err(rusqlite::Error::from)?;
        let event = read_event(body)
            .value
            .ok_or_else(|| Fault::corrupt(format!("event {place} is not as it was written")))?;
        let came = Timestamp::from_millisecond(row.get(1)?).unwrap_or_default();
        kept.push(Kept { place: Place(place.unsigned_abs()), came, event });
    }
    Ok(kept)
}

fn number(place: u64) -> i64 {
    i64::try_from(place).unwrap_or(i64::MAX)
}

/// Takes events into a transaction; what is refused leaves nothing in it.
fn take_all(database: &Connection, events: &[Event], now: Timestamp) -> Result<Vec<Answer>, Fault> {
    for event in events.iter().filter(|event| matches!(event.change, Change::Text { .. })) {
        let new = "INSERT INTO jobs (id, made) VALUES (?1, ?2) ON CONFLICT DO NOTHING";
        database.prepare_cached(new)?.execute(params![event.job.bytes(), now.as_millisecond()])?;
    }
    let mut answers = Vec::with_capacity(events.len());
    for event in events {
        answers.push(take(database, event, now)?);
    }
    // A job whose only text was refused is no job.
    let idle = "DELETE FROM jobs WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM events WHERE job = ?1)";
    for (event, _) in events.iter().zip(&answers).filter(|(_, answer)| answer.kept().is_none()) {
        database.prepare_cached(idle)?.execute(params![event.job.bytes()])?;
    }
    Ok(answers)
}

/// Takes one event into a transaction.
fn take(database: &Connection, event: &Event, now: Timestamp) -> Result<Answer, Fault> {
    let body = write_event(event);
    if let Some((place, known)) = kept(database, event.id)? {
        return Ok(if known == body {
            Answer::Known(place)
        } else {
            refused(format!("another event has the id {}", event.id), "make the change anew, with a new id")
        });
    }
    // What was built by hand and would not be read again must not get in.
    if let Some(fault) = read_event(body.as_bytes()).notes.into_iter().next() {
        return Ok(refused(format!("{}: {}", fault.place, fault.message), &fault.hint));
    }
    let job = event.job.bytes();
    let known: Option<i64> = database
        .prepare_cached("SELECT 1 FROM jobs WHERE id = ?1")?
        .query_row(params![job], |row| row.get(0))
        .optional()?;
    if known.is_none() {
        return Ok(refused(
            format!("there is no job {}", event.job),
            "send the job first: its first event brings its text",
        ));
    }
    let highest: i64 = database
        .prepare_cached("SELECT coalesce(max(tick), 0) FROM events WHERE job = ?1")?
        .query_row(params![job], |row| row.get(0))?;
    if event.tick > highest.unsigned_abs() + FURTHEST_TICK {
        let message = format!("tick {} is far ahead of {highest}, the highest of the job", event.tick);
        return Ok(refused(message, "take one more than the highest tick that is known"));
    }
    let sql = "INSERT INTO events (id, job, tick, came, body) VALUES (?1, ?2, ?3, ?4, ?5)";
    database.prepare_cached(sql)?.execute(params![
        event.id.bytes(),
        job,
        number(event.tick),
        now.as_millisecond(),
        body
    ])?;
    Ok(Answer::New(Place(database.last_insert_rowid().unsigned_abs())))
}

fn refused(message: String, hint: &str) -> Answer {
    Answer::Refused(Fault::new(Kind::Refused, message, hint))
}

fn kept(database: &Connection, id: EventId) -> Result<Option<(Place, String)>, Fault> {
    let mut statement = database.prepare_cached("SELECT place, body FROM events WHERE id = ?1")?;
    let row = |row: &rusqlite::Row<'_>| Ok((Place(row.get::<_, i64>(0)?.unsigned_abs()), row.get(1)?));
    Ok(statement.query_row(params![id.bytes()], row).optional()?)
}
