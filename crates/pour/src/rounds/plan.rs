//! What the planner answers: a plan, a refusal, or neither within its budget.

use basis::TimeSpan;

use super::problem::{RoundKind, Window};
use super::refusal::Refusal;

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A plan that keeps every window.
    Plan(RoundPlan),
    /// Proof that there is none, and what would mend it.
    Refused(Refusal),
    /// The budget ran out with neither a plan nor a proof; more steps may find one.
    Undecided {
        /// Steps that were spent.
        steps: u64,
    },
}

/// Who does what, where and when.
#[derive(Debug, Clone, PartialEq)]
pub struct RoundPlan {
    /// One for each round of each bay, by start, then bay, then round.
    pub assignments: Vec<Assignment>,
    /// The people of each busy span, in the order of the input, counted from 0.
    pub busy: Vec<Vec<u32>>,
    /// End of the last round.
    pub end: TimeSpan,
    /// Whether an earlier end is excluded.
    pub proof: Proof,
    /// Time on site of all people together: each from the common instant to the end of his last work.
    pub people_time: TimeSpan,
    /// Whether, at this end, less time on site is excluded.
    pub people_proof: Proof,
}

/// One round of one bay in the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Assignment {
    /// Index of the bay.
    pub bay: usize,
    /// Index of the round within the bay.
    pub round: usize,
    /// Start.
    pub start: TimeSpan,
    /// End.
    pub end: TimeSpan,
    /// Who, counted from 0.
    pub people: Vec<u32>,
    /// Index of the machine; absent for hand work.
    pub machine: Option<usize>,
    /// Which way the passes run.
    pub direction: Direction,
}

/// Which way the passes of a round run over the bay.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// Across the bay, square to the way it was struck off.
    Across,
    /// Along the bay.
    Along,
    /// Around its edges.
    Around,
}

/// How sure a least value is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Proof {
    /// No smaller value is possible on the grid of minutes.
    Proven,
    /// The budget ran out; a smaller value down to `bound` is not excluded.
    Gap {
        /// Nothing below this is possible.
        bound: TimeSpan,
    },
}

/// The round at which a day without a plan fails.
#[derive(Debug, Clone, PartialEq)]
pub struct FailedRound {
    /// Index of the bay.
    pub bay: usize,
    /// Index of the round within the bay.
    pub round: usize,
    /// Which kind of round.
    pub kind: RoundKind,
    /// Its window as stated.
    pub window: Window,
    /// Least time that its work takes; absent when no way to do it is at hand.
    pub work: Option<TimeSpan>,
    /// Why.
    pub cause: Cause,
    /// How many rounds, first in the order of their latest ends, were shown to have a plan together.
    pub planned_before: usize,
    /// Whether those are all that are due before it, so that this is the first that fails.
    pub first: First,
}

/// Whether a failed round is the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum First {
    /// All rounds due before it can be planned without it.
    Shown,
    /// The budget ran out before that was shown; an earlier round may fail too.
    NotShown,
}

/// Why a round fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// No machine of a kind that could do it is there, or too few people for any way.
    NoWay,
    /// The work is longer than what the window and the rounds around it leave.
    WindowTooShort,
    /// With people in plenty it would fit.
    ShortOfPeople,
    /// With machines in plenty it would fit.
    ShortOfMachines,
    /// Either, people or machines in plenty, would do.
    PeopleOrMachines,
    /// Only more of both would do.
    PeopleAndMachines,
    /// The windows clash whatever the crew: the floors are too far apart in time, or the budget ran out.
    Unexplained,
}

impl Cause {
    /// What it means for the crew, as a sentence.
    #[must_use]
    pub const fn told(self) -> &'static str {
        match self {
            Self::NoWay => "Nothing at hand can do it.",
            Self::WindowTooShort => "The window is shorter than the work, whoever does it.",
            Self::ShortOfPeople => "With more people it would fit.",
            Self::ShortOfMachines => "With another machine it would fit.",
            Self::PeopleOrMachines => "More people or another machine would do.",
            Self::PeopleAndMachines => "It takes both more people and another machine.",
            Self::Unexplained => "The windows clash.",
        }
    }
}
