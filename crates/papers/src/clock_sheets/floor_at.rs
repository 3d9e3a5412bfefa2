//! The floor at an instant: each bay's state in words and hatch.

use basis::TimeSpan;
use clock::Round;
use jiff::Timestamp;
use pour::Job;
use pour::forecast::Forecast;
use pour::forecast::state::{BayState, StateAt, Surface, state_at, telling};
use pour::plan::Plan;
use pour::wall::{Wall, weekday};

use crate::drawing::screen::OnScreen;
use crate::drawing::{BayHatch, BayStateMark, FloorDrawing, Layer, StateLayer, Table, draw, draw_for_screen};
use crate::plan_sheets::{floor_drawing, without_measures};

/// Most instants that are drawn unasked.
const MOST: usize = 6;

/// The one floor or one of the floors of a day, as its files are named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FloorsAsked {
    /// `floor-1022.svg`.
    Only,
    /// `floor-2-1022.svg`, counted from 1.
    Numbered(usize),
}

/// The floor at an instant with its file name; nothing without a forecast.
#[must_use]
pub fn floor_at(job: &Job, plan: &Plan, floors: FloorsAsked, at: Timestamp) -> Option<(String, String)> {
    let forecast = plan.forecast.as_ref()?;
    let mut floor = floor_drawing(job, plan);
    // The laser and the depth of what is dug belong to other sheets.
    floor.sheet.setup = String::new();
    floor.below = Vec::new();
    let layer = Layer::State(layer(job, plan, forecast, at));
    Some((file_name(forecast, floors, at), draw(&floor, &layer)))
}

/// The floor at an instant for a screen; nothing without a forecast.
#[must_use]
pub fn floor_at_for_screen(job: &Job, plan: &Plan, at: Timestamp, id: &str) -> Option<OnScreen> {
    let forecast = plan.forecast.as_ref()?;
    let floor = FloorDrawing { below: Vec::new(), ..without_measures(floor_drawing(job, plan)) };
    Some(draw_for_screen(&floor, &Layer::State(layer(job, plan, forecast, at)), id))
}

/// The floor at each telling instant, at most six, in order of time; none without a forecast.
#[must_use]
pub fn telling_floors(job: &Job, plan: &Plan, floors: FloorsAsked) -> Vec<(String, String)> {
    let Some(forecast) = &plan.forecast else { return Vec::new() };
    let wall = wall(job, forecast);
    let instants = telling(&forecast.bays, MOST).into_iter().filter_map(|change| wall.instant(change.at));
    let mut drawn: Vec<(String, String)> = Vec::new();
    for (name, drawing) in instants.filter_map(|at| floor_at(job, plan, floors, at)) {
        // An hour that the clocks show twice gives a name twice.
        if !drawn.iter().any(|(known, _)| *known == name) {
            drawn.push((name, drawing));
        }
    }
    drawn
}

fn wall<'a>(job: &Job, forecast: &'a Forecast) -> Wall<'a> {
    Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units }
}

/// `floor-1022.svg`; on another day than the pour's `floor-sat-0705.svg`.
fn file_name(forecast: &Forecast, floors: FloorsAsked, at: Timestamp) -> String {
    let local = forecast.zone.to_datetime(at);
    let first = forecast.zone.to_datetime(forecast.first_truck).date();
    let number = match floors {
        FloorsAsked::Only => String::new(),
        FloorsAsked::Numbered(number) => format!("-{number}"),
    };
    let day = if local.date() == first {
        String::new()
    } else {
        format!("-{}", weekday(local.date()).to_lowercase())
    };
    format!("floor{number}{day}-{:02}{:02}.svg", local.hour(), local.minute())
}

fn layer(job: &Job, plan: &Plan, forecast: &Forecast, at: Timestamp) -> StateLayer {
    let wall = wall(job, forecast);
    let since = TimeSpan::seconds(at.duration_since(forecast.first_truck).as_secs_f64());
    let states: Vec<StateAt> = forecast.bays.iter().map(|bay| state_at(bay, since)).collect();
    let mark = |(bay, state): (&pour::bays::Bay, &StateAt)| BayStateMark {
        ring: bay.window.corners().to_vec(),
        hatch: hatch(state.state),
        name: format!("bay {}", bay.number),
        state: state.state.to_string(),
        more: next(state, &wall).into_iter().chain(care(state).map(str::to_owned)).collect(),
    };
    let rows = forecast.bays.iter().zip(&states).map(|(bay, state)| {
        let (next, when) = state.next.map_or_else(
            || ("beyond the weather given".to_owned(), String::new()),
            |next| (next.state.to_string(), wall.after(next.at)),
        );
        vec![bay.number.to_string(), state.state.to_string(), next, when]
    });
    StateLayer {
        at: wall.at(at),
        bays: plan.bays.bays.iter().zip(&states).map(mark).collect(),
        table: Table { head: ["bay", "is", "next", "at"].map(str::to_owned).to_vec(), rows: rows.collect() },
    }
}

fn next(state: &StateAt, wall: &Wall<'_>) -> Option<String> {
    let next = state.next?;
    Some(format!("{}: {}", wall.after(next.at), next.state))
}

fn care(state: &StateAt) -> Option<&'static str> {
    let is_due = matches!(state.state, BayState::Ready(round) if round != Round::BullFloat);
    (is_due && state.surface == Surface::Wet).then_some("drag water off first")
}

const fn hatch(state: BayState) -> BayHatch {
    match state {
        BayState::NotPlaced => BayHatch::Empty,
        BayState::BeingPlaced => BayHatch::Placing,
        BayState::Fresh => BayHatch::Fresh,
        BayState::Bleeding => BayHatch::Water,
        BayState::Waiting => BayHatch::Waiting,
        BayState::Ready(_) => BayHatch::Due,
        BayState::TooStiff => BayHatch::Stiff,
        BayState::EarlySaw | BayState::Saw => BayHatch::Saw,
        BayState::WalkOn | BayState::DriveOn => BayHatch::Walk,
    }
}
