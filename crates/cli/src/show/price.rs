//! The priced sheet for the foreman, and the quote for the customer.

use basis::quantity::{money, volume};
use basis::{Currency, Money, UnitSystem};
use pour::Job;
use pour::price::{Blank, Line, Measure, Priced, Quote, RateBook, Section, Sheet, Unit, Way};

use crate::page::{Align, Table, heading, paragraph};

/// The whole page.
pub fn page(job: &Job, priced: &Priced, book: &RateBook) -> String {
    let mut text = format!("{}\n", job.name.to_uppercase());
    text += &paragraph(&format!(
        "Priced by \"{}\", in {}. Each line is what stands in it, rounded to the cent, halves up.",
        book.name,
        book.currency.code()
    ));
    let lines = |section| priced.sheet.lines.iter().filter(move |line| line.section == section);
    for (section, words) in Section::TOLD {
        let lines: Vec<&Line> = lines(section).collect();
        if !lines.is_empty() {
            text += &heading(words);
            text += &counted(&lines, book.currency);
        }
    }
    text += &totals(&priced.sheet);
    text += &blanks(&priced.sheet.blanks);
    text += &doubt(priced, job.units, book.currency);
    for way in &priced.ways {
        text += &option(way, &priced.sheet, job.units);
    }
    text + &assumed(priced)
}

fn counted(lines: &[&Line], currency: Currency) -> String {
    let mut table = Table::new(&[
        ("", Align::Left),
        ("quantity", Align::Right),
        ("", Align::Left),
        ("rate", Align::Right),
        ("amount", Align::Right),
    ]);
    for line in lines {
        let (quantity, unit, rate) = match line.measure {
            Measure::Counted { hundredths, unit, rate } => (
                decimal(hundredths, unit),
                unit.word(),
                rate.map_or("blank".to_owned(), |r| fine(r, currency)),
            ),
            Measure::Share { .. } | Measure::Sum => (String::new(), "", String::new()),
        };
        table.row([line.what.clone(), quantity, unit.to_owned(), rate, told(line.amount, currency)]);
    }
    table.print()
}

/// Pieces and days whole, everything else to the hundredth.
fn decimal(hundredths: i64, unit: Unit) -> String {
    match unit {
        Unit::Each | Unit::Day => (hundredths / 100).to_string(),
        _ => format!("{}.{:02}", hundredths / 100, hundredths % 100),
    }
}

/// A rate with as many decimals as it has.
fn fine(rate: Money, currency: Currency) -> String {
    let cents = money(rate, currency);
    let rest = rate.in_ten_thousandths() % 100;
    if rest == 0 { cents } else { format!("{cents} ({:.4})", rate.in_units()) }
}

fn told(amount: Option<Money>, currency: Currency) -> String {
    amount.map_or("blank".to_owned(), |amount| money(amount, currency))
}

fn totals(sheet: &Sheet) -> String {
    let waiting = |amount: Option<Money>, known: Money| match amount {
        Some(amount) => money(amount, sheet.currency),
        None if known > Money::ZERO => format!("{} and the blanks", money(known, sheet.currency)),
        None => "blank".to_owned(),
    };
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right)]);
    let direct = sheet.sum(Section::is_direct);
    let add = |table: &mut Table, wanted: Section| {
        for line in sheet.lines.iter().filter(|line| line.section == wanted) {
            let amount = line.amount.map_or("waits for the blanks".to_owned(), |a| money(a, sheet.currency));
            table.row([line.what.clone(), amount]);
        }
    };
    add(&mut table, Section::CostTax);
    table.row(["direct cost".to_owned(), waiting(direct, sheet.known(Section::is_direct))]);
    for section in [Section::Overhead, Section::Profit, Section::Minimum] {
        add(&mut table, section);
    }
    table.row(["price".to_owned(), waiting(sheet.price(), Money::ZERO)]);
    add(&mut table, Section::Tax);
    table.row(["the customer pays".to_owned(), waiting(sheet.total(), Money::ZERO)]);
    heading("Price") + &table.print()
}

