//! A new job: its name, its day, and its outline as a person reads it off the tape.

use std::fmt::Write as _;

use axum::extract::{Form, State};
use axum::response::{IntoResponse, Redirect, Response};
use basis::Length;
use formats::events::Change;
use maud::html;
use serde::Deserialize;

use crate::app::App;
use crate::draw;
use crate::form::Stamp;
use crate::look;

/// The page.
pub async fn page(State(app): State<App>) -> Response {
    let body = html! {
        form.wide method="post" action="/jobs" {
            input type="hidden" name="event" value=(draw::event_id());
            input type="hidden" name="tick" value="1";
            label for="name" { "What the crew calls it" }
            input #name name="name" required maxlength="80" autocomplete="off";
            label for="legs" { "The outline, leg by leg, round to where it began" }
            p.care { "Start at a corner and walk round: a direction and a length on each line. The way back to the start closes by itself." }
            textarea #legs name="legs" rows="6" required spellcheck="false" autocapitalize="off" placeholder="right 24 ft\nup 18 ft 6 in\nleft 24 ft" {}
            label for="nominal" { "How thick" }
            input #nominal name="nominal" value="4 in" required autocomplete="off";
            label for="units" { "Units" }
            select #units name="units" { option value="us" { "feet and inches" } option value="metric" { "metres" } }
            label for="zone" { "Time zone of the site" }
            input #zone name="zone" value="America/Chicago" required autocomplete="off";
            label for="truck" { "First truck, if it is known" }
            input #truck name="truck" type="datetime-local";
            div.row { button.main { "start the job" } }
        }
    };
    look::plain_page(&app, "New job", &body)
}

/// What was typed.
#[derive(Debug, Deserialize)]
pub struct Typed {
    #[serde(flatten)]
    stamp: Stamp,
    name: String,
    legs: String,
    nominal: String,
    units: String,
    zone: String,
    #[serde(default)]
    truck: String,
}

/// Puts the job on the shelf.
pub async fn create(State(app): State<App>, Form(typed): Form<Typed>) -> Response {
    let made = typed.stamp.read().and_then(|stamp| Ok((stamp, text(&typed)?)));
    let ((event, tick), text) = match made {
        Ok(made) => made,
        Err(words) => return look::refused(&app, &words),
    };
    // The form's own id names the job, so that a double tap makes one.
    let id = event.to_string();
    match app.keep(&id, (event, tick), Change::Text { text, saw: None }).await {
        Ok(()) => Redirect::to(&format!("/jobs/{id}/measure")).into_response(),
        Err(fault) => look::trouble(&app, &fault.0),
    }
}

/// The corners of a walk along the sheet's own directions, as the job file has them.
fn corners(legs: &str) -> Result<Vec<[String; 2]>, String> {
    let mut at = [0.0_f64, 0.0];
    let mut corners = vec![at];
    let mut faults = Vec::new();
    for (i, line) in legs.lines().map(str::trim).enumerate().filter(|(_, line)| !line.is_empty()) {
        let (way, length) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let step = match way.to_lowercase().as_str() {
            "right" | "r" => [1.0, 0.0],
            "left" | "l" => [-1.0, 0.0],
            "up" | "u" => [0.0, 1.0],
            "down" | "d" => [0.0, -1.0],
            _ => {
                faults
                    .push(format!("leg {}: \"{way}\" is no direction; write right, left, up or down", i + 1));
                continue;
            }
        };
        match length.trim().parse::<Length>() {
            Ok(length) if length > Length::ZERO => {
                at = [at[0] + step[0] * length.in_metres(), at[1] + step[1] * length.in_metres()];
                corners.push(at);
            }
            Ok(_) => faults.push(format!("leg {}: a length over nothing is wanted", i + 1)),
            Err(e) => faults.push(format!("leg {}: {}; {}", i + 1, e.message, e.hint)),
        }
    }
    let closes = |p: &[f64; 2]| p[0].abs() < 0.02 && p[1].abs() < 0.02;
    if corners.len() > 2 && corners.last().is_some_and(closes) {
        corners.pop();
    }
    if faults.is_empty() && corners.len() < 3 {
        faults.push("an outline has three corners at least".to_owned());
    }
    if !faults.is_empty() {
        return Err(faults.join(". "));
    }
    Ok(corners.into_iter().map(|p| p.map(|metres| format!("{metres:.4} m"))).collect())
}

