//! Starts and stops the program that answers.

use std::io;
use std::net::{IpAddr, SocketAddr};
use std::time::Duration;

use qrcode::QrCode;
use qrcode::render::unicode;
use tokio::net::TcpListener;

use crate::app::App;
use crate::guard::Hosts;

/// Answers that are still under way when the program is told to stop get so long.
const LAST_ANSWERS: Duration = Duration::from_secs(3);

/// How to serve.
#[derive(Debug, Clone, Copy)]
pub struct ServeOptions {
    /// Where to listen; port 0 takes any that is free.
    pub listen: SocketAddr,
}

/// A program that listens, before it answers.
#[derive(Debug)]
pub struct Serving {
    /// Where it listens.
    pub address: SocketAddr,
    listener: TcpListener,
}

impl Serving {
    /// Starts to listen.
    ///
    /// # Errors
    /// Beyond this machine, as there are no sign-ins yet; and when the address cannot be had.
    pub async fn at(options: ServeOptions) -> io::Result<Self> {
        if !options.listen.ip().is_loopback() {
            let words = "this program has no sign-in yet: whoever reached it could read prices and change jobs, so it listens on this \
                         machine only. Give --listen 127.0.0.1:8631, and reach it from a phone by USB (adb reverse) or an SSH tunnel";
            return Err(io::Error::new(io::ErrorKind::PermissionDenied, words));
        }
        let listener = TcpListener::bind(options.listen).await?;
        Ok(Self { address: listener.local_addr()?, listener })
    }

    /// The address to open.
    #[must_use]
    pub fn url(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// The address as a picture for a phone's camera, in letters for a terminal.
    #[must_use]
    pub fn picture(&self) -> String {
        let code = QrCode::new(self.url());
        code.map_or_else(
            |_| String::new(),
            |code| {
                code.render::<unicode::Dense1x2>()
                    .dark_color(unicode::Dense1x2::Light)
                    .light_color(unicode::Dense1x2::Dark)
                    .build()
            },
        )
    }

    fn hosts(&self) -> Hosts {
        let own = match self.address.ip() {
            IpAddr::V4(v4) => v4.to_string(),
            IpAddr::V6(v6) => v6.to_string(),
        };
        Hosts(vec![own, "localhost".into(), "127.0.0.1".into(), "::1".into()])
    }
}

/// Answers until it is told to stop.
///
/// # Errors
/// When the listener breaks.
pub async fn serve(
    serving: Serving,
    app: App,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    let hosts = serving.hosts();
    let (told, mut hears) = tokio::sync::watch::channel(false);
    let stopping = async move {
        stop.await;
        let _ = told.send(true);
    };
    let answering = axum::serve(serving.listener, crate::router(app, hosts)).with_graceful_shutdown(stopping);
    // Screens that look keep a stream open for ever: they are cut off after a while.
    tokio::select! {
        done = answering => done,
        () = async {
            let _ = hears.wait_for(|told| *told).await;
            tokio::time::sleep(LAST_ANSWERS).await;
        } => Ok(()),
    }
}
