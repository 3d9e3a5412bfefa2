//! The day as a problem of rounds: windows, work, people, machines.

use basis::quantity::{area_rate, time_span};
use basis::{Area, AreaRate, Length, Place, Speed, TimeSpan, UnitSystem};
use clock::band::RoundBand;
use clock::finish;
use jiff::Timestamp;

use super::{FloorOfDay, since};
use crate::bays::{Bay, RidesOn};
use crate::forecast::{BayForecast, Forecast};
use crate::job::{self, Assumed, Job};
use crate::rounds::{
    BayRounds, Busy, Coverage, EdgeRate, Hands, Machine, MachineRate, Problem, RATES_SOURCE, Rates, Round,
    RoundKind, Way, Window, default_rates, ways,
};

/// People whom placing keeps: one at the chute, two on the straightedge, who bull float behind it in turns; common
/// practice, no source.
const PLACING: u32 = 3;
/// Longest pass of a machine over one stretch: longer bays are worked in stretches, as a crew does that follows the slab;
/// our own choice.
const A_STRETCH: TimeSpan = TimeSpan::minutes(12.0);
/// Time to load up and drive to the second floor when it is not stated; common practice, no source.
const MOVE_ON: TimeSpan = TimeSpan::minutes(45.0);

/// The problem, and what of the forecast did not go into it.
#[derive(Debug, Clone)]
pub(super) struct Posed {
    pub problem: Problem,
    /// What of the floors each bay of the problem is.
    pub stretches: Vec<Stretch>,
    /// Round of the forecast behind each round of each stretch.
    pub rounds: Vec<Vec<finish::Round>>,
    pub beyond: Vec<String>,
    pub assumed: Vec<Assumed>,
}

/// A stretch of a bay, from its start to its end as it was placed: what one machine works through at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// Index of the floor.
    pub floor: usize,
    /// Index of the bay on it.
    pub bay: usize,
    /// Which stretch of the bay, from 0.
    pub part: usize,
    /// How many the bay has.
    pub of: usize,
}

impl Stretch {
    /// When the stretch is placed, of a bay that is placed evenly.
    pub(super) fn placed(self, (from, until): (TimeSpan, TimeSpan)) -> (TimeSpan, TimeSpan) {
        let each = (until - from) / self.of as f64;
        (from + each * self.part as f64, from + each * (self.part + 1) as f64)
    }

    /// An instant of the bay's middle, for the middle of the stretch.
    pub(super) fn moved(self, middle: TimeSpan, (from, until): (TimeSpan, TimeSpan)) -> TimeSpan {
        let part = (self.part as f64 + 0.5) / self.of as f64 - 0.5;
        middle + (until - from) * part
    }

    /// The window of a round on this stretch.
    pub(super) fn window(
        self,
        placed: (TimeSpan, TimeSpan),
        opens: TimeSpan,
        closes: TimeSpan,
        work: TimeSpan,
    ) -> Window {
        along(self.placed(placed), (self.moved(opens, placed), self.moved(closes, placed)), work)
    }
}

