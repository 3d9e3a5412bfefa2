//! The rate book, changed by hand: its text with faults at their lines, and blanks one by one.

use axum::extract::{Form, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use basis::{Note, Severity};
use formats::events::Fingerprint;
use maud::{Markup, html};
use pour::price::Blank;
use serde::Deserialize;

use super::at;
use crate::app::{App, Opened};
use crate::look::{self, Step};

/// Largest rate book that is kept, bytes.
const LARGEST: usize = 200_000;

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    match super::opened(&app, &id).await {
        Ok(opened) => {
            let text = app.shelf.rates(&id);
            shown(&app, &opened, text.as_deref(), text.as_deref(), &[])
        }
        Err(answer) => answer,
    }
}

/// The book with what is wrong in it; `kept` is what stands, `text` what is shown.
fn shown(
    app: &App,
    opened: &Opened,
    kept: Option<&str>,
    text: Option<&str>,
    told: &[(Note, Option<usize>)],
) -> Response {
    let body = html! {
        h2 { "The rate book" }
        p { "What you pay and what you charge, for all jobs. Leave \"\" where you do not know: it is listed, and no quote is made with it. Where there is no charge, write 0." }
        @if !told.is_empty() { p.refused { "Not kept yet." } (look::notes(told.iter())) }
        form method="post" action={ "/jobs/" (opened.id) "/rates" } {
            input type="hidden" name="saw" value=(Fingerprint::of(kept.unwrap_or_default()));
            label for="text" { "text (TOML)" }
            textarea #text name="text" rows="26" spellcheck="false" { "\n" (text.unwrap_or(formats::starter_rates())) }
            div.row { button.main { "save the book" } a.do href={ "/jobs/" (opened.id) "/price" } { "leave it" } }
        }
    };
    look::job_page(app, opened, at(Step::Price), &body)
}

/// The text of a book.
#[derive(Debug, Deserialize)]
pub struct WholeBook {
    saw: String,
    text: String,
}

/// Faults of a book, with their lines.
fn faults(text: &str) -> Vec<(Note, Option<usize>)> {
    let parsed = formats::read_rates(text.as_bytes(), "the rate book");
    let line = |note: &Note| parsed.source.position(parsed.source.locate(&note.place)?).map(|at| at.line);
    let wrong = parsed.report.notes.iter().filter(|note| note.severity == Severity::Fault);
    wrong.map(|note| (note.clone(), line(note))).collect()
}

/// Keeps a book that has no fault; one that has stays on the page as it was typed.
pub async fn keep(State(app): State<App>, Path(id): Path<String>, Form(form): Form<WholeBook>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let text = form.text.replace("\r\n", "\n");
    if text.len() > LARGEST {
        return look::refused(&app, "a rate book has 200 kB at most");
    }
    let told = faults(&text);
    if !told.is_empty() {
        return shown(&app, &opened, app.shelf.rates(&id).as_deref(), Some(&text), &told);
    }
    written(&app, &id, &form.saw, &text).await
}

/// Puts the book on the shelf, if it still is the one that the page showed.
async fn written(app: &App, id: &str, saw: &str, text: &str) -> Response {
    let stands = app.shelf.rates(id);
    if Fingerprint::of(stands.as_deref().unwrap_or_default()).to_string() != saw {
        let words = "somebody else has changed the rate book since this page was opened. Open it anew, and change it there";
        return look::trouble(app, words);
    }
    let (shelf, of, book) = (std::sync::Arc::clone(&app.shelf), id.to_owned(), text.to_owned());
    let kept = tokio::task::spawn_blocking(move || shelf.keep_rates(&of, &book)).await;
    match kept {
        Ok(Ok(())) => {
            app.tell(id, "job");
            Redirect::to(&format!("/jobs/{id}/price")).into_response()
        }
        Ok(Err(fault)) => look::trouble(app, &fault.0),
        Err(_) => look::trouble(app, "It could not be kept: that is a fault of the program."),
    }
}

/// One value of the book.
#[derive(Debug, Deserialize)]
pub struct OneRate {
    saw: String,
    place: String,
    value: String,
}

/// Keeps one value.
pub async fn keep_one(State(app): State<App>, Path(id): Path<String>, Form(form): Form<OneRate>) -> Response {
    if let Err(answer) = super::opened(&app, &id).await {
        return answer;
    }
    let stands = app.shelf.rates(&id).unwrap_or_default();
    let text = match formats::set_rate(&stands, &form.place, form.value.trim()) {
        Ok(text) => text,
        Err(words) => return look::refused(&app, &words),
    };
    let told = faults(&text);
    if let Some((note, _)) = told.first() {
        return look::refused(&app, &format!("{}: {}; {}", form.value.trim(), note.message, note.hint));
    }
    written(&app, &id, &form.saw, &text).await
}

/// A form for each blank rate that the price needs.
pub fn blanks(opened: &Opened, book: &str, blanks: &[Blank]) -> Markup {
    let saw = Fingerprint::of(book);
    html! {
        ul.taps {
            @for (i, blank) in blanks.iter().enumerate() {
                @let field = format!("rate-{i}");
                li {
                    form.told-value.rate method="post" action={ "/jobs/" (opened.id) "/rate" } {
                        input type="hidden" name="saw" value=(saw);
                        input type="hidden" name="place" value=(blank.place.path());
                        label for=(field) { (look::capital(&blank.what)) " " small { (blank.place.path()) } }
                        div.row { input id=(field) name="value" required autocomplete="off"; button { "keep" } }
                    }
                }
            }
        }
    }
}
