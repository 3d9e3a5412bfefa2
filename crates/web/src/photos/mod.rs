//! Photos of the day: taken on the pour page, made ours, kept, shown with the log.

mod multipart;
mod picture;

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::extract::{Path, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use formats::events::Change;
use pour::log::{Entry, What};
use store::PhotoHash;
use tokio::sync::Semaphore;
use tokio_stream::StreamExt as _;

use crate::answer;
use crate::app::App;
use crate::form::{Stamp, words};

/// Largest photo that is taken, bytes: what the store keeps.
const LARGEST: usize = store::LARGEST_PHOTO;
/// What stands around the photo in its form.
const AROUND: usize = 64 * 1024;
/// A far too large upload is read to here and thrown away, so that the browser comes to read what is told about it.
const READ_ON: usize = 300_000_000;
/// An upload that takes longer is broken off.
const PATIENCE: Duration = Duration::from_secs(300);
/// One picture is worked on at a time: unpacked it may take 400 MB.
static DESK: Semaphore = Semaphore::const_new(1);

/// Addresses of photos.
pub fn routes() -> Router<App> {
    Router::new().route("/jobs/{id}/photo", post(take)).route("/jobs/{id}/photos/{hash}", get(show))
}

/// What of an upload was read.
enum Read {
    Whole(Vec<u8>),
    TooLarge,
    Broken,
}

/// Reads an upload as far as it may go into memory.
async fn read(body: Body) -> Read {
    let (mut whole, mut length) = (Vec::new(), 0_usize);
    let mut pieces = body.into_data_stream();
    while let Some(piece) = pieces.next().await {
        let Ok(piece) = piece else { return Read::Broken };
        length += piece.len();
        if length > READ_ON {
            break;
        }
        if length <= LARGEST + AROUND {
            whole.extend_from_slice(&piece);
        } else {
            whole = Vec::new();
        }
    }
    if length > LARGEST + AROUND { Read::TooLarge } else { Read::Whole(whole) }
}

/// Takes a photo: it is kept before its entry is.
async fn take(State(app): State<App>, Path(id): Path<String>, request: Request) -> Response {
    let kind =
        request.headers().get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok()).unwrap_or_default();
    let boundary = multipart::boundary(kind).map(str::to_owned);
    let body = match tokio::time::timeout(PATIENCE, read(request.into_body())).await {
        Ok(Read::Whole(body)) => body,
        Ok(Read::TooLarge) => {
            let words = format!("the photo is over {} MB; 3 MB show a slab well", LARGEST / 1_000_000);
            return (StatusCode::PAYLOAD_TOO_LARGE, answer::refused(&app, &words)).into_response();
        }
        Ok(Read::Broken) | Err(_) => {
            return answer::refused(&app, "the photo did not come whole: send it again");
        }
    };
    let form = boundary.and_then(|boundary| typed(&body, &boundary));
    let Some(form) = form else {
        return answer::refused(&app, "the photo did not come whole: send it again");
    };
    match kept(&app, &id, form).await {
        Ok(()) => Redirect::to(&format!("/jobs/{id}/pour")).into_response(),
        Err(Refused::Words(words)) => answer::refused(&app, &words),
        Err(Refused::Trouble(words)) => answer::trouble(&app, &words),
        Err(Refused::NoJob) => answer::not_found(&app),
    }
}

struct Typed {
    stamp: Stamp,
    words: String,
    photo: Vec<u8>,
}

fn typed(body: &[u8], boundary: &str) -> Option<Typed> {
    let fields = multipart::fields(body, boundary)?;
    let text = |name: &str| {
        let field = fields.iter().find(|field| field.name == name)?;
        String::from_utf8(field.bytes.to_vec()).ok()
    };
    let photo = fields.iter().find(|field| field.name == "photo")?.bytes.to_vec();
    Some(Typed {
        stamp: Stamp::new(text("event")?, text("tick")?),
        words: text("words").unwrap_or_default(),
        photo,
    })
}

enum Refused {
    Words(String),
    Trouble(String),
    NoJob,
}

async fn kept(app: &App, id: &str, form: Typed) -> Result<(), Refused> {
    let Some(store) = app.store.clone() else {
        let told = "the demonstration from memory keeps no photos; start it with --data DIR";
        return Err(Refused::Words(told.to_owned()));
    };
    let stamp = form.stamp.read().map_err(Refused::Words)?;
    let told = if form.words.trim().is_empty() { Ok("photo".to_owned()) } else { words(&form.words) };
    let told = told.map_err(Refused::Words)?;
    if app.shelf.job(id).map_err(|fault| Refused::Trouble(fault.0))?.is_none() {
        return Err(Refused::NoJob);
    }
    if form.photo.is_empty() {
        return Err(Refused::Words("there is no photo in it: take one first".to_owned()));
    }
    let broke =
        || Refused::Trouble("the photo could not be worked on: that is a fault of the program".to_owned());
    let jpeg = {
        let _place = DESK.acquire().await.map_err(|_| broke())?;
        let made = tokio::task::spawn_blocking(move || picture::made_ours(&form.photo)).await;
        made.map_err(|_| broke())?.map_err(Refused::Words)?
    };
    let now = crate::people::now();
    let hash = tokio::task::spawn_blocking(move || store.keep_photo(jpeg.as_slice(), None, now)).await;
    let hash =
        hash.map_err(|_| broke())?.map_err(|fault| Refused::Trouble(crate::shelf::in_words(&fault)))?;
    let what = What::Photo { hash: hash.0, words: told };
    let entry = Change::Log(Entry { at: app.clock.now(), what });
    app.keep(id, stamp, entry).await.map_err(|fault| Refused::Trouble(fault.0))
}

/// Shows a photo that stands in the log of the job.
async fn show(State(app): State<App>, Path((id, name)): Path<(String, String)>) -> Response {
    let state = match app.shelf.job(&id) {
        Ok(Some(state)) => state,
        Ok(None) => return answer::not_found(&app),
        Err(fault) => return answer::trouble(&app, &fault.0),
    };
    // Only what the log names is looked for, so that nothing that is typed becomes a path.
    let hash = state.log.iter().find_map(|logged| match &logged.entry.what {
        What::Photo { hash, .. } if PhotoHash(*hash).text() == name => Some(PhotoHash(*hash)),
        _ => None,
    });
    let (Some(hash), Some(store)) = (hash, app.store.as_ref().map(Arc::clone)) else {
        return answer::not_found(&app);
    };
    match tokio::task::spawn_blocking(move || store.photo(hash)).await {
        Ok(Ok(Some((bytes, kind)))) => {
            let told =
                [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "private, max-age=86400".to_owned())];
            (told, bytes).into_response()
        }
        Ok(Ok(None)) => answer::not_found(&app),
        Ok(Err(fault)) => answer::trouble(&app, &crate::shelf::in_words(&fault)),
        Err(_) => answer::trouble(&app, "The photo could not be read: that is a fault of the program."),
    }
}

#[cfg(test)]
mod tests;
