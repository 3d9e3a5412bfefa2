//! TLS from a certificate and its key, taken anew when their files change.

use std::io;
use std::path::PathBuf;
use std::time::Duration;

pub use axum_server::tls_rustls::RustlsConfig;

/// So often the files are looked at: certificates that renew themselves do so days ahead.
const LOOKS: Duration = Duration::from_secs(3600);

/// A certificate and its key as files.
#[derive(Debug, Clone)]
pub struct TlsFiles {
    /// The certificate (PEM), with those that it rests on.
    pub cert: PathBuf,
    /// Its key (PEM).
    pub key: PathBuf,
}

impl TlsFiles {
    /// Reads them.
    ///
    /// # Errors
    /// When they cannot be read, are no PEM, or do not belong together.
    pub async fn read(&self) -> io::Result<RustlsConfig> {
        RustlsConfig::from_pem_file(&self.cert, &self.key).await
    }

    /// Reads them again whenever they have changed; what cannot be read leaves what there is.
    pub async fn follow(self, config: RustlsConfig) {
        // Two small files an hour: nobody waits for them.
        let look = || (std::fs::read(&self.cert).ok(), std::fs::read(&self.key).ok());
        let mut known = look();
        loop {
            tokio::time::sleep(LOOKS).await;
            let now = look();
            if now != known && config.reload_from_pem_file(&self.cert, &self.key).await.is_ok() {
                known = now;
            }
        }
    }
}
