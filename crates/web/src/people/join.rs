//! Taking up an invitation: a name, a password, and in.

use axum::extract::{Extension, Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use store::{Role, Secret};

use super::sign_in::{in_words, session_header};
use super::visit::Came;
use super::{IDLE, aside, now, password};
use crate::app::App;
use crate::look;

/// What was typed.
#[derive(Debug, Deserialize)]
pub struct Typed {
    name: String,
    password: String,
    again: String,
}

/// The page. Looking at it does not use the invitation up, as some programs look at every link that is sent.
pub async fn page(State(app): State<App>, Path(secret): Path<String>) -> Response {
    match invited_as(&app, &secret) {
        Ok(Some(role)) => look::plain_page(&app, "Join the crew", &form(role, "", None)),
        Ok(None) => ended(&app),
        Err(words) => look::trouble(&app, &words),
    }
}

fn invited_as(app: &App, secret: &str) -> Result<Option<Role>, String> {
    let (Some(store), Some(secret)) = (&app.store, Secret::read(secret)) else { return Ok(None) };
    store.invited_as(&secret, now()).map_err(|fault| crate::shelf::in_words(&fault))
}

fn form(role: Role, name: &str, words: Option<&str>) -> Markup {
    html! {
        @if let Some(words) = words { p.refused role="alert" { (look::capital(words)) "." } }
        p { @match role {
            Role::Owner => "You are invited as an owner: you will see everything, and can invite others.",
            Role::Crew => "You are invited to the crew: you will see the pour and the finishing of every job, and log what happens.",
        } }
        form.wide method="post" {
            label for="name" { "What the crew calls you" }
            input #name name="name" value=(name) required maxlength="80" autocomplete="username" autocapitalize="words";
            (two_passwords("A password of your own"))
            div.row { button.main { "join" } }
        }
    }
}

/// Two fields for a new password.
pub fn two_passwords(words: &str) -> Markup {
    html! {
        label for="password" { (words) }
        p.care { "8 letters at least. Three words that nobody would guess are easy to keep." }
        input #password name="password" type="password" required minlength="8" maxlength="256" autocomplete="new-password";
        label for="again" { "The same again" }
        input #again name="again" type="password" required minlength="8" maxlength="256" autocomplete="new-password";
    }
}

fn ended(app: &App) -> Response {
    let body = html! {
        p { "This invitation does not work any more: each works once, and for a day. Ask the owner for a new one." }
        p { a.do href="/sign-in" { "sign in" } }
    };
    (StatusCode::GONE, look::plain_page(app, "No invitation", &body)).into_response()
}

/// Whether two typed passwords are one that is taken.
pub fn agreed(password: &str, again: &str, name: &str) -> Result<(), String> {
    if password != again {
        return Err("the two passwords are not the same".to_owned());
    }
    password::taken(password, name)
}

/// Takes the invitation up, and signs in.
pub async fn post(
    State(app): State<App>,
    Extension(came): Extension<Came>,
    Path(secret): Path<String>,
    Form(typed): Form<Typed>,
) -> Response {
    let role = match invited_as(&app, &secret) {
        Ok(Some(role)) => role,
        Ok(None) => return ended(&app),
        Err(words) => return look::trouble(&app, &words),
    };
    let refused = |status: StatusCode, words: &str| {
        (status, look::plain_page(&app, "Join the crew", &form(role, &typed.name, Some(words))))
            .into_response()
    };
    if let Err(words) = agreed(&typed.password, &typed.again, &typed.name) {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, &words);
    }
    let (Some(store), Some(secret)) = (app.store.clone(), Secret::read(&secret)) else { return ended(&app) };
    let told = typed.password.clone();
    let hash = match app.door.work(move || password::hash(&told)).await {
        Ok(Ok(hash)) => hash,
        Ok(Err(words)) => return look::trouble(&app, &words),
        Err(shut) => {
            let (status, _, words) = in_words(shut);
            return refused(status, &words);
        }
    };
    let name = typed.name.clone();
    let joined = aside(&store, move |store| {
        let person = store.take_up(&secret, &name, Some(&hash), now())?;
        store.begin_session(person.id, IDLE, now())
    });
    match joined.await {
        Ok(session) => (session_header(&came, Some(&session)), Redirect::to("/")).into_response(),
        Err(words) => refused(StatusCode::UNPROCESSABLE_ENTITY, &words),
    }
}
