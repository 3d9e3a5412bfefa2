//! Entries that a phone kept until there was a signal: taken once, in the order in which they were made, and acknowledged by name.

use axum::extract::{Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use formats::events::{Change, EventId};
use jiff::Timestamp;
use serde::Deserialize;
use serde_json::json;

use super::logged::CLOCKS_AGREE;
use crate::app::App;
use crate::form::{self, Tap};
use crate::opened::Occasion;

/// An entry as a phone sends it: a form of the page, and what the phone's clock showed.
#[derive(Debug, Deserialize)]
pub struct FromPhone {
    #[serde(flatten)]
    tap: Tap,
    /// The event that is taken back, when it is no tap.
    #[serde(default)]
    target: String,
    /// When it was made, in milliseconds of the phone's clock.
    made: String,
    /// When it was sent, by the same clock.
    sent: String,
}

/// When an entry was made, by the maker's clock and by ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Times {
    made: Timestamp,
    at: Timestamp,
}

/// What both clocks say. Where they agree the phone's time stands; else it lies as long before now as the phone says it was made
/// before it was sent.
fn times(now: Timestamp, made: Timestamp, sent: Timestamp) -> Times {
    let made = made.min(sent);
    let off = now.duration_since(sent);
    if off.abs() <= CLOCKS_AGREE {
        return Times { made, at: made };
    }
    Times { made, at: now.saturating_sub(sent.duration_since(made)).unwrap_or(now) }
}

fn instant(text: &str) -> Option<Timestamp> {
    Timestamp::from_millisecond(text.parse().ok()?).ok()
}

impl FromPhone {
    fn times(&self, now: Timestamp, occasion: Occasion) -> Option<Times> {
        let told = times(now, instant(&self.made)?, instant(&self.sent)?);
        // The clock of the demonstration was set: that no phone agrees with it is no news.
        Some(if occasion == Occasion::Demonstration { Times { made: told.at, ..told } } else { told })
    }
}

/// Takes one entry. The answer names the event that is kept, or says in words why none is.
pub async fn take(
    State(app): State<App>,
    Path((id, what)): Path<(String, String)>,
    Form(from): Form<FromPhone>,
) -> Response {
    match taken(&app, &id, &what, &from).await {
        Ok(event) => told(StatusCode::OK, &json!({ "kept": event.to_string() })),
        Err((status, words)) => told(status, &json!({ "refused": words })),
    }
}

fn told(status: StatusCode, value: &serde_json::Value) -> Response {
    let headers = [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")];
    (status, headers, value.to_string()).into_response()
}

type Refused = (StatusCode, String);

async fn taken(app: &App, id: &str, what: &str, from: &FromPhone) -> Result<EventId, Refused> {
    let wrong = |words: String| (StatusCode::UNPROCESSABLE_ENTITY, words);
    let later = |words: String| (StatusCode::SERVICE_UNAVAILABLE, words);
    let opened = app.open(id).await.map_err(|fault| later(fault.0))?;
    let opened = opened.ok_or((StatusCode::NOT_FOUND, "there is no such job any more".to_owned()))?;
    let frame = app.frame();
    let stamp = from.tap.stamp.read().map_err(wrong)?;
    let times = from
        .times(frame.now, frame.occasion)
        .ok_or_else(|| wrong("this form is broken: open the page anew".to_owned()))?;
    let change = match what {
        "take-back" => from
            .target
            .parse()
            .map(|event| Change::Undo { event })
            .map_err(|_| wrong("this form is broken: open the page anew".to_owned()))?,
        _ => {
            let job = opened.figured.job.as_ref();
            let job =
                job.ok_or_else(|| wrong("the job must be mended before its day is logged".to_owned()))?;
            form::entry(&from.tap, job.units, times.at).map_err(wrong)?
        }
    };
    if let Some(words) = app.forbids(id, &change).map_err(|fault| later(fault.0))? {
        return Err(wrong(words.to_owned()));
    }
    app.keep_made(id, stamp, times.made, change).await.map_err(|fault| later(fault.0))?;
    Ok(stamp.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(second: i64) -> Timestamp {
        Timestamp::from_second(1_000_000 + second).unwrap()
    }

    /// Half an hour without a signal is no disagreement of clocks.
    #[test]
    fn a_phone_whose_clock_agrees_is_believed() {
        let told = times(at(1830), at(0), at(1800));
        assert_eq!(told, Times { made: at(0), at: at(0) });
    }

    /// A phone that is an hour slow: what it made 10 minutes before sending happened 10 minutes before now.
    #[test]
    fn a_phone_whose_clock_is_wrong_keeps_both_times() {
        let told = times(at(3600), at(-600), at(0));
        assert_eq!(told, Times { made: at(-600), at: at(3000) });
        let ahead = times(at(0), at(7000), at(7200));
        assert_eq!(ahead, Times { made: at(7000), at: at(-200) });
    }

    #[test]
    fn nothing_is_made_after_it_was_sent() {
        assert_eq!(times(at(0), at(500), at(10)), Times { made: at(10), at: at(10) });
    }

    #[test]
    fn far_instants_break_nothing() {
        let told = times(Timestamp::MIN, Timestamp::MAX, Timestamp::MAX);
        assert_eq!(told.at, Timestamp::MIN);
        let told = times(Timestamp::MAX, Timestamp::MIN, Timestamp::MAX);
        assert_eq!(told, Times { made: Timestamp::MIN, at: Timestamp::MIN });
    }
}
