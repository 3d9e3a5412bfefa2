//! The list of jobs.

use formats::events::JobId;
use jiff::Timestamp;
use rusqlite::params;

use crate::events::Place;
use crate::fault::{Fault, Kind};
use crate::open::Store;

/// A job as the list has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JobRow {
    /// The job.
    pub id: JobId,
    /// When its first event came.
    pub made: Timestamp,
    /// Whether it is put out of sight.
    pub shelved: bool,
    /// How many events it has.
    pub events: u64,
    /// The place of its last event.
    pub last: Place,
}

impl Store {
    /// All jobs, the one that was changed last first.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn jobs(&self) -> Result<Vec<JobRow>, Fault> {
        let reader = self.reader();
        let sql = "SELECT jobs.id, made, shelved, count(*), max(place) AS last FROM jobs JOIN events ON events.job = jobs.id
                   GROUP BY jobs.id ORDER BY last DESC";
        let mut statement = reader.prepare_cached(sql)?;
        let rows = statement.query_map([], |row| {
            Ok(JobRow {
                id: JobId::from_bytes(row.get(0)?),
                made: Timestamp::from_millisecond(row.get(1)?).unwrap_or_default(),
                shelved: row.get(2)?,
                events: row.get::<_, i64>(3)?.unsigned_abs(),
                last: Place(row.get::<_, i64>(4)?.unsigned_abs()),
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Puts a job out of sight, or back; nothing of it is ever thrown away.
    ///
    /// # Errors
    /// There is no such job, or the database cannot be written.
    pub fn shelve(&self, job: JobId, shelf: Shelf) -> Result<(), Fault> {
        let sql = "UPDATE jobs SET shelved = ?2 WHERE id = ?1";
        let changed = self.writer().execute(sql, params![job.bytes(), shelf == Shelf::OutOfSight])?;
        if changed == 1 {
            return Ok(());
        }
        Err(Fault::new(Kind::NotThere, format!("there is no job {job}"), "look at the list of jobs"))
    }
}

/// Where a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shelf {
    /// Among those that are worked on.
    InSight,
    /// Put away.
    OutOfSight,
}
