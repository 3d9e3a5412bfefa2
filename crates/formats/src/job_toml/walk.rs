//! The outline as walked with a tape.

use basis::UnitSystem;
use ground::outline::EdgeShape;
use ground::walk::{Heading, Leg, Measure, TapeErrors, Walk};

use crate::quantity::shown;

use super::defaults;
use super::findings::Findings;
use super::names::Names;
use super::outline::doubles;
use super::table::Table;

/// Reads `[walk]`.
pub(crate) fn walk(table: &Table<'_>, f: &mut Findings, units: UnitSystem) -> Walk {
    let start = table.text(f, "start").unwrap_or_default();
    let tables = table.tables(f, "leg");
    let legs: Vec<Leg> = tables.iter().enumerate().map(|(index, table)| leg(table, f, index)).collect();
    doubles(f, "corner", &tables, legs.iter().map(|leg| leg.to.as_str()));
    closes(table, f, &start, &legs, &tables);
    let tape_error = table.quantity(f, "tape_error");
    let corner_error = table.quantity(f, "corner_error");
    let closure_limit = table.quantity(f, "closure_limit");
    let names = Names::of_walk(&start, &legs);
    Walk {
        measures: measures(table, f, &names),
        errors: TapeErrors {
            length: f.or_assume(tape_error, table.place.key("tape_error"), defaults::tape_error(units)),
            heading: f.or_assume(corner_error, table.place.key("corner_error"), defaults::corner_error()),
        },
        closure_limit: f.or_assume(
            closure_limit,
            table.place.key("closure_limit"),
            defaults::closure_limit(units),
        ),
        place: table.place.clone(),
        start,
        legs,
    }
}

fn leg(table: &Table<'_>, f: &mut Findings, index: usize) -> Leg {
    let toward = table.direction(f, "toward").map(Heading::Toward);
    let turn = table.turn(f, "turn");
    let hint = "write toward = \"right\" (up, left, down, degrees) or turn = \"left\" (right, straight)";
    match (table.has("toward"), table.has("turn")) {
        (true, true) => f.fault(
            "two-headings",
            &table.place,
            &table.span,
            "the leg has both toward and turn",
            "keep one of the two",
        ),
        (false, false) => {
            f.fault("no-heading", &table.place, &table.span, "the leg does not say which way", hint)
        }
        (false, true) if index == 0 => f.fault(
            "no-heading",
            &table.place,
            &table.span,
            "the first leg has nothing to turn from",
            "write toward = \"right\" (up, left, down, degrees)",
        ),
        _ => {}
    }
    Leg {
        to: table.text(f, "to").unwrap_or_default(),
        heading: toward.or(turn).unwrap_or(Heading::Turn(basis::Angle::ZERO)),
        length: table.quantity(f, "length").unwrap_or_default(),
        shape: table.arc(f, "arc").unwrap_or(EdgeShape::Straight),
        place: table.place.clone(),
    }
}

fn closes(table: &Table<'_>, f: &mut Findings, start: &str, legs: &[Leg], tables: &[Table<'_>]) {
    if !table.has("leg") {
        return;
    }
    if legs.len() < 3 {
        let message = format!("a walked outline has at least 3 legs, this has {}", legs.len());
        f.fault(
            "too-few-legs",
            &table.place.key("leg"),
            &table.span,
            message,
            "add the missing [[walk.leg]] tables",
        );
    }
    let before_last = legs.len().saturating_sub(1);
    for (leg, at) in
        legs.iter().zip(tables).take(before_last).filter(|(leg, _)| leg.to == start && !start.is_empty())
    {
        let message = format!("the walk is back at \"{}\" before its last leg", shown(start));
        f.fault("double-name", &leg.place, &at.span, message, "give this corner another name");
    }
    if let (Some(last), Some(at)) = (legs.last(), tables.last())
        && last.to != start
        && !last.to.is_empty()
        && !start.is_empty()
    {
        let message =
            format!("the last leg ends at \"{}\", not at the start \"{}\"", shown(&last.to), shown(start));
        let hint = format!("add the leg that comes back, or write to = \"{}\" in the last leg", shown(start));
        f.fault("walk-not-closed", &at.place, &at.span, message, hint);
    }
}

fn measures(table: &Table<'_>, f: &mut Findings, names: &Names) -> Vec<Measure> {
    let tables = table.tables(f, "measure");
    tables.iter().map(|table| measure(table, f, names)).collect()
}

fn measure(table: &Table<'_>, f: &mut Findings, names: &Names) -> Measure {
    let end = |key: &str, f: &mut Findings| {
        let name = table.text(f, key)?;
        let span = table.value(f, key).map_or(table.span.clone(), |value| value.span);
        names.corner(f, &name, &table.place.key(key), &span);
        Some(name)
    };
    let (from, to) = (end("from", f), end("to", f));
    if from.is_some() && from == to {
        let message = "the measure runs from a corner to itself";
        f.fault("measure-to-itself", &table.place, &table.span, message, "name two different corners");
    }
    Measure {
        from: from.unwrap_or_default(),
        to: to.unwrap_or_default(),
        length: table.quantity(f, "length").unwrap_or_default(),
        place: table.place.clone(),
    }
}
