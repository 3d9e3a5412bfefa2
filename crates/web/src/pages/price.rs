//! Price: the job by the user's own rate book; what is blank stays blank.

use axum::extract::{Path, State};
use axum::response::Response;
use basis::quantity::money;
use basis::{Currency, Money};
use maud::{Markup, html};
use pour::price::{Line, Measure, Priced, RateBook, Section, Sheet};

use crate::app::App;
use crate::desk;
use crate::look::{self, Step, cells, figure, table};
use crate::say;

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    if opened.figured.whole().is_none() {
        return super::unplanned(&app, &opened, super::at(Step::Price));
    }
    let body = match app.shelf.rates(&id) {
        None => html! {
            p { "There is no rate book yet. It holds what you pay and charge, each rate of your own; nothing is made up for you." }
            p { "Write a blank one with " code { "flatwright new --rates rates.toml" } ", fill in what you know, and put it beside the jobs." }
        },
        Some(text) => match desk::priced(&opened.figured, &text).await {
            Ok(done) => told(&done.0, &done.1),
            Err(notes) => html! {
                h2 { "The rate book cannot be used yet" }
                (look::notes(notes.iter()))
            },
        },
    };
    look::job_page(&app, &opened, super::at(Step::Price), &body)
}

fn amount(amount: Option<Money>, currency: Currency) -> String {
    amount.map_or("blank".to_owned(), |amount| money(amount, currency))
}

fn told(priced: &Priced, book: &RateBook) -> Markup {
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
            @let rows: Vec<_> = sheet.blanks.iter().map(|b| cells([b.what.clone(), b.place.path().to_owned()])).collect();
            (table("Blank rates", &["what", "in the rate book"], &rows))
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
