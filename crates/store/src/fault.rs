//! What can go wrong with a folder of jobs, and what to do about it.

use std::fmt;
use std::path::Path;

use basis::{Note, Place};
use rusqlite::ErrorCode;

/// A fault with its kind, for programs, and its note, for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What kind of fault.
    pub kind: Kind,
    /// What went wrong, and what to do.
    pub note: Box<Note>,
}

/// Kinds of faults.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Another program has the folder open.
    Locked,
    /// The folder or a file in it may not be written.
    ReadOnly,
    /// The disk is full.
    Full,
    /// The database is damaged.
    Corrupt,
    /// The folder was written by a later version.
    Newer,
    /// The file is no database of this tool.
    Foreign,
    /// There is no such folder, file or job.
    NotThere,
    /// Something stands where something would be written.
    InTheWay,
    /// A photo is larger than is kept, or its bytes are not those announced.
    Photo,
    /// What is asked for is not so: a name taken, a token used.
    Refused,
    /// Reading or writing failed in another way.
    Other,
}

impl Kind {
    const fn code(self) -> &'static str {
        match self {
            Self::Locked => "store-locked",
            Self::ReadOnly => "store-read-only",
            Self::Full => "store-full",
            Self::Corrupt => "store-corrupt",
            Self::Newer => "store-newer",
            Self::Foreign => "store-foreign",
            Self::NotThere => "store-not-there",
            Self::InTheWay => "store-in-the-way",
            Self::Photo => "store-photo",
            Self::Refused => "store-refused",
            Self::Other => "store-failed",
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.note.code, self.note.message)?;
        if self.note.hint.is_empty() { Ok(()) } else { write!(f, " ({})", self.note.hint) }
    }
}

impl std::error::Error for Fault {}

impl Fault {
    pub(crate) fn new(kind: Kind, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { kind, note: Box::new(Note::fault(kind.code(), Place::job(), message, hint)) }
    }

    pub(crate) fn read_only(path: &Path) -> Self {
        let message = format!("{} may not be written", path.display());
        let hint = "give the folder to the user that runs the program, or name another with --data";
        Self::new(Kind::ReadOnly, message, hint)
    }

    pub(crate) fn full() -> Self {
        let message = "the disk is full: what was sent last is not kept and was not acknowledged";
        let hint = "make room on the disk; nothing needs to be mended, and phones send again by themselves";
        Self::new(Kind::Full, message, hint)
    }

    pub(crate) fn corrupt(what: impl fmt::Display) -> Self {
        let message = format!("the database is damaged: {what}");
        let hint = "leave the folder as it is, copy it, and bring back the last backup into a new folder with \
                    `flatwright restore FILE --data NEWDIR`; then check the disk";
        Self::new(Kind::Corrupt, message, hint)
    }

    /// A failure of the file system at a path.
    pub(crate) fn file(path: &Path, error: &std::io::Error) -> Self {
        use std::io::ErrorKind;
        match error.kind() {
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Self::read_only(path),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::full(),
            ErrorKind::NotFound => {
                let message = format!("{} is not there", path.display());
                Self::new(Kind::NotThere, message, "check the name")
            }
            _ => Self::new(
                Kind::Other,
                format!("{}: {error}", path.display()),
                "try again; then check the disk",
            ),
        }
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::full(),
            Some(ErrorCode::DatabaseCorrupt) => Self::corrupt(&error),
            Some(ErrorCode::NotADatabase) => {
                let hint = "check the name; nothing was written to it";
                Self::new(Kind::Foreign, "the file is no database", hint)
            }
            Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
                let hint = "give the folder to the user that runs the program, or name another with --data";
                Self::new(Kind::ReadOnly, format!("the database cannot be opened for writing: {error}"), hint)
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => {
                let hint = "try again in a moment; if it stays, another program has the folder open";
                Self::new(Kind::Locked, "the database is busy", hint)
            }
            _ => Self::new(
                Kind::Other,
                format!("the database said: {error}"),
                "try again; then check the disk",
            ),
        }
    }
}
