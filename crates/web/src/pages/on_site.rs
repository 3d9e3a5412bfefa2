//! The pages on site as the server answers them.

use std::time::Duration;

use axum::extract::{Form, Path, Query, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::site::{self, OnSite};
use crate::answer;
use crate::app::{App, Opened};
use crate::desk::{Rounds, Waits, rounds, wait_for_rounds};

/// A page waits no longer than this for the plan of the rounds: it is told to come back when it is there.
const PATIENCE: Duration = Duration::from_millis(400);

/// The rounds of a job, if they are there soon; screens are told when they come later.
pub async fn asked_rounds(app: &App, opened: &Opened) -> Rounds {
    let (tell, id) = (app.clone(), opened.id.clone());
    rounds(&opened.figured, PATIENCE, move || tell.tell(&id, "rounds")).await
}

/// What a page may be asked for beside.
#[derive(Debug, Default, Deserialize)]
pub struct Asked {
    layer: Option<String>,
    minute: Option<i64>,
}

/// Trucks, load lines, pads.
pub async fn pour(state: State<App>, id: Path<String>) -> Response {
    page(state, id, OnSite::Pour).await
}

/// Rounds and windows.
pub async fn finish(state: State<App>, id: Path<String>) -> Response {
    page(state, id, OnSite::Finish).await
}

/// The floor, one layer at a time.
pub async fn floor(state: State<App>, id: Path<String>, Query(asked): Query<Asked>) -> Response {
    page(state, id, OnSite::Floor(asked.layer)).await
}

/// The day line.
pub async fn day(state: State<App>, id: Path<String>, Query(asked): Query<Asked>) -> Response {
    page(state, id, OnSite::Day(asked.minute)).await
}

/// The floor and its bays in words at a minute, for the slider.
pub async fn floor_at(state: State<App>, id: Path<String>, Query(asked): Query<Asked>) -> Response {
    page(state, id, OnSite::FloorAt(asked.minute.unwrap_or(0))).await
}

async fn page(State(app): State<App>, Path(id): Path<String>, asked: OnSite) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let rounds = if asked.shows_rounds() { asked_rounds(&app, &opened).await } else { Rounds::None };
    answer::page(site::text(&app.frame(), &opened, &rounds, &asked))
}

/// Whether somebody waits for the rounds.
#[derive(Debug, Deserialize)]
pub struct Wanted {
    waits: String,
}

/// Stops waiting for the rounds, or starts again.
pub async fn waits(State(app): State<App>, Path(id): Path<String>, Form(wanted): Form<Wanted>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    wait_for_rounds(&opened.figured, if wanted.waits == "no" { Waits::No } else { Waits::Yes });
    Redirect::to(&format!("/jobs/{id}/finish")).into_response()
}

/// All events of a job, so that a phone can fold them with its own when there is no signal.
pub async fn pack(State(app): State<App>, Path(id): Path<String>) -> Response {
    let events = match app.shelf.last(&id, usize::MAX) {
        Ok(events) if events.is_empty() => return crate::look::not_found(&app),
        Ok(events) => events,
        Err(fault) => return crate::look::trouble(&app, &fault.0),
    };
    let frame = app.frame();
    let demonstration = frame.occasion == crate::opened::Occasion::Demonstration;
    let events: Vec<String> = events.iter().rev().map(formats::events::write_event).collect();
    let text = format!(
        "{{\"job\":{},\"now\":{},\"mark\":{},\"demonstration\":{demonstration},\"events\":[{}]}}",
        serde_json::Value::String(id),
        frame.now.as_millisecond(),
        serde_json::Value::String(frame.mark.to_owned()),
        events.join(",")
    );
    let told = [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")];
    (told, text).into_response()
}
