//! The units we read, their spellings and their sizes.

use super::super::{
    Angle, Area, AreaRate, Cover, Density, Length, Mass, Pressure, Share, Slope, Speed,
    TemperatureDifference, TimeSpan, Volume, VolumeRate,
};
use super::{QuantityFault, Slip};

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is the quantity of its name")]
pub enum Kind {
    Length,
    Area,
    Volume,
    Angle,
    Slope,
    Share,
    TimeSpan,
    Speed,
    Mass,
    Density,
    Temperature,
    TemperatureDifference,
    Pressure,
    VolumeRate,
    AreaRate,
    Cover,
}

impl Kind {
    fn said(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Area => "an area",
            Self::Volume => "a volume",
            Self::Angle => "an angle",
            Self::Slope => "a fall",
            Self::Share => "a share",
            Self::TimeSpan => "a time span",
            Self::Speed => "a speed",
            Self::Mass => "a mass",
            Self::Density => "a mass per volume",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a difference of temperature",
            Self::Pressure => "a pressure or strength",
            Self::VolumeRate => "a volume per time",
            Self::AreaRate => "an area per time",
            Self::Cover => "an area per volume",
        }
    }
}

/// Other spellings of single units, in lower case.
const SPELLINGS: &[(&str, &[&str])] = &[
    ("ft", &["'", "foot", "feet"]),
    ("in", &["\"", "inch", "inches"]),
    ("yd", &["yard", "yards", "yds"]),
    ("mi", &["mile", "miles"]),
    ("m", &["metre", "metres", "meter", "meters"]),
    ("cm", &["centimetre", "centimetres", "centimeter", "centimeters"]),
    ("mm", &["millimetre", "millimetres", "millimeter", "millimeters"]),
    ("km", &[]),
    ("l", &["litre", "litres", "liter", "liters"]),
    ("gal", &["gallon", "gallons"]),
    ("cy", &[]),
    ("cf", &[]),
    ("sf", &[]),
    ("rad", &[]),
    ("arcsec", &["arcsecond", "arcseconds"]),
    ("arcmin", &["arcminute", "arcminutes"]),
    ("%", &["percent"]),
    ("s", &["sec", "secs", "second", "seconds"]),
    ("min", &["mins", "minute", "minutes"]),
    ("h", &["hr", "hrs", "hour", "hours"]),
    ("d", &["day", "days"]),
    ("mph", &[]),
    ("lb", &["lbs", "pound", "pounds"]),
    ("kg", &["kilogram", "kilograms"]),
    ("g", &["gram", "grams"]),
    ("t", &["tonne", "tonnes"]),
    ("ton", &["tons"]),
    ("pcf", &[]),
    ("psi", &[]),
    ("pa", &["pascal", "pascals"]),
    ("kpa", &[]),
    ("mpa", &[]),
    ("n", &[]),
    ("k", &["kelvin", "kelvins"]),
    ("degf", &["f"]),
    ("degc", &["c"]),
];

const IN3: f64 =
    Length::inches(1.0).in_metres() * Length::inches(1.0).in_metres() * Length::inches(1.0).in_metres();

