//! The finishing clock: when each bay is ready, who does what, what follows.

use basis::quantity::{speed, temperature};
use basis::{Share, TimeSpan, UnitSystem};
use clock::band::EventBand;
use clock::events::{Event, Milestone};
use clock::finish::Round;
use clock::moist_air;
use jiff::tz::TimeZone;
use pour::Job;
use pour::day::{Day, person_name};
use pour::forecast::Forecast;
use pour::forecast::state::RoundName;
use pour::job::Assumed;
use pour::rounds::{Answer, Change, Direction, Outcome, Problem, Proof, Refusal, RoundPlan};
use pour::wall::{Wall, weekday};

use super::words::{chance, count};
use crate::page::{Align, Table, heading, paragraph};

/// The clock of one floor.
pub fn floor(job: &Job, forecast: &Forecast) -> String {
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    [conditions(job, forecast, &wall), windows(forecast, &wall), afterwards(forecast, &wall)].concat()
}

/// When each bay is ready, in short, for the page of the plan.
pub fn in_short(job: &Job, forecast: &Forecast) -> String {
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    let mut table = Table::new(&[
        ("bay", Align::Right),
        ("first round", Align::Left),
        ("ready 10", Align::Right),
        ("50", Align::Right),
        ("90 %", Align::Right),
        ("last round by", Align::Right),
        ("first cut", Align::Right),
    ]);
    for bay in &forecast.bays {
        let worked: Vec<_> = bay.rounds.iter().filter(|round| round.round != Round::BullFloat).collect();
        let first = worked.iter().find(|round| round.round != Round::Edges);
        let (Some(first), Some(last)) = (first, worked.last()) else { continue };
        let cut = bay.event(Event::At(Milestone::EarlyEntryFrom)).and_then(|band| band.middle);
        table.row([
            bay.number.to_string(),
            round_name(first.round),
            wall.perhaps(first.opens.low),
            wall.perhaps(first.opens.middle),
            wall.perhaps(first.opens.high),
            wall.perhaps(last.closes.middle),
            wall.perhaps(cut),
        ]);
    }
    let told = "The last round's end and the first cut, by an early-entry saw, are likely times. All rounds, who does them and what follows: \
                flatwright clock with this job.";
    heading("When each bay is ready") + &table.print() + &paragraph(told)
}

fn conditions(job: &Job, forecast: &Forecast, wall: &Wall<'_>) -> String {
    let local = forecast.zone.to_datetime(forecast.first_truck);
    let mut text = heading(&format!("{}: the clock", job.name));
    let light = forecast.daylight.and_then(|light| light.rise.zip(light.set));
    let light = light.map_or(String::new(), |(rise, set)| {
        format!(" Daylight from {} to {}.", wall.at(rise), wall.at(set))
    });
    text += &paragraph(&format!(
        "{} {}, {}. First truck {}.{light} Concrete {} at the chute, give or take {}.",
        weekday(local.date()),
        local.date(),
        job.zone,
        wall.at(forecast.first_truck),
        temperature(forecast.fresh.mean, job.units),
        basis::quantity::temperature_difference(forecast.fresh.sd, job.units),
    ));
    let mut table = Table::new(&[
        ("at", Align::Right),
        ("air", Align::Right),
        ("humidity", Align::Right),
        ("wind reported", Align::Right),
        ("cloud", Align::Right),
    ]);
    for (at, record) in forecast.weather.iter().step_by(3).take(6) {
        let humidity = moist_air::relative_humidity(record.air, record.vapour);
        table.row([
            wall.at(*at),
            temperature(record.air, job.units),
            percent(humidity),
            speed(record.wind, job.units),
            percent(record.cloud),
        ]);
    }
    text + &table.print()
}

fn percent(share: Share) -> String {
    format!("{:.0} %", share.in_percent())
}

fn round_name(round: Round) -> String {
    RoundName(round).to_string()
}

fn windows(forecast: &Forecast, wall: &Wall<'_>) -> String {
    let mut table = Table::new(&[
        ("bay", Align::Right),
        ("round", Align::Left),
        ("ready 10", Align::Right),
        ("50", Align::Right),
        ("90 %", Align::Right),
        ("too stiff 10", Align::Right),
        ("50", Align::Right),
        ("90 %", Align::Right),
    ]);
    for bay in &forecast.bays {
        table.row([
            bay.number.to_string(),
            "struck off".into(),
            wall.after(bay.until.low),
            wall.after(bay.until.middle),
            wall.after(bay.until.high),
        ]);
        for round in &bay.rounds {
            let times = |band: &EventBand| [band.low, band.middle, band.high].map(|t| wall.perhaps(t));
            let mut row = vec![String::new(), round_name(round.round)];
            row.extend(times(&round.opens));
            row.extend(times(&round.closes));
            table.row(row);
        }
    }
    let mut text = heading("When each bay is ready") + &table.print();
    let worst = forecast
        .bays
        .iter()
        .flat_map(|bay| {
            bay.rounds.iter().zip(&bay.dragged).map(move |(round, wet)| (bay.number, round, *wet))
        })
        .filter(|(_, round, wet)| matches!(round.round, Round::Float | Round::Broom) && wet.in_ratio() > 0.05)
        .max_by(|a, b| a.2.total_cmp(&b.2));
    if let Some((bay, round, wet)) = worst {
        text += &paragraph(&format!(
            "Bleed water may still stand when a round is due: before the {} of bay {bay} with a chance of {}. Wait for it as \
             long as the slab lets you, then drag it off; never work it in.",
            round_name(round.round),
            chance(wet.in_ratio())
        ));
    }
    text + &paragraph("A boot and an eye on the slab decide; these times say when to look.")
}

