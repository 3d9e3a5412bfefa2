//! How long somebody waits before trying again: longer after each try that failed.

use std::collections::BTreeMap;

use jiff::{SignedDuration, Timestamp};

/// After so long without a try all is forgotten.
const FORGOTTEN: SignedDuration = SignedDuration::from_hours(1);
/// So many names or addresses are kept in mind; the one that tried longest ago goes first.
const MOST: usize = 4096;

/// Tries by name or by address.
#[derive(Debug)]
pub struct Waits {
    tries: BTreeMap<String, Tried>,
    free: u32,
    longest: SignedDuration,
}

#[derive(Debug, Clone, Copy)]
struct Tried {
    count: u32,
    last: Timestamp,
}

impl Waits {
    /// So many tries come without waiting, and no wait is longer than so long.
    #[must_use]
    pub const fn new(free: u32, longest: SignedDuration) -> Self {
        Self { tries: BTreeMap::new(), free, longest }
    }

    /// The wait after so many tries: one second after the free ones, and twice as long after each further one.
    fn wait(&self, count: u32) -> SignedDuration {
        match count.checked_sub(self.free) {
            None => SignedDuration::ZERO,
            Some(over) => SignedDuration::from_secs(1 << over.min(20)).min(self.longest),
        }
    }

    /// Counts a try, as one that fails until [`Waits::forgive`] says otherwise: several at once count as several.
    ///
    /// # Errors
    /// How long it is still to wait; such a try is not counted.
    pub fn try_now(&mut self, key: &str, now: Timestamp) -> Result<(), SignedDuration> {
        self.tries.retain(|_, tried| now.duration_since(tried.last) < FORGOTTEN);
        let known = self.tries.get(key).copied();
        let count = known.map_or(0, |tried| tried.count);
        if let Some(tried) = known {
            let left = self.wait(count) - now.duration_since(tried.last);
            if left.is_positive() {
                return Err(left);
            }
        }
        if known.is_none()
            && self.tries.len() >= MOST
            && let Some(oldest) =
                self.tries.iter().min_by_key(|(_, tried)| tried.last).map(|(key, _)| key.clone())
        {
            self.tries.remove(&oldest);
        }
        self.tries.insert(key.to_owned(), Tried { count: count.saturating_add(1), last: now });
        Ok(())
    }

    /// The last try went well: it counts no more.
    pub fn forgive(&mut self, key: &str) {
        if let Some(tried) = self.tries.get_mut(key) {
            tried.count = tried.count.saturating_sub(1);
        }
    }

    /// All tries went well enough: none counts any more.
    pub fn forget(&mut self, key: &str) {
        self.tries.remove(key);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(second: i64) -> Timestamp {
        Timestamp::from_second(1_780_000_000 + second).unwrap()
    }

    #[test]
    fn waits_grow_and_end() {
        let mut waits = Waits::new(3, SignedDuration::from_secs(60));
        for _ in 0..3 {
            assert_eq!(waits.try_now("ada", at(0)), Ok(()));
        }
        assert_eq!(waits.try_now("ada", at(0)), Err(SignedDuration::from_secs(1)));
        // Asking before the time is over makes it no longer.
        assert_eq!(waits.try_now("ada", at(1)), Ok(()));
        assert_eq!(waits.try_now("ada", at(2)), Err(SignedDuration::from_secs(1)));
        assert_eq!(waits.try_now("ben", at(2)), Ok(()));
        let mut now = 3;
        let mut waited = Vec::new();
        for _ in 0..8 {
            assert_eq!(waits.try_now("ada", at(now)), Ok(()));
            let left = waits.try_now("ada", at(now)).unwrap_err().as_secs();
            waited.push(left);
            now += left;
        }
        assert_eq!(waited, [4, 8, 16, 32, 60, 60, 60, 60]);
        assert_eq!(waits.try_now("ada", at(now + 3600)), Ok(()));
        assert_eq!(waits.try_now("ada", at(now + 3600)), Ok(()), "after an hour all is forgotten");
    }

    #[test]
    fn what_went_well_does_not_count() {
        let mut waits = Waits::new(2, SignedDuration::from_secs(60));
        for second in 0..50 {
            assert_eq!(waits.try_now("10.0.0.7", at(second)), Ok(()));
            waits.forgive("10.0.0.7");
        }
        for _ in 0..2 {
            waits.try_now("ada", at(60)).unwrap();
        }
        assert!(waits.try_now("ada", at(60)).is_err());
        waits.forget("ada");
        assert_eq!(waits.try_now("ada", at(60)), Ok(()));
    }

    /// Whoever tries with ever new names fills no memory.
    #[test]
    fn no_more_than_so_many_are_kept_in_mind() {
        let mut waits = Waits::new(2, SignedDuration::from_secs(60));
        for i in 0..MOST + 50 {
            waits.try_now(&format!("name {i}"), at(i64::try_from(i / 100).unwrap())).unwrap();
        }
        assert_eq!(waits.tries.len(), MOST);
    }
}
