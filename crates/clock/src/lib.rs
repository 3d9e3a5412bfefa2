//! When concrete can be worked: weather, moist air, the heat of a thin slab, set, and what follows from them.
//!
//! Nothing here knows geometry: a slab is a depth. The flow is one way:
//! weather and site -> [`exposure`] -> the column of heat -> [`history`] -> events and their windows.
//! Instants are UTC; local time is made only for people.

pub mod band;
pub mod bleed;
pub mod column;
pub mod evaporation;
pub mod events;
pub mod exposure;
pub mod finish;
#[cfg(test)]
mod fixture;
pub mod history;
pub mod hydration;
pub mod limits;
pub mod material;
pub mod maturity;
pub mod mix;
pub mod mix_temperature;
pub mod moist_air;
pub mod observe;
pub mod perturb;
pub mod risk;
pub mod saw;
pub mod setting;
pub mod sky;
pub mod strength;
pub mod sun;
pub mod surface;
mod timeline;
pub mod weather;
pub mod wind;
pub mod windows;

pub use events::{Event, EventModel, Events, Milestone, events};
pub use exposure::Exposure;
pub use finish::{Finish, FinishSpec, Round};
pub use history::History;
pub use mix::Mix;
pub use windows::Window;
