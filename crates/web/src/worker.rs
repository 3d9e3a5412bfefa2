//! The script that answers on the phone when the server cannot.

use axum::http::header;
use axum::response::{IntoResponse, Response};

const SCRIPT: &str = include_str!("../assets/worker.js");

/// What the script may do: ask this server, and run the engine that came from it. No page may run one.
const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";

/// The script: asked for anew at each visit, so that a new build comes to the phone.
pub async fn script() -> Response {
    let headers = [
        (header::CONTENT_TYPE, "text/javascript; charset=utf-8"),
        (header::CACHE_CONTROL, "no-cache"),
        (header::CONTENT_SECURITY_POLICY, POLICY),
    ];
    (headers, SCRIPT).into_response()
}

#[cfg(test)]
mod tests {
    use super::SCRIPT;

    /// What the script keeps for the pages is what they load.
    #[test]
    fn the_worker_keeps_all_built_in_files() {
        for name in crate::assets::names() {
            assert!(SCRIPT.contains(&format!("\"{name}\"")), "{name} is not kept on the phone");
        }
    }
}