/// What one of each unit is in the SI unit of its kind.
const SIZES: &[(Kind, &str, f64)] = &[
    (Kind::Length, "ft", Length::feet(1.0).in_metres()),
    (Kind::Length, "in", Length::inches(1.0).in_metres()),
    (Kind::Length, "yd", Length::feet(3.0).in_metres()),
    (Kind::Length, "mi", Length::feet(5280.0).in_metres()),
    (Kind::Length, "m", 1.0),
    (Kind::Length, "cm", 1e-2),
    (Kind::Length, "mm", 1e-3),
    (Kind::Length, "km", 1e3),
    (Kind::Area, "ft2", Area::square_feet(1.0).in_square_metres()),
    (Kind::Area, "sf", Area::square_feet(1.0).in_square_metres()),
    (Kind::Area, "yd2", Area::square_feet(9.0).in_square_metres()),
    (Kind::Area, "in2", Length::inches(1.0).in_metres() * Length::inches(1.0).in_metres()),
    (Kind::Area, "m2", 1.0),
    (Kind::Area, "cm2", 1e-4),
    (Kind::Area, "mm2", 1e-6),
    (Kind::Volume, "yd3", Volume::cubic_yards(1.0).in_cubic_metres()),
    (Kind::Volume, "cy", Volume::cubic_yards(1.0).in_cubic_metres()),
    (Kind::Volume, "ft3", Volume::cubic_feet(1.0).in_cubic_metres()),
    (Kind::Volume, "cf", Volume::cubic_feet(1.0).in_cubic_metres()),
    (Kind::Volume, "in3", IN3),
    (Kind::Volume, "m3", 1.0),
    (Kind::Volume, "l", 1e-3),
    (Kind::Volume, "gal", Volume::gallons(1.0).in_cubic_metres()),
    (Kind::Angle, "deg", Angle::degrees(1.0).in_radians()),
    (Kind::Angle, "arcmin", Angle::arcseconds(60.0).in_radians()),
    (Kind::Angle, "arcsec", Angle::arcseconds(1.0).in_radians()),
    (Kind::Angle, "rad", 1.0),
    (Kind::Slope, "in/ft", Slope::inches_per_foot(1.0).in_ratio()),
    (Kind::Slope, "%", 1e-2),
    (Kind::Slope, "mm/m", 1e-3),
    (Kind::Slope, "cm/m", 1e-2),
    (Kind::Slope, "m/m", 1.0),
    (Kind::Slope, "ft/ft", 1.0),
    (Kind::Slope, "in/in", 1.0),
    (Kind::Share, "%", Share::percent(1.0).in_ratio()),
    (Kind::TimeSpan, "s", 1.0),
    (Kind::TimeSpan, "min", TimeSpan::minutes(1.0).in_seconds()),
    (Kind::TimeSpan, "h", TimeSpan::hours(1.0).in_seconds()),
    (Kind::TimeSpan, "d", TimeSpan::days(1.0).in_seconds()),
    (Kind::Speed, "m/s", 1.0),
    (Kind::Speed, "km/h", Speed::kilometres_per_hour(1.0).in_metres_per_second()),
    (Kind::Speed, "mph", Speed::miles_per_hour(1.0).in_metres_per_second()),
    (Kind::Speed, "mi/h", Speed::miles_per_hour(1.0).in_metres_per_second()),
    (Kind::Speed, "ft/s", Length::feet(1.0).in_metres()),
    (Kind::Speed, "ft/min", Length::feet(1.0).in_metres() / 60.0),
    (Kind::Speed, "ft/h", Length::feet(1.0).in_metres() / 3600.0),
    (Kind::Speed, "m/h", 1.0 / 3600.0),
    (Kind::Mass, "lb", Mass::pounds(1.0).in_kilograms()),
    (Kind::Mass, "ton", Mass::short_tons(1.0).in_kilograms()),
    (Kind::Mass, "kg", 1.0),
    (Kind::Mass, "g", 1e-3),
    (Kind::Mass, "t", 1e3),
    (Kind::Density, "lb/yd3", Density::pounds_per_cubic_yard(1.0).in_kilograms_per_cubic_metre()),
    (Kind::Density, "lb/ft3", Density::pounds_per_cubic_foot(1.0).in_kilograms_per_cubic_metre()),
    (Kind::Density, "pcf", Density::pounds_per_cubic_foot(1.0).in_kilograms_per_cubic_metre()),
    (Kind::Density, "kg/m3", 1.0),
    (Kind::Density, "t/m3", 1e3),
    (Kind::Temperature, "degf", 5.0 / 9.0),
    (Kind::Temperature, "degc", 1.0),
    (Kind::Temperature, "k", 1.0),
    (Kind::TemperatureDifference, "degf", TemperatureDifference::fahrenheit_degrees(1.0).in_kelvins()),
    (Kind::TemperatureDifference, "degc", 1.0),
    (Kind::TemperatureDifference, "k", 1.0),
    (Kind::Pressure, "psi", Pressure::psi(1.0).in_pascals()),
    (Kind::Pressure, "mpa", 1e6),
    (Kind::Pressure, "n/mm2", 1e6),
    (Kind::Pressure, "kpa", 1e3),
    (Kind::Pressure, "pa", 1.0),
    (Kind::VolumeRate, "yd3/h", VolumeRate::cubic_yards_per_hour(1.0).in_cubic_metres_per_second()),
    (Kind::VolumeRate, "cy/h", VolumeRate::cubic_yards_per_hour(1.0).in_cubic_metres_per_second()),
    (Kind::VolumeRate, "yd3/min", VolumeRate::cubic_yards_per_hour(60.0).in_cubic_metres_per_second()),
    (Kind::VolumeRate, "m3/h", VolumeRate::cubic_metres_per_hour(1.0).in_cubic_metres_per_second()),
    (Kind::VolumeRate, "m3/min", 1.0 / 60.0),
    (Kind::VolumeRate, "m3/s", 1.0),
    (Kind::VolumeRate, "l/min", 1e-3 / 60.0),
    (Kind::VolumeRate, "l/s", 1e-3),
    (Kind::AreaRate, "ft2/h", AreaRate::square_feet_per_hour(1.0).in_square_metres_per_second()),
    (Kind::AreaRate, "sf/h", AreaRate::square_feet_per_hour(1.0).in_square_metres_per_second()),
    (Kind::AreaRate, "ft2/min", AreaRate::square_feet_per_hour(60.0).in_square_metres_per_second()),
    (Kind::AreaRate, "m2/h", AreaRate::square_metres_per_hour(1.0).in_square_metres_per_second()),
    (Kind::AreaRate, "m2/min", 1.0 / 60.0),
    (Kind::Cover, "ft2/gal", Cover::square_feet_per_gallon(1.0).in_square_metres_per_cubic_metre()),
    (Kind::Cover, "sf/gal", Cover::square_feet_per_gallon(1.0).in_square_metres_per_cubic_metre()),
    (Kind::Cover, "m2/l", Cover::square_metres_per_litre(1.0).in_square_metres_per_cubic_metre()),
];

