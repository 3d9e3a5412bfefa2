//! The drawings of the finishing clock: the day line, and the floor at an instant.

mod axis;
mod day_line;
mod floor_at;

pub use day_line::{day_line, day_line_for_screen};
pub use floor_at::{FloorsAsked, floor_at, floor_at_for_screen, telling_floors};
