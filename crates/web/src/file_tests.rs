//! Files in and out, the drawn outline, edges, the rate book: asked without a socket.

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use tower::ServiceExt as _;

use crate::{App, Hosts, MemoryShelf, WallClock, router};

const BOWED: &str = include_str!("../../../demo/drawings/patio-bowed.dxf");
const BASE: &str = include_str!("../../../demo/drawings/patio-base.xml");

fn app() -> Router {
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().unwrap());
    router(App::new(Arc::new(MemoryShelf::with_demo()), clock), Hosts(vec!["localhost".into()]))
}

async fn sent(app: &Router, request: Request<Body>) -> (StatusCode, String) {
    let answer = app.clone().oneshot(request).await.unwrap();
    let status = answer.status();
    (status, String::from_utf8_lossy(&to_bytes(answer.into_body(), 50_000_000).await.unwrap()).into_owned())
}

async fn asked(app: &Router, path: &str) -> (StatusCode, String) {
    sent(app, Request::get(path).header(header::HOST, "localhost").body(Body::empty()).unwrap()).await
}

fn coded(text: &str) -> String {
    text.bytes()
        .map(|b| if b.is_ascii_alphanumeric() { char::from(b).to_string() } else { format!("%{b:02X}") })
        .collect()
}

fn pairs(fields: &[(&str, &str)]) -> String {
    fields.iter().map(|(name, value)| format!("{name}={}", coded(value))).collect::<Vec<_>>().join("&")
}

async fn posted(app: &Router, path: &str, fields: &[(&str, &str)]) -> (StatusCode, String) {
    let request = Request::post(path)
        .header(header::HOST, "localhost")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(pairs(fields)))
        .unwrap();
    sent(app, request).await
}

/// Sends a file with what is chosen of it.
async fn brought(app: &Router, job: &str, fields: &[(&str, &str)], file: &[u8]) -> (StatusCode, String) {
    let path = format!("/jobs/{job}/bring?{}", pairs(fields));
    let request =
        Request::post(path).header(header::HOST, "localhost").body(Body::from(file.to_vec())).unwrap();
    sent(app, request).await
}

fn field(page: &str, name: &str) -> String {
    let at = page.split(&format!("name=\"{name}\" value=\"")).nth(1);
    at.and_then(|rest| rest.split('"').next()).unwrap_or_else(|| panic!("no field {name}")).to_owned()
}

async fn text_of(app: &Router, job: &str) -> String {
    asked(app, &format!("/jobs/{job}/files/job.toml")).await.1
}

/// What a drawing holds is told, nothing is taken unasked, and what is taken stands in the job once.
#[tokio::test]
async fn a_drawing_is_looked_at_and_then_taken() {
    let app = app();
    let before = text_of(&app, "patio").await;
    let page = asked(&app, "/jobs/patio/files").await.1;
    let stamp =
        [("event", field(&page, "event")), ("tick", field(&page, "tick")), ("saw", field(&page, "saw"))];
    let with = |more: &[(&'static str, &'static str)]| {
        let stamp = stamp.iter().map(|(name, value)| (*name, value.clone()));
        stamp.chain(more.iter().map(|(name, value)| (*name, (*value).to_owned()))).collect::<Vec<_>>()
    };
    let send = async |fields: Vec<(&'static str, String)>, file: &str| {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        brought(&app, "patio", &fields, file.as_bytes()).await
    };
    let (status, told) = send(with(&[("name", "bowed.dxf")]), BOWED).await;
    assert_eq!(status, StatusCode::OK);
    assert!(
        told.contains("SLAB") && told.contains("HOUSE") && told.contains("Nothing is chosen yet"),
        "{told}"
    );
    let chosen = [("name", "bowed.dxf"), ("outline", "SLAB"), ("unit", "ft")];
    let (_, told) = send(with(&chosen), BOWED).await;
    assert!(
        told.contains("4 corners") && told.contains("1 opening") && told.contains("take the outline"),
        "{told}"
    );
    assert_eq!(text_of(&app, "patio").await, before, "looking changes nothing");
    let take = [("name", "bowed.dxf"), ("outline", "SLAB"), ("unit", "ft"), ("take", "yes")];
    for _ in 0..2 {
        let (status, told) = send(with(&take), BOWED).await;
        assert_eq!(status, StatusCode::OK, "{told}");
        assert!(told.contains("data-go=\"/jobs/patio/measure\""), "{told}");
    }
    let after = text_of(&app, "patio").await;
    assert!(after.contains("arc = \"out 27.") && after.matches("[[opening]]").count() == 1, "{after}");
    assert!(asked(&app, "/jobs/patio/measure").await.1.contains("in the forms"));
}

