//! Where the engine works for the pages: every result once, aside from the threads that answer.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use basis::Note;
use formats::events::State;
use pour::day::Day;
use pour::price::{PriceOptions, Priced, RateBook, price};
use pour::rounds::Budget;
use sha2::{Digest, Sha256};
use tokio::sync::OnceCell;

pub use crate::figured::{Figured, Rounds, SEED};
use crate::figured::{broken, figure, under_way, worked};

/// So many results are kept; the one asked for longest ago goes first.
const MOST: usize = 48;

/// What is worked out of a result beside, each once.
#[derive(Debug, Default)]
pub(crate) struct Works {
    rounds: OnceCell<Option<Arc<Day>>>,
    price: OnceCell<([u8; 32], Price)>,
    stopped: AtomicBool,
}

/// A price with its rate book, or what must be mended in the two, with lines of the rate book.
pub type Price = Result<Arc<(Priced, RateBook)>, Vec<(Note, Option<usize>)>>;

type Cell = Arc<OnceCell<Arc<Figured>>>;

/// The desk: results by what they rest on.
#[derive(Debug, Default)]
pub struct Desk {
    results: Mutex<BTreeMap<[u8; 32], (u64, Cell)>>,
    count: AtomicU64,
}

impl Desk {
    /// What the engine says of a job, figured once however many ask at the same time.
    pub async fn figured(&self, state: &Arc<State>) -> Arc<Figured> {
        let mut hash = Sha256::new();
        hash.update(&state.text);
        for (name, text) in &state.files {
            hash.update(format!("\0{name}\0{text}"));
        }
        let planned = {
            let state = Arc::clone(state);
            self.once(hash.clone().finalize().into(), move || figure(&state)).await
        };
        if state.log.is_empty() || planned.plan.is_none() {
            return planned;
        }
        let entries = state.entries();
        hash.update(format!("\0{entries:?}"));
        self.once(hash.finalize().into(), move || under_way(&planned, &entries)).await
    }

    async fn once(&self, key: [u8; 32], work: impl FnOnce() -> Figured + Send + 'static) -> Arc<Figured> {
        let cell = self.cell(key);
        let figure = || async move {
            let worked = tokio::task::spawn_blocking(work).await;
            Arc::new(worked.unwrap_or_else(|_| broken()))
        };
        cell.get_or_init(figure).await.clone()
    }

    fn cell(&self, key: [u8; 32]) -> Cell {
        let now = self.count.fetch_add(1, Ordering::Relaxed);
        let mut results = self.results.lock().unwrap_or_else(PoisonError::into_inner);
        let entry = results.entry(key).or_insert_with(|| (now, Cell::default()));
        entry.0 = now;
        let cell = entry.1.clone();
        if results.len() > MOST
            && let Some(oldest) = results.iter().min_by_key(|(_, (used, _))| *used).map(|(key, _)| *key)
        {
            results.remove(&oldest);
        }
        cell
    }
}

/// The plan of the rounds, waited for no longer than so long; it goes on being worked out.
pub async fn rounds(
    figured: &Arc<Figured>,
    patience: Duration,
    ready: impl FnOnce() + Send + 'static,
) -> Rounds {
    if figured.plan.as_ref().is_none_or(|plan| plan.forecast.is_none()) {
        return Rounds::None;
    }
    if let Some(done) = figured.works.rounds.get() {
        return done.clone().map_or(Rounds::None, Rounds::Done);
    }
    if figured.works.stopped.load(Ordering::Relaxed) {
        return Rounds::Stopped;
    }
    let of = Arc::clone(figured);
    let work = tokio::spawn(async move {
        let known = of.works.rounds.initialized();
        let inner = Arc::clone(&of);
        of.works
            .rounds
            .get_or_init(|| async move {
                tokio::task::spawn_blocking(move || worked(&inner)).await.unwrap_or(None)
            })
            .await;
        if !known {
            ready();
        }
    });
    let _ = tokio::time::timeout(patience, work).await;
    match figured.works.rounds.get() {
        Some(done) => done.clone().map_or(Rounds::None, Rounds::Done),
        None => Rounds::Working,
    }
}

/// Nobody waits for the rounds of this job any more, or somebody does again.
pub fn wait_for_rounds(figured: &Figured, waits: Waits) {
    figured.works.stopped.store(waits == Waits::No, Ordering::Relaxed);
}

/// Whether somebody waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waits {
    /// Somebody does.
    Yes,
    /// Nobody does.
    No,
}

/// The price of a job by a rate book; one book is kept for each job.
pub async fn priced(figured: &Arc<Figured>, book: &str) -> Price {
    let key: [u8; 32] = Sha256::digest(book.as_bytes()).into();
    let work = || {
        let (figured, book) = (Arc::clone(figured), book.to_owned());
        async move {
            let done = tokio::task::spawn_blocking(move || price_by(&figured, &book)).await;
            done.unwrap_or_else(|_| Err(broken().notes))
        }
    };
    let kept = figured.works.price.get_or_init(|| async { (key, work().await) }).await;
    if kept.0 == key { kept.1.clone() } else { work().await }
}

fn price_by(figured: &Figured, book: &str) -> Price {
    let parsed = formats::read_rates(book.as_bytes(), "the rate book");
    let line = |note: &Note| {
        let span = parsed.source.locate(&note.place)?;
        Some(parsed.source.position(span)?.line)
    };
    let (Some(job), Some(book)) = (&figured.job, &parsed.report.value) else {
        return Err(parsed
            .report
            .notes
            .into_iter()
            .map(|note| (line(&note), note))
            .map(|(l, n)| (n, l))
            .collect());
    };
    let options = PriceOptions { seed: SEED, budget: Budget::default(), ways: Vec::new() };
    let report = price(job, book, &options);
    match report.value {
        Some(priced) => Ok(Arc::new((priced, book.clone()))),
        None => Err(report.notes.into_iter().map(|note| (note, None)).collect()),
    }
}
