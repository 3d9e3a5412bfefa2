//! The rate book, layout 1: TOML text to a [`RateBook`], with every fault found and where it stands.

use basis::{Currency, Money, Place, QuantityError, Report, Share, quantity};
use pour::price::{
    Admixture, LabourRates, MIX_PARTS, MachineRate, MaterialRate, OtherSum, Person, PlantRates, Profit, Rate,
    RateBook, Tax, TaxOn, USES, Unit, Use,
};
use toml::de::DeValue;

use crate::job_toml::{Findings, Table, currency, opened, with_source};
use crate::keys::RATE_BOOK;
use crate::nearest::nearest;
use crate::quantity::{MoneyText, ReadQuantity, shown};
use crate::source::SourceMap;

/// A rate book as read: the book if nothing is at fault, all notes, and where their places are.
#[derive(Debug, Clone)]
pub struct ParsedRates {
    /// The book and the notes, in the order of the file.
    pub report: Report<RateBook>,
    /// From places to lines and columns.
    pub source: SourceMap,
}

/// A commented rate book with every rate blank.
///
/// ```
/// let parsed = formats::read_rates(formats::starter_rates().as_bytes(), "rates.toml");
/// assert!(parsed.report.value.is_some());
/// ```
#[must_use]
pub const fn starter_rates() -> &'static str {
    include_str!("starter_rates.toml")
}

/// Reads a rate book from its bytes; all its faults are told at once.
#[must_use]
pub fn read_rates(bytes: &[u8], file_name: &str) -> ParsedRates {
    let (report, source) = with_source(bytes, file_name, |text, f, _| {
        let root = opened(&RATE_BOOK, "rate_book", text, f)?;
        let root = Table::open(&RATE_BOOK, root.get_ref(), Place::job(), 0..0, f);
        Some(rates(&root, f))
    });
    ParsedRates { report, source }
}

/// A price for one of a unit, as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RateText {
    pub rate: Rate,
    pub currency: Currency,
}

impl ReadQuantity for RateText {
    const CALLED: &'static str = "a price for one of a unit";
    const EXAMPLE: &'static str = "42.50 USD/ton";
    fn from_text(text: &str) -> Result<Self, QuantityError> {
        let (money, currency, word) = quantity::price_per_anything(text)?;
        let Some(unit) = Unit::of_word(&word) else {
            let hint = match nearest(&word, Unit::words()) {
                Some(known) => format!("did you mean {known}?"),
                None => format!("known are {}", Unit::words().collect::<Vec<_>>().join(", ")),
            };
            return Err(QuantityError {
                fault: quantity::QuantityFault::UnknownUnit,
                said: shown(text),
                wanted: Self::CALLED,
                message: format!("nothing is bought by the \"{}\"", shown(&word)),
                hint,
            });
        };
        Ok(Self { rate: Rate { money, unit }, currency })
    }
    fn si(self) -> f64 {
        self.rate.money.in_units()
    }
}

pub(crate) fn rates(root: &Table<'_>, f: &mut Findings) -> RateBook {
    let head = root.table(f, "book");
    let stated = head.as_ref().and_then(|table| book_currency(table, f));
    let (people, machines, other) = (people(root, f), machines(root, f), other(root, f));
    let quote = root.table(f, "quote");
    let mut book = RateBook {
        name: head.as_ref().and_then(|table| table.text(f, "name")).unwrap_or_default(),
        currency: Currency(*b"XXX"),
        valid: head.as_ref().and_then(|table| table.quantity(f, "valid")),
        materials: materials(root, f),
        plant: root.table(f, "plant").map_or(PlantRates::default(), |table| plant(&table, f)),
        people,
        labour: root.table(f, "labour").map_or(LabourRates::default(), |table| labour(&table, f)),
        machines,
        other,
        overhead: None,
        profit: None,
        tax: root.table(f, "tax").and_then(|table| tax(&table, f)),
        minimum: None,
        exclusions: quote.as_ref().map_or(Vec::new(), |table| table.texts(f, "exclusions")),
        terms: quote.as_ref().map_or(Vec::new(), |table| table.texts(f, "terms")),
    };
    if let Some(table) = root.table(f, "price") {
        book.overhead = table.filled(f, "overhead");
        book.profit = profit(&table, f);
        book.minimum = money(&table, f, "minimum");
    }
    if let Some(place_and_currency) = stated {
        // The book's own currency is the first, so that each price in another one is told at its place.
        f.currencies.insert(0, place_and_currency);
        book.currency = currency(f).unwrap_or(book.currency);
    }
    book
}

