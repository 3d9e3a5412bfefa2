//! `serve`: the app in the browser.

use std::io::Write;
use std::sync::Arc;

use jiff::Timestamp;
use web::{App, MemoryShelf, Serving, WallClock};

use crate::args::ServeArgs;
use crate::error::Failure;

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
    if !args.demo {
        let words = "jobs cannot be kept on disk yet: flatwright serve --demo shows the app with the demonstration jobs\n";
        return Err(Failure { text: words.to_owned(), code: 1 });
    }
    let clock = DEMO_STARTS.parse::<Timestamp>().map_or(WallClock::of_the_machine(), WallClock::set_to);
    Ok(App::new(Arc::new(MemoryShelf::with_demo()), clock))
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
