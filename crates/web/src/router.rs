//! All pages behind their guard.

use axum::Router;
use axum::extract::State;
use axum::middleware;
use axum::routing::get;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{NotForContentType, Predicate, SizeAbove};
use tower_http::limit::RequestBodyLimitLayer;

use crate::app::App;
use crate::guard::{self, Front};
use crate::{answer, api, assets, pages, people, photos, worker};

/// Largest body of a request, bytes: a job file with its shots is far under it.
const LARGEST_BODY: usize = 4 * 1024 * 1024;

/// All pages behind their guard, answering to the names given.
pub fn router(app: App, front: impl Into<Front>) -> Router {
    let worth_it = SizeAbove::new(512)
        .and(NotForContentType::SSE)
        .and(NotForContentType::const_new("font/"))
        .and(NotForContentType::const_new("application/pdf"));
    let pages = pages::routes()
        .merge(api::routes())
        .merge(people::routes())
        .layer(RequestBodyLimitLayer::new(LARGEST_BODY))
        .merge(photos::routes())
        .route("/worker.js", get(worker::script))
        .route("/assets/{mark}/{name}", get(assets::asset))
        .fallback(|State(app): State<App>| async move { answer::not_found(&app) });
    Router::new()
        .fallback(people::visit::let_in)
        .with_state(people::visit::House { app, pages })
        .layer(CatchPanicLayer::custom(guard::broke))
        .layer(CompressionLayer::new().compress_when(worth_it))
        .layer(middleware::from_fn_with_state(front.into(), guard::guard))
}
