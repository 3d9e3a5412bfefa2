//! What the machine interface answers: jobs, events, figures.

use std::sync::Arc;
use std::time::Duration;

use axum::body::Bytes;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use basis::Note;
use formats::ClockFloor;
use formats::api::{
    JobList, Kept, ListedJob, NewJob, PaperList, balance_json, events_json, state_json, to_json,
};
use formats::events::{Change, Event, EventId, JobId, read_event};
use papers::{DocumentOptions, Language, Paper, Planned};

use super::{json, nothing, opened, problem, text, unplanned, wires};
use crate::app::App;
use crate::desk::{Rounds, rounds};
use crate::priced::{Charged, priced};
use crate::shelf::{ShelfFault, Told};

/// A plan of the rounds is waited for so long; then the machine is told to ask again.
const PATIENCE: Duration = Duration::from_secs(20);

/// The document.
pub async fn document() -> Response {
    json(&super::openapi())
}

fn told(fault: &ShelfFault) -> Response {
    problem(StatusCode::CONFLICT, &fault.0, "", &[])
}

/// The id under which events name a job; nothing when it has no event.
fn job_id(app: &App, id: &str) -> Result<Option<JobId>, ShelfFault> {
    Ok(app.shelf.last(id, 1)?.first().map(|event| event.job))
}

/// All jobs.
pub async fn jobs(State(app): State<App>) -> Response {
    let listed = || -> Result<Vec<ListedJob>, ShelfFault> {
        let mut all = Vec::new();
        for id in app.shelf.ids()? {
            let Some((state, job)) = app.shelf.job(&id)?.zip(job_id(&app, &id)?) else { continue };
            let table = state.text.parse::<toml::Table>().unwrap_or_default();
            let name = table.get("job").and_then(|job| job.get("name")).and_then(toml::Value::as_str);
            all.push(ListedJob { id, job: job.to_string(), name: name.map(str::to_owned), tick: state.tick });
        }
        Ok(all)
    };
    match listed() {
        Ok(jobs) => json(&to_json(&JobList { jobs })),
        Err(fault) => told(&fault),
    }
}

/// A new job.
pub async fn make(State(app): State<App>, body: Bytes) -> Response {
    let new = match formats::api::read_new_job(&body) {
        Ok(new) => new,
        Err(words) => {
            return problem(StatusCode::UNPROCESSABLE_ENTITY, &words, "send it as the document says", &[]);
        }
    };
    let events = match begun(&new) {
        Ok(events) => events,
        Err(notes) => {
            let notes: Vec<_> = notes.into_iter().map(|note| (note, None)).collect();
            return problem(
                StatusCode::UNPROCESSABLE_ENTITY,
                "the job cannot be taken",
                "each note says why",
                &notes,
            );
        }
    };
    let mut last = None;
    for event in events {
        last = Some(event.id);
        if let Err(fault) = keep(&app, &new.id, event).await {
            return told(&fault);
        }
    }
    match (kept(&app, &new.id, last.unwrap_or(EventId::from_bytes([0; 16]))), app.shelf.job(&new.id)) {
        (Some(answer), Ok(Some(_))) => (StatusCode::CREATED, answer).into_response(),
        _ => nothing(),
    }
}

/// The events that begin a job, each within the bounds of events: its text, then its files. Their ids follow from that of the job.
fn begun(new: &NewJob) -> Result<Vec<Event>, Vec<Note>> {
    let files =
        new.files.iter().map(|(name, text)| serde_json::json!({ "file": { "name": name, "text": text } }));
    let changes = std::iter::once(serde_json::json!({ "text": { "text": new.text } })).chain(files);
    let first = u128::from_str_radix(&new.id, 16).unwrap_or_default();
    let (mut events, mut notes) = (Vec::new(), Vec::new());
    for (i, change) in changes.enumerate() {
        let wire = serde_json::json!({
            "id": format!("{:032x}", first.wrapping_add(i as u128)),
            "job": new.id, "tick": i + 1, "made": "1970-01-01T00:00:00Z", "by": new.by, "change": change,
        });
        let report = read_event(wire.to_string().as_bytes());
        notes.extend(report.notes);
        events.extend(report.value);
    }
    if notes.is_empty() { Ok(events) } else { Err(notes) }
}

