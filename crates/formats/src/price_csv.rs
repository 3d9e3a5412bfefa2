//! The price as a table for a spreadsheet [@rfc4180].

use basis::Money;
use pour::price::{Line, Measure, Priced, Sheet, Unit};

use crate::lists::{table, text};

/// Every line of the price as planned, then of each option, with its total; amounts in the currency's unit, a blank stays empty.
#[must_use]
pub fn price_csv(priced: &Priced) -> String {
    let head = ["way", "section", "line", "quantity", "unit", "rate", "amount", "currency"];
    let mut rows = of_sheet("as planned", &priced.sheet);
    for way in &priced.ways {
        rows.extend(way.sheet.iter().flat_map(|sheet| of_sheet(&way.name, sheet)));
    }
    table(head.map(str::to_owned).to_vec(), rows.into_iter())
}

fn of_sheet(way: &str, sheet: &Sheet) -> Vec<Vec<String>> {
    let currency = sheet.currency.code();
    let mut rows: Vec<Vec<String>> = sheet.lines.iter().map(|line| row(way, line, currency)).collect();
    let told = sheet.total().map_or_else(String::new, |amount| decimal(amount, 2));
    let blank = String::new;
    rows.push(vec![
        text(way),
        "to pay".to_owned(),
        "the customer pays".to_owned(),
        blank(),
        blank(),
        blank(),
        told,
        currency.to_owned(),
    ]);
    rows
}

fn row(way: &str, line: &Line, currency: &str) -> Vec<String> {
    let [quantity, unit, rate] = match line.measure {
        Measure::Counted { hundredths, unit, rate } => [
            quantity(hundredths, unit),
            unit.word().to_owned(),
            rate.map_or_else(String::new, |rate| decimal(rate, 4)),
        ],
        Measure::Share { millionths, of } => [
            of.map_or_else(String::new, |of| decimal(of, 2)),
            "share of".to_owned(),
            millionths.map_or_else(String::new, |share| format!("{:.6}", share as f64 * 1e-6)),
        ],
        Measure::Sum => Default::default(),
    };
    let amount = line.amount.map_or_else(String::new, |amount| decimal(amount, 2));
    vec![
        text(way),
        line.section.words().to_owned(),
        text(&line.what),
        quantity,
        unit,
        rate,
        amount,
        currency.to_owned(),
    ]
}

/// Pieces and days whole, everything else to the hundredth.
fn quantity(hundredths: i64, unit: Unit) -> String {
    match unit {
        Unit::Each | Unit::Day => (hundredths / 100).to_string(),
        _ => format!("{}.{:02}", hundredths / 100, hundredths % 100),
    }
}

/// A decimal with two or four places; amounts to the cent lose nothing in two.
pub(crate) fn decimal(amount: Money, places: u32) -> String {
    let value = amount.in_ten_thousandths();
    let sign = if value < 0 { "-" } else { "" };
    let (whole, rest) = (value.unsigned_abs() / 10_000, value.unsigned_abs() % 10_000);
    match places {
        2 => format!("{sign}{whole}.{:02}", rest / 100),
        _ => format!("{sign}{whole}.{rest:04}"),
    }
}
