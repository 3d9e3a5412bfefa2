//! The floor as it was built against what was planned: a function of the job, its plan and what was shot and read afterwards.
//!
//! Shots of the finished top give elevation, thickness, fall, run-off and birdbaths; lines read over it give flatness, levelness and
//! straightedge gaps. Either may be missing. Reading points of lines that belong to a set-up count as shots too.

mod flatness;
mod gather;
mod top;

pub use flatness::{Figured, LineGap, LineWild, Profiles};
pub use top::{BathTold, DoorEdge, Drains, Top};

use basis::{Length, Note, Report};
use ground::P2;
use ground::flatness::Spacing;
use ground::survey::{Levelled, LevelledShot, RodReading, Setup};

use crate::job::Job;
use crate::plan::Plan;

/// What was shot and read over the finished floor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AsBuiltSurvey {
    /// Set-ups with their shots of the finished top; they stand on the job's benchmarks.
    pub setups: Vec<Setup>,
    /// Lines.
    pub lines: Vec<ReadLine>,
}

/// A line over the floor and what was read along it.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadLine {
    /// Its name.
    pub name: String,
    /// Where the first reading was taken, m.
    pub from: P2,
    /// A spot toward which it runs, m.
    pub to: P2,
    /// Distance between readings.
    pub spacing: Spacing,
    /// What was read.
    pub readings: LineReadings,
    /// Where it stands in the user's input.
    pub place: basis::Place,
}

/// What was read along a line.
#[derive(Debug, Clone, PartialEq)]
pub enum LineReadings {
    /// Rod readings from a set-up, by its place among [`AsBuiltSurvey::setups`].
    Rod {
        /// The set-up.
        setup: usize,
        /// The readings in order, each with where it stands in the user's input.
        readings: Vec<(RodReading, basis::Place)>,
    },
    /// Heights above any level of its own, as a profiler gives them; a larger one is a higher spot.
    Heights {
        /// The heights in order.
        heights: Vec<Length>,
        /// What a single one may be off by, one standard deviation, if known.
        noise: Option<Length>,
    },
}

/// The floor as built, against design.
#[derive(Debug, Clone)]
pub struct AsBuilt {
    /// The as-built survey, levelled.
    pub levelled: Levelled,
    /// Shots of the finished floor, reading points of lines among them.
    pub shots: Vec<LevelledShot>,
    /// What the shots say; absent when there are fewer than three on the floor.
    pub top: Option<Top>,
    /// What the lines say; absent without lines that count.
    pub profiles: Option<Profiles>,
}

/// Figures the floor as built.
///
/// # Errors
/// Refused with all faults of the survey: unknown benchmarks, misclosure, readings that no rod shows, a floor from which no water can
/// go, most of its shots below the base. Lines that are too short, single wild shots and readings, and shots below the base are warnings.
#[must_use]
pub fn as_built(job: &Job, plan: &Plan, survey: &AsBuiltSurvey) -> Report<AsBuilt> {
    let mut notes = Vec::new();
    let figured = figure(job, plan, survey, &mut notes);
    let notes: Vec<Note> = notes.into_iter().map(|note| note.in_units(job.units)).collect();
    match figured.filter(|_| !basis::has_fault(&notes)) {
        Some(built) => Report::with(built, notes),
        None => Report::refused(notes),
    }
}

fn figure(job: &Job, plan: &Plan, survey: &AsBuiltSurvey, notes: &mut Vec<Note>) -> Option<AsBuilt> {
    if survey.lines.is_empty() && survey.setups.iter().all(|s| s.shots.is_empty()) {
        let hint = "add set-ups with shots of the finished floor, or lines read over it";
        notes.push(Note::fault(
            "nothing-as-built",
            basis::Place::job(),
            "nothing of the finished floor is given",
            hint,
        ));
        return None;
    }
    let gathered = gather::gather(job, survey, notes)?;
    let on_floor = gathered.shots.iter().filter(|s| plan.floor.contains(s.at)).count();
    let top = if on_floor >= 3 { top::top(job, plan, &gathered, notes) } else { None };
    let profiles = if gathered.lines.is_empty() { None } else { flatness::profiles(plan, &gathered, notes) };
    Some(AsBuilt { levelled: gathered.levelled, shots: gathered.shots, top, profiles })
}