/// Keeps an event and tells all screens.
async fn keep(app: &App, id: &str, event: Event) -> Result<(), ShelfFault> {
    let what = if matches!(event.change, Change::Log(_)) { "log" } else { "job" };
    let came = app.clock.now();
    let made = if event.made == jiff::Timestamp::UNIX_EPOCH { came } else { event.made };
    // Whoever is signed in signs; where nobody is, the event says who made it.
    let by = if app.who.number.is_some() { app.who.name.to_string() } else { event.by };
    let told = Told { id: event.id, tick: event.tick, made, came, by, change: event.change };
    let (shelf, to) = (Arc::clone(&app.shelf), id.to_owned());
    let kept = tokio::task::spawn_blocking(move || shelf.append(&to, told)).await;
    kept.unwrap_or_else(|_| {
        Err(ShelfFault("it could not be kept: that is a fault of the program".to_owned()))
    })?;
    app.tell(id, what);
    Ok(())
}

fn kept(app: &App, id: &str, event: EventId) -> Option<Response> {
    let state = app.shelf.job(id).ok()??;
    Some(json(&to_json(&Kept { id: id.to_owned(), event: event.to_string(), tick: state.tick })))
}

/// A job as its events have left it.
pub async fn state(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    match job_id(&app, &id) {
        Ok(Some(job)) => {
            let notes = wires(&opened.figured.notes);
            json(&state_json((&id, &job.to_string()), &opened.state, notes))
        }
        Ok(None) => nothing(),
        Err(fault) => told(&fault),
    }
}

/// The events of a job; those after a tick, if one is said.
pub async fn events(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let after: Vec<_> =
        asked.iter().filter(|(name, _)| name == "after").map(|(_, tick)| tick.parse::<u64>()).collect();
    let after = match after[..] {
        [] => None,
        [Ok(after)] if after <= formats::events::HIGHEST_TICK => Some(after),
        _ => {
            let hint = "ask for all, or after one tick";
            return problem(StatusCode::UNPROCESSABLE_ENTITY, "after is a tick, a whole number", hint, &[]);
        }
    };
    match app.shelf.last(&id, usize::MAX) {
        Ok(all) if all.is_empty() => nothing(),
        Ok(all) => {
            let asked = all.iter().rev().filter(|event| after.is_none_or(|after| event.tick > after));
            text("application/json", events_json(asked))
        }
        Err(fault) => told(&fault),
    }
}

/// Keeps an event.
pub async fn append(State(app): State<App>, Path(id): Path<String>, body: Bytes) -> Response {
    let job = match job_id(&app, &id) {
        Ok(Some(job)) => job,
        Ok(None) => return nothing(),
        Err(fault) => return told(&fault),
    };
    let report = read_event(&body);
    let Some(event) = report.value else {
        let notes: Vec<_> = report.notes.into_iter().map(|note| (note, None)).collect();
        return problem(
            StatusCode::UNPROCESSABLE_ENTITY,
            "the event cannot be taken",
            "each note says why",
            &notes,
        );
    };
    if event.job != job {
        let words = format!("the event is of job {}, this is {job}", event.job);
        return problem(StatusCode::UNPROCESSABLE_ENTITY, &words, "send it to its own job", &[]);
    }
    let of = event.id;
    match keep(&app, &id, event).await {
        Ok(()) => kept(&app, &id, of).unwrap_or_else(nothing),
        Err(fault) => told(&fault),
    }
}

/// The whole plan.
pub async fn plan(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else { return unplanned(&opened) };
    let notes: Vec<Note> = opened.figured.notes.iter().map(|(note, _)| note.clone()).collect();
    json(&formats::plan_json(job, plan, &notes))
}

