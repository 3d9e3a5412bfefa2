//! One file a page, in the order of the day.

#[cfg(feature = "server")]
mod close;
mod day;
#[cfg(feature = "server")]
mod entries;
#[cfg(feature = "server")]
mod files;
mod finish;
mod floor;
#[cfg(feature = "server")]
mod jobs;
#[cfg(feature = "server")]
mod live;
mod logged;
#[cfg(feature = "server")]
mod measure;
#[cfg(feature = "server")]
mod on_site;
#[cfg(feature = "server")]
mod order;
#[cfg(feature = "server")]
mod outline;
#[cfg(feature = "server")]
mod paper;
mod pour;
#[cfg(feature = "server")]
mod price;
#[cfg(feature = "server")]
mod rates;
#[cfg(feature = "server")]
mod routes;
pub mod site;
#[cfg(feature = "server")]
mod start;
#[cfg(feature = "server")]
mod write;

use maud::{Markup, html};

use crate::look::{self, Stand, Step};
use crate::opened::Opened;

#[cfg(feature = "server")]
pub(crate) use paper::paper_of;
#[cfg(feature = "server")]
pub use routes::routes;
#[cfg(feature = "server")]
use routes::{opened, unplanned};

/// What a page says when there is no plan: what must be mended, and where.
fn mend_first(opened: &Opened) -> Markup {
    html! {
        h2 { "Mend this first" }
        p { "The floor cannot be figured yet. Each line says what is wrong, and what to write instead." }
        (look::notes(opened.figured.notes.iter()))
        p { a.do href={ "/jobs/" (opened.id) "/measure" } { "to the measures" } }
    }
}

/// Warnings and remarks of the plan whose place starts with one of some words.
fn notes_about(opened: &Opened, places: &[&str]) -> Markup {
    let is_about = |path: &str| places.iter().any(|place| path.starts_with(place));
    look::notes(opened.figured.notes.iter().filter(|(note, _)| is_about(note.place.path())))
}

/// The page of a step.
const fn at(step: Step) -> Stand {
    Stand::Step(step)
}
