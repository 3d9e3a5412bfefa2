//! The tables, one step for each version that was ever released.

use rusqlite::Connection;
use rusqlite_migration::{M, Migrations};

use crate::fault::{Fault, Kind};

/// Marks a database as one of this tool: the letters FLWT.
pub(crate) const APPLICATION: i32 = 0x464c_5754;

/// Events are only ever added: the triggers refuse anything else, whoever asks.
const FIRST: &str = "
CREATE TABLE jobs (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    made INTEGER NOT NULL,
    shelved INTEGER NOT NULL DEFAULT 0 CHECK (shelved IN (0, 1))
) STRICT;

CREATE TABLE events (
    place INTEGER PRIMARY KEY AUTOINCREMENT,
    id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    job BLOB NOT NULL REFERENCES jobs (id),
    tick INTEGER NOT NULL CHECK (tick >= 0),
    came INTEGER NOT NULL,
    body TEXT NOT NULL
) STRICT;
CREATE INDEX events_of_job ON events (job, place);
CREATE INDEX ticks_of_job ON events (job, tick);
CREATE TRIGGER events_stay BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events are never taken away'); END;
CREATE TRIGGER events_stay_as_they_are BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events never change'); END;

CREATE TABLE photos (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    bytes INTEGER NOT NULL CHECK (bytes > 0),
    kind TEXT NOT NULL,
    came INTEGER NOT NULL
) STRICT;

CREATE TABLE people (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE,
    role TEXT NOT NULL CHECK (role IN ('owner', 'crew')),
    password TEXT,
    made INTEGER NOT NULL,
    gone INTEGER
) STRICT;

CREATE TABLE sessions (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    person INTEGER NOT NULL REFERENCES people (id),
    made INTEGER NOT NULL,
    until INTEGER NOT NULL
) STRICT;

CREATE TABLE invitations (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    role TEXT NOT NULL CHECK (role IN ('owner', 'crew')),
    made INTEGER NOT NULL,
    until INTEGER NOT NULL,
    used INTEGER
) STRICT;

CREATE TABLE settings (
    name TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;
";

fn migrations() -> Migrations<'static> {
    Migrations::new(vec![M::up(FIRST)])
}

/// How many steps this version knows.
pub(crate) const VERSION: i64 = 1;

/// Brings a database to this version; one of a later version is left alone.
pub(crate) fn migrate(database: &mut Connection) -> Result<(), Fault> {
    check_version(database)?;
    migrations().to_latest(database).map_err(|error| match error {
        rusqlite_migration::Error::RusqliteError { err, .. } => Fault::from(err),
        other => Fault::new(Kind::Other, format!("the tables cannot be made: {other}"), "check the disk"),
    })
}

/// Marks a database that has no tables yet as ours: before the first table, or a kill between the two would leave a stranger.
pub(crate) fn mark(database: &Connection) -> Result<(), Fault> {
    if tables(database)? == 0 {
        database.pragma_update(None, "application_id", APPLICATION)?;
    }
    Ok(())
}

fn tables(database: &Connection) -> Result<i64, Fault> {
    Ok(database.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?)
}

/// Refuses databases of other programs and of later versions; an empty one is taken for a new one.
pub(crate) fn check_version(database: &Connection) -> Result<(), Fault> {
    let number = |name: &str| database.pragma_query_value(None, name, |row| row.get::<_, i64>(0));
    let (application, version) = (number("application_id")?, number("user_version")?);
    if application != i64::from(APPLICATION) && tables(database)? > 0 {
        let message = "the database is of another program";
        return Err(Fault::new(Kind::Foreign, message, "check the name; nothing was written to it"));
    }
    if version > VERSION {
        let message =
            format!("the folder was written by a later version (tables {version}; this one knows {VERSION})");
        return Err(Fault::new(Kind::Newer, message, "use the later version; nothing was changed"));
    }
    Ok(())
}

/// The whole integrity check; the first things found when it fails.
pub(crate) fn check_integrity(database: &Connection) -> Result<(), Fault> {
    let mut statement = database.prepare("PRAGMA integrity_check(5)")?;
    let found: Vec<String> = statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    if found == ["ok"] { Ok(()) } else { Err(Fault::corrupt(found.join("; "))) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_are_sound() {
        migrations().validate().unwrap();
        let mut database = Connection::open_in_memory().unwrap();
        migrate(&mut database).unwrap();
        let version: i64 = database.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
        assert_eq!(version, VERSION);
    }

    #[test]
    fn a_later_version_and_a_foreign_database_are_left_alone() {
        let database = Connection::open_in_memory().unwrap();
        database.pragma_update(None, "user_version", 99).unwrap();
        assert_eq!(check_version(&database).unwrap_err().kind, Kind::Newer);
        let database = Connection::open_in_memory().unwrap();
        database.execute_batch("CREATE TABLE recipes (x)").unwrap();
        assert_eq!(check_version(&database).unwrap_err().kind, Kind::Foreign);
    }
}
