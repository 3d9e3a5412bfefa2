//! The day line of one floor or of the two of a day.

use basis::TimeSpan;
use basis::quantity::temperature;
use clock::band::{EventBand, RoundBand};
use clock::events::{Event, Milestone};
use pour::day::{Day, FloorOfDay, person_name};
use pour::forecast::state::RoundName;
use pour::forecast::{BayForecast, Forecast};
use pour::rounds::{Answer, Assignment};
use pour::trucks::{Band, TruckRow};
use pour::wall::{Wall, weekday};

use super::axis::{hours, nights, since, span, sun, weather};
use crate::drawing::Sheet;
use crate::drawing::dayline::{
    Bar, BarKind, BayLane, DayLine, DayLineOnScreen, FloorLane, Work, draw_day_line, draw_day_line_for_screen,
};

/// The day line with its file names, `day-line.svg` and further sheets where one does not hold it.
///
/// `number` stands in the title block. Empty when no floor has a forecast.
#[must_use]
pub fn day_line(floors: &[FloorOfDay<'_>], day: &Day, number: &str) -> Vec<(String, String)> {
    let drawn = draw_day_line(&content(floors, day, number));
    let name = |i: usize| if i == 0 { "day-line.svg".to_owned() } else { format!("day-line-{}.svg", i + 1) };
    let has_forecast = floors.iter().any(|floor| floor.plan.forecast.is_some());
    drawn
        .into_iter()
        .take(if has_forecast { usize::MAX } else { 0 })
        .enumerate()
        .map(|(i, svg)| (name(i), svg))
        .collect()
}

/// The day line for a screen; nothing when no floor has a forecast.
#[must_use]
pub fn day_line_for_screen(floors: &[FloorOfDay<'_>], day: &Day, id: &str) -> Option<DayLineOnScreen> {
    let has_forecast = floors.iter().any(|floor| floor.plan.forecast.is_some());
    has_forecast.then(|| draw_day_line_for_screen(&content(floors, day, ""), id))
}

/// A floor's clock on the day's axis.
struct Line<'a> {
    wall: Wall<'a>,
    /// Hours from the day's start to this floor's first truck.
    by: f64,
    until: f64,
}

impl Line<'_> {
    fn hour(&self, span: TimeSpan) -> f64 {
        self.by + span.in_hours()
    }
    /// Beyond the axis' end for what does not come within the weather given.
    fn or_beyond(&self, span: Option<TimeSpan>) -> f64 {
        span.map_or(self.until + 1.0, |span| self.hour(span))
    }
    /// A time without its half of the day: the axis has it.
    fn short(&self, span: TimeSpan) -> String {
        self.wall.after(span).trim_end_matches([' ', 'a', 'p', 'm']).to_owned()
    }
}

