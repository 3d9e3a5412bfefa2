//! Every page of every demonstration job, and what is written from them, asked without a socket.

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use tower::ServiceExt as _;

use crate::{App, Hosts, MemoryShelf, Shelf, WallClock, router};

fn app() -> Router {
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().unwrap());
    router(App::new(Arc::new(MemoryShelf::with_demo()), clock), Hosts(vec!["localhost".into()]))
}

async fn sent(app: &Router, request: Request<Body>) -> (StatusCode, String, String) {
    let answer = app.clone().oneshot(request).await.unwrap();
    let policy = answer.headers().get(header::CONTENT_SECURITY_POLICY);
    let policy = policy.and_then(|value| value.to_str().ok()).unwrap_or_default().to_owned();
    let status = answer.status();
    let bytes = to_bytes(answer.into_body(), 8_000_000).await.unwrap();
    (status, policy, String::from_utf8_lossy(&bytes).into_owned())
}

async fn asked(app: &Router, path: &str) -> (StatusCode, String, String) {
    sent(app, Request::get(path).header(header::HOST, "localhost").body(Body::empty()).unwrap()).await
}

/// Sends a form of a page: fields that are not given are taken from the first form that posts to the path.
async fn posted(app: &Router, path: &str, fields: &[(&str, &str)]) -> (StatusCode, String) {
    let coded = |text: &str| -> String {
        text.bytes()
            .map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") })
            .collect()
    };
    let body: Vec<String> = fields.iter().map(|(name, value)| format!("{name}={}", coded(value))).collect();
    let request = Request::post(path)
        .header(header::HOST, "localhost")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(body.join("&")))
        .unwrap();
    let (status, _, text) = sent(app, request).await;
    (status, text)
}

/// The value of a hidden field.
fn field(page: &str, name: &str) -> String {
    let at = page.split(&format!("name=\"{name}\" value=\"")).nth(1);
    at.and_then(|rest| rest.split('"').next()).unwrap_or_else(|| panic!("no field {name}")).to_owned()
}

#[tokio::test]
async fn every_page_of_every_job_is_there_and_carries_no_script_or_style() {
    let app = app();
    for id in MemoryShelf::with_demo().ids().unwrap() {
        for page in ["measure", "price", "order", "pour", "finish", "close", "floor", "day", "text"] {
            let path = format!("/jobs/{id}/{page}");
            let (status, policy, text) = asked(&app, &path).await;
            assert_eq!(status, StatusCode::OK, "{path}");
            assert!(policy.contains("script-src 'self'") && !policy.contains("unsafe"), "{path}: {policy}");
            assert!(!text.contains("<style") && !text.contains(" style="), "{path} has a style of its own");
            assert_eq!(text.matches("<script").count(), 1, "{path}");
            assert!(text.contains("<h1>") && text.contains("aria-label=\"Steps of the job\""), "{path}");
        }
    }
}

#[tokio::test]
async fn what_is_not_there_is_told() {
    let app = app();
    for path in ["/jobs/none/measure", "/jobs/none", "/somewhere", "/jobs/boat-shed/papers/other.pdf"] {
        let (status, policy, text) = asked(&app, path).await;
        assert_eq!(status, StatusCode::NOT_FOUND, "{path}");
        assert!(text.contains("all jobs") && !policy.is_empty(), "{path}");
    }
    assert_eq!(asked(&app, "/assets/x/none.js").await.0, StatusCode::NOT_FOUND);
}

/// The figures are those of the plan, in the job's units.
#[tokio::test]
async fn the_order_is_the_plans() {
    let app = app();
    let text = include_str!("../../../demo/boat-shed.toml");
    let job = formats::read_job(text, "job", &|_| Err(String::new())).report.value.unwrap();
    let plan = pour::plan::plan(&job, 1).value.unwrap();
    let page = asked(&app, "/jobs/boat-shed/order").await.2;
    let told = crate::say::volume(plan.order.recommended.quantity, job.units);
    assert!(page.contains(&format!("<p class=\"value\">{told}</p>")), "{told}");
}

/// Today comes first, then what is to come, then what has no day.
#[tokio::test]
async fn jobs_stand_in_the_order_of_their_days() {
    let text = asked(&app(), "/").await.2;
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no {words}"));
    assert!(at("Boat shed floor") < at("Lean-to floor"));
    assert!(at("Lean-to floor") < at("Bakery yard"));
    assert!(at("Bakery yard") < at("Patio"));
}

/// A tap is in the log once, however often the form is sent, and can be taken back.
#[tokio::test]
async fn a_double_tap_is_one_entry_and_can_be_taken_back() {
    let app = app();
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    let tap =
        [("event", event.as_str()), ("tick", &tick), ("what", "truck"), ("load", "1"), ("value", "arrived")];
    for _ in 0..2 {
        assert_eq!(posted(&app, "/jobs/boat-shed/log", &tap).await.0, StatusCode::SEE_OTHER);
    }
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    assert_eq!(page.matches("load 1 arrived").count(), 1);
    let (other, tick) = (field(&page, "event"), field(&page, "tick"));
    assert_ne!(other, event);
    let back = [("event", other.as_str()), ("tick", &tick), ("target", &event), ("back", "pour")];
    assert_eq!(posted(&app, "/jobs/boat-shed/take-back", &back).await.0, StatusCode::SEE_OTHER);
    assert!(!asked(&app, "/jobs/boat-shed/pour").await.2.contains("load 1 arrived"));
}

