//! What was seen on the day, from the command line into the forecasts.

use basis::{Note, Place, has_fault};
use formats::{DayOfPour, SaidSight, read_sight, read_time_of_pour};
use jiff::Timestamp;
use pour::forecast::{Forecast, Sight, Update, seen};
use pour::plan::Plan;

/// Forecasts the floors anew after what was seen: one update a floor; none when nothing was seen and no time is told.
pub fn updates(
    plans: &mut [Plan],
    (said, now): (&[String], Option<&str>),
    notes: &mut Vec<Note>,
) -> Option<Vec<Update>> {
    if said.is_empty() && now.is_none() {
        return Some(Vec::new());
    }
    let floors: Vec<&Forecast> = plans.iter().filter_map(|plan| plan.forecast.as_ref()).collect();
    if floors.len() < plans.len() {
        // Missing weather is told by the day.
        return Some(Vec::new());
    }
    let first = floors.iter().min_by_key(|forecast| forecast.first_truck)?;
    let day = DayOfPour { first_truck: first.first_truck, zone: &first.zone };
    let sights: Vec<Vec<(usize, Sight)>> = sorted(said, &day, floors.len(), notes);
    let now = match now {
        Some(text) => read_time_of_pour(text, &day, &Place::at("--now")).unload(notes),
        None => sights.iter().flatten().map(|(_, sight)| sight.at()).max(),
    };
    // All faults at once: what could be read is held against the plan even when the rest could not.
    let updates: Vec<Option<Update>> = match now {
        Some(now) => floors
            .iter()
            .zip(&sights)
            .map(|(forecast, sights)| update(forecast, sights, now, said, notes))
            .collect(),
        None => Vec::new(),
    };
    let updates: Vec<Update> = updates.into_iter().collect::<Option<_>>().filter(|_| !has_fault(notes))?;
    for (plan, update) in plans.iter_mut().zip(&updates) {
        plan.forecast = Some(update.forecast.clone());
    }
    Some(updates)
}

/// The sights of each floor, each with its place in the order in which they were said.
fn sorted(
    said: &[String],
    day: &DayOfPour<'_>,
    floors: usize,
    notes: &mut Vec<Note>,
) -> Vec<Vec<(usize, Sight)>> {
    let mut sights = vec![Vec::new(); floors];
    for (i, text) in said.iter().enumerate() {
        let place = Place::at("--seen").index(i);
        let Some(SaidSight { floor, sight }) = read_sight(text, day, &place).unload(notes) else { continue };
        match floor.map_or_else(|| if floors == 1 { Some(0) } else { None }, |number| number.checked_sub(1)) {
            Some(floor) if floor < floors => sights[floor].push((i, sight)),
            _ => {
                let message = format!("\"{text}\": there are {floors} floors, and it does not say on which");
                let hint =
                    "say floor 1 or floor 2, in the order of the jobs: \"10:40 floor 2 bay 1 sheen gone\"";
                notes.push(Note::fault("seen-unclear", place, message, hint));
            }
        }
    }
    sights
}

fn update(
    forecast: &Forecast,
    sights: &[(usize, Sight)],
    now: Timestamp,
    said: &[String],
    notes: &mut Vec<Note>,
) -> Option<Update> {
    let plain: Vec<Sight> = sights.iter().map(|(_, sight)| *sight).collect();
    let report = seen(forecast, &plain, now);
    for note in report.notes {
        // The words as said stand for the engine's place.
        let own =
            sights.iter().enumerate().find(|(i, _)| note.place.path().starts_with(&format!("seen[{i}]")));
        let (place, message) = match own {
            Some((_, (i, _))) => {
                (Place::at("--seen").index(*i), format!("\"{}\": {}", said[*i], note.message))
            }
            None => (Place::at("--seen"), note.message),
        };
        notes.push(Note { place, message, ..note });
    }
    report.value
}
