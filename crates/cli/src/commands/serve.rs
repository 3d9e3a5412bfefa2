//! `serve`: the app in the browser.

use std::io::Write;
use std::net::{SocketAddr, TcpListener};
use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;
use web::authority::page::Trust;
use web::authority::{Authority, OwnTls};
use web::tls::{RustlsConfig, TlsFiles};
use web::{App, DiskShelf, Listen, MemoryShelf, ServeOptions, Serving, WallClock};

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
    let is_reached = args.tls_cert.is_some() || args.own_authority || args.behind_proxy;
    if is_reached || !args.listen.ip().is_loopback() {
        needs_an_owner(args, &app)?;
    }
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let runtime = runtime.map_err(|why| failed("start", &why))?;
    runtime.block_on(async {
        let (over, own) = over(args).await?;
        let options = ServeOptions { listen: args.listen, over, names: args.name.clone() };
        let serving =
            Serving::at(options).map_err(|why| failed(&format!("listen at {}", args.listen), &why))?;
        let mut hello = format!("{}\nThe app is at {}\n", serving.picture(), serving.url());
        if let Some(authority) = own {
            hello = trust(args, &serving, authority)? + &hello;
        }
        hello += "Ctrl-C stops it.\n";
        // Whoever started it may have closed the terminal.
        let mut out = std::io::stdout();
        let _ = out.write_all(hello.as_bytes()).and_then(|()| out.flush());
        web::serve(serving, app, told_to_stop()).await.map_err(|why| failed("go on", &why))
    })?;
    Ok("Stopped.\n".to_owned())
}

/// Starts the page that walks phones through trusting the authority, and says where it is.
fn trust(args: &ServeArgs, serving: &Serving, authority: Arc<Authority>) -> Result<String, Failure> {
    let at = SocketAddr::new(args.listen.ip(), args.trust_port);
    let listener = TcpListener::bind(at).map_err(|why| failed(&format!("listen at {at}"), &why))?;
    let at = listener.local_addr().map_err(|why| failed(&format!("listen at {at}"), &why))?;
    let page = format!("http://{}:{}/", serving.reached_at(), at.port());
    let told = format!(
        "{}\nEach phone trusts this machine once: {page}\nThe fingerprint there must be\n{}\nThe authority ends on {}.\n\n",
        web::picture(&page),
        authority.fingerprint(),
        authority.until()
    );
    let shown = Trust { authority, app: serving.url() };
    tokio::spawn(web::authority::page::serve(listener, shown, told_to_stop()));
    Ok(told)
}

fn app(args: &ServeArgs) -> Result<App, Failure> {
    let machine = WallClock::of_the_machine();
    let set = DEMO_STARTS.parse::<Timestamp>().map_or(machine, WallClock::set_to);
    if args.demo && args.data.is_none() {
        return Ok(App::new(Arc::new(MemoryShelf::with_demo()), set));
    }
    let shelf = DiskShelf::open(folder(args), &format!("flatwright serve at {}", args.listen), machine.now());
    let shelf = shelf.map_err(backup::failure)?;
    if args.demo {
        shelf.bring_demo(machine.now()).map_err(backup::failure)?;
    }
    Ok(App::over(shelf, if args.demo { set } else { machine }))
}

fn folder(args: &ServeArgs) -> &Path {
    args.data.as_deref().unwrap_or(Path::new(DATA))
}

/// How requests may come, with the machine's own authority where that vouches for it.
async fn over(args: &ServeArgs) -> Result<(Listen, Option<Arc<Authority>>), Failure> {
    if let (Some(cert), Some(key)) = (args.tls_cert.clone(), args.tls_key.clone()) {
        let files = TlsFiles { cert, key };
        let config = files.read().await.map_err(|why| {
            let text = format!(
                "cannot use the certificate: {why}\n  certificate and key must be PEM, and belong together\n"
            );
            Failure::faults(text)
        })?;
        tokio::spawn(files.follow(config.clone()));
        return Ok((Listen::Tls(config), None));
    }
    if args.own_authority {
        let (tls, config) =
            own(args).await.map_err(|words| Failure { text: format!("{words}\n"), code: 1 })?;
        let authority = Arc::clone(&tls.authority);
        tokio::spawn(tls.follow(config.clone()));
        return Ok((Listen::Tls(config), Some(authority)));
    }
    Ok((if args.behind_proxy { Listen::BehindProxy } else { Listen::Here }, None))
}

async fn own(args: &ServeArgs) -> Result<(OwnTls, RustlsConfig), String> {
    let now = Timestamp::now();
    let authority = Authority::of(folder(args), &args.name, now)?;
    let tls = OwnTls::new(authority, args.name.clone(), now)?;
    let config = tls.config().await.map_err(|why| why.to_string())?;
    Ok((tls, config))
}

/// Whoever can be reached by others needs somebody who signs in.
fn needs_an_owner(args: &ServeArgs, app: &App) -> Result<(), Failure> {
    let Some(store) = &app.store else {
        let text = "the demonstration from memory has no sign-in, and stays on this machine\n  give it a folder with --data DIR, and an owner\n";
        return Err(Failure::faults(text.to_owned()));
    };
    if store.has_owner().map_err(backup::failure)? {
        return Ok(());
    }
    let folder = folder(args).display();
    let text = format!(
        "nobody could sign in: whoever reached the app could read prices and change jobs\n  \
         make an owner first: flatwright people add NAME --role owner --data {folder}\n"
    );
    Err(Failure::faults(text))
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
