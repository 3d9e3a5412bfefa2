//! Close: what was figured and ordered, and what of the record is kept so far.

use axum::extract::{Path, State};
use axum::response::Response;
use maud::html;

use crate::app::App;
use crate::look::{self, Step, figure};
use crate::say::{self, volume};

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else {
        return super::unplanned(&app, &opened, super::at(Step::Close));
    };
    let order = &plan.order;
    let body = html! {
        section.figures aria-label="Yards" {
            (figure("figured", &volume(order.need.total.mean, job.units), &format!("± {}", volume(order.need.total.sd, job.units))))
            (figure("to order", &volume(order.recommended.quantity, job.units), &say::list(&order.loads, job.units)))
        }
        p { "This page will hold the record of the pour: yards that came and were left, the floor as built against the floor as designed, and what is learned for the next job. It tells nothing that was not measured." }
    };
    look::job_page(&app, &opened, super::at(Step::Close), &body)
}
