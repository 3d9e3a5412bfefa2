//! `serve`: the app in the browser.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use web::{App, DiskShelf, MemoryShelf, Serving, WallClock};

use super::backup;
use crate::args::ServeArgs;
use crate::error::Failure;

/// The folder of jobs, unless another is named.
const DATA: &str = "jobs";
/// The clock of the demonstration: in the middle of the boat shed's day.
const DEMO_STARTS: &str = "2026-06-12T10:05:00-05:00";

/// Serves until it is told to stop.
pub fn run(args: &ServeArgs) -> Result<String, Failure> {
    let app = app(args)?;
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let runtime = runtime.map_err(|why| failed("start", &why))?;
    runtime.block_on(async {
        let serving = Serving::at(web::ServeOptions { listen: args.listen }).await;
        let serving = serving.map_err(|why| failed(&format!("listen at {}", args.listen), &why))?;
        let hello = format!("{}\nThe app is at {}\nCtrl-C stops it.\n", serving.picture(), serving.url());
        // Whoever started it may have closed the terminal.
        let mut out = std::io::stdout();
        let _ = out.write_all(hello.as_bytes()).and_then(|()| out.flush());
        web::serve(serving, app, told_to_stop()).await.map_err(|why| failed("go on", &why))
    })?;
    Ok("Stopped.\n".to_owned())
}

fn app(args: &ServeArgs) -> Result<App, Failure> {
    let machine = WallClock::of_the_machine();
    let set = DEMO_STARTS.parse::<Timestamp>().map_or(machine, WallClock::set_to);
    if args.demo && args.data.is_none() {
        return Ok(App::new(Arc::new(MemoryShelf::with_demo()), set));
    }
    let folder = args.data.as_deref().unwrap_or(Path::new(DATA));
    let shelf = DiskShelf::open(folder, &format!("flatwright serve at {}", args.listen), machine.now());
    let shelf = shelf.map_err(backup::failure)?;
    if args.demo {
        shelf.bring_demo(machine.now()).map_err(backup::failure)?;
    }
    Ok(App::new(Arc::new(shelf), if args.demo { set } else { machine }))
}

fn failed(what: &str, why: &std::io::Error) -> Failure {
    Failure { text: format!("cannot {what}: {why}\n"), code: 1 }
}

/// Ctrl-C, or the signal by which a machine stops its programs.
async fn told_to_stop() {
    let ctrl_c = async {
        // Without the signal there is nothing to wait for.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    {
        let mut term = match tokio::signal::unix::signal(tokio::signal::unix::SignalKind::terminate()) {
            Ok(term) => term,
            Err(_) => return ctrl_c.await,
        };
        tokio::select! { () = ctrl_c => (), _ = term.recv() => () }
    }
    #[cfg(not(unix))]
    ctrl_c.await;
}
