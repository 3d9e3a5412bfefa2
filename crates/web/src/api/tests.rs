//! Every route of the machine interface, asked without a socket.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Method, Request, StatusCode, header};
use serde_json::{Value, json};
use tower::ServiceExt as _;

use super::openapi;
use super::routes::ROUTES;
use crate::{App, Hosts, MemoryShelf, WallClock, router};

fn app() -> Router {
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().unwrap());
    router(App::new(Arc::new(MemoryShelf::with_demo()), clock), Hosts(vec!["localhost".into()]))
}

async fn sent(app: &Router, method: Method, path: &str, body: Vec<u8>) -> (StatusCode, String, Vec<u8>) {
    let request = Request::builder()
        .method(method)
        .uri(path)
        .header(header::HOST, "localhost")
        .header(header::CONTENT_TYPE, "application/json")
        .body(Body::from(body))
        .unwrap();
    let answer = app.clone().oneshot(request).await.unwrap();
    let kind = answer.headers().get(header::CONTENT_TYPE).map(|kind| kind.to_str().unwrap().to_owned());
    let status = answer.status();
    (status, kind.unwrap_or_default(), to_bytes(answer.into_body(), 50_000_000).await.unwrap().to_vec())
}

async fn got(app: &Router, path: &str) -> (StatusCode, Value) {
    let (status, _, bytes) = sent(app, Method::GET, &format!("/api/v1{path}"), Vec::new()).await;
    (status, serde_json::from_slice(&bytes).unwrap_or(Value::Null))
}

async fn posted(app: &Router, path: &str, body: &Value) -> (StatusCode, Value) {
    let (status, _, bytes) =
        sent(app, Method::POST, &format!("/api/v1{path}"), body.to_string().into_bytes()).await;
    (status, serde_json::from_slice(&bytes).unwrap_or(Value::Null))
}

/// Every route answers every method that the document names with one of its answers, in the kind that it names; others are refused.
#[tokio::test]
async fn every_route_is_in_the_document_and_answers_as_it_says() {
    let app = app();
    let document = openapi();
    assert_eq!(document["paths"].as_object().unwrap().len(), ROUTES.len());
    for (path, operations) in document["paths"].as_object().unwrap() {
        let asked =
            format!("/api/v1{}", path.replace("{job}", "patio").replace("{paper}", "plant-order.pdf"));
        for (method, operation) in operations.as_object().unwrap() {
            let (status, kind, _) =
                sent(&app, method.to_uppercase().parse().unwrap(), &asked, b"{}".to_vec()).await;
            let answers = &operation["responses"][status.as_u16().to_string()];
            assert!(
                answers.is_object(),
                "{method} {path} answers {status}, which the document does not name"
            );
            assert!(answers["content"][&kind].is_object(), "{method} {path} answers {kind}");
        }
        let (status, ..) = sent(&app, Method::DELETE, &asked, Vec::new()).await;
        assert_eq!(status, StatusCode::METHOD_NOT_ALLOWED, "DELETE {path}");
    }
}

/// Every reference of the document leads somewhere, every operation has a name of its own.
#[test]
fn the_document_hangs_together() {
    let document = openapi();
    let mut refs = Vec::new();
    fn collect(value: &Value, refs: &mut Vec<String>) {
        match value {
            Value::Object(fields) => {
                refs.extend(fields.get("$ref").and_then(Value::as_str).map(str::to_owned));
                fields.values().for_each(|value| collect(value, refs));
            }
            Value::Array(items) => items.iter().for_each(|item| collect(item, refs)),
            _ => {}
        }
    }
    collect(&document, &mut refs);
    assert!(refs.len() > 40, "{}", refs.len());
    for at in refs {
        let pointer = at.strip_prefix('#').unwrap_or_else(|| panic!("{at} leads out of the document"));
        assert!(document.pointer(pointer).is_some(), "{at} leads nowhere");
    }
    let names: Vec<&str> =
        ROUTES.iter().flat_map(|route| route.operations.iter().map(|done| done.name)).collect();
    assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), names.len());
}

/// The stored copy of the document is the one that is served.
#[test]
fn the_stored_document_is_up_to_date() {
    let stored = include_str!("../../../../schema/api.openapi.json");
    let now = format!("{:#}\n", openapi());
    assert!(stored == now, "write it anew: flatwright schema api > schema/api.openapi.json");
}

fn new_job(id: &str, text: &str) -> Value {
    json!({ "id": id, "by": "Ada", "text": text })
}

const ID: &str = "0f1e2d3c4b5a69788796a5b4c3d2e1f0";

