//! Figures inside the messages of this crate, in the units of the job.

use basis::{TimeSpan, UnitSystem, Volume};

/// A volume in yards or cubic metres with two decimals.
pub(crate) fn volume(v: Volume, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2} yd3", v.in_cubic_yards()),
        UnitSystem::Metric => format!("{:.2} m3", v.in_cubic_metres()),
    }
}

/// A time in whole minutes.
pub(crate) fn minutes(t: TimeSpan) -> String {
    format!("{:.0} min", t.in_minutes())
}

/// A share in per cent without decimals.
pub(crate) fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}
