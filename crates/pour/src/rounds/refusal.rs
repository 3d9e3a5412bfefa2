//! A day without a plan: the first round that fails, and the smallest changes that mend it.

use basis::{Note, TimeSpan};

use super::check_input;
use super::day::{Day, lay};
use super::loads::{Supply, supplies};
use super::model::{Found, Steps};
use super::plan::{Answer, Cause, FailedRound, First, Proof, RoundPlan};
use super::problem::{Machine, Problem};
use super::solve::feasible;
use super::{Budget, solve_day};

/// Why there is no plan, and what would make one.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// The first round that fails.
    pub failed: FailedRound,
    /// What was tried from the menu, in its order; changes of a kind that already mended the day are left out.
    pub tried: Vec<Tried>,
}

/// A change of the day from the caller's menu.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Start later; earlier when negative.
    Start(TimeSpan),
    /// Ask for the trucks with this spacing.
    Spacing(TimeSpan),
    /// One more machine, by its name.
    Machine(String),
    /// So many more people.
    People(u32),
    /// Another mix, by its name.
    Mix(String),
    /// Two of the above together; tried only when none alone mends the day.
    Both(Box<Change>, Box<Change>),
}

/// Makes the changed day; absent when the change cannot be made.
pub type Remake<'a> = Box<dyn Fn(&Problem) -> Option<Problem> + 'a>;

/// A change with the day that it makes.
pub struct Offer<'a> {
    /// The change.
    pub change: Change,
    /// The day with the change; absent when the change cannot be made, such as a start before the plant opens.
    pub make: Remake<'a>,
}

/// One change that was tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The change.
    pub change: Change,
    /// What came of it.
    pub outcome: Outcome,
}

/// What came of a change.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// With it there is a plan, verified.
    Mends(Box<RoundPlan>),
    /// With it there is still none: shown.
    StillNone,
    /// The budget ran out before either was shown.
    Undecided,
    /// The change cannot be made.
    CannotBeMade,
}

impl Refusal {
    /// The changes that mend the day.
    pub fn mends(&self) -> impl Iterator<Item = (&Change, &RoundPlan)> {
        self.tried.iter().filter_map(|tried| match &tried.outcome {
            Outcome::Mends(plan) => Some((&tried.change, plan.as_ref())),
            _ => None,
        })
    }
}

/// One more machine on the menu.
#[must_use]
pub fn one_more_machine(machine: Machine) -> Offer<'static> {
    let change = Change::Machine(machine.name.clone());
    let make = move |problem: &Problem| {
        let mut problem = problem.clone();
        problem.machines.push(machine.clone());
        Some(problem)
    };
    Offer { change, make: Box::new(make) }
}

/// So many more people, free all day, on the menu.
#[must_use]
pub fn more_people(count: u32) -> Offer<'static> {
    let make = move |problem: &Problem| {
        let mut problem = problem.clone();
        problem.crew.people = problem.crew.people.saturating_add(count);
        Some(problem)
    };
    Offer { change: Change::People(count), make: Box::new(make) }
}

