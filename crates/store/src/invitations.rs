//! Invitations that work once.

use jiff::{SignedDuration, Timestamp};
use rusqlite::{OptionalExtension, TransactionBehavior, params};

use crate::fault::{Fault, Kind};
use crate::open::Store;
use crate::people::{COLUMNS, Person, Role, after, name_of_person, person, taken};
use crate::secret::Secret;

/// An invitation: what is handed out, and until when it works.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// The secret of the link.
    pub secret: Secret,
    /// Until when.
    pub until: Timestamp,
}

impl Store {
    /// Makes an invitation that works once.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn invite(&self, role: Role, lasts: SignedDuration, now: Timestamp) -> Result<Invitation, Fault> {
        let (secret, until) = (Secret::draw()?, after(now, lasts));
        let sql = "INSERT INTO invitations (hash, role, made, until) VALUES (?1, ?2, ?3, ?4)";
        let row = params![secret.hash(), role.text(), now.as_millisecond(), until.as_millisecond()];
        self.writer().execute(sql, row)?;
        Ok(Invitation { secret, until })
    }

    /// Takes an invitation up: it works no more, and the person is there.
    ///
    /// # Errors
    /// The invitation was used, has run out or never was (which of these is not told apart); the name is taken, and then the
    /// invitation still works.
    pub fn take_up(
        &self,
        secret: &Secret,
        name: &str,
        password: Option<&str>,
        now: Timestamp,
    ) -> Result<Person, Fault> {
        let name = name_of_person(name)?;
        let mut writer = self.writer();
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let at = now.as_millisecond();
        let use_up =
            "UPDATE invitations SET used = ?2 WHERE hash = ?1 AND used IS NULL AND until > ?2 RETURNING role";
        let role: Option<String> =
            transaction.query_row(use_up, params![secret.hash(), at], |row| row.get(0)).optional()?;
        let Some(role) = role else {
            let hint = "ask the owner for a new one";
            return Err(Fault::new(Kind::Refused, "this invitation does not work any more", hint));
        };
        let sql =
            "INSERT INTO people (name, role, password, made) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";
        if transaction.execute(sql, params![name, role, password, at])? == 0 {
            return Err(taken(name));
        }
        let id = transaction.last_insert_rowid();
        let sql = format!("SELECT {COLUMNS} FROM people WHERE id = ?1");
        let joined = transaction.query_row(&sql, params![id], person)?;
        transaction.commit()?;
        Ok(joined)
    }

    /// What an invitation would make of whoever takes it up; nothing when it does not work. Looking does not use it up.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn invited_as(&self, secret: &Secret, now: Timestamp) -> Result<Option<Role>, Fault> {
        let reader = self.reader();
        let sql = "SELECT role FROM invitations WHERE hash = ?1 AND used IS NULL AND until > ?2";
        let role: Option<String> = reader
            .prepare_cached(sql)?
            .query_row(params![secret.hash(), now.as_millisecond()], |row| row.get(0))
            .optional()?;
        Ok(role.map(|role| Role::read(&role)))
    }

    /// How many invitations still work.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn open_invitations(&self, now: Timestamp) -> Result<usize, Fault> {
        let reader = self.reader();
        let sql = "SELECT count(*) FROM invitations WHERE used IS NULL AND until > ?1";
        let count: i64 =
            reader.prepare_cached(sql)?.query_row(params![now.as_millisecond()], |row| row.get(0))?;
        Ok(usize::try_from(count).unwrap_or_default())
    }

    /// Takes back all invitations that nobody has taken up.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn take_back_invitations(&self) -> Result<(), Fault> {
        self.writer().execute("DELETE FROM invitations WHERE used IS NULL", [])?;
        Ok(())
    }
}
