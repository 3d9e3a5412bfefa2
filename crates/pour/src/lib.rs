//! The one place where the floor and the day meet: order, loads, bays, pads, reach, forecast.
//!
//! A [`job::Job`] is what is known before the day. Everything else is a function of it.

pub mod asbuilt;
pub mod balance;
pub mod bays;
pub mod chance;
pub mod day;
pub mod defaults;
pub mod forecast;
pub mod job;
pub mod joints;
pub mod learn;
pub mod loads;
pub mod log;
pub mod order;
pub mod pacing;
pub mod pads;
pub mod plan;
pub mod prep;
pub mod price;
mod profile;
pub mod reach;
pub mod rounds;
pub mod stone;
pub mod takeoff;
pub mod trucks;
pub mod unit;
pub mod wall;
mod words;

pub use forecast::sweep;
pub use job::Job;
