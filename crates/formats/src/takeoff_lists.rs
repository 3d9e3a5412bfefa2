//! The take-off as lists for a spreadsheet [@rfc4180] and as a report for other programs.

use basis::{Length, Note, UnitSystem};
use pour::Job;
use pour::takeoff::cut::Proof;
use pour::takeoff::{CutList, SheetLayout, TakeOff};
use pour::unit::{Amount, Unit};
use serde_json::{Value, json};

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

/// The take-off as JSON in SI units: lines, pieces with their corners, cuts with their bounds, what was assumed.
///
/// Layout 1; described in `docs/report.md`. The same take-off gives the same text.
#[must_use]
pub fn takeoff_json(job: &Job, taken: &TakeOff, notes: &[Note]) -> Value {
    json!({
        "report": 1,
        "job": job.name,
        "lines": taken.lines.iter().map(|line| json!({
            "item": line.item,
            "what": line.what,
            "takes": amount(line.takes),
            "bought": amount(line.bought),
        })).collect::<Vec<_>>(),
        "mesh": taken.mesh.as_ref().map(sheets),
        "poly": taken.poly.as_ref().map(sheets),
        "bars": taken.bars.as_ref().map(|bars| json!({
            "what": bars.what,
            "lap_m": bars.lap.in_metres(),
            "bars": bars.bars.iter().map(|bar| json!({
                "mark": bars.kinds[bar.kind].mark,
                "from_m": [bar.a.x, bar.a.y],
                "to_m": [bar.b.x, bar.b.y],
                "way": bar.way,
                "line": bar.line,
            })).collect::<Vec<_>>(),
        })),
        "cuts": taken.cuts.iter().map(cuts).collect::<Vec<_>>(),
        "assumed": taken.assumed.iter().map(|a| json!({
            "place": a.place.path(), "what": a.what, "value": a.value, "source": a.source,
        })).collect::<Vec<_>>(),
        "notes": notes.iter().map(|n| json!({
            "code": n.code, "severity": n.severity.to_string(), "place": n.place.path(),
            "message": n.message, "hint": n.hint,
        })).collect::<Vec<_>>(),
    })
}

fn amount(amount: Amount) -> Value {
    let value = |unit: Unit| amount.hundredths(unit).map(|hundredths| hundredths as f64 / 100.0);
    json!({
        "pieces": value(Unit::Each),
        "m": value(Unit::Metre),
        "m2": value(Unit::SquareMetre),
        "m3": value(Unit::CubicMetre),
        "litres": value(Unit::Litre),
        "kg": value(Unit::Kilogram),
    })
}

fn sheets(layout: &SheetLayout) -> Value {
    json!({
        "what": layout.what,
        "sheet_m": layout.sheet.map(Length::in_metres),
        "lap_m": layout.lap.in_metres(),
        "pieces": layout.pieces.iter().map(|piece| json!({
            "mark": layout.kinds[piece.kind].mark,
            "size_m": layout.kinds[piece.kind].size.map(Length::in_metres),
            "corners_m": piece.ring.map(|p| [p.x, p.y]),
        })).collect::<Vec<_>>(),
        "sheets": layout.cuts.sheets.len(),
        "bound": layout.cuts.bound,
        "least": layout.cuts.proof == Proof::Least,
    })
}

fn cuts(list: &CutList) -> Value {
    let long = |steps: u64| list.length(steps).in_metres();
    json!({
        "item": list.item,
        "what": list.what,
        "bought_m": long(list.plan.bought),
        "bound_m": long(list.plan.bound),
        "least": list.plan.proof == Proof::Least,
        "sticks": list.plan.sticks.iter().map(|stick| json!({
            "stock_m": long(u64::from(stick.stock)),
            "cuts_m": stick.cuts.iter().map(|cut| long(u64::from(*cut))).collect::<Vec<_>>(),
            "left_m": long(u64::from(stick.left)),
        })).collect::<Vec<_>>(),
    })
}
