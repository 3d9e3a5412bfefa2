//! Papers as PDF.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use papers::{DocumentOptions, Language, Paper, Planned, documents};

use crate::app::{App, Opened};
use crate::desk::{Figured, Rounds, rounds};
use crate::look;
use crate::priced::{Charged, priced};

/// A paper is worth waiting for.
const PATIENCE: Duration = Duration::from_secs(60);

/// One of the papers: `plant-order.pdf`, with `-es` before the dot in Spanish.
pub async fn pdf(
    State(app): State<App>,
    Path((id, name)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let ways: Vec<String> =
        asked.into_iter().filter(|(name, _)| name == "option").map(|(_, way)| way).collect();
    let made = match name.as_str() {
        "quote.pdf" | "quote-es.pdf" => Some(quote(&app, &opened, &name, &ways).await),
        _ => paper_of(&opened, &name).await,
    };
    match made {
        Some(Ok(pdf)) => {
            let told = [
                (header::CONTENT_TYPE, "application/pdf".to_owned()),
                (header::CONTENT_DISPOSITION, format!("inline; filename=\"{}\"", name.replace('"', ""))),
            ];
            (told, pdf).into_response()
        }
        None => look::not_found(&app),
        Some(Err(words)) => look::trouble(&app, &words),
    }
}

const BROKE: &str = "The paper could not be set: that is a fault of the program.";

/// A paper of a job by its name, set; nothing when there is none of that name.
pub(crate) async fn paper_of(opened: &Opened, name: &str) -> Option<Result<Vec<u8>, String>> {
    let stem = name.strip_suffix(".pdf")?.to_owned();
    let rounds = rounds(&opened.figured, PATIENCE, || {}).await;
    let figured = Arc::clone(&opened.figured);
    let made = tokio::task::spawn_blocking(move || print(&figured, &rounds, &stem)).await;
    made.unwrap_or_else(|_| Some(Err(BROKE.to_owned())))
}

/// The customer's quote, with other ways to build it; refused while a rate is blank.
async fn quote(app: &App, opened: &Opened, name: &str, ways: &[String]) -> Result<Vec<u8>, String> {
    let done = match priced(app, opened, ways).await {
        Charged::Done(done) => done,
        Charged::NoBook => {
            return Err("There is no rate book yet: write one on the page of the price.".to_owned());
        }
        Charged::UnclearWay(note) => return Err(format!("{}: {}.", note.message, note.hint)),
        Charged::Unplanned | Charged::BookFaults(_) => {
            return Err("The job cannot be priced yet; the page of the price says why.".to_owned());
        }
    };
    let language = if name.contains("-es.") { Language::Spanish } else { Language::English };
    let figured = Arc::clone(&opened.figured);
    let set = move || {
        let (job, plan) = figured.whole().ok_or("The floor has no plan.")?;
        let quote = pour::price::quote(&job.name, &done.priced, &done.book).map_err(|blanks| {
            format!(
                "{} in the rate book: no quote leaves with a blank.",
                crate::say::count(blanks.len(), "blank")
            )
        })?;
        let options = DocumentOptions { languages: vec![language], paper: Paper::of(job.units) };
        let document = papers::quote_sheet(Planned { job, plan, day: None }, &quote, &options);
        let printed = press::print(press::Copy { main: document.main, files: &document.files });
        printed.map(|printed| printed.pdf).map_err(|faults| faults.join("; "))
    };
    tokio::task::spawn_blocking(set).await.unwrap_or_else(|_| Err(BROKE.to_owned()))
}

fn print(figured: &Figured, rounds: &Rounds, stem: &str) -> Option<Result<Vec<u8>, String>> {
    let (job, plan) = figured.whole()?;
    let day = if let Rounds::Done(day) = rounds { Some(&**day) } else { None };
    let (stem, language) = match stem.strip_suffix("-es") {
        Some(stem) => (stem, Language::Spanish),
        None => (stem, Language::English),
    };
    let options = DocumentOptions { languages: vec![language], paper: Paper::of(job.units) };
    let document = documents(Planned { job, plan, day }, &options).into_iter().find(|d| d.name == stem)?;
    let printed = press::print(press::Copy { main: document.main, files: &document.files });
    Some(printed.map(|printed| printed.pdf).map_err(|faults| faults.join("; ")))
}
