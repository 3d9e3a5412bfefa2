//! Sessions in which people are signed in.

use jiff::{SignedDuration, Timestamp};
use rusqlite::{OptionalExtension, Row, params};

use crate::fault::Fault;
use crate::open::Store;
use crate::people::{COLUMNS, Person, PersonId, after, instant, person, unknown};
use crate::secret::Secret;

/// A session that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// Whose.
    pub person: Person,
    /// Until when.
    pub until: Timestamp,
}

impl Store {
    /// Begins a session of a person; the secret goes into a cookie. Sessions that have ended are cleared away.
    ///
    /// # Errors
    /// There is no such person, or the database cannot be written.
    pub fn begin_session(
        &self,
        id: PersonId,
        lasts: SignedDuration,
        now: Timestamp,
    ) -> Result<Secret, Fault> {
        let secret = Secret::draw()?;
        let mut writer = self.writer();
        let transaction = writer.transaction()?;
        transaction.execute("DELETE FROM sessions WHERE until <= ?1", params![now.as_millisecond()])?;
        let sql = "INSERT INTO sessions (hash, person, made, until)
                   SELECT ?1, id, ?3, ?4 FROM people WHERE id = ?2 AND gone IS NULL";
        let until = after(now, lasts).as_millisecond();
        let begun = transaction.execute(sql, params![secret.hash(), id.0, now.as_millisecond(), until])?;
        if begun == 0 {
            return Err(unknown());
        }
        transaction.commit()?;
        Ok(secret)
    }

    /// The session of a secret, if it holds.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn session(&self, secret: &Secret, now: Timestamp) -> Result<Option<Session>, Fault> {
        let reader = self.reader();
        let sql = format!(
            "SELECT {COLUMNS}, until FROM sessions JOIN people ON people.id = person
             WHERE hash = ?1 AND until > ?2 AND gone IS NULL"
        );
        let row = |row: &Row<'_>| Ok(Session { person: person(row)?, until: instant(row.get(5)?) });
        let found = params![secret.hash(), now.as_millisecond()];
        Ok(reader.prepare_cached(&sql)?.query_row(found, row).optional()?)
    }

    /// Ends a session; one that is not there has ended already.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn end_session(&self, secret: &Secret) -> Result<(), Fault> {
        self.writer().execute("DELETE FROM sessions WHERE hash = ?1", params![secret.hash()])?;
        Ok(())
    }

    /// Lets a session that is used hold for longer: until a while from now, but no longer than so long after it began.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn prolong_session(
        &self,
        secret: &Secret,
        lasts: SignedDuration,
        at_most: SignedDuration,
        now: Timestamp,
    ) -> Result<(), Fault> {
        let sql = "UPDATE sessions SET until = max(until, min(?2, made + ?3)) WHERE hash = ?1 AND until > ?4";
        let at_most = i64::try_from(at_most.as_millis()).unwrap_or(i64::MAX);
        let row = params![secret.hash(), after(now, lasts).as_millisecond(), at_most, now.as_millisecond()];
        self.writer().execute(sql, row)?;
        Ok(())
    }

    /// Ends all sessions of a person.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn end_sessions(&self, id: PersonId) -> Result<(), Fault> {
        self.writer().execute("DELETE FROM sessions WHERE person = ?1", params![id.0])?;
        Ok(())
    }

    /// How many sessions of a person hold.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn sessions_of(&self, id: PersonId, now: Timestamp) -> Result<usize, Fault> {
        let reader = self.reader();
        let sql = "SELECT count(*) FROM sessions WHERE person = ?1 AND until > ?2";
        let count: i64 =
            reader.prepare_cached(sql)?.query_row(params![id.0, now.as_millisecond()], |row| row.get(0))?;
        Ok(usize::try_from(count).unwrap_or_default())
    }
}
