//! The laptop's own authority: it vouches for this program on the local network, to phones that were told to trust it.
//!
//! It is made at the first start and kept in the folder of jobs, its key for the owner of the folder only. It speaks for private
//! addresses and local names alone [@rfc5280], so that whoever steals it cannot play a bank. The certificate that it signs for
//! this program has its key in memory only, and is signed anew by itself.

mod files;
pub mod page;

use std::net::IpAddr;
use std::path::Path;

use axum_server::tls_rustls::RustlsConfig;
use jiff::civil::Date;
use jiff::{Span, Timestamp};
use rcgen::{
    BasicConstraints, CertificateParams, CidrSubnet, DnType, ExtendedKeyUsagePurpose, GeneralSubtree, IsCa,
    Issuer, KeyPair, KeyUsagePurpose, NameConstraints,
};
use sha2::{Digest, Sha256};

use crate::serve::own_addresses;

/// An authority lasts so many days: two years.
const LASTS: i32 = 730;
/// What it signs lasts so many days; phones take no more than 825 of an authority that was added by hand (from memory).
const LEAF_LASTS: i32 = 90;
/// It is signed anew when fewer are left.
const RENEWED_AT: i32 = 30;

/// Networks for which it may speak: private and link-local ones [@rfc1918] [@rfc4193], and this machine.
const NETWORKS: [(&str, u8); 8] = [
    ("10.0.0.0", 8),
    ("172.16.0.0", 12),
    ("192.168.0.0", 16),
    ("169.254.0.0", 16),
    ("127.0.0.0", 8),
    ("fc00::", 7),
    ("fe80::", 10),
    ("::1", 128),
];
/// Names for which it may speak, with all below them.
const LOCAL: [&str; 3] = ["local", "localhost", "home.arpa"];

/// What was settled when the authority was made.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Terms {
    /// What phones call it.
    called: String,
    /// First day.
    made: Date,
    /// Day after the last.
    until: Date,
    /// Names for which it may speak besides local ones.
    names: Vec<String>,
}

/// An authority.
#[derive(Debug)]
pub struct Authority {
    terms: Terms,
    certificate: Vec<u8>,
    key: KeyPair,
}

/// What an authority has signed for this program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaf {
    /// The certificate (DER).
    pub certificate: Vec<u8>,
    /// Its key (DER).
    pub key: Vec<u8>,
    /// Day after the last.
    pub until: Date,
    /// What it is for.
    names: Vec<String>,
}

fn day(at: Timestamp) -> Date {
    jiff::tz::TimeZone::UTC.to_datetime(at).date()
}

fn later(date: Date, days: i32) -> Date {
    date.saturating_add(Span::new().days(days))
}

/// Sets the days in which a certificate holds.
fn set_days(params: &mut CertificateParams, from: Date, until: Date) {
    let midnight = |date: Date| {
        rcgen::date_time_ymd(i32::from(date.year()), date.month().unsigned_abs(), date.day().unsigned_abs())
    };
    (params.not_before, params.not_after) = (midnight(from), midnight(until));
}

impl Terms {
    fn params(&self) -> Result<CertificateParams, String> {
        let mut params = CertificateParams::new(Vec::new()).map_err(|error| error.to_string())?;
        params.distinguished_name.push(DnType::CommonName, self.called.as_str());
        params.is_ca = IsCa::Ca(BasicConstraints::Constrained(0));
        params.key_usages = vec![KeyUsagePurpose::KeyCertSign, KeyUsagePurpose::CrlSign];
        set_days(&mut params, self.made, self.until);
        let networks = NETWORKS.iter().filter_map(|(network, prefix)| {
            let network: IpAddr = network.parse().ok()?;
            Some(GeneralSubtree::IpAddress(CidrSubnet::from_addr_prefix(network, *prefix)))
        });
        let names = LOCAL.into_iter().chain(self.names.iter().map(String::as_str));
        let names = names.map(|name| GeneralSubtree::DnsName(name.to_owned()));
        params.name_constraints = Some(NameConstraints {
            permitted_subtrees: names.chain(networks).collect(),
            excluded_subtrees: Vec::new(),
        });
        Ok(params)
    }

    /// Whether it may speak for a name or an address.
    fn speak_for(&self, name: &str) -> bool {
        match name.parse::<IpAddr>() {
            Ok(address) => is_private(address),
            Err(_) => LOCAL
                .into_iter()
                .chain(self.names.iter().map(String::as_str))
                .any(|ours| name == ours || name.strip_suffix(ours).is_some_and(|rest| rest.ends_with('.'))),
        }
    }
}

