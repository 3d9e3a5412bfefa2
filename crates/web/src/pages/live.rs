//! What changes, told to every screen that looks.

use std::convert::Infallible;
use std::time::Duration;

use axum::extract::State;
use axum::response::Sse;
use axum::response::sse::{Event, KeepAlive};
use tokio::sync::broadcast::error::RecvError;
use tokio::sync::mpsc;
use tokio_stream::Stream;
use tokio_stream::wrappers::ReceiverStream;

use crate::app::{App, Changed};

/// So often a stream looks whether its session still holds.
const LOOKS: Duration = Duration::from_secs(15);

/// The stream: one event for each change, with the job's id. It ends with the session.
pub async fn stream(State(app): State<App>) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let (to_screen, told) = mpsc::channel(16);
    let mut tide = app.tide.subscribe();
    tokio::spawn(async move {
        loop {
            let change = tokio::select! {
                change = tide.recv() => change,
                () = tokio::time::sleep(LOOKS) => Ok(Changed { job: String::new(), what: "people" }),
                () = to_screen.closed() => return,
            };
            if !app.still_holds() {
                return;
            }
            let event = match change {
                // Who comes and goes is shown on no page of a job.
                Ok(change) if change.what == "people" => continue,
                Ok(change) => Event::default().event(change.what).data(change.job),
                // A screen that fell behind looks at everything anew.
                Err(RecvError::Lagged(_)) => Event::default().event("behind").data(""),
                Err(RecvError::Closed) => return,
            };
            if to_screen.send(Ok(event)).await.is_err() {
                return;
            }
        }
    });
    Sse::new(ReceiverStream::new(told)).keep_alive(KeepAlive::new().interval(Duration::from_secs(15)))
}
