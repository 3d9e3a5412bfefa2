//! What changes, told to every screen that looks.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::Sse;
use axum::response::sse::{Event, KeepAlive};
use tokio_stream::wrappers::BroadcastStream;
use tokio_stream::{Stream, StreamExt};

use crate::app::App;

/// The stream: one event for each change, with the job's id.
pub async fn stream(State(app): State<App>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let told = BroadcastStream::new(app.tide.subscribe()).map(|change| {
        Ok(match change {
            Ok(change) => Event::default().event(change.what).data(change.job),
            // A screen that fell behind looks at everything anew.
            Err(_) => Event::default().event("behind").data(""),
        })
    });
    Sse::new(told).keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
}
