//! Reads money, prices and times per volume.

use std::str::FromStr;

use super::text::{self, quoted};
use super::{QuantityError, QuantityFault, Readable, Slip, parse};
use crate::quantity::{TimeSpan, Volume};
use crate::{Currency, Money, Price};

const MONEY: (&str, &str) = ("an amount of money", "165 USD");
const PER_VOLUME: (&str, &str) = ("a price per volume", "165 USD/yd3");
const PER_TIME: (&str, &str) = ("a price per time", "130 USD/h");
const PER_ANYTHING: (&str, &str) = ("a price for one of a unit", "42.50 USD/ton");
const TIME_PER_VOLUME: (&str, &str) = ("a time per volume", "7 min/yd3");

/// More than this no job costs, in ten-thousandths.
const MOST: i64 = 10_000_000_000_000;

/// Currency signs; `$` alone is the US dollar, other dollars are written by their letters.
const SIGNS: &[(char, [u8; 3])] = &[('$', *b"USD"), ('€', *b"EUR"), ('£', *b"GBP")];

/// Reads an amount of money with its currency: `$165`, `USD 165.00`, `165 EUR`, `€165`.
///
/// The amount is decimal with at most four places and exact; the largest is one thousand million. A bare `$` is the
/// US dollar; other dollars are written by their letters (ISO 4217).
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::{Money, quantity::money_with_currency};
/// let (money, currency) = money_with_currency("$2.17").unwrap();
/// assert_eq!((money, currency.code()), (Money::ten_thousandths(21_700), "USD"));
/// ```
pub fn money_with_currency(said: &str) -> Result<(Money, Currency), QuantityError> {
    text::plain(said).and_then(|plain| money(&plain)).map_err(|slip| slip.told(said, MONEY.0, MONEY.1))
}

/// Reads a price for a volume of concrete or stone: `$165/yd3`, `158 USD/yd3`, `90 EUR per m3`.
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::quantity::price_per_volume_with_currency;
/// let (price, _) = price_per_volume_with_currency("$165/yd3").unwrap();
/// assert_eq!(price.amount.in_units(), 165.0);
/// assert!((price.per.in_cubic_yards() - 1.0).abs() < 1e-12);
/// ```
pub fn price_per_volume_with_currency(said: &str) -> Result<(Price<Volume>, Currency), QuantityError> {
    price(said).map_err(|slip| slip.told(said, PER_VOLUME.0, PER_VOLUME.1))
}

/// Reads a price for a time: `$2.17/min`, `$130/h`, `$30/15 min`.
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::quantity::price_per_time_with_currency;
/// let (price, _) = price_per_time_with_currency("$30/15 min").unwrap();
/// assert_eq!(price.per.in_minutes(), 15.0);
/// ```
pub fn price_per_time_with_currency(said: &str) -> Result<(Price<TimeSpan>, Currency), QuantityError> {
    price(said).map_err(|slip| slip.told(said, PER_TIME.0, PER_TIME.1))
}

/// Reads a price for one of anything: `$9.40/sheet`, `42.50 USD/ton`, `1.15 EUR per m2`, `$3 each`; the unit is handed back as
/// written.
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::{Money, quantity::price_per_anything};
/// let (money, currency, unit) = price_per_anything("$9.40/ft2").unwrap();
/// assert_eq!((money, currency.code(), unit.as_str()), (Money::cents(940), "USD", "ft2"));
/// assert!(price_per_anything("9.40/ft2").is_err());
/// ```
pub fn price_per_anything(said: &str) -> Result<(Money, Currency, String), QuantityError> {
    let read = || {
        let plain = text::plain(said)?;
        let (amount, unit) = match plain.strip_suffix(" each") {
            Some(amount) => (amount, "each"),
            None => split_per(&plain)?,
        };
        let (amount, currency) = money(amount)?;
        Ok((amount, currency, unit.trim().to_owned()))
    };
    read().map_err(|slip: Slip| slip.told(said, PER_ANYTHING.0, PER_ANYTHING.1))
}

/// Reads a time allowed for a volume: `7 min/yd3`.
///
/// # Errors
/// Tells what was written, what was wanted and what to write.
///
/// ```
/// # use basis::quantity::time_per_volume;
/// let (span, volume) = time_per_volume("7 min/yd3").unwrap();
/// assert_eq!(span.in_minutes(), 7.0);
/// assert!((volume.in_cubic_yards() - 1.0).abs() < 1e-12);
/// ```
pub fn time_per_volume(said: &str) -> Result<(TimeSpan, Volume), QuantityError> {
    let read = || {
        let plain = text::plain(said)?;
        let (span, volume) = split_per(&plain)?;
        Ok((parse::<TimeSpan>(span)?, amount_after_per(volume)?))
    };
    read().map_err(|slip: Slip| slip.told(said, TIME_PER_VOLUME.0, TIME_PER_VOLUME.1))
}

