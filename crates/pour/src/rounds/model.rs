//! The day as a constraint model, and the search for the least end and the least time on site.
//!
//! The solver is a library [@pumpkin]; here stand only the variables, the constraints and the order of questions.

use pumpkin_conflict_resolvers::resolvers::ResolutionResolver;
use pumpkin_core::Solver;
use pumpkin_core::branching::Brancher;
use pumpkin_core::branching::branchers::autonomous_search::AutonomousSearch;
use pumpkin_core::branching::branchers::dynamic_brancher::DynamicBrancher;
use pumpkin_core::branching::branchers::independent_variable_value_brancher::IndependentVariableValueBrancher;
use pumpkin_core::branching::value_selection::InDomainMin;
use pumpkin_core::branching::variable_selection::Smallest;
use pumpkin_core::predicate;
use pumpkin_core::results::{ProblemSolution, SatisfactionResult};
use pumpkin_core::termination::TerminationCondition;
use pumpkin_core::variables::{AffineView, DomainId, Literal, TransformableVariable};
use pumpkin_propagators::disjunctive::ArgDisjunctiveTask;

use super::day::{Day, tighten};
use super::loads::{Slot, Supply, overload, spans, taken};

/// Steps of the search that are left; a step is one round of propagation and decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Steps {
    pub left: u64,
}

impl TerminationCondition for Steps {
    fn should_stop(&mut self) -> bool {
        if self.left == 0 {
            return true;
        }
        self.left -= 1;
        false
    }
}

/// What a question to the solver brought.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Found {
    Yes(Vec<Slot>),
    No,
    OutOfSteps,
}

/// A solution of the model, with the times of going home.
enum Raw {
    Yes(Vec<Slot>, Vec<i32>),
    No,
    OutOfSteps,
}

/// A way of a task in the model: its start, parked beyond the day when another way is taken.
struct WayVar {
    start: DomainId,
    minutes: i32,
    taken: Option<Literal>,
}

/// What the model makes small.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Goal {
    /// The end of the last round, as a minute of the grid.
    End,
    /// Time on site of all people, each counted from the common instant, with everything over by this minute.
    PeopleTime { end: i32 },
}

/// Questions about one day: is there a schedule with at most this much?
pub(super) struct Model<'a> {
    day: &'a Day,
    supplies: &'a [Supply],
    goal: Goal,
    /// Offsets between the floors that have mattered so far, for each supply.
    offsets: Vec<Vec<i32>>,
}

impl<'a> Model<'a> {
    /// Questions about this day with this goal.
    pub fn new(day: &'a Day, supplies: &'a [Supply], goal: Goal) -> Self {
        let first = |supply: &Supply| {
            if day.floors > 1 && supply.hop > 0 { vec![0, supply.hop, -supply.hop] } else { vec![0] }
        };
        Self { day, supplies, goal, offsets: supplies.iter().map(first).collect() }
    }

    /// Looks for a schedule whose goal is at most `most`; every answer keeps all limits of the road.
    ///
    /// Each question gets a solver of its own: what was asked before cannot colour the answer.
    pub fn ask(&mut self, most: i32, steps: &mut Steps) -> Found {
        let mut day = self.day.clone();
        let latest = match self.goal {
            Goal::End => most,
            Goal::PeopleTime { end } => end,
        };
        for task in &mut day.tasks {
            task.latest = task.latest.min(latest);
        }
        tighten(&mut day.tasks);
        if day.tasks.iter().any(|task| task.ways.is_empty() || task.latest - task.earliest < task.least()) {
            return Found::No;
        }
        let people_time = matches!(self.goal, Goal::PeopleTime { .. }).then_some(most);
        loop {
            let (slots, gone) =
                match Posted::new(&day, self.supplies, people_time, &self.offsets).search(steps) {
                    Raw::Yes(slots, gone) => (slots, gone),
                    Raw::No => return Found::No,
                    Raw::OutOfSteps => return Found::OutOfSteps,
                };
            if !self.mend_offsets(&slots, &gone) {
                return Found::Yes(slots);
            }
        }
    }

    /// Adds the offset at which a schedule overtaxes a supply; false when there is none.
    fn mend_offsets(&mut self, slots: &[Slot], gone: &[i32]) -> bool {
        let mut added = false;
        for (index, supply) in self.supplies.iter().enumerate() {
            let gone = if supply.fleet.is_none() { gone } else { &[] };
            let offset = overload(&spans(self.day, supply, slots), gone, supply, self.day.horizon);
            if let Some(offset) = offset.filter(|offset| !self.offsets[index].contains(offset)) {
                self.offsets[index].push(offset);
                added = true;
            }
        }
        added
    }
}

