//! Reads quantities as people on site write them.
//!
//! `36' 6-1/2"`, `36 ft 6 1/2 in`, `36.54 ft`, `11.13 m`, `1/8 in/ft`, `8 1/4 yd3`, `70 degF`. The grammar, the
//! units and the ranges stand in `docs/methods/quantities.md`. No text panics, and a text longer than any quantity
//! is refused before it is looked at.

mod number;
mod price;
mod term;
mod text;
mod units;

use std::fmt;

pub use price::{
    money_with_currency, price_per_anything, price_per_time_with_currency, price_per_volume_with_currency,
    time_per_volume,
};

use super::{
    Angle, Area, AreaRate, Cover, Density, Length, Mass, Pressure, Share, Slope, Speed, Temperature,
    TemperatureDifference, TimeSpan, Volume, VolumeRate,
};
use term::Term;
use text::Cursor;
pub use units::Kind;

/// What is wrong with a text that should be a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum QuantityFault {
    /// Nothing is written.
    Empty,
    /// A number stands without a unit.
    BareNumber,
    /// A unit that is none of ours.
    UnknownUnit,
    /// A unit that measures something else.
    WrongKind,
    /// The magnitude is outside what a site can hold.
    OutOfRange,
    /// The text has not the form of a quantity.
    Form,
}

/// Why a text is not the quantity wanted, told to the person who wrote it.
///
/// ```
/// # use basis::{Length, quantity::QuantityFault};
/// let error = "36.5".parse::<Length>().unwrap_err();
/// assert_eq!(error.fault, QuantityFault::BareNumber);
/// assert_eq!(error.message, "\"36.5\" has no unit; a length is wanted");
/// assert_eq!(error.hint, "write \"36.5 ft\", \"36.5 in\", \"36.5 m\" or \"36.5 mm\", whichever is meant");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    /// What is wrong, for programs.
    pub fault: QuantityFault,
    /// What was written, cut to a length that can be quoted.
    pub said: String,
    /// What was wanted, with its article: `a length`.
    pub wanted: &'static str,
    /// What is so.
    pub message: String,
    /// What to write.
    pub hint: String,
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.hint)
    }
}

impl std::error::Error for QuantityError {}

/// A fault found on the way, before it is known what was wanted.
#[derive(Debug, Clone, PartialEq)]
struct Slip {
    fault: QuantityFault,
    /// Goes after the quoted text: `has no unit`.
    message: String,
    /// What to write; empty for the example of the quantity.
    hint: String,
}

impl Slip {
    fn new(fault: QuantityFault, message: impl Into<String>) -> Self {
        Self { fault, message: message.into(), hint: String::new() }
    }
    fn form(message: impl Into<String>) -> Self {
        Self::new(QuantityFault::Form, message)
    }
    fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: hint.into(), ..self }
    }
    fn told(self, said: &str, wanted: &'static str, example: &str) -> QuantityError {
        let said = text::quoted(said);
        let hint = if self.hint.is_empty() { format!("write it as in \"{example}\"") } else { self.hint };
        let message = format!("\"{said}\" {}; {wanted} is wanted", self.message);
        QuantityError { fault: self.fault, said, wanted, message, hint }
    }
}

/// A quantity that can be read from text.
pub trait Readable: Sized + Copy {
    /// How doubt of it is measured; the same type but for temperatures.
    type Spread: Readable;
    /// What it is called, with its article.
    const WANTED: &'static str;
    /// How one is written.
    const EXAMPLE: &'static str;
    /// What kind of unit it takes.
    const KIND: Kind;
    /// The least and the greatest that a site can hold, in SI units.
    const RANGE: (f64, f64);
    /// The range in words.
    const RANGE_SAID: &'static str;
    /// From its SI unit.
    fn from_si(value: f64) -> Self;
    /// In its SI unit.
    fn in_si(self) -> f64;
}

