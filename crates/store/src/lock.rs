//! One program at a time writes to a folder.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;

use jiff::Timestamp;

use crate::fault::{Fault, Kind};

/// The lock, held as long as it lives. The system takes it back when the program ends, however it ends.
#[derive(Debug)]
pub(crate) struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the lock of a folder, and writes down who has it.
    pub fn take(folder: &Path, who: &str, now: Timestamp) -> Result<Self, Fault> {
        let path = folder.join("lock");
        let file = OpenOptions::new()
            .create(true)
            .truncate(false)
            .read(true)
            .write(true)
            .open(&path)
            .map_err(|error| Fault::file(&path, &error))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(held(folder)),
            Err(TryLockError::Error(error)) => return Err(Fault::file(&path, &error)),
        }
        let told = folder.join("in-use.txt");
        let text = format!("{who}, process {}, since {now}\n", std::process::id());
        std::fs::write(&told, text).map_err(|error| Fault::file(&told, &error))?;
        Ok(Self { _file: file })
    }
}

fn held(folder: &Path) -> Fault {
    let who = std::fs::read_to_string(folder.join("in-use.txt")).unwrap_or_default();
    let who = who.lines().next().filter(|line| !line.is_empty()).unwrap_or("another program");
    let message = format!("{} is in use by {who}", folder.display());
    let hint = "stop that one first, or name another folder with --data";
    Fault::new(Kind::Locked, message, hint)
}