/// Explains why a day has no plan and tries the menu, in its order, which runs from small to large within each kind of change.
pub(super) fn refuse(
    problem: &Problem,
    day: &Day,
    menu: &[Offer<'_>],
    budget: Budget,
    notes: &mut Vec<Note>,
) -> Refusal {
    let failed = first_failure(problem, day, budget);
    let mut tried: Vec<Tried> = Vec::new();
    for offer in menu {
        let kind = kind(&offer.change);
        let mended = |t: &Tried| kind == self::kind(&t.change) && matches!(t.outcome, Outcome::Mends(_));
        let alone =
            |t: &Tried| !matches!(t.change, Change::Both(..)) && matches!(t.outcome, Outcome::Mends(_));
        let is_idle = matches!(offer.change, Change::Both(..)) && tried.iter().any(alone);
        if !is_idle && !tried.iter().any(mended) {
            let outcome = attempt(problem, offer, budget, notes);
            tried.push(Tried { change: offer.change.clone(), outcome });
        }
    }
    Refusal { failed, tried }
}

/// Changes of one kind: a smaller one that mends makes the larger ones idle; earlier and later are two kinds, and so are
/// pairs of different kinds.
fn kind(change: &Change) -> (u8, bool, u8) {
    match change {
        Change::Start(by) => (0, *by < TimeSpan::ZERO, 0),
        Change::Spacing(_) => (1, false, 0),
        Change::Machine(_) => (2, false, 0),
        Change::People(_) => (3, false, 0),
        Change::Mix(_) => (4, false, 0),
        Change::Both(one, other) => (5, kind(one).1, 8 * kind(one).0 + kind(other).0),
    }
}

fn attempt(problem: &Problem, offer: &Offer<'_>, budget: Budget, notes: &mut Vec<Note>) -> Outcome {
    let Some(changed) = (offer.make)(problem) else { return Outcome::CannotBeMade };
    let mut faults = Vec::new();
    check_input::check(&changed, &mut faults);
    if basis::has_fault(&faults) {
        return Outcome::CannotBeMade;
    }
    match solve_day(&changed, &lay(&changed), budget, notes) {
        Some(Answer::Plan(plan)) => Outcome::Mends(Box::new(plan)),
        Some(_) => Outcome::Undecided,
        None => Outcome::StillNone,
    }
}

/// The rounds in the order of their latest ends, those of a bay in their order.
fn time_order(day: &Day) -> Vec<usize> {
    let mut order: Vec<usize> = (0..day.tasks.len()).collect();
    order.sort_by_key(|index| (day.tasks[*index].latest, day.tasks[*index].earliest, *index));
    order
}

/// The day with only these tasks.
fn part(day: &Day, tasks: &[usize]) -> Day {
    let mut kept: Vec<usize> = tasks.to_vec();
    kept.sort_unstable();
    let place = |index: usize| kept.binary_search(&index).ok();
    let tasks = kept
        .iter()
        .map(|index| {
            let mut task = day.tasks[*index].clone();
            task.before = task.before.and_then(place);
            task
        })
        .collect();
    Day { tasks, ..day.clone() }
}

fn first_failure(problem: &Problem, day: &Day, budget: Budget) -> FailedRound {
    let supplies = supplies(day, problem);
    let order = time_order(day);
    // A round that cannot fit by itself needs no search; what is due before it may fail all the same.
    let hopeless = order.iter().position(|index| {
        let task = &day.tasks[*index];
        task.ways.is_empty() || task.latest - task.earliest < task.least()
    });
    let ask =
        |count: usize| feasible(&part(day, &order[..count]), &supplies, &mut Steps { left: budget.steps });
    // Fewer rounds are never harder, so the shortest prefix without a plan is found by halving.
    let (mut low, mut high, mut shown) = (0, hopeless.map_or(order.len(), |place| place + 1), 0);
    while high - low > 1 {
        let middle = if hopeless == Some(high - 1) { high - 1 } else { usize::midpoint(low, high) };
        match ask(middle) {
            Found::Yes(_) => (low, shown) = (middle, middle),
            Found::No => high = middle,
            Found::OutOfSteps => low = middle,
        }
    }
    let index = order[high - 1];
    let cause = match hopeless {
        Some(place) if place + 1 == high && day.tasks[index].ways.is_empty() => Cause::NoWay,
        Some(place) if place + 1 == high => Cause::WindowTooShort,
        _ => cause(&part(day, &order[..high]), &supplies, budget),
    };
    let first = if shown + 1 == high { First::Shown } else { First::NotShown };
    failed(problem, day, index, cause, shown, first)
}

/// What the rounds up to the failing one lack.
fn cause(day: &Day, supplies: &[Supply], budget: Budget) -> Cause {
    let plenty = day.tasks.len() as i32 * 8;
    let works = |of_people: bool, of_machines: bool| {
        let mut rich = supplies.to_vec();
        for supply in &mut rich {
            let enough = if supply.fleet.is_none() { of_people } else { of_machines };
            supply.capacity += if enough { plenty } else { 0 };
        }
        matches!(feasible(day, &rich, &mut Steps { left: budget.steps }), Found::Yes(_))
    };
    match (works(true, false), works(false, true)) {
        (true, true) => Cause::PeopleOrMachines,
        (true, false) => Cause::ShortOfPeople,
        (false, true) => Cause::ShortOfMachines,
        (false, false) if works(true, true) => Cause::PeopleAndMachines,
        (false, false) => Cause::Unexplained,
    }
}

fn failed(
    problem: &Problem,
    day: &Day,
    index: usize,
    cause: Cause,
    before: usize,
    first: First,
) -> FailedRound {
    let task = &day.tasks[index];
    let round = &problem.bays[task.bay].rounds[task.round];
    FailedRound {
        bay: task.bay,
        round: task.round,
        kind: round.kind,
        window: round.window,
        work: (!task.ways.is_empty()).then(|| Day::span(i64::from(task.least()))),
        cause,
        planned_before: before,
        first,
    }
}

/// Whether a plan is known to be the best.
impl RoundPlan {
    /// Whether an earlier end is excluded.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.proof == Proof::Proven
    }
}
