//! Pour: trucks, load lines, pads with their readings, reach.

use basis::quantity::{length, time_span};
use maud::{Markup, html};
use papers::{ScreenLayer, floor_for_screen};
use pour::Job;
use pour::loads::Extent;
use pour::log::{LoadSoFar, TruckStep};
use pour::pads::TieTo;
use pour::plan::Plan;
use pour::wall::Wall;

use super::logged::{last, photo, tap, told_value};
use crate::look::{self, cells, drawing, figure, table};
use crate::opened::{Opened, Sheet};
use crate::say::{self, area, volume};

/// The page, when there is a plan.
pub fn body(sheet: Sheet<'_>, job: &Job, plan: &Plan) -> Markup {
    let opened = sheet.opened;
    let setup = plan.levelled.setups.get(plan.datum).map_or("", |setup| setup.name.as_str());
    html! {
        section.figures aria-label="The pour" {
            (figure("order", &volume(plan.order.recommended.quantity, job.units), &say::list(&plan.order.loads, job.units)))
            (figure("a load takes", &time_span(plan.trucks.matched), "to place"))
        }
        (balance(opened, job, plan, sheet.now))
        h2 { "Log" }
        (log(opened, job, plan))
        h2 { "Trucks" }
        (trucks(job, plan))
        (super::notes_about(opened, &["plant", "stand", "crew", "chutes", "log"]))
        h2 { "Where each load ends" }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Loads, "loads")))
        (load_lines(job, plan))
        h2 { "Pads: the stick from set-up " (setup) }
        p.care { "Readings hold until the laser is moved or bumped. Check the benchmark before the first pad." }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Pads, "pads")))
        (pads(job, plan))
        (reach(job, plan))
        p { a.do href={ "/jobs/" (opened.id) "/papers/crew-sheet.pdf" } { "crew sheet (PDF)" } }
        (care())
    }
}

/// What to tell the plant for the last truck, from where the line has got to.
fn balance(opened: &Opened, job: &Job, plan: &Plan, now: jiff::Timestamp) -> Markup {
    let line = opened.figured.so_far.as_ref().and_then(|far| far.at_the_line(&plan.bays.bays));
    let Some(line) = line else { return html! {} };
    let Some(told_at) = opened.state.log.last().map(|logged| logged.entry.at) else { return html! {} };
    let report = pour::plan::call(job, plan, &line.call());
    let notes: Vec<_> = report.notes.into_iter().map(|note| (note.in_units(job.units), None)).collect();
    html! {
        @if let Some(balance) = &report.value {
            @let until = balance.times.call_by.and_then(|by| told_at.checked_add(jiff::SignedDuration::from_secs_f64(by.in_seconds())).ok());
            section.now-do aria-label="Balance" {
                p.what { "balance to call" }
                p.value { (volume(balance.recommended.quantity, job.units)) }
                p.more { (say::list(&balance.loads, job.units)) ", short " (say::odds(balance.recommended.chance_short)) }
                @if let Some(until) = until {
                    p.more { "call " b data-until=(until.as_millisecond()) { (say::ahead(basis::TimeSpan::seconds(until.duration_since(now).as_secs_f64()))) } }
                }
            }
            p.care {
                "Beyond the line " (volume(balance.remaining.mean, job.units)) " ± " (volume(balance.remaining.sd, job.units))
                "; used so far " (volume(balance.used.mean, job.units)) " for " (volume(balance.expected_used.mean, job.units)) " expected. It holds for the line as it was told last."
            }
        }
        (look::notes(notes.iter()))
    }
}

