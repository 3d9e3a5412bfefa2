//! Prints money and prices.

use crate::quantity::{TimeSpan, Volume};
use crate::{Currency, Money, Price};

/// Money to the hundredth with its sign or letters: `$165.00`, `€165.00`, `CAD 165.00`.
///
/// Halves of a hundredth are rounded away from zero.
///
/// ```
/// # use basis::{Currency, Money, quantity::money};
/// assert_eq!(money(Money::ten_thousandths(1_650_050), Currency(*b"USD")), "$165.01");
/// assert_eq!(money(Money::ten_thousandths(-5_000), Currency(*b"CAD")), "-CAD 0.50");
/// ```
#[must_use]
pub fn money(money: Money, currency: Currency) -> String {
    let hundredths = (money.in_ten_thousandths().unsigned_abs() + 50) / 100;
    let sign = if money.in_ten_thousandths() < 0 && hundredths > 0 { "-" } else { "" };
    let mark = match currency.code() {
        "USD" => "$".to_owned(),
        "EUR" => "€".to_owned(),
        "GBP" => "£".to_owned(),
        code => format!("{code} "),
    };
    format!("{sign}{mark}{}.{:02}", hundredths / 100, hundredths % 100)
}

/// A price for a volume: `$165.00/yd3`, `€90.00/m3`; an odd amount in cubic metres.
///
/// ```
/// # use basis::{Currency, Money, Price, Volume, quantity::price_per_volume};
/// let price = Price { amount: Money::ten_thousandths(1_650_000), per: Volume::cubic_yards(1.0) };
/// assert_eq!(price_per_volume(price, Currency(*b"USD")), "$165.00/yd3");
/// ```
#[must_use]
pub fn price_per_volume(price: Price<Volume>, currency: Currency) -> String {
    let per = per(&[(price.per.in_cubic_yards(), "yd3"), (price.per.in_cubic_metres(), "m3")]);
    format!("{}/{per}", money(price.amount, currency))
}

/// A price for a time: `$130.00/h`, `$2.17/min`, `$30.00/15 min`.
///
/// ```
/// # use basis::{Currency, Money, Price, TimeSpan, quantity::price_per_time};
/// let price = Price { amount: Money::ten_thousandths(300_000), per: TimeSpan::minutes(15.0) };
/// assert_eq!(price_per_time(price, Currency(*b"USD")), "$30.00/15 min");
/// ```
#[must_use]
pub fn price_per_time(price: Price<TimeSpan>, currency: Currency) -> String {
    let per = per(&[(price.per.in_hours(), "h"), (price.per.in_minutes(), "min")]);
    format!("{}/{per}", money(price.amount, currency))
}

/// The first unit of which there is just one; else an amount of the last.
fn per(amounts: &[(f64, &str)]) -> String {
    if let Some((_, unit)) = amounts.iter().find(|(amount, _)| (amount - 1.0).abs() < 1e-9) {
        return (*unit).to_owned();
    }
    amounts
        .last()
        .map(|(amount, unit)| format!("{} {unit}", (amount * 1e6).round() / 1e6))
        .unwrap_or_default()
}
