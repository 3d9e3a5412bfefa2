//! Ids of events and jobs, and fingerprints of texts.

use std::fmt;
use std::str::FromStr;

/// Id of an event: 128 random bits, written as 32 hexadecimal digits.
///
/// ```
/// use formats::events::EventId;
/// let id: EventId = "00112233445566778899aabbccddeeff".parse().unwrap();
/// assert_eq!(id.bytes()[1], 0x11);
/// assert_eq!(id.to_string(), "00112233445566778899aabbccddeeff");
/// assert!("0011".parse::<EventId>().is_err() && "00112233445566778899AABBCCDDEEFF".parse::<EventId>().is_err());
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct EventId([u8; 16]);

/// Id of a job: 128 random bits, written as 32 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct JobId([u8; 16]);

macro_rules! id {
    ($name:ident) => {
        impl $name {
            /// An id of 16 random bytes.
            #[must_use]
            pub const fn from_bytes(bytes: [u8; 16]) -> Self {
                Self(bytes)
            }
            /// Its bytes.
            #[must_use]
            pub const fn bytes(self) -> [u8; 16] {
                self.0
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex(&self.0))
            }
        }
        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex(&self.0))
            }
        }
        impl FromStr for $name {
            type Err = NotHex;
            fn from_str(text: &str) -> Result<Self, NotHex> {
                Ok(Self(from_hex(text).ok_or(NotHex { digits: 32 })?))
            }
        }
    };
}

id!(EventId);
id!(JobId);

/// The text is not made of so many hexadecimal digits in lower case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotHex {
    /// How many there should be.
    pub digits: usize,
}

impl fmt::Display for NotHex {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} hexadecimal digits in lower case are wanted", self.digits)
    }
}

/// Bytes as hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    let digit = |nibble: u8| char::from_digit(u32::from(nibble), 16).unwrap_or('0');
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}

/// So many bytes from hexadecimal digits in lower case.
pub(crate) fn from_hex<const N: usize>(text: &str) -> Option<[u8; N]> {
    let text = text.as_bytes();
    let digit = |byte: u8| match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        _ => None,
    };
    let mut bytes = [0; N];
    if text.len() != 2 * N {
        return None;
    }
    for (byte, pair) in bytes.iter_mut().zip(text.chunks_exact(2)) {
        *byte = digit(pair[0])? << 4 | digit(pair[1])?;
    }
    Some(bytes)
}

/// Fingerprint of a text, by which a writer says what was there before: 64 bits, written as 16 hexadecimal digits.
///
/// It tells texts apart that differ by chance, not by malice. FNV-1a [@fowler-2011].
///
/// ```
/// use formats::events::Fingerprint;
/// // Test vectors of the source.
/// assert_eq!(Fingerprint::of("").to_string(), "cbf29ce484222325");
/// assert_eq!(Fingerprint::of("foobar").to_string(), "85944171f73967e8");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fingerprint(u64);

impl Fingerprint {
    /// The fingerprint of a text.
    #[must_use]
    pub fn of(text: &str) -> Self {
        let step = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        Self(text.bytes().fold(0xcbf2_9ce4_8422_2325, step))
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

impl FromStr for Fingerprint {
    type Err = NotHex;
    fn from_str(text: &str) -> Result<Self, NotHex> {
        from_hex(text).map(|bytes| Self(u64::from_be_bytes(bytes))).ok_or(NotHex { digits: 16 })
    }
}
