//! The take-off as lists for a spreadsheet [@rfc4180].

use basis::UnitSystem;
use pour::Job;
use pour::takeoff::{CutList, SheetLayout, TakeOff};
use pour::unit::{Amount, Unit};

use crate::lists::{length, number, table, text};

/// What is bought, a line each: what the floor takes and, in every way in which it can be told, what is bought.
#[must_use]
pub fn takeoff_csv(job: &Job, taken: &TakeOff) -> String {
    let us = job.units == UnitSystem::Us;
    let head = ["item", "what", "takes", "takes_unit", "pieces"].map(str::to_owned).into_iter();
    let measures: [&str; 4] = if us { ["ft", "ft2", "yd3", "lb"] } else { ["m", "m2", "m3", "kg"] };
    let head = head.chain(measures.map(|unit| format!("bought_{unit}")));
    let rows = taken.lines.iter().map(|line| {
        let takes = unit_of(line.takes, job.units);
        let mut row = vec![
            line.item.to_owned(),
            text(&line.what),
            in_unit(line.takes, takes),
            takes.word().to_owned(),
            in_unit(line.bought, Unit::Each),
        ];
        let units = if us {
            [Unit::Foot, Unit::SquareFoot, Unit::CubicYard, Unit::Pound]
        } else {
            [Unit::Metre, Unit::SquareMetre, Unit::CubicMetre, Unit::Kilogram]
        };
        row.extend(units.map(|unit| in_unit(line.bought, unit)));
        row
    });
    table(head.collect(), rows)
}

/// How everything is cut: a line for each piece, in the order of cutting.
#[must_use]
pub fn cuts_csv(job: &Job, taken: &TakeOff) -> String {
    let far = if job.units == UnitSystem::Us { "ft" } else { "m" };
    let head = ["of", "number"].map(str::to_owned).into_iter();
    let head = head.chain(["stock_width", "stock_length"].map(|name| format!("{name}_{far}")));
    let head =
        head.chain(["piece".to_owned()]).chain(["width", "length"].map(|name| format!("{name}_{far}")));
    let sheets = [&taken.mesh, &taken.poly].into_iter().flatten().flat_map(|layout| sheet_rows(job, layout));
    let sticks = taken.cuts.iter().flat_map(|list| stick_rows(job, list));
    table(head.collect(), sheets.chain(sticks))
}

fn sheet_rows(job: &Job, layout: &SheetLayout) -> Vec<Vec<String>> {
    let side = |steps: u32| length(job, layout.step * f64::from(steps));
    let numbered = layout.cuts.sheets.iter().enumerate();
    let row = |(number, sheet): (usize, &pour::takeoff::nest::Nested)| {
        let mut rows = Vec::new();
        for placed in &sheet.placed {
            let kind = &layout.kinds[layout.pieces[placed.piece].kind];
            let mut row = vec![text(&layout.what), (number + 1).to_string()];
            row.extend(layout.sheet.map(|side| length(job, side)));
            row.extend([kind.mark.clone(), side(placed.size[0]), side(placed.size[1])]);
            rows.push(row);
        }
        rows
    };
    numbered.flat_map(row).collect()
}

fn stick_rows(job: &Job, list: &CutList) -> Vec<Vec<String>> {
    let long = |steps: u32| length(job, list.length(u64::from(steps)));
    let mark =
        |steps: u32| list.marks.iter().find(|known| known.1 == steps).map_or("", |known| known.0.as_str());
    let mut rows = Vec::new();
    for (number, stick) in list.plan.sticks.iter().enumerate() {
        for cut in &stick.cuts {
            rows.push(vec![
                text(&list.what),
                (number + 1).to_string(),
                String::new(),
                long(stick.stock),
                mark(*cut).to_owned(),
                String::new(),
                long(*cut),
            ]);
        }
    }
    rows
}

/// Liquids and fibers by small units, all else as it is told.
fn unit_of(amount: Amount, units: UnitSystem) -> Unit {
    match (amount, units) {
        (Amount::Mass(_), UnitSystem::Us) => Unit::Pound,
        (Amount::Mass(_), UnitSystem::Metric) => Unit::Kilogram,
        _ => amount.unit(units),
    }
}

fn in_unit(amount: Amount, unit: Unit) -> String {
    let Some(hundredths) = amount.hundredths(unit) else { return String::new() };
    if unit == Unit::Each { (hundredths / 100).to_string() } else { number(hundredths as f64 / 100.0, 2) }
}