/// Poses the day with every window in the middle of its band.
pub(super) fn posed(floors: &[FloorOfDay<'_>], forecasts: &[&Forecast], start: Timestamp) -> Posed {
    let mut assumed = Vec::new();
    let mut posed = Posed {
        problem: Problem {
            floors: floors.iter().map(|floor| floor.job.name.clone()).collect(),
            travel: travel(floors, &mut assumed),
            bays: Vec::new(),
            crew: Hands { people: people(floors), busy: Vec::new() },
            machines: machines(floors),
        },
        stretches: Vec::new(),
        rounds: Vec::new(),
        beyond: Vec::new(),
        assumed,
    };
    for (number, (floor, forecast)) in floors.iter().zip(forecasts).enumerate() {
        let by = since(start, forecast.first_truck);
        let rates = rates(floors, floor.job, &mut posed.assumed);
        posed.problem.crew.busy.extend(placing(floor.job, forecast, number, by));
        for (index, bay) in floor.plan.bays.bays.iter().enumerate() {
            let Some(times) = forecast.bays.get(index) else { continue };
            for missing in times.rounds.iter().filter(|band| is_beyond(band)) {
                posed.beyond.push(format!("{}, bay {}: {}", floor.job.name, bay.number, kind(missing.round)));
            }
            let of = stretches(bay, &rates);
            for part in 0..of {
                let stretch = Stretch { floor: number, bay: index, part, of };
                let (rounds, kinds) = rounds(bay, times, (by, forecast.now), &rates, stretch);
                let name = name(floors.len(), &floor.job.name, bay.number, stretch);
                posed.problem.bays.push(BayRounds { name, floor: number, rounds });
                posed.stretches.push(stretch);
                posed.rounds.push(kinds);
            }
        }
    }
    posed
}

/// `2`, or `2a` and `2b` for the stretches of a long bay in the order in which they were placed.
fn name(floors: usize, floor: &str, bay: usize, stretch: Stretch) -> String {
    let letter =
        if stretch.of > 1 { char::from(b'a' + (stretch.part % 26) as u8).to_string() } else { String::new() };
    if floors > 1 { format!("{floor} {bay}{letter}") } else { format!("{bay}{letter}") }
}

/// Stretches of a bay: as few as keep one pass of the quickest machine over a stretch within [`A_STRETCH`].
fn stretches(bay: &Bay, rates: &FloorRates) -> usize {
    let pass = quickest(&ways(RoundKind::Float, bay.area, Length::ZERO, &rates.float));
    ((pass / A_STRETCH).ceil() as usize).clamp(1, 26)
}

fn quickest(ways: &[Way]) -> TimeSpan {
    ways.iter().map(|way| way.time).min_by(TimeSpan::total_cmp).unwrap_or_default()
}

fn is_beyond(band: &RoundBand) -> bool {
    band.opens.middle.is_none() || band.closes.middle.is_none()
}

fn people(floors: &[FloorOfDay<'_>]) -> u32 {
    let of = |job: &Job| job.finishing.people.unwrap_or(job.crew.people);
    floors.iter().map(|floor| of(floor.job)).max().unwrap_or(0)
}

fn travel(floors: &[FloorOfDay<'_>], assumed: &mut Vec<Assumed>) -> TimeSpan {
    if floors.len() < 2 {
        return TimeSpan::ZERO;
    }
    let stated = floors.iter().find_map(|floor| floor.job.finishing.move_on);
    stated.unwrap_or_else(|| {
        assumed.push(taken("finishing.move_on", "time to the next floor", time_span(MOVE_ON), PRACTICE));
        MOVE_ON
    })
}

const PRACTICE: &str = "common practice, no source";

fn taken(path: &str, what: &str, value: String, source: &str) -> Assumed {
    Assumed { place: Place::at(path), what: what.to_owned(), value, source: source.to_owned() }
}

/// The machines of all floors by their names: one crew brings the same machine to both.
///
/// Machines of the same rates are of one kind, so that the planner need not tell them apart.
fn machines(floors: &[FloorOfDay<'_>]) -> Vec<Machine> {
    let known = stated_machines(floors);
    let mut machines: Vec<Machine> = Vec::new();
    for (number, floor) in floors.iter().enumerate() {
        for machine in &floor.job.finishing.machines {
            if !machines.iter().any(|known| known.name == machine.name) {
                machines.push(Machine {
                    name: machine.name.clone(),
                    kind: kind_of(machine, &known).to_owned(),
                    floor: number,
                    moving: TimeSpan::ZERO,
                });
            }
        }
    }
    machines
}

/// The machines as the jobs state them; of one that two jobs name, the first.
fn stated_machines<'a>(floors: &[FloorOfDay<'a>]) -> Vec<&'a job::Machine> {
    let mut known: Vec<&job::Machine> = Vec::new();
    for machine in floors.iter().flat_map(|floor| &floor.job.finishing.machines) {
        if !known.iter().any(|known| known.name == machine.name) {
            known.push(machine);
        }
    }
    known
}

/// The name of the first machine that works at the same rates.
fn kind_of<'a>(machine: &job::Machine, known: &[&'a job::Machine]) -> &'a str {
    let stated = known.iter().find(|one| one.name == machine.name);
    let rates = stated.map(|one| (one.float, one.trowel));
    let first = known.iter().find(|one| Some((one.float, one.trowel)) == rates);
    first.map_or("", |one| one.name.as_str())
}

/// Placing and bull floating keep some people from the first concrete to the last, in the middle of their bands.
fn placing(job: &Job, forecast: &Forecast, floor: usize, by: TimeSpan) -> Option<Busy> {
    let from = forecast.bays.first()?.from.middle + by;
    let until = forecast.bays.iter().map(|bay| bay.until.middle).fold(TimeSpan::ZERO, TimeSpan::max) + by;
    let people = job.crew.people.min(PLACING);
    (until > from).then_some(Busy { floor, people, from, until })
}