fn is_private(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(v4) => v4.is_private() || v4.is_link_local() || v4.is_loopback(),
        IpAddr::V6(v6) => v6.is_unique_local() || v6.is_unicast_link_local() || v6.is_loopback(),
    }
}

impl Authority {
    /// The authority of a folder, made if there is none or the last one has ended. Names that are given are written into a new one.
    ///
    /// # Errors
    /// Words for what cannot be read or written, and for a name for which the one that is there does not speak.
    pub fn of(folder: &Path, names: &[String], now: Timestamp) -> Result<Self, String> {
        let today = day(now);
        if let Some(known) = files::read(folder)?
            && known.terms.until > later(today, 1)
        {
            if let Some(strange) = names.iter().find(|name| !known.terms.speak_for(name)) {
                let at = files::folder_of(folder);
                return Err(format!(
                    "the authority in {} was not made for {strange}; move that folder away, and a new one is made: every phone must then \
                     trust it anew",
                    at.display()
                ));
            }
            return Ok(known);
        }
        let made = Self::make(names, today)?;
        files::write(folder, &made)?;
        Ok(made)
    }

    fn make(names: &[String], today: Date) -> Result<Self, String> {
        let host = host_name().unwrap_or_else(|| "this machine".to_owned());
        let named = names.iter().cloned().chain(host_name()).filter(|name| name.parse::<IpAddr>().is_err());
        let terms = Terms {
            called: format!("Flatwright on {host}, {today}"),
            made: later(today, -1),
            until: later(today, LASTS),
            names: named.collect(),
        };
        let key = KeyPair::generate().map_err(|error| format!("no key can be made: {error}"))?;
        let certificate = terms.params()?.self_signed(&key).map_err(|error| error.to_string())?;
        Ok(Self { terms, certificate: certificate.der().to_vec(), key })
    }

    /// The certificate as phones take it (DER).
    #[must_use]
    pub fn certificate(&self) -> &[u8] {
        &self.certificate
    }

    /// What phones call it.
    #[must_use]
    pub fn called(&self) -> &str {
        &self.terms.called
    }

    /// Day after its last.
    #[must_use]
    pub const fn until(&self) -> Date {
        self.terms.until
    }

    /// SHA-256 of the certificate, in pairs: what the phone shows of it must be the same.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let pairs: Vec<String> =
            Sha256::digest(&self.certificate).iter().map(|byte| format!("{byte:02X}")).collect();
        pairs.join(":")
    }

    /// Signs for this program: for the names given, this machine's, and the addresses that it has now.
    ///
    /// # Errors
    /// Words for what the signing breaks at.
    pub fn sign(&self, names: &[String], now: Timestamp) -> Result<Leaf, String> {
        let names = self.names_of(names);
        let today = day(now);
        let until = later(today, LEAF_LASTS).min(self.terms.until);
        let mut params = CertificateParams::new(names.clone()).map_err(|error| error.to_string())?;
        params.distinguished_name.push(DnType::CommonName, "Flatwright");
        params.extended_key_usages = vec![ExtendedKeyUsagePurpose::ServerAuth];
        params.key_usages = vec![KeyUsagePurpose::DigitalSignature];
        params.use_authority_key_identifier_extension = true;
        set_days(&mut params, later(today, -1), until);
        let key = KeyPair::generate().map_err(|error| format!("no key can be made: {error}"))?;
        let issuer = Issuer::new(self.terms.params()?, &self.key);
        let signed = params.signed_by(&key, &issuer).map_err(|error| error.to_string())?;
        Ok(Leaf { certificate: signed.der().to_vec(), key: key.serialize_der(), until, names })
    }

    /// All names and addresses by which phones reach this program, as far as the authority speaks for them.
    fn names_of(&self, given: &[String]) -> Vec<String> {
        let host = host_name();
        let local = host.iter().flat_map(|host| [host.clone(), format!("{host}.local")]);
        let here = ["localhost", "127.0.0.1", "::1"].map(str::to_owned);
        let addresses = own_addresses().into_iter().map(|address| address.to_string());
        let mut all: Vec<String> = Vec::new();
        for name in given.iter().cloned().chain(local).chain(here).chain(addresses) {
            if self.terms.speak_for(&name) && !all.contains(&name) {
                all.push(name);
            }
        }
        all
    }
}

/// TLS by an authority, which signs anew before what it has signed ends, and when the machine gets other addresses.
#[derive(Debug)]
pub struct OwnTls {
    /// The authority.
    pub authority: std::sync::Arc<Authority>,
    names: Vec<String>,
    leaf: Leaf,
}

