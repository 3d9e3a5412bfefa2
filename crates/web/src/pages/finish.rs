//! Finish: what is next, for whom, in how many minutes; the day line and the floor under it.

use std::sync::Arc;

use basis::TimeSpan;
use clock::band::RoundBand;
use maud::{Markup, html};
use pour::Job;
use pour::day::{Day, person_name};
use pour::forecast::state::{RoundName, state_at};
use pour::forecast::{BayForecast, Forecast};
use pour::plan::Plan;
use pour::rounds::{Answer, Assignment, Refusal};
use pour::wall::Wall;

use super::day::{Instant, strip};
use super::logged::{last, tap};
use crate::figured::Rounds;
use crate::look::{self, table};
use crate::opened::{Opened, Sheet};
use crate::say;

/// The page, when there is a plan.
pub fn body(sheet: Sheet<'_>, job: &Job, plan: &Plan) -> Markup {
    let Sheet { opened, rounds, now } = sheet;
    let Some(forecast) = &plan.forecast else { return without_weather(opened) };
    html! {
        (next(job, forecast, rounds, now, &opened.id))
        @if let Some(moved) = opened.figured.moved { p.next { (told_moved(moved)) } }
        h2 { "Seen on the slab" }
        (seen(opened, job, forecast, now))
        h2 { "The day" }
        (strip(sheet, Instant::Now))
        h2 { "Logged last" }
        (last(opened, job, "finish"))
        h2 { "When each bay can be worked" }
        (windows(job, forecast, now))
        (super::notes_about(opened, &["weather", "mix", "site", "finishing", "machine", "day", "column", "log", "seen"]))
        p { a.do href={ "/jobs/" (opened.id) "/papers/finishing-clock.pdf" } { "finishing clock (PDF)" } }
        @for note in clock::risk::cautions(&forecast.draws.model.spec, &basis::Place::at("finishing")) {
            p.care { (look::capital(&note.message)) "." }
        }
    }
}

fn without_weather(opened: &Opened) -> Markup {
    html! {
        p { "The clock needs the weather, the mix, the site and the time of the first truck. A low, a high, humidity, wind and cloud are enough: as the radio tells them." }
        (super::notes_about(opened, &["weather", "mix", "site", "day"]))
    }
}

/// The next thing to do.
fn next(job: &Job, forecast: &Forecast, rounds: &Rounds, now: jiff::Timestamp, id: &str) -> Markup {
    match rounds {
        Rounds::Done(day) => match &day.answer {
            Answer::Plan(_) => planned(job, forecast, day, now),
            Answer::Refused(refusal) => refused(job, forecast, day, refusal),
            Answer::Undecided { .. } => html! {
                p.next { "No plan of who does what was found, nor a proof that there is none. Go by the windows below." }
            },
        },
        Rounds::Working => html! {
            form.next method="post" action={ "/jobs/" (id) "/rounds" } data-working="rounds" {
                p { strong { "Working out who does what" } " … it comes by itself, in some seconds." }
                progress aria-label="working" {}
                button name="waits" value="no" { "stop" }
            }
        },
        Rounds::Stopped => html! {
            form.next method="post" action={ "/jobs/" (id) "/rounds" } {
                p { "Who does what was not worked out: somebody stopped it. The windows below hold all the same." }
                button name="waits" value="yes" { "work it out" }
            }
        },
        Rounds::Elsewhere => html! {
            p.next { "Who does what is worked out anew when there is a signal. The windows below are figured on this phone and hold." }
        },
        Rounds::None => html! {},
    }
}

fn since(day: &Day, now: jiff::Timestamp) -> TimeSpan {
    TimeSpan::seconds(now.duration_since(day.start).as_secs_f64())
}

fn planned(job: &Job, forecast: &Forecast, day: &Arc<Day>, now: jiff::Timestamp) -> Markup {
    let Answer::Plan(plan) = &day.answer else { return html! {} };
    let wall = Wall { zone: &forecast.zone, start: day.start, units: job.units };
    let at = since(day, now);
    let left: Vec<&Assignment> = plan.assignments.iter().filter(|a| a.end > at).collect();
    let kept = day
        .chance
        .map(|kept| format!("On {:.0} of 100 drawn days this order keeps every window.", kept.in_percent()));
    html! {
        @if let Some(first) = left.first() {
            section.now-do aria-label="Next" {
                p.what { (if first.start <= at { "now" } else { "next" }) }
                p.value { (what(day, first)) }
                p.more {
                    @if first.start <= at { b { (left_of(first, at)) } } @else { b { (say::ahead(first.start - at)) } }
                    ", " (wall.after(first.start)) " to " (wall.after(first.end))
                }
                p.more { (who(day, first)) }
            }
        } @else {
            p.next { "All planned rounds are past. The last ended at " (wall.after(plan.end)) "." }
        }
        @if left.len() > 1 {
            ol.turns aria-label="Then" {
                @for turn in left.iter().skip(1).take(5) {
                    li { b { (wall.after(turn.start)) } " " (what(day, turn)) ", " (who(day, turn)) }
                }
            }
        }
        @if !left.is_empty() { p.care { "The last round ends at " (wall.after(plan.end)) ". " (kept.unwrap_or_default()) } }
    }
}

fn left_of(turn: &Assignment, at: TimeSpan) -> String {
    format!("{:.0} min left", (turn.end - at).in_minutes().ceil())
}

