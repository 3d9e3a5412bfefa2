//! When concrete can be worked: weather, moist air, the heat of a thin slab, set, and what follows from them.
//!
//! Nothing here knows geometry: a slab is a depth. The flow is one way:
//! weather and site -> [`exposure`] -> the column of heat -> [`history`] -> events and their windows.
//! Instants are UTC; local time is made only for people.

pub mod evaporation;
pub mod exposure;
pub mod history;
pub mod hydration;
pub mod limits;
pub mod maturity;
pub mod mix;
pub mod mix_temperature;
pub mod moist_air;
pub mod perturb;
pub mod sky;
pub mod sun;
pub mod weather;
pub mod wind;

pub use exposure::Exposure;
pub use history::History;
pub use mix::Mix;
