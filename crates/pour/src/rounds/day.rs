//! The problem on a grid of whole minutes, as the solver sees it.

use basis::TimeSpan;

use super::problem::{Problem, Tool};

/// A round to be placed on the grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Task {
    pub bay: usize,
    pub round: usize,
    pub floor: usize,
    /// Earliest start and latest end, tightened by the rounds around it.
    pub earliest: i32,
    pub latest: i32,
    pub ways: Vec<GridWay>,
    /// The task before it in the bay, and the least gap to it.
    pub before: Option<usize>,
    pub gap: i32,
}

/// A way to do a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct GridWay {
    pub fleet: Option<usize>,
    pub people: i32,
    pub minutes: i32,
}

/// Machines that are alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fleet {
    pub kind: String,
    /// Minutes from one floor to the other: road, loading and unloading.
    pub hop: i32,
    /// The machines, as indices of the problem.
    pub machines: Vec<usize>,
}

/// Something fixed that takes people or machines: placing, a machine that stands on its floor at first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fixed {
    pub floor: usize,
    pub start: i32,
    pub end: i32,
    pub count: i32,
}

/// The whole day on the grid.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Day {
    /// The tasks, those of a bay in order and next to each other.
    pub tasks: Vec<Task>,
    pub fleets: Vec<Fleet>,
    pub people: i32,
    pub busy: Vec<Fixed>,
    /// Minutes of road; 0 for one floor.
    pub travel: i32,
    pub floors: usize,
    /// Minute of the common instant: everything else is after it.
    pub origin: i32,
    /// All windows and busy spans end by this minute.
    pub horizon: i32,
    /// Seconds of minute 0 against the common instant.
    pub shift: i64,
}

impl Task {
    /// Minutes of the quickest way.
    pub fn least(&self) -> i32 {
        self.ways.iter().map(|way| way.minutes).min().unwrap_or(0)
    }
}

impl Day {
    /// A minute of the grid as time from the common instant.
    pub fn instant(&self, minute: i32) -> TimeSpan {
        TimeSpan::minutes((i64::from(minute) + self.shift) as f64)
    }

    /// Sum of minutes as a span.
    pub fn span(minutes: i64) -> TimeSpan {
        TimeSpan::minutes(minutes as f64)
    }

    /// What stands fixed for a fleet: each machine is on its floor at the common instant.
    pub fn standing(&self, problem: &Problem, fleet: usize) -> Vec<Fixed> {
        if self.floors < 2 {
            return Vec::new();
        }
        let at = |machine: &usize| problem.machines[*machine].floor;
        let stand = |machine: &usize| Fixed {
            floor: at(machine),
            start: self.origin - 1,
            end: self.origin,
            count: 1,
        };
        self.fleets[fleet].machines.iter().map(stand).collect()
    }
}

/// Up to the next whole minute; a millionth of a minute is rounding.
fn up(t: TimeSpan) -> i64 {
    (t.in_minutes() - 1e-6).ceil() as i64
}

/// Down to the last whole minute.
fn down(t: TimeSpan) -> i64 {
    (t.in_minutes() + 1e-6).floor() as i64
}

/// Lays the problem on the grid: starts and work rounded up, ends rounded down.
pub(super) fn lay(problem: &Problem) -> Day {
    let rounds = || problem.bays.iter().flat_map(|bay| &bay.rounds);
    let first = rounds().map(|round| up(round.window.earliest));
    let first = first.chain(problem.crew.busy.iter().map(|busy| down(busy.from))).min().unwrap_or(0).min(0);
    let shift = first - 1;
    let minute = |m: i64| (m - shift) as i32;
    let two = problem.floors.len() > 1;
    let travel = if two { up(problem.travel) as i32 } else { 0 };
    let fleets = fleets(problem, travel, two);
    let mut tasks: Vec<Task> = Vec::new();
    for (b, bay) in problem.bays.iter().enumerate() {
        for (r, round) in bay.rounds.iter().enumerate() {
            tasks.push(Task {
                bay: b,
                round: r,
                floor: bay.floor,
                earliest: minute(up(round.window.earliest)),
                latest: minute(down(round.window.latest)),
                ways: ways(round, &fleets, problem.crew.people),
                before: if r == 0 { None } else { tasks.len().checked_sub(1) },
                gap: up(round.gap) as i32,
            });
        }
    }
    let busy: Vec<Fixed> = problem
        .crew
        .busy
        .iter()
        .map(|busy| Fixed {
            floor: busy.floor,
            start: minute(down(busy.from)),
            end: minute(up(busy.until)),
            count: busy.people as i32,
        })
        .collect();
    let horizon = tasks.iter().map(|task| task.latest).chain(busy.iter().map(|busy| busy.end)).max();
    let horizon = horizon.unwrap_or(1).max(1);
    let people = problem.crew.people as i32;
    let mut day = Day {
        tasks,
        fleets,
        people,
        busy,
        travel,
        floors: problem.floors.len(),
        origin: minute(0),
        horizon,
        shift,
    };
    tighten(&mut day.tasks);
    day
}

fn ways(round: &super::problem::Round, fleets: &[Fleet], people: u32) -> Vec<GridWay> {
    let mut ways: Vec<GridWay> = Vec::new();
    for way in round.ways.iter().filter(|way| way.people <= people) {
        let fleet = match &way.tool {
            Tool::Hands => None,
            Tool::Machine(kind) => match fleets.iter().position(|fleet| fleet.kind == *kind) {
                Some(fleet) => Some(fleet),
                None => continue,
            },
        };
        ways.push(GridWay { fleet, people: way.people as i32, minutes: (up(way.time) as i32).max(1) });
    }
    ways
}

/// Machines of one kind that move in the same time are one fleet; a kind with two moving times takes the longer.
fn fleets(problem: &Problem, travel: i32, two: bool) -> Vec<Fleet> {
    let mut fleets: Vec<Fleet> = Vec::new();
    for (index, machine) in problem.machines.iter().enumerate() {
        let hop = if two { travel + up(machine.moving) as i32 } else { 0 };
        match fleets.iter_mut().find(|fleet| fleet.kind == machine.kind) {
            Some(fleet) => {
                fleet.hop = fleet.hop.max(hop);
                fleet.machines.push(index);
            }
            None => fleets.push(Fleet { kind: machine.kind.clone(), hop, machines: vec![index] }),
        }
    }
    fleets
}

/// Carries earliest starts forward and latest ends back through the rounds of each bay.
pub(super) fn tighten(tasks: &mut [Task]) {
    for index in 0..tasks.len() {
        if let Some(before) = tasks[index].before {
            let ready = tasks[before].earliest + tasks[before].least() + tasks[index].gap;
            tasks[index].earliest = tasks[index].earliest.max(ready);
        }
    }
    for index in (0..tasks.len()).rev() {
        if let Some(before) = tasks[index].before {
            let due = tasks[index].latest - tasks[index].least() - tasks[index].gap;
            tasks[before].latest = tasks[before].latest.min(due);
        }
    }
}
