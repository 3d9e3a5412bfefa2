//! The one table of keys: the reader, the JSON Schema and the tests all go by it.

mod as_built;
mod examples;
mod finishing;
mod jointing;
mod rates;
mod spec;
mod supplies;
mod tables;

pub(crate) use as_built::AS_BUILT_FILE;
pub(crate) use examples::own_example;
#[cfg(test)]
pub(crate) use examples::own_examples;
pub(crate) use rates::RATE_BOOK;
pub(crate) use spec::{Bound, Key, Kind, Measure, Need, TableSpec};
pub(crate) use tables::JOB_FILE;
#[cfg(test)]
pub(crate) use tables::for_each_table;
