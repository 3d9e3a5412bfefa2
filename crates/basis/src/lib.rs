//! What every other crate of Flatwright speaks in: quantities, estimates, reports and citation keys.
//!
//! Nothing here knows geometry or physics. A quantity is a plain value in SI units with constructors
//! and readers named by unit; an [`Estimate`] is a quantity with its spread and where it came from;
//! a [`Report`] is a value together with the [`Note`]s made on the way to it.

pub mod estimate;
pub mod math;
pub mod money;
pub mod quantity;
pub mod report;
pub mod units;

pub use estimate::{Estimate, Origin};
pub use money::{Currency, Money, Price};
pub use quantity::{
    Angle, Area, AreaRate, Cover, Density, Length, Mass, Pressure, QuantityError, Share, Slope, Speed,
    Temperature, TemperatureDifference, TimeSpan, Volume, VolumeRate,
};
pub use report::{Note, Place, Report, Severity, has_fault};
pub use units::{RodMarks, UnitSystem};
