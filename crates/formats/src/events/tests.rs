//! Jobs that several people change at once.

mod edits;
mod fold;
mod laws;
mod wire;

use jiff::Timestamp;

use super::*;

/// Boat shed of the demonstration.
const BOAT_SHED: &str = include_str!("../../../../demo/boat-shed.toml");

/// A small floor with lists of both kinds and remarks.
const SMALL: &str = r#"# A small floor.
flatwright = 1
job = { name = "Shed", zone = "America/Chicago", units = "us", rod = "eighths" }

# Corners in order round.
[[corner]]
name = "A"
at = ["0 ft", "0 ft"] # the nail
[[corner]]
name = "B"
at = ["14 ft", "0 ft"]
[[corner]]
name = "C"
at = ["14 ft", "12 ft"]

[slab]
nominal = "4 in" # as drawn

[[setup]]
name = "lawn"
backsight = { on = "sill", reading = "3 ft 10 1/4 in" }
shots = [
  ["1", "2 ft", "10 ft", "4 ft 9 1/4 in"],
  # Soft here.
  ["2", "12 ft", "10 ft", "4 ft 8 5/8 in"],
  ["3", "7 ft", "2 ft", "4 ft 11 in"],
]
"#;

fn id(number: u8) -> EventId {
    EventId::from_bytes([number; 16])
}

fn event(number: u8, tick: u64, by: &str, change: Change) -> Event {
    let made: Timestamp = "2026-06-12T12:00:00Z".parse().unwrap();
    Event { id: id(number), job: JobId::from_bytes([9; 16]), tick, made, by: by.to_owned(), change }
}

fn new_job(text: &str) -> Event {
    event(1, 1, "Ada", Change::Text { text: text.to_owned(), saw: None })
}

fn at(state: &State, place: &str) -> Address {
    state.address(&basis::Place::at(place)).unwrap_or_else(|| panic!("{place} is nowhere"))
}

fn set(state: &State, place: &str, to: Option<&str>) -> Change {
    let at = at(state, place);
    Change::Set { was: state.value(&at), at, to: to.map(str::to_owned) }
}

fn add(list: &str, row: &str) -> Change {
    Change::Add { list: list.parse().unwrap(), after: After::End, row: row.to_owned() }
}
