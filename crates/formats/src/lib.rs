//! Between files and the job: reads job files and shots, and says where every fault stands.
//!
//! [`read_job`] goes from text to a [`pour::Job`] with all notes; [`SourceMap`] leads from the places in
//! notes to lines and columns; [`render_notes`] sets notes for a terminal. [`read_weather`] reads weather files;
//! [`brought`] reads drawings and surveys of other programs, [`carried`] writes them. Nothing here reads a disk.

pub mod api;
mod as_built;
pub mod brought;
mod calendar;
pub mod carried;
pub mod events;
mod job_toml;
mod keys;
mod lists;
mod nearest;
mod notes;
mod past_csv;
mod plan_json;
mod price_csv;
mod quantity;
mod rate_book;
mod schema;
mod sights;
mod source;
mod starter;
mod survey_csv;
mod takeoff_lists;
mod ways;
mod weather;
mod write;

pub use as_built::{ParsedAsBuilt, read_as_built};
pub use calendar::{CalendarEvent, calendar};
pub use job_toml::{FetchFile, LARGEST_FILE, Parsed, read_job, read_job_bytes};
pub use lists::{loads_csv, pads_csv, rounds_csv};
pub use notes::{Ink, NoteStyle, render_notes};
pub use past_csv::{ParsedPast, read_past};
pub use plan_json::{
    ClockFloor, as_built_json, as_built_schema, clock_json, clock_schema, plan_json, plan_schema, price_json,
    price_schema, sweep_json, sweep_schema, takeoff_json, takeoff_schema,
};
pub use price_csv::price_csv;
pub use rate_book::{ParsedRates, read_rates, set_rate, starter_rates};
pub use schema::{as_built_file_schema, job_schema, rates_schema};
pub use sights::{DayOfPour, SaidSight, read_sight, read_time_of_pour};
pub use source::{Position, SourceMap, Span};
pub use starter::starter;
pub use takeoff_lists::{cuts_csv, takeoff_csv};
pub use ways::read_way;
pub use weather::{ParsedWeather, WeatherFile, WeatherKind, read_weather, weather_kind};
pub use write::write_job;

#[cfg(test)]
mod csv_tests;
#[cfg(test)]
mod demo_tests;
#[cfg(test)]
mod docs_tests;
#[cfg(test)]
mod fault_tests;
#[cfg(test)]
mod notes_tests;
#[cfg(test)]
mod price_tests;
#[cfg(test)]
mod rates_tests;
#[cfg(test)]
mod schema_tests;
#[cfg(test)]
mod write_tests;
