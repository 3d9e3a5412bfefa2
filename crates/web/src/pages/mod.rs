//! One file a page, in the order of the day.

mod close;
mod day;
mod finish;
mod floor;
mod jobs;
mod live;
mod logged;
mod measure;
mod order;
mod paper;
mod pour;
mod price;
mod start;
mod write;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use maud::{Markup, html};

use crate::app::{App, Opened};
use crate::look::{self, Stand, Step};

/// All pages.
pub fn routes() -> Router<App> {
    Router::new()
        .route("/", get(jobs::page))
        .route("/live", get(live::stream))
        .route("/jobs/{id}", get(front))
        .route("/jobs/{id}/measure", get(measure::page))
        .route("/jobs/{id}/price", get(price::page))
        .route("/jobs/{id}/order", get(order::page))
        .route("/jobs/{id}/pour", get(pour::page))
        .route("/jobs/{id}/finish", get(finish::page))
        .route("/jobs/{id}/close", get(close::page))
        .route("/jobs/{id}/floor", get(floor::page))
        .route("/jobs/{id}/day", get(day::page))
        .route("/jobs/{id}/floor-at", get(day::floor_at))
        .route("/jobs/{id}/rounds", post(day::waits))
        .route("/jobs/{id}/papers/{name}", get(paper::pdf))
        .route("/jobs", post(start::create))
        .route("/new", get(start::page))
        .route("/jobs/{id}/text", get(write::text_page).post(write::text))
        .route("/jobs/{id}/log", post(write::log))
        .route("/jobs/{id}/shot", post(write::shot))
        .route("/jobs/{id}/set-up", post(write::set_up))
        .route("/jobs/{id}/take-back", post(write::take_back))
}

/// A job opened, or the answer that says why it is not.
async fn opened(app: &App, id: &str) -> Result<Opened, Response> {
    match app.open(id).await {
        Ok(Some(opened)) => Ok(opened),
        Ok(None) => Err(look::not_found(app)),
        Err(fault) => Err(look::trouble(app, &fault.0)),
    }
}

/// The step at which a job stands: on the day of the pour the finishing, else the order, or what must be mended.
async fn front(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let step = jobs::step(&app, &opened);
    Redirect::to(&format!("/jobs/{id}/{}", step.word())).into_response()
}

/// What a page says when there is no plan: what must be mended, and where.
fn unplanned(app: &App, opened: &Opened, stand: Stand) -> Response {
    let body = html! {
        h2 { "Mend this first" }
        p { "The floor cannot be figured yet. Each line says what is wrong, and what to write instead." }
        (look::notes(opened.figured.notes.iter()))
        p { a.do href={ "/jobs/" (opened.id) "/measure" } { "to the measures" } }
    };
    look::job_page(app, opened, stand, &body)
}

/// Warnings and remarks of the plan whose place starts with one of some words.
fn notes_about(opened: &Opened, places: &[&str]) -> Markup {
    let is_about = |path: &str| places.iter().any(|place| path.starts_with(place));
    look::notes(opened.figured.notes.iter().filter(|(note, _)| is_about(note.place.path())))
}

/// The page of a step.
fn at(step: Step) -> Stand {
    Stand::Step(step)
}
