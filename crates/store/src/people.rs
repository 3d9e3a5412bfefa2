//! People, the sessions in which they are signed in, and invitations that work once.

use jiff::{SignedDuration, Timestamp};
use rusqlite::{OptionalExtension, Row, TransactionBehavior, params};

use crate::fault::{Fault, Kind};
use crate::open::Store;
use crate::secret::Secret;

/// Number of a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct PersonId(pub i64);

/// What a person may do; what that means is for those to say who ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Everything.
    Owner,
    /// The log and what it needs, no prices.
    Crew,
}

impl Role {
    const fn text(self) -> &'static str {
        match self {
            Self::Owner => "owner",
            Self::Crew => "crew",
        }
    }

    fn read(text: &str) -> Self {
        if text == "owner" { Self::Owner } else { Self::Crew }
    }
}

/// A person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Number.
    pub id: PersonId,
    /// Name, which no two have, in small or large letters.
    pub name: String,
    /// What the person may do.
    pub role: Role,
    /// Hash of the password as whoever checks it wrote it; absent when the person cannot sign in with one.
    pub password: Option<String>,
    /// When the person was let go; such a person has no sessions.
    pub gone: Option<Timestamp>,
}

/// A session that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// Whose.
    pub person: Person,
    /// Until when.
    pub until: Timestamp,
}

/// An invitation: what is handed out, and until when it works.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// The secret of the link.
    pub secret: Secret,
    /// Until when.
    pub until: Timestamp,
}

fn person(row: &Row<'_>) -> rusqlite::Result<Person> {
    Ok(Person {
        id: PersonId(row.get(0)?),
        name: row.get(1)?,
        role: Role::read(&row.get::<_, String>(2)?),
        password: row.get(3)?,
        gone: row.get::<_, Option<i64>>(4)?.map(instant),
    })
}

fn instant(millisecond: i64) -> Timestamp {
    Timestamp::from_millisecond(millisecond).unwrap_or_default()
}

fn after(now: Timestamp, span: SignedDuration) -> Timestamp {
    now.checked_add(span).unwrap_or(Timestamp::MAX)
}

const COLUMNS: &str = "people.id, name, role, password, gone";

fn taken(name: &str) -> Fault {
    Fault::new(Kind::Refused, format!("somebody is called {name} already"), "choose another name")
}

fn unknown() -> Fault {
    Fault::new(Kind::NotThere, "there is no such person", "look at the list of people")
}

impl Store {
    /// Adds a person.
    ///
    /// # Errors
    /// The name is empty, over 80 characters or taken; the database cannot be written.
    pub fn add_person(
        &self,
        name: &str,
        role: Role,
        password: Option<&str>,
        now: Timestamp,
    ) -> Result<PersonId, Fault> {
        let name = name_of_person(name)?;
        let writer = self.writer();
        let sql =
            "INSERT INTO people (name, role, password, made) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO NOTHING";
        let added = writer.execute(sql, params![name, role.text(), password, now.as_millisecond()])?;
        if added == 0 { Err(taken(name)) } else { Ok(PersonId(writer.last_insert_rowid())) }
    }

    /// All people, those who were let go too, in order of their names.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn people(&self) -> Result<Vec<Person>, Fault> {
        let reader = self.reader();
        let mut statement = reader.prepare_cached(&format!("SELECT {COLUMNS} FROM people ORDER BY name"))?;
        let rows = statement.query_map([], person)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A person who was not let go, by name.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn person_called(&self, name: &str) -> Result<Option<Person>, Fault> {
        let reader = self.reader();
        let sql = format!("SELECT {COLUMNS} FROM people WHERE name = ?1 AND gone IS NULL");
        Ok(reader.prepare_cached(&sql)?.query_row(params![name.trim()], person).optional()?)
    }

    /// Changes a person's password, and ends all sessions of the person.
    ///
    /// # Errors
    /// There is no such person, or the database cannot be written.
    pub fn set_password(&self, id: PersonId, password: Option<&str>) -> Result<(), Fault> {
        let mut writer = self.writer();
        let transaction = writer.transaction()?;
        let sql = "UPDATE people SET password = ?2 WHERE id = ?1 AND gone IS NULL";
        if transaction.execute(sql, params![id.0, password])? == 0 {
            return Err(unknown());
        }
        transaction.execute("DELETE FROM sessions WHERE person = ?1", params![id.0])?;
        Ok(transaction.commit()?)
    }

    /// Lets a person go: no session of theirs holds any longer; what they wrote stays.
    ///
    /// # Errors
    /// There is no such person, or the database cannot be written.
    pub fn let_go(&self, id: PersonId, now: Timestamp) -> Result<(), Fault> {
        let mut writer = self.writer();
        let transaction = writer.transaction()?;
        let sql = "UPDATE people SET gone = ?2 WHERE id = ?1 AND gone IS NULL";
        if transaction.execute(sql, params![id.0, now.as_millisecond()])? == 0 {
            return Err(unknown());
        }
        transaction.execute("DELETE FROM sessions WHERE person = ?1", params![id.0])?;
        Ok(transaction.commit()?)
    }

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
}

fn name_of_person(name: &str) -> Result<&str, Fault> {
    let name = name.trim();
    let count = name.chars().count();
    if (1..=formats::events::LONGEST_NAME).contains(&count) && !name.chars().any(char::is_control) {
        return Ok(name);
    }
    let hint = "a name has 1 to 80 characters on one line";
    Err(Fault::new(Kind::Refused, "that is no name that is kept", hint))
}
