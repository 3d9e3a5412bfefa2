//! Which units a person reads.

/// The units in which results are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum UnitSystem {
    /// Feet, inches, cubic yards.
    Us,
    /// Metres, millimetres, cubic metres.
    Metric,
}

/// How the rod is marked, and so how readings are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum RodMarks {
    /// Feet, inches and sixteenths.
    Sixteenths,
    /// Feet, inches and eighths.
    Eighths,
    /// Feet, tenths and hundredths.
    Tenths,
    /// Millimetres.
    Millimetres,
}
