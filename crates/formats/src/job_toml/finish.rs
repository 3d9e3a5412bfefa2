//! The designed top of the floor.

use basis::{Angle, Place, Slope};
use ground::P2;
use ground::finish::{DrainDish, FinishDesign, FinishShape};
use ground::outline::{Opening, OpeningKind, Shape};

use super::findings::Findings;
use super::outline::doubles;
use super::table::Table;

/// The shapes of which exactly one must be given.
const SHAPES: [&str; 6] = ["level", "plane", "crown", "valley", "warp", "points"];

/// Reads `[finish]`; drains take their place from the outline's drains of the same name.
pub(crate) fn finish(root: &Table<'_>, f: &mut Findings, openings: &[Opening]) -> FinishDesign {
    let nothing = level(basis::Length::ZERO);
    let Some(table) = root.table(f, "finish") else {
        return FinishDesign { shape: nothing, drains: Vec::new(), place: Place::at("finish") };
    };
    let given: Vec<_> = SHAPES.into_iter().filter(|key| table.has(key)).collect();
    if given.len() != 1 {
        let message = match given.len() {
            0 => "the finish has no shape".to_owned(),
            _ => format!("the finish has more than one shape: {}", given.join(", ")),
        };
        let hint = "give exactly one of level, plane, crown, valley, warp, points";
        f.fault("unclear-finish", &table.place, &table.span, message, hint);
    }
    let shapes: Vec<_> = given.iter().filter_map(|key| shape(&table, f, key)).collect();
    FinishDesign {
        shape: shapes.into_iter().next().unwrap_or(nothing),
        drains: drains(&table, f, openings),
        place: table.place.clone(),
    }
}

/// A level floor.
pub(crate) fn level(elevation: basis::Length) -> FinishShape {
    FinishShape::Plane { through: P2::default(), elevation, fall: Slope::ZERO, toward: Angle::ZERO }
}

fn shape(finish: &Table<'_>, f: &mut Findings, key: &str) -> Option<FinishShape> {
    let table = finish.table(f, key)?;
    match key {
        "level" => table.quantity(f, "elevation").map(level),
        "plane" => {
            let through = table.point(f, "through");
            let elevation = table.quantity(f, "elevation");
            let fall = table.quantity(f, "fall");
            let toward = table.direction(f, "toward");
            Some(FinishShape::Plane {
                through: through?,
                elevation: elevation?,
                fall: fall?,
                toward: toward?,
            })
        }
        "crown" | "valley" => {
            let line = table.spots(f, "line");
            let fall = table.quantity(f, "fall");
            let (line, fall) = (<[_; 2]>::try_from(line?).ok()?, fall?);
            Some(if key == "crown" {
                FinishShape::Crown { line, fall }
            } else {
                FinishShape::Valley { line, fall }
            })
        }
        "warp" => Some(FinishShape::Warp { corners: <[_; 4]>::try_from(table.spots(f, "corners")?).ok()? }),
        _ => {
            let breaks = table.spot_lines(f, "breaks");
            Some(FinishShape::Points { spots: table.spots(f, "spots")?, breaks })
        }
    }
}

fn drains(finish: &Table<'_>, f: &mut Findings, openings: &[Opening]) -> Vec<DrainDish> {
    let tables = finish.tables(f, "drain");
    let drains: Vec<DrainDish> = tables
        .iter()
        .map(|table| {
            let name = table.text(f, "name").unwrap_or_default();
            let at = table.point(f, "at");
            DrainDish {
                at: if table.has("at") {
                    at.unwrap_or_default()
                } else {
                    place_of_drain(table, f, &name, openings)
                },
                low: table.quantity(f, "low").unwrap_or_default(),
                radius: table.quantity(f, "radius"),
                place: table.place.clone(),
                name,
            }
        })
        .collect();
    doubles(f, "drain dish", &tables, drains.iter().map(|drain| drain.name.as_str()));
    drains
}

fn place_of_drain(table: &Table<'_>, f: &mut Findings, name: &str, openings: &[Opening]) -> P2 {
    let drain = openings.iter().find(|opening| opening.kind == OpeningKind::Drain && opening.name == name);
    match drain.map(|drain| &drain.shape) {
        Some(Shape::Rectangle { centre, .. } | Shape::Circle { centre, .. }) => *centre,
        _ => {
            let message = "the drain dish does not say where its drain is";
            let hint = "add at = [\"...\", \"...\"], or list a [[drain]] of this name with at and size";
            f.fault("drain-without-place", &table.place, &table.span, message, hint);
            P2::default()
        }
    }
}