/// The rates of a floor: one for the float, one for the trowels.
#[derive(Debug, Clone)]
pub(super) struct FloorRates {
    float: Rates,
    trowel: Rates,
}

fn rates(floors: &[FloorOfDay<'_>], job: &Job, assumed: &mut Vec<Assumed>) -> FloorRates {
    let stated = &job.finishing;
    let default = default_rates("");
    let bull_float = stated.bull_float.map_or(default.bull_float, coverage);
    let by_hand = stated.by_hand.map(coverage);
    let broom = stated.by_hand.map_or(default.broom, coverage);
    let edges = stated.edges.map_or(default.edges, edge_rate);
    let known = stated_machines(floors);
    let machine_default = default.machines.first().map(|machine| machine.coverage);
    let machines = |rate: &dyn Fn(&job::Machine) -> Option<AreaRate>| {
        let of = |machine: &&job::Machine| {
            let coverage = rate(machine).map(coverage).or(machine_default)?;
            Some(MachineRate { kind: kind_of(machine, &known).to_owned(), coverage })
        };
        let mut rates: Vec<MachineRate> = Vec::new();
        for rate in known.iter().filter_map(of) {
            if !rates.iter().any(|known| known.kind == rate.kind) {
                rates.push(rate);
            }
        }
        rates
    };
    let base = Rates {
        bull_float,
        edges,
        machines: machines(&|machine| machine.float),
        by_hand,
        broom,
        together: 2,
    };
    tell(job, &known, assumed, &default);
    FloorRates {
        trowel: Rates { machines: machines(&|machine| machine.trowel), ..base.clone() },
        float: base,
    }
}

/// Tells the rates that were taken.
fn tell(job: &Job, machines: &[&job::Machine], assumed: &mut Vec<Assumed>, default: &Rates) {
    let stated = &job.finishing;
    let units = job.units;
    let mut add = |missing: bool, path: &str, what: &str, value: String| {
        if missing && !assumed.iter().any(|known| known.place == Place::at(path)) {
            assumed.push(taken(path, what, value, RATES_SOURCE));
        }
    };
    let shown = |coverage: Coverage| area_rate(rate_of(coverage), units);
    add(
        stated.bull_float.is_none(),
        "finishing.bull_float",
        "bull float, one person",
        shown(default.bull_float),
    );
    let edge = edge_shown(default.edges, units);
    add(stated.edges.is_none(), "finishing.edges", "edges, one person", edge);
    if let Some(machine) = default.machines.first() {
        let missing = machines.iter().any(|machine| machine.float.is_none() || machine.trowel.is_none());
        add(missing, "machine", "machine, each pass", shown(machine.coverage));
    }
}

fn edge_shown(rate: EdgeRate, units: UnitSystem) -> String {
    let an_hour = rate.length * (TimeSpan::hours(1.0) / rate.per);
    match units {
        UnitSystem::Us => format!("{:.0} ft/h", an_hour.in_feet()),
        UnitSystem::Metric => format!("{:.0} m/h", an_hour.in_metres()),
    }
}

fn coverage(rate: AreaRate) -> Coverage {
    Coverage { area: Area::square_metres(rate.in_square_metres_per_hour()), per: TimeSpan::hours(1.0) }
}

fn rate_of(coverage: Coverage) -> AreaRate {
    AreaRate::square_metres_per_hour(coverage.area.in_square_metres() / coverage.per.in_hours())
}

fn edge_rate(speed: Speed) -> EdgeRate {
    EdgeRate { length: Length::metres(speed.in_metres_per_second() * 3600.0), per: TimeSpan::hours(1.0) }
}

/// The rounds of a stretch that come within the weather given.
fn rounds(
    bay: &Bay,
    times: &BayForecast,
    (by, now): (TimeSpan, Option<TimeSpan>),
    rates: &FloorRates,
    stretch: Stretch,
) -> (Vec<Round>, Vec<finish::Round>) {
    let mut rounds = Vec::new();
    let mut kinds = Vec::new();
    let placed = (times.from.middle, times.until.middle);
    let share = 1.0 / stretch.of as f64;
    // The bull float follows the straightedge piece by piece: it is part of placing.
    for band in times.rounds.iter().filter(|band| band.round != finish::Round::BullFloat) {
        let (Some(opens), Some(closes)) = (band.opens.middle, band.closes.middle) else { continue };
        let kind = kind(band.round);
        let rates = if band.round == finish::Round::Float { &rates.float } else { &rates.trowel };
        let ways = ways(kind, bay.area * share, edge_of(bay) * share, rates);
        // A bay in the middle of a floor has no edge of its own.
        if ways.iter().all(|way| way.time <= TimeSpan::ZERO) && !ways.is_empty() {
            continue;
        }
        let window = stretch.window(placed, opens, closes, quickest(&ways));
        let Some(window) = from_now(window, now) else { continue };
        let window = Window { earliest: window.earliest + by, latest: window.latest + by };
        rounds.push(Round { kind, window: to_the_minute(window), gap: TimeSpan::ZERO, ways });
        kinds.push(band.round);
    }
    (rounds, kinds)
}

/// What is left of a window on a day under way; absent when it is past.
fn from_now(window: Window, now: Option<TimeSpan>) -> Option<Window> {
    let Some(now) = now else { return Some(window) };
    (window.latest > now).then(|| Window { earliest: window.earliest.max(now), ..window })
}

/// The window in whole minutes, none of it lost.
fn to_the_minute(window: Window) -> Window {
    let minute = TimeSpan::minutes(1.0);
    Window {
        earliest: minute * (window.earliest / minute).floor(),
        latest: minute * (window.latest / minute).ceil(),
    }
}

/// The window of a round that works along a bay from its start to its end, as it was placed.
///
/// `opens` and `closes` hold for the middle of the bay; its start is ready sooner and its end later by half the time that
/// placing took. A round that is quicker than placing was must let the end get ready; a slower one may start at once.
fn along(
    (from, until): (TimeSpan, TimeSpan),
    (opens, closes): (TimeSpan, TimeSpan),
    work: TimeSpan,
) -> Window {
    let half = (until - from).max(TimeSpan::ZERO) * 0.5;
    Window {
        earliest: (opens - half).max(opens + half - work),
        latest: (closes + half).min(closes - half + work),
    }
}

/// The round in the planner's words.
pub(super) const fn kind(round: finish::Round) -> RoundKind {
    match round {
        finish::Round::BullFloat => RoundKind::BullFloat,
        finish::Round::Edges => RoundKind::Edges,
        finish::Round::Float => RoundKind::Float,
        finish::Round::Trowel(number) => RoundKind::Trowel(number as u32),
        finish::Round::Broom => RoundKind::Broom,
    }
}

/// Length of the bay's sides that are worked by hand: forms, walls, slabs and boxes, not the joint to the next bay.
fn edge_of(bay: &Bay) -> Length {
    let by_hand = [RidesOn::Form, RidesOn::Wall, RidesOn::ExistingSlab, RidesOn::Opening];
    bay.sides.iter().flat_map(|side| by_hand.map(|on| side.length_on(on))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a bay placed from 0 to 40 min, ready in its middle from 180 to 220 min.
    #[test]
    fn a_round_follows_the_way_the_bay_was_placed() {
        let minutes = TimeSpan::minutes;
        let window = |work: f64| {
            let found = along((minutes(0.0), minutes(40.0)), (minutes(180.0), minutes(220.0)), minutes(work));
            (found.earliest.in_minutes().round(), found.latest.in_minutes().round())
        };
        // As slow as placing: from when the start is ready until the end is too stiff.
        assert_eq!(window(40.0), (160.0, 240.0));
        assert_eq!(window(60.0), (160.0, 240.0));
        // Twice as quick: the end is ready at 200, so it starts at 180; the start is too stiff at 200, so it ends by 220.
        assert_eq!(window(20.0), (180.0, 220.0));
        // In no time: the whole bay must be ready, and none of it too stiff.
        assert_eq!(window(0.0), (200.0, 200.0));
    }

    /// Two stretches of that bay: the first is placed from 0 to 20 min and ready 10 min before the bay's middle.
    #[test]
    fn a_stretch_is_ready_when_it_was_placed() {
        let minutes = TimeSpan::minutes;
        let bay = (minutes(0.0), minutes(40.0));
        let stretch = |part| Stretch { floor: 0, bay: 0, part, of: 2 };
        assert_eq!(stretch(0).placed(bay), (minutes(0.0), minutes(20.0)));
        assert_eq!(stretch(1).placed(bay), (minutes(20.0), minutes(40.0)));
        let window = |part| {
            let found = stretch(part).window(bay, minutes(180.0), minutes(220.0), minutes(10.0));
            (found.earliest.in_minutes().round(), found.latest.in_minutes().round())
        };
        // By hand: the middle of the first is ready from 170 to 210; its end at 180, reached at 10 min: start at 170.
        assert_eq!(window(0), (170.0, 210.0));
        assert_eq!(window(1), (190.0, 230.0));
    }
}
