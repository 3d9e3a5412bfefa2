//! What people write: taps of the log, shots, texts, and taking back.

use axum::extract::{Form, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use formats::events::{After, Change, Fingerprint};
use maud::html;
use serde::Deserialize;

use super::{at, opened};
use crate::app::App;
use crate::form::{self, Shot, Stamp, Tap, WholeText};
use crate::look::{self, Step};

/// Keeps a change and goes back to a page of the job.
async fn keep(app: &App, id: &str, stamp: &Stamp, change: Result<Change, String>, back: &str) -> Response {
    match stamp.read().and_then(|stamp| Ok((stamp, change?))) {
        Err(words) => look::refused(app, &words),
        Ok((stamp, change)) => match app.keep(id, stamp, change).await {
            Ok(()) => Redirect::to(&format!("/jobs/{id}/{back}")).into_response(),
            Err(fault) => look::trouble(app, &fault.0),
        },
    }
}

/// A tap of the log, now.
pub async fn log(State(app): State<App>, Path(id): Path<String>, Form(tap): Form<Tap>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some(job) = &opened.figured.job else {
        return look::refused(&app, "the job must be mended before its day is logged");
    };
    let on_slab = ["print", "sheen", "float-on", "round"].contains(&tap.what.as_str());
    let change = form::entry(&tap, job.units, app.clock.now());
    keep(&app, &id, &tap.stamp, change, if on_slab { "finish" } else { "pour" }).await
}

/// A shot that was called out.
pub async fn shot(State(app): State<App>, Path(id): Path<String>, Form(shot): Form<Shot>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let units = opened.figured.job.as_ref().map_or(basis::UnitSystem::Us, |job| job.units);
    keep(&app, &id, &shot.stamp, form::shot(&shot, units), "measure#shoot").await
}

/// A set-up of the laser on a benchmark.
#[derive(Debug, Deserialize)]
pub struct SetUp {
    #[serde(flatten)]
    stamp: Stamp,
    name: String,
    on: String,
    reading: String,
}

/// A new set-up without shots.
pub async fn set_up(State(app): State<App>, Path(id): Path<String>, Form(form): Form<SetUp>) -> Response {
    let quoted = |text: &str| toml::Value::String(text.trim().to_owned()).to_string();
    let row = format!(
        "{{ name = {}, backsight = {{ on = {}, reading = {} }}, shots = [] }}",
        quoted(&form.name),
        quoted(&form.on),
        quoted(&form.reading)
    );
    let read = form.reading.parse::<basis::Length>();
    let change = match (read, "setup".parse()) {
        (Err(e), _) => Err(format!("the stick \"{}\": {}; {}", form.reading, e.message, e.hint)),
        (_, Err(_)) => Err("this form is broken".to_owned()),
        (Ok(_), Ok(list)) if !form.name.trim().is_empty() => Ok(Change::Add { list, after: After::End, row }),
        _ => Err("name the set-up".to_owned()),
    };
    keep(&app, &id, &form.stamp, change, "measure#shoot").await
}

/// Which event is taken back, and where to go then.
#[derive(Debug, Deserialize)]
pub struct TakeBack {
    #[serde(flatten)]
    stamp: Stamp,
    target: String,
    back: String,
}

/// Takes an event back.
pub async fn take_back(
    State(app): State<App>,
    Path(id): Path<String>,
    Form(form): Form<TakeBack>,
) -> Response {
    let change = form.target.parse().map(|event| Change::Undo { event });
    let back = Step::ALL.into_iter().map(Step::word).find(|word| *word == form.back).unwrap_or("measure");
    keep(
        &app,
        &id,
        &form.stamp,
        change.map_err(|_| "this form is broken: open the page anew".to_owned()),
        back,
    )
    .await
}

/// The job's text, to be changed by hand.
pub async fn text_page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let body = html! {
        h2 { "The job's text" }
        p { "Everything that is known of the job stands here, one value a line. What cannot be figured is told with its line." }
        (look::notes(opened.figured.notes.iter().filter(|(note, _)| note.severity == basis::Severity::Fault)))
        form method="post" {
            (look::stamp(&opened))
            input type="hidden" name="saw" value=(Fingerprint::of(&opened.state.text));
            label for="text" { "text (TOML)" }
            textarea #text name="text" rows="24" spellcheck="false" { "\n" (opened.state.text) }
            div.row { button.main { "save" } a.do href={ "/jobs/" (id) "/measure" } { "leave it" } }
        }
    };
    look::job_page(&app, &opened, at(Step::Measure), &body)
}

/// A new text in place of the old.
pub async fn text(State(app): State<App>, Path(id): Path<String>, Form(form): Form<WholeText>) -> Response {
    keep(&app, &id, &form.stamp, form::whole_text(&form), "measure").await
}
