//! One's own page: who one is here, the password, signing out.

use axum::extract::{Extension, Form, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use store::PersonId;

use super::join::{agreed, two_passwords};
use super::sign_in::{in_words, session_header};
use super::visit::Came;
use super::{IDLE, aside, now, password};
use crate::app::App;
use crate::look;
use crate::who::Role;

/// The page.
pub async fn page(State(app): State<App>) -> Response {
    look::plain_page(&app, "You", &body(&app, None))
}

fn body(app: &App, words: Option<&str>) -> Markup {
    html! {
        @if let Some(words) = words { p.refused role="alert" { (look::capital(words)) "." } }
        @if app.who.number.is_none() {
            p { "Nobody signs in here: whoever sits at this machine sees and changes everything." }
            @if app.store.is_some() { p { a.do href="/people" { "people" } } }
        } @else {
            p { "You are signed in as " b { (app.who.name) } ", "
                @if app.who.role == Role::Owner { "an owner: you see everything." } @else { "one of the crew: you see the pour and the finishing, and log." } }
            form method="post" action="/sign-out" { button { "sign out" } }
            @if app.who.is_owner() { p { a.do href="/people" { "people" } } }
            h2 { "A new password" }
            p.care { "It ends your sessions on all other phones." }
            form.wide method="post" action="/me/password" {
                label for="old" { "The old password" }
                input #old name="old" type="password" required maxlength="256" autocomplete="current-password";
                (two_passwords("The new one"))
                div.row { button.main { "change it" } }
            }
        }
    }
}

/// What was typed.
#[derive(Debug, Deserialize)]
pub struct Typed {
    old: String,
    password: String,
    again: String,
}

/// Changes one's own password; this browser stays signed in.
pub async fn password(
    State(app): State<App>,
    Extension(came): Extension<Came>,
    Form(typed): Form<Typed>,
) -> Response {
    let refused = |status: StatusCode, words: &str| {
        (status, look::plain_page(&app, "You", &body(&app, Some(words)))).into_response()
    };
    let (Some(store), Some(id)) = (app.store.clone(), app.who.number.map(PersonId)) else {
        return Redirect::to("/me").into_response();
    };
    if let Err(words) = agreed(&typed.password, &typed.again, &app.who.name) {
        return refused(StatusCode::UNPROCESSABLE_ENTITY, &words);
    }
    // Whoever finds a phone lying about tries as often as a stranger.
    if let Err(shut) = app.door.try_now(&app.who.name, came.from, now()) {
        let (status, _, words) = in_words(shut);
        return refused(status, &words);
    }
    let known = match store.person(id) {
        Ok(person) => {
            person.and_then(|person| person.password).unwrap_or_else(|| password::NOBODYS.to_owned())
        }
        Err(fault) => return look::trouble(&app, &crate::shelf::in_words(&fault)),
    };
    let worked =
        app.door.work(move || password::is(&typed.old, &known).then(|| password::hash(&typed.password)));
    let hash = match worked.await {
        Ok(Some(Ok(hash))) => hash,
        Ok(Some(Err(words))) => return look::trouble(&app, &words),
        Ok(None) => return refused(StatusCode::UNPROCESSABLE_ENTITY, "the old password is another one"),
        Err(shut) => {
            let (status, _, words) = in_words(shut);
            return refused(status, &words);
        }
    };
    app.door.went_well(&app.who.name, came.from);
    let changed = aside(&store, move |store| {
        store.set_password(id, Some(&hash))?;
        store.begin_session(id, IDLE, now())
    });
    match changed.await {
        Ok(session) => {
            app.tell("", "people");
            (session_header(&came, Some(&session)), Redirect::to("/me")).into_response()
        }
        Err(words) => look::trouble(&app, &words),
    }
}