fn log(opened: &Opened, job: &Job, plan: &Plan) -> Markup {
    let far = opened.figured.so_far.as_ref();
    let come = far.map_or(&[][..], |far| far.loads.as_slice());
    let planned = plan.order.loads.len();
    let count = planned.max(come.iter().map(|load| load.number).max().unwrap_or(0));
    let words = |number: usize| {
        let load = come.iter().find(|load| load.number == number);
        match load.map(LoadSoFar::step) {
            None => ("not here", Some("arrived")),
            Some(TruckStep::Arrived) => ("waits", Some("discharging")),
            Some(TruckStep::Discharging) => ("discharging", Some("done")),
            Some(TruckStep::Done) => ("done", None),
        }
    };
    let placed = |number: usize| far.and_then(|far| far.placed.iter().find(|placed| placed.bay == number));
    let is_done = |number: usize| placed(number).is_some_and(|placed| placed.extent == Extent::Done);
    let open = plan.bays.bays.iter().find(|bay| !is_done(bay.number));
    let us = job.units == basis::UnitSystem::Us;
    html! {
        ul.taps aria-label="Trucks to log" {
            @for number in 1..=count {
                @let (is, next) = words(number);
                li {
                    span { b { "load " (number) } " " @if let Some(size) = plan.order.loads.get(number - 1) { (volume(*size, job.units)) ", " } (is) }
                    @if let Some(next) = next { (tap(opened, "truck", ("load", number), next, next)) }
                }
            }
            @if come.iter().filter(|load| load.done.is_some()).count() == count {
                li { span { b { "load " (count + 1) } " further truck" } (tap(opened, "truck", ("load", count + 1), "arrived", "arrived")) }
            }
        }
        @if let Some(bay) = open {
            @let long = if us { bay.length.in_feet() } else { bay.length.in_metres() };
            @let at = match placed(bay.number).map(|placed| placed.extent) { Some(Extent::To(along)) => if us { along.in_feet() } else { along.in_metres() }, _ => 0.0 };
            form.line-at method="post" action={ "/jobs/" (opened.id) "/log" } {
                (look::stamp(opened))
                input type="hidden" name="what" value="line";
                input type="hidden" name="bay" value=(bay.number);
                label for="line-at" { "line in bay " (bay.number) " at " output for="line-at" { (format!("{at:.0}")) } (if us { " ft" } else { " m" }) " from its start" }
                input #line-at name="value" type="range" min="0" max=(format!("{:.0}", long.floor())) step=(if us { "1" } else { "0.25" }) value=(format!("{at:.0}"));
                div.row { button { "the line is here" } }
            }
            (tap(opened, "bay-done", ("bay", bay.number), "done", &format!("bay {} is placed to its end", bay.number)))
        } @else { p { "All bays are placed." } }
        (photo(opened))
        details {
            summary { "ticket, drum, water, slump, temperature, remark" }
            (told_value(opened, "ticket", "ticket says", if us { "8 yd3" } else { "6 m3" }, count))
            (told_value(opened, "drum", "left in the drum", if us { "1.5 yd3" } else { "1 m3" }, count))
            (told_value(opened, "water", "water added", if us { "5 gal" } else { "20 l" }, count))
            (told_value(opened, "slump", "slump", if us { "5 in" } else { "120 mm" }, count))
            (told_value(opened, "concrete", "concrete is", if us { "72 degF" } else { "22 degC" }, count))
            (told_value(opened, "air", "air is", if us { "72 degF" } else { "22 degC" }, 0))
            (told_value(opened, "remark", "remark", "gate is locked", 0))
        }
        (last(opened, job, "pour"))
    }
}

fn trucks(job: &Job, plan: &Plan) -> Markup {
    let zone = jiff::tz::TimeZone::get(&job.zone).ok();
    let start = job
        .day
        .first_truck
        .zip(zone.as_ref())
        .and_then(|(at, zone)| zone.to_ambiguous_timestamp(at).earlier().ok());
    let told = |span: basis::TimeSpan| match (start, zone.as_ref()) {
        (Some(start), Some(zone)) => Wall { zone, start, units: job.units }.after(span),
        _ => format!("{:.0} min", span.in_minutes()),
    };
    let rows: Vec<_> = plan
        .trucks
        .trucks
        .iter()
        .zip(&plan.trucks.loads)
        .enumerate()
        .map(|(i, (truck, load))| {
            cells([
                (i + 1).to_string(),
                volume(*load, job.units),
                told(truck.asked),
                told(truck.start.middle),
                told(truck.start.high),
                told(truck.done.middle),
            ])
        })
        .collect();
    html! {
        (table("Trucks", &["truck", "brings", "asked for", "starts", "late", "empty"], &rows))
        p.care { "One day in ten it starts later than late." }
    }
}

fn load_lines(job: &Job, plan: &Plan) -> Markup {
    let rows: Vec<_> = plan
        .loads
        .lines
        .iter()
        .map(|line| {
            cells([
                line.load.to_string(),
                volume(line.size, job.units),
                line.end.bay.to_string(),
                pour::pacing::rough(line.end.along, job.units),
            ])
        })
        .collect();
    table("Load lines", &["load", "brings", "ends in bay", "past its start"], &rows)
}

fn pads(job: &Job, plan: &Plan) -> Markup {
    let tie = |tie: &pour::pads::Tie| match &tie.to {
        TieTo::Edge(name) => format!("{} from {name}", length(tie.distance, job.units)),
        TieTo::Corner(name) => format!("{} from corner {name}", length(tie.distance, job.units)),
    };
    let rows: Vec<_> = plan
        .pads
        .pads
        .iter()
        .map(|pad| {
            vec![
                html! { (pad.number) },
                html! { b.read { (pad.reading.said(job.rod)) } },
                html! { (pad.bay) },
                html! { (tie(&pad.ties[0])) ", " (tie(&pad.ties[1])) },
            ]
        })
        .collect();
    html! {
        @if rows.is_empty() { p { "No pads: every line rides on forms." } }
        @else { (table("Pads", &["pad", "stick reads", "bay", "where"], &rows)) }
    }
}

fn reach(job: &Job, plan: &Plan) -> Markup {
    let Some(reach) = &plan.reach else { return html! {} };
    html! {
        h2 { "Reach" }
        @if reach.beyond.area > basis::Area::ZERO {
            p.next { "No chute reaches " (area(reach.beyond.area, job.units)) " of " (area(reach.whole.area, job.units)) ": " (volume(reach.beyond.volume, job.units)) " of concrete to carry." }
        } @else { p { "The chutes reach the whole floor." } }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Reach, "reach")))
    }
}

fn care() -> Markup {
    html! {
        p.care { "Wet concrete burns skin: waterproof gloves and boots, rinse at once. One spotter for backing trucks; keep out from under chutes. Chutes and float handles stay 10 ft (3 m) or more from overhead lines. Local codes and licensed practice govern." }
    }
}
