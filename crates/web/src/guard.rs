//! What every request must pass and every answer carries: the right host, no orders from other sites, a strict policy.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Names under which the program may be asked for, without port.
#[derive(Debug, Clone, Default)]
pub struct Hosts(pub Vec<String>);

impl Hosts {
    /// Whether a `Host` header names one of ours: another name that leads here is somebody else's page playing ours.
    #[must_use]
    pub fn holds(&self, host: &str) -> bool {
        let name = match host.rsplit_once(':') {
            Some((name, port)) if port.bytes().all(|b| b.is_ascii_digit()) => name,
            _ => host,
        };
        let name = name.trim_start_matches('[').trim_end_matches(']');
        self.0.iter().any(|ours| ours.eq_ignore_ascii_case(name))
    }
}

/// Everything comes from here; nothing runs or styles from within a page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; connect-src 'self'; \
                      manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const HEADERS: [(HeaderName, &str); 6] = [
    (header::CONTENT_SECURITY_POLICY, POLICY),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "same-origin"),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    (HeaderName::from_static("permissions-policy"), "camera=(), microphone=(), geolocation=(), payment=()"),
];

/// Turns away what must not come in, and sets the headers of what goes out.
pub async fn guard(State(hosts): State<Hosts>, request: Request, next: Next) -> Response {
    let mut response = match refusal(&hosts, request.method(), request.headers()) {
        Some((status, words)) => (status, words).into_response(),
        None => next.run(request).await,
    };
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
    response
}

/// Why a request is turned away, if it is.
fn refusal(hosts: &Hosts, method: &Method, headers: &HeaderMap) -> Option<(StatusCode, &'static str)> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(header::HOST).unwrap_or_default();
    if !hosts.holds(host) {
        return Some((StatusCode::MISDIRECTED_REQUEST, "This program does not answer to that name.\n"));
    }
    if [Method::GET, Method::HEAD, Method::OPTIONS].contains(method) {
        return None;
    }
    // A browser says where a request comes from; programs without either header are no page of another site.
    let from_here = match (text(HeaderName::from_static("sec-fetch-site")), text(header::ORIGIN)) {
        (Some(site), _) => site == "same-origin" || site == "none",
        (None, Some(origin)) => {
            origin.split_once("://").is_some_and(|(_, named)| named.eq_ignore_ascii_case(host))
        }
        (None, None) => true,
    };
    (!from_here).then_some((StatusCode::FORBIDDEN, "Another site sent this: nothing was done.\n"))
}

/// What is shown when a page broke: the fault is ours, nothing of it is told to the browser.
pub fn broke(_: Box<dyn std::any::Any + Send>) -> Response<Body> {
    let words = "This page broke. Nothing that was saved is lost. Go back and try again.\n";
    (StatusCode::INTERNAL_SERVER_ERROR, words).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(method: Method, headers: &[(&'static str, &'static str)]) -> Option<StatusCode> {
        let hosts = Hosts(vec!["127.0.0.1".into(), "localhost".into(), "::1".into()]);
        let mut map = HeaderMap::new();
        for (name, value) in headers {
            map.insert(HeaderName::from_static(name), HeaderValue::from_static(value));
        }
        refusal(&hosts, &method, &map).map(|(status, _)| status)
    }

    #[test]
    fn only_our_names_are_answered() {
        for ours in ["localhost:8631", "127.0.0.1", "LOCALHOST", "[::1]:8631"] {
            assert_eq!(asked(Method::GET, &[("host", ours)]), None, "{ours}");
        }
        for strange in ["floor.example:8631", "", "localhost.floor.example", "127.0.0.1.floor.example"] {
            assert_eq!(
                asked(Method::GET, &[("host", strange)]),
                Some(StatusCode::MISDIRECTED_REQUEST),
                "{strange}"
            );
        }
    }

    #[test]
    fn other_sites_order_nothing() {
        let host = ("host", "localhost:8631");
        let forbidden = Some(StatusCode::FORBIDDEN);
        assert_eq!(asked(Method::POST, &[host, ("sec-fetch-site", "cross-site")]), forbidden);
        assert_eq!(asked(Method::POST, &[host, ("sec-fetch-site", "same-site")]), forbidden);
        assert_eq!(asked(Method::POST, &[host, ("origin", "http://floor.example")]), forbidden);
        assert_eq!(asked(Method::POST, &[host, ("origin", "null")]), forbidden);
        assert_eq!(asked(Method::POST, &[host, ("origin", "http://localhost:9999")]), forbidden);
        assert_eq!(asked(Method::POST, &[host, ("origin", "http://localhost:8631")]), None);
        assert_eq!(asked(Method::POST, &[host, ("sec-fetch-site", "same-origin")]), None);
        assert_eq!(asked(Method::POST, &[host]), None, "a program without a browser");
        assert_eq!(
            asked(Method::GET, &[host, ("sec-fetch-site", "cross-site")]),
            None,
            "a link from elsewhere"
        );
    }
}