#[tokio::test]
async fn shots_and_weather_are_taken() {
    let app = app();
    let page = asked(&app, "/jobs/patio/files").await.1;
    let event = field(&page, "event");
    let stamp = [("event", event.as_str()), ("tick", "40"), ("take", "yes")];
    let survey: Vec<_> = stamp.iter().copied().chain([("name", "patio-base.xml")]).collect();
    assert_eq!(brought(&app, "patio", &survey, BASE.as_bytes()).await.0, StatusCode::OK);
    assert!(asked(&app, "/jobs/patio/measure").await.1.contains("set-up patio-base: 7 shots"));
    let table = b"setup,name,x,y,reading,on\nlawn,t1,3 ft,3 ft,4 ft 11 in,base\n";
    let page = asked(&app, "/jobs/patio/files").await.1;
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    let named = [("event", event.as_str()), ("tick", &tick), ("name", "more.csv")];
    assert!(brought(&app, "patio", &named, table).await.1.contains("14 shots"));
    let take: Vec<_> = named.iter().copied().chain([("take", "yes")]).collect();
    assert_eq!(brought(&app, "patio", &take, table).await.0, StatusCode::OK);
    assert!(text_of(&app, "patio").await.contains("shots_file = \"more.csv\""));
    assert!(asked(&app, "/jobs/patio/measure").await.1.contains("set-up lawn: 7 shots"));
    let weather = include_bytes!("../../../demo/bakery-yard-weather.csv");
    let page = asked(&app, "/jobs/boat-shed/files").await.1;
    let (event, tick) = (field(&page, "event"), field(&page, "tick"));
    let named = [("event", event.as_str()), ("tick", &tick), ("name", "hours.csv")];
    let (status, told) = brought(&app, "boat-shed", &named, weather).await;
    assert!(status == StatusCode::OK && told.contains("local time of the site"), "{told}");
    let take: Vec<_> = named.iter().copied().chain([("take", "yes")]).collect();
    assert_eq!(brought(&app, "boat-shed", &take, weather).await.0, StatusCode::OK);
    assert!(text_of(&app, "boat-shed").await.contains("file = \"hours.csv\""));
}

