//! What every request must pass and every answer carries: the right host, no orders from other sites, a strict policy.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};

use axum::body::Body;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use crate::people::visit::Came;

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

/// How requests come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Way {
    /// Over plain HTTP, from this machine.
    #[default]
    Plain,
    /// Over TLS.
    Tls,
    /// Through a proxy that does the TLS and tells how it was asked.
    BehindProxy,
}

/// How the program is asked: over which way, under which names.
#[derive(Debug, Clone, Default)]
pub struct Front {
    /// Names.
    pub hosts: Hosts,
    /// Way.
    pub way: Way,
}

impl From<Hosts> for Front {
    fn from(hosts: Hosts) -> Self {
        Self { hosts, way: Way::Plain }
    }
}

impl Front {
    /// Whether a request may ask for a host. Over TLS a bare address is ours as well: no page of another site has it for a name.
    fn answers_to(&self, host: &str) -> bool {
        self.hosts.holds(host) || self.way == Way::Tls && is_bare_address(host)
    }

    /// Where a request came from, under which name and how safely.
    fn came(&self, request: &Request) -> Came {
        let headers = request.headers();
        let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
        // The newer protocol tells the name in the address.
        let authority = request.uri().authority().map(axum::http::uri::Authority::as_str);
        let host = text("host").or(authority).unwrap_or_default();
        let peer = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|info| info.0.ip());
        let peer = peer.unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST));
        if self.way != Way::BehindProxy {
            return Came { secure: self.way == Way::Tls, from: peer, host: host.to_owned() };
        }
        // A proxy puts what it saw itself at the end.
        let last = |name: &str| text(name).and_then(|all| all.rsplit(',').next()).map(str::trim);
        let from = last("x-forwarded-for").and_then(|from| from.parse().ok()).unwrap_or(peer);
        let host = last("x-forwarded-host").unwrap_or(host).to_owned();
        Came { secure: last("x-forwarded-proto") == Some("https"), from, host }
    }
}

fn is_bare_address(host: &str) -> bool {
    host.parse::<SocketAddr>().is_ok()
        || host.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>().is_ok()
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

/// Turns away what must not come in, notes where the rest came from, and sets the headers of what goes out.
pub async fn guard(State(front): State<Front>, mut request: Request, next: Next) -> Response {
    let came = front.came(&request);
    let mut response = match refusal(&front, &came, request.method(), request.headers()) {
        Some((status, words)) => (status, words).into_response(),
        None => {
            request.extensions_mut().insert(came);
            next.run(request).await
        }
    };
    dress(&mut response);
    response
}

/// Sets the headers of what goes out, and turns nothing away.
pub async fn dressed(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    dress(&mut response);
    response
}

fn dress(response: &mut Response) {
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(HeaderValue::from_static(value));
    }
}

/// Why a request is turned away, if it is.
fn refusal(
    front: &Front,
    came: &Came,
    method: &Method,
    headers: &HeaderMap,
) -> Option<(StatusCode, &'static str)> {
    let text = |name: HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = came.host.as_str();
    if !front.answers_to(host) {
        return Some((StatusCode::MISDIRECTED_REQUEST, "This program does not answer to that name.\n"));
    }
    if front.way == Way::BehindProxy && !came.secure {
        let words = "The proxy must be asked over HTTPS, and must say so: X-Forwarded-Proto: https.\n";
        return Some((StatusCode::FORBIDDEN, words));
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

    fn asked_at(
        front: &Front,
        method: Method,
        headers: &[(&'static str, &'static str)],
    ) -> (Option<StatusCode>, Came) {
        let mut request = Request::builder().method(method.clone()).uri("/");
        for (name, value) in headers {
            request = request.header(*name, *value);
        }
        let request = request.body(Body::empty()).unwrap();
        let came = front.came(&request);
        (refusal(front, &came, &method, request.headers()).map(|(status, _)| status), came)
    }

    fn asked(method: Method, headers: &[(&'static str, &'static str)]) -> Option<StatusCode> {
        let hosts = Hosts(vec!["127.0.0.1".into(), "localhost".into(), "::1".into()]);
        asked_at(&hosts.into(), method, headers).0
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

    /// A bare address is nobody's name, but only TLS is asked for from beyond this machine.
    #[test]
    fn over_tls_bare_addresses_are_ours() {
        let front = Front { hosts: Hosts(vec!["truck.local".into()]), way: Way::Tls };
        for ours in ["192.168.4.20:8631", "192.168.4.20", "[fd00::7]:8631", "[fd00::7]", "truck.local:8631"] {
            assert_eq!(asked_at(&front, Method::GET, &[("host", ours)]).0, None, "{ours}");
        }
        for strange in ["192.168.4.20.floor.example", "floor.example", "", "1.2.3"] {
            assert!(asked_at(&front, Method::GET, &[("host", strange)]).0.is_some(), "{strange}");
        }
        assert!(asked(Method::GET, &[("host", "192.168.4.20:8631")]).is_some());
    }

    /// What a proxy tells is believed behind one only, and there its last word.
    #[test]
    fn a_proxy_tells_how_it_was_asked() {
        let front = Front { hosts: Hosts(vec!["pour.example".into()]), way: Way::BehindProxy };
        let told = [
            ("host", "127.0.0.1:8631"),
            ("x-forwarded-host", "pour.example"),
            ("x-forwarded-proto", "https"),
            ("x-forwarded-for", "6.6.6.6, 203.0.113.9"),
        ];
        let (refused, came) = asked_at(&front, Method::GET, &told);
        assert_eq!((refused, came.secure, came.from.to_string().as_str()), (None, true, "203.0.113.9"));
        assert_eq!(came.base(), "https://pour.example");
        let (refused, _) = asked_at(&front, Method::GET, &[("host", "pour.example")]);
        assert_eq!(refused, Some(StatusCode::FORBIDDEN), "plain HTTP before the proxy");
        let hosts = Hosts(vec!["localhost".into()]);
        let (_, came) = asked_at(
            &hosts.into(),
            Method::GET,
            &[("host", "localhost"), ("x-forwarded-proto", "https"), ("x-forwarded-for", "6.6.6.6")],
        );
        assert!(!came.secure && came.from.is_loopback());
        let origin = ("origin", "https://pour.example");
        assert_eq!(asked_at(&front, Method::POST, &[told[0], told[1], told[2], origin]).0, None);
    }
}
