//! Keeps jobs in one folder: events that are only ever added to, photos, people; with backup, restore and export.
//!
//! An event that [`Store::append`] has acknowledged is on the disk: it outlives a crash of the program and, as far as disk and
//! file system keep their own promises, a cut of the power. What is kept where, and what is not promised: `docs/store.md`.
//!
//! Every function is a whole operation. SQL stands in this crate alone, and this crate knows no page. Instants are handed in.

mod backup;
mod events;
mod export;
mod fault;
mod files;
mod invitations;
mod jobs;
mod lock;
mod open;
mod people;
mod photos;
mod restore;
mod schema;
mod secret;
mod sessions;
mod settings;

pub use backup::{Backup, backup};
pub use events::{Answer, FURTHEST_TICK, Kept, Place};
pub use export::Exported;
pub use fault::{Fault, Kind};
pub use invitations::Invitation;
pub use jobs::{JobRow, Shelf};
pub use open::{Store, database_of};
pub use people::{Person, PersonId, Role};
pub use photos::{LARGEST_PHOTO, PhotoHash};
pub use restore::{Over, Restored, restore};
pub use secret::Secret;
pub use sessions::Session;
