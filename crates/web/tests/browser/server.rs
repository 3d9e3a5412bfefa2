//! The app with the demonstration jobs, served on this machine for one test.

use std::sync::Arc;

use tokio::runtime::Runtime;
use web::{App, MemoryShelf, ServeOptions, Serving, WallClock};

/// A server that ends with its test.
pub struct Server {
    /// Where it answers, with a slash at the end.
    pub url: String,
    _runtime: Runtime,
}

/// Serves the demonstration jobs; the clock stands in the morning of the boat shed's pour.
pub fn serve() -> Server {
    let runtime = Runtime::new().expect("a runtime");
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().expect("an instant"));
    let app = App::new(Arc::new(MemoryShelf::with_demo()), clock);
    let listen = "127.0.0.1:0".parse().expect("an address");
    let serving = runtime.block_on(Serving::at(ServeOptions { listen })).expect("a free port");
    let url = serving.url();
    runtime.spawn(web::serve(serving, app, std::future::pending()));
    Server { url, _runtime: runtime }
}