fn book_currency(table: &Table<'_>, f: &mut Findings) -> Option<(Place, Currency)> {
    let code = table.text(f, "currency")?;
    let found = Currency::of_code(&code);
    if found.is_none() {
        let span = table.value(f, "currency").map_or(table.span.clone(), |value| value.span);
        let message = format!("\"{}\" is no currency in use by ISO 4217", shown(&code));
        let hint = "write its three letters, as in currency = \"USD\"";
        f.fault("unknown-currency", &table.place.key("currency"), &span, message, hint);
    }
    Some((table.place.key("currency"), found?))
}

impl Table<'_> {
    /// A quantity, or nothing when the key is left out or is `""`.
    fn filled<Q: ReadQuantity>(&self, f: &mut Findings, key: &str) -> Option<Q> {
        let value = self.value(f, key)?;
        if matches!(value.value, DeValue::String(text) if text.trim().is_empty()) {
            return None;
        }
        self.quantity(f, key)
    }

    /// A price that may be blank.
    fn filled_price<Q>(&self, f: &mut Findings, key: &str) -> Option<basis::Price<Q>>
    where
        crate::quantity::PriceText<Q>: ReadQuantity,
    {
        let price: crate::quantity::PriceText<Q> = self.filled(f, key)?;
        f.currencies.push((self.place.key(key), price.currency));
        Some(price.price)
    }

    /// Paragraphs in the user's own words.
    fn texts(&self, f: &mut Findings, key: &str) -> Vec<String> {
        let Some(value) = self.value(f, key) else { return Vec::new() };
        let example = format!("{key} = [\"...\", \"...\"]");
        let Some(items) = value.items(f, "a list of paragraphs in quotes", &example) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for item in items {
            let DeValue::String(text) = item.value else {
                item.wrong_type(f, item.value, "a paragraph in quotes", &example);
                continue;
            };
            let usable = !text.trim().is_empty()
                && text.chars().count() <= LONGEST
                && !text.chars().any(|c| c.is_control() && c != '\n');
            if usable {
                out.push(text.trim().to_owned());
            } else {
                let message =
                    format!("the paragraph is empty, over {LONGEST} characters, or holds control characters");
                let hint = "write plain sentences, one paragraph to a string";
                f.fault("unusable-text", &item.place, &item.span, message, hint);
            }
        }
        out
    }
}

/// Longest paragraph of the terms, characters.
const LONGEST: usize = 2_000;

fn money(table: &Table<'_>, f: &mut Findings, key: &str) -> Option<Money> {
    let money: MoneyText = table.filled(f, key)?;
    f.currencies.push((table.place.key(key), money.currency));
    Some(money.money)
}

fn rate(table: &Table<'_>, f: &mut Findings, key: &str) -> Option<Rate> {
    let rate: RateText = table.filled(f, key)?;
    f.currencies.push((table.place.key(key), rate.currency));
    Some(rate.rate)
}

fn materials(root: &Table<'_>, f: &mut Findings) -> Vec<MaterialRate> {
    let tables = root.tables(f, "material");
    let mut all: Vec<MaterialRate> = Vec::new();
    for table in &tables {
        let item = table.text(f, "item").unwrap_or_default();
        twice(f, table, "item", &item, all.iter().any(|known| known.item == item));
        all.push(MaterialRate { item, rate: rate(table, f, "price"), place: table.place.clone() });
    }
    all
}