impl OwnTls {
    /// Signs for the names given.
    ///
    /// # Errors
    /// As [`Authority::sign`].
    pub fn new(authority: Authority, names: Vec<String>, now: Timestamp) -> Result<Self, String> {
        let leaf = authority.sign(&names, now)?;
        Ok(Self { authority: authority.into(), names, leaf })
    }

    /// What the server takes.
    ///
    /// # Errors
    /// When what was signed cannot be used, which is a fault of the program.
    pub async fn config(&self) -> std::io::Result<RustlsConfig> {
        RustlsConfig::from_der(vec![self.leaf.certificate.clone()], self.leaf.key.clone()).await
    }

    /// Whether it is time to sign anew.
    fn is_due(&self, now: Timestamp) -> bool {
        self.authority.names_of(&self.names) != self.leaf.names
            || self.leaf.until <= later(day(now), RENEWED_AT)
    }

    /// Signs anew whenever it is due, for ever.
    pub async fn follow(mut self, config: RustlsConfig) {
        loop {
            tokio::time::sleep(std::time::Duration::from_secs(60)).await;
            let now = crate::people::now();
            if !self.is_due(now) {
                continue;
            }
            // What cannot be signed now is tried again; until then the old one holds.
            if let Ok(leaf) = self.authority.sign(&self.names, now)
                && config.reload_from_der(vec![leaf.certificate.clone()], leaf.key.clone()).await.is_ok()
            {
                self.leaf = leaf;
            }
        }
    }
}

/// What the network calls this machine.
fn host_name() -> Option<String> {
    let told = std::fs::read_to_string("/proc/sys/kernel/hostname")
        .or_else(|_| std::env::var("COMPUTERNAME"))
        .ok()?;
    let name = told.trim().to_lowercase();
    let is_name = !name.is_empty()
        && name.len() < 64
        && name.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
        && !name.starts_with('-');
    is_name.then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> Timestamp {
        "2026-06-12T15:00:00Z".parse().unwrap()
    }

    #[test]
    fn an_authority_stays_the_same_and_its_key_is_for_nobody_else() {
        let folder = tempfile::tempdir().unwrap();
        let first = Authority::of(folder.path(), &["pour.lan".into()], now()).unwrap();
        let again = Authority::of(folder.path(), &[], now()).unwrap();
        assert_eq!((first.certificate(), &first.terms), (again.certificate(), &again.terms));
        assert_eq!(first.fingerprint().len(), 95);
        assert_eq!(first.until().to_string(), "2028-06-11");
        assert!(
            Authority::of(folder.path(), &["floor.example".into()], now())
                .unwrap_err()
                .contains("floor.example")
        );
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt as _;
            let mode = |name: &str| {
                std::fs::metadata(folder.path().join("authority").join(name)).unwrap().permissions().mode()
                    & 0o777
            };
            assert_eq!((mode("authority.key"), mode("")), (0o600, 0o700));
        }
        // One that has ended is put aside, and another made.
        let late =
            Authority::of(folder.path(), &[], now() + jiff::SignedDuration::from_hours(731 * 24)).unwrap();
        assert_ne!(late.certificate(), first.certificate());
        assert!(folder.path().join("authority-until-2028-06-11").is_dir());
    }

    #[test]
    fn it_speaks_for_private_addresses_and_local_names_only() {
        let folder = tempfile::tempdir().unwrap();
        let authority = Authority::of(folder.path(), &["pour.lan".into()], now()).unwrap();
        for ours in
            ["192.168.4.20", "10.1.2.3", "fd00::7", "truck.local", "localhost", "pour.lan", "a.pour.lan"]
        {
            assert!(authority.terms.speak_for(ours), "{ours}");
        }
        for strange in ["8.8.8.8", "2001:db8::1", "bank.example", "notlocal", "xpour.lan", "172.32.0.1"] {
            assert!(!authority.terms.speak_for(strange), "{strange}");
        }
        let leaf = authority.sign(&["pour.lan".into(), "bank.example".into()], now()).unwrap();
        assert!(
            leaf.names.contains(&"pour.lan".to_owned()) && !leaf.names.contains(&"bank.example".to_owned())
        );
    }

    #[test]
    fn what_was_signed_is_signed_anew_in_time() {
        let folder = tempfile::tempdir().unwrap();
        let authority = Authority::of(folder.path(), &[], now()).unwrap();
        let tls = OwnTls::new(authority, Vec::new(), now()).unwrap();
        let days = |days: i64| now() + jiff::SignedDuration::from_hours(24 * days);
        assert!(!tls.is_due(days(59)) && tls.is_due(days(60)));
    }
}
