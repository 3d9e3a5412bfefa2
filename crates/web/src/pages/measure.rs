//! Measure: outline, edges, set-ups, shots, thickness, the best next shot.

use axum::extract::{Path, State};
use axum::response::Response;
use basis::quantity::{length, thickness};
use basis::{Area, Length};
use formats::events::Change;
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
                @if let Some(job) = &opened.figured.job { h2 #shoot { "Shots" } (call_out(&opened, job)) (shots(job)) }
                (ways(&opened))
            }
        }
    };
    look::job_page(&app, &opened, super::at(Step::Measure), &body)
}

fn told(opened: &Opened, job: &Job, plan: &Plan) -> Markup {
    let forms = plan.ground.forms_volume();
    let thin = plan.ground.thinnest.map(|(thin, sd)| {
        let told = format!("{} ± {}", thickness(thin.thickness, job.units), thickness(sd, job.units));
        (told, pour::pacing::spot(&plan.floor, thin.at, job.units))
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
        h2 #shoot { "Shots" }
        (next_shot(job, plan))
        (call_out(opened, job))
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Base, "base")))
        (shots(job))
        (setups(job, plan))
        h2 { "Outline" }
        (drawing(&floor_for_screen(job, plan, ScreenLayer::Outline, "outline")))
        (edges(job, plan))
        (ways(opened))
    }
}

/// Where else the job is measured and written.
fn ways(opened: &Opened) -> Markup {
    html! {
        p {
            @if opened.figured.job.is_some() { a.do href={ "/jobs/" (opened.id) "/outline" } { "draw the outline, edges" } }
            a.do href={ "/jobs/" (opened.id) "/files" } { "files in and out" }
            a.do href={ "/jobs/" (opened.id) "/text" } { "the job's text" }
        }
    }
}

/// Shots as fast as they are called out: spot, reading, next.
fn call_out(opened: &Opened, job: &Job) -> Markup {
    let lists: Vec<(String, String)> = job
        .survey
        .setups
        .iter()
        .enumerate()
        .filter_map(|(i, setup)| {
            let list = opened.state.address(&basis::Place::at(format!("setup[{i}].shots")))?;
            Some((list.to_string(), setup.name.clone()))
        })
        .collect();
    let count: usize = job.survey.setups.iter().map(|setup| setup.shots.len()).sum();
    let us = job.units == basis::UnitSystem::Us;
    let mark = job.survey.benchmarks.first().map_or("mark", |mark| mark.name.as_str());
    html! {
        @if !lists.is_empty() {
            form.shoot method="post" action={ "/jobs/" (opened.id) "/shot" } data-rod=(if us { "us" } else { "metric" }) {
                (look::stamp(opened))
                div.fields {
                    div { label for="shot-list" { "set-up" } select #shot-list name="list" { @for (list, name) in lists.iter().rev() { option value=(list) { (name) } } } }
                    div { label for="shot-name" { "shot" } input #shot-name name="name" value=(format!("n{}", count + 1)) required autocomplete="off"; }
                    div { label for="shot-right" { "right" } input #shot-right name="right" required autocomplete="off" placeholder=(if us { "12 ft 6 in" } else { "3.80 m" }); }
                    div { label for="shot-up" { "up" } input #shot-up name="up" required autocomplete="off" placeholder=(if us { "20 ft" } else { "6.10 m" }); }
                    div { label for="shot-on" { "on" } select #shot-on name="on" { option value="base" { "base" } option value="form" { "form" } } }
                    div { label for="shot-reading" { "stick reads" } input #shot-reading name="reading" required autocomplete="off" placeholder=(if us { "5 ft 3 1/2 in" } else { "1402" }); }
                }
                div.pad hidden aria-label="Number pad for the stick" role="group" {}
                button.main { "shot, next" }
            }
        }
        details open[lists.is_empty()] {
            summary { "set the laser up anew" }
            form method="post" action={ "/jobs/" (opened.id) "/set-up" } {
                (look::stamp(opened))
                div.fields {
                    div { label for="setup-name" { "name of the set-up" } input #setup-name name="name" required autocomplete="off"; }
                    div { label for="setup-on" { "benchmark" } input #setup-on name="on" value=(mark) required autocomplete="off"; }
                    div { label for="setup-reading" { "stick reads on it" } input #setup-reading name="reading" required autocomplete="off" placeholder=(if us { "4 ft 2 in" } else { "1402 mm" }); }
                }
                button { "set up" }
            }
        }
        (last_shots(opened))
    }
}

/// The shots that were added last, each to be taken back.
fn last_shots(opened: &Opened) -> Markup {
    let undone = &opened.state.undone;
    let added: Vec<_> = opened
        .last
        .iter()
        .filter(|event| !undone.contains_key(&event.id))
        .filter_map(|event| match &event.change {
            Change::Add { row, .. } => Some((event.id, row.clone())),
            _ => None,
        })
        .take(4)
        .collect();
    html! {
        @if !added.is_empty() {
            ol.logged aria-label="Added last" {
                @for (event, row) in added { li { span { (row) } (super::logged::take_back(opened, event, "measure")) } }
            }
        }
    }
}

fn next_shot(job: &Job, plan: &Plan) -> Markup {
    html! {
        @match plan.ground.next_shots.first() {
            Some(shot) => {
                p.next { strong { "Best next shot: " } (pour::pacing::spot(&plan.floor, shot.at, job.units)) ". It would bring the doubt of the base to ± " (volume(shot.volume_sd, job.units)) "." }
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
