//! Benchmarks, set-ups and shots in the job file.

use std::collections::BTreeSet;

use basis::{Origin, Place, UnitSystem};
use ground::P2;
use ground::survey::{Benchmark, InstrumentErrors, RodReading, Setup, Shot, ShotOn, Sight, Survey};

use crate::nearest::nearest;
use crate::quantity::shown;

use super::defaults;
use super::findings::Findings;
use super::outline::doubles;
use super::plan_words::{reading, row_name};
use super::table::{Table, Value};

/// Reads everything about the survey but the CSV file, whose name it hands back.
pub(crate) fn survey(root: &Table<'_>, f: &mut Findings, units: UnitSystem) -> (Survey, Option<String>) {
    let general = root.table(f, "survey");
    let limit = general.as_ref().and_then(|table| table.quantity(f, "misclosure_limit"));
    let file = general.as_ref().and_then(|table| table.text(f, "shots_file"));
    let misclosure_limit =
        f.or_assume(limit, Place::at("survey.misclosure_limit"), defaults::misclosure_limit(units));
    let survey = Survey { benchmarks: benchmarks(root, f), setups: setups(root, f, units), misclosure_limit };
    (survey, file)
}

fn benchmarks(root: &Table<'_>, f: &mut Findings) -> Vec<Benchmark> {
    let tables = root.tables(f, "benchmark");
    let benchmarks: Vec<Benchmark> = tables
        .iter()
        .map(|table| Benchmark {
            name: table.text(f, "name").unwrap_or_default(),
            elevation: table.quantity(f, "elevation").unwrap_or_default(),
            at: table.point(f, "at"),
        })
        .collect();
    doubles(f, "benchmark", &tables, benchmarks.iter().map(|benchmark| benchmark.name.as_str()));
    benchmarks
}

/// The set-ups of a file.
pub(crate) fn setups(root: &Table<'_>, f: &mut Findings, units: UnitSystem) -> Vec<Setup> {
    let tables = root.tables(f, "setup");
    let setups: Vec<Setup> = tables.iter().map(|table| setup(table, f, units)).collect();
    doubles(f, "set-up", &tables, setups.iter().map(|setup| setup.name.as_str()));
    setups
}

fn setup(table: &Table<'_>, f: &mut Findings, units: UnitSystem) -> Setup {
    Setup {
        name: table.text(f, "name").unwrap_or_default(),
        station: table.point(f, "station"),
        mark: table.quantity(f, "mark"),
        backsight: sight(table, f, "backsight").unwrap_or_else(|| Sight {
            on: String::new(),
            reading: RodReading::Rod(basis::Length::ZERO),
            place: table.place.key("backsight"),
        }),
        closing: sight(table, f, "closing"),
        shots: shots(table, f),
        errors: errors(table, f, units),
        place: table.place.clone(),
    }
}

fn sight(setup: &Table<'_>, f: &mut Findings, key: &str) -> Option<Sight> {
    let table = setup.table(f, key)?;
    let on = table.text(f, "on");
    let reading = table.reading(f, "reading");
    Some(Sight { on: on?, reading: reading?, place: table.place.clone() })
}

fn errors(setup: &Table<'_>, f: &mut Findings, units: UnitSystem) -> InstrumentErrors {
    let place = setup.place.key("errors");
    let table = setup.table(f, "errors");
    let backsight = table.as_ref().and_then(|table| table.quantity(f, "backsight"));
    let tilt = table.as_ref().and_then(|table| table.quantity(f, "tilt"));
    let rod = table.as_ref().and_then(|table| table.quantity(f, "rod"));
    let all_stated = backsight.is_some() && tilt.is_some() && rod.is_some();
    InstrumentErrors {
        backsight: f.or_assume(backsight, place.key("backsight"), defaults::backsight_error(units)),
        tilt: f.or_assume(tilt, place.key("tilt"), defaults::laser_tilt()),
        rod: f.or_assume(rod, place.key("rod"), defaults::rod_error(units)),
        origin: if all_stated { Origin::Stated } else { Origin::Assumed },
    }
}

const ROW: &str = "[\"12\", \"4 ft\", \"6 ft\", \"4 ft 7 1/4 in\"]";

fn shots(setup: &Table<'_>, f: &mut Findings) -> Vec<Shot> {
    let Some(value) = setup.value(f, "shots") else { return Vec::new() };
    let Some(rows) = value.items(f, "a list of rows", &format!("shots = [{ROW}]")) else { return Vec::new() };
    rows.iter().filter_map(|row| shot(row, f)).collect()
}

fn shot(row: &Value<'_>, f: &mut Findings) -> Option<Shot> {
    let cells = row.items(f, "a row of name, right, up and reading", ROW)?;
    if !(4..=5).contains(&cells.len()) {
        let message = format!("a shot has 4 or 5 parts, this has {}", cells.len());
        let hint =
            format!("write name, right, up, reading, and form or turn if it is not on the base: {ROW}");
        f.fault("wrong-count", &row.place, &row.span, message, hint);
        return None;
    }
    let name = row_name(f, &cells[0]);
    let x = cells[1].quantity::<basis::Length>(f);
    let y = cells[2].quantity::<basis::Length>(f);
    let reading = reading(f, &cells[3]);
    let on = match cells.get(4) {
        None => Some(ShotOn::Base),
        Some(cell) => {
            let text = cell.text(f, "what the stick stood on", "form")?;
            let on = shot_on(text);
            if on.is_none() {
                let message = format!("a shot cannot stand on \"{}\"", shown(text));
                f.fault("unknown-word", &cell.place, &cell.span, message, ON_HINT);
            }
            on
        }
    };
    Some(Shot {
        name: name?,
        at: P2::new(x?.in_metres(), y?.in_metres()),
        reading: reading?,
        on: on?,
        place: row.place.clone(),
    })
}

/// What to write for what the stick stood on.
pub(crate) const ON_HINT: &str = "write base, form or turn (a turning point)";

/// What the stick stood on.
pub(crate) fn shot_on(text: &str) -> Option<ShotOn> {
    match text.trim() {
        "base" => Some(ShotOn::Base),
        "form" => Some(ShotOn::Form),
        "turn" => Some(ShotOn::TurningPoint),
        _ => None,
    }
}

/// Notes sights on points that nobody has named: benchmarks, or shots of the same or an earlier set-up.
pub(crate) fn check_sights(f: &mut Findings, survey: &Survey) {
    let mut known: BTreeSet<&str> =
        survey.benchmarks.iter().map(|benchmark| benchmark.name.as_str()).collect();
    for setup in &survey.setups {
        check_sight(f, &setup.backsight, &known);
        known.extend(setup.shots.iter().map(|shot| shot.name.as_str()));
        if let Some(closing) = &setup.closing {
            check_sight(f, closing, &known);
        }
    }
}

fn check_sight(f: &mut Findings, sight: &Sight, known: &BTreeSet<&str>) {
    if sight.on.is_empty() || known.contains(sight.on.as_str()) {
        return;
    }
    let hint = match nearest(&sight.on, known.iter().copied()) {
        Some(name) => format!("did you mean \"{name}\"?"),
        None => "name a [[benchmark]], or a shot of an earlier set-up".to_owned(),
    };
    let message = format!("nothing called \"{}\" is known at this point", shown(&sight.on));
    f.notes.push(basis::Note::fault("unknown-point", sight.place.key("on"), message, hint));
}
