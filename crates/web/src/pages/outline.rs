//! The outline: drawn with a finger on squared ground, or typed corner by corner; and what stands along each edge.

use axum::extract::{Form, Path, State};
use axum::response::{IntoResponse, Redirect, Response};
use basis::{Length, Place, UnitSystem};
use formats::brought::put_corners;
use formats::events::{After, Change, Fingerprint};
use ground::P2;
use ground::outline::{Corner, EdgeKind};
use maud::{Markup, html};
use serde::Deserialize;

use super::at;
use crate::app::{App, Opened};
use crate::form::Stamp;
use crate::look::{self, Step};

/// Corners as far as they are known: of the plan, else as the job states them.
fn corners(opened: &Opened) -> Vec<Corner> {
    match (&opened.figured.plan, &opened.figured.job) {
        (Some(plan), _) => plan.outline.corners.clone(),
        (None, Some(job)) if job.walk.is_none() => job.outline.corners.clone(),
        (None, Some(job)) => {
            let walked = job.walk.as_ref().and_then(|walk| ground::walk::adjust(walk).value);
            walked.map_or_else(Vec::new, |walked| walked.corners)
        }
        (None, None) => Vec::new(),
    }
}

/// The page.
pub async fn page(State(app): State<App>, Path(id): Path<String>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let Some(job) = &opened.figured.job else {
        return super::unplanned(&app, &opened, at(Step::Measure));
    };
    let (corners, us) = (corners(&opened), job.units == UnitSystem::Us);
    let length = |metres: f64| words(metres, job.units);
    let lines: Vec<String> =
        corners.iter().map(|c| format!("{}: {}, {}", c.name, length(c.at.x), length(c.at.y))).collect();
    let body = html! {
        h2 { "Outline" }
        form.sketch method="post" data-units=(if us { "us" } else { "metric" }) {
            (look::stamp(&opened))
            input type="hidden" name="saw" value=(Fingerprint::of(&opened.state.text));
            p.care { "Drag a corner. Tap an edge to put a corner there, or the ground to put one at the end of the nearest edge. It snaps to " (if us { "the inch" } else { "the centimetre" }) "; arrow keys move the corner that is inked." }
            div.ground hidden {
                svg.sheet role="group" aria-label="Outline on squared ground" {}
                div.row {
                    button type="button" data-do="out" { "smaller" }
                    button type="button" data-do="in" { "larger" }
                    button type="button" data-do="remove" disabled { "take the corner out" }
                    button type="button" data-do="back" disabled { "one step back" }
                }
                p.at aria-live="polite" {}
            }
            label for="corners" { "or typed: corner, right, up" }
            textarea #corners name="corners" rows=(corners.len().clamp(4, 12)) spellcheck="false" autocapitalize="off" { "\n" (lines.join("\n")) }
            @if job.walk.is_some() { p.care { "The outline was walked with a tape. Saved here, these corners take its place, and the tape's measures go." } }
            div.row { button.main { "save the outline" } a.do href={ "/jobs/" (id) "/measure" } { "leave it" } }
        }
        (edges(&opened, &corners))
        p { a.do href={ "/jobs/" (id) "/files" } { "bring a drawing" } }
    };
    look::job_page(&app, &opened, at(Step::Measure), &body)
}

/// A length of the drawing, to a sixteenth or a millimetre; what is finer is written as it is.
fn words(metres: f64, units: UnitSystem) -> String {
    let short = match units {
        UnitSystem::Us => basis::quantity::feet_inches_in_words(Length::metres(metres), 16),
        UnitSystem::Metric => format!("{metres:.3} m"),
    };
    let near = short.parse::<Length>().is_ok_and(|read| (read.in_metres() - metres).abs() < 1e-6);
    match (near, units) {
        (true, _) if metres.abs() < 1e-6 => if units == UnitSystem::Us { "0 ft" } else { "0 m" }.to_owned(),
        (true, _) => short,
        (false, UnitSystem::Us) => format!("{:.6} ft", metres / 0.3048),
        (false, UnitSystem::Metric) => format!("{metres:.6} m"),
    }
}

