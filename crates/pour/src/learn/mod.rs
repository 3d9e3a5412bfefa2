//! What the crew's own pours teach: values for the next job that lean on the defaults the more, the fewer pours there are.
//!
//! Method, sources and limits: `docs/methods/learning.md`.

mod factor;
mod past;
mod replay;
mod shrink;

pub use factor::{Factor, Scale};
pub use past::{Past, seen};
pub use replay::{Replay, Replayed, replay};
pub use shrink::{Evidence, Law, Learned, Prior, WILD, evidence, learn};

/// What one pour showed of one value.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// The pour, for people.
    pub pour: String,
    /// Its kind, of which the value may depend: the base, the mix and season, the plant.
    pub kind: String,
    /// The value.
    pub value: f64,
    /// Doubt of the value itself, one standard deviation: a volume by shot grades, a boot print.
    pub sd: f64,
}

#[cfg(test)]
mod tests;
