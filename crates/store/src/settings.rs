//! Settings of the folder: a name and a text each.

use rusqlite::{OptionalExtension, params};

use crate::fault::Fault;
use crate::open::Store;

impl Store {
    /// A setting, if it was ever made.
    ///
    /// # Errors
    /// When the database cannot be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, Fault> {
        let reader = self.reader();
        let mut statement = reader.prepare_cached("SELECT value FROM settings WHERE name = ?1")?;
        Ok(statement.query_row(params![name], |row| row.get(0)).optional()?)
    }

    /// Makes a setting, or takes it away.
    ///
    /// # Errors
    /// When the database cannot be written.
    pub fn set_setting(&self, name: &str, value: Option<&str>) -> Result<(), Fault> {
        let writer = self.writer();
        match value {
            Some(value) => writer.execute(
                "INSERT INTO settings (name, value) VALUES (?1, ?2) ON CONFLICT DO UPDATE SET value = excluded.value",
                params![name, value],
            )?,
            None => writer.execute("DELETE FROM settings WHERE name = ?1", params![name])?,
        };
        Ok(())
    }
}