/// Reads one quantity.
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::{Length, Slope, quantity::read};
/// let side: Length = read("36' 6-1/2\"").unwrap();
/// assert!((side.in_inches() - 438.5).abs() < 1e-9);
/// assert!((read::<Slope>("1:48").unwrap().in_inches_per_foot() - 0.25).abs() < 1e-12);
/// ```
pub fn read<Q: Readable>(said: &str) -> Result<Q, QuantityError> {
    parse::<Q>(said).map_err(|slip| slip.told(said, Q::WANTED, Q::EXAMPLE))
}

/// Reads a quantity and, after `+-` or `±`, one standard deviation of doubt.
///
/// The value may leave its unit to the spread (`10 ± 2 yd3/h`). Without a spread the second part is `None`.
///
/// # Errors
/// As [`read`]; a negative spread is an error.
///
/// ```
/// # use basis::{VolumeRate, quantity::parse_with_spread};
/// let (rate, spread) = parse_with_spread::<VolumeRate>("12 yd3/h +- 3 yd3/h").unwrap();
/// assert!((rate.in_cubic_yards_per_hour() - 12.0).abs() < 1e-9);
/// assert!((spread.unwrap().in_cubic_yards_per_hour() - 3.0).abs() < 1e-9);
/// ```
pub fn parse_with_spread<Q: Readable>(said: &str) -> Result<(Q, Option<Q::Spread>), QuantityError> {
    let told = |slip: Slip| slip.told(said, Q::WANTED, Q::EXAMPLE);
    let plain = text::plain(said).map_err(told)?.replace("+/-", "+-");
    let Some((mean, spread)) = plain.split_once("+-") else { return read(said).map(|mean| (mean, None)) };
    let mut value = parse::<Q>(mean);
    if matches!(&value, Err(slip) if slip.fault == QuantityFault::BareNumber) {
        value = parse::<Q>(&format!("{mean} {}", text::after_number(spread)));
    }
    let value = value.map_err(told)?;
    let spread = parse::<Q::Spread>(spread).map_err(told)?;
    if spread.in_si() < 0.0 {
        return Err(told(Slip::form("has a spread below zero").hint("write the spread without a sign")));
    }
    Ok((value, Some(spread)))
}

fn parse<Q: Readable>(said: &str) -> Result<Q, Slip> {
    let plain = text::plain(said)?;
    let cursor = &mut Cursor::new(&plain);
    let sign = cursor.sign();
    let terms = term::terms(cursor, Q::KIND)?;
    let si = match Q::KIND {
        Kind::Temperature => temperature(sign, &terms)?,
        kind => sign * total(kind, &terms)?,
    };
    in_range::<Q>(si)
}

fn in_range<Q: Readable>(si: f64) -> Result<Q, Slip> {
    let (low, high) = Q::RANGE;
    // NaN fails both comparisons and so is refused too.
    if si >= low && si <= high {
        return Ok(Q::from_si(si));
    }
    let message = format!("is outside {}", Q::RANGE_SAID);
    Err(Slip::new(QuantityFault::OutOfRange, message).hint("check the number and its unit"))
}

/// Sum of the terms in the SI unit; a later term must be a smaller unit and less than one of the unit before.
fn total(kind: Kind, terms: &[Term]) -> Result<f64, Slip> {
    let mut sum = 0.0;
    for (i, term) in terms.iter().enumerate() {
        if let Some(before) = i.checked_sub(1).and_then(|i| terms.get(i)) {
            follows(before, term)?;
        }
        sum += term.value * units::size(kind, &term.unit)?;
    }
    Ok(sum)
}

fn follows(before: &Term, term: &Term) -> Result<(), Slip> {
    let Some(count) = units::how_many_make(&term.unit, &before.unit) else {
        return Err(Slip::form(format!("has {} after {}", term.unit, before.unit)));
    };
    if before.value.fract() != 0.0 {
        return Err(Slip::form(format!("has a part of a {} and then {}", before.unit, term.unit))
            .hint(format!("write whole {} before {}, or {} alone", before.unit, term.unit, before.unit)));
    }
    if term.value >= count {
        return Err(Slip::form(format!("has {} {} or more after {}", count, term.unit, before.unit))
            .hint(format!("{} {} make one {}", count, term.unit, before.unit)));
    }
    Ok(())
}

