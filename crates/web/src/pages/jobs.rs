//! Jobs and the day: today's pours first, and what each job needs decided next.

use axum::extract::State;
use axum::response::Response;
use basis::TimeSpan;
use jiff::tz::TimeZone;
use maud::{Markup, html};
use pour::Job;

use super::on_site::asked_rounds;
use crate::app::{App, Opened};
use crate::desk::Rounds;
use crate::look::{self, Step};
use crate::say::{self, volume};

/// How far off the day of a pour is, in days; earlier days are negative.
fn days_off(app: &App, job: &Job) -> Option<i64> {
    let first = job.day.first_truck?.date();
    let zone = TimeZone::get(&job.zone).ok()?;
    Some(first.duration_since(zone.to_datetime(app.clock.now()).date()).as_hours() / 24)
}

/// Where a job stands in its own time.
pub fn step(app: &App, opened: &Opened) -> Step {
    let step = step_of_owner(app, opened);
    // Whoever sees no prices begins at the pour.
    if app.who.may_open(step.word()) { step } else { Step::Pour }
}

fn step_of_owner(app: &App, opened: &Opened) -> Step {
    let Some((job, plan)) = opened.figured.whole() else { return Step::Measure };
    match days_off(app, job) {
        Some(days) if days < -1 => Step::Close,
        Some(days) if days <= 0 => match &plan.forecast {
            Some(forecast) => {
                let struck = forecast.bays.last().map_or(TimeSpan::ZERO, |bay| bay.until.middle);
                let since = app.clock.now().duration_since(forecast.first_truck).as_secs_f64();
                if since > struck.in_seconds() { Step::Finish } else { Step::Pour }
            }
            None => Step::Pour,
        },
        _ => Step::Order,
    }
}

/// The next decision of a job, in a sentence.
fn next(app: &App, opened: &Opened, step: Step, rounds: &Rounds) -> String {
    let Some((job, plan)) = opened.figured.whole() else {
        return "Something in it must be mended before it can be figured.".to_owned();
    };
    let order = &plan.order.recommended;
    match step {
        Step::Order => {
            let by = days_off(app, job).map_or("Set the day, then order", |_| "Order");
            let (yards, odds) = (volume(order.quantity, job.units), say::odds(order.chance_short));
            format!("{by} {yards}: short {odds}.")
        }
        Step::Pour => {
            let loads = say::count(plan.order.loads.len(), "load");
            let told = format!("{} in {loads}", volume(order.quantity, job.units));
            match plan.forecast.as_ref().map(|forecast| forecast.first_truck.duration_since(app.clock.now()))
            {
                Some(left) if left.is_positive() => {
                    format!("First truck {}: {told}.", say::ahead(TimeSpan::seconds(left.as_secs_f64())))
                }
                _ => format!("Pouring {told}."),
            }
        }
        Step::Finish => match rounds {
            Rounds::Done(day) => super::finish::in_short(day, app.clock.now()),
            _ => "On the slab: see what is ready and who does it.".to_owned(),
        },
        Step::Close => "Poured. Put down what came and what was left.".to_owned(),
        Step::Measure | Step::Price => "Go on measuring.".to_owned(),
    }
}

struct Row {
    id: String,
    name: String,
    when: String,
    next: String,
    step: Step,
    /// Today first, then what is to come, then what is past, then what has no day.
    order: (u8, i64, i64),
}

async fn row(app: &App, opened: &Opened) -> Row {
    let step = step(app, opened);
    let rounds = if step == Step::Finish { asked_rounds(app, opened).await } else { Rounds::None };
    let job = opened.figured.job.as_ref();
    let days = job.and_then(|job| days_off(app, job));
    let truck = job.and_then(|job| job.day.first_truck.map(|at| (at, job.units)));
    let hour = truck.map_or(0, |(at, _)| i64::from(at.hour()) * 60 + i64::from(at.minute()));
    let when = truck.map_or("no day yet".to_owned(), |(at, units)| {
        let day = pour::wall::weekday(at.date());
        format!("{day} {}, {}", at.date(), look::clock(at.time(), units))
    });
    let order = match days {
        Some(0) => (0, 0, hour),
        Some(days) if days > 0 => (1, days, hour),
        Some(days) => (2, -days, hour),
        None => (3, 0, 0),
    };
    Row {
        id: opened.id.clone(),
        name: job.map_or_else(|| opened.id.clone(), |job| job.name.clone()),
        when,
        next: next(app, opened, step, &rounds),
        step,
        order,
    }
}

/// The page.
pub async fn page(State(app): State<App>) -> Response {
    let ids = match app.shelf.ids() {
        Ok(ids) => ids,
        Err(fault) => return look::trouble(&app, &fault.0),
    };
    let mut rows = Vec::new();
    for id in ids {
        if let Ok(Some(opened)) = app.open(&id).await {
            rows.push(row(&app, &opened).await);
        }
    }
    rows.sort_by(|a, b| a.order.cmp(&b.order).then_with(|| a.name.cmp(&b.name)));
    look::plain_page(&app, "Jobs and the day", &body(&app, &rows))
}

const PARTS: [(u8, &str); 4] = [(0, "Today"), (1, "To come"), (2, "Past"), (3, "Without a day")];

fn body(app: &App, rows: &[Row]) -> Markup {
    html! {
        @if app.who.is_owner() { p { a.do href="/new" { "new job" } @if app.store.is_some() { a.do href="/people" { "people" } } } }
        @if rows.is_empty() {
            p { "There is no job yet. A job starts with its outline: tape the sides, or put in the corners. Then set up the laser and call out shots; the yards come by themselves." }
        }
        @for (part, heading) in PARTS {
            @if rows.iter().any(|row| row.order.0 == part) {
                h2 { (heading) }
                ol.jobs data-part=(part) {
                    @for row in rows.iter().filter(|row| row.order.0 == part) {
                        li {
                            a href={ "/jobs/" (row.id) "/" (row.step.word()) } {
                                strong { (row.name) }
                                span.when { (row.when) }
                                span.next { (row.next) }
                                span.step { (row.step.word()) }
                            }
                        }
                    }
                }
            }
        }
    }
}
