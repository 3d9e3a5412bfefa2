//! Fills the sheet: what there is to pay for, line by line, by the book's rates.

use basis::{Money, Place, Price, TimeSpan, UnitSystem, Volume};
use jiff::civil::Weekday;

use super::book::{MIX_PARTS, MixPart, PlantRates, Profit, RateBook, TaxOn, Use};
use super::labour::{Hours, Operation};
use super::sheet::{Section, Sheet, WHOLE, millionths};
use crate::job::Plant;
use crate::unit::{Amount, Unit};

/// A material that the floor takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Needed {
    /// The item, as the rate book names it.
    pub item: String,
    /// In words, with its size.
    pub what: String,
    /// How much is bought.
    pub amount: Amount,
}

/// Everything there is to pay for on one floor, before any price.
#[derive(Debug, Clone, PartialEq)]
pub struct Bill {
    /// Units in which amounts without a price are told.
    pub units: UnitSystem,
    /// Materials but concrete.
    pub materials: Vec<Needed>,
    /// Loads of concrete.
    pub loads: Vec<Volume>,
    /// Concrete that is left over and has to go somewhere.
    pub left_over: Volume,
    /// Trucks' time beyond the free unloading time; absent when the free time is not known.
    pub standby: Option<TimeSpan>,
    /// Day of the pour; absent when it is not stated.
    pub weekday: Option<Weekday>,
    /// What is in the mix that plants charge for.
    pub mix: Vec<MixPart>,
    /// Hours of one person by operation.
    pub hours: Vec<Hours>,
    /// How long placing takes.
    pub placing: TimeSpan,
    /// Whether a machine goes on the floor.
    pub by_machine: bool,
}

impl Bill {
    fn hours_of(&self, wanted: &[Operation]) -> TimeSpan {
        self.hours.iter().filter(|h| wanted.contains(&h.operation)).map(|h| h.time).sum()
    }
}

/// The plant's charges: what the job states, and the book's where it does not.
#[must_use]
pub fn plant_terms(job: &Plant, book: &PlantRates) -> PlantRates {
    PlantRates {
        concrete: job.price.or(book.concrete),
        minimum_load: job.minimum_load.or(book.minimum_load),
        short_load_below: job.short_load_below.or(book.short_load_below),
        short_load_fee: job.short_load_fee.or(book.short_load_fee),
        fuel: job.fuel.or(book.fuel),
        standby: job.standby.or(book.standby),
        disposal: job.disposal.or(book.disposal),
        ..book.clone()
    }
}

/// Prices a bill by the book, with the plant's charges as they hold for the job.
///
/// Each amount is the quantity as shown, to the hundredth of its unit, times the rate, rounded to the cent, halves away from
/// zero; sums are sums of those. A rate that is blank leaves its line without an amount and stands in `blanks`.
#[must_use]
pub fn sheet(bill: &Bill, terms: &PlantRates, book: &RateBook) -> Sheet {
    let mut sheet = Sheet { currency: book.currency, lines: Vec::new(), blanks: Vec::new() };
    materials(bill, book, &mut sheet);
    plant(bill, terms, &mut sheet);
    labour(bill, book, &mut sheet);
    machines(bill, book, &mut sheet);
    for other in &book.other {
        sheet.add(Section::Other, &other.name, other.name.clone(), other.amount);
        if other.amount.is_none() {
            sheet.blank(other.place.key("amount"), other.name.clone());
        }
    }
    totals(book, &mut sheet);
    sheet
}

fn materials(bill: &Bill, book: &RateBook, sheet: &mut Sheet) {
    for needed in &bill.materials {
        let found = book.materials.iter().find(|material| material.item == needed.item);
        let rate = found.and_then(|material| material.rate);
        let priced = rate.and_then(|rate| Some((needed.amount.hundredths(rate.unit)?, rate)));
        let line = (needed.item.as_str(), needed.what.clone());
        match priced {
            Some((hundredths, rate)) => {
                sheet.count(Section::Materials, line, (hundredths, rate.unit), Some(rate.money));
            }
            None => {
                let unit = needed.amount.unit(bill.units);
                let hundredths = needed.amount.hundredths(unit).unwrap_or_default();
                sheet.count(Section::Materials, line, (hundredths, unit), None);
                let place = found.map_or(Place::at("material"), |material| material.place.clone());
                let place = if found.is_some() { place.key("price") } else { place.key(&needed.item) };
                let wrong =
                    if rate.is_some() { ", which is counted otherwise than it is priced" } else { "" };
                sheet.blank(place, format!("{}, for one {}{wrong}", needed.item, unit.word()));
            }
        }
    }
}

/// A price for a volume as one for the unit in which the bill is told; it is carried to four decimals.
pub(super) fn for_one(price: Price<Volume>, unit: Unit) -> Money {
    let one = if unit == Unit::CubicMetre { Volume::cubic_metres(1.0) } else { Volume::cubic_yards(1.0) };
    scaled(price.amount, one / price.per)
}

