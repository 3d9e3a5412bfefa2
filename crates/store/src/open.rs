//! Opening a folder: the lock, the database, its check.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use jiff::Timestamp;
use rusqlite::{Connection, OpenFlags};

use crate::fault::Fault;
use crate::lock::Lock;
use crate::{files, photos, schema};

/// How long a statement waits for another program that has the database, such as a backup.
const PATIENCE: Duration = Duration::from_secs(5);

/// A folder of jobs that this program has for itself.
///
/// All functions take `&self` and may be called from several threads: one writes at a time, and readers do not wait for it.
#[derive(Debug)]
pub struct Store {
    folder: PathBuf,
    writer: Mutex<Connection>,
    reader: Mutex<Connection>,
    _lock: Lock,
}

/// The database of a folder.
#[must_use]
pub fn database_of(folder: &Path) -> PathBuf {
    folder.join("flatwright.db")
}

impl Store {
    /// Opens a folder, makes it where there is none, and checks the database.
    ///
    /// `who` is written down for a second program that tries: the address of the server, say.
    ///
    /// # Errors
    /// The folder is in use, may not be written, or is damaged; the disk is full; a later version wrote it. Nothing is changed then.
    pub fn open(folder: &Path, who: &str, now: Timestamp) -> Result<Self, Fault> {
        files::make_folder(folder)?;
        let lock = Lock::take(folder, who, now)?;
        let path = database_of(folder);
        let mut writer = connect(&path, OpenFlags::default())?;
        // Where the file may not be written, it is opened for reading without a word.
        if writer.is_readonly(rusqlite::MAIN_DB)? {
            return Err(Fault::read_only(&path));
        }
        schema::check_version(&writer)?;
        schema::check_integrity(&writer)?;
        for_writing(&writer)?;
        schema::mark(&writer)?;
        schema::migrate(&mut writer)?;
        files::sync_folder(folder)?;
        photos::tidy(folder)?;
        let reader = connect(&path, OpenFlags::default())?;
        reader.pragma_update(None, "query_only", true)?;
        Ok(Self {
            folder: folder.to_owned(),
            writer: Mutex::new(writer),
            reader: Mutex::new(reader),
            _lock: lock,
        })
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Lets the database grow by no more than so many pages of 4 KiB, as a quota of the disk would; for tests.
    ///
    /// # Errors
    /// As the database says.
    pub fn let_grow(&self, pages: u32) -> Result<(), Fault> {
        let writer = self.writer();
        let now: i64 = writer.pragma_query_value(None, "page_count", |row| row.get(0))?;
        writer.pragma_update_and_check(None, "max_page_count", now + i64::from(pages), |_| Ok(()))?;
        Ok(())
    }

    // A panic while the lock was held has rolled its transaction back: the connection is good.
    pub(crate) fn writer(&self) -> MutexGuard<'_, Connection> {
        self.writer.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn reader(&self) -> MutexGuard<'_, Connection> {
        self.reader.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A connection that waits a while when the database is busy.
pub(crate) fn connect(path: &Path, flags: OpenFlags) -> Result<Connection, Fault> {
    let database = Connection::open_with_flags(path, flags)?;
    database.busy_timeout(PATIENCE)?;
    // A row that names a job that is not there is a fault of this program, and is refused.
    database.pragma_update(None, "foreign_keys", true)?;
    // Nothing that a schema of unknown origin defines is run.
    database.pragma_update(None, "trusted_schema", false)?;
    Ok(database)
}

/// A log ahead of the database, and every commit on the disk before it is acknowledged.
fn for_writing(database: &Connection) -> Result<(), Fault> {
    database.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))?;
    database.pragma_update(None, "synchronous", "FULL")?;
    // On systems where a flush stops at the disk's own memory, ask for the deeper one.
    database.pragma_update(None, "fullfsync", true)?;
    database.pragma_update(None, "checkpoint_fullfsync", true)?;
    Ok(())
}
