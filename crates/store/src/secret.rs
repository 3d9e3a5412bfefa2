//! Secrets that are handed out once and kept only as their hash.

use std::fmt;

use sha2::{Digest, Sha256};

use crate::fault::{Fault, Kind};

/// 256 random bits for a cookie or a link. The store keeps its SHA-256 and cannot give it out again.
#[derive(Clone, PartialEq, Eq)]
pub struct Secret([u8; 32]);

impl Secret {
    /// Draws a secret from the system.
    ///
    /// # Errors
    /// When the system has no randomness to give.
    pub fn draw() -> Result<Self, Fault> {
        let mut bytes = [0; 32];
        fill(&mut bytes)?;
        Ok(Self(bytes))
    }

    /// As 64 hexadecimal digits, for a cookie or a link.
    #[must_use]
    pub fn text(&self) -> String {
        self.0.iter().map(|byte| format!("{byte:02x}")).collect()
    }

    /// Reads what a client sends; nothing when it is no secret.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let digits = text.as_bytes();
        let mut bytes = [0; 32];
        if digits.len() != 64 || !digits.iter().all(u8::is_ascii_hexdigit) {
            return None;
        }
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok()?;
        }
        Some(Self(bytes))
    }

    pub(crate) fn hash(&self) -> [u8; 32] {
        Sha256::digest(self.0).into()
    }
}

/// A secret does not get into a record of what the program does.
impl fmt::Debug for Secret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Secret(..)")
    }
}

/// Random bytes of the system.
pub(crate) fn fill(bytes: &mut [u8]) -> Result<(), Fault> {
    getrandom::fill(bytes).map_err(|error| {
        Fault::new(
            Kind::Other,
            format!("the system gives no random numbers: {error}"),
            "try again in a moment",
        )
    })
}
