//! Measure: outline, edges, set-ups, shots, thickness, the best next shot.

use axum::extract::{Path, State};
use axum::response::Response;
use basis::quantity::{length, thickness};
use basis::{Area, Length};
use ground::survey::{RodReading, ShotOn};
use maud::{Markup, html};
use papers::{ScreenLayer, floor_for_screen};
use pour::Job;
use pour::plan::Plan;

use crate::app::{App, Opened};
use crate::look::{self, Step, cells, drawing, figure, table};
use crate::say::{self, area, volume};

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let body = html! {
        @match opened.figured.whole() {
            Some((job, plan)) => (told(&opened, job, plan)),
            None => {
                h2 { "Mend this first" }
                p { "The floor cannot be figured yet. Each line says what is wrong, and what to write instead." }
                (look::notes(opened.figured.notes.iter()))
                @if let Some(job) = &opened.figured.job { (shots(job)) }
            }
        }
    };
    look::job_page(&app, &opened, super::at(Step::Measure), &body)
}

fn told(opened: &Opened, job: &Job, plan: &Plan) -> Markup {
    let forms = plan.ground.forms_volume();
    let thin = plan.ground.thinnest.map(|(thin, sd)| {
        let told = format!("{} ± {}", thickness(thin.thickness, job.units), thickness(sd, job.units));
        (told, say::place(job, plan, thin.at))
    });
    html! {
        section.figures aria-label="What was measured" {
            (figure("in the forms", &volume(forms.mean, job.units), &format!("± {}", volume(forms.sd, job.units))))
            (figure("floor", &area(Area::square_metres(plan.floor.area), job.units), &format!("{} thick, {} at least", thickness(job.slab.nominal, job.units), thickness(job.slab.minimum, job.units))))
            @if let Some((thin, at)) = &thin { (figure("thinnest place", thin, at)) }
        }
        (super::notes_about(opened, &["setup", "survey", "shot", "corner", "edge", "walk", "door", "base", "forms", "finish", "slab"]))
        h2 { "Thickness" }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Thickness, "thickness")))
        h2 { "Shots" }
        (next_shot(job, plan))
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Base, "base")))
        (shots(job))
        (setups(job, plan))
        h2 { "Outline" }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Outline, "outline")))
        (edges(job, plan))
    }
}

fn next_shot(job: &Job, plan: &Plan) -> Markup {
    html! {
        @match plan.ground.next_shots.first() {
            Some(shot) => {
                p.next { strong { "Best next shot: " } (say::place(job, plan, shot.at)) ". It would bring the doubt of the base to ± " (volume(shot.volume_sd, job.units)) "." }
            }
            None => p { "Another shot would tell nothing more of the base." }
        }
    }
}

fn shots(job: &Job) -> Markup {
    let on = |on: ShotOn| match on {
        ShotOn::Base => "base",
        ShotOn::Form => "form",
        ShotOn::TurningPoint => "turning point",
    };
    let said = |reading: RodReading| reading.said(job.rod);
    html! {
        @for setup in &job.survey.setups {
            @let rows: Vec<_> = setup.shots.iter().map(|shot| cells([
                shot.name.clone(),
                said(shot.reading),
                on(shot.on).to_owned(),
                length(Length::metres(shot.at.x), job.units),
                length(Length::metres(shot.at.y), job.units),
            ])).collect();
            details {
                summary { "set-up " (setup.name) ": " (say::count(setup.shots.len(), "shot")) }
                (table(&format!("Shots of set-up {}", setup.name), &["shot", "stick reads", "on", "right", "up"], &rows))
            }
        }
        @if job.survey.setups.is_empty() {
            p { "No set-up of the laser yet. Set it where nobody will bump it, shoot a point that will not move, then call out shots over the base: six at least, more where it rolls." }
        }
    }
}

fn setups(job: &Job, plan: &Plan) -> Markup {
    let rows = plan.levelled.setups.iter().map(|setup| {
        let closes = setup.misclosure.map_or("not closed".to_owned(), |by| {
            let much = thickness(by.abs(), job.units);
            let word = if by > Length::ZERO { "high" } else { "low" };
            if much == thickness(Length::ZERO, job.units) {
                "closes".to_owned()
            } else {
                format!("closes {much} {word}")
            }
        });
        cells([setup.name.clone(), length(setup.instrument, job.units), closes])
    });
    table("Set-ups of the laser", &["set-up", "laser plane at", "closing sight"], &rows.collect::<Vec<_>>())
}

fn edges(job: &Job, plan: &Plan) -> Markup {
    let corners = &plan.outline.corners;
    let rows = corners.iter().enumerate().map(|(i, corner)| {
        let to = &corners[(i + 1) % corners.len()];
        let along: f64 = plan.floor.segments.iter().filter(|s| s.edge == i).map(|s| s.a.distance(s.b)).sum();
        let kind = match plan.outline.edges.get(i).map(|edge| edge.kind) {
            Some(ground::outline::EdgeKind::Wall) => "wall",
            Some(ground::outline::EdgeKind::ExistingSlab) => "existing slab",
            _ => "form",
        };
        cells([
            format!("{}-{}", corner.name, to.name),
            length(Length::metres(along), job.units),
            kind.to_owned(),
        ])
    });
    table("Edges", &["edge", "long", "against"], &rows.collect::<Vec<_>>())
}