/// The finishing clock.
pub async fn clock(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else { return unplanned(&opened) };
    let Some(forecast) = &plan.forecast else {
        let hint = "state weather, mix and site in the job";
        return problem(StatusCode::CONFLICT, "without weather there is no clock", hint, &[]);
    };
    match rounds(&opened.figured, PATIENCE, || {}).await {
        Rounds::Done(day) => {
            let floor = ClockFloor { job, forecast, update: None };
            let notes: Vec<Note> = opened.figured.notes.iter().map(|(note, _)| note.clone()).collect();
            json(&formats::clock_json(&[floor], &day, &notes))
        }
        Rounds::Working | Rounds::Stopped | Rounds::Elsewhere => {
            problem(StatusCode::ACCEPTED, "the rounds are being worked out", "ask again in some seconds", &[])
        }
        Rounds::None => problem(
            StatusCode::CONFLICT,
            "there is no plan of rounds",
            "look at the notes",
            &opened.figured.notes,
        ),
    }
}

/// The last-load call.
pub async fn balance(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else { return unplanned(&opened) };
    let line = opened.figured.so_far.as_ref().and_then(|far| far.at_the_line(&plan.bays.bays));
    let Some((line, last)) = line.zip(opened.state.log.last()) else {
        let hint = "log a truck and where the line is";
        return problem(
            StatusCode::CONFLICT,
            "nothing is logged that a balance could be figured from",
            hint,
            &[],
        );
    };
    let report = pour::plan::call(job, plan, &line.call());
    let notes: Vec<_> = report.notes.into_iter().map(|note| (note.in_units(job.units), None)).collect();
    match &report.value {
        Some(balance) => json(&balance_json(balance, last.entry.at, wires(&notes))),
        None => problem(StatusCode::CONFLICT, "the balance cannot be figured", "each note says why", &notes),
    }
}

/// The price.
pub async fn price(
    State(app): State<App>,
    Path(id): Path<String>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let ways: Vec<String> =
        asked.into_iter().filter(|(name, _)| name == "option").map(|(_, way)| way).collect();
    match priced(&app, &opened, &ways).await {
        Charged::Done(done) => match &opened.figured.job {
            Some(job) => json(&formats::price_json(job, &done.priced, &done.book, &done.notes)),
            None => unplanned(&opened),
        },
        Charged::Unplanned => unplanned(&opened),
        Charged::NoBook => {
            problem(StatusCode::CONFLICT, "there is no rate book", "write one on the page of the price", &[])
        }
        Charged::BookFaults(notes) => {
            problem(StatusCode::CONFLICT, "the job cannot be priced", "each note says why", &notes)
        }
        Charged::UnclearWay(note) => problem(
            StatusCode::UNPROCESSABLE_ENTITY,
            "a way to build it is not clear",
            "the note says why",
            &[(note, None)],
        ),
    }
}

/// What to buy.
pub async fn takeoff(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let figured = Arc::clone(&opened.figured);
    let taken = tokio::task::spawn_blocking(move || {
        let (job, plan) = figured.whole()?;
        let mut notes: Vec<Note> = figured.notes.iter().map(|(note, _)| note.clone()).collect();
        let taken = pour::takeoff::takeoff(&pour::takeoff::TakeOffInput { job, plan }).unload(&mut notes);
        Some(match taken {
            Some(taken) => Ok(formats::takeoff_json(job, &taken, &notes)),
            None => Err(notes.into_iter().map(|note| (note, None)).collect::<Vec<_>>()),
        })
    });
    match taken.await.ok().flatten() {
        Some(Ok(report)) => json(&report),
        Some(Err(notes)) => {
            problem(StatusCode::CONFLICT, "the floor cannot be taken off", "each note says why", &notes)
        }
        None => unplanned(&opened),
    }
}

/// The papers that there are.
pub async fn papers(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else { return unplanned(&opened) };
    let options = DocumentOptions { languages: vec![Language::English], paper: Paper::of(job.units) };
    // The rounds only fill the papers, they do not make any but the clock, which needs the forecast.
    let all = papers::documents(Planned { job, plan, day: None }, &options);
    json(&to_json(&PaperList { papers: all.into_iter().map(|paper| paper.name.to_owned()).collect() }))
}
