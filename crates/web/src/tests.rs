//! Every page of every demonstration job, asked without a socket.

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

async fn asked(app: &Router, path: &str) -> (StatusCode, String, String) {
    let request = Request::get(path).header(header::HOST, "localhost").body(Body::empty()).unwrap();
    let answer = app.clone().oneshot(request).await.unwrap();
    let policy = answer.headers().get(header::CONTENT_SECURITY_POLICY);
    let policy = policy.and_then(|value| value.to_str().ok()).unwrap_or_default().to_owned();
    let status = answer.status();
    let bytes = to_bytes(answer.into_body(), 8_000_000).await.unwrap();
    (status, policy, String::from_utf8_lossy(&bytes).into_owned())
}

#[tokio::test]
async fn every_page_of_every_job_is_there_and_carries_no_script_or_style() {
    let app = app();
    for id in MemoryShelf::with_demo().ids().unwrap() {
        for page in ["measure", "price", "order", "pour", "finish", "close", "floor", "day"] {
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
    for (id, bytes) in [("boat-shed", include_str!("../../../demo/boat-shed.toml"))] {
        let job = formats::read_job(bytes, "job", &|_| Err(String::new())).report.value.unwrap();
        let plan = pour::plan::plan(&job, 1).value.unwrap();
        let text = asked(&app, &format!("/jobs/{id}/order")).await.2;
        let told = crate::say::volume(plan.order.recommended.quantity, job.units);
        assert!(text.contains(&format!("<p class=\"value\">{told}</p>")), "{told}");
    }
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