/// A day in a solver.
struct Posted<'a> {
    day: &'a Day,
    supplies: &'a [Supply],
    solver: Solver,
    ways: Vec<Vec<WayVar>>,
    /// When the first, second ... of the people may go home, latest first; empty when only the end counts.
    leaves: Vec<DomainId>,
}

impl<'a> Posted<'a> {
    /// Posts the day; with `people_time`, the sum of the people's times on site is at most that.
    fn new(day: &'a Day, supplies: &'a [Supply], people_time: Option<i32>, offsets: &[Vec<i32>]) -> Self {
        let mut solver = Solver::default();
        let ways = way_variables(day, &mut solver);
        let latest = day.tasks.iter().map(|task| task.latest).max().unwrap_or(day.origin);
        let latest = supplies[0].fixed.iter().map(|fixed| fixed.end).fold(latest, i32::max);
        let people = if people_time.is_some() { day.people } else { 0 };
        let leaves = (0..people).map(|_| solver.new_bounded_integer(day.origin, latest)).collect();
        let mut posted = Self { day, supplies, solver, ways, leaves };
        posted.chains();
        if let Some(most) = people_time {
            posted.limit_people_time(most);
        }
        for (supply, offsets) in offsets.iter().enumerate() {
            for offset in offsets {
                posted.limit(supply, *offset);
            }
        }
        posted
    }

    fn search(mut self, steps: &mut Steps) -> Raw {
        if self.solver.is_inconsistent() {
            return Raw::No;
        }
        let mut brancher = self.brancher();
        let mut resolver = ResolutionResolver::default();
        match self.solver.satisfy(&mut brancher, steps, &mut resolver) {
            SatisfactionResult::Satisfiable(found) => {
                let solution = found.solution();
                let pick = |ways: &Vec<WayVar>| {
                    let is_taken =
                        |way: &WayVar| way.taken.is_none_or(|literal| solution.get_literal_value(literal));
                    let way = ways.iter().position(is_taken).unwrap_or(0);
                    Slot { start: solution.get_integer_value(ways[way].start), way }
                };
                let slots = self.ways.iter().map(pick).collect();
                Raw::Yes(slots, self.leaves.iter().map(|leave| solution.get_integer_value(*leave)).collect())
            }
            SatisfactionResult::Unsatisfiable(..) => Raw::No,
            SatisfactionResult::Unknown(..) => Raw::OutOfSteps,
        }
    }

    /// Conflicts lead the search; where they say nothing, the earliest start is taken next, as a list schedule would.
    fn brancher(&self) -> AutonomousSearch<DynamicBrancher> {
        let starts: Vec<DomainId> = self.ways.iter().flatten().map(|way| way.start).collect();
        let by_start = |variables: &[DomainId]| -> Box<dyn Brancher> {
            Box::new(IndependentVariableValueBrancher::new(Smallest::new(variables), InDomainMin))
        };
        let leaves = if self.leaves.is_empty() { Vec::new() } else { vec![by_start(&self.leaves)] };
        AutonomousSearch::new(DynamicBrancher::new(
            std::iter::once(by_start(&starts)).chain(leaves).collect(),
        ))
    }

    /// Rounds of a bay in order with their gaps.
    fn chains(&mut self) {
        for (index, task) in self.day.tasks.iter().enumerate() {
            let Some(before) = task.before else { continue };
            for first in &self.ways[before] {
                for second in &self.ways[index] {
                    let tag = self.solver.new_constraint_tag();
                    // A parked start is beyond the day: the order holds by itself when the second is parked, and
                    // is asked for only when the first is taken.
                    let order = pumpkin_constraints::binary_less_than_or_equals(
                        first.start.offset(first.minutes + task.gap),
                        second.start.offset(0),
                        tag,
                    );
                    match first.taken {
                        Some(literal) => self.solver.add_constraint(order).implied_by(literal),
                        None => self.solver.add_constraint(order).post(),
                    }
                }
            }
        }
    }

    /// The leaves come latest first, and their times on site sum to no more than `most`.
    fn limit_people_time(&mut self, most: i32) {
        let tag = self.solver.new_constraint_tag();
        for pair in self.leaves.windows(2) {
            let later_first =
                pumpkin_constraints::binary_less_than_or_equals(pair[1].scaled(1), pair[0].scaled(1), tag);
            self.solver.add_constraint(later_first).post();
        }
        let terms: Vec<AffineView<DomainId>> = self.leaves.iter().map(|leave| leave.scaled(1)).collect();
        let origins = self.day.origin * self.leaves.len() as i32;
        let sum = pumpkin_constraints::less_than_or_equals(terms, most + origins, tag);
        self.solver.add_constraint(sum).post();
    }

