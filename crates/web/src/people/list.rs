//! The owner's page of the people: who is there, inviting, letting go.

use axum::extract::{Extension, Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;
use store::{Fault, Person, PersonId, Role, Store};

use super::join::{agreed, two_passwords};
use super::sign_in::{in_words, session_header};
use super::visit::Came;
use super::{IDLE, INVITED, aside, now, password};
use crate::app::App;
use crate::{look, say};

/// The page.
pub async fn page(State(app): State<App>) -> Response {
    shown(&app, StatusCode::OK, None)
}

fn shown(app: &App, status: StatusCode, words: Option<&str>) -> Response {
    let Some(store) = &app.store else {
        let body = html! {
            p { "This is the demonstration from memory: nothing is kept, and nobody signs in. Start with " code { "--data DIR" } " to have people." }
        };
        return look::plain_page(app, "People", &body);
    };
    let body = match store.has_people() {
        Ok(false) => nobody_yet(words),
        Ok(true) => match people(store, app, words) {
            Ok(body) => body,
            Err(fault) => return look::trouble(app, &crate::shelf::in_words(&fault)),
        },
        Err(fault) => return look::trouble(app, &crate::shelf::in_words(&fault)),
    };
    (status, look::plain_page(app, "People", &body)).into_response()
}

fn refused(words: Option<&str>) -> Markup {
    html! { @if let Some(words) = words { p.refused role="alert" { (look::capital(words)) "." } } }
}

fn nobody_yet(words: Option<&str>) -> Markup {
    html! {
        (refused(words))
        p { "Nobody signs in yet: whoever sits at this machine sees and changes everything, and no other machine can reach it. "
            "To take the app to the crew's phones, begin with the owner. From then on everybody signs in, here too." }
        form.wide method="post" action="/people" {
            label for="name" { "The owner's name" }
            input #name name="name" required maxlength="80" autocomplete="username" autocapitalize="words";
            (two_passwords("A password"))
            div.row { button.main { "make the owner" } }
        }
    }
}

fn people(store: &Store, app: &App, words: Option<&str>) -> Result<Markup, Fault> {
    let (now, all) = (now(), store.people()?);
    let open = store.open_invitations(now)?;
    let sessions: Vec<usize> =
        all.iter().map(|person| store.sessions_of(person.id, now)).collect::<Result<_, _>>()?;
    Ok(html! {
        (refused(words))
        h2 { "Invite" }
        p { "A link that works once, for a day. Whoever opens it chooses a name and a password." }
        form.row method="post" action="/people/invite" {
            button.main name="role" value="crew" { "invite one of the crew" }
            button name="role" value="owner" { "invite an owner" }
        }
        @if open > 0 {
            form.row method="post" action="/people/take-back-invitations" {
                span { (say::count(open, "invitation")) " not taken up yet " } button.quiet { "take back" }
            }
        }
        h2 { "Who is there" }
        ul.people {
            @for (person, sessions) in all.iter().zip(sessions).filter(|(person, _)| person.gone.is_none()) {
                li { (one(person, sessions, app)) }
            }
        }
        @if all.iter().any(|person| person.gone.is_some()) {
            h2 { "Let go" }
            p { "What they wrote stays. Their names are not given again." }
            ul { @for person in all.iter().filter(|person| person.gone.is_some()) { li { (person.name) } } }
        }
        p.care { "An owner sees and changes everything. The crew sees pour, finish, floor and day line, no price anywhere, logs, and takes back what is its own." }
    })
}

fn one(person: &Person, sessions: usize, app: &App) -> Markup {
    let role = if person.role == Role::Owner { "owner" } else { "crew" };
    let is_me = app.who.number == Some(person.id.0);
    html! {
        p { strong { (person.name) } ", " (role) @if is_me { ", you" }
            @if person.password.is_none() { ", has no password yet" } @else { ", signed in on " (say::count(sessions, "phone or desk")) } }
        @if is_me { p { a.do href="/me" { "your password" } } } @else {
            details {
                summary { "password, phones, let go" span.visually-hidden { " of " (person.name) } }
                form.wide method="post" action={ "/people/" (person.id.0) "/password" } {
                    label for={ "new-" (person.id.0) } { "A new password for " (person.name) }
                    p.care { "8 letters at least. It ends all sessions." }
                    input id={ "new-" (person.id.0) } name="password" type="password" required minlength="8" maxlength="256" autocomplete="new-password";
                    div.row { button { "set it" } }
                }
                form.row method="post" action={ "/people/" (person.id.0) "/end-sessions" } { button { "sign " (person.name) " out everywhere" } }
                form.row method="post" action={ "/people/" (person.id.0) "/let-go" } { button { "let " (person.name) " go" } }
            }
        }
    }
}

/// Name and password of the first owner.
#[derive(Debug, Deserialize)]
pub struct First {
    name: String,
    password: String,
    again: String,
}

/// Makes the first owner, and signs that person in.
pub async fn first(
    State(app): State<App>,
    Extension(came): Extension<Came>,
    Form(typed): Form<First>,
) -> Response {
    let Some(store) = app.store.clone() else { return shown(&app, StatusCode::CONFLICT, None) };
    if let Err(words) = agreed(&typed.password, &typed.again, &typed.name) {
        return shown(&app, StatusCode::UNPROCESSABLE_ENTITY, Some(&words));
    }
    let hash = match hashed(&app, typed.password).await {
        Ok(hash) => hash,
        Err(answer) => return answer,
    };
    let begun = aside(&store, move |store| match store.add_first_owner(&typed.name, &hash, now())? {
        Some(id) => store.begin_session(id, IDLE, now()).map(Some),
        None => Ok(None),
    });
    match begun.await {
        Ok(Some(session)) => {
            app.tell("", "people");
            (session_header(&came, Some(&session)), Redirect::to("/people")).into_response()
        }
        Ok(None) => Redirect::to("/people").into_response(),
        Err(words) => shown(&app, StatusCode::UNPROCESSABLE_ENTITY, Some(&words)),
    }
}

async fn hashed(app: &App, password: String) -> Result<String, Response> {
    match app.door.work(move || password::hash(&password)).await {
        Ok(Ok(hash)) => Ok(hash),
        Ok(Err(words)) => Err(look::trouble(app, &words)),
        Err(shut) => {
            let (status, _, words) = in_words(shut);
            Err(shown(app, status, Some(&words)))
        }
    }
}

/// As what somebody is invited.
#[derive(Debug, Deserialize)]
pub struct Invite {
    role: String,
}

/// Makes an invitation and shows it, this once.
pub async fn invite(
    State(app): State<App>,
    Extension(came): Extension<Came>,
    Form(invite): Form<Invite>,
) -> Response {
    // Where nobody signs in there is nobody to invite others.
    let (Some(store), Some(_)) = (app.store.clone(), app.who.number) else {
        return Redirect::to("/people").into_response();
    };
    let (role, words) = match invite.role.as_str() {
        "owner" => (Role::Owner, "an owner"),
        _ => (Role::Crew, "one of the crew"),
    };
    let invitation = match aside(&store, move |store| store.invite(role, INVITED, now())).await {
        Ok(invitation) => invitation,
        Err(words) => return look::trouble(&app, &words),
    };
    let link = format!("{}/join/{}", came.base(), invitation.secret.text());
    let body = html! {
        p { "For " (words) ". Show it to the phone's camera, or send the link. It works once, until this time tomorrow, and is not shown again." }
        (qr(&link))
        label for="link" { "The link" }
        input #link readonly value=(link);
        @if came.from.to_canonical().is_loopback() && !came.secure {
            p.care { "This address leads to this machine only: a phone reaches it over a cable. For the phones on site start with " code { "--own-authority" } "." }
        }
        p { a.do href="/people" { "people" } }
    };
    look::plain_page(&app, "Invitation", &body)
}

/// An address as a picture for a phone's camera.
pub fn qr(text: &str) -> Markup {
    let code = qrcode::QrCode::new(text);
    let svg =
        code.map(|code| code.render::<qrcode::render::svg::Color<'_>>().min_dimensions(240, 240).build());
    let svg = svg.unwrap_or_default();
    let drawn = svg.find("<svg").map_or("", |at| &svg[at..]);
    html! { div.qr role="img" aria-label="The address as a picture for a camera" { (PreEscaped(drawn)) } }
}

/// Takes all open invitations back.
pub async fn take_back(State(app): State<App>) -> Response {
    done(&app, |store| store.take_back_invitations()).await
}

/// Lets somebody go.
pub async fn let_go(State(app): State<App>, Path(number): Path<i64>) -> Response {
    done(&app, move |store| store.let_go(PersonId(number), now())).await
}

/// Ends all sessions of somebody.
pub async fn end_sessions(State(app): State<App>, Path(number): Path<i64>) -> Response {
    done(&app, move |store| store.end_sessions(PersonId(number))).await
}

/// A new password for somebody.
#[derive(Debug, Deserialize)]
pub struct NewPassword {
    password: String,
}

/// Gives somebody a new password.
pub async fn password(
    State(app): State<App>,
    Path(number): Path<i64>,
    Form(typed): Form<NewPassword>,
) -> Response {
    let Some(store) = &app.store else { return Redirect::to("/people").into_response() };
    let name = match store.person(PersonId(number)) {
        Ok(person) => person.map_or(String::new(), |person| person.name),
        Err(fault) => return look::trouble(&app, &crate::shelf::in_words(&fault)),
    };
    if let Err(words) = password::taken(&typed.password, &name) {
        return shown(&app, StatusCode::UNPROCESSABLE_ENTITY, Some(&words));
    }
    match hashed(&app, typed.password).await {
        Ok(hash) => done(&app, move |store| store.set_password(PersonId(number), Some(&hash))).await,
        Err(answer) => answer,
    }
}

async fn done(app: &App, what: impl FnOnce(&Store) -> Result<(), Fault> + Send + 'static) -> Response {
    let Some(store) = &app.store else { return Redirect::to("/people").into_response() };
    match aside(store, what).await {
        Ok(()) => {
            // Streams look anew whether their session still holds.
            app.tell("", "people");
            Redirect::to("/people").into_response()
        }
        Err(words) => shown(app, StatusCode::CONFLICT, Some(&words)),
    }
}