/// A shot that is called out is in the survey, and the yards are those with it.
#[tokio::test]
async fn a_shot_changes_the_yards() {
    let app = app();
    let before = asked(&app, "/jobs/patio/measure").await.2;
    let list =
        before.split("id=\"shot-list\"").nth(1).and_then(|s| s.split("option value=\"").nth(1)).unwrap();
    let list = list.split('"').next().unwrap();
    let shot = [
        ("event", field(&before, "event")),
        ("tick", field(&before, "tick")),
        ("list", list.to_owned()),
        ("name", "n7".into()),
        ("right", "7 ft".into()),
        ("up", "6 ft".into()),
        ("reading", "5 ft 1 in".into()),
        ("on", "base".into()),
    ];
    let shot: Vec<(&str, &str)> = shot.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(posted(&app, "/jobs/patio/shot", &shot).await.0, StatusCode::SEE_OTHER);
    let after = asked(&app, "/jobs/patio/measure").await.2;
    let yards = |page: &str| {
        page.split("class=\"value\">").nth(1).and_then(|s| s.split('<').next()).unwrap().to_owned()
    };
    assert_ne!(yards(&before), yards(&after));
    assert!(after.contains("set-up lawn: 7 shots"));
}

/// A boot print moves the windows of the bays that are left.
#[tokio::test]
async fn a_boot_print_moves_the_windows() {
    let app = app();
    let before = asked(&app, "/jobs/boat-shed/finish").await.2;
    let tap = [
        ("event", field(&before, "event")),
        ("tick", field(&before, "tick")),
        ("what", "print".into()),
        ("bay", "1".into()),
        ("value", "1 in".into()),
    ];
    let tap: Vec<(&str, &str)> = tap.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(posted(&app, "/jobs/boat-shed/log", &tap).await.0, StatusCode::SEE_OTHER);
    let after = asked(&app, "/jobs/boat-shed/finish").await.2;
    assert!(
        after.contains("min later than planned"),
        "a print of an inch at 10:05 is softer than the plan has it"
    );
    assert!(!before.contains("than planned"));
}

#[tokio::test]
async fn what_cannot_be_taken_is_told_and_changes_nothing() {
    let app = app();
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    for (what, value) in [("slump", "5 ft"), ("line", "far"), ("nothing", "1"), ("print", "1 in")] {
        let tap = [("event", event.as_str()), ("tick", &tick), ("what", what), ("value", value)];
        let (status, text) = posted(&app, "/jobs/boat-shed/log", &tap).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{what} {value}");
        assert!(text.contains("Nothing was changed"), "{what} {value}");
    }
    let broken = [("event", "x"), ("tick", "0"), ("what", "remark"), ("value", "a")];
    assert_eq!(posted(&app, "/jobs/boat-shed/log", &broken).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(asked(&app, "/jobs/boat-shed/pour").await.2.contains("Nothing is logged yet"));
}

/// Hostile names stay words.
#[tokio::test]
async fn what_is_written_stays_words() {
    let app = app();
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    let hostile = "<script>alert(1)</script>\" onclick=\"x";
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    let tap = [("event", event.as_str()), ("tick", &tick), ("what", "remark"), ("value", hostile)];
    assert_eq!(posted(&app, "/jobs/boat-shed/log", &tap).await.0, StatusCode::SEE_OTHER);
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    assert!(page.contains("&lt;script&gt;alert(1)") && !page.contains("<script>alert"));
}

/// Two who write the whole text at once: the later stands, and both are told.
#[tokio::test]
async fn a_conflict_is_shown() {
    let app = app();
    let page = asked(&app, "/jobs/patio/text").await.2;
    let text = include_str!("../../../demo/patio.toml");
    for thick in ["5 in", "6 in"] {
        let changed = text.replace("nominal = \"4 in\"", &format!("nominal = \"{thick}\""));
        let event = crate::draw::event_id().to_string();
        let (tick, saw) = (field(&page, "tick"), field(&page, "saw"));
        let form = [("event", event.as_str()), ("tick", &tick), ("saw", &saw), ("text", &changed)];
        assert_eq!(posted(&app, "/jobs/patio/text", &form).await.0, StatusCode::SEE_OTHER);
    }
    assert!(asked(&app, "/jobs/patio/measure").await.2.contains("Two wrote at once"));
}

/// A job made of typed legs is there and asks for its first set-up.
#[tokio::test]
async fn a_new_job_is_made_of_its_legs() {
    let app = app();
    let page = asked(&app, "/new").await.2;
    let event = field(&page, "event");
    let form = [
        ("event", event.as_str()),
        ("tick", "1"),
        ("name", "Shop"),
        ("legs", "right 24 ft\r\nup 18 ft\r\nleft 24 ft"),
        ("nominal", "4 in"),
        ("units", "us"),
        ("zone", "America/Chicago"),
        ("truck", ""),
    ];
    assert_eq!(posted(&app, "/jobs", &form).await.0, StatusCode::SEE_OTHER);
    let (status, _, text) = asked(&app, &format!("/jobs/{event}/measure")).await;
    assert_eq!(status, StatusCode::OK);
    assert!(text.contains("Shop") && text.contains("set the laser up anew"), "{text}");
}
