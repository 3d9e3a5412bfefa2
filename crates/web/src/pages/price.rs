//! Price: the job by the user's own rate book; what is blank stays blank.

use axum::extract::{Path, Query, State};
use axum::response::Response;
use basis::quantity::money;
use basis::{Currency, Money};
use maud::{Markup, html};
use pour::price::{Line, Measure, Priced, Section, Sheet};

use crate::app::{App, Opened};
use crate::look::{self, Step, cells, figure, table};
use crate::priced::{Charged, Done, priced};
use crate::say;

/// The page; `option` names other ways to build it, to be set beside.
pub async fn page(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let ways: Vec<String> = asked
        .into_iter()
        .filter(|(name, way)| name == "option" && !way.trim().is_empty())
        .map(|(_, way)| way)
        .collect();
    let book = app.shelf.rates(&id).unwrap_or_default();
    let to_book = html! { p { a.do href={ "/jobs/" (id) "/rates" } { "the rate book" } } };
    let body = match priced(&app, &opened, &ways).await {
        Charged::Unplanned => return super::unplanned(&app, &opened, super::at(Step::Price)),
        Charged::NoBook => html! {
            p { "There is no rate book yet. It holds what you pay and charge, each rate of your own; nothing is made up for you." }
            p { "Begin with a blank one, fill in what you know and leave the rest: the price lists what it misses." }
            (to_book)
        },
        Charged::Done(done) => {
            html! { (told(&opened, &done, &book)) (other_ways(&opened, &done, &ways)) (to_book) }
        }
        Charged::BookFaults(notes) => html! {
            h2 { "The job cannot be priced yet" }
            (look::notes(notes.iter()))
            (to_book)
        },
        Charged::UnclearWay(note) => html! {
            p.refused { (look::capital(&note.message)) "." }
            p { (look::capital(&note.hint)) "." }
            p { a.do href={ "/jobs/" (id) "/price" } { "the price as it was" } }
        },
    };
    look::job_page(&app, &opened, super::at(Step::Price), &body)
}

/// Other ways to build it, side by side with the job as it stands, and the quote with them.
fn other_ways(opened: &Opened, done: &Done, ways: &[String]) -> Markup {
    let (sheet, currency) = (&done.priced.sheet, done.priced.sheet.currency);
    let mut rows = vec![cells(["as it stands".to_owned(), amount(sheet.total(), currency), String::new()])];
    rows.extend(done.priced.ways.iter().map(|way| {
        let total = way
            .sheet
            .as_ref()
            .map_or("cannot be planned".to_owned(), |sheet| amount(sheet.total(), currency));
        let differs: Vec<String> =
            way.differences.iter().map(|d| format!("{} {}", d.what, money(d.change(), currency))).collect();
        cells([way.name.clone(), total, differs.join("; ")])
    }));
    let query: Vec<String> = ways.iter().map(|way| format!("option={}", coded(way))).collect();
    let of = if query.is_empty() { String::new() } else { format!("?{}", query.join("&")) };
    let is_whole = sheet.blanks.is_empty();
    html! {
        h2 #ways { "Other ways to build it" }
        @if !ways.is_empty() { (table("Side by side", &["", "the customer pays", "what differs"], &rows)) }
        form.wide method="get" action={ "/jobs/" (opened.id) "/price#ways" } {
            @for way in ways { input type="hidden" name="option" value=(way); }
            label for="option" { "set another beside it" }
            input #option name="option" list="ways-known" required autocomplete="off" placeholder="broom";
            datalist #ways-known { @for way in ["broom", "float", "trowel", "hard trowel", "5 in", "with poly", "without poly", "5 in, without poly"] { option value=(way) {} } }
            div.row { button { "set beside" } @if !ways.is_empty() { a.do href={ "/jobs/" (opened.id) "/price#ways" } { "only as it stands" } } }
        }
        @if is_whole {
            p { a.do href={ "/jobs/" (opened.id) "/papers/quote.pdf" (of) } { "quote (PDF)" } a.do href={ "/jobs/" (opened.id) "/papers/quote-es.pdf" (of) } { "in Spanish" } }
        } @else {
            p.care { "A quote is made when nothing that it needs is blank." }
        }
    }
}

/// Text as it stands in an address.
fn coded(text: &str) -> String {
    text.bytes()
        .map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") })
        .collect()
}

fn amount(amount: Option<Money>, currency: Currency) -> String {
    amount.map_or("blank".to_owned(), |amount| money(amount, currency))
}

fn told(opened: &Opened, done: &Done, text: &str) -> Markup {
    let (priced, book) = (&done.priced, &done.book);
    let sheet = &priced.sheet;
    let blanks = sheet.blanks.len();
    html! {
        section.figures aria-label="The price" {
            (figure("the customer pays", &amount(sheet.total(), sheet.currency), &format!("by \"{}\"", book.name)))
            (figure("direct cost", &amount(sheet.sum(Section::is_direct), sheet.currency), "materials, plant, people, machines"))
        }
        @if blanks > 0 {
            h2 { "Missing" }
            p { "No price is told while one of these is blank. Where there is no charge, write 0." }
            (super::rates::blanks(opened, text, &sheet.blanks))
        }
        @for (section, words) in Section::TOLD { (lines(sheet, section, words)) }
        (doubt(priced, sheet.currency))
        @if !priced.assumed.is_empty() {
            details {
                summary { (priced.assumed.len()) " values assumed until you state them" }
                @let rows: Vec<_> = priced.assumed.iter().map(|a| cells([a.place.path().to_owned(), a.value.clone(), a.source.clone()])).collect();
                (table("Assumed", &["would stand at", "value", "from"], &rows))
            }
        }
    }
}

fn lines(sheet: &Sheet, section: Section, words: &str) -> Markup {
    let lines: Vec<&Line> = sheet.lines.iter().filter(|line| line.section == section).collect();
    let quantity = |line: &Line| match line.measure {
        Measure::Counted { hundredths, unit, .. } => {
            format!("{}.{:02} {}", hundredths / 100, hundredths % 100, unit.word()).replace(".00 ", " ")
        }
        Measure::Share { .. } | Measure::Sum => String::new(),
    };
    let rows: Vec<_> = lines
        .iter()
        .map(|line| {
            cells([line.what.clone(), say::raised(&quantity(line)), amount(line.amount, sheet.currency)])
        })
        .collect();
    html! { @if !rows.is_empty() { h2 { (words) } (table(words, &["", "quantity", "amount"], &rows)) } }
}

fn doubt(priced: &Priced, currency: Currency) -> Markup {
    let rows: Vec<_> = priced
        .doubt
        .iter()
        .map(|case| {
            cells([
                format!("{:.0} %", 100.0 * case.yards),
                format!("{:.0} %", 100.0 * case.hours),
                amount(case.cost, currency),
                amount(case.total, currency),
            ])
        })
        .collect();
    html! {
        h2 { "What the doubt costs" }
        (table("Doubt", &["yards", "hours", "your cost", "by the book"], &rows))
        p.care { "The chance that the floor takes no more than this and that the crew takes no longer." }
    }
}
