//! Pour: trucks, load lines, pads with their readings, reach.

use axum::extract::{Path, State};
use axum::response::Response;
use basis::quantity::{length, time_span};
use maud::{Markup, html};
use papers::{ScreenLayer, floor_for_screen};
use pour::Job;
use pour::pads::TieTo;
use pour::plan::Plan;
use pour::wall::Wall;

use crate::app::App;
use crate::look::{self, Step, cells, drawing, figure, table};
use crate::say::{self, area, volume};

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some((job, plan)) = opened.figured.whole() else {
        return super::unplanned(&app, &opened, super::at(Step::Pour));
    };
    let setup = plan.levelled.setups.get(plan.datum).map_or("", |setup| setup.name.as_str());
    let body = html! {
        section.figures aria-label="The pour" {
            (figure("order", &volume(plan.order.recommended.quantity, job.units), &say::list(&plan.order.loads, job.units)))
            (figure("a load takes", &time_span(plan.trucks.matched), "to place"))
        }
        h2 { "Trucks" }
        (trucks(job, plan))
        (super::notes_about(&opened, &["plant", "stand", "crew", "chutes"]))
        h2 { "Where each load ends" }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Loads, "loads")))
        (load_lines(job, plan))
        h2 { "Pads: the stick from set-up " (setup) }
        p.care { "Readings hold until the laser is moved or bumped. Check the benchmark before the first pad." }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Pads, "pads")))
        (pads(job, plan))
        (reach(job, plan))
        p { a.do href={ "/jobs/" (id) "/papers/crew-sheet.pdf" } { "crew sheet (PDF)" } }
        (care())
    };
    look::job_page(&app, &opened, super::at(Step::Pour), &body)
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
                say::rough(line.end.along, job.units),
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
