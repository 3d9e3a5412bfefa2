//! Papers as PDF.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use papers::{DocumentOptions, Language, Paper, Planned, documents};

use crate::app::App;
use crate::desk::{Figured, Rounds, rounds};
use crate::look;

/// A paper is worth waiting for.
const PATIENCE: Duration = Duration::from_secs(60);

/// One of the papers: `plant-order.pdf`, with `-es` before the dot in Spanish.
pub async fn pdf(State(app): State<App>, Path((id, name)): Path<(String, String)>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some(stem) = name.strip_suffix(".pdf").map(str::to_owned) else { return look::not_found(&app) };
    let rounds = rounds(&opened.figured, PATIENCE, || {}).await;
    let figured = Arc::clone(&opened.figured);
    let made = tokio::task::spawn_blocking(move || print(&figured, &rounds, &stem)).await;
    match made {
        Ok(Some(Ok(pdf))) => {
            let told = [
                (header::CONTENT_TYPE, "application/pdf".to_owned()),
                (header::CONTENT_DISPOSITION, format!("inline; filename=\"{}\"", name.replace('"', ""))),
            ];
            (told, pdf).into_response()
        }
        Ok(None) => look::not_found(&app),
        Ok(Some(Err(words))) => look::trouble(&app, &words),
        Err(_) => look::trouble(&app, "The paper could not be set: that is a fault of the program."),
    }
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
