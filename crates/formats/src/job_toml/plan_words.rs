//! Points, directions, turns and arcs as they are written in the file.

use basis::{Angle, Length, Place};
use ground::outline::{Direction, EdgeShape};
use ground::survey::RodReading;
use ground::walk::Heading;
use ground::{P2, P3};
use toml::de::DeValue;

use crate::keys::Kind;
use crate::quantity::{self, Trouble, shown};

use super::findings::Findings;
use super::table::{Table, Value};

const POINT: &str = "[\"4 ft\", \"6 ft\"]";
const SPOT: &str = "[\"4 ft\", \"6 ft\", \"100 ft\"]";

impl Table<'_> {
    /// A point of the plan.
    pub fn point(&self, f: &mut Findings, key: &str) -> Option<P2> {
        let value = self.value(f, key)?;
        point(f, &value)
    }

    /// A list of points, as many as the table of keys asks for.
    pub fn points(&self, f: &mut Findings, key: &str) -> Option<Vec<P2>> {
        let value = self.value(f, key)?;
        let least = match self.spec.key(key).map(|key| &key.kind) {
            Some(Kind::Points(least)) => *least,
            _ => 0,
        };
        let items = value.items(f, "a list of points", "[[\"0 ft\", \"0 ft\"], [\"4 ft\", \"0 ft\"]]")?;
        enough(f, &value, items.len(), least, usize::MAX)?;
        all(items.iter().map(|item| point(f, item)))
    }

    /// A list of points with elevation, as many as the table of keys asks for.
    pub fn spots(&self, f: &mut Findings, key: &str) -> Option<Vec<P3>> {
        let value = self.value(f, key)?;
        let (least, most) = match self.spec.key(key).map(|key| &key.kind) {
            Some(Kind::Spots(least, most)) => (*least, *most),
            _ => (0, usize::MAX),
        };
        spots(f, &value, least, most)
    }

    /// Lines of points with elevation, at least two points each.
    pub fn spot_lines(&self, f: &mut Findings, key: &str) -> Vec<Vec<P3>> {
        let Some(value) = self.value(f, key) else { return Vec::new() };
        let example = format!("[[{SPOT}, {SPOT}]]");
        let Some(lines) = value.items(f, "a list of lines", &example) else { return Vec::new() };
        lines.iter().filter_map(|line| spots(f, line, 2, usize::MAX)).collect()
    }

    /// A list of lengths, each more than zero.
    pub fn lengths(&self, f: &mut Findings, key: &str) -> Option<Vec<Length>> {
        let value = self.value(f, key)?;
        let items = value.items(f, "a list of lengths", "[\"8 ft\", \"16 ft\"]")?;
        all(items.iter().map(|item| {
            let length: Length = item.quantity(f)?;
            if length > Length::ZERO {
                return Some(length);
            }
            f.fault(
                "out-of-range",
                &item.place,
                &item.span,
                "this must be more than zero",
                "check the number",
            );
            None
        }))
    }

    /// The names of an edge's two corners.
    pub fn edge_name(&self, f: &mut Findings, key: &str) -> Option<(String, String)> {
        let value = self.value(f, key)?;
        let items = value.items(f, "the names of two corners", "[\"A\", \"B\"]")?;
        enough(f, &value, items.len(), 2, 2)?;
        let names =
            all(items.iter().map(|item| item.text(f, "the name of a corner", "A").map(str::to_owned)))?;
        let [from, to] = <[String; 2]>::try_from(names).ok()?;
        Some((from, to))
    }

    /// A direction of the plan.
    pub fn direction(&self, f: &mut Findings, key: &str) -> Option<Direction> {
        let value = self.value(f, key)?;
        let text = value.text(f, "a direction", "right")?;
        value.noted(f, direction(text))
    }

    /// A turn at a corner.
    pub fn turn(&self, f: &mut Findings, key: &str) -> Option<Heading> {
        let value = self.value(f, key)?;
        let text = value.text(f, "a turn", "left")?;
        value.noted(f, turn(text)).map(Heading::Turn)
    }

    /// The arc of an edge; straight without one.
    pub fn arc(&self, f: &mut Findings, key: &str) -> Option<EdgeShape> {
        let value = self.value(f, key)?;
        let text = value.text(f, "an arc", "out 20 ft")?;
        value.noted(f, arc(text))
    }

    /// A rod reading.
    pub fn reading(&self, f: &mut Findings, key: &str) -> Option<RodReading> {
        let value = self.value(f, key)?;
        reading(f, &value)
    }
}

/// Collects what was read, or nothing when a part is at fault; goes through all parts either way.
pub(crate) fn all<T>(parts: impl Iterator<Item = Option<T>>) -> Option<Vec<T>> {
    let mut whole = Some(Vec::new());
    for part in parts {
        match (part, whole.as_mut()) {
            (Some(part), Some(list)) => list.push(part),
            (None, _) => whole = None,
            (Some(_), None) => {}
        }
    }
    whole
}

fn enough(f: &mut Findings, value: &Value<'_>, count: usize, least: usize, most: usize) -> Option<()> {
    if (least..=most).contains(&count) {
        return Some(());
    }
    let wanted = if least == most { least.to_string() } else { format!("at least {least}") };
    let message = format!("{wanted} wanted here, {count} found");
    f.fault(
        "wrong-count",
        &value.place,
        &value.span,
        message,
        "add what is missing or take out what is too many",
    );
    None
}