fn blanks(blanks: &[Blank]) -> String {
    if blanks.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[("in the rate book", Align::Left), ("what", Align::Left)]);
    for blank in blanks {
        table.row([blank.place.path().to_owned(), blank.what.clone()]);
    }
    heading("Blank, so there is no price")
        + &table.print()
        + &paragraph("No quote is made while one of these is blank. Where there is no charge, write 0.")
}

fn doubt(priced: &Priced, units: UnitSystem, currency: Currency) -> String {
    let mut table = Table::new(&[
        ("yards", Align::Right),
        ("hours", Align::Right),
        ("concrete", Align::Right),
        ("people", Align::Right),
        ("cost", Align::Right),
        ("by the book", Align::Right),
    ]);
    for case in &priced.doubt {
        table.row([
            format!("{:.0} %", 100.0 * case.yards),
            format!("{:.0} %", 100.0 * case.hours),
            volume(case.concrete, units),
            format!("{:.1} h", case.work.in_hours()),
            told(case.cost, currency),
            told(case.total, currency),
        ]);
    }
    let words = "The chance that the floor takes no more than this and that the crew takes no longer. The cost is yours, overhead \
                 included; by the book is what the price would be had you known.";
    heading("What the doubt costs") + &table.print() + &paragraph(words)
}

fn option(way: &Way, planned: &Sheet, units: UnitSystem) -> String {
    let mut text = heading(&format!("Option: {}", way.name));
    let changes: Vec<String> = way.changes.iter().map(|change| pour::price::words(*change, units)).collect();
    text += &paragraph(&format!("The same floor, {}.", changes.join(", ")));
    let Some(sheet) = &way.sheet else { return text + &paragraph("It cannot be planned: see the notes.") };
    let mut table = Table::new(&[
        ("", Align::Left),
        ("as planned", Align::Right),
        ("this way", Align::Right),
        ("more", Align::Right),
    ]);
    let or_none = |amount: Option<Money>| amount.map_or("-".to_owned(), |a| money(a, sheet.currency));
    for line in &way.differences {
        let more = money(line.change(), sheet.currency);
        table.row([line.what.clone(), or_none(line.before), or_none(line.after), more]);
    }
    let (before, after) = (planned.total(), sheet.total());
    let more = before.zip(after).map(|(before, after)| after - before);
    let total = |amount| told(amount, sheet.currency);
    table.row(["the customer pays".to_owned(), total(before), total(after), total(more)]);
    text + &table.print() + &blanks(&sheet.blanks)
}

fn assumed(priced: &Priced) -> String {
    if priced.assumed.is_empty() {
        return String::new();
    }
    let mut table =
        Table::new(&[("would stand at", Align::Left), ("assumed", Align::Right), ("from", Align::Left)]);
    for taken in &priced.assumed {
        table.row([taken.place.path().to_owned(), taken.value.clone(), taken.source.clone()]);
    }
    heading("Assumed, until you state it")
        + &paragraph("Rates of one person for an hour, and what else nobody states:")
        + &table.print()
}

/// What the customer is told.
pub fn quote(quote: &Quote) -> String {
    let told = |amount| money(amount, quote.currency);
    let mut table = Table::new(&[("", Align::Left), ("", Align::Right)]);
    table.row(["price".to_owned(), told(quote.price)]);
    if let Some(tax) = quote.tax {
        table.row(["tax".to_owned(), told(tax)]);
    }
    table.row(["to pay".to_owned(), told(quote.total)]);
    for way in &quote.ways {
        table.row([format!("instead: {}", way.name), told(way.total)]);
    }
    let mut text = format!("{}\n", quote.job.to_uppercase()) + &heading("Quote") + &table.print();
    if let Some(valid) = quote.valid {
        text += &paragraph(&format!("This price holds for {:.0} days.", valid.in_days()));
    }
    for (words, list) in [("Not included", &quote.exclusions), ("Terms", &quote.terms)] {
        if !list.is_empty() {
            text += &heading(words);
            text += &list.iter().map(|words| paragraph(words)).collect::<String>();
        }
    }
    let law = "Concrete can crack and hold shallow puddles. A contract signed at home may be cancelled for some days, and local law may ask for more \
               notices than these: ask before the work begins.";
    text + &heading("Mind") + &paragraph(law)
}