/// The edges with what stands along each, changed by one tap.
pub fn edges(opened: &Opened, corners: &[Corner]) -> Markup {
    let Some(job) = &opened.figured.job else { return html! {} };
    if corners.len() < 3 {
        return html! {};
    }
    let kinds = [
        (EdgeKind::Free, "form", "form"),
        (EdgeKind::Wall, "wall", "wall"),
        (EdgeKind::ExistingSlab, "existing slab", "slab"),
    ];
    let along = |i: usize| {
        let straight = corners[i].at.distance(corners[(i + 1) % corners.len()].at);
        opened.figured.plan.as_ref().map_or(straight, |plan| {
            plan.floor.segments.iter().filter(|s| s.edge == i).map(|s| s.a.distance(s.b)).sum()
        })
    };
    html! {
        h2 #edges { "What stands along each edge" }
        ul.taps.edges {
            @for (i, corner) in corners.iter().enumerate() {
                @let to = &corners[(i + 1) % corners.len()].name;
                @let is = job.outline.edges.get(i).map_or(EdgeKind::Free, |edge| edge.kind);
                li id={ "edge-" (i) } {
                    span { b { (corner.name) "-" (to) } " " (basis::quantity::length(Length::metres(along(i)), job.units)) }
                    form.tap.kinds method="post" action={ "/jobs/" (opened.id) "/edge" } {
                        (look::stamp(opened))
                        input type="hidden" name="edge" value=(i);
                        @for (kind, word, short) in kinds { button name="kind" value=(word) aria-pressed=(kind == is) { (short) } }
                    }
                }
            }
        }
        p.care { "A form carries the straightedge; a wall or a slab that is there gets an isolation strip." }
    }
}

/// Corners as they were drawn or typed.
#[derive(Debug, Deserialize)]
pub struct Drawn {
    #[serde(flatten)]
    stamp: Stamp,
    saw: String,
    corners: String,
}

/// Keeps an outline.
pub async fn draw(State(app): State<App>, Path(id): Path<String>, Form(drawn): Form<Drawn>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let units = opened.figured.job.as_ref().map_or(UnitSystem::Us, |job| job.units);
    let change = read(&drawn.corners, units).and_then(|corners| {
        let saw: Fingerprint =
            drawn.saw.parse().map_err(|_| "this form is broken: open the page anew".to_owned())?;
        Ok(Change::Text { text: put_corners(&opened.state.text, &corners, units)?, saw: Some(saw) })
    });
    let kept = match drawn.stamp.read().and_then(|stamp| Ok((stamp, change?))) {
        Err(words) => return look::refused(&app, &words),
        Ok((stamp, change)) => app.keep(&id, stamp, change).await,
    };
    match kept {
        Ok(()) => Redirect::to(&format!("/jobs/{id}/outline")).into_response(),
        Err(fault) => look::trouble(&app, &fault.0),
    }
}

/// Most corners that are drawn by hand.
const MOST: usize = 200;

/// Corners of lines `name: right, up`.
fn read(text: &str, units: UnitSystem) -> Result<Vec<(String, P2)>, String> {
    let unit = if units == UnitSystem::Us { "ft" } else { "m" };
    let (mut corners, mut faults): (Vec<(String, P2)>, Vec<String>) = (Vec::new(), Vec::new());
    let lines = text.lines().map(str::trim).enumerate().filter(|(_, line)| !line.is_empty());
    for (i, line) in lines {
        let parts = line.rsplit_once(':').and_then(|(name, at)| Some((name.trim(), at.split_once(',')?)));
        let Some((name, (right, up))) = parts else {
            faults.push(format!("line {}: write a corner as in \"A: 12 ft, 8 ft\"", i + 1));
            continue;
        };
        let length = |typed: &str| crate::form::with_unit(typed, unit).parse::<Length>();
        match (length(right), length(up)) {
            (Ok(x), Ok(y)) => corners.push((name.to_owned(), P2::new(x.in_metres(), y.in_metres()))),
            (Err(e), _) | (_, Err(e)) => faults.push(format!("line {}: {}; {}", i + 1, e.message, e.hint)),
        }
        if name.is_empty() || name.chars().count() > 40 || name.chars().any(char::is_control) {
            faults.push(format!("line {}: a corner has a name of 1 to 40 letters", i + 1));
        }
        if corners.iter().filter(|(known, _)| known == name).count() > 1 {
            faults.push(format!("line {}: there are two corners {name}", i + 1));
        }
    }
    if faults.is_empty() && !(3..=MOST).contains(&corners.len()) {
        faults.push(format!("an outline has 3 to {MOST} corners, this has {}", corners.len()));
    }
    if faults.is_empty() {
        Ok(corners)
    } else {
        Err(faults.into_iter().take(8).collect::<Vec<_>>().join(". "))
    }
}

