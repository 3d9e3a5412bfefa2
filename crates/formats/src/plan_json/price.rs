//! The price in a report of its own. Amounts are decimal strings in the currency's unit, what is not known is null.

use basis::{Money, Note};
use pour::Job;
use pour::price::{Blank, Difference, Doubtful, Line, Measure, Priced, RateBook, Section, Sheet, Way};
use serde_json::{Map, Value, json};

use super::part::{Context, Part};
use super::units::{list, or_null};
use super::{LAYOUT, assumed, note, titled};
use crate::price_csv::decimal;

/// The price of a job as a report: every field always there.
///
/// The same job, price, book and notes give the same text.
#[must_use]
pub fn price_json(job: &Job, priced: &Priced, book: &RateBook, notes: &[Note]) -> Value {
    let context = Context { job, notes };
    beside(head().value(book, &context), report().value(priced, &context))
}

/// The JSON Schema of the price's report (draft 2020-12).
#[must_use]
pub fn price_schema() -> Value {
    titled(beside(head().schema(), report().schema()), "Flatwright price report, layout 1")
}

/// Two objects in one: objects within are joined, lists put one after the other, else the first goes before.
fn beside(first: Value, second: Value) -> Value {
    match (first, second) {
        (Value::Object(mut all), Value::Object(more)) => {
            for (key, value) in more {
                let value = match all.remove(&key) {
                    Some(there) => beside(there, value),
                    None => value,
                };
                all.insert(key, value);
            }
            Value::Object(all)
        }
        (Value::Array(mut all), Value::Array(more)) => {
            all.extend(more);
            Value::Array(all)
        }
        (first, _) => first,
    }
}

fn head() -> Part<RateBook> {
    let texts = || list(&json!({ "type": "string" }));
    Part::<RateBook>::new("What a job is charged at by a rate book.")
        .any("report", "Layout of the report.", json!({ "const": LAYOUT }), |_, _| LAYOUT.into())
        .any("job", "Name of the job.", json!({ "type": "string" }), |_, c| c.job.name.clone().into())
        .text("rate_book", "Name of the rate book.", |b| b.name.clone())
        .text("currency", "Its currency, by ISO 4217.", |b| b.currency.code().to_owned())
        .any("exclusions", "What is not included.", texts(), |b, _| b.exclusions.clone().into())
        .any("terms", "Terms as written in the book.", texts(), |b, _| b.terms.clone().into())
}

fn report() -> Part<Priced> {
    Part::<Priced>::new("The price.")
        .part("sheet", "Line by line.", sheet(), |p| &p.sheet)
        .list("doubt", "What doubt costs.", case(), |p| &p.doubt)
        .list("options", "Other ways to build the floor.", way(), |p| &p.ways)
        .list("assumed", "What the job does not say.", assumed(), |p| &p.assumed)
        .any("notes", "All notes.", list(&note().schema()), |_, c| {
            c.notes.iter().map(|n| note().value(n, c)).collect()
        })
}

fn case() -> Part<Doubtful> {
    let chance = || json!({ "type": "number", "minimum": 0, "maximum": 1 });
    Part::<Doubtful>::new("The cost at a chance of yards and one of hours.")
        .any("yards_chance", "Chance that fewer yards do.", chance(), |c, _| c.yards.into())
        .any("hours_chance", "Chance that fewer hours do.", chance(), |c, _| c.hours.into())
        .quantity("concrete", "Concrete.", |c| c.concrete)
        .quantity("work", "Work.", |c| c.work)
        .any("cost", "Cost.", money_schema(), |c, _| money(c.cost))
        .any("total", "Price with tax.", money_schema(), |c, _| money(c.total))
}

fn way() -> Part<Way> {
    Part::<Way>::new("Another way to build the floor.")
        .text("name", "What differs.", |w| w.name.clone())
        .maybe_part("sheet", "Line by line; null when it cannot be planned.", sheet(), |w| w.sheet.as_ref())
        .list("differences", "Lines that differ.", difference(), |w| &w.differences)
}

fn sheet() -> Part<Sheet> {
    Part::<Sheet>::new("The price line by line, with its sums.")
        .list("lines", "Lines.", line(), |s| &s.lines)
        .any("direct", "Goods, charges, people and machines.", money_schema(), |s, _| {
            money(s.sum(Section::is_direct))
        })
        .any("cost", "With overhead.", money_schema(), |s, _| money(s.cost()))
        .any("price", "With margin.", money_schema(), |s, _| money(s.price()))
        .any("total", "With tax.", money_schema(), |s, _| money(s.total()))
        .list("blanks", "Rates that are asked for and missing.", blank(), |s| &s.blanks)
}

fn blank() -> Part<Blank> {
    Part::<Blank>::new("A rate that is missing.")
        .text("place", "Where it would stand in the book.", |b| b.place.path().to_owned())
        .text("what", "What it is.", |b| b.what.clone())
}

fn line() -> Part<Line> {
    let counted = |line: &Line| match line.measure {
        Measure::Counted { hundredths, unit, rate } => Some((hundredths, unit, rate)),
        Measure::Share { .. } | Measure::Sum => None,
    };
    Part::<Line>::new("One line.")
        .text("section", "Its section, in words.", |l| l.section.words().to_owned())
        .text("key", "Its key in the book.", |l| l.key.to_owned())
        .text("what", "What is charged.", |l| l.what.clone())
        .any("quantity", "How much; null for shares and sums.", json!({ "type": ["number", "null"] }), {
            move |l, _| counted(l).map_or(Value::Null, |(hundredths, ..)| (hundredths as f64 / 100.0).into())
        })
        .any("unit", "By what unit.", or_null(&json!({ "type": "string" })), move |l, _| {
            counted(l).map_or(Value::Null, |(_, unit, _)| unit.word().into())
        })
        .any("rate", "Rate by that unit.", or_null(&amount_of(4)), move |l, _| {
            counted(l).and_then(|(.., rate)| rate).map_or(Value::Null, |rate| decimal(rate, 4).into())
        })
        .any("amount", "Amount; null when its rate is missing.", money_schema(), |l, _| money(l.amount))
}

fn difference() -> Part<Difference> {
    Part::<Difference>::new("A line that differs.")
        .text("section", "Its section, in words.", |d| d.section.words().to_owned())
        .text("what", "What is charged.", |d| d.what.clone())
        .any("before", "Amount as the job stands.", money_schema(), |d, _| money(d.before))
        .any("after", "Amount the other way.", money_schema(), |d, _| money(d.after))
        .any("change", "By how much.", amount_of(2), |d, _| decimal(d.change(), 2).into())
}

fn money(amount: Option<Money>) -> Value {
    amount.map_or(Value::Null, |amount| decimal(amount, 2).into())
}

fn money_schema() -> Value {
    or_null(&amount_of(2))
}

/// A decimal with so many places.
fn amount_of(places: u32) -> Value {
    let mut schema = Map::new();
    schema.insert("type".to_owned(), "string".into());
    schema.insert("pattern".to_owned(), format!("^-?[0-9]+\\.[0-9]{{{places}}}$").into());
    Value::Object(schema)
}
