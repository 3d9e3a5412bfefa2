//! People and what they may do.

use jiff::{SignedDuration, Timestamp};
use rusqlite::{Connection, OptionalExtension, Row, TransactionBehavior, params};

use crate::fault::{Fault, Kind};
use crate::open::Store;

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
    pub(crate) const fn text(self) -> &'static str {
        match self {
            Self::Owner => "owner",
            Self::Crew => "crew",
        }
    }

    pub(crate) fn read(text: &str) -> Self {
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

pub(crate) fn person(row: &Row<'_>) -> rusqlite::Result<Person> {
    Ok(Person {
        id: PersonId(row.get(0)?),
        name: row.get(1)?,
        role: Role::read(&row.get::<_, String>(2)?),
        password: row.get(3)?,
        gone: row.get::<_, Option<i64>>(4)?.map(instant),
    })
}

pub(crate) fn instant(millisecond: i64) -> Timestamp {
    Timestamp::from_millisecond(millisecond).unwrap_or_default()
}

pub(crate) fn after(now: Timestamp, span: SignedDuration) -> Timestamp {
    now.checked_add(span).unwrap_or(Timestamp::MAX)
}

pub(crate) const COLUMNS: &str = "people.id, name, role, password, gone";

pub(crate) fn taken(name: &str) -> Fault {
    Fault::new(Kind::Refused, format!("somebody is called {name} already"), "choose another name")
}

pub(crate) fn unknown() -> Fault {
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

    /// Adds the first person, an owner with a password; nothing when somebody is there already, so that two who come at once do not
    /// both become owners.
    ///
    /// # Errors
    /// The name is none that is kept; the database cannot be written.
    pub fn add_first_owner(
        &self,
        name: &str,
        password: &str,
        now: Timestamp,
    ) -> Result<Option<PersonId>, Fault> {
        let name = name_of_person(name)?;
        let writer = self.writer();
        let sql = "INSERT INTO people (name, role, password, made)
                   SELECT ?1, 'owner', ?2, ?3 WHERE NOT EXISTS (SELECT 1 FROM people)";
        let added = writer.execute(sql, params![name, password, now.as_millisecond()])?;
        Ok((added > 0).then(|| PersonId(writer.last_insert_rowid())))
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
    /// There is no such person, it is the last owner who can sign in, or the database cannot be written.
    pub fn let_go(&self, id: PersonId, now: Timestamp) -> Result<(), Fault> {
        let mut writer = self.writer();
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "UPDATE people SET gone = ?2 WHERE id = ?1 AND gone IS NULL RETURNING role";
        let role: Option<String> =
            transaction.query_row(sql, params![id.0, now.as_millisecond()], |row| row.get(0)).optional()?;
        let Some(role) = role else { return Err(unknown()) };
        // With nobody left to invite anybody the folder would be locked up.
        if Role::read(&role) == Role::Owner && !has_owner(&transaction)? {
            let hint = "make another owner first";
            return Err(Fault::new(Kind::Refused, "the last owner cannot be let go", hint));
        }
        transaction.execute("DELETE FROM sessions WHERE person = ?1", params![id.0])?;
        Ok(transaction.commit()?)
    }

    /// Whether anybody was ever added: from then on the folder is for those who sign in.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn has_people(&self) -> Result<bool, Fault> {
        let reader = self.reader();
        let mut statement = reader.prepare_cached("SELECT EXISTS (SELECT 1 FROM people)")?;
        Ok(statement.query_row([], |row| row.get(0))?)
    }

    /// Whether there is an owner who can sign in.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn has_owner(&self) -> Result<bool, Fault> {
        has_owner(&self.reader())
    }

    /// A person by number, one who was let go too.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn person(&self, id: PersonId) -> Result<Option<Person>, Fault> {
        let reader = self.reader();
        let sql = format!("SELECT {COLUMNS} FROM people WHERE id = ?1");
        Ok(reader.prepare_cached(&sql)?.query_row(params![id.0], person).optional()?)
    }
}

fn has_owner(database: &Connection) -> Result<bool, Fault> {
    let sql =
        "SELECT EXISTS (SELECT 1 FROM people WHERE role = 'owner' AND password IS NOT NULL AND gone IS NULL)";
    Ok(database.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
}

pub(crate) fn name_of_person(name: &str) -> Result<&str, Fault> {
    let name = name.trim();
    let count = name.chars().count();
    if (1..=formats::events::LONGEST_NAME).contains(&count) && !name.chars().any(char::is_control) {
        return Ok(name);
    }
    let hint = "a name has 1 to 80 characters on one line";
    Err(Fault::new(Kind::Refused, "that is no name that is kept", hint))
}
