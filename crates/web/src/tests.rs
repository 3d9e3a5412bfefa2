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

fn entry<'a>(event: &'a str, value: &'a str, made: &'a str, sent: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("event", event),
        ("tick", "9"),
        ("what", "remark"),
        ("value", value),
        ("made", made),
        ("sent", sent),
    ]
}

/// An entry that a phone kept is acknowledged by the name of its event, once however often it is sent.
#[tokio::test]
async fn an_entry_of_a_phone_is_acknowledged_by_name_and_kept_once() {
    let app = app();
    let event = "00112233445566778899aabbccddeeff";
    let at = jiff::Timestamp::from_second(1_781_276_700).unwrap();
    let (made, sent) = (at.as_millisecond() - 1_200_000, at.as_millisecond());
    for sent in [sent, sent + 9_000] {
        let (made, sent) = (made.to_string(), sent.to_string());
        let (status, told) =
            posted(&app, "/jobs/boat-shed/entries/log", &entry(event, "gate is locked", &made, &sent)).await;
        assert_eq!((status, told), (StatusCode::OK, format!("{{\"kept\":\"{event}\"}}")));
    }
    let page = asked(&app, "/jobs/boat-shed/pour").await.2;
    assert_eq!(page.matches("gate is locked").count(), 2, "the entry, and the example in the empty field");
    // 20 minutes before the server's clock, which stands at 10:05; the demonstration's clock is no phone's.
    assert!(page.contains("<b>9:45 am</b> gate is locked") && !page.contains("clocks disagree"), "{page}");
    let back = [
        ("event", "10112233445566778899aabbccddeeff"),
        ("tick", "10"),
        ("target", event),
        ("made", "1000"),
        ("sent", "2000"),
    ];
    assert_eq!(posted(&app, "/jobs/boat-shed/entries/take-back", &back).await.0, StatusCode::OK);
    assert!(!asked(&app, "/jobs/boat-shed/pour").await.2.contains("gate is locked</span>"));
    assert!(asked(&app, "/jobs/boat-shed/pour").await.2.contains("Nothing is logged yet"));
}

#[tokio::test]
async fn an_entry_that_cannot_be_taken_says_why() {
    let app = app();
    let event = "00112233445566778899aabbccddeeff";
    let (status, told) =
        posted(&app, "/jobs/boat-shed/entries/log", &entry(event, " ", "1000", "2000")).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(told.contains("\"refused\":\"write some words\""), "{told}");
    let (status, _) = posted(&app, "/jobs/boat-shed/entries/log", &entry(event, "a", "soon", "2000")).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    let (status, _) = posted(&app, "/jobs/none/entries/log", &entry(event, "a", "1000", "2000")).await;
    assert_eq!(status, StatusCode::NOT_FOUND);
}

/// A phone whose clock is an hour slow: the entry stands where the server's clock has it, and both are told.
#[tokio::test]
async fn clocks_that_disagree_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let now = jiff::Timestamp::now();
    let shelf = crate::DiskShelf::open(folder.path(), "a test", now).unwrap();
    shelf.bring_demo(now).unwrap();
    let id = shelf.ids().unwrap().into_iter().next().unwrap();
    let app = router(App::new(Arc::new(shelf), WallClock::of_the_machine()), Hosts(vec!["localhost".into()]));
    let slow = |minutes: i64| (now.as_millisecond() - minutes * 60_000).to_string();
    let path = format!("/jobs/{id}/entries/log");
    let event = "00112233445566778899aabbccddeeff";
    let (status, _) = posted(&app, &path, &entry(event, "gate is open", &slow(70), &slow(60))).await;
    assert_eq!(status, StatusCode::OK);
    let event = "20112233445566778899aabbccddeeff";
    let (status, _) = posted(&app, &path, &entry(event, "gate is shut", &slow(10), &slow(0))).await;
    assert_eq!(status, StatusCode::OK);
    let page = asked(&app, &format!("/jobs/{id}/pour")).await.2;
    assert_eq!(page.matches("clocks disagree: the phone said").count(), 1);
}

/// What a phone takes along comes to the same job.
#[tokio::test]
async fn the_pack_of_a_job_folds_to_the_job() {
    let app = app();
    let (status, _, text) = asked(&app, "/jobs/bakery-yard/pack").await;
    assert_eq!(status, StatusCode::OK);
    let pack: serde_json::Value = serde_json::from_str(&text).unwrap();
    let events: Vec<_> = pack["events"]
        .as_array()
        .unwrap()
        .iter()
        .map(|event| formats::events::read_event(event.to_string().as_bytes()).value.unwrap())
        .collect();
    assert_eq!(
        &formats::events::fold(&events),
        &*MemoryShelf::with_demo().job("bakery-yard").unwrap().unwrap()
    );
    assert_eq!(asked(&app, "/jobs/none/pack").await.0, StatusCode::NOT_FOUND);
}

/// The worker may run the engine; no page may.
#[tokio::test]
async fn only_the_worker_may_run_an_engine() {
    let app = app();
    let (status, policy, script) = asked(&app, "/worker.js").await;
    assert_eq!(status, StatusCode::OK);
    assert!(policy.contains("wasm-unsafe-eval") && policy.contains("default-src 'none'"), "{policy}");
    assert!(script.contains("addEventListener(\"fetch\""));
}
