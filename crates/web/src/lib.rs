//! The app in the browser: pages of the job, served from one program.
//!
//! Nothing is figured here: a page asks the engine through [`desk`], which works each result once, and shows it. Every request
//! passes the guard, which lets in only what comes from the app's own pages. Without its feature `server` the crate is the
//! pages on site alone, as plain functions, so that they can be made where there is no server.

#[cfg(feature = "server")]
mod answer;
#[cfg(feature = "server")]
pub mod api;
#[cfg(feature = "server")]
pub mod app;
#[cfg(feature = "server")]
mod assets;
#[cfg(feature = "server")]
pub mod authority;
#[cfg(feature = "server")]
pub mod desk;
#[cfg(feature = "server")]
mod draw;
pub mod figured;
pub mod form;
#[cfg(feature = "server")]
mod guard;
mod look;
mod opened;
mod pages;
#[cfg(feature = "server")]
pub mod people;
#[cfg(feature = "server")]
mod photos;
#[cfg(feature = "server")]
mod priced;
#[cfg(feature = "server")]
mod router;
pub mod say;
#[cfg(feature = "server")]
mod serve;
#[cfg(feature = "server")]
pub mod shelf;
#[cfg(feature = "server")]
pub mod tls;
pub mod who;
#[cfg(feature = "server")]
mod worker;

#[cfg(feature = "server")]
pub use app::{App, WallClock};
#[cfg(feature = "server")]
pub use guard::{Front, Hosts, Way};
pub use opened::{Frame, Ids, Occasion, Opened, Signal};
pub use pages::site;
#[cfg(feature = "server")]
pub use router::router;
#[cfg(feature = "server")]
pub use serve::{Listen, ServeOptions, Serving, in_a_url, own_addresses, picture, serve};
#[cfg(feature = "server")]
pub use shelf::{DiskShelf, MemoryShelf, Shelf};

#[cfg(test)]
#[cfg(feature = "server")]
mod file_tests;
#[cfg(test)]
#[cfg(feature = "server")]
mod tests;
