//! Reads numbers with their units: the terms of `36 ft 6 1/2 in`.

use super::number::number;
use super::text::Cursor;
use super::units::{self, Kind};
use super::{QuantityFault, Slip};

/// A number and its unit in our spelling.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Term {
    pub value: f64,
    pub unit: String,
}

/// Reads all terms to the end of the text.
pub(super) fn terms(cursor: &mut Cursor, kind: Kind) -> Result<Vec<Term>, Slip> {
    let mut terms: Vec<Term> = Vec::new();
    while !cursor.is_done() {
        let start = cursor.rest();
        let value = number(cursor)?;
        cursor.skip_spaces();
        if kind == Kind::Slope && terms.is_empty() && cursor.take(':') {
            return ratio(cursor, value).map(|term| vec![term]);
        }
        let Some(unit) = unit(cursor)? else { return Err(bare(kind, &terms, &start, cursor)) };
        terms.push(Term { value, unit });
        between(cursor);
    }
    if terms.is_empty() {
        return Err(Slip::form("holds no number"));
    }
    Ok(terms)
}

/// Steps over what may stand between two terms: spaces, a hyphen (`36'-6"`) or a comma.
fn between(cursor: &mut Cursor) {
    cursor.skip_spaces();
    let from = cursor.place();
    if cursor.take('-') || cursor.take(',') {
        cursor.skip_spaces();
        if cursor.is_done() {
            cursor.back_to(from);
        }
    }
}

fn bare(kind: Kind, before: &[Term], start: &str, cursor: &Cursor) -> Slip {
    if !cursor.is_done() {
        return Slip::form(format!("has \"{}\" where a unit should be", cursor.rest()));
    }
    let slip = Slip::new(QuantityFault::BareNumber, "has no unit");
    match before.last() {
        Some(last) => Slip { message: "ends with a number that has no unit".to_owned(), ..slip }
            .hint(format!("write its unit too: \"{start} {}\"", units::smaller_than(&last.unit))),
        None => slip.hint(units::offer(kind, start)),
    }
}

/// The rest of `1:48`.
fn ratio(cursor: &mut Cursor, rise: f64) -> Result<Term, Slip> {
    let run = number(cursor)?;
    cursor.skip_spaces();
    if !cursor.is_done() {
        return Err(Slip::form(format!("has \"{}\" after a ratio", cursor.rest())));
    }
    if run == 0.0 {
        return Err(Slip::form("has a run of zero"));
    }
    Ok(Term { value: rise / run, unit: "m/m".to_owned() })
}

/// Reads a unit, single or as a quotient, into our spelling; nothing when none stands here.
fn unit(cursor: &mut Cursor) -> Result<Option<String>, Slip> {
    let Some(above) = single(cursor)? else { return Ok(None) };
    let from = cursor.place();
    cursor.skip_spaces();
    if cursor.take('/') || per(cursor) {
        cursor.skip_spaces();
        if let Some(below) = single(cursor)? {
            return Ok(Some(format!("{above}/{below}")));
        }
        return Err(Slip::form(format!("ends after \"{above} per\"")));
    }
    cursor.back_to(from);
    Ok(Some(above))
}

fn per(cursor: &mut Cursor) -> bool {
    let from = cursor.place();
    let found = cursor.take_while(char::is_alphabetic).eq_ignore_ascii_case("per");
    if !found {
        cursor.back_to(from);
    }
    found
}

fn single(cursor: &mut Cursor) -> Result<Option<String>, Slip> {
    for mark in ['\'', '"', '%'] {
        if cursor.take(mark) {
            return units::spelled(&mark.to_string()).map(Some);
        }
    }
    if cursor.take('°') {
        return Ok(Some(degrees(cursor)));
    }
    let word = word(cursor);
    match word.as_str() {
        "" => Ok(None),
        "deg" | "degree" | "degrees" => Ok(Some(degrees(cursor))),
        "sq" | "square" => powered(cursor, '2'),
        "cu" | "cubic" => powered(cursor, '3'),
        _ => {
            let unit = units::spelled(&word)?;
            Ok(Some(match raised(cursor) {
                Some(power) => format!("{unit}{power}"),
                None => unit,
            }))
        }
    }
}

/// Letters in lower case; a stop after them (`in.`) is stepped over.
fn word(cursor: &mut Cursor) -> String {
    let word = cursor.take_while(char::is_alphabetic).to_lowercase();
    if !word.is_empty() {
        cursor.take('.');
    }
    word
}

/// `°` alone is an angle; with F or C after it a temperature.
fn degrees(cursor: &mut Cursor) -> String {
    let from = cursor.place();
    cursor.skip_spaces();
    match word(cursor).as_str() {
        "f" | "fahrenheit" => "degf".to_owned(),
        "c" | "celsius" => "degc".to_owned(),
        _ => {
            cursor.back_to(from);
            "deg".to_owned()
        }
    }
}

fn powered(cursor: &mut Cursor, power: char) -> Result<Option<String>, Slip> {
    cursor.skip_spaces();
    units::spelled(&word(cursor)).map(|unit| Some(format!("{unit}{power}")))
}

/// The 3 of `yd3` or `yd^3`; in `36ft3in` the 3 begins the next number.
fn raised(cursor: &mut Cursor) -> Option<char> {
    let from = cursor.place();
    cursor.take('^');
    let power = cursor.peek().filter(|c| matches!(c, '2' | '3'));
    let next = cursor.peek_after(1);
    if power.is_none() || next.is_some_and(|c| c.is_alphanumeric() || ".-'\"".contains(c)) {
        cursor.back_to(from);
        return None;
    }
    cursor.step();
    power
}
