//! The app with the demonstration jobs, served on this machine for one test.

use std::net::SocketAddr;
use std::sync::Arc;

use tokio::runtime::Runtime;
use web::{App, MemoryShelf, ServeOptions, Serving, WallClock};

/// A server that ends with its test.
pub struct Server {
    /// Where it answers, with a slash at the end.
    pub url: String,
    /// What it answers from, which outlives a stop.
    pub app: App,
    address: SocketAddr,
    runtime: Option<Runtime>,
}

/// Serves the demonstration jobs; the clock stands in the morning of the boat shed's pour.
pub fn serve() -> Server {
    let clock = WallClock::set_to("2026-06-12T10:05:00-05:00".parse().expect("an instant"));
    let app = App::new(Arc::new(MemoryShelf::with_demo()), clock);
    let mut server =
        Server { url: String::new(), app, address: "127.0.0.1:0".parse().expect("one"), runtime: None };
    server.start();
    server
}

impl Server {
    /// Starts, or starts again under the same address with the same jobs.
    pub fn start(&mut self) {
        let runtime = Runtime::new().expect("a runtime");
        let serving =
            runtime.block_on(Serving::at(ServeOptions { listen: self.address })).expect("a free port");
        (self.url, self.address) = (serving.url(), serving.address);
        runtime.spawn(web::serve(serving, self.app.clone(), std::future::pending()));
        self.runtime = Some(runtime);
    }

    /// Stops at once, as when its plug is pulled.
    pub fn stop(&mut self) {
        if let Some(runtime) = self.runtime.take() {
            runtime.shutdown_background();
        }
    }
}