/// The demos, and jobs made up from them, come back byte by byte and make the same job.
#[tokio::test]
async fn a_job_comes_back_as_its_text() {
    let app = app();
    let demos = [
        include_str!("../../../../demo/boat-shed.toml"),
        include_str!("../../../../demo/patio.toml"),
        include_str!("../../../../demo/lean-to.toml"),
        include_str!("../../../../demo/worked-example.toml"),
    ];
    let mut made = Vec::new();
    for (i, demo) in demos.iter().enumerate() {
        made.push((*demo).to_owned());
        let thick = 3 + i;
        made.push(demo.replace(
            "nominal = \"4 in\"",
            &format!("nominal = \"{thick} 1/2 in\"  # \u{e9} \"quoted\" <b>"),
        ));
        made.push(demo.replace('\n', "\r\n"));
        made.push(format!("\n\n# before\n{demo}\n\n[unknown]\nkey = 'x'\n"));
    }
    for (i, text) in made.iter().enumerate() {
        let id = format!("{:032x}", 0x00ab_cdef_u128 + ((i as u128) << 64));
        for _ in 0..2 {
            let (status, answer) = posted(&app, "/jobs", &new_job(&id, text)).await;
            assert_eq!((status, answer["id"].as_str()), (StatusCode::CREATED, Some(id.as_str())), "{answer}");
        }
        let (status, kind, bytes) =
            sent(&app, Method::GET, &format!("/api/v1/jobs/{id}/job.toml"), Vec::new()).await;
        assert_eq!((status, kind.as_str()), (StatusCode::OK, "application/toml"));
        let back = String::from_utf8(bytes).unwrap();
        let read = |text: &str| formats::read_job(text, "job", &|_| Err(String::new())).report;
        assert_eq!(read(&back).value, read(text).value, "job {i}");
        assert_eq!(got(&app, &format!("/jobs/{id}")).await.1["text"], json!(back));
        let (_, events) = got(&app, &format!("/jobs/{id}/events")).await;
        assert_eq!(events["events"].as_array().unwrap().len(), 1, "sent twice, it is one");
    }
}

/// An event is kept once, is in the list, and changes the plan; of another job, or torn, it is refused with notes.
#[tokio::test]
async fn events_go_in_and_come_out() {
    let app = app();
    let (_, state) = got(&app, "/jobs/patio").await;
    let before = got(&app, "/jobs/patio/plan").await.1["order"]["recommended"]["quantity"]["value"].as_f64();
    let event = json!({
        "id": "5d0c0a3b7e914c22b0f4a1d2c3e4f506", "job": state["job"], "tick": state["tick"].as_u64().unwrap() + 1,
        "made": "2026-06-12T12:40:05Z", "by": "Ada",
        "change": { "set": { "at": "slab.nominal", "was": "\"4 in\"", "to": "\"6 in\"" } }
    });
    for _ in 0..2 {
        let (status, kept) = posted(&app, "/jobs/patio/events", &event).await;
        assert_eq!((status, &kept["event"]), (StatusCode::OK, &event["id"]), "{kept}");
    }
    let (_, listed) = got(&app, &format!("/jobs/patio/events?after={}", state["tick"])).await;
    assert_eq!(listed["events"], json!([event]));
    let after = got(&app, "/jobs/patio/plan").await.1;
    assert!(before.is_some());
    assert!(
        after["notes"].is_array()
            && got(&app, "/jobs/patio").await.1["text"].as_str().unwrap().contains("6 in")
    );
    let mut other = event.clone();
    other["job"] = json!(ID);
    other["id"] = json!("6d0c0a3b7e914c22b0f4a1d2c3e4f506");
    assert_eq!(posted(&app, "/jobs/patio/events", &other).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    let mut clash = event.clone();
    clash["change"] = json!({ "set": { "at": "slab.nominal", "to": "\"7 in\"" } });
    assert_eq!(posted(&app, "/jobs/patio/events", &clash).await.0, StatusCode::CONFLICT);
    let mut torn = event;
    torn["tick"] = json!(u64::MAX);
    torn["made"] = json!("yesterday");
    let (status, told) = posted(&app, "/jobs/patio/events", &torn).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(told["notes"].as_array().unwrap().len(), 2, "{told}");
}

/// The figures are those of the reports.
#[tokio::test]
async fn figures_are_those_of_the_engine() {
    let app = app();
    let text = include_str!("../../../../demo/boat-shed.toml");
    let job = formats::read_job(text, "job", &|_| Err(String::new())).report.value.unwrap();
    let plan = pour::plan::plan(&job, 1).value.unwrap();
    let told = got(&app, "/jobs/boat-shed/plan").await.1;
    // Read back from text like the answer, as numbers are read to the last digit but one.
    let ours: Value = serde_json::from_str(&formats::plan_json(&job, &plan, &[]).to_string()).unwrap();
    assert_eq!((&told["order"], &told["pads"]), (&ours["order"], &ours["pads"]));
    assert_eq!(got(&app, "/jobs/boat-shed/balance").await.0, StatusCode::CONFLICT);
    let price = got(&app, "/jobs/boat-shed/price?option=broom&option=5%20in").await.1;
    assert_eq!(price["options"].as_array().unwrap().len(), 2, "{price}");
    assert_eq!(
        got(&app, "/jobs/boat-shed/price?option=upside%20down").await.0,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    let drawing = sent(&app, Method::GET, "/api/v1/jobs/boat-shed/floor.dxf", Vec::new()).await.2;
    assert_eq!(drawing, formats::carried::floor_dxf(&job, &plan).into_bytes());
}

#[tokio::test]
async fn what_cannot_be_taken_is_told_as_a_problem() {
    let app = app();
    for (path, body) in [
        ("/jobs", json!({})),
        ("/jobs", json!({ "id": "../../etc", "by": "a", "text": "" })),
        ("/jobs", new_job(ID, "not = [toml")),
        ("/jobs", json!({ "id": ID, "by": "\u{7}", "text": "a = 1", "files": { "../../x": "y" } })),
        ("/jobs/patio/events", json!([])),
    ] {
        let (status, told) = posted(&app, path, &body).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{body}");
        assert!(told["message"].is_string() && told["notes"].is_array(), "{told}");
    }
    for path in
        ["/jobs/none", "/jobs/none/plan", "/jobs/none/events", "/somewhere", "/jobs/patio/papers/none.pdf"]
    {
        let (status, told) = got(&app, path).await;
        assert_eq!((status, told["message"].is_string()), (StatusCode::NOT_FOUND, true), "{path}");
    }
}
