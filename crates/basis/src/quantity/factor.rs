//! Exact conversion factors: the one place where each stands.

/// International foot in metres, exact since 1959.
pub const FOOT: f64 = 0.3048;
/// Inch in metres, exact.
pub const INCH: f64 = 0.0254;
/// Yard in metres, exact.
pub const YARD: f64 = 0.9144;
/// Statute mile in metres, exact.
pub const MILE: f64 = 1609.344;
/// Avoirdupois pound in kilograms, exact.
pub const POUND: f64 = 0.453_592_37;
/// Standard gravity in m/s², exact by definition.
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// 0 °C in kelvins, exact by definition.
pub const ICE_POINT: f64 = 273.15;