/// What stands along an edge.
#[derive(Debug, Deserialize)]
pub struct Along {
    #[serde(flatten)]
    stamp: Stamp,
    edge: usize,
    kind: String,
}

/// Keeps what stands along an edge.
pub async fn edge(State(app): State<App>, Path(id): Path<String>, Form(along): Form<Along>) -> Response {
    let opened = match super::opened(&app, &id).await {
        Ok(opened) => opened,
        Err(answer) => return answer,
    };
    let back = || Redirect::to(&format!("/jobs/{id}/outline#edge-{}", along.edge)).into_response();
    let change = match change_of(&opened, &along) {
        Ok(Some(change)) => change,
        Ok(None) => return back(),
        Err(words) => return look::refused(&app, &words),
    };
    match along.stamp.read() {
        Err(words) => look::refused(&app, &words),
        Ok(stamp) => match app.keep(&id, stamp, change).await {
            Ok(()) => back(),
            Err(fault) => look::trouble(&app, &fault.0),
        },
    }
}

/// The change that makes an edge of a kind; nothing when it is so already.
fn change_of(opened: &Opened, along: &Along) -> Result<Option<Change>, String> {
    let broken = || "this form is broken: open the page anew".to_owned();
    let job = opened.figured.job.as_ref().ok_or("the job must be mended first")?;
    let corners = corners(opened);
    let edge = job.outline.edges.get(along.edge).filter(|_| along.edge < corners.len()).ok_or_else(broken)?;
    let kind = match along.kind.as_str() {
        "form" => None,
        "wall" | "existing slab" => Some(toml::Value::String(along.kind.clone()).to_string()),
        _ => return Err(broken()),
    };
    if edge.place.path().starts_with("edge") {
        let place = Place::at(format!("{}.kind", edge.place.path()));
        let at = opened.state.address(&place).ok_or_else(broken)?;
        let was = opened.state.value(&at);
        return Ok((was != kind).then_some(Change::Set { at, was, to: kind }));
    }
    let Some(kind) = kind else { return Ok(None) };
    let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
    let (from, to) = (&corners[along.edge].name, &corners[(along.edge + 1) % corners.len()].name);
    let row = format!("{{ from = {}, to = {}, kind = {kind} }}", quoted(from), quoted(to));
    let list = "edge".parse().map_err(|_| broken())?;
    Ok(Some(Change::Add { list, after: After::End, row }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_are_read_line_by_line() {
        let read = read("left front: 0, 0\n A: 12 ft 6 in, 0 ft\n\nB: 12.5, 8 ft\n", UnitSystem::Us).unwrap();
        assert_eq!(read[0].0, "left front");
        assert!(
            read[1].1.distance(P2::new(3.81, 0.0)) < 1e-12
                && read[2].1.distance(P2::new(3.81, 2.4384)) < 1e-12
        );
    }

    #[test]
    fn all_faults_of_the_corners_are_told() {
        let told =
            read("A 0 ft 0 ft\nA: 1 ft, x\n: 1 ft, 2 ft\nB: 1, 2\nB: 3, 4", UnitSystem::Us).unwrap_err();
        for part in ["line 1", "line 2", "line 3", "two corners B"] {
            assert!(told.contains(part), "{told}");
        }
        assert!(read("A: 1, 2", UnitSystem::Us).unwrap_err().contains("3 to 200"));
    }

    #[test]
    fn lengths_come_back_as_they_were() {
        for (metres, units) in [
            (0.0, UnitSystem::Us),
            (3.81, UnitSystem::Us),
            (1.234_567, UnitSystem::Us),
            (1.234_567, UnitSystem::Metric),
            (-0.5, UnitSystem::Metric),
        ] {
            let said = words(metres, units);
            assert!((said.parse::<Length>().unwrap().in_metres() - metres).abs() < 1e-6, "{said}");
        }
    }
}
