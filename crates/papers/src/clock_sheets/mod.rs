//! The drawings of the finishing clock: the day line, and the floor at an instant.

mod axis;
mod day_line;
mod floor_at;

pub use day_line::day_line;
pub use floor_at::{FloorsAsked, floor_at, telling_floors};
