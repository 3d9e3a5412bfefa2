//! What the plan lists, as tables for a spreadsheet [@rfc4180]: loads, pads, rounds.
//!
//! Numbers stand in the unit that the column's head names, feet or metres as the job is; instants in UTC beside local time.

use basis::{Length, UnitSystem, Volume};
use ground::survey::RodReading;
use jiff::{SignedDuration, Timestamp};
use pour::Job;
use pour::day::Day;
use pour::plan::Plan;
use pour::rounds::{Answer, Direction};
use pour::wall::Wall;

/// Where each load ends and when it is asked for, in minutes from the first truck.
#[must_use]
pub fn loads_csv(job: &Job, plan: &Plan) -> String {
    let [far, much] = units(job);
    let head = [
        "load".to_owned(),
        format!("size_{much}"),
        format!("covers_{much}"),
        "asked_min".to_owned(),
        "bay".to_owned(),
        format!("past_bay_start_{far}"),
    ];
    let rows = plan.loads.lines.iter().map(|line| {
        let asked = plan.trucks.trucks.get(line.load - 1).map(|truck| number(truck.asked.in_minutes(), 1));
        vec![
            line.load.to_string(),
            volume(job, line.size),
            volume(job, line.covers),
            asked.unwrap_or_default(),
            line.end.bay.to_string(),
            length(job, line.end.along),
        ]
    });
    table(head.to_vec(), rows)
}

/// The pads with their readings; `reading` is off the rod, or up (positive) or down from the mark on the stick.
#[must_use]
pub fn pads_csv(job: &Job, plan: &Plan) -> String {
    let [far, _] = units(job);
    let head = ["pad", "bay"].map(str::to_owned).into_iter();
    let places = ["x", "y", "elevation", "reading"].map(|name| format!("{name}_{far}"));
    let head = head.chain(places).chain(["reading_from".to_owned(), "reading_said".to_owned()]);
    let rows = plan.pads.pads.iter().map(|pad| {
        let (reading, from) = match pad.reading {
            RodReading::Rod(height) => (height, "foot"),
            RodReading::FromMark(off) => (off, "mark"),
        };
        vec![
            pad.number.to_string(),
            pad.bay.to_string(),
            length(job, Length::metres(pad.at.x)),
            length(job, Length::metres(pad.at.y)),
            length(job, pad.elevation),
            length(job, reading),
            from.to_owned(),
            pad.reading.said(job.rod),
        ]
    });
    table(head.collect(), rows)
}

/// Who does which round of which bay, when and with what; only its head when the day has no plan.
#[must_use]
pub fn rounds_csv(day: &Day, wall: &Wall<'_>) -> String {
    let head = ["from_utc", "to_utc", "from_local", "to_local", "bay", "round", "passes", "who", "with"];
    let head = head.map(str::to_owned).to_vec();
    let Answer::Plan(plan) = &day.answer else { return table(head, std::iter::empty()) };
    let at = |span: basis::TimeSpan| -> [String; 2] {
        let minutes = SignedDuration::from_mins(span.in_minutes().round() as i64);
        let instant: Option<Timestamp> = day.start.checked_add(minutes).ok();
        instant.map_or_else(Default::default, |at| [at.to_string(), wall.at(at)])
    };
    let rows = plan.assignments.iter().map(|line| {
        let bay = &day.problem.bays[line.bay];
        let ([from, from_local], [to, to_local]) = (at(line.start), at(line.end));
        let who: Vec<String> = line.people.iter().map(|person| pour::day::person_name(*person)).collect();
        let with = line.machine.map_or("", |machine| day.problem.machines[machine].name.as_str());
        let passes = match line.direction {
            Direction::Across => "across",
            Direction::Along => "along",
            Direction::Around => "around",
        };
        let kind = bay.rounds[line.round].kind.to_string();
        vec![
            from,
            to,
            from_local,
            to_local,
            text(&bay.name),
            kind,
            passes.to_owned(),
            who.join(" "),
            text(with),
        ]
    });
    table(head, rows)
}

fn units(job: &Job) -> [&'static str; 2] {
    match job.units {
        UnitSystem::Us => ["ft", "yd3"],
        UnitSystem::Metric => ["m", "m3"],
    }
}

/// To a tenth of a millimetre, or the like in feet.
pub(crate) fn length(job: &Job, length: Length) -> String {
    number(if job.units == UnitSystem::Us { length.in_feet() } else { length.in_metres() }, 4)
}

fn volume(job: &Job, volume: Volume) -> String {
    number(if job.units == UnitSystem::Us { volume.in_cubic_yards() } else { volume.in_cubic_metres() }, 3)
}

pub(crate) fn number(value: f64, decimals: usize) -> String {
    format!("{value:.decimals$}")
}

/// A text of a user: one that a spreadsheet would take for a formula gets an apostrophe before it.
pub(crate) fn text(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text.to_owned() }
}

pub(crate) fn table(head: Vec<String>, rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    // Writing to memory cannot fail, and every row is as long as the head.
    for row in std::iter::once(head).chain(rows) {
        let _ = writer.write_record(&row);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_of_a_spreadsheet_stay_text() {
        assert_eq!(text("=1+1"), "'=1+1");
        assert_eq!(text("36 in. walk-behind"), "36 in. walk-behind");
        let quoted = table(vec!["a".into()], [vec!["say \"4 in.\", then".into()]].into_iter());
        assert_eq!(quoted, "a\r\n\"say \"\"4 in.\"\", then\"\r\n");
    }
}