fn coordinates<const N: usize>(f: &mut Findings, value: &Value<'_>, example: &str) -> Option<[f64; N]> {
    let wanted = if N == 2 { "a point" } else { "a point with its elevation" };
    let items = value.items(f, wanted, example)?;
    if items.len() != N {
        let message = format!("{wanted} has {N} parts, this has {}", items.len());
        f.fault("wrong-count", &value.place, &value.span, message, format!("write it as in {example}"));
        return None;
    }
    let metres = all(items.iter().map(|item| item.quantity::<Length>(f).map(Length::in_metres)))?;
    <[f64; N]>::try_from(metres).ok()
}

pub(crate) fn point(f: &mut Findings, value: &Value<'_>) -> Option<P2> {
    let [x, y] = coordinates(f, value, POINT)?;
    Some(P2::new(x, y))
}

fn spots(f: &mut Findings, value: &Value<'_>, least: usize, most: usize) -> Option<Vec<P3>> {
    let items = value.items(f, "a list of points with elevation", &format!("[{SPOT}, {SPOT}]"))?;
    enough(f, value, items.len(), least, most)?;
    all(items.iter().map(|item| {
        let [x, y, z] = coordinates(f, item, SPOT)?;
        Some(P3 { x, y, z })
    }))
}

fn direction(text: &str) -> Result<Direction, Trouble> {
    match text.trim() {
        "right" => Ok(Angle::degrees(0.0)),
        "up" => Ok(Angle::degrees(90.0)),
        "left" => Ok(Angle::degrees(180.0)),
        "down" => Ok(Angle::degrees(270.0)),
        other => quantity::read(other).map_err(|trouble| Trouble {
            hint: "write right, up, left, down, or degrees from right toward up, as in \"30 deg\"".to_owned(),
            ..trouble
        }),
    }
}

fn turn(text: &str) -> Result<Angle, Trouble> {
    let text = text.trim();
    let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let sign = match word {
        "left" => 1.0,
        "right" => -1.0,
        "straight" if rest.is_empty() => return Ok(Angle::ZERO),
        _ => {
            return Err(Trouble {
                code: "unknown-word",
                message: format!("\"{}\" is no turn", shown(text)),
                hint: "write left, right, straight, or as in \"left 30 deg\"".to_owned(),
            });
        }
    };
    if rest.trim().is_empty() {
        return Ok(Angle::degrees(sign * 90.0));
    }
    quantity::read::<Angle>(rest.trim()).map(|angle| angle * sign)
}

fn arc(text: &str) -> Result<EdgeShape, Trouble> {
    let trouble = |code| Trouble {
        code,
        message: format!("\"{}\" is no arc", shown(text)),
        hint: "write which way it bulges and its radius, as in \"out 20 ft\" or \"in 6 m\"".to_owned(),
    };
    let (word, radius) = text.trim().split_once(char::is_whitespace).unwrap_or((text.trim(), ""));
    let shape = match word {
        "out" => EdgeShape::ArcOut,
        "in" => EdgeShape::ArcIn,
        _ => return Err(trouble("unknown-word")),
    };
    let radius: Length = quantity::read(radius.trim())?;
    if radius > Length::ZERO { Ok(shape(radius)) } else { Err(trouble("out-of-range")) }
}

/// A rod reading from a value of the file.
pub(crate) fn reading(f: &mut Findings, value: &Value<'_>) -> Option<RodReading> {
    let text = value.text(f, "a rod reading", "4 ft 7 1/4 in")?;
    value.noted(f, reading_of(text))
}

/// A rod reading: a height on the rod, or `up`/`down` from the mark.
pub(crate) fn reading_of(text: &str) -> Result<RodReading, Trouble> {
    let text = text.trim();
    let said = text.split_once(char::is_whitespace).and_then(|(word, rest)| match word {
        "up" => Some((1.0, rest)),
        "down" => Some((-1.0, rest)),
        _ => None,
    });
    let length: Length = quantity::read(said.map_or(text, |(_, rest)| rest.trim()))?;
    if length < Length::ZERO {
        return Err(Trouble {
            code: "out-of-range",
            message: format!("a reading cannot be less than zero: \"{}\"", shown(text)),
            hint: "for the beam below the mark write \"down 3/8 in\"".to_owned(),
        });
    }
    Ok(match said {
        Some((sign, _)) => RodReading::FromMark(length * sign),
        None => RodReading::Rod(length),
    })
}

/// A name in a row of shots: words, or a whole number.
pub(crate) fn row_name(f: &mut Findings, value: &Value<'_>) -> Option<String> {
    match value.value {
        DeValue::Integer(number) => Some(number.as_str().to_owned()),
        DeValue::String(text) if !text.trim().is_empty() && text.len() <= 200 => Some(text.trim().to_owned()),
        other => {
            value.wrong_type(f, other, "the shot's name or number", "\"12\"");
            None
        }
    }
}

/// Notes names that are used twice.
pub(crate) fn note_doubles<'n>(
    f: &mut Findings,
    what: &str,
    names: impl IntoIterator<Item = (&'n str, &'n Place)>,
    at: impl Fn(&Place) -> std::ops::Range<usize>,
) {
    let mut seen = std::collections::BTreeMap::new();
    for (name, place) in names {
        if let Some(first) = seen.insert(name, place) {
            let message = format!("{what} \"{}\" is there twice; the other is {first}", shown(name));
            f.fault("double-name", place, &at(place), message, "give one of them another name");
        }
    }
}
