//! Corners, walked legs, edges, doors and all that is cut out of the floor or dug under it.

use std::collections::BTreeMap;

use basis::{Length, Place, UnitSystem};
use ground::P2;
use ground::outline::{
    Corner, Door, Edge, EdgeKind, EdgeShape, Footing, Opening, OpeningKind, Outline, Shape, ThickenedEdge,
};
use ground::walk::Walk;

use crate::quantity::shown;

use super::defaults;
use super::findings::Findings;
use super::names::{Names, Order};
use super::plan_words::note_doubles;
use super::table::Table;
use super::walk;

/// The outline and, if it was walked, the walk.
pub(crate) fn outline(root: &Table<'_>, f: &mut Findings, units: UnitSystem) -> (Outline, Option<Walk>) {
    let corners = corners(root, f);
    let walk = root.table(f, "walk").map(|table| walk::walk(&table, f, units));
    one_way_only(root, f);
    let names = Names::of(&corners, walk.as_ref());
    let mut edges = plain_edges(&names, walk.as_ref());
    for table in root.tables(f, "edge") {
        edge(&table, f, &names, walk.is_some(), &mut edges);
    }
    let outline = Outline {
        edges,
        doors: doors(root, f, &names, units),
        thickened: thickened(root, f, &names),
        openings: openings(root, f),
        footings: footings(root, f),
        place: Place::at(if walk.is_some() { "walk" } else { "corner" }),
        corners,
    };
    (outline, walk)
}

fn one_way_only(root: &Table<'_>, f: &mut Findings) {
    match (root.has("corner"), root.has("walk")) {
        (true, true) => {
            let at = root.value(f, "walk").map_or(0..0, |value| value.span);
            let hint = "keep the [[corner]] tables or the [walk] table, and take the other out";
            f.fault(
                "two-outlines",
                &Place::at("walk"),
                &at,
                "the outline is given twice, by corners and walked",
                hint,
            );
        }
        (false, false) => {
            let hint = "add three [[corner]] tables or more, or a [walk] with its legs";
            f.fault("no-outline", &Place::at("corner"), &(0..0), "the floor has no outline", hint);
        }
        _ => {}
    }
}

fn corners(root: &Table<'_>, f: &mut Findings) -> Vec<Corner> {
    let tables = root.tables(f, "corner");
    let corners: Vec<Corner> = tables
        .iter()
        .map(|table| Corner {
            name: table.text(f, "name").unwrap_or_default(),
            at: table.point(f, "at").unwrap_or_default(),
            place: table.place.clone(),
        })
        .collect();
    if root.has("corner") && (1..3).contains(&corners.len()) {
        let message = format!("a floor has at least 3 corners, this has {}", corners.len());
        f.fault(
            "too-few-corners",
            &tables[0].place,
            &tables[0].span,
            message,
            "add the missing [[corner]] tables",
        );
    }
    doubles(f, "corner", &tables, corners.iter().map(|corner| corner.name.as_str()));
    corners
}

/// Notes doubles among the names of tables.
pub(crate) fn doubles<'n>(
    f: &mut Findings,
    what: &str,
    tables: &[Table<'_>],
    names: impl Iterator<Item = &'n str>,
) {
    let spans: BTreeMap<_, _> = tables.iter().map(|table| (&table.place, table.span.clone())).collect();
    let named: Vec<_> = names
        .zip(tables)
        .filter(|(name, _)| !name.is_empty())
        .map(|(name, table)| (name, &table.place))
        .collect();
    note_doubles(f, what, named, |place| spans.get(place).cloned().unwrap_or(0..0));
}

fn plain_edges(names: &Names, walk: Option<&Walk>) -> Vec<Edge> {
    (0..names.0.len())
        .map(|index| {
            let leg = walk.and_then(|walk| walk.legs.get(index));
            Edge {
                shape: leg.map_or(EdgeShape::Straight, |leg| leg.shape),
                kind: EdgeKind::Free,
                place: leg.map_or_else(|| Place::at("corner").index(index), |leg| leg.place.clone()),
            }
        })
        .collect()
}

fn edge(table: &Table<'_>, f: &mut Findings, names: &Names, walked: bool, edges: &mut [Edge]) {
    let from = table.text(f, "from");
    let to = table.text(f, "to");
    let kind = match table.choice(f, "kind") {
        Some(1) => EdgeKind::Wall,
        Some(2) => EdgeKind::ExistingSlab,
        _ => EdgeKind::Free,
    };
    let arc = table.arc(f, "arc");
    if walked && table.has("arc") {
        let hint = "write arc in the [[walk.leg]] that runs there";
        f.fault(
            "arc-of-a-walked-edge",
            &table.place.key("arc"),
            &table.span,
            "a walked edge has its arc in its leg",
            hint,
        );
    }
    let (Some(from), Some(to)) = (from, to) else { return };
    let Some((index, _)) = names.edge(f, (&from, &to), &table.place, &table.span) else { return };
    if edges[index].place.path().starts_with("edge") {
        let message = format!("the edge from \"{}\" to \"{}\" is described twice", shown(&from), shown(&to));
        f.fault("double-edge", &table.place, &table.span, message, "put both into one [[edge]] table");
    }
    let shape = arc.unwrap_or(edges[index].shape);
    edges[index] = Edge { shape, kind, place: table.place.clone() };
}

