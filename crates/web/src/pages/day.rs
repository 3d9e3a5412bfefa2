//! The day line with the floor under it, to slide along.

use basis::TimeSpan;
use jiff::{SignedDuration, Timestamp};
use maud::{Markup, PreEscaped, html};
use papers::{day_line_for_screen, floor_at_for_screen};
use pour::day::{Day, FloorOfDay};
use pour::forecast::Forecast;
use pour::forecast::state::{course, state_at};
use pour::plan::Plan;
use pour::wall::Wall;

use crate::figured::Rounds;
use crate::look::{cells, drawing, legend, table};
use crate::opened::{Opened, Sheet};

/// The instant that a page shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Instant {
    /// The clock's.
    Now,
    /// So many minutes after the first truck.
    Minute(i64),
}

/// The page, when there is a plan.
pub fn body(sheet: Sheet<'_>, plan: &Plan, instant: Instant) -> Markup {
    if plan.forecast.is_some() {
        return strip(sheet, instant);
    }
    html! {
        p { "The day line needs the weather, the mix, the site and the time of the first truck." }
        (super::notes_about(sheet.opened, &["weather", "mix", "site", "day"]))
    }
}

fn minutes_since(forecast: &Forecast, now: Timestamp) -> i64 {
    now.duration_since(forecast.first_truck).as_mins()
}

/// Day line, slider, floor.
pub fn strip(sheet: Sheet<'_>, instant: Instant) -> Markup {
    let Sheet { opened, rounds, now } = sheet;
    let Some((job, plan)) = opened.figured.whole() else { return html! {} };
    let Some(forecast) = &plan.forecast else { return html! {} };
    let now = minutes_since(forecast, now);
    let floors = [FloorOfDay { job, plan }];
    let bare;
    let day: &Day = match rounds {
        Rounds::Done(day) => day,
        _ => {
            bare = without_rounds(forecast);
            &bare
        }
    };
    let Some(line) = day_line_for_screen(&floors, day, "day-line") else { return html! {} };
    let (first, last) = ((line.axis[0] * 60.0).floor() as i64, (line.axis[1] * 60.0).ceil() as i64);
    let shown = match instant {
        Instant::Now => now.clamp(first, last),
        Instant::Minute(minute) => minute.clamp(first, last),
    };
    let mut changes: Vec<i64> =
        forecast.bays.iter().flat_map(course).map(|change| change.at.in_minutes().ceil() as i64).collect();
    changes.sort_unstable();
    changes.dedup();
    let changes: Vec<String> = changes.iter().map(i64::to_string).collect();
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    html! {
        section.dayline aria-label="Day line"
            data-first=(first) data-last=(last) data-now=(now) data-start=(forecast.first_truck.as_millisecond())
            data-zone=(job.zone) data-hours=(if job.units == basis::UnitSystem::Us { "12" } else { "24" })
            data-left=(line.axis[2]) data-right=(line.axis[3]) data-wide=(line.size[1]) data-changes=(changes.join(" ")) {
            div.lanes {
                div.names { (PreEscaped(&line.names)) }
                div.strip tabindex="0" role="region" aria-label="Day line, moves sideways" {
                    div.paper { (PreEscaped(&line.svg)) div.cursor aria-hidden="true" {} div.nowline aria-hidden="true" {} }
                }
            }
            (legend(&line.keys))
            form.slide method="get" {
                label for="minute" { "the floor at " output #slid-time for="minute" { (wall.after(TimeSpan::minutes(shown as f64))) } }
                input #minute name="minute" type="range" min=(first) max=(last) step="5" value=(shown);
                div.row {
                    button.earlier type="button" hidden { "10 min back" }
                    button.to-now type="button" hidden { "now" }
                    button.later type="button" hidden { "10 min on" }
                    noscript { button { "show" } }
                }
            }
            div #floor-at aria-live="off" { (floor(opened, shown)) }
        }
    }
}

/// A day in which nobody is told what to do: for a strip that does not wait.
fn without_rounds(forecast: &Forecast) -> Day {
    let problem = pour::rounds::Problem {
        floors: Vec::new(),
        bays: Vec::new(),
        crew: pour::rounds::Hands { people: 0, busy: Vec::new() },
        machines: Vec::new(),
        travel: TimeSpan::ZERO,
    };
    Day {
        start: forecast.first_truck,
        problem,
        stretches: Vec::new(),
        beyond: Vec::new(),
        answer: pour::rounds::Answer::Undecided { steps: 0 },
        chance: None,
        assumed: Vec::new(),
    }
}

/// The floor at a minute: drawn, and in words.
pub fn floor(opened: &Opened, minute: i64) -> Markup {
    let Some((job, plan)) = opened.figured.whole() else { return html! {} };
    let Some(forecast) = &plan.forecast else { return html! {} };
    let minute = minute.clamp(-48 * 60, 96 * 60);
    let Ok(at) = forecast.first_truck.checked_add(SignedDuration::from_mins(minute)) else { return html! {} };
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    let rows: Vec<_> = forecast
        .bays
        .iter()
        .map(|bay| {
            let state = state_at(bay, TimeSpan::minutes(minute as f64));
            let (next, when) = state.next.map_or_else(
                || ("beyond the weather given".to_owned(), String::new()),
                |next| (next.state.to_string(), wall.after(next.at)),
            );
            cells([format!("bay {}", bay.number), state.state.to_string(), next, when])
        })
        .collect();
    html! {
        @if let Some(drawn) = floor_at_for_screen(job, plan, at, "floor-now") { (drawing(&drawn)) }
        (table("The bays in words", &["", "is", "next", "at"], &rows))
    }
}
