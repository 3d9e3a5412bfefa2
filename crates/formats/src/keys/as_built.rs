//! Every table and key of the file of the finished floor, layout 1.

use super::spec::Bound::NotNegative;
use super::spec::Kind::{Choice, Lengths, Point, Quantity, Table, Tables, Text, Version};
use super::spec::Measure::Length;
use super::spec::{TableSpec, may, need};
use super::tables::SETUP;

/// The whole file.
pub(crate) static AS_BUILT_FILE: TableSpec = TableSpec {
    called: "file of the finished floor",
    doc: "What was shot and read over a finished floor; its set-ups stand on the benchmarks of the job file.",
    keys: &[
        need("as_built", Version, "Number of the file's layout; this one is 1."),
        may("survey", Table(&SURVEY), "Files beside this one."),
        may("setup", Tables(&SETUP), "Positions of the laser with their shots of the finished floor."),
        may("line", Tables(&LINE), "Straight lines read over the floor at one spacing."),
    ],
};

static SURVEY: TableSpec = TableSpec {
    called: "survey",
    doc: "Files beside this one.",
    keys: &[
        may("shots_file", Text, "A CSV file with shots of the finished floor, as the job file's."),
        may("lines_file", Text, "A CSV file with readings of lines: line, station, reading or height."),
    ],
};

/// The spacings, in the order of [`ground::flatness::Spacing`].
pub(crate) const SPACINGS: &[&str] = &["1 ft", "300 mm"];

static LINE: TableSpec = TableSpec {
    called: "line",
    doc: "A straight line over the floor with its readings.",
    keys: &[
        need("name", Text, "Its name."),
        need("from", Point, "Where its first reading was taken."),
        need("to", Point, "A spot toward which it runs."),
        need("spacing", Choice(SPACINGS), "Distance between readings."),
        may("setup", Text, "Set-up from which it was read; without it the readings are heights."),
        may("readings", Lengths, "Rod readings in order."),
        may("heights", Lengths, "Heights in order, above any level of their own."),
        may("noise", Quantity(Length, NotNegative), "What a single height may be off by."),
    ],
};