fn doors(root: &Table<'_>, f: &mut Findings, names: &Names, units: UnitSystem) -> Vec<Door> {
    let tables = root.tables(f, "door");
    let doors: Vec<Door> = tables.iter().map(|table| door(table, f, names, units)).collect();
    doubles(f, "door", &tables, doors.iter().map(|door| door.name.as_str()));
    doors
}

fn door(table: &Table<'_>, f: &mut Findings, names: &Names, units: UnitSystem) -> Door {
    let drop = table.quantity(f, "drop");
    let taper = table.quantity(f, "taper");
    let drop = f.or_assume(drop, table.place.key("drop"), defaults::door_drop(units));
    // A door without a drop has nothing to taper, so nothing is assumed about it.
    let taper = match taper {
        None if drop <= Length::ZERO => Length::ZERO,
        stated => f.or_assume(stated, table.place.key("taper"), defaults::door_taper(units)),
    };
    let edge = named_edge(table, f, names);
    if let Some((_, Order::Backward)) = edge {
        let message = "the door's edge is named against the order of the corners";
        let hint = "name its corners the other way round, and measure start from the first one named";
        f.fault("edge-named-backward", &table.place.key("edge"), &table.span, message, hint);
    }
    Door {
        name: table.text(f, "name").unwrap_or_default(),
        edge: edge.map_or(0, |(index, _)| index),
        start: table.quantity(f, "start").unwrap_or_default(),
        width: table.quantity(f, "width").unwrap_or_default(),
        drop,
        taper,
        place: table.place.clone(),
    }
}

fn named_edge(table: &Table<'_>, f: &mut Findings, names: &Names) -> Option<(usize, Order)> {
    let (from, to) = table.edge_name(f, "edge")?;
    let span = table.value(f, "edge").map_or(table.span.clone(), |value| value.span);
    names.edge(f, (&from, &to), &table.place.key("edge"), &span)
}

fn thickened(root: &Table<'_>, f: &mut Findings, names: &Names) -> Vec<ThickenedEdge> {
    let tables = root.tables(f, "thickened");
    tables
        .iter()
        .map(|table| {
            let haunch = table.quantity(f, "haunch");
            ThickenedEdge {
                edge: named_edge(table, f, names).map_or(0, |(index, _)| index),
                depth: table.quantity(f, "depth").unwrap_or_default(),
                flat: table.quantity(f, "flat").unwrap_or_default(),
                haunch: f.or_assume(haunch, table.place.key("haunch"), defaults::sheer_bank()),
                place: table.place.clone(),
            }
        })
        .collect()
}

fn openings(root: &Table<'_>, f: &mut Findings) -> Vec<Opening> {
    let kinds = [
        ("opening", OpeningKind::Opening),
        ("column", OpeningKind::Column),
        ("pipe", OpeningKind::Pipe),
        ("drain", OpeningKind::Drain),
    ];
    let mut openings = Vec::new();
    for (key, kind) in kinds {
        let tables = root.tables(f, key);
        let read: Vec<Opening> = tables
            .iter()
            .map(|table| Opening {
                name: table.text(f, "name").unwrap_or_default(),
                kind,
                shape: shape(table, f),
                place: table.place.clone(),
            })
            .collect();
        doubles(f, key, &tables, read.iter().map(|opening| opening.name.as_str()));
        openings.extend(read);
    }
    openings
}

fn footings(root: &Table<'_>, f: &mut Findings) -> Vec<Footing> {
    let tables = root.tables(f, "footing");
    let footings: Vec<Footing> = tables
        .iter()
        .map(|table| {
            let haunch = table.quantity(f, "haunch");
            Footing {
                name: table.text(f, "name").unwrap_or_default(),
                shape: shape(table, f),
                depth: table.quantity(f, "depth").unwrap_or_default(),
                haunch: f.or_assume(haunch, table.place.key("haunch"), defaults::sheer_bank()),
                place: table.place.clone(),
            }
        })
        .collect();
    doubles(f, "footing", &tables, footings.iter().map(|footing| footing.name.as_str()));
    footings
}

/// The extent of a place: middle and size, middle and diameter, or corners.
fn shape(table: &Table<'_>, f: &mut Findings) -> Shape {
    let at = table.point(f, "at");
    let size = table.point(f, "size");
    let diameter: Option<Length> = table.quantity(f, "diameter");
    let corners = table.points(f, "corners");
    let stated = (table.has("at"), table.has("size"), table.has("diameter"), table.has("corners"));
    let centre = at.unwrap_or_default();
    match stated {
        (true, true, false, false) => {
            let size = size.unwrap_or(P2::new(1.0, 1.0));
            if size.x <= 0.0 || size.y <= 0.0 {
                let hint = "check both numbers";
                f.fault(
                    "out-of-range",
                    &table.place.key("size"),
                    &table.span,
                    "a size must be more than zero",
                    hint,
                );
            }
            Shape::Rectangle { centre, width: Length::metres(size.x), height: Length::metres(size.y) }
        }
        (true, false, true, false) => Shape::Circle { centre, diameter: diameter.unwrap_or_default() },
        (false, false, false, true) => Shape::Polygon(corners.unwrap_or_default()),
        _ => {
            let message = format!("the extent of the {} is not clear", table.spec.called);
            let hint = "give at and size, or at and diameter, or corners alone";
            f.fault("unclear-extent", &table.place, &table.span, message, hint);
            Shape::Polygon(Vec::new())
        }
    }
}
