//! Bringing a backup back.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::Timestamp;
use rusqlite::backup::Backup as Copying;
use rusqlite::{Connection, OpenFlags, params};

use crate::backup::{Backup, count, look_through, open_backup};
use crate::fault::{Fault, Kind};
use crate::lock::Lock;
use crate::open::{connect, database_of};
use crate::{files, photos, schema};

/// What may be in the folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// No jobs.
    Nothing,
    /// Anything: the database that is there is put aside in the folder.
    Jobs,
}

/// What was brought back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// What the backup holds.
    pub backup: Backup,
    /// Where the database that was there has been put.
    pub aside: Option<PathBuf>,
}

/// Brings a backup back into a folder.
///
/// The backup is looked through first and the new database after it is written; only then it takes its place. Whoever pulls the plug meanwhile
/// has the old one or the new one. All sessions end: people sign in again.
///
/// # Errors
/// The file is no backup or is damaged; the folder is in use; there are jobs in it, or a database that cannot be read, and `over` does not
/// allow it; the disk is full or may not be written. The folder is then as it was, but for photos that came with the backup.
pub fn restore(file: &Path, folder: &Path, over: Over, now: Timestamp) -> Result<Restored, Fault> {
    let backup = look_through(file)?;
    files::make_folder(folder)?;
    let _lock = Lock::take(folder, "a restore", now)?;
    let path = database_of(folder);
    if path.exists() && over == Over::Nothing {
        let jobs = connect(&path, OpenFlags::SQLITE_OPEN_READ_WRITE).and_then(|old| {
            schema::check_version(&old)?;
            count(&old, "jobs")
        });
        if !matches!(jobs, Ok(0)) {
            let message = match jobs {
                Ok(1) => format!("{} holds a job", folder.display()),
                Ok(jobs) => format!("{} holds {jobs} jobs", folder.display()),
                Err(fault) => format!("{} holds a database: {}", folder.display(), fault.note.message),
            };
            let hint =
                "restore into a new folder, or say --replace: the database that is there is then put aside";
            return Err(Fault::new(Kind::InTheWay, message, hint));
        }
    }
    let new = folder.join("restoring.db");
    let made = write(file, folder, &new, &backup).and_then(|()| put_in_place(&path, &new, now));
    if made.is_err() {
        // The fault is what matters; the file may never have been made.
        let _ = fs::remove_file(&new);
    }
    Ok(Restored { backup, aside: made? })
}

/// Writes the database of a backup beside the one that is there, and its photos among those that are there.
fn write(file: &Path, folder: &Path, new: &Path, backup: &Backup) -> Result<(), Fault> {
    let source = open_backup(file)?;
    let _ = fs::remove_file(new);
    let mut database = connect(new, OpenFlags::default())?;
    Copying::new(&source, &mut database)?.run_to_completion(1_000, std::time::Duration::ZERO, None)?;
    database.pragma_update(None, "synchronous", "FULL")?;
    write_photos(&database, folder)?;
    database.execute_batch("DROP TABLE photo_bytes; DELETE FROM sessions; VACUUM;")?;
    schema::migrate(&mut database)?;
    schema::check_integrity(&database)?;
    let events = count(&database, "events")?;
    if events != backup.events {
        return Err(Fault::corrupt(format!("{events} events of {} were written", backup.events)));
    }
    let file = fs::File::open(new).and_then(|file| file.sync_all());
    file.map_err(|error| Fault::file(new, &error))
}

fn write_photos(database: &Connection, folder: &Path) -> Result<(), Fault> {
    for (hash, _) in photos::kinds(database)? {
        let path = photos::file_of(folder, hash);
        if photos::read(folder, hash).is_ok() {
            continue;
        }
        if let Some(parent) = path.parent() {
            files::make_folder(parent)?;
        }
        let sql = "SELECT bytes FROM photo_bytes WHERE hash = ?1";
        let bytes: Vec<u8> = database.query_row(sql, params![hash.0], |row| row.get(0))?;
        files::write_whole(&path, &bytes)?;
    }
    Ok(())
}

/// Puts what is there aside and the new database in its place, so that at every moment one of the two is there.
fn put_in_place(path: &Path, new: &Path, now: Timestamp) -> Result<Option<PathBuf>, Fault> {
    let failed = |error: std::io::Error| Fault::file(path, &error);
    let mut aside = None;
    if path.exists() {
        let kept = free_name(path, now);
        // What the old one has in its log goes into it first; one that is too damaged for that keeps its log beside it.
        let whole = connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
            .and_then(|old| Ok(old.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?));
        if whole.is_err() {
            for end in ["-wal", "-shm"] {
                let log = beside(path, end);
                if log.exists() {
                    fs::rename(&log, beside(&kept, end)).map_err(failed)?;
                }
            }
        }
        fs::hard_link(path, &kept).or_else(|_| fs::copy(path, &kept).map(|_| ())).map_err(failed)?;
        aside = Some(kept);
    }
    files::sync_folder_of(path)?;
    fs::rename(new, path).map_err(failed)?;
    files::sync_folder_of(path)?;
    Ok(aside)
}

/// A name that nothing has yet: what was put aside before stays.
fn free_name(path: &Path, now: Timestamp) -> PathBuf {
    let stamp = now.as_second();
    let name = |nth: u32| match nth {
        0 => path.with_file_name(format!("before-restore-{stamp}.db")),
        nth => path.with_file_name(format!("before-restore-{stamp}-{nth}.db")),
    };
    (0..u32::MAX).map(name).find(|path| !path.exists()).unwrap_or_else(|| name(0))
}

fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}
