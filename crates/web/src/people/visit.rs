//! Every request gets its visitor: by the session's cookie, or whoever sits at the machine where nobody signs in.

use std::net::IpAddr;

use axum::Router;
use axum::body::to_bytes;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::SignedDuration;
use store::{Secret, Session};
use tower::ServiceExt as _;

use super::{IDLE, LONGEST, aside, now, sign_in};
use crate::app::App;
use crate::look;
use crate::who::{Role, Wants, Who};

/// Where a request came from and how, as the guard has found it.
#[derive(Debug, Clone)]
pub struct Came {
    /// Whether nobody on the way could read it.
    pub secure: bool,
    /// Who sent it.
    pub from: IpAddr,
    /// The name under which it was asked for, with the port.
    pub host: String,
}

impl Came {
    /// The cookie's name. Over TLS the browser itself holds it to this host and to secure ways.
    const fn cookie(&self) -> &'static str {
        if self.secure { "__Host-flatwright" } else { "flatwright" }
    }

    /// The secret that the cookie brings.
    fn secret(&self, headers: &HeaderMap) -> Option<Secret> {
        let all = headers.get_all(header::COOKIE).into_iter().filter_map(|value| value.to_str().ok());
        let mut pairs = all.flat_map(|value| value.split(';')).filter_map(|pair| pair.trim().split_once('='));
        pairs.find(|(name, _)| *name == self.cookie()).and_then(|(_, value)| Secret::read(value))
    }

    /// The header that gives the browser its cookie, or takes it away.
    #[must_use]
    pub fn set_cookie(&self, secret: Option<&Secret>) -> Option<HeaderValue> {
        let (text, age) = secret.map_or((String::new(), 0), |secret| (secret.text(), LONGEST.as_secs()));
        let secure = if self.secure { "; Secure" } else { "" };
        let told = format!("{}={text}; Path=/; HttpOnly; SameSite=Lax; Max-Age={age}{secure}", self.cookie());
        HeaderValue::from_str(&told).ok()
    }

    /// The address of the app as it was asked for.
    #[must_use]
    pub fn base(&self) -> String {
        format!("{}://{}", if self.secure { "https" } else { "http" }, self.host)
    }
}

/// All pages, and what they have at hand but for the visitor.
#[derive(Clone)]
pub struct House {
    /// What every page has at hand.
    pub app: App,
    /// The pages.
    pub pages: Router<App>,
}

/// Finds out who asks, and lets them where they may go.
///
/// Each request gets an [`App`] that knows its visitor, so that no page can forget to ask who looks.
pub async fn let_in(State(house): State<House>, request: Request) -> Response {
    let House { app, pages } = house;
    let came = request.extensions().get::<Came>().cloned();
    let Some(came) = came else { return look::trouble(&app, "The request came by no known way.") };
    let app = match visitor(app.clone(), &came, request.headers()).await {
        Ok(app) => app,
        Err(words) => return look::trouble(&app.seen_by(Who::stranger(), None), &words),
    };
    let looks = [Method::GET, Method::HEAD].contains(request.method());
    let wants = if looks { Wants::Look } else { Wants::Send };
    if !app.who.may_ask(wants, request.uri().path()) {
        return match app.who.role {
            Role::Stranger => ask_to_sign_in(&app, request).await,
            _ => not_for_crew(&app),
        };
    }
    pages.with_state(app).oneshot(request).await.into_response()
}

/// The app with its visitor.
async fn visitor(app: App, came: &Came, headers: &HeaderMap) -> Result<App, String> {
    let Some(store) = app.store.clone() else { return Ok(app.seen_by(Who::here(), None)) };
    let in_words = |fault: store::Fault| crate::shelf::in_words(&fault);
    let secret = came.secret(headers);
    let now = now();
    let session = match &secret {
        Some(secret) => store.session(secret, now).map_err(in_words)?,
        None => None,
    };
    let (Some(secret), Some(Session { person, until })) = (secret, session) else {
        let who = if store.has_people().map_err(in_words)? { Who::stranger() } else { Who::here() };
        return Ok(app.seen_by(who, None));
    };
    // Once an hour is often enough, and spares the disk.
    if until.duration_since(now) < IDLE - SignedDuration::from_hours(1) {
        let used = secret.clone();
        // A session that cannot be prolonged, on a full disk say, still holds.
        let _ = aside(&store, move |store| store.prolong_session(&used, IDLE, LONGEST, now)).await;
    }
    let role = if person.role == store::Role::Owner { Role::Owner } else { Role::Crew };
    let who = Who { name: person.name.into(), role, number: Some(person.id.0) };
    Ok(app.seen_by(who, Some(secret)))
}

/// Largest form that is kept through a sign-in, bytes.
const LARGEST_KEPT: usize = 512 * 1024;

fn text<'a>(headers: &'a HeaderMap, name: &str) -> &'a str {
    headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
}

/// A page leads to the sign-in and back; a form that came too late is kept by the page and comes back after it.
async fn ask_to_sign_in(app: &App, request: Request) -> Response {
    let takes_pages = text(request.headers(), "accept").contains("text/html");
    let is_form = text(request.headers(), "content-type").starts_with("application/x-www-form-urlencoded");
    let path = request.uri().path_and_query().map_or("/", |path| path.as_str()).to_owned();
    if request.method() == Method::GET && takes_pages {
        let to = format!("/sign-in?to={}", sign_in::coded(&path));
        return Redirect::to(&to).into_response();
    }
    if is_form
        && takes_pages
        && let Ok(body) = to_bytes(request.into_body(), LARGEST_KEPT).await
        && let Ok(kept) = String::from_utf8(body.to_vec())
    {
        return sign_in::kept_through(app, &path, &kept);
    }
    (
        StatusCode::UNAUTHORIZED,
        "You are not signed in any more. Nothing was taken: sign in, then send it again.\n",
    )
        .into_response()
}

fn not_for_crew(app: &App) -> Response {
    let body = maud::html! {
        p { "This page is the owner's. You can see the pour, the finishing, the floor and the day line of every job, and log." }
        p { a.do href="/" { "all jobs" } }
    };
    (StatusCode::FORBIDDEN, look::plain_page(app, "Not for the crew", &body)).into_response()
}