fn content(floors: &[FloorOfDay<'_>], day: &Day, number: &str) -> DayLine {
    let Some((first, forecast)) =
        floors.iter().find_map(|floor| Some((floor, floor.plan.forecast.as_ref()?)))
    else {
        return DayLine::default();
    };
    let wall = Wall { zone: &forecast.zone, start: day.start, units: first.job.units };
    let (from, until) = span(floors, day);
    let lane = |(index, floor): (usize, &FloorOfDay<'_>)| {
        let forecast = floor.plan.forecast.as_ref()?;
        Some(floor_lane(floor, forecast, (floors.len() > 1).then_some(&floor.job.name), day, index, until))
    };
    let machines = day.problem.machines.iter().enumerate();
    let is_planned = matches!(day.answer, Answer::Plan(_));
    DayLine {
        sheet: sheet(floors, forecast, day, &wall, number),
        from,
        until,
        hours: hours(&wall, from, until),
        nights: nights(forecast, day.start, until),
        sun: sun(forecast, &wall),
        weather: weather(forecast, day.start, &wall, until),
        floors: floors.iter().enumerate().filter_map(lane).collect(),
        keys: machines
            .filter(|_| is_planned)
            .map(|(i, machine)| (machine_name(i), machine.name.clone()))
            .collect(),
    }
}

fn machine_name(index: usize) -> String {
    format!("M{}", index + 1)
}

fn sheet(floors: &[FloorOfDay<'_>], forecast: &Forecast, day: &Day, wall: &Wall<'_>, number: &str) -> Sheet {
    let names: Vec<&str> = floors.iter().map(|floor| floor.job.name.as_str()).collect();
    let date = wall.zone.to_datetime(day.start).date();
    let job = floors.first().map(|floor| floor.job);
    let zone = job.map_or(String::new(), |job| job.zone.clone());
    Sheet {
        job: names.join(" + "),
        setup: format!(
            "Local time, {zone}. First truck {}. Concrete {} at the chute.",
            wall.at(day.start),
            temperature(forecast.fresh.mean, wall.units)
        ),
        number: number.to_owned(),
        date: format!("{} {date}", weekday(date)),
        units: wall.units,
        notes: notes(day, wall),
    }
}

fn notes(day: &Day, wall: &Wall<'_>) -> Vec<String> {
    let planned = match &day.answer {
        Answer::Plan(plan) => {
            let kept = day.chance.map_or(String::new(), |kept| {
                format!(" On {:.0} of 100 drawn days this order keeps every window.", kept.in_percent())
            });
            format!("The last round ends at {}.{kept}", wall.after(plan.end))
        }
        Answer::Refused(refusal) => format!(
            "There is no plan with these hands and machines: {} of {} fails first. The printed clock names what mends it.",
            refusal.failed.kind,
            failed_bay(day, refusal.failed.bay)
        ),
        Answer::Undecided { .. } => "Neither a plan nor a proof that there is none was found.".to_owned(),
    };
    let always = "A boot and an eye on the slab decide. Drag standing water off, never work it in. Local codes and licensed design govern.";
    vec![planned, always.to_owned()]
}

/// `bay 2`, or with the floor's name before it where there are two.
fn failed_bay(day: &Day, index: usize) -> String {
    let name = day.problem.bays.get(index).map_or("", |bay| bay.name.as_str());
    if day.problem.floors.len() > 1 { name.to_owned() } else { format!("bay {name}") }
}

fn floor_lane(
    floor: &FloorOfDay<'_>,
    forecast: &Forecast,
    name: Option<&String>,
    day: &Day,
    index: usize,
    until: f64,
) -> FloorLane {
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: floor.job.units };
    let line = Line { wall, by: since(day.start, forecast.first_truck), until };
    let trucks = floor.plan.trucks.trucks.iter().enumerate();
    let bays = forecast.bays.iter().enumerate();
    FloorLane {
        name: name.cloned().unwrap_or_default(),
        trucks: trucks.map(|(i, truck)| truck_bar(&line, i + 1, truck)).collect(),
        bays: bays.map(|(i, bay)| bay_lane(&line, bay, day, [index, i])).collect(),
    }
}

fn spell(line: &Line<'_>, kind: BarKind, label: String, from: &Band, until: &Band) -> Bar {
    Bar {
        kind,
        name: String::new(),
        label,
        low: line.hour(from.low),
        from: line.hour(from.middle),
        until: line.hour(until.middle),
        high: line.hour(until.high),
        work: Vec::new(),
    }
}

fn truck_bar(line: &Line<'_>, number: usize, truck: &TruckRow) -> Bar {
    let label = format!("no. {number} {}-{}", line.short(truck.start.middle), line.short(truck.done.middle));
    spell(line, BarKind::Truck, label, &truck.start, &truck.done)
}

/// Milestones of a bay on the day line, with their names.
const MILESTONES: [(Milestone, &str); 3] = [
    (Milestone::EarlyEntryFrom, "early-entry saw"),
    (Milestone::SawFrom, "saw"),
    (Milestone::FootTraffic, "on foot"),
];

fn bay_lane(line: &Line<'_>, bay: &BayForecast, day: &Day, which: [usize; 2]) -> BayLane {
    let label = format!("placed {}-{}", line.short(bay.from.middle), line.short(bay.until.middle));
    let mut bars = vec![spell(line, BarKind::Placing, label, &bay.from, &bay.until)];
    let mut beside = Vec::new();
    if let Some(dry) = bay.event(Event::At(Milestone::SheenGone)).and_then(|band| band.middle) {
        beside.push(["sheen gone".to_owned(), line.wall.after(dry)]);
    }
    for round in &bay.rounds {
        match window(line, round) {
            Some(bar) => bars.push(worked(bar, round, day, which)),
            None => beside.push([RoundName(round.round).to_string(), "after the weather given".to_owned()]),
        }
    }
    for (milestone, name) in MILESTONES {
        let Some(band) = bay.event(Event::At(milestone)) else { continue };
        match (band.middle, milestone_bar(line, band, name)) {
            (_, Some(bar)) => bars.push(bar),
            (Some(middle), None) => beside.push([name.to_owned(), line.wall.after(middle)]),
            (None, None) => {}
        }
    }
    BayLane { name: format!("bay {}", bay.number), bars, beside }
}

/// A round's window; nothing if it likely never opens within the weather given.
fn window(line: &Line<'_>, round: &RoundBand) -> Option<Bar> {
    let opens = round.opens.middle?;
    let closes = round.closes.middle;
    let name = RoundName(round.round);
    let label = match closes {
        Some(closes) if closes <= opens => format!("{name} lost: too stiff before it is dry"),
        Some(closes) => format!("{name} {}-{}", line.short(opens), line.short(closes)),
        None => format!("{name} from {}", line.short(opens)),
    };
    let until = line.or_beyond(closes);
    Some(Bar {
        kind: BarKind::Window,
        name: name.to_string(),
        label,
        low: line.hour(round.opens.low.unwrap_or(opens)),
        from: line.hour(opens),
        until,
        high: line.or_beyond(round.closes.high).max(until),
        work: Vec::new(),
    })
}

/// The bar with the work that is planned in it, or marked as the one that fails; `which` floor and bay by their indices.
fn worked(bar: Bar, round: &RoundBand, day: &Day, which: [usize; 2]) -> Bar {
    let name = RoundName(round.round).to_string();
    let is_here = |posed: usize| day.stretches.get(posed).is_some_and(|s| [s.floor, s.bay] == which);
    match &day.answer {
        Answer::Plan(plan) => {
            let is_it = |line: &&Assignment| {
                let kind = day.problem.bays[line.bay].rounds[line.round].kind;
                is_here(line.bay) && kind.to_string() == name
            };
            let lines = plan.assignments.iter().filter(is_it);
            Bar { work: joined(lines.map(|line| work(line, day)).collect()), ..bar }
        }
        Answer::Refused(refusal)
            if is_here(refusal.failed.bay) && refusal.failed.kind.to_string() == name =>
        {
            Bar { kind: BarKind::Failing, label: format!("{}, fails first", bar.label), ..bar }
        }
        Answer::Refused(_) | Answer::Undecided { .. } => bar,
    }
}

fn work(line: &Assignment, day: &Day) -> Work {
    let who: Vec<String> = line.people.iter().map(|person| person_name(*person)).collect();
    Work {
        from: line.start.in_hours(),
        until: line.end.in_hours(),
        who: who.join(" "),
        with: line.machine.map_or(String::new(), machine_name),
        part: day.problem.bays[line.bay].name.clone(),
    }
}

/// Works of the same people with the same tool, one right after the other, as one.
fn joined(works: Vec<Work>) -> Vec<Work> {
    const MINUTE: f64 = 1.01 / 60.0;
    let mut all: Vec<Work> = Vec::new();
    for work in works {
        let goes_on = |last: &&mut Work| {
            last.who == work.who && last.with == work.with && (work.from - last.until).abs() < MINUTE
        };
        match all.iter_mut().find(goes_on) {
            Some(last) => {
                last.until = work.until;
                last.part = format!("{}, {}", last.part, work.part);
            }
            None => all.push(work),
        }
    }
    all
}

/// A milestone whose middle is on the axis.
fn milestone_bar(line: &Line<'_>, band: &EventBand, name: &str) -> Option<Bar> {
    let middle = band.middle?;
    let at = line.hour(middle);
    (at > line.by && at <= line.until).then(|| Bar {
        kind: BarKind::Milestone,
        name: name.to_owned(),
        label: format!("{name} {}", line.short(middle)),
        low: line.hour(band.low.unwrap_or(middle)),
        from: at,
        until: at,
        high: line.or_beyond(band.high),
        work: Vec::new(),
    })
}