/// A second table of the same name would never be looked at.
fn twice(f: &mut Findings, table: &Table<'_>, key: &str, name: &str, is_known: bool) {
    if is_known && !name.is_empty() {
        let span = table.value(f, key).map_or(table.span.clone(), |value| value.span);
        let message = format!("\"{}\" is there twice", shown(name));
        f.fault("double-name", &table.place.key(key), &span, message, "keep one of the two");
    }
}

fn plant(table: &Table<'_>, f: &mut Findings) -> PlantRates {
    let tables = table.tables(f, "admixture");
    let mut admixtures: Vec<Admixture> = Vec::new();
    for table in &tables {
        let part = table.choice(f, "what").and_then(|index| MIX_PARTS.get(index)).copied();
        let price = table.filled_price(f, "price");
        let Some((what, word)) = part else { continue };
        twice(f, table, "what", word, admixtures.iter().any(|known| known.what == what));
        admixtures.push(Admixture { what, rate: price, place: table.place.clone() });
    }
    PlantRates {
        concrete: table.filled_price(f, "price"),
        minimum_load: table.filled(f, "minimum_load"),
        short_load_below: table.filled(f, "short_load_below"),
        short_load_fee: money(table, f, "short_load_fee"),
        standby: table.filled_price(f, "standby"),
        disposal: table.filled_price(f, "disposal"),
        saturday: table.filled_price(f, "saturday"),
        sunday: table.filled_price(f, "sunday"),
        fuel: money(table, f, "fuel"),
        admixtures,
    }
}

fn people(root: &Table<'_>, f: &mut Findings) -> Vec<Person> {
    let tables = root.tables(f, "person");
    let person = |table: &Table<'_>, f: &mut Findings| Person {
        name: table.text(f, "name").unwrap_or_default(),
        count: table.count(f, "count").unwrap_or(1),
        wage: table.filled_price(f, "wage"),
        burden: table.filled(f, "burden"),
        place: table.place.clone(),
    };
    tables.iter().map(|table| person(table, f)).collect()
}

fn labour(table: &Table<'_>, f: &mut Findings) -> LabourRates {
    LabourRates {
        grade: table.filled(f, "grade"),
        stone: table.filled(f, "stone"),
        forms: table.filled(f, "forms"),
        sheet: table.filled(f, "sheet"),
        steel: table.filled(f, "steel"),
        broom: table.filled(f, "broom"),
        float: table.filled(f, "float"),
        trowel: table.filled(f, "trowel"),
        hard_trowel: table.filled(f, "hard_trowel"),
        saw: table.filled(f, "saw"),
        cure: table.filled(f, "cure"),
        strip: table.filled(f, "strip"),
        doubt: table.filled(f, "doubt"),
    }
}

fn machines(root: &Table<'_>, f: &mut Findings) -> Vec<MachineRate> {
    let tables = root.tables(f, "machine");
    let mut all: Vec<MachineRate> = Vec::new();
    for table in &tables {
        let used =
            table.choice(f, "used").and_then(|index| USES.get(index)).map_or(Use::Job, |(used, _)| *used);
        let name = table.text(f, "name").unwrap_or_default();
        twice(f, table, "name", &name, all.iter().any(|known| known.name == name));
        let rate = rate(table, f, "price").filter(|rate| by_time(table, f, used, rate.unit));
        all.push(MachineRate { name, used, rate, place: table.place.clone() });
    }
    all
}

/// Machines are paid by the day, by the hour of their work, or by the job.
fn by_time(table: &Table<'_>, f: &mut Findings, used: Use, unit: Unit) -> bool {
    let fits = matches!(unit, Unit::Day | Unit::Each) || (unit == Unit::Hour && used != Use::Job);
    if !fits {
        let span = table.value(f, "price").map_or(table.span.clone(), |value| value.span);
        let message = format!("this machine cannot be charged by the {}", unit.word());
        let hint = "write its price for a day, for an hour of the work it is used on, or \"each\"";
        f.fault("machine-by-what", &table.place.key("price"), &span, message, hint);
    }
    fits
}