    /// No more of a supply at any minute `a` of the first floor and `a + offset` of the second than there is.
    fn limit(&mut self, supply: usize, offset: i32) {
        let (day, rules) = (self.day, &self.supplies[supply]);
        let shift = |floor: usize| if floor == 0 { 0 } else { -offset };
        let (mut starts, mut minutes, mut counts) = (Vec::new(), Vec::new(), Vec::new());
        for (task, ways) in day.tasks.iter().zip(&self.ways) {
            for (way, var) in task.ways.iter().zip(ways) {
                let count = taken(rules, way);
                if count > 0 {
                    starts.push(var.start.offset(shift(task.floor)));
                    minutes.push(way.minutes);
                    counts.push(count);
                }
            }
        }
        for fixed in &rules.fixed {
            let still = self.solver.new_bounded_integer(fixed.start, fixed.start);
            starts.push(still.offset(shift(fixed.floor)));
            minutes.push(fixed.end - fixed.start);
            counts.push(fixed.count);
        }
        if rules.fleet.is_none() {
            for leave in &self.leaves {
                // Gone from both floors: in this frame from the later of the two.
                starts.push(leave.offset((-offset).max(0)));
                minutes.push(day.horizon + rules.hop);
                counts.push(1);
            }
        }
        if starts.is_empty() {
            return;
        }
        let tag = self.solver.new_constraint_tag();
        if rules.capacity == 1 && self.leaves.is_empty() {
            let tasks = starts
                .into_iter()
                .zip(minutes)
                .map(|(start_time, processing_time)| ArgDisjunctiveTask { start_time, processing_time });
            let alone = pumpkin_constraints::disjunctive_strict(tasks.collect::<Vec<_>>(), tag);
            self.solver.add_constraint(alone).post();
        } else {
            let limit = pumpkin_constraints::cumulative(starts, minutes, counts, rules.capacity, tag);
            self.solver.add_constraint(limit).post();
        }
    }
}

/// Variables of all ways; when a task has several, those not taken are parked beyond the day, each in a place of its own.
fn way_variables(day: &Day, solver: &mut Solver) -> Vec<Vec<WayVar>> {
    let hop = day.fleets.iter().map(|fleet| fleet.hop).max().unwrap_or(0).max(day.travel);
    let longest = day.tasks.iter().flat_map(|task| &task.ways).map(|way| way.minutes).max().unwrap_or(0);
    let berth = longest + 2 * hop + 1;
    let mut park = 2 * day.horizon + 4 * hop + berth;
    let mut all = Vec::with_capacity(day.tasks.len());
    for task in &day.tasks {
        let last = |minutes: i32| task.latest - minutes;
        if let [only] = task.ways.as_slice() {
            let start = solver.new_bounded_integer(task.earliest, last(only.minutes));
            all.push(vec![WayVar { start, minutes: only.minutes, taken: None }]);
            continue;
        }
        let mut ways = Vec::new();
        for way in &task.ways {
            // The hole between the day and the berth is a clause: a domain with thousands of holes is slow.
            let start = solver.new_bounded_integer(task.earliest, park);
            let hole = solver.new_constraint_tag();
            let in_day = predicate![start <= last(way.minutes).max(task.earliest - 1)];
            solver.add_clause([in_day, predicate![start >= park]], hole);
            let tag = solver.new_constraint_tag();
            let literal = solver.new_literal_for_predicate(predicate![start <= day.horizon], tag);
            ways.push(WayVar { start, minutes: way.minutes, taken: Some(literal) });
            park += berth;
        }
        exactly_one(&ways, solver);
        all.push(ways);
    }
    all
}

fn exactly_one(ways: &[WayVar], solver: &mut Solver) {
    let literals: Vec<Literal> = ways.iter().filter_map(|way| way.taken).collect();
    let tag = solver.new_constraint_tag();
    solver.add_constraint(pumpkin_constraints::clause(literals.clone(), tag)).post();
    for (index, one) in literals.iter().enumerate() {
        for other in &literals[index + 1..] {
            solver.add_constraint(pumpkin_constraints::clause(vec![!*one, !*other], tag)).post();
        }
    }
}
