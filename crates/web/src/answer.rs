//! Pages as answers of the server.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use crate::app::{App, Opened};
use crate::look::{self, Stand, capital};

/// The text of a page as an answer: never kept by the browser itself.
pub fn page(text: String) -> Response {
    let headers = [(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CACHE_CONTROL, "no-store")];
    (headers, text).into_response()
}

/// A page of a job.
pub fn job_page(app: &App, opened: &Opened, stand: Stand, body: &Markup) -> Response {
    page(look::job_text(&app.frame(), opened, stand, body))
}

/// A page without a job.
pub fn plain_page(app: &App, title: &str, body: &Markup) -> Response {
    page(look::plain_text(&app.frame(), title, body))
}

/// What a page says when there is nothing of a name.
pub fn not_found(app: &App) -> Response {
    let body = html! {
        p { "There is no such page or job. It may have been renamed, or the address was cut off." }
        p { a.do href="/" { "all jobs" } }
    };
    (StatusCode::NOT_FOUND, plain_page(app, "Nothing here", &body)).into_response()
}

/// What a page says when a form was not taken: nothing was changed.
pub fn refused(app: &App, words: &str) -> Response {
    let body = html! { p.refused { (capital(words)) "." } p { "Nothing was changed. Go back and put it right." } p { a.do href="/" { "all jobs" } } };
    (StatusCode::UNPROCESSABLE_ENTITY, plain_page(app, "Not taken", &body)).into_response()
}

/// What a page says when the shelf does not give.
pub fn trouble(app: &App, words: &str) -> Response {
    let body = html! { p { (words) } p { a.do href="/" { "all jobs" } } };
    (StatusCode::CONFLICT, plain_page(app, "That did not work", &body)).into_response()
}
