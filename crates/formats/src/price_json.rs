//! The price as a JSON report for other programs.

use basis::{Money, Note};
use pour::price::{Difference, Line, Measure, Priced, RateBook, Section, Sheet};
use serde_json::{Value, json};

/// The price of a job as JSON: amounts are decimal strings in the currency's unit, what is not known is null.
///
/// Layout 1; described in `docs/report.md`. The same price gives the same text.
#[must_use]
pub fn price_json(job: &str, priced: &Priced, book: &RateBook, notes: &[Note]) -> Value {
    json!({
        "report": 1,
        "job": job,
        "rate_book": book.name,
        "currency": book.currency.code(),
        "sheet": sheet(&priced.sheet),
        "doubt": priced.doubt.iter().map(|case| json!({
            "yards_chance": case.yards,
            "hours_chance": case.hours,
            "concrete_m3": number(case.concrete.in_cubic_metres()),
            "hours": number(case.work.in_hours()),
            "cost": money(case.cost),
            "total": money(case.total),
        })).collect::<Vec<_>>(),
        "options": priced.ways.iter().map(|way| json!({
            "name": way.name,
            "sheet": way.sheet.as_ref().map(sheet),
            "differences": way.differences.iter().map(difference).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "assumed": priced.assumed.iter().map(|a| json!({
            "place": a.place.path(), "what": a.what, "value": a.value, "source": a.source,
        })).collect::<Vec<_>>(),
        "exclusions": book.exclusions,
        "terms": book.terms,
        "notes": notes.iter().map(|n| json!({
            "code": n.code, "severity": n.severity.to_string(), "place": n.place.path(),
            "message": n.message, "hint": n.hint,
        })).collect::<Vec<_>>(),
    })
}

fn sheet(sheet: &Sheet) -> Value {
    json!({
        "lines": sheet.lines.iter().map(line).collect::<Vec<_>>(),
        "direct": money(sheet.sum(Section::is_direct)),
        "cost": money(sheet.cost()),
        "price": money(sheet.price()),
        "total": money(sheet.total()),
        "blanks": sheet.blanks.iter().map(|b| json!({ "place": b.place.path(), "what": b.what })).collect::<Vec<_>>(),
    })
}

fn line(line: &Line) -> Value {
    let (quantity, unit, rate) = match line.measure {
        Measure::Counted { hundredths, unit, rate } => {
            (Some(hundredths as f64 / 100.0), Some(unit.word()), rate.map(|rate| decimal(rate, 4)))
        }
        Measure::Share { .. } | Measure::Sum => (None, None, None),
    };
    json!({
        "section": line.section.words(),
        "key": line.key,
        "what": line.what,
        "quantity": quantity,
        "unit": unit,
        "rate": rate,
        "amount": money(line.amount),
    })
}

fn difference(difference: &Difference) -> Value {
    json!({
        "section": difference.section.words(),
        "what": difference.what,
        "before": money(difference.before),
        "after": money(difference.after),
        "change": decimal(difference.change(), 2),
    })
}

fn money(amount: Option<Money>) -> Option<String> {
    amount.map(|amount| decimal(amount, 2))
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

fn number(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
