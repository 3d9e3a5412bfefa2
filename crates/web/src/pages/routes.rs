//! Which page answers which address.

use axum::Router;
use axum::extract::{Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};

use super::{
    close, entries, files, jobs, live, measure, on_site, order, outline, paper, price, rates, start, write,
};
use crate::app::{App, Opened};
use crate::look::{self, Stand};

/// All pages.
pub fn routes() -> Router<App> {
    Router::new()
        .route("/", get(jobs::page))
        .route("/live", get(live::stream))
        .route("/jobs/{id}", get(front))
        .route("/jobs/{id}/measure", get(measure::page))
        .route("/jobs/{id}/price", get(price::page))
        .route("/jobs/{id}/order", get(order::page))
        .route("/jobs/{id}/pour", get(on_site::pour))
        .route("/jobs/{id}/finish", get(on_site::finish))
        .route("/jobs/{id}/close", get(close::page))
        .route("/jobs/{id}/floor", get(on_site::floor))
        .route("/jobs/{id}/day", get(on_site::day))
        .route("/jobs/{id}/floor-at", get(on_site::floor_at))
        .route("/jobs/{id}/pack", get(on_site::pack))
        .route("/jobs/{id}/entries/{what}", post(entries::take))
        .route("/jobs/{id}/rounds", post(on_site::waits))
        .route("/jobs/{id}/papers/{name}", get(paper::pdf))
        .route("/jobs", post(start::create))
        .route("/new", get(start::page))
        .route("/jobs/{id}/text", get(write::text_page).post(write::text))
        .route("/jobs/{id}/outline", get(outline::page).post(outline::draw))
        .route("/jobs/{id}/edge", post(outline::edge))
        .route("/jobs/{id}/files", get(files::page))
        .route("/jobs/{id}/files/{name}", get(files::file))
        .route("/jobs/{id}/bring", post(files::bring))
        .route("/jobs/{id}/rates", get(rates::page).post(rates::keep))
        .route("/jobs/{id}/rate", post(rates::keep_one))
        .route("/jobs/{id}/log", post(write::log))
        .route("/jobs/{id}/shot", post(write::shot))
        .route("/jobs/{id}/set-up", post(write::set_up))
        .route("/jobs/{id}/take-back", post(write::take_back))
}

/// A job opened, or the answer that says why it is not.
pub async fn opened(app: &App, id: &str) -> Result<Opened, Response> {
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
pub fn unplanned(app: &App, opened: &Opened, stand: Stand) -> Response {
    look::job_page(app, opened, stand, &super::mend_first(opened))
}