fn scaled(money: Money, ratio: f64) -> Money {
    Money::ten_thousandths((money.in_ten_thousandths() as f64 * ratio).round() as i64)
}

fn plant(bill: &Bill, terms: &PlantRates, sheet: &mut Sheet) {
    let unit = Amount::Volume(Volume::ZERO).unit(bill.units);
    let least = terms.minimum_load.unwrap_or_default();
    let charged: Volume = bill.loads.iter().map(|load| load.max(least)).sum();
    let ordered: Volume = bill.loads.iter().copied().sum();
    let mut by_volume =
        |key: &str, what: &str, volume: Volume, price: Option<Price<Volume>>, place: Place| {
            let amount = Amount::Volume(volume).hundredths(unit).unwrap_or_default();
            if amount > 0 {
                let rate = price.map(|price| for_one(price, unit));
                sheet.count(Section::Plant, (key, what.to_owned()), (amount, unit), rate);
                if rate.is_none() {
                    sheet.blank(place, format!("{what}, for one {}", unit.word()));
                }
            }
        };
    let at = |key: &str| Place::at("plant").key(key);
    let raised = if charged > ordered { "concrete, small loads as the minimum" } else { "concrete" };
    by_volume("concrete", raised, charged, terms.concrete, at("concrete"));
    for part in &bill.mix {
        let name = MIX_PARTS.iter().find(|(known, _)| known == part).map_or("", |(_, name)| name);
        let found = terms.admixtures.iter().find(|admixture| admixture.what == *part);
        let place = found.map_or(at("admixture").key(name), |admixture| admixture.place.key("price"));
        let price = found.and_then(|admixture| admixture.rate);
        by_volume(name, &format!("{name} in the mix"), ordered, price, place);
    }
    match bill.weekday {
        Some(Weekday::Saturday) => {
            by_volume("saturday", "Saturday", ordered, terms.saturday, at("saturday"));
        }
        Some(Weekday::Sunday) => by_volume("sunday", "Sunday", ordered, terms.sunday, at("sunday")),
        _ => {}
    }
    by_volume("left-over", "to be rid of what is left over", bill.left_over, terms.disposal, at("disposal"));
    by_load(bill, terms, sheet);
    standby(bill, terms, sheet);
}

/// What is charged by the load.
fn by_load(bill: &Bill, terms: &PlantRates, sheet: &mut Sheet) {
    let at = |key: &str| Place::at("plant").key(key);
    let all = bill.loads.len() as i64;
    if all > 0 && terms.fuel != Some(Money::ZERO) {
        let line = ("fuel", "fuel and the like, each load".to_owned());
        sheet.count(Section::Plant, line, (100 * all, Unit::Each), terms.fuel);
        if terms.fuel.is_none() {
            sheet.blank(at("fuel"), "what the plant adds to each load; 0 when it adds nothing");
        }
    }
    if terms.short_load_fee == Some(Money::ZERO) || all == 0 {
        return;
    }
    let what = "short loads".to_owned();
    let Some(limit) = terms.short_load_below else {
        sheet.add(Section::Plant, "short-load", what, None);
        sheet.blank(at("short_load_below"), "under which size a load is short");
        return;
    };
    // A part in a thousand million of slack: a load of just the limit is not short.
    let is_short = |load: &&Volume| load.in_cubic_metres() < limit.in_cubic_metres() * (1.0 - 1e-9);
    let short = bill.loads.iter().filter(is_short).count() as i64;
    if short > 0 {
        sheet.count(Section::Plant, ("short-load", what), (100 * short, Unit::Each), terms.short_load_fee);
        if terms.short_load_fee.is_none() {
            sheet.blank(at("short_load_fee"), "charge for a short load");
        }
    }
}

fn standby(bill: &Bill, terms: &PlantRates, sheet: &mut Sheet) {
    let rate = terms.standby.map(|price| scaled(price.amount, TimeSpan::minutes(1.0) / price.per));
    if rate == Some(Money::ZERO) || bill.loads.is_empty() {
        return;
    }
    let what = "trucks' time over the free time".to_owned();
    let Some(time) = bill.standby else {
        sheet.add(Section::Plant, "standby", what, None);
        sheet.blank(
            Place::at("plant.free_unloading"),
            "the free unloading time, in the job file; or standby of 0",
        );
        return;
    };
    let minutes = Amount::Time(time).hundredths(Unit::Minute).unwrap_or_default();
    if minutes > 0 {
        sheet.count(Section::Plant, ("standby", what), (minutes, Unit::Minute), rate);
        if rate.is_none() {
            sheet.blank(Place::at("plant.standby"), "charge for a minute over the free time");
        }
    }
}