fn other(root: &Table<'_>, f: &mut Findings) -> Vec<OtherSum> {
    let tables = root.tables(f, "other");
    let mut all: Vec<OtherSum> = Vec::new();
    for table in &tables {
        let name = table.text(f, "name").unwrap_or_default();
        twice(f, table, "name", &name, all.iter().any(|known| known.name == name));
        all.push(OtherSum { name, amount: money(table, f, "amount"), place: table.place.clone() });
    }
    all
}

fn profit(table: &Table<'_>, f: &mut Findings) -> Option<Profit> {
    let margin: Option<Share> = table.filled(f, "margin");
    let markup: Option<Share> = table.filled(f, "markup");
    let span =
        |key: &str, f: &mut Findings| table.value(f, key).map_or(table.span.clone(), |value| value.span);
    if margin.is_some() && markup.is_some() {
        let at = span("markup", f);
        let message = "profit is stated both as a margin of the price and as a markup on the cost";
        f.fault("two-profits", &table.place.key("markup"), &at, message, "keep one of the two");
        return None;
    }
    if let Some(margin) = margin.filter(|margin| margin.in_ratio() >= 1.0) {
        let at = span("margin", f);
        let message = format!("a margin of {} leaves nothing for the cost", quantity::share(margin));
        let hint = "a margin is a share of the price and under 100 %; for a share of the cost write markup";
        f.fault("margin-too-high", &table.place.key("margin"), &at, message, hint);
        return None;
    }
    margin.map(Profit::Margin).or(markup.map(Profit::Markup))
}

fn tax(table: &Table<'_>, f: &mut Findings) -> Option<Tax> {
    let on = match table.choice(f, "on")? {
        0 => TaxOn::Nothing,
        1 => TaxOn::Materials,
        _ => TaxOn::Price,
    };
    let rate: Option<Share> = table.filled(f, "rate");
    match (on, rate) {
        (TaxOn::Nothing, _) => Some(Tax { rate: Share::ZERO, on }),
        (on, Some(rate)) => Some(Tax { rate, on }),
        (_, None) => None,
    }
}

/// The text of a rate book with one value put at a place, as in `machine[1].price`; remarks and layout stay.
///
/// # Errors
/// Words for a text that is no TOML, or a place that is not there.
///
/// ```
/// let book = formats::set_rate("[labour]\nwage = \"\" # by the hour\n", "labour.wage", "31 USD/h").unwrap();
/// assert_eq!(book, "[labour]\nwage = \"31 USD/h\" # by the hour\n");
/// assert!(formats::set_rate("", "labour.wage", "31 USD/h").is_err());
/// ```
pub fn set_rate(text: &str, place: &str, value: &str) -> Result<String, String> {
    let mut file: toml_edit::DocumentMut = text
        .parse()
        .map_err(|error: toml_edit::TomlError| format!("the book is no TOML: {}", error.message()))?;
    let lost = || format!("there is no place {} in the book", crate::quantity::shown(place));
    let steps = crate::source::steps(place);
    let Some((crate::source::Step::Key(last), way)) = steps.split_last() else { return Err(lost()) };
    let mut at = file.as_item_mut();
    for step in way {
        let next = match step {
            crate::source::Step::Key(key) => at.get_mut(*key),
            crate::source::Step::Index(index) => at.get_mut(*index),
        };
        at = next.ok_or_else(lost)?;
    }
    let table = at.as_table_like_mut().ok_or_else(lost)?;
    let mut new = toml_edit::Value::from(value);
    if let Some(stood) = table.get(last).and_then(toml_edit::Item::as_value) {
        *new.decor_mut() = stood.decor().clone();
    }
    table.insert(last, toml_edit::Item::Value(new));
    Ok(file.to_string())
}
