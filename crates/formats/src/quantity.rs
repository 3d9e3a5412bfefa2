//! Quantities as strings of a file: which type reads them, how large they may be, what to write.

use basis::{Currency, Money, Price};

/// Why a string is not the quantity wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Trouble {
    pub code: &'static str,
    pub message: String,
    pub hint: String,
}

/// A quantity that a file can hold.
pub(crate) trait ReadQuantity: Sized + Copy {
    /// What it is called in a sentence, with its article.
    const CALLED: &'static str;
    /// How one is written.
    const EXAMPLE: &'static str;
    /// The largest magnitude that a site can hold, in SI units; beyond it is a slip of the pen.
    const LIMIT: f64;
    /// Reads the string.
    fn read(text: &str) -> Result<Self, Trouble>;
    /// In SI units.
    fn si(self) -> f64;
}

/// Reads a quantity and refuses what no site can hold.
pub(crate) fn read<Q: ReadQuantity>(text: &str) -> Result<Q, Trouble> {
    let value = Q::read(text)?;
    let si = value.si();
    if !si.is_finite() || si.abs() > Q::LIMIT {
        return Err(Trouble {
            code: "out-of-range",
            message: format!("\"{}\" is not {} that a site can hold", shown(text), Q::CALLED),
            hint: format!("check the number and its unit; write it as in \"{}\"", Q::EXAMPLE),
        });
    }
    Ok(value)
}

/// A user's string, short enough to be quoted.
pub(crate) fn shown(text: &str) -> String {
    let mut out: String = text.chars().take(40).flat_map(char::escape_debug).collect();
    if text.chars().nth(40).is_some() {
        out.push_str("...");
    }
    out
}

/// A share, written in per cent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Share(pub f64);

/// An amount of money with its currency, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MoneyText {
    pub money: Money,
    pub currency: Currency,
}

/// A price with its currency, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct PriceText<Q> {
    pub price: Price<Q>,
    pub currency: Currency,
}