fn price<Q: Readable>(said: &str) -> Result<(Price<Q>, Currency), Slip> {
    let plain = text::plain(said)?;
    let (amount, per) = split_per(&plain)?;
    let (amount, currency) = money(amount)?;
    Ok((Price { amount, per: amount_after_per(per)? }, currency))
}

/// Splits at the last stroke, or at the word `per`.
fn split_per(plain: &str) -> Result<(&str, &str), Slip> {
    plain
        .rsplit_once(" per ")
        .or_else(|| plain.rsplit_once('/'))
        .ok_or_else(|| Slip::form("does not say for how much"))
}

/// The quantity after `per`: a unit alone means one of it.
fn amount_after_per<Q: Readable>(text: &str) -> Result<Q, Slip> {
    let text = text.trim();
    let per: Q = match text.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        true => parse(text)?,
        false => parse(&format!("1 {text}"))?,
    };
    if per.in_si() > 0.0 { Ok(per) } else { Err(Slip::form("is for an amount of nothing")) }
}

fn money(plain: &str) -> Result<(Money, Currency), Slip> {
    let mut rest = plain.trim();
    let is_negative = rest.starts_with('-');
    rest = rest.trim_start_matches(['-', '+']).trim_start();
    let before;
    (before, rest) = currency_at(rest, true);
    let after;
    (after, rest) = currency_at(rest, false);
    let number = rest.trim();
    let currency = match (before, after) {
        (Some(one), None) | (None, Some(one)) => one,
        (Some(one), Some(other)) if one == other => one,
        (Some(_), Some(_)) => return Err(Slip::form("names two currencies")),
        (None, None) => return Err(no_currency(number)),
    };
    let amount = ten_thousandths(number)?;
    Ok((Money::ten_thousandths(if is_negative { -amount } else { amount }), currency))
}

fn no_currency(number: &str) -> Slip {
    if ten_thousandths(number).is_ok() {
        return Slip::new(QuantityFault::BareNumber, "names no currency")
            .hint(format!("write \"${number}\" or \"{number} EUR\", whichever is meant"));
    }
    Slip::form("names no amount and currency")
}

/// A currency's sign or letters at the start or the end, and what is left.
fn currency_at(text: &str, is_start: bool) -> (Option<Currency>, &str) {
    let text = text.trim();
    for (sign, letters) in SIGNS {
        let rest = if is_start { text.strip_prefix(*sign) } else { text.strip_suffix(*sign) };
        if let Some(rest) = rest {
            return (Some(Currency(*letters)), rest);
        }
    }
    let at = if is_start { Some(3) } else { text.len().checked_sub(3) };
    let Some((left, right)) = at.and_then(|at| text.split_at_checked(at)) else { return (None, text) };
    let (letters, rest) = if is_start { (left, right) } else { (right, left) };
    match <[u8; 3]>::try_from(letters.as_bytes()) {
        Ok(code) if code.iter().all(u8::is_ascii_uppercase) => (Some(Currency(code)), rest),
        _ => (None, text),
    }
}

/// Decimal digits with at most four places, exactly; thousands may be set off by commas.
fn ten_thousandths(number: &str) -> Result<i64, Slip> {
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let whole = whole_digits(whole)
        .filter(|whole| !(whole.is_empty() && decimals.is_empty()))
        .filter(|_| decimals.bytes().all(|b| b.is_ascii_digit()))
        .ok_or_else(|| Slip::form(format!("has \"{}\" where an amount should be", quoted(number))))?;
    if decimals.len() > 4 {
        return Err(Slip::form("has more than four decimals"));
    }
    let value: Option<i64> = format!("{whole}{decimals:0<4}").parse().ok().filter(|value| *value <= MOST);
    value.ok_or_else(|| {
        Slip::new(QuantityFault::OutOfRange, "is more than one thousand million").hint("check the amount")
    })
}

/// Digits, with commas only where they set off three.
fn whole_digits(text: &str) -> Option<String> {
    let mut groups = text.split(',');
    let first = groups.next().unwrap_or("");
    let mut out = first.to_owned();
    for group in groups {
        if group.len() != 3 || first.is_empty() || first.len() > 3 {
            return None;
        }
        out.push_str(group);
    }
    out.bytes().all(|b| b.is_ascii_digit()).then_some(out)
}

impl FromStr for Money {
    type Err = QuantityError;
    fn from_str(said: &str) -> Result<Self, QuantityError> {
        money_with_currency(said).map(|(money, _)| money)
    }
}

impl FromStr for Price<Volume> {
    type Err = QuantityError;
    fn from_str(said: &str) -> Result<Self, QuantityError> {
        price_per_volume_with_currency(said).map(|(price, _)| price)
    }
}

impl FromStr for Price<TimeSpan> {
    type Err = QuantityError;
    fn from_str(said: &str) -> Result<Self, QuantityError> {
        price_per_time_with_currency(said).map(|(price, _)| price)
    }
}
