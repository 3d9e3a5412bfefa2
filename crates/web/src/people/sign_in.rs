//! Signing in and out.

use std::fmt::Write as _;

use axum::extract::{Extension, Form, FromRequest, Query, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

use super::visit::Came;
use super::{IDLE, Shut, aside, now, password};
use crate::app::App;
use crate::look;

/// Where to go after the sign-in.
#[derive(Debug, Default, Deserialize)]
pub struct To {
    #[serde(default)]
    to: String,
}

/// What was typed, and what waits for it.
#[derive(Debug, Default, Deserialize)]
pub struct SignIn {
    name: String,
    password: String,
    /// Page to go to.
    #[serde(default)]
    to: String,
    /// A form that came without a session, as it came.
    #[serde(default)]
    kept: String,
}

/// The page.
pub async fn page(State(app): State<App>, Query(to): Query<To>) -> Response {
    if app.store.is_none() || app.who.number.is_some() {
        return Redirect::to(own_path(&to.to)).into_response();
    }
    let typed = SignIn { to: to.to, ..SignIn::default() };
    look::plain_page(&app, "Sign in", &form(&typed, None))
}

/// The page in place of one whose form came without a session: the form is kept in it.
pub fn kept_through(app: &App, path: &str, kept: &str) -> Response {
    let typed = SignIn { to: path.to_owned(), kept: kept.to_owned(), ..SignIn::default() };
    let words = "Your session has ended. Sign in: what you have just sent comes back, to be sent again";
    (StatusCode::UNAUTHORIZED, look::plain_page(app, "Sign in", &form(&typed, Some(words)))).into_response()
}

fn form(typed: &SignIn, words: Option<&str>) -> Markup {
    html! {
        @if let Some(words) = words { p.refused role="alert" { (words) "." } }
        form.wide method="post" action="/sign-in" {
            input type="hidden" name="to" value=(typed.to);
            @if !typed.kept.is_empty() { input type="hidden" name="kept" value=(typed.kept); }
            label for="name" { "Your name" }
            input #name name="name" value=(typed.name) required maxlength="80" autocomplete="username" autocapitalize="words";
            label for="password" { "Your password" }
            input #password name="password" type="password" required maxlength="256" autocomplete="current-password";
            div.row { button.main { "sign in" } }
        }
        p.care { "Forgotten? The owner can give you a new one, on the page of the people." }
    }
}

/// Looks at name and password, and begins a session.
pub async fn post(
    State(app): State<App>,
    Extension(came): Extension<Came>,
    Form(typed): Form<SignIn>,
) -> Response {
    let Some(store) = app.store.clone() else { return Redirect::to("/").into_response() };
    if let Err(shut) = app.door.try_now(&typed.name, came.from, now()) {
        return again(&app, &typed, shut);
    }
    let person = match store.person_called(&typed.name) {
        Ok(person) => person,
        Err(fault) => return look::trouble(&app, &crate::shelf::in_words(&fault)),
    };
    // An unknown name, or one without a password, takes as long as a wrong password.
    let known = person.and_then(|person| person.password.map(|hash| (person.id, hash)));
    let (id, hash) = known.map_or((None, password::NOBODYS.to_owned()), |(id, hash)| (Some(id), hash));
    let told = typed.password.clone();
    let is_right = match app.door.work(move || password::is(&told, &hash)).await {
        Ok(is_right) => is_right,
        Err(shut) => return again(&app, &typed, shut),
    };
    let Some(id) = id.filter(|_| is_right) else {
        let words = "This name and this password do not belong together";
        let page = look::plain_page(&app, "Sign in", &form(&typed, Some(words)));
        return (StatusCode::UNAUTHORIZED, page).into_response();
    };
    app.door.went_well(&typed.name, came.from);
    match aside(&store, move |store| store.begin_session(id, IDLE, now())).await {
        Ok(secret) => (session_header(&came, Some(&secret)), onward(&app, &typed).await).into_response(),
        Err(words) => look::trouble(&app, &words),
    }
}

/// The header with the cookie.
pub fn session_header(came: &Came, secret: Option<&store::Secret>) -> [(header::HeaderName, String); 1] {
    let told = came.set_cookie(secret);
    let told = told.and_then(|value| value.to_str().map(str::to_owned).ok()).unwrap_or_default();
    [(header::SET_COOKIE, told)]
}

fn again(app: &App, typed: &SignIn, shut: Shut) -> Response {
    let (status, after, words) = in_words(shut);
    let page = look::plain_page(app, "Sign in", &form(typed, Some(&words)));
    (status, [(header::RETRY_AFTER, after.to_string())], page).into_response()
}

/// Status, seconds to wait, and words for why a password was not looked at.
pub fn in_words(shut: Shut) -> (StatusCode, i64, String) {
    match shut {
        Shut::Wait(wait) => {
            let seconds = wait.as_secs() + i64::from(wait.subsec_nanos() > 0);
            let wait =
                if seconds < 90 { format!("{seconds} s") } else { format!("{} min", (seconds + 59) / 60) };
            (StatusCode::TOO_MANY_REQUESTS, seconds, format!("Too many tries: wait {wait}, then try again"))
        }
        Shut::Busy => {
            (StatusCode::SERVICE_UNAVAILABLE, 10, "Many sign in at once: try again in a moment".to_owned())
        }
        Shut::Broke => {
            let words = "That did not work, which is a fault of the program: try again".to_owned();
            (StatusCode::INTERNAL_SERVER_ERROR, 10, words)
        }
    }
}

/// Where to go after signing in: to the page that was asked for, or back to the form that was not taken.
async fn onward(app: &App, typed: &SignIn) -> Response {
    let to = own_path(&typed.to);
    if typed.kept.is_empty() {
        return Redirect::to(to).into_response();
    }
    let Some(fields) = fields(&typed.kept).await else { return Redirect::to("/").into_response() };
    let body = html! {
        p { "You are signed in. This was not taken yet, as your session had ended:" }
        dl.kept {
            @for (name, value) in fields.iter().filter(|(name, value)| !["event", "tick", "saw"].contains(&name.as_str()) && !value.is_empty()) {
                dt { (name) } dd { (shortened(value)) }
            }
        }
        form method="post" action=(to) {
            @for (name, value) in &fields { input type="hidden" name=(name) value=(value); }
            div.row { button.main { "send it now" } a.do href="/" { "leave it" } }
        }
        p.care { "It is logged with the time at which you send it. If that is far off, add a remark." }
    };
    look::plain_page(app, "Send it again", &body)
}

fn shortened(value: &str) -> String {
    let mut shown: String = value.chars().take(400).collect();
    if shown.len() < value.len() {
        shown.push('\u{2026}');
    }
    shown
}

/// The fields of a form as it came.
async fn fields(kept: &str) -> Option<Vec<(String, String)>> {
    let request = Request::post("/")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(axum::body::Body::from(kept.to_owned()))
        .ok()?;
    Form::<Vec<(String, String)>>::from_request(request, &()).await.ok().map(|Form(fields)| fields)
}

/// A path of our own, or the first page: nobody is sent elsewhere by a link to the sign-in.
fn own_path(to: &str) -> &str {
    let is_own = to.starts_with('/')
        && !to.starts_with("//")
        && !to.starts_with("/sign-in")
        && to.bytes().all(|b| b.is_ascii_graphic() && b != b'\\');
    if is_own { to } else { "/" }
}

/// A path as a value in an address.
pub fn coded(path: &str) -> String {
    let mut coded = String::new();
    for b in path.bytes() {
        if b.is_ascii_alphanumeric() || b"/-._".contains(&b) {
            coded.push(char::from(b));
        } else {
            // Writing into a string does not fail.
            let _ = write!(coded, "%{b:02X}");
        }
    }
    coded
}

/// Ends the session of this browser.
pub async fn out(State(app): State<App>, Extension(came): Extension<Came>) -> Response {
    if let (Some(store), Some(secret)) = (app.store.clone(), app.session.clone())
        && let Err(words) = aside(&store, move |store| store.end_session(&secret)).await
    {
        return look::trouble(&app, &words);
    }
    app.tell("", "people");
    (session_header(&came, None), Redirect::to("/sign-in")).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nobody_is_sent_elsewhere() {
        for strange in [
            "",
            "//floor.example",
            "https://floor.example/",
            "/\\floor.example",
            "/a b",
            "/sign-in?to=/",
            "/a\nb",
        ] {
            assert_eq!(own_path(strange), "/", "{strange:?}");
        }
        assert_eq!(own_path("/jobs/a/day?minute=3"), "/jobs/a/day?minute=3");
    }
}
