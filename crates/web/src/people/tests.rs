//! Signing in, joining, and what each may see, asked without a socket.

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode, header};
use jiff::SignedDuration;
use store::{PersonId, Role};
use tempfile::TempDir;
use tower::ServiceExt as _;

use super::{IDLE, now, password};
use crate::{App, DiskShelf, Front, Hosts, WallClock, Way, router};

const PASSWORD: &str = "wet slab at noon";

pub struct House {
    pub app: App,
    pub pages: Router,
    pub jobs: Vec<String>,
    _folder: TempDir,
}

pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
}

impl Answer {
    pub fn header(&self, name: header::HeaderName) -> &str {
        self.headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or_default()
    }
    /// What the browser sends back of the cookie.
    fn cookie(&self) -> String {
        self.header(header::SET_COOKIE).split(';').next().unwrap_or_default().to_owned()
    }
}

fn house_asked(way: Way) -> House {
    let folder = tempfile::tempdir().unwrap();
    let shelf = DiskShelf::open(folder.path(), "a test", now()).unwrap();
    shelf.bring_demo(now()).unwrap();
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().unwrap());
    let app = App::over(shelf, clock);
    let jobs = app.shelf.ids().unwrap();
    let hosts = Hosts(vec!["localhost".into()]);
    House { pages: router(app.clone(), Front { hosts, way }), app, jobs, _folder: folder }
}

pub fn house() -> House {
    house_asked(Way::Plain)
}

impl House {
    /// Adds somebody, and gives a cookie with which they are signed in.
    pub fn add(&self, name: &str, role: Role) -> (PersonId, String) {
        let store = self.app.store.as_ref().unwrap();
        let id = store.add_person(name, role, Some(password::NOBODYS), now()).unwrap();
        let secret = store.begin_session(id, IDLE, now()).unwrap();
        (id, format!("flatwright={}", secret.text()))
    }
    /// The same with a password that works.
    fn add_with_password(&self, name: &str, role: Role) -> PersonId {
        let store = self.app.store.as_ref().unwrap();
        store.add_person(name, role, Some(&password::hash(PASSWORD).unwrap()), now()).unwrap()
    }
    pub async fn send(&self, request: Request<Body>) -> Answer {
        let answer = self.pages.clone().oneshot(request).await.unwrap();
        let (status, headers) = (answer.status(), answer.headers().clone());
        let bytes = to_bytes(answer.into_body(), 8_000_000).await.unwrap();
        Answer { status, headers, text: String::from_utf8_lossy(&bytes).into_owned() }
    }
    pub async fn get(&self, path: &str, cookie: &str) -> Answer {
        let request = Request::get(path)
            .header(header::HOST, "localhost")
            .header(header::ACCEPT, "text/html")
            .header(header::COOKIE, cookie);
        self.send(request.body(Body::empty()).unwrap()).await
    }
    pub async fn post(&self, path: &str, cookie: &str, fields: &[(&str, &str)]) -> Answer {
        let body: Vec<String> =
            fields.iter().map(|(name, value)| format!("{name}={}", super::sign_in::coded(value))).collect();
        let request = Request::post(path)
            .header(header::HOST, "localhost")
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::COOKIE, cookie);
        self.send(request.body(Body::from(body.join("&"))).unwrap()).await
    }
    async fn sign_in(&self, name: &str, password: &str) -> Answer {
        self.post("/sign-in", "", &[("name", name), ("password", password)]).await
    }
}

/// The value of a hidden field.
pub fn field(page: &str, name: &str) -> String {
    let at = page.split(&format!("name=\"{name}\" value=\"")).nth(1);
    at.and_then(|rest| rest.split('"').next()).unwrap_or_else(|| panic!("no field {name}")).to_owned()
}

