//! The page that walks a phone through trusting the authority. It is served over plain HTTP, as nothing is trusted yet, and offers
//! nothing but the certificate, which is no secret.

use std::net::{SocketAddr, TcpListener};
use std::sync::Arc;

use axum::Router;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum_server::Handle;
use maud::{DOCTYPE, Markup, html};

use super::Authority;
use crate::people::qr;
use crate::{assets, guard};

/// What the page shows.
#[derive(Debug, Clone)]
pub struct Trust {
    /// The authority.
    pub authority: Arc<Authority>,
    /// Where the app is, once the phone trusts.
    pub app: String,
}

fn routes(trust: Trust) -> Router {
    Router::new()
        .route("/", get(page))
        .route("/authority.crt", get(certificate))
        .route("/assets/{mark}/{name}", get(assets::asset))
        .fallback(|| async { (StatusCode::NOT_FOUND, "There is nothing here but the first page.\n") })
        .layer(axum::middleware::from_fn(guard::dressed))
        .with_state(trust)
}

/// Answers until it is told to stop.
///
/// # Errors
/// When the listener breaks.
pub async fn serve(
    listener: TcpListener,
    trust: Trust,
    stop: impl Future<Output = ()> + Send + 'static,
) -> std::io::Result<()> {
    let handle = Handle::<SocketAddr>::new();
    let stopping = handle.clone();
    tokio::spawn(async move {
        stop.await;
        stopping.graceful_shutdown(Some(std::time::Duration::from_secs(1)));
    });
    axum_server::from_tcp(listener)?.handle(handle).serve(routes(trust).into_make_service()).await
}

/// The certificate; phones know by its kind that it is to be trusted.
async fn certificate(State(trust): State<Trust>) -> Response {
    let told = [
        (header::CONTENT_TYPE, "application/x-x509-ca-cert"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"flatwright-authority.crt\""),
        (header::CACHE_CONTROL, "no-store"),
    ];
    (told, trust.authority.certificate().to_vec()).into_response()
}

async fn page(State(trust): State<Trust>) -> Response {
    let mark = assets::mark();
    let text = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Trust this laptop - Flatwright" }
                link rel="stylesheet" href={ "/assets/" (mark) "/app.css" };
                link rel="icon" href={ "/assets/" (mark) "/mark.svg" } type="image/svg+xml";
            }
            body {
                header.head { h1 { "Trust this laptop" } }
                main { (body(&trust)) }
            }
        }
    };
    let told = [(header::CONTENT_TYPE, "text/html; charset=utf-8"), (header::CACHE_CONTROL, "no-store")];
    (told, text.into_string()).into_response()
}

fn body(trust: &Trust) -> Markup {
    html! {
        p { "Once on each phone. Then the app opens without a warning, nobody on the way reads along, and the pages on site work without a signal." }
        h2 { "1. Compare" }
        p { "The laptop's own screen shows this fingerprint. If one pair differs, stop: somebody is in between." }
        p.read { b { (trust.authority.fingerprint()) } }
        h2 { "2. Take the certificate" }
        p { a.do href="/authority.crt" { "certificate of the authority" } }
        p.care { (trust.authority.called()) ". It speaks for private addresses and local names only, until " (trust.authority.until()) "." }
        h2 { "3. Tell the phone to trust it" }
        h3 { "iPhone, iPad" }
        ol {
            li { "Open this page in the browser that came with the phone, tap the certificate, and allow the download." }
            li { "Settings, at the top: " b { "Profile Downloaded" } ". Install it, and enter the phone's code." }
            li { "Settings, General, About, at the very bottom: " b { "Certificate Trust Settings" } ". Switch it on for the authority." }
        }
        h3 { "Android" }
        ol {
            li { "Tap the certificate: it is among the downloads." }
            li { "Settings, and search for " b { "CA certificate" } " (it stands under security, then more or advanced, then install from storage)." }
            li { "Install anyway, and choose the file. The phone may ask for a screen lock, and tell from then on that the network may be watched: that is this certificate." }
        }
        p.care { "The words differ from phone to phone. Whoever has the laptop's key could play other machines of your local network to this phone: take the certificate away again, by the same settings, when the laptop is sold." }
        h2 { "4. Open the app" }
        p { a.do href=(trust.app) { (trust.app) } }
        (qr(&trust.app))
    }
}

#[cfg(test)]
mod tests {
    use axum::body::{Body, to_bytes};
    use axum::http::Request;
    use tower::ServiceExt as _;

    use super::*;

    #[tokio::test]
    async fn the_page_offers_the_certificate_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let authority = Arc::new(Authority::of(folder.path(), &[], crate::people::now()).unwrap());
        let trust = Trust { authority: Arc::clone(&authority), app: "https://192.168.4.20:8631/".into() };
        let pages = routes(trust);
        let asked = async |path: &str| {
            let request = Request::get(path).body(Body::empty()).unwrap();
            let answer = pages.clone().oneshot(request).await.unwrap();
            let headers = answer.headers().clone();
            (answer.status(), headers, to_bytes(answer.into_body(), 1_000_000).await.unwrap())
        };
        let (status, headers, bytes) = asked("/authority.crt").await;
        assert_eq!(status, StatusCode::OK);
        assert_eq!(headers[header::CONTENT_TYPE], "application/x-x509-ca-cert");
        assert_eq!(&bytes[..], authority.certificate());
        let (_, headers, bytes) = asked("/").await;
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains(&authority.fingerprint()) && text.contains("https://192.168.4.20:8631/"));
        assert!(!text.contains("<script") && headers.contains_key(header::CONTENT_SECURITY_POLICY));
        for path in ["/jobs", "/sign-in", "/authority.key", "/../authority.key", "/live"] {
            assert_eq!(asked(path).await.0, StatusCode::NOT_FOUND, "{path}");
        }
    }
}