fn text(typed: &Typed) -> Result<String, String> {
    let corners = corners(&typed.legs)?;
    let nominal =
        typed.nominal.parse::<Length>().map_err(|e| format!("how thick: {}; {}", e.message, e.hint));
    nominal?;
    let quoted = |text: &str| toml::Value::String(text.trim().to_owned()).to_string();
    let us = typed.units != "metric";
    let (units, rod) = if us { ("us", "eighths") } else { ("metric", "mm") };
    let mut text = format!(
        "flatwright = 1\n\n[job]\nname = {}\nzone = {}\nunits = \"{units}\"\nrod = \"{rod}\"\n",
        quoted(&typed.name),
        quoted(&typed.zone)
    );
    for (i, [x, y]) in corners.iter().enumerate() {
        let name = u8::try_from(i)
            .ok()
            .filter(|i| *i < 26)
            .map_or_else(|| format!("Z{i}"), |i| char::from(b'A' + i).to_string());
        // Writing into a string does not fail.
        let _ = write!(text, "\n[[corner]]\nname = \"{name}\"\nat = [\"{x}\", \"{y}\"]\n");
    }
    let (level, truck) = if us { ("100 ft", ["9 yd3", "0.25 yd3"]) } else { ("100 m", ["7 m3", "0.25 m3"]) };
    let _ = write!(
        text,
        "\n# Level until a fall is stated.\n[finish.plane]\nthrough = [\"0 m\", \"0 m\"]\nelevation = \"{level}\"\nfall = \"0 %\"\ntoward = \"down\"\n\
         \n[slab]\nnominal = {}\n\
         \n# A point that does not move; its elevation may be chosen.\n[[benchmark]]\nname = \"mark\"\nelevation = \"{level}\"\n\
         \n# What one truck brings, and the smallest step in which the plant sells: ask it.\n[plant]\ntruck = \"{}\"\nincrement = \"{}\"\n",
        quoted(&typed.nominal),
        truck[0],
        truck[1]
    );
    if let Ok(at) = typed.truck.trim().parse::<jiff::civil::DateTime>() {
        let _ = write!(text, "\n[day]\nfirst_truck = {at}\n");
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn legs_become_corners() {
        let walked = corners("right 20 ft\nup 10 ft\nleft 20 ft\ndown 10 ft\n").unwrap();
        assert_eq!(walked[2], ["6.0960 m".to_owned(), "3.0480 m".to_owned()]);
        assert_eq!(walked.len(), 4);
        // Without the last leg it is the same outline.
        assert_eq!(corners("r 20 ft\nu 10 ft\nl 20 ft").unwrap(), walked);
    }

    #[test]
    fn all_faults_of_the_legs_are_told() {
        let told = corners("right 20\nsideways 3 ft\nup 0 ft").unwrap_err();
        for part in ["leg 1", "leg 2", "leg 3"] {
            assert!(told.contains(part), "{told}");
        }
        assert!(corners("right 3 ft").unwrap_err().contains("three corners"));
    }

    /// The text that is made has no fault but that nothing was shot yet.
    #[test]
    fn a_new_job_only_lacks_its_shots() {
        let empty = String::new;
        let typed = Typed {
            stamp: Stamp::default(),
            name: "Shop \"2\"".into(),
            legs: "right 24 ft\nup 18 ft 6 in\nleft 24 ft".into(),
            nominal: "4 in".into(),
            units: "us".into(),
            zone: "America/Chicago".into(),
            truck: "2026-06-15T07:30".into(),
        };
        let text = text(&typed).unwrap();
        let parsed = formats::read_job(&text, "new", &|_| Err(empty()));
        let faults: Vec<_> =
            parsed.report.notes.iter().filter(|n| n.severity == basis::Severity::Fault).collect();
        assert!(faults.iter().all(|note| note.place.path().starts_with("setup")), "{faults:#?}\n{text}");
    }
}
