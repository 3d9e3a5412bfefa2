//! Where the engine works for the pages: every result once, aside from the threads that answer.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use basis::Note;
use formats::read_job_bytes;
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::plan::Plan;
use pour::price::{PriceOptions, Priced, RateBook, price};
use pour::rounds::Budget;
use sha2::{Digest, Sha256};
use tokio::sync::OnceCell;

/// So many results are kept; the one asked for longest ago goes first.
const MOST: usize = 48;
/// The seed of every page: the same job gives the same page.
pub const SEED: u64 = 1;

/// A job with everything that the engine says of it.
#[derive(Debug, Default)]
pub struct Figured {
    /// The job, as far as its text could be read.
    pub job: Option<Job>,
    /// The plan; absent when something in the job must be mended first.
    pub plan: Option<Plan>,
    /// All that was told on the way, with the line of the text where there is one.
    pub notes: Vec<(Note, Option<usize>)>,
    rounds: OnceCell<Option<Arc<Day>>>,
    price: OnceCell<([u8; 32], Price)>,
    stopped: AtomicBool,
}

/// A price with its rate book, or what must be mended in the two, with lines of the rate book.
pub type Price = Result<Arc<(Priced, RateBook)>, Vec<(Note, Option<usize>)>>;

impl Figured {
    /// Job and plan, when there is a plan.
    #[must_use]
    pub fn whole(&self) -> Option<(&Job, &Plan)> {
        self.job.as_ref().zip(self.plan.as_ref())
    }
}

/// How far the plan of the rounds is.
#[derive(Debug, Clone)]
pub enum Rounds {
    /// Done.
    Done(Arc<Day>),
    /// Being worked out.
    Working,
    /// Nobody waits for it any more.
    Stopped,
    /// Without weather or a plan there are none.
    None,
}

type Cell = Arc<OnceCell<Arc<Figured>>>;

/// The desk: results by what they rest on.
#[derive(Debug, Default)]
pub struct Desk {
    results: Mutex<BTreeMap<[u8; 32], (u64, Cell)>>,
    count: AtomicU64,
}

/// Gives the bytes of a file that a job names.
pub type Fetch = Arc<dyn Fn(&str) -> Result<Vec<u8>, String> + Send + Sync>;

impl Desk {
    /// The job of a text, figured once however many ask at the same time.
    pub async fn figured(&self, text: &str, fetch: Fetch) -> Arc<Figured> {
        let key: [u8; 32] = Sha256::digest(text.as_bytes()).into();
        let cell = self.cell(key);
        let text = text.to_owned();
        let figure = || async move {
            let worked = tokio::task::spawn_blocking(move || figure(&text, &*fetch)).await;
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
    if let Some(done) = figured.rounds.get() {
        return done.clone().map_or(Rounds::None, Rounds::Done);
    }
    if figured.stopped.load(Ordering::Relaxed) {
        return Rounds::Stopped;
    }
    let of = Arc::clone(figured);
    let work = tokio::spawn(async move {
        let known = of.rounds.initialized();
        let inner = Arc::clone(&of);
        of.rounds
            .get_or_init(|| async move {
                tokio::task::spawn_blocking(move || worked(&inner)).await.unwrap_or(None)
            })
            .await;
        if !known {
            ready();
        }
    });
    let _ = tokio::time::timeout(patience, work).await;
    match figured.rounds.get() {
        Some(done) => done.clone().map_or(Rounds::None, Rounds::Done),
        None => Rounds::Working,
    }
}

/// Nobody waits for the rounds of this job any more, or somebody does again.
pub fn wait_for_rounds(figured: &Figured, waits: Waits) {
    figured.stopped.store(waits == Waits::No, Ordering::Relaxed);
}

/// Whether somebody waits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Waits {
    /// Somebody does.
    Yes,
    /// Nobody does.
    No,
}

fn worked(figured: &Figured) -> Option<Arc<Day>> {
    let (job, plan) = figured.whole()?;
    day(&[FloorOfDay { job, plan }], SEED, Budget::default()).value.map(Arc::new)
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
    let kept = figured.price.get_or_init(|| async { (key, work().await) }).await;
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

fn figure(text: &str, fetch: &dyn Fn(&str) -> Result<Vec<u8>, String>) -> Figured {
    let parsed = read_job_bytes(text.as_bytes(), "the job", fetch);
    let mut notes = parsed.report.notes;
    let plan = parsed.report.value.as_ref().and_then(|job| pour::plan::plan(job, SEED).unload(&mut notes));
    let line = |note: &Note| {
        let span = parsed.source.locate(&note.place)?;
        Some(parsed.source.position(span)?.line)
    };
    let notes = notes.into_iter().map(|note| (line(&note), note)).map(|(line, note)| (note, line)).collect();
    Figured { job: parsed.report.value, plan, notes, ..Figured::default() }
}

/// What stands in place of a result when the engine itself broke.
fn broken() -> Figured {
    let note = Note::fault(
        "engine-broke",
        basis::Place::job(),
        "the engine broke on this job: that is a fault of the program",
        "undo the last change, and report this with the job's text",
    );
    Figured { notes: vec![(note, None)], ..Figured::default() }
}
