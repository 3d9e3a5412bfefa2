//! What the engine says of a job, as plain functions: the same on the server and on a phone.

use std::sync::Arc;

use basis::{Note, TimeSpan};
use formats::events::State;
use pour::Job;
use pour::day::{Day, FloorOfDay, day};
use pour::forecast::seen;
use pour::log::{DaySoFar, Entry, LogInput, so_far};
use pour::plan::Plan;
use pour::rounds::Budget;

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
    /// What the desk works out of it beside.
    #[cfg(feature = "server")]
    pub(crate) works: crate::desk::Works,
}

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
    /// It is worked out where there is a signal, not on this phone.
    Elsewhere,
    /// Without weather or a plan there are none.
    None,
}

/// What the engine says of a job before anything is logged.
#[must_use]
pub fn figure(state: &State) -> Figured {
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
#[must_use]
pub fn under_way(planned: &Figured, entries: &[Entry]) -> Figured {
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
#[must_use]
pub fn broken() -> Figured {
    let note = Note::fault(
        "engine-broke",
        basis::Place::job(),
        "the engine broke on this job: that is a fault of the program",
        "undo the last change, and report this with the job's text",
    );
    Figured { notes: vec![(note, None)], ..Figured::default() }
}

/// Who does what and when; nothing without a plan or weather. It takes seconds.
#[must_use]
pub fn worked(figured: &Figured) -> Option<Arc<Day>> {
    let (job, plan) = figured.whole()?;
    day(&[FloorOfDay { job, plan }], SEED, Budget::default()).value.map(Arc::new)
}