/// The next thing to do, in one sentence.
#[cfg(feature = "server")]
pub fn in_short(day: &Day, now: jiff::Timestamp) -> String {
    let at = since(day, now);
    match &day.answer {
        Answer::Plan(plan) => match plan.assignments.iter().find(|turn| turn.end > at) {
            Some(turn) if turn.start <= at => {
                format!("Now {}: {}, {}.", what(day, turn), who(day, turn), left_of(turn, at))
            }
            Some(turn) => format!(
                "{} {}: {}.",
                look::capital(&what(day, turn)),
                say::ahead(turn.start - at),
                who(day, turn)
            ),
            None => "All planned rounds are past.".to_owned(),
        },
        Answer::Refused(refusal) => {
            let bay = &day.problem.bays[refusal.failed.bay].name;
            format!("No plan: {} of bay {bay} fails first.", refusal.failed.kind)
        }
        Answer::Undecided { .. } => "On the slab: go by the windows of the bays.".to_owned(),
    }
}

fn what(day: &Day, turn: &Assignment) -> String {
    let bay = &day.problem.bays[turn.bay];
    format!("{}, bay {}", bay.rounds[turn.round].kind, bay.name)
}

fn who(day: &Day, turn: &Assignment) -> String {
    let people: Vec<String> = turn.people.iter().map(|person| person_name(*person)).collect();
    let with = turn.machine.map_or("hand tools", |machine| day.problem.machines[machine].name.as_str());
    format!("{} with {with}", people.join(" and "))
}

fn refused(job: &Job, forecast: &Forecast, day: &Day, refusal: &Refusal) -> Markup {
    let wall = Wall { zone: &forecast.zone, start: day.start, units: job.units };
    let failed = &refusal.failed;
    html! {
        section.now-do aria-label="There is no plan" {
            p.what { "no plan" }
            p.value { (failed.kind) ", bay " (day.problem.bays[failed.bay].name) }
            p.more { "fails first, between " (wall.after(failed.window.earliest)) " and " (wall.after(failed.window.latest)) ". " (failed.cause.told()) }
        }
        @if refusal.mends().next().is_some() {
            p { "What mends the day, each planned through: " (say::count(refusal.mends().count(), "change")) ". The finishing clock names them." }
        }
    }
}

fn told_moved(moved: TimeSpan) -> String {
    let minutes = moved.in_minutes().round();
    match minutes {
        m if m > 0.0 => {
            format!("By what was seen, what is left becomes ready {m:.0} min later than planned.")
        }
        m if m < 0.0 => {
            format!("By what was seen, what is left becomes ready {:.0} min sooner than planned.", -m)
        }
        _ => "What was seen agrees with the plan to the minute.".to_owned(),
    }
}

/// Two taps for what is seen: the bay, and what.
fn seen(opened: &Opened, job: &Job, forecast: &Forecast, now: jiff::Timestamp) -> Markup {
    let at = TimeSpan::seconds(now.duration_since(forecast.first_truck).as_secs_f64());
    let prints: &[&str] = match job.units {
        basis::UnitSystem::Us => &["1 in", "1/2 in", "1/4 in", "1/8 in"],
        basis::UnitSystem::Metric => &["25 mm", "12 mm", "6 mm", "3 mm"],
    };
    let down = |bay: &&BayForecast| bay.until.middle <= at;
    html! {
        @for bay in forecast.bays.iter().filter(down) {
            details.bay.seen {
                summary { b { "bay " (bay.number) } ", " (state_at(bay, at).state) }
                p { "A boot print is so deep:" }
                div.row { @for depth in prints { (tap(opened, "print", ("bay", bay.number), depth, depth)) } }
                div.row {
                    (tap(opened, "sheen", ("bay", bay.number), "gone", "sheen is gone"))
                    (tap(opened, "float-on", ("bay", bay.number), "on", "float is on"))
                    @if let Some(round) = bay.rounds.first() { (tap(opened, "round", ("bay", bay.number), &RoundName(round.round).to_string(), &format!("{} is done", RoundName(round.round)))) }
                }
            }
        }
        @if !forecast.bays.iter().any(|bay| down(&bay)) { p { "No bay is struck off yet: a boot print tells once one is." } }
    }
}

fn windows(job: &Job, forecast: &Forecast, now: jiff::Timestamp) -> Markup {
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    let at = TimeSpan::seconds(now.duration_since(forecast.first_truck).as_secs_f64());
    let rows = |bay: &BayForecast| -> Vec<Vec<Markup>> {
        let row = |round: &RoundBand| {
            vec![
                html! { (RoundName(round.round)) },
                html! { (wall.perhaps(round.opens.low)) },
                html! { b { (wall.perhaps(round.opens.middle)) } },
                html! { (wall.perhaps(round.opens.high)) },
                html! { b { (wall.perhaps(round.closes.middle)) } },
            ]
        };
        bay.rounds.iter().map(row).collect()
    };
    html! {
        @for bay in &forecast.bays {
            @let next = state_at(bay, at).next;
            details.bay {
                summary { b { "bay " (bay.number) } @if let Some(next) = next { ", " (next.state) " " (wall.after(next.at)) } }
                (table(&format!("Windows of bay {}", bay.number), &["", "early", "ready", "late", "too stiff"], &rows(bay)))
            }
        }
        p.care { "One day in ten it is ready before early, one in ten after late. A boot and an eye on the slab decide; these times say when to look." }
    }
}
