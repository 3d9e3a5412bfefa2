//! People: who may come in, and how they sign in.
//!
//! A folder without people is for whoever sits at the machine. From the first person on, everybody signs in. What a person may do
//! stands in [`crate::who`].

mod join;
mod list;
mod me;
pub mod password;
mod sign_in;
pub mod visit;
mod waits;

use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use axum::Router;
use axum::routing::{get, post};
use jiff::{SignedDuration, Timestamp};
use store::Store;
use tokio::sync::Semaphore;

use crate::app::{App, WallClock};
pub use list::qr;
use waits::Waits;

/// A session that nobody uses ends after so long.
pub const IDLE: SignedDuration = SignedDuration::from_hours(7 * 24);
/// No session is longer.
pub const LONGEST: SignedDuration = SignedDuration::from_hours(30 * 24);
/// An invitation works so long.
pub const INVITED: SignedDuration = SignedDuration::from_hours(24);
/// So many passwords are worked through at once: each takes 64 MiB.
const AT_ONCE: usize = 2;
/// Whoever waits longer than this for a place is told to come again.
const PATIENCE: Duration = Duration::from_secs(10);

/// What guards the way in: how often somebody tried, and how many are at it.
#[derive(Debug)]
pub struct Door {
    names: Mutex<Waits>,
    addresses: Mutex<Waits>,
    desks: Semaphore,
}

impl Default for Door {
    fn default() -> Self {
        // A name waits no longer than a minute, so that a stranger cannot keep its owner out; an address up to a quarter of an
        // hour, after more tries, as a whole crew may come from one.
        let names = Mutex::new(Waits::new(5, SignedDuration::from_mins(1)));
        let addresses = Mutex::new(Waits::new(20, SignedDuration::from_mins(15)));
        Self { names, addresses, desks: Semaphore::new(AT_ONCE) }
    }
}

/// Why a password was not looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shut {
    /// Too many tries: it opens after so long.
    Wait(SignedDuration),
    /// Too many are at it.
    Busy,
    /// The work broke off.
    Broke,
}

impl Door {
    /// Counts a try to sign in.
    fn try_now(&self, name: &str, from: IpAddr, now: Timestamp) -> Result<(), Shut> {
        let mut names = self.names.lock().unwrap_or_else(PoisonError::into_inner);
        let mut addresses = self.addresses.lock().unwrap_or_else(PoisonError::into_inner);
        addresses.try_now(&address_key(from), now).map_err(Shut::Wait)?;
        names.try_now(&name_key(name), now).map_err(|wait| {
            // What is not looked at was no try of that address.
            addresses.forgive(&address_key(from));
            Shut::Wait(wait)
        })
    }

    /// The try went well.
    fn went_well(&self, name: &str, from: IpAddr) {
        self.names.lock().unwrap_or_else(PoisonError::into_inner).forget(&name_key(name));
        self.addresses.lock().unwrap_or_else(PoisonError::into_inner).forgive(&address_key(from));
    }

    /// Works a password through aside, when there is a place.
    async fn work<T: Send + 'static>(&self, work: impl FnOnce() -> T + Send + 'static) -> Result<T, Shut> {
        let Ok(Ok(_place)) = tokio::time::timeout(PATIENCE, self.desks.acquire()).await else {
            return Err(Shut::Busy);
        };
        tokio::task::spawn_blocking(work).await.map_err(|_| Shut::Broke)
    }
}

fn name_key(name: &str) -> String {
    name.trim().to_lowercase().chars().take(80).collect()
}

/// Whoever has one address of the newer kind has the other 2^64 of its network as well.
fn address_key(from: IpAddr) -> String {
    match from.to_canonical() {
        IpAddr::V4(v4) => v4.to_string(),
        IpAddr::V6(v6) => v6.segments()[..4].iter().map(|part| format!("{part:x}:")).collect(),
    }
}

/// Sessions go by the machine's clock, in the demonstration too.
pub fn now() -> Timestamp {
    WallClock::of_the_machine().now()
}

/// Does something with the folder where nobody else is kept waiting for the disk.
async fn aside<T: Send + 'static>(
    store: &Arc<Store>,
    what: impl FnOnce(&Store) -> Result<T, store::Fault> + Send + 'static,
) -> Result<T, String> {
    let store = Arc::clone(store);
    let done = tokio::task::spawn_blocking(move || what(&store)).await;
    match done {
        Ok(done) => done.map_err(|fault| crate::shelf::in_words(&fault)),
        Err(_) => Err("it could not be kept: that is a fault of the program".to_owned()),
    }
}

/// The pages of people.
pub fn routes() -> Router<App> {
    Router::new()
        .route("/sign-in", get(sign_in::page).post(sign_in::post))
        .route("/sign-out", post(sign_in::out))
        .route("/join/{secret}", get(join::page).post(join::post))
        .route("/me", get(me::page))
        .route("/me/password", post(me::password))
        .route("/people", get(list::page).post(list::first))
        .route("/people/invite", post(list::invite))
        .route("/people/take-back-invitations", post(list::take_back))
        .route("/people/{number}/let-go", post(list::let_go))
        .route("/people/{number}/end-sessions", post(list::end_sessions))
        .route("/people/{number}/password", post(list::password))
}

#[cfg(test)]
pub(crate) mod tests;
