//! Starts and stops the program that answers.

use std::io;
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr, SocketAddr, TcpListener};
use std::time::Duration;

use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use qrcode::QrCode;
use qrcode::render::unicode;

use crate::app::App;
use crate::guard::{Front, Hosts, Way};

/// Answers that are still under way when the program is told to stop get so long.
const LAST_ANSWERS: Duration = Duration::from_secs(3);
/// A connection on which nothing is asked is closed after so long.
const FIRST_REQUEST: Duration = Duration::from_secs(20);

/// How requests may come.
#[derive(Debug, Clone, Default)]
pub enum Listen {
    /// From this machine only, over plain HTTP.
    #[default]
    Here,
    /// From everywhere, over TLS.
    Tls(RustlsConfig),
    /// Through a proxy, which does the TLS.
    BehindProxy,
}

/// How to serve.
#[derive(Debug, Clone)]
pub struct ServeOptions {
    /// Where to listen; port 0 takes any that is free.
    pub listen: SocketAddr,
    /// How requests may come.
    pub over: Listen,
    /// Names under which it is asked for, besides its address; the first is the one that is told.
    pub names: Vec<String>,
}

impl ServeOptions {
    /// On this machine only.
    #[must_use]
    pub const fn here(listen: SocketAddr) -> Self {
        Self { listen, over: Listen::Here, names: Vec::new() }
    }
}

/// A program that listens, before it answers.
#[derive(Debug)]
pub struct Serving {
    /// Where it listens.
    pub address: SocketAddr,
    listener: TcpListener,
    over: Listen,
    names: Vec<String>,
}

impl Serving {
    /// Starts to listen.
    ///
    /// # Errors
    /// Plain HTTP beyond this machine, where everybody on the way could read and change; and when the address cannot be had.
    pub fn at(options: ServeOptions) -> io::Result<Self> {
        let ServeOptions { listen, over, names } = options;
        if matches!(over, Listen::Here) && !listen.ip().is_loopback() {
            let words = "plain HTTP beyond this machine lets everybody on the way read passwords and change jobs. Give a certificate with \
                         --tls-cert and --tls-key, or let --own-authority make one; with a proxy before it that does the TLS, say --behind-proxy";
            return Err(io::Error::new(io::ErrorKind::PermissionDenied, words));
        }
        let listener = TcpListener::bind(listen)?;
        Ok(Self { address: listener.local_addr()?, listener, over, names })
    }

    /// The address to open.
    #[must_use]
    pub fn url(&self) -> String {
        let port = self.address.port();
        let named = self.names.first().cloned();
        match &self.over {
            Listen::BehindProxy => format!("https://{}/", named.unwrap_or_default()),
            Listen::Tls(_) => format!("https://{}:{port}/", named.unwrap_or_else(|| self.reached_at())),
            Listen::Here => format!("http://{}/", self.address),
        }
    }

    /// The address as others write it: one of this machine where it listens on all.
    #[must_use]
    pub fn reached_at(&self) -> String {
        let ip = self.address.ip();
        let ip = if ip.is_unspecified() { own_addresses().first().copied().unwrap_or(ip) } else { ip };
        in_a_url(ip)
    }

    /// The address as a picture for a phone's camera, in letters for a terminal.
    #[must_use]
    pub fn picture(&self) -> String {
        picture(&self.url())
    }

    fn front(&self) -> Front {
        let own = self.address.ip().to_string();
        let here = [own, "localhost".into(), "127.0.0.1".into(), "::1".into()];
        let way = match self.over {
            Listen::Here => Way::Plain,
            Listen::Tls(_) => Way::Tls,
            Listen::BehindProxy => Way::BehindProxy,
        };
        Front { hosts: Hosts(self.names.iter().cloned().chain(here).collect()), way }
    }
}

/// An address as a picture for a phone's camera, in letters for a terminal.
#[must_use]
pub fn picture(url: &str) -> String {
    let drawn = QrCode::new(url).map(|code| {
        code.render::<unicode::Dense1x2>()
            .dark_color(unicode::Dense1x2::Light)
            .light_color(unicode::Dense1x2::Dark)
            .build()
    });
    drawn.unwrap_or_default()
}

/// An IP address as it stands in a URL.
#[must_use]
pub fn in_a_url(ip: IpAddr) -> String {
    match ip {
        IpAddr::V4(v4) => v4.to_string(),
        IpAddr::V6(v6) => format!("[{v6}]"),
    }
}

/// Addresses of this machine by which others may reach it: those from which it would send into networks of the usual kinds.
///
/// Nothing is sent: choosing the way for a datagram is enough to learn from where it would go.
#[must_use]
pub fn own_addresses() -> Vec<IpAddr> {
    let towards: [IpAddr; 6] = [
        Ipv4Addr::new(192, 0, 2, 1).into(),
        Ipv4Addr::new(192, 168, 0, 1).into(),
        Ipv4Addr::new(10, 0, 0, 1).into(),
        Ipv4Addr::new(172, 16, 0, 1).into(),
        Ipv6Addr::new(0x2001, 0xdb8, 0, 0, 0, 0, 0, 1).into(),
        Ipv6Addr::new(0xfd00, 0, 0, 0, 0, 0, 0, 1).into(),
    ];
    let mut found: Vec<IpAddr> = Vec::new();
    for to in towards {
        let any: IpAddr =
            if to.is_ipv4() { Ipv4Addr::UNSPECIFIED.into() } else { Ipv6Addr::UNSPECIFIED.into() };
        let from = std::net::UdpSocket::bind((any, 0)).and_then(|socket| {
            socket.connect((to, 9))?;
            socket.local_addr()
        });
        if let Ok(from) = from
            && !from.ip().is_loopback()
            && !from.ip().is_unspecified()
            && !found.contains(&from.ip())
        {
            found.push(from.ip());
        }
    }
    found
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
    let pages = crate::router(app, serving.front()).into_make_service_with_connect_info::<SocketAddr>();
    let handle = Handle::new();
    let stopping = handle.clone();
    // Screens that look keep a stream open for ever: they are cut off after a while.
    tokio::spawn(async move {
        stop.await;
        stopping.graceful_shutdown(Some(LAST_ANSWERS));
    });
    let server = axum_server::from_tcp(serving.listener)?.handle(handle).first_request_timeout(FIRST_REQUEST);
    match serving.over {
        Listen::Tls(config) => {
            let acceptor = axum_server::tls_rustls::RustlsAcceptor::new(config);
            server.acceptor(acceptor).serve(pages).await
        }
        Listen::Here | Listen::BehindProxy => server.serve(pages).await,
    }
}
