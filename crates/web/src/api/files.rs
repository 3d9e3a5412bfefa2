//! Files of a job: its text, its shots, the floor for other programs, papers.

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::{nothing, opened, text, unplanned};
use crate::app::{App, Opened};

/// The job file.
pub async fn toml(State(app): State<App>, Path(id): Path<String>) -> Response {
    match opened(&app, &id).await {
        Ok(opened) => text("application/toml", opened.state.text.clone()),
        Err(answer) => answer,
    }
}

/// The shots as a table.
pub async fn shots(State(app): State<App>, Path(id): Path<String>) -> Response {
    match opened(&app, &id).await {
        Ok(opened) => match &opened.figured.job {
            Some(job) => text("text/csv", formats::carried::shots_csv(job)),
            None => unplanned(&opened),
        },
        Err(answer) => answer,
    }
}

/// The floor as a drawing.
pub async fn drawing(State(app): State<App>, Path(id): Path<String>) -> Response {
    match opened(&app, &id).await {
        Ok(opened) => match opened.figured.whole() {
            Some((job, plan)) => text("image/vnd.dxf", formats::carried::floor_dxf(job, plan)),
            None => unplanned(&opened),
        },
        Err(answer) => answer,
    }
}

/// The floor as a survey, dated by the last event.
pub async fn survey(State(app): State<App>, Path(id): Path<String>) -> Response {
    match opened(&app, &id).await {
        Ok(opened) => match opened.figured.whole() {
            Some((job, plan)) => {
                text("application/xml", formats::carried::floor_land_xml(job, plan, changed(&opened)))
            }
            None => unplanned(&opened),
        },
        Err(answer) => answer,
    }
}

/// When the job was last changed.
pub(crate) fn changed(opened: &Opened) -> jiff::Timestamp {
    opened.last.first().map_or(jiff::Timestamp::UNIX_EPOCH, |event| event.made)
}

/// A paper as PDF.
pub async fn paper(State(app): State<App>, Path((id, name)): Path<(String, String)>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    if opened.figured.whole().is_none() {
        return unplanned(&opened);
    }
    match crate::pages::paper_of(&opened, &name).await {
        Some(Ok(pdf)) => ([(header::CONTENT_TYPE, "application/pdf")], pdf).into_response(),
        Some(Err(words)) => super::problem(axum::http::StatusCode::CONFLICT, &words, "", &[]),
        None => nothing(),
    }
}
