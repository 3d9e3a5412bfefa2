//! The machine interface: the actions of the pages as JSON over HTTP, below `/api/v1`.
//!
//! Each route stands once, in `routes::ROUTES`: the router and the OpenAPI document are made of the same rows, so that neither can hold what
//! the other does not. Faults come as a problem with every note. For whom a route is, is said where people are known.

mod answers;
mod files;
mod openapi;
mod routes;

use axum::Router;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use basis::Note;
use formats::api::{NoteWire, Problem, to_json};
use serde_json::Value;

use crate::app::{App, Opened};

pub(crate) use files::changed;
pub use openapi::openapi;

/// The routes, below `/api/v1`.
pub(crate) fn routes() -> Router<App> {
    let mut router = Router::new();
    for route in routes::ROUTES {
        router = router.route(&format!("/api/v1{}", route.path), (route.handler)());
    }
    router.route("/api/v1/{*rest}", axum::routing::any(|| async { nothing() }))
}

/// An answer of JSON.
fn json(value: &Value) -> Response {
    text("application/json", value.to_string())
}

/// An answer of a kind; nothing of it is kept on the way.
fn text(kind: &'static str, text: String) -> Response {
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "no-store")], text).into_response()
}

/// Why something was not done.
fn problem(status: StatusCode, message: &str, hint: &str, notes: &[(Note, Option<usize>)]) -> Response {
    let notes = wires(notes);
    let problem = Problem { message: message.to_owned(), hint: hint.to_owned(), notes };
    (status, json(&to_json(&problem))).into_response()
}

fn wires(notes: &[(Note, Option<usize>)]) -> Vec<NoteWire> {
    notes.iter().map(|(note, line)| NoteWire::of(note, *line)).collect()
}

fn nothing() -> Response {
    problem(StatusCode::NOT_FOUND, "there is nothing of that name", "look at the list of jobs", &[])
}

/// A job opened, or the answer that says why it is not.
async fn opened(app: &App, id: &str) -> Result<Opened, Response> {
    match app.open(id).await {
        Ok(Some(opened)) => Ok(opened),
        Ok(None) => Err(nothing()),
        Err(fault) => Err(problem(StatusCode::CONFLICT, &fault.0, "", &[])),
    }
}

/// A job without a plan: what must be mended.
fn unplanned(opened: &Opened) -> Response {
    let hint = "mend the job's text; each note says where";
    problem(StatusCode::CONFLICT, "the floor cannot be figured yet", hint, &opened.figured.notes)
}

#[cfg(test)]
mod tests;
