//! Where the engine works for the pages: every result once, aside from the threads that answer.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use basis::{Note, TimeSpan};
use formats::events::State;
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::forecast::seen;
use pour::log::{DaySoFar, Entry, LogInput, so_far};
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
    /// How far the pour has got by its log; absent before anything is logged.
    pub so_far: Option<DaySoFar>,
    /// What was seen has moved the first round that is left by so much.
    pub moved: Option<TimeSpan>,
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

fn figure(state: &State) -> Figured {
    let parsed = state.read("the job");
    let mut notes = parsed.report.notes;
    let plan = parsed.report.value.as_ref().and_then(|job| pour::plan::plan(job, SEED).unload(&mut notes));
    let line = |note: &Note| {
        let span = parsed.source.locate(&note.place)?;
        Some(parsed.source.position(span)?.line)
    };
    let notes = notes.into_iter().map(|note| (line(&note), note)).map(|(line, note)| (note, line)).collect();
    Figured { job: parsed.report.value, plan, notes, ..Figured::default() }
}

/// The same floor after what its log tells: the clock anew, the line, the loads.
fn under_way(planned: &Figured, entries: &[Entry]) -> Figured {
    let (mut plan, job) = (planned.plan.clone(), planned.job.clone());
    let (Some(plan_now), Some(job_now), Some(now)) =
        (plan.as_mut(), job.as_ref(), entries.iter().map(|entry| entry.at).max())
    else {
        return broken();
    };
    let mut told = Vec::new();
    let input = LogInput {
        entries,
        now,
        bays: &plan_now.bays.bays,
        loads: &plan_now.order.loads,
        first_truck: plan_now.forecast.as_ref().map(|forecast| forecast.first_truck),
        units: job_now.units,
    };
    let far = so_far(&input).unload(&mut told);
    let sights = far.as_ref().map_or(&[][..], |far| far.sights.as_slice());
    let looked = sights.iter().map(pour::forecast::Sight::at).max();
    let mut moved = None;
    if let Some((forecast, looked)) = plan_now.forecast.as_ref().zip(looked)
        && let Some(update) = seen(forecast, sights, looked).unload(&mut told)
    {
        moved = update.moved;
        plan_now.forecast = Some(update.forecast);
    }
    let mut notes = planned.notes.clone();
    notes.extend(told.into_iter().map(|note| (note.in_units(job_now.units), None)));
    Figured { job, plan, notes, so_far: far, moved, ..Figured::default() }
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
