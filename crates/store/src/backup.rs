//! A copy of everything in one file, made while the server runs, and looked at before it counts.

use std::fs;
use std::path::Path;
use std::time::Duration;

use rusqlite::backup::{Backup as Copying, StepResult};
use rusqlite::{Connection, OpenFlags, params};

use crate::fault::{Fault, Kind};
use crate::open::{connect, database_of};
use crate::{events, files, photos, schema};

/// Pages copied at a time; between two times others may write.
const PAGES: i32 = 256;
/// How often a busy database is asked again, a tenth of a second apart.
const TRIES: u32 = 600;

/// What a backup holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Backup {
    /// Jobs.
    pub jobs: u64,
    /// Events.
    pub events: u64,
    /// Photos.
    pub photos: u64,
    /// Bytes of the file.
    pub bytes: u64,
}

/// The photos of a backup stand in its database.
const PHOTOS: &str = "CREATE TABLE photo_bytes (hash BLOB PRIMARY KEY, bytes BLOB NOT NULL) STRICT";

/// Copies a folder into one file while it is in use, looks the copy through, and then gives it its name.
///
/// Looked at: the whole integrity check, every event read, at least the events that were there when the copy began, every photo by its
/// hash. An older backup of the same name is replaced by the new one as a whole; any other file is left alone.
///
/// # Errors
/// The folder holds no jobs' database, it is damaged, a photo is; the file cannot be written or something else stands there. A backup that
/// failed leaves nothing behind.
pub fn backup(folder: &Path, to: &Path) -> Result<Backup, Fault> {
    let path = database_of(folder);
    if !path.is_file() {
        let message = format!("{} holds no jobs", folder.display());
        return Err(Fault::new(
            Kind::NotThere,
            message,
            "name the folder that the server runs on with --data",
        ));
    }
    if to.exists() {
        is_backup(to).map_err(|_| {
            let message = format!("{} is there and is no backup", to.display());
            Fault::new(Kind::InTheWay, message, "name a file that is not there yet")
        })?;
    }
    let mut name = to.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let part = to.with_file_name(name);
    let made = copy(&path, folder, &part).and_then(|()| {
        let done = look_through(&part)?;
        fs::rename(&part, to).map_err(|error| Fault::file(to, &error))?;
        files::sync_folder_of(to)?;
        Ok(done)
    });
    if made.is_err() {
        // The fault is what matters; the part may never have been made.
        let _ = fs::remove_file(&part);
    }
    made
}

fn copy(path: &Path, folder: &Path, part: &Path) -> Result<(), Fault> {
    let source = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
    schema::check_version(&source)?;
    let before = count(&source, "events")?;
    let _ = fs::remove_file(part);
    let mut copy = connect(part, OpenFlags::default())?;
    let copying = Copying::new(&source, &mut copy)?;
    let mut tries = 0;
    loop {
        match copying.step(PAGES)? {
            StepResult::Done => break,
            StepResult::More => {}
            _ if tries < TRIES => {
                tries += 1;
                std::thread::sleep(Duration::from_millis(100));
            }
            _ => return Err(Fault::new(Kind::Locked, "the database stays busy", "try again in a moment")),
        }
    }
    drop(copying);
    // One file, without a log beside it.
    copy.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
    copy.pragma_update(None, "synchronous", "FULL")?;
    let after = count(&copy, "events")?;
    if after < before {
        let message = format!("the copy has {after} events of {before}");
        return Err(Fault::new(Kind::Other, message, "try again; then check the disk"));
    }
    let transaction = copy.transaction()?;
    transaction.execute(PHOTOS, [])?;
    for (hash, _) in photos::kinds(&transaction)? {
        let bytes = photos::read(folder, hash)?;
        transaction
            .execute("INSERT INTO photo_bytes (hash, bytes) VALUES (?1, ?2)", params![hash.0, bytes])?;
    }
    Ok(transaction.commit()?)
}

pub(crate) fn count(database: &Connection, table: &str) -> Result<u64, Fault> {
    let rows: i64 = database.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0))?;
    Ok(rows.unsigned_abs())
}

/// Opens a backup for reading.
pub(crate) fn open_backup(path: &Path) -> Result<Connection, Fault> {
    if !path.is_file() {
        let message = format!("{} is not there", path.display());
        return Err(Fault::new(Kind::NotThere, message, "check the name"));
    }
    let database = connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    schema::check_version(&database)?;
    let sql = "SELECT count(*) FROM sqlite_schema WHERE name IN ('events', 'photo_bytes')";
    if database.query_row(sql, [], |row| row.get::<_, i64>(0))? != 2 {
        let message = format!("{} is no backup", path.display());
        return Err(Fault::new(Kind::Foreign, message, "name a file that `flatwright backup` has written"));
    }
    Ok(database)
}

fn is_backup(path: &Path) -> Result<(), Fault> {
    open_backup(path).map(|_| ())
}

/// Looks a backup through: integrity, events, photos.
pub(crate) fn look_through(path: &Path) -> Result<Backup, Fault> {
    let database = open_backup(path)?;
    schema::check_integrity(&database)?;
    let mut place = events::Place(0);
    let mut events = 0;
    loop {
        let some = events::events_after(&database, None, place, 1_000)?;
        let Some(last) = some.last() else { break };
        place = last.place;
        events += some.len() as u64;
    }
    if events != count(&database, "events")? {
        return Err(Fault::corrupt("events are missing from the index"));
    }
    let known = photos::kinds(&database)?;
    for (hash, _) in &known {
        let sql = "SELECT bytes FROM photo_bytes WHERE hash = ?1";
        let whole = database.query_row(sql, params![hash.0], |row| {
            Ok(photos::PhotoHash::of(row.get_ref(0)?.as_blob()?) == *hash)
        });
        if !whole.unwrap_or(false) {
            return Err(Fault::corrupt(format!("the photo {} is not whole", hash.text())));
        }
    }
    let bytes = fs::metadata(path).map_err(|error| Fault::file(path, &error))?.len();
    Ok(Backup { jobs: count(&database, "jobs")?, events, photos: known.len() as u64, bytes })
}