/// What an hour of the crew's average person costs, pay and burden, to the cent; the blanks when it is not known.
fn crew_hour(book: &RateBook, sheet: &mut Sheet) -> Option<Money> {
    if book.people.is_empty() {
        sheet.blank(Place::at("person"), "the people: their count, pay and burden");
        return None;
    }
    let (mut sum, mut count) = (Some(Money::ZERO), 0);
    for person in &book.people {
        count += i64::from(person.count);
        for (key, is_there) in [("wage", person.wage.is_some()), ("burden", person.burden.is_some())] {
            if !is_there {
                sheet.blank(person.place.key(key), format!("{key} of {}", person.name));
            }
        }
        let paid = person.wage.zip(person.burden).map(|(wage, burden)| {
            let hour = scaled(wage.amount, TimeSpan::hours(1.0) / wage.per);
            let loaded = hour.times(WHOLE + millionths(burden), WHOLE);
            Money::ten_thousandths(loaded.in_ten_thousandths().saturating_mul(i64::from(person.count)))
        });
        sum = sum.zip(paid).map(|(a, b)| a + b);
    }
    sum.map(|sum| sum.times(1, count))
}

fn labour(bill: &Bill, book: &RateBook, sheet: &mut Sheet) {
    if bill.hours.is_empty() {
        return;
    }
    let rate = crew_hour(book, sheet);
    for hours in &bill.hours {
        let words = hours.operation.words();
        let amount = Amount::Time(hours.time).hundredths(Unit::Hour).unwrap_or_default();
        if amount > 0 {
            sheet.count(Section::Labour, (words, words.to_owned()), (amount, Unit::Hour), rate);
        }
    }
}

fn machines(bill: &Bill, book: &RateBook, sheet: &mut Sheet) {
    for machine in &book.machines {
        let time = match machine.used {
            Use::Base => bill.hours_of(&[Operation::Grade, Operation::Stone]),
            Use::Placing => bill.placing,
            Use::Finishing if bill.by_machine => bill.hours_of(&[Operation::Finish]),
            Use::Finishing => TimeSpan::ZERO,
            Use::Sawing => bill.hours_of(&[Operation::Saw]),
            Use::Job => TimeSpan::days(1.0),
        };
        if time <= TimeSpan::ZERO {
            continue;
        }
        let unit = machine.rate.map_or(Unit::Day, |rate| rate.unit);
        let amount = if unit == Unit::Hour { Amount::Time(time).hundredths(unit) } else { Some(100) };
        let line = (machine.name.as_str(), machine.name.clone());
        let rate = machine.rate.map(|rate| rate.money);
        sheet.count(Section::Machines, line, (amount.unwrap_or_default(), unit), rate);
        if rate.is_none() {
            sheet.blank(machine.place.key("price"), format!("{}, for a day or an hour", machine.name));
        }
    }
}

/// Overhead, profit, the least that is charged, and tax.
fn totals(book: &RateBook, sheet: &mut Sheet) {
    let words = |share: basis::Share| basis::quantity::share(share);
    if let Some(tax) = book.tax.filter(|tax| tax.on == TaxOn::Materials) {
        let bought = sheet.sum(|section| matches!(section, Section::Materials | Section::Plant));
        let what = format!("tax on what is bought, {}", words(tax.rate));
        sheet.share(Section::CostTax, what, (Some(millionths(tax.rate)), WHOLE), bought);
    }
    let direct = sheet.sum(Section::is_direct);
    let what = book.overhead.map_or("overhead".to_owned(), |share| format!("overhead, {}", words(share)));
    sheet.share(Section::Overhead, what, (book.overhead.map(millionths), WHOLE), direct);
    if book.overhead.is_none() {
        sheet.blank(Place::at("price.overhead"), "overhead on the direct cost");
    }
    let cost = sheet.cost();
    let (what, parts, whole) = match book.profit {
        Some(Profit::Markup(share)) => {
            (format!("profit, {} of cost", words(share)), Some(millionths(share)), WHOLE)
        }
        // Of the price: m of the price is m/(1 − m) of the cost.
        Some(Profit::Margin(share)) => {
            let m = millionths(share);
            (format!("profit, {} of the price", words(share)), Some(m), (WHOLE - m).max(1))
        }
        None => ("profit".to_owned(), None, WHOLE),
    };
    sheet.share(Section::Profit, what, (parts, whole), cost);
    if book.profit.is_none() {
        sheet.blank(Place::at("price.margin"), "profit, as a margin of the price or a markup on the cost");
    }
    let price = sheet.price();
    if let (Some(least), Some(price)) = (book.minimum, price)
        && price < least
    {
        sheet.add(Section::Minimum, "minimum", "up to the least for any job".to_owned(), Some(least - price));
    }
    match book.tax {
        Some(tax) if tax.on == TaxOn::Price => {
            let price = sheet.price();
            let what = format!("tax on the price, {}", words(tax.rate));
            sheet.share(Section::Tax, what, (Some(millionths(tax.rate)), WHOLE), price);
        }
        Some(_) => {}
        None => {
            sheet.add(Section::Tax, "tax", "tax".to_owned(), None);
            sheet.blank(Place::at("tax"), "tax: how much and on what, or on nothing");
        }
    }
}