fn milestone_name(milestone: Milestone) -> &'static str {
    match milestone {
        Milestone::SheenGone => "sheen gone",
        Milestone::InitialSet => "initial set",
        Milestone::FinalSet => "final set",
        Milestone::LastUseful => "last useful round",
        Milestone::EarlyEntryFrom => "early-entry saw from",
        Milestone::SawFrom => "conventional saw from",
        Milestone::SawBefore => "joints in before",
        Milestone::FreezeSafe => "safe from one freeze",
        Milestone::FootTraffic => "foot traffic",
        Milestone::FormsOff => "side forms off",
        Milestone::Vehicles => "light vehicles",
    }
}

fn afterwards(forecast: &Forecast, wall: &Wall<'_>) -> String {
    const TOLD: [Milestone; 8] = [
        Milestone::SheenGone,
        Milestone::EarlyEntryFrom,
        Milestone::SawFrom,
        Milestone::SawBefore,
        Milestone::FootTraffic,
        Milestone::FormsOff,
        Milestone::FreezeSafe,
        Milestone::Vehicles,
    ];
    let (Some(first), Some(last)) = (forecast.bays.first(), forecast.bays.last()) else {
        return String::new();
    };
    let mut table = Table::new(&[
        ("", Align::Left),
        ("first bay, early", Align::Right),
        ("last bay, likely", Align::Right),
        ("last bay, late", Align::Right),
    ]);
    let mut beyond = false;
    for milestone in TOLD {
        let event = Event::At(milestone);
        let (Some(early), Some(late)) = (first.event(event), last.event(event)) else { continue };
        beyond |= late.high.is_none();
        table.row([
            milestone_name(milestone).to_owned(),
            wall.perhaps(early.low),
            wall.perhaps(late.middle),
            wall.perhaps(late.high),
        ]);
    }
    let mut text = heading("What follows") + &table.print();
    if beyond {
        text += &paragraph("A dash lies beyond the weather that was given, or is not met within two days.");
    }
    text
}

/// Who does what, or why it cannot be done.
pub fn day(zone: &TimeZone, units: UnitSystem, day: &Day) -> String {
    let wall = Wall { zone, start: day.start, units };
    let mut text = heading("Who does what");
    text += &match &day.answer {
        Answer::Plan(plan) => assigned(plan, &day.problem, &wall) + &proof(plan, day, &wall),
        Answer::Refused(refusal) => refused(refusal, &day.problem, &wall),
        Answer::Undecided { steps } => paragraph(&format!(
            "Neither a plan nor a proof that there is none was found within {steps} steps of the search."
        )),
    };
    for missing in &day.beyond {
        text += &paragraph(&format!("Not planned, as it comes after the weather that was given: {missing}."));
    }
    text + &assumed(&day.assumed)
}

fn assigned(plan: &RoundPlan, problem: &Problem, wall: &Wall<'_>) -> String {
    let mut table = Table::new(&[
        ("from", Align::Right),
        ("to", Align::Right),
        ("bay", Align::Left),
        ("round", Align::Left),
        ("passes", Align::Left),
        ("who", Align::Left),
        ("with", Align::Left),
    ]);
    for line in &plan.assignments {
        let bay = &problem.bays[line.bay];
        let who: Vec<String> = line.people.iter().map(|person| person_name(*person)).collect();
        let with = line.machine.map_or("hand tools", |machine| problem.machines[machine].name.as_str());
        table.row([
            wall.after(line.start),
            wall.after(line.end),
            bay.name.clone(),
            bay.rounds[line.round].kind.to_string(),
            passes(line.direction).to_owned(),
            who.join(" "),
            with.to_owned(),
        ]);
    }
    table.print()
}

const fn passes(direction: Direction) -> &'static str {
    match direction {
        Direction::Across => "across",
        Direction::Along => "along",
        Direction::Around => "around",
    }
}