fn temperature(sign: f64, terms: &[Term]) -> Result<f64, Slip> {
    let [term] = terms else { return Err(Slip::form("has more than one number")) };
    // The table is asked first so that a unit of another kind is told as such.
    units::size(Kind::Temperature, &term.unit)?;
    let value = sign * term.value;
    Ok(match term.unit.as_str() {
        "degf" => Temperature::fahrenheit(value),
        "degc" => Temperature::celsius(value),
        _ => Temperature::kelvins(value),
    }
    .in_kelvins())
}

macro_rules! readable {
    ($($type:ident, $spread:ident, $kind:ident, $from:ident, $in:ident, $wanted:literal, $example:literal,
       $low:expr, $high:expr, $range:literal;)*) => {$(
        impl Readable for $type {
            type Spread = $spread;
            const WANTED: &'static str = $wanted;
            const EXAMPLE: &'static str = $example;
            const KIND: Kind = Kind::$kind;
            const RANGE: (f64, f64) = ($low, $high);
            const RANGE_SAID: &'static str = $range;
            fn from_si(value: f64) -> Self { Self::$from(value) }
            fn in_si(self) -> f64 { self.$in() }
        }
        impl std::str::FromStr for $type {
            type Err = QuantityError;
            fn from_str(said: &str) -> Result<Self, QuantityError> { read(said) }
        }
    )*};
}

readable! {
    Length, Length, Length, metres, in_metres, "a length", "36 ft 6 1/2 in",
        -1e4, 1e4, "-10 km to 10 km";
    Area, Area, Area, square_metres, in_square_metres, "an area", "1200 ft2",
        0.0, 1e6, "0 to 1,000,000 m2";
    Volume, Volume, Volume, cubic_metres, in_cubic_metres, "a volume", "8.25 yd3",
        -1e5, 1e5, "-100,000 m3 to 100,000 m3";
    Angle, Angle, Angle, radians, in_radians, "an angle", "90 deg",
        -63.0, 63.0, "ten turns either way";
    Slope, Slope, Slope, ratio, in_ratio, "a fall", "1/8 in/ft",
        -10.0, 10.0, "ten in one either way";
    Share, Share, Share, ratio, in_ratio, "a share", "3 %",
        -10.0, 10.0, "-1000 % to 1000 %";
    TimeSpan, TimeSpan, TimeSpan, seconds, in_seconds, "a time span", "1 h 30 min",
        -3.2e7, 3.2e7, "a year either way";
    Speed, Speed, Speed, metres_per_second, in_metres_per_second, "a speed", "12 mph",
        0.0, 120.0, "0 to 120 m/s";
    Mass, Mass, Mass, kilograms, in_kilograms, "a mass", "94 lb",
        0.0, 1e8, "0 to 100,000 tonnes";
    Density, Density, Density, kilograms_per_cubic_metre, in_kilograms_per_cubic_metre,
        "a mass per volume", "145 lb/ft3", 0.0, 3e4, "0 to 30,000 kg/m3";
    Temperature, TemperatureDifference, Temperature, kelvins, in_kelvins, "a temperature", "70 degF",
        173.15, 473.15, "-100 degC to 200 degC";
    TemperatureDifference, TemperatureDifference, TemperatureDifference, kelvins, in_kelvins,
        "a difference of temperature", "10 degF", -300.0, 300.0, "300 K either way";
    Pressure, Pressure, Pressure, pascals, in_pascals, "a pressure or strength", "4000 psi",
        0.0, 1e9, "0 to 1,000 MPa";
    VolumeRate, VolumeRate, VolumeRate, cubic_metres_per_second, in_cubic_metres_per_second,
        "a volume per time", "12 yd3/h", 0.0, 1.0, "0 to 3,600 m3/h";
    AreaRate, AreaRate, AreaRate, square_metres_per_second, in_square_metres_per_second,
        "an area per time", "1500 ft2/h", 0.0, 10.0, "0 to 36,000 m2/h";
    Cover, Cover, Cover, square_metres_per_cubic_metre, in_square_metres_per_cubic_metre,
        "an area per volume", "200 ft2/gal", 0.0, 1e6, "0 to 1,000 m2/l";
}

#[cfg(test)]
mod tests;