/// Hostile files are told in words, and change nothing.
#[tokio::test]
async fn hostile_files_are_refused_in_words() {
    let app = app();
    let before = text_of(&app, "patio").await;
    let deep = format!("<LandXML>{}", "<a>".repeat(100_000));
    let entities = "<!DOCTYPE x [<!ENTITY a \"aaaa\">]><LandXML>&a;</LandXML>";
    let nan = BOWED.replace("10.5", "NaN");
    let cases: [(&str, &[u8]); 7] = [
        ("empty", b""),
        ("noise", &[0, 159, 146, 150]),
        ("deep", deep.as_bytes()),
        ("entities", entities.as_bytes()),
        ("nan", nan.as_bytes()),
        ("words", b"just some words"),
        ("cut", &BOWED.as_bytes()[..BOWED.len() / 2]),
    ];
    for (what, bytes) in cases {
        let (status, told) = brought(&app, "patio", &[("name", what), ("take", "yes")], bytes).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{what}: {told}");
        assert!(!told.trim().is_empty(), "{what}");
    }
    let large = vec![b' '; 5 * 1024 * 1024];
    assert_eq!(brought(&app, "patio", &[("name", "large")], &large).await.0, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(text_of(&app, "patio").await, before);
}

/// A name that would leave its folder is a name and no way.
#[tokio::test]
async fn a_name_of_a_file_is_never_a_way() {
    let app = app();
    let table = b"setup,name,x,y,reading,on\nlawn,t1,3 ft,3 ft,4 ft 11 in,base\n";
    for (name, kept) in [
        ("../../etc/passwd", "passwd"),
        ("C:\\x\\..\\shots.csv", "shots.csv"),
        ("..", "file"),
        (".hidden\n", "hidden"),
    ] {
        let page = asked(&app, "/jobs/patio/files").await.1;
        let (event, tick) = (field(&page, "event"), field(&page, "tick"));
        let fields = [("name", name), ("take", "yes"), ("event", event.as_str()), ("tick", &tick)];
        let (status, told) = brought(&app, "patio", &fields, table).await;
        assert_eq!(status, StatusCode::OK, "{name}: {told}");
        assert!(text_of(&app, "patio").await.contains(&format!("shots_file = \"{kept}\"")), "{name}");
    }
    let hostile = "<script>alert(1)</script>.csv";
    let told = brought(&app, "patio", &[("name", hostile)], table).await.1;
    assert!(!told.contains("<script>"), "{told}");
    for path in ["/jobs/patio/files/..%2Fjob.toml", "/jobs/patio/files/other.txt"] {
        assert_eq!(asked(&app, path).await.0, StatusCode::NOT_FOUND, "{path}");
    }
}

/// What is carried away is there, and brought back it is the same floor.
#[tokio::test]
async fn what_is_carried_away_can_be_brought_back() {
    let app = app();
    for name in ["job.toml", "shots.csv", "floor.dxf", "floor.xml"] {
        let (status, text) = asked(&app, &format!("/jobs/boat-shed/files/{name}")).await;
        assert!(status == StatusCode::OK && text.len() > 500, "{name}");
    }
    let drawing = asked(&app, "/jobs/boat-shed/files/floor.dxf").await.1;
    let (status, told) =
        brought(&app, "boat-shed", &[("name", "floor.dxf"), ("outline", "OUTLINE")], drawing.as_bytes())
            .await;
    assert!(status == StatusCode::OK && told.contains("8 corners"), "{told}");
}

/// A drawn outline takes the place of the corners; faults are all told, and nothing is changed by them.
#[tokio::test]
async fn an_outline_is_drawn() {
    let app = app();
    let page = asked(&app, "/jobs/patio/outline").await.1;
    let (event, tick, saw) = (field(&page, "event"), field(&page, "tick"), field(&page, "saw"));
    let stamp = [("event", event.as_str()), ("tick", &tick), ("saw", &saw)];
    let bad: Vec<_> = stamp.iter().copied().chain([("corners", "A: 1 ft\nB 2")]).collect();
    let (status, told) = posted(&app, "/jobs/patio/outline", &bad).await;
    assert!(
        status == StatusCode::UNPROCESSABLE_ENTITY && told.contains("Line 1") && told.contains("line 2"),
        "{told}"
    );
    let corners = "left front: 0 ft, 0 ft\r\nright front: 16 ft, 0 ft\r\nright back: 16 ft, 12 ft\r\nleft back: 0 ft, 12 ft";
    let good: Vec<_> = stamp.iter().copied().chain([("corners", corners)]).collect();
    assert_eq!(posted(&app, "/jobs/patio/outline", &good).await.0, StatusCode::SEE_OTHER);
    assert!(text_of(&app, "patio").await.contains("at = [\"16 ft\", \"12 ft\"]"));
    let page = asked(&app, "/jobs/patio/outline").await.1;
    assert!(page.contains("right back: 16 ft, 12 ft") && page.contains("aria-pressed=\"true\""));
}

/// One tap makes an edge a wall, one a form again; a second tap on the same changes nothing.
#[tokio::test]
async fn an_edge_is_tapped() {
    let app = app();
    let tap = async |edge: &str, kind: &str| {
        let page = asked(&app, "/jobs/patio/outline").await.1;
        let (event, tick) = (field(&page, "event"), field(&page, "tick"));
        posted(
            &app,
            "/jobs/patio/edge",
            &[("event", &event), ("tick", &tick), ("edge", edge), ("kind", kind)],
        )
        .await
        .0
    };
    let kinds = async || {
        let text = text_of(&app, "patio").await;
        let job = formats::read_job(&text, "job", &|_| Err(String::new())).report.value.unwrap();
        job.outline.edges.iter().map(|edge| edge.kind).collect::<Vec<_>>()
    };
    use ground::outline::EdgeKind::{ExistingSlab, Free, Wall};
    assert_eq!(kinds().await, [Free, Free, Wall, Free]);
    for (edge, kind, now) in [
        ("0", "wall", [Wall, Free, Wall, Free]),
        ("0", "wall", [Wall, Free, Wall, Free]),
        ("2", "form", [Wall, Free, Free, Free]),
        ("2", "existing slab", [Wall, Free, ExistingSlab, Free]),
    ] {
        assert_eq!(tap(edge, kind).await, StatusCode::SEE_OTHER, "{edge} {kind}");
        assert_eq!(kinds().await, now, "{edge} {kind}");
    }
    assert_eq!(tap("9", "wall").await, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(tap("1", "hedge").await, StatusCode::UNPROCESSABLE_ENTITY);
}

/// A rate book with a fault is not kept and keeps what was typed; one that somebody else changed is not written over.
#[tokio::test]
async fn the_rate_book_is_changed() {
    let app = app();
    let page = asked(&app, "/jobs/boat-shed/rates").await.1;
    let saw = field(&page, "saw");
    let book = include_str!("../../../demo/rates/dollar.toml");
    let bad = book.replace("rate_book = 1", "rate_book = 1\nwhat = \"<b>\"");
    let (status, told) = posted(&app, "/jobs/boat-shed/rates", &[("saw", &saw), ("text", &bad)]).await;
    assert!(status == StatusCode::OK && told.contains("Not kept yet") && told.contains("line "), "{told}");
    assert!(
        told.contains("what = &quot;&lt;b&gt;&quot;") || told.contains("&lt;b&gt;"),
        "what was typed stays"
    );
    let wage =
        book.lines().find(|line| line.starts_with("wage")).unwrap_or_else(|| panic!("no wage in\n{book}"));
    let blank = book.replace(wage, "wage = \"\"");
    assert_eq!(
        posted(&app, "/jobs/boat-shed/rates", &[("saw", &saw), ("text", &blank)]).await.0,
        StatusCode::SEE_OTHER
    );
    assert_eq!(
        posted(&app, "/jobs/boat-shed/rates", &[("saw", &saw), ("text", book)]).await.0,
        StatusCode::CONFLICT
    );
    let page = asked(&app, "/jobs/boat-shed/price").await.1;
    assert!(page.contains("Missing"), "{page}");
    let (saw, place) = (field(&page, "saw"), field(&page, "place"));
    let one =
        |value: &'static str| [("saw", saw.clone()), ("place", place.clone()), ("value", value.to_owned())];
    let send = async |fields: [(&'static str, String); 3]| {
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        posted(&app, "/jobs/boat-shed/rate", &fields).await.0
    };
    assert_eq!(send(one("31 apples")).await, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(send(one("31 USD/h")).await, StatusCode::SEE_OTHER);
    assert!(!asked(&app, "/jobs/boat-shed/price").await.1.contains("Missing"));
}

/// Other ways stand beside the job as it is, and go into the quote.
#[tokio::test]
async fn other_ways_are_set_beside() {
    let app = app();
    let page = asked(&app, "/jobs/boat-shed/price?option=broom&option=5%20in").await.1;
    assert!(
        page.contains("Side by side")
            && page.contains("as it stands")
            && page.contains("quote.pdf?option=broom&amp;option=5%20in"),
        "{page}"
    );
    assert!(asked(&app, "/jobs/boat-shed/price?option=upside").await.1.contains("refused"));
    let (status, pdf) = asked(&app, "/jobs/boat-shed/papers/quote.pdf?option=broom").await;
    assert!(status == StatusCode::OK && pdf.starts_with("%PDF"), "{status}");
}
