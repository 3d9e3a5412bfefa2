//! The app in the browser: pages of the job, served from one program.
//!
//! Nothing is figured here: a page asks the engine through [`desk`], which works each result once, and shows it. Every request
//! passes the guard, which lets in only what comes from the app's own pages.

pub mod app;
mod assets;
pub mod desk;
mod draw;
mod form;
mod guard;
mod look;
mod pages;
pub mod say;
mod serve;
pub mod shelf;

use axum::Router;
use axum::extract::State;
use axum::middleware;
use axum::routing::get;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::compression::predicate::{NotForContentType, Predicate, SizeAbove};
use tower_http::limit::RequestBodyLimitLayer;

pub use app::{App, WallClock};
pub use guard::Hosts;
pub use serve::{ServeOptions, Serving, serve};
pub use shelf::{DiskShelf, MemoryShelf, Shelf};

/// Largest body of a request, bytes: a job file with its shots is far under it.
const LARGEST_BODY: usize = 4 * 1024 * 1024;

/// All pages behind their guard, answering to the names given.
pub fn router(app: App, hosts: Hosts) -> Router {
    let worth_it = SizeAbove::new(512)
        .and(NotForContentType::SSE)
        .and(NotForContentType::const_new("font/"))
        .and(NotForContentType::const_new("application/pdf"));
    pages::routes()
        .route("/assets/{mark}/{name}", get(assets::asset))
        .fallback(|State(app): State<App>| async move { look::not_found(&app) })
        .layer(CatchPanicLayer::custom(guard::broke))
        .layer(CompressionLayer::new().compress_when(worth_it))
        .layer(RequestBodyLimitLayer::new(LARGEST_BODY))
        .layer(middleware::from_fn_with_state(hosts, guard::guard))
        .with_state(app)
}

#[cfg(test)]
mod tests;