fn proof(plan: &RoundPlan, day: &Day, wall: &Wall<'_>) -> String {
    let sure = match plan.proof {
        Proof::Proven => "no earlier end is possible with these people and machines".to_owned(),
        Proof::Gap { bound } => {
            format!("an end before {} is excluded, one between is not", wall.after(bound))
        }
    };
    let mut text = format!("The last round ends at {}; {sure}.", wall.after(plan.end));
    if let Some(kept) = day.chance {
        text += &format!(
            " On {:.0} of 100 drawn days this order keeps every window.",
            kept.in_percent().clamp(0.0, 100.0)
        );
    }
    paragraph(&text)
}

fn refused(refusal: &Refusal, problem: &Problem, wall: &Wall<'_>) -> String {
    let failed = &refusal.failed;
    let bay = &problem.bays[failed.bay].name;
    let work = failed
        .work
        .map_or("no way to do it".to_owned(), |work| format!("{:.0} min of work", work.in_minutes()));
    let mut text = paragraph(&format!(
        "There is no plan: the {} of bay {bay} fails, {work} between {} and {}. {}",
        failed.kind,
        wall.after(failed.window.earliest),
        wall.after(failed.window.latest),
        failed.cause.told(),
    ));
    let mends: Vec<String> = refusal
        .mends()
        .map(|(change, plan)| format!("{}: ends at {}", changed(change), wall.after(plan.end)))
        .collect();
    if mends.is_empty() {
        text += &paragraph("Nothing that was tried mends the day. It was tried:");
        let tried: Vec<&Change> = refusal.tried.iter().map(|tried| &tried.change).collect();
        return text + &paragraph(&format!("{}.", listed(&tried)));
    }
    text += &paragraph("What mends the day, each tried and planned through:");
    for mend in mends {
        text += &paragraph(&format!("- {mend}."));
    }
    let idle: Vec<&Change> = refusal
        .tried
        .iter()
        .filter(|tried| !matches!(tried.outcome, Outcome::Mends(_)))
        .map(|tried| &tried.change)
        .collect();
    if !idle.is_empty() {
        text += &paragraph(&format!("Tried without success: {}.", listed(&idle)));
    }
    text
}

/// Changes in a row; those of the same kind together, and pairs only by their number.
fn listed(changes: &[&Change]) -> String {
    let minutes = |sign: f64| -> Vec<String> {
        let by = |change: &&Change| match change {
            Change::Start(by) if by.in_minutes() * sign > 0.0 => {
                Some(format!("{:.0}", by.in_minutes() * sign))
            }
            _ => None,
        };
        changes.iter().filter_map(by).collect()
    };
    let mut told = Vec::new();
    for (sign, word) in [(-1.0, "earlier"), (1.0, "later")] {
        let all = minutes(sign);
        if !all.is_empty() {
            told.push(format!("first truck {} min {word}", all.join(", ")));
        }
    }
    let single = |change: &&&Change| !matches!(change, Change::Start(_) | Change::Both(..));
    told.extend(changes.iter().filter(single).map(|change| changed(change)));
    let pairs = changes.iter().filter(|change| matches!(change, Change::Both(..))).count();
    if pairs > 0 {
        told.push(count(pairs, "pair") + " of these");
    }
    told.join("; ")
}

fn changed(change: &Change) -> String {
    match change {
        Change::Start(by) if *by < TimeSpan::ZERO => {
            format!("first truck {:.0} min earlier", -by.in_minutes())
        }
        Change::Start(by) => format!("first truck {:.0} min later", by.in_minutes()),
        Change::Spacing(spacing) => format!("trucks {:.0} min apart", spacing.in_minutes()),
        Change::Machine(name) => format!("one more machine ({name})"),
        Change::People(more) => count(*more as usize, "more hand"),
        Change::Mix(name) => format!("the mix with {name}"),
        Change::Both(one, other) => format!("{} and {}", changed(one), changed(other)),
    }
}

/// What the clock took because no job states it.
pub fn assumed(taken: &[Assumed]) -> String {
    if taken.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("assumed for the clock", Align::Left),
        ("", Align::Right),
        ("in the job file", Align::Left),
    ]);
    for a in taken {
        table.row([a.what.clone(), a.value.clone(), a.place.path().to_owned()]);
    }
    table.print()
}

/// Cautions of finishing this floor.
pub fn cautions(forecast: &Forecast) -> String {
    let notes = clock::risk::cautions(&forecast.draws.model.spec, &basis::Place::at("finishing"));
    let told: String = notes.iter().map(|note| paragraph(&capital(&note.message))).collect();
    heading("Take care while finishing") + &told
}

fn capital(sentence: &str) -> String {
    let mut letters = sentence.chars();
    let first = letters.next().map(|first| first.to_ascii_uppercase());
    first.into_iter().chain(letters).chain(['.']).collect()
}
