//! The app with the demonstration jobs, served on this machine for one test.

use std::net::SocketAddr;
use std::sync::Arc;

use store::Store;
use tempfile::TempDir;
use tokio::runtime::Runtime;
use web::{App, DiskShelf, MemoryShelf, ServeOptions, Serving, WallClock};

/// A server that ends with its test.
pub struct Server {
    /// Where it answers, with a slash at the end.
    pub url: String,
    /// What it answers from, which outlives a stop.
    pub app: App,
    address: SocketAddr,
    runtime: Option<Runtime>,
    _folder: Option<TempDir>,
}

/// The morning of the boat shed's pour.
fn clock() -> WallClock {
    WallClock::set_to("2026-06-12T10:05:00-05:00".parse().expect("an instant"))
}

/// Serves the demonstration jobs; the clock stands in the morning of the boat shed's pour.
pub fn serve() -> Server {
    Server::of(App::new(Arc::new(MemoryShelf::with_demo()), clock()), None)
}

/// The same in a folder, which has people.
pub fn serve_folder() -> (Server, Arc<Store>) {
    let folder = tempfile::tempdir().expect("a folder");
    let now = WallClock::of_the_machine().now();
    let shelf = DiskShelf::open(folder.path(), "a test", now).expect("the folder opens");
    shelf.bring_demo(now).expect("the folder is written");
    let store = shelf.store();
    (Server::of(App::over(shelf, clock()), Some(folder)), store)
}

impl Server {
    fn of(app: App, folder: Option<TempDir>) -> Self {
        let address = "127.0.0.1:0".parse().expect("an address");
        let mut server = Self { url: String::new(), app, address, runtime: None, _folder: folder };
        server.start();
        server
    }

    /// Starts, or starts again under the same address with the same jobs.
    pub fn start(&mut self) {
        let runtime = Runtime::new().expect("a runtime");
        let serving = Serving::at(ServeOptions::here(self.address)).expect("a free port");
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