#[tokio::test]
async fn without_people_nobody_signs_in_and_the_first_is_an_owner() {
    let house = house();
    assert_eq!(house.get("/", "").await.status, StatusCode::OK);
    let two = [("name", "Ada"), ("password", PASSWORD), ("again", "another one")];
    assert_eq!(house.post("/people", "", &two).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let first = [("name", "Ada"), ("password", PASSWORD), ("again", PASSWORD)];
    let made = house.post("/people", "", &first).await;
    assert_eq!(made.status, StatusCode::SEE_OTHER);
    let set = made.header(header::SET_COOKIE);
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Lax") && !set.contains("Secure"), "{set}");
    assert!(house.get("/people", &made.cookie()).await.text.contains("Ada"));
    // From now on nobody else is let in, and nobody becomes the first again.
    assert_eq!(house.get("/", "").await.header(header::LOCATION), "/sign-in?to=/");
    let again =
        house.post("/people", "", &[("name", "Eve"), ("password", PASSWORD), ("again", PASSWORD)]).await;
    assert_eq!(again.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_wrong_password_and_an_unknown_name_are_told_alike() {
    let house = house();
    house.add_with_password("Ada", Role::Owner);
    house.add("Ben", Role::Crew);
    let wrong = house.sign_in("Ada", "dry slab at noon").await;
    let unknown = house.sign_in("Eve", "dry slab at noon").await;
    assert_eq!((wrong.status, unknown.status), (StatusCode::UNAUTHORIZED, StatusCode::UNAUTHORIZED));
    let same =
        |text: &str| text.replace("value=\"Ada\"", "").replace("value=\"Eve\"", "").replace("data-now", "");
    let words = "This name and this password do not belong together";
    assert!(wrong.text.contains(words) && unknown.text.contains(words));
    let main = |text: &str| same(text.split("<main").nth(1).unwrap());
    assert_eq!(main(&wrong.text), main(&unknown.text));
    assert!(wrong.cookie().is_empty());
    let right = house.sign_in(" ada ", PASSWORD).await;
    assert_eq!((right.status, right.header(header::LOCATION)), (StatusCode::SEE_OTHER, "/"));
    assert_eq!(house.get("/", &right.cookie()).await.status, StatusCode::OK);
}

#[tokio::test]
async fn who_tries_too_often_waits() {
    let house = house();
    house.add("Ada", Role::Owner);
    for _ in 0..5 {
        // A long password is refused before it is worked through, and counts all the same.
        assert_eq!(house.sign_in("Ada", &"x".repeat(300)).await.status, StatusCode::UNAUTHORIZED);
    }
    let answer = house.sign_in("ADA", PASSWORD).await;
    assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS);
    assert_eq!(answer.header(header::RETRY_AFTER), "1");
    assert!(answer.text.contains("Too many tries: wait 1 s"), "{}", answer.text);
}

#[tokio::test]
async fn over_tls_the_cookie_is_held_to_this_host() {
    let house = house_asked(Way::Tls);
    house.add_with_password("Ada", Role::Owner);
    let set = house.sign_in("Ada", PASSWORD).await;
    let set = set.header(header::SET_COOKIE);
    assert!(
        set.starts_with("__Host-flatwright=") && set.contains("; Secure") && set.contains("Path=/"),
        "{set}"
    );
    assert!(!set.contains("Domain"), "{set}");
}

/// No currency, no rate and no fee in anything that the crew can ask for.
#[tokio::test]
async fn the_crew_sees_no_price_anywhere() {
    let house = house();
    let (_, ada) = house.add("Ada", Role::Owner);
    let (_, ben) = house.add("Ben", Role::Crew);
    let money = ["$", "\u{20ac}", "USD", "EUR"];
    let (mut seen, mut told) = (0, 0);
    for id in &house.jobs {
        for page in ["pour", "finish", "floor", "day", "floor-at?minute=60"] {
            let answer = house.get(&format!("/jobs/{id}/{page}"), &ben).await;
            assert_eq!(answer.status, StatusCode::OK, "{page}");
            for sign in money {
                assert!(!answer.text.contains(sign), "{page} of {id} tells {sign}");
            }
            assert!(
                !answer.text.contains("/price") && !answer.text.contains("/order\""),
                "{page} leads to prices"
            );
            seen += 1;
        }
        for page in
            ["measure", "price", "order", "close", "text", "papers/quote.pdf", "papers/plant-order.pdf"]
        {
            let answer = house.get(&format!("/jobs/{id}/{page}"), &ben).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{page}");
        }
        let front = house.get(&format!("/jobs/{id}"), &ben).await;
        let to = front.header(header::LOCATION).to_owned();
        assert!(to.ends_with("/pour") || to.ends_with("/finish"), "{to}");
        // The owner's pages do tell money, or this test would see nothing.
        let text = house.get(&format!("/jobs/{id}/text"), &ada).await.text;
        told += usize::from(money.iter().any(|sign| text.contains(sign)));
    }
    assert!(told >= 2, "only {told} jobs tell money to their owner");
    assert!(seen >= 20, "only {seen} pages looked at");
    let list = house.get("/", &ben).await.text;
    assert!(
        money.iter().all(|sign| !list.contains(sign)) && !list.contains("/new") && !list.contains("/people")
    );
    for path in ["/people", "/new", "/api/v1/jobs"] {
        assert_eq!(house.get(path, &ben).await.status, StatusCode::FORBIDDEN, "{path}");
    }
    for path in ["/people/invite", "/jobs", &format!("/jobs/{}/shot", house.jobs[0])] {
        assert_eq!(
            house.post(path, &ben, &[("role", "owner")]).await.status,
            StatusCode::FORBIDDEN,
            "{path}"
        );
    }
}

/// The author of an entry is the person, and the crew takes back only what is its own.
#[tokio::test]
async fn the_crew_takes_back_its_own_only() {
    let house = house();
    let (_, ada) = house.add("Ada", Role::Owner);
    let (_, ben) = house.add("Ben", Role::Crew);
    let pour = format!("/jobs/{}/pour", house.jobs[0]);
    let log = format!("/jobs/{}/log", house.jobs[0]);
    for (cookie, words) in [(&ada, "the owner was here"), (&ben, "the crew was here")] {
        let page = house.get(&pour, cookie).await.text;
        let (event, tick) = (field(&page, "event"), field(&page, "tick"));
        let tap = [("event", event.as_str()), ("tick", &tick), ("what", "remark"), ("value", words)];
        assert_eq!(house.post(&log, cookie, &tap).await.status, StatusCode::SEE_OTHER);
    }
    let state = house.app.shelf.job(&house.jobs[0]).unwrap().unwrap();
    let by: Vec<&str> = state.log.iter().map(|logged| logged.by.as_str()).collect();
    assert_eq!(by, ["Ada", "Ben"]);
    let page = house.get(&pour, &ben).await.text;
    assert_eq!(page.matches("take back").count(), 1, "only one's own has the button");
    for (target, status) in [(0, StatusCode::CONFLICT), (1, StatusCode::SEE_OTHER)] {
        let page = house.get(&pour, &ben).await.text;
        let (event, tick) = (field(&page, "event"), field(&page, "tick"));
        let target = state.log[target].event.to_string();
        let form = [("event", event.as_str()), ("tick", &tick), ("target", &target), ("back", "pour")];
        let take_back = format!("/jobs/{}/take-back", house.jobs[0]);
        assert_eq!(house.post(&take_back, &ben, &form).await.status, status);
    }
    let page = house.get(&pour, &ben).await.text;
    assert!(page.contains("the owner was here") && !page.contains("the crew was here"));
}

/// A session that ends in the middle of a pour loses no entry: the form comes back after the sign-in as it was typed.
#[tokio::test]
async fn an_expired_session_loses_no_entry() {
    let house = house();
    house.add_with_password("Ada", Role::Owner);
    let ada = house.sign_in("Ada", PASSWORD).await.cookie();
    let pour = format!("/jobs/{}/pour", house.jobs[0]);
    let page = house.get(&pour, &ada).await.text;
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    let words = "5 gal, \"wet\" & <late>";
    let tap = [("event", event.as_str()), ("tick", &tick), ("what", "remark"), ("value", words)];
    let log = format!("/jobs/{}/log", house.jobs[0]);
    let late = house.post(&log, "flatwright=gone", &tap).await;
    assert_eq!(late.status, StatusCode::UNAUTHORIZED);
    let unescaped = |text: String| {
        text.replace("&amp;", "&").replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">")
    };
    let kept = unescaped(field(&late.text, "kept"));
    let fields = [("name", "Ada"), ("password", PASSWORD), ("to", log.as_str()), ("kept", &kept)];
    let back = house.post("/sign-in", "", &fields).await;
    assert_eq!(back.status, StatusCode::OK);
    assert!(back.text.contains(&format!("action=\"{log}\"")));
    assert_eq!(unescaped(field(&back.text, "value")), words);
    let again: Vec<(String, String)> = ["event", "tick", "what", "value"]
        .map(|name| (name.to_owned(), unescaped(field(&back.text, name))))
        .into();
    let again: Vec<(&str, &str)> =
        again.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(house.post(&log, &back.cookie(), &again).await.status, StatusCode::SEE_OTHER);
    assert_eq!(house.app.shelf.job(&house.jobs[0]).unwrap().unwrap().log.len(), 1);
    // A program without pages is told in words, and keeps what it has.
    let request = Request::post(&log).header(header::HOST, "localhost").body(Body::from("{}")).unwrap();
    let told = house.send(request).await;
    assert_eq!(told.status, StatusCode::UNAUTHORIZED);
    assert!(told.text.contains("Nothing was taken"));
}

#[tokio::test]
async fn an_invitation_makes_one_of_the_crew_once() {
    let house = house();
    let (_, ada) = house.add("Ada", Role::Owner);
    let page = house.post("/people/invite", &ada, &[("role", "crew")]).await.text;
    assert!(page.contains("<svg") && !page.contains("<?xml"));
    let link =
        page.split("readonly value=\"http://localhost").nth(1).unwrap().split('"').next().unwrap().to_owned();
    // Whoever looks at the link ahead of the person uses nothing up.
    for _ in 0..2 {
        assert_eq!(house.get(&link, "").await.status, StatusCode::OK);
    }
    let short = [("name", "Ben"), ("password", "short"), ("again", "short")];
    assert_eq!(house.post(&link, "", &short).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let taken = [("name", "ada"), ("password", PASSWORD), ("again", PASSWORD)];
    let told = house.post(&link, "", &taken).await;
    assert!(
        told.status == StatusCode::UNPROCESSABLE_ENTITY && told.text.contains("already"),
        "{}",
        told.text
    );
    let ben = [("name", "Ben"), ("password", PASSWORD), ("again", PASSWORD)];
    let joined = house.post(&link, "", &ben).await;
    assert_eq!(joined.status, StatusCode::SEE_OTHER);
    assert_eq!(house.get("/people", &joined.cookie()).await.status, StatusCode::FORBIDDEN);
    assert_eq!(house.get("/me", &joined.cookie()).await.status, StatusCode::OK);
    assert_eq!(house.get(&link, "").await.status, StatusCode::GONE);
    let eve = [("name", "Eve"), ("password", PASSWORD), ("again", PASSWORD)];
    assert_eq!(house.post(&link, "", &eve).await.status, StatusCode::GONE);
}

#[tokio::test]
async fn who_is_let_go_is_out_at_once() {
    let house = house();
    let (ada_id, ada) = house.add("Ada", Role::Owner);
    let (ben_id, ben) = house.add("Ben", Role::Crew);
    assert_eq!(house.get("/", &ben).await.status, StatusCode::OK);
    let path = |id: PersonId, what: &str| format!("/people/{}/{what}", id.0);
    assert_eq!(house.post(&path(ben_id, "let-go"), &ada, &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(house.get("/", &ben).await.status, StatusCode::SEE_OTHER);
    let last = house.post(&path(ada_id, "let-go"), &ada, &[]).await;
    assert!(last.status == StatusCode::CONFLICT && last.text.contains("last owner"), "{}", last.text);
    let (cy_id, cy) = house.add("Cy", Role::Crew);
    house.post(&path(cy_id, "end-sessions"), &ada, &[]).await;
    assert_eq!(house.get("/", &cy).await.status, StatusCode::SEE_OTHER);
    house.post(&path(cy_id, "password"), &ada, &[("password", "a new one for Cy")]).await;
    assert_eq!(house.sign_in("Cy", "a new one for Cy").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn ones_own_password_is_changed_with_the_old_one() {
    let house = house();
    house.add_with_password("Ada", Role::Owner);
    let (here, there) =
        (house.sign_in("Ada", PASSWORD).await.cookie(), house.sign_in("Ada", PASSWORD).await.cookie());
    let change = |old| [("old", old), ("password", "three other words"), ("again", "three other words")];
    let wrong = house.post("/me/password", &here, &change("not this")).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    let changed = house.post("/me/password", &here, &change(PASSWORD)).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER);
    assert_eq!(house.get("/", &there).await.status, StatusCode::SEE_OTHER, "the other phone is out");
    assert_eq!(house.get("/", &changed.cookie()).await.status, StatusCode::OK);
    let out = house.post("/sign-out", &changed.cookie(), &[]).await;
    assert!(out.header(header::SET_COOKIE).contains("Max-Age=0"));
    assert_eq!(house.get("/", &changed.cookie()).await.status, StatusCode::SEE_OTHER);
}

/// A session that is used is prolonged, and one that is not ends.
#[tokio::test]
async fn an_idle_session_ends() {
    let house = house();
    let store = house.app.store.as_ref().unwrap();
    let ada = store.add_person("Ada", Role::Owner, Some(password::NOBODYS), now()).unwrap();
    let session = |ago: SignedDuration| store.begin_session(ada, IDLE, now() - ago).unwrap();
    let (old, used) = (session(IDLE), session(IDLE - SignedDuration::from_hours(2)));
    let cookie = |secret: &store::Secret| format!("flatwright={}", secret.text());
    assert_eq!(house.get("/", &cookie(&old)).await.status, StatusCode::SEE_OTHER);
    assert_eq!(house.get("/", &cookie(&used)).await.status, StatusCode::OK);
    let until = store.session(&used, now()).unwrap().unwrap().until;
    assert!(until.duration_since(now()) > IDLE - SignedDuration::from_mins(1), "{until}");
}

/// Names are words wherever they are shown, whatever stands in them.
#[tokio::test]
async fn hostile_names_stay_words() {
    let house = house();
    let (_, ada) = house.add("<script>alert(1)</script>\u{202e}", Role::Owner);
    for path in ["/", "/people", "/me"] {
        let text = house.get(path, &ada).await.text;
        assert!(text.contains("&lt;script&gt;alert(1)") && !text.contains("<script>alert"), "{path}");
    }
    let long = house.sign_in(&"x".repeat(10_000), PASSWORD).await;
    assert_eq!(long.status, StatusCode::UNAUTHORIZED);
    let store = house.app.store.as_ref().unwrap();
    assert!(store.add_person(&"x".repeat(10_000), Role::Crew, None, now()).is_err());
}

/// The stream of changes ends with the session.
#[tokio::test]
async fn a_stream_ends_with_its_session() {
    use tokio_stream::StreamExt as _;
    let house = house();
    let (_, ada) = house.add("Ada", Role::Owner);
    let (ben_id, ben) = house.add("Ben", Role::Crew);
    let request = Request::get("/live").header(header::HOST, "localhost").header(header::COOKIE, &ben);
    let answer = house.pages.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap();
    assert_eq!(answer.status(), StatusCode::OK);
    let mut told = answer.into_body().into_data_stream();
    house.app.tell("a", "log");
    let first = told.next().await.unwrap().unwrap();
    assert!(String::from_utf8_lossy(&first).contains("event: log"));
    house.post(&format!("/people/{}/let-go", ben_id.0), &ada, &[]).await;
    assert!(told.next().await.is_none());
}

/// A full disk is told, what was acknowledged stays, and with room again it goes on.
#[tokio::test]
async fn a_full_disk_is_told_and_loses_nothing_that_was_acknowledged() {
    let house = house();
    let store = house.app.store.clone().unwrap();
    let log = format!("/jobs/{}/log", house.jobs[0]);
    let words = "w".repeat(300);
    let send = async |number: usize| {
        let (event, tick) = (format!("{number:032x}"), number.to_string());
        let tap = [("event", event.as_str()), ("tick", &tick), ("what", "remark"), ("value", &words)];
        house.post(&log, "", &tap).await
    };
    store.let_grow(2).unwrap();
    let mut kept = 0;
    let told = loop {
        let answer = send(kept + 1).await;
        if answer.status != StatusCode::SEE_OTHER {
            break answer;
        }
        kept += 1;
        assert!(kept < 200, "the disk is never full");
    };
    assert_eq!(told.status, StatusCode::CONFLICT);
    assert!(told.text.contains("the disk is full") && told.text.contains("make room"), "{}", told.text);
    let in_log = || house.app.shelf.job(&house.jobs[0]).unwrap().unwrap().log.len();
    assert_eq!(in_log(), kept);
    store.let_grow(1000).unwrap();
    assert_eq!(send(kept + 1).await.status, StatusCode::SEE_OTHER);
    assert_eq!(in_log(), kept + 1);
}
