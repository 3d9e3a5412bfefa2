//! What has been learned on the day.

use basis::{Estimate, TimeSpan};
use pour::Job;
use pour::forecast::Update;
use pour::wall::Wall;

use crate::page::{heading, paragraph};

/// The set factor before and after, and how far it moves the rounds that are left.
pub fn learned(job: &Job, update: &Update) -> String {
    let forecast = &update.forecast;
    let wall = Wall { zone: &forecast.zone, start: forecast.first_truck, units: job.units };
    let mut text = heading(&format!("{}: what has been learned", job.name));
    let shown = |factor: Estimate<f64>| format!("{:.2} give or take {:.2}", factor.mean, factor.sd);
    let (before, after) = (update.before, update.learned.set_factor);
    let factor = if before == after {
        format!("Nothing that was seen tells of the set: the set factor stays {}.", shown(before))
    } else {
        let quick = after.mean / before.mean - 1.0;
        let word = if quick < 0.0 { "quicker" } else { "slower" };
        format!(
            "The concrete sets {:.0} % {word} than was expected: set factor {}, before {}.",
            100.0 * quick.abs(),
            shown(after),
            shown(before)
        )
    };
    text += &paragraph(&format!("{factor}{}", update.moved.map_or_else(String::new, moved)));
    if let Some(now) = forecast.now {
        text += &paragraph(&format!(
            "As of {}. Rounds that are done, or whose window has more likely than not closed, are left out; say what is done, as in \
             --seen \"{} bay 1 edges done\".",
            wall.after(now),
            wall.after(now)
        ));
    }
    text
}

fn moved(by: TimeSpan) -> String {
    let hours = by.in_hours().abs();
    let much = if hours < 1.0 { format!("{:.0} min", 60.0 * hours) } else { format!("{hours:.1} h") };
    match by.in_minutes() {
        by if by.abs() < 0.5 => " The next round of the last bay stays where it was.".to_owned(),
        by if by > 0.0 => format!(" The next round of the last bay is ready {much} later than was told."),
        _ => format!(" The next round of the last bay is ready {much} sooner than was told."),
    }
}