/// Units that may follow a larger one, and how many make one of it.
const PARTS: &[(&str, &str, f64)] = &[
    ("ft", "in", 12.0),
    ("m", "cm", 100.0),
    ("m", "mm", 1000.0),
    ("cm", "mm", 10.0),
    ("d", "h", 24.0),
    ("h", "min", 60.0),
    ("min", "s", 60.0),
    ("deg", "arcmin", 60.0),
    ("arcmin", "arcsec", 60.0),
];

/// A single unit in our spelling.
pub(super) fn spelled(word: &str) -> Result<String, Slip> {
    let found = SPELLINGS.iter().find(|(ours, others)| *ours == word || others.contains(&word));
    found.map(|(ours, _)| (*ours).to_owned()).ok_or_else(|| unknown(word))
}

fn unknown(word: &str) -> Slip {
    let word: String = word.chars().take(20).collect();
    Slip::new(QuantityFault::UnknownUnit, format!("has \"{word}\", which is no unit we read"))
}

/// One of the unit in the SI unit of the kind wanted.
pub(super) fn size(kind: Kind, unit: &str) -> Result<f64, Slip> {
    if let Some((.., size)) = SIZES.iter().find(|(of, name, _)| *of == kind && *name == unit) {
        return Ok(*size);
    }
    Err(match SIZES.iter().find(|(_, name, _)| *name == unit) {
        Some((of, ..)) => {
            Slip::new(QuantityFault::WrongKind, format!("has \"{}\", the unit of {}", shown(unit), of.said()))
        }
        None => unknown(unit),
    })
}

/// How many of a smaller unit make one of the larger, where the two may stand together.
pub(super) fn how_many_make(smaller: &str, larger: &str) -> Option<f64> {
    PARTS.iter().find(|(l, s, _)| *l == larger && *s == smaller).map(|(.., count)| *count)
}

/// The unit that commonly follows a larger one.
pub(super) fn smaller_than(larger: &str) -> &'static str {
    PARTS.iter().find(|(l, ..)| *l == larger).map_or("...", |(_, smaller, _)| smaller)
}

/// What to write instead of a bare number.
pub(super) fn offer(kind: Kind, number: &str) -> String {
    let units: &[&str] = match kind {
        Kind::Length => &["ft", "in", "m", "mm"],
        Kind::Area => &["ft2", "m2"],
        Kind::Volume => &["yd3", "ft3", "m3"],
        Kind::Angle => &["deg", "arcsec"],
        Kind::Slope => &["in/ft", "%", "mm/m"],
        Kind::Share => &["%"],
        Kind::TimeSpan => &["min", "h", "s"],
        Kind::Speed => &["mph", "m/s", "km/h"],
        Kind::Mass => &["lb", "kg"],
        Kind::Density => &["lb/yd3", "lb/ft3", "kg/m3"],
        Kind::Temperature | Kind::TemperatureDifference => &["degF", "degC"],
        Kind::Pressure => &["psi", "MPa"],
        Kind::VolumeRate => &["yd3/h", "m3/h"],
        Kind::AreaRate => &["ft2/h", "m2/h"],
        Kind::Cover => &["ft2/gal", "m2/l"],
    };
    let offers: Vec<String> = units.iter().map(|unit| format!("\"{number} {unit}\"")).collect();
    match offers.split_last() {
        Some((only, [])) => format!("write {only}"),
        Some((last, others)) => format!("write {} or {last}, whichever is meant", others.join(", ")),
        None => String::new(),
    }
}

/// A unit as people write it.
pub(super) fn shown(unit: &str) -> &str {
    match unit {
        "degf" => "degF",
        "degc" => "degC",
        "mpa" => "MPa",
        "kpa" => "kPa",
        "pa" => "Pa",
        "l" => "L",
        "k" => "K",
        other => other,
    }
}

/// Whether each spelling means one unit and each unit of the table can be written.
#[cfg(test)]
pub(super) fn check_table() -> Result<(), String> {
    let words: Vec<&str> = SPELLINGS
        .iter()
        .flat_map(|(ours, others)| std::iter::once(ours).chain(others.iter()))
        .copied()
        .collect();
    for (i, word) in words.iter().enumerate() {
        if words[..i].contains(word) {
            return Err(format!("{word} is spelled twice"));
        }
    }
    for (i, (kind, unit, size)) in SIZES.iter().enumerate() {
        if SIZES[..i].iter().any(|(k, u, _)| k == kind && u == unit) || *size <= 0.0 {
            return Err(format!("{unit} stands twice or has no size"));
        }
        // Degrees are read apart, because a letter may follow them.
        for part in unit.split('/').filter(|part| *part != "deg") {
            spelled(part.trim_end_matches(['2', '3'])).map_err(|slip| slip.message)?;
        }
    }
    Ok(())
}
