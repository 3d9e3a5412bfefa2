//! Ids for events, drawn for each form that a page shows: a form sent twice is one event.

use std::hash::{BuildHasher, RandomState};
use std::time::{SystemTime, UNIX_EPOCH};

use formats::events::EventId;

/// A new id. It is unlike all others, but no secret: the hasher's keys come from the system, and are counted on.
#[must_use]
pub fn event_id() -> EventId {
    let nanos = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |since| since.as_nanos());
    let [one, two] = [RandomState::new(), RandomState::new()].map(|keys| keys.hash_one(nanos));
    EventId::from_bytes(((u128::from(one) << 64) | u128::from(two)).to_be_bytes())
}
