//! What was taken, put into the text of a job; remarks and layout of the rest stay.

use basis::{Length, UnitSystem};
use ground::P2;
use ground::outline::EdgeShape;
use ground::survey::ShotOn;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, Value};

use super::{TakenOutline, TakenShots};

/// Lengths are written to a ten-thousandth of a millimetre: a survey's own figures, moved to the plan's origin, carry no more.
const WRITTEN: f64 = 1e-7;
/// A corner that stood within this of a new one lends it its name, m.
const SAME_CORNER: f64 = 0.3;

/// Puts an outline into the text of a job in place of the one that is there, and says how its corners are called.
///
/// A walk goes. Corners keep the names of those that stood within 0.3 m of them. Openings are added to those that are there. Doors and edges
/// that name corners which are gone stay as they are: reading the job tells them.
///
/// # Errors
/// The text is no TOML.
pub fn put_outline(text: &str, taken: &TakenOutline, units: UnitSystem) -> Result<String, String> {
    let mut file = opened(text)?;
    let names = names(&file, &taken.corners);
    file.remove("walk");
    let corners = names.iter().zip(&taken.corners).map(|(name, at)| corner(name, *at, units));
    let mut corners: ArrayOfTables = corners.collect();
    if taken.origin != P2::default()
        && let Some(first) = corners.get_mut(0)
    {
        let [x, y] = [taken.origin.x, taken.origin.y].map(|metres| said(metres, units));
        first.decor_mut().set_prefix(format!("\n# Origin of the plan in the drawing: {x}, {y}\n"));
    }
    file.insert("corner", Item::ArrayOfTables(corners));
    bend(&mut file, &names, &taken.shapes, units);
    let there = tables(&file, "opening");
    let openings = openings(taken, there.len(), units);
    // Taken again, an opening that is there already is not put a second time.
    let told = |table: &Table, key: &str| table.get(key).map(|item| item.to_string().trim().to_owned());
    let same = |one: &Table, key: &str, other: &Table| told(one, key) == told(other, key);
    let is_new = |new: &Table| {
        !there.iter().any(|old| ["at", "diameter", "corners"].iter().all(|key| same(old, key, new)))
    };
    append(&mut file, "opening", openings.into_iter().filter(is_new).collect())?;
    Ok(file.to_string())
}

/// Puts corners into the text of a job in place of those that are there, each with its name. A walk goes; edges, doors and openings stay.
///
/// # Errors
/// The text is no TOML.
pub fn put_corners(text: &str, corners: &[(String, P2)], units: UnitSystem) -> Result<String, String> {
    let mut file = opened(text)?;
    file.remove("walk");
    let tables = corners.iter().map(|(name, at)| corner(name, *at, units));
    file.insert("corner", Item::ArrayOfTables(tables.collect()));
    Ok(file.to_string())
}

fn corner(name: &str, at: P2, units: UnitSystem) -> Table {
    let mut table = Table::new();
    table.insert("name", text_of(name));
    table.insert("at", Item::Value(point(at, units)));
    table
}

/// Puts shots into the text of a job as a set-up of their own; one of that name gives way.
///
/// They are readings under a level plane, from a benchmark a foot or a metre below it. The set-up stands before those that are there, so that
/// forms and pads are read from the last set-up of the laser as before.
///
/// # Errors
/// The text is no TOML.
pub fn put_shots(text: &str, taken: &TakenShots, units: UnitSystem) -> Result<String, String> {
    let mut file = opened(text)?;
    let below = if units == UnitSystem::Us { Length::feet(1.0) } else { Length::metres(1.0) };
    let mark = format!("{} level", taken.setup);
    let mut benchmark = Table::new();
    benchmark.insert("name", text_of(&mark));
    benchmark.insert("elevation", text_of(&said((taken.plane - below).in_metres(), units)));
    let mut sight = InlineTable::new();
    sight.insert("on", Value::from(mark.as_str()));
    sight.insert("reading", Value::from(said(below.in_metres(), units)));
    let mut setup = Table::new();
    setup.insert("name", text_of(&taken.setup));
    setup.insert("backsight", Item::Value(Value::InlineTable(sight)));
    setup.insert("shots", Item::Value(Value::Array(rows(taken, units))));
    replaced(&mut file, "benchmark", &mark, benchmark)?;
    if is_there(&file, "setup", &taken.setup) {
        replaced(&mut file, "setup", &taken.setup, setup)?;
    } else {
        first(&mut file, "setup", setup)?;
    }
    Ok(file.to_string())
}

/// Lets the text of a job name a file of shots.
///
/// # Errors
/// The text is no TOML, or `survey` is no table.
pub fn put_shots_file(text: &str, name: &str) -> Result<String, String> {
    let mut file = opened(text)?;
    let survey = file.entry("survey").or_insert_with(toml_edit::table);
    let survey = survey.as_table_like_mut().ok_or("survey is no table")?;
    survey.insert("shots_file", text_of(name));
    Ok(file.to_string())
}

/// Lets the text of a job name a weather file in place of the weather that it states.
///
/// # Errors
/// The text is no TOML.
pub fn put_weather_file(text: &str, name: &str) -> Result<String, String> {
    let mut file = opened(text)?;
    if let Some(stated) = file.get_mut("weather").and_then(Item::as_table_like_mut) {
        ["low", "high", "humidity", "wind", "cloud"].iter().for_each(|key| {
            stated.remove(key);
        });
    }
    let weather = file.entry("weather").or_insert_with(toml_edit::table);
    weather.as_table_like_mut().ok_or("weather is no table")?.insert("file", text_of(name));
    Ok(file.to_string())
}

fn opened(text: &str) -> Result<DocumentMut, String> {
    text.parse::<DocumentMut>().map_err(|error| format!("the job is no TOML: {}", error.message()))
}

/// The shortest text of a length that is no farther off than [`WRITTEN`].
fn said(metres: f64, units: UnitSystem) -> String {
    if metres.abs() <= WRITTEN {
        return if units == UnitSystem::Us { "0 ft" } else { "0 m" }.to_owned();
    }
    let is_near = |text: &str, unit: f64| {
        let number = text.split(' ').next().and_then(|number| number.parse::<f64>().ok());
        number.is_some_and(|number| (number * unit - metres).abs() <= WRITTEN)
    };
    if units == UnitSystem::Us {
        let words = basis::quantity::feet_inches_in_words(Length::metres(metres), 16);
        if words.parse::<Length>().is_ok_and(|read| (read.in_metres() - metres).abs() <= WRITTEN) {
            return words;
        }
    }
    let (unit, word) = if units == UnitSystem::Us { (0.3048, "ft") } else { (1.0, "m") };
    let text = |decimals: usize| format!("{:.decimals$} {word}", metres / unit);
    (0..8).map(text).find(|text| is_near(text, unit)).unwrap_or_else(|| text(8))
}

fn text_of(text: &str) -> Item {
    Item::Value(Value::from(text))
}

fn point(at: P2, units: UnitSystem) -> Value {
    Value::Array([at.x, at.y].into_iter().map(|metres| said(metres, units)).collect())
}

/// The rows of a list of tables, however it is written.
fn tables(file: &DocumentMut, key: &str) -> Vec<Table> {
    match file.get(key) {
        Some(Item::ArrayOfTables(tables)) => tables.iter().cloned().collect(),
        Some(Item::Value(Value::Array(items))) => {
            items.iter().filter_map(Value::as_inline_table).map(|table| table.clone().into_table()).collect()
        }
        _ => Vec::new(),
    }
}

fn append(file: &mut DocumentMut, key: &str, more: Vec<Table>) -> Result<(), String> {
    if more.is_empty() {
        return Ok(());
    }
    match file.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => more.into_iter().for_each(|table| tables.push(table)),
        Some(Item::Value(Value::Array(items))) => {
            more.into_iter().for_each(|table| items.push(Value::InlineTable(table.into_inline_table())));
        }
        None | Some(Item::None) => {
            file.insert(key, Item::ArrayOfTables(more.into_iter().collect()));
        }
        Some(_) => return Err(format!("{key} is no list of tables")),
    }
    Ok(())
}

fn is_there(file: &DocumentMut, key: &str, name: &str) -> bool {
    tables(file, key).iter().any(|table| table.get("name").and_then(Item::as_str) == Some(name))
}

/// Puts a row before all others of a list.
fn first(file: &mut DocumentMut, key: &str, mut row: Table) -> Result<(), String> {
    match file.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) if !tables.is_empty() => {
            // Tables stand in the text by their positions; of two with the same one, the first in the list goes first.
            row.set_position(tables.get(0).and_then(Table::position));
            row.decor_mut().set_prefix("\n");
            let mut all = ArrayOfTables::new();
            all.push(row);
            tables.iter().for_each(|table| all.push(table.clone()));
            *tables = all;
            Ok(())
        }
        Some(Item::Value(Value::Array(items))) => {
            items.insert(0, Value::InlineTable(row.into_inline_table()));
            Ok(())
        }
        _ => append(file, key, vec![row]),
    }
}

/// Puts a named row in the place of the one of that name, or at the end.
fn replaced(file: &mut DocumentMut, key: &str, name: &str, row: Table) -> Result<(), String> {
    let is_it = |table: &dyn toml_edit::TableLike| table.get("name").and_then(Item::as_str) == Some(name);
    match file.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => {
            if let Some(table) = tables.iter_mut().find(|table| is_it(*table)) {
                let keep = table.decor().clone();
                *table = row;
                *table.decor_mut() = keep;
                return Ok(());
            }
        }
        Some(Item::Value(Value::Array(items))) => {
            let at = items.iter().position(|item| item.as_inline_table().is_some_and(|table| is_it(table)));
            if let Some(at) = at {
                items.replace(at, Value::InlineTable(row.into_inline_table()));
                return Ok(());
            }
        }
        _ => {}
    }
    append(file, key, vec![row])
}

fn rows(taken: &TakenShots, units: UnitSystem) -> Array {
    let mut rows = Array::new();
    for (name, at) in &taken.shots {
        let words = [at.x, at.y, taken.plane.in_metres() - at.z].map(|metres| said(metres, units));
        let mut row: Array = std::iter::once(name.clone()).chain(words).collect();
        match taken.on {
            ShotOn::Base => {}
            ShotOn::Form => row.push("form"),
            ShotOn::TurningPoint => row.push("turn"),
        }
        let mut row = Value::Array(row);
        row.decor_mut().set_prefix("\n  ");
        rows.push_formatted(row);
    }
    rows.set_trailing_comma(true);
    rows.set_trailing("\n");
    rows
}

fn place(table: &Table) -> Option<(String, P2)> {
    let name = table.get("name")?.as_str()?.to_owned();
    let at = table.get("at")?.as_array()?;
    let part = |i: usize| at.get(i)?.as_str()?.parse::<Length>().ok().map(Length::in_metres);
    Some((name, P2::new(part(0)?, part(1)?)))
}

/// Names of corners: of those that stood there, else letters that are not taken.
fn names(file: &DocumentMut, corners: &[P2]) -> Vec<String> {
    let mut old: Vec<(String, P2)> = tables(file, "corner").iter().filter_map(place).collect();
    let mut names: Vec<Option<String>> = vec![None; corners.len()];
    for (name, corner) in names.iter_mut().zip(corners) {
        let nearest = old
            .iter()
            .enumerate()
            .min_by(|(_, a), (_, b)| a.1.distance(*corner).total_cmp(&b.1.distance(*corner)));
        if let Some((at, _)) = nearest.filter(|(_, old)| old.1.distance(*corner) < SAME_CORNER) {
            *name = Some(old.swap_remove(at).0);
        }
    }
    let taken: std::collections::BTreeSet<String> = names.iter().flatten().cloned().collect();
    let mut free = (0..).map(letters).filter(|name| !taken.contains(name));
    names.into_iter().map(|name| name.or_else(|| free.next()).unwrap_or_default()).collect()
}

/// `A` to `Z`, then `A2` to `Z2` and so on.
fn letters(number: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(number % 26).unwrap_or(0));
    if number < 26 { letter.to_string() } else { format!("{letter}{}", number / 26 + 1) }
}

/// Arcs go into the `[[edge]]` tables; a table of an edge that is straight now loses its arc.
fn bend(file: &mut DocumentMut, names: &[String], shapes: &[EdgeShape], units: UnitSystem) {
    let mut edges = tables(file, "edge");
    for (i, shape) in shapes.iter().enumerate() {
        let (from, to) = (&names[i], &names[(i + 1) % names.len()]);
        let says = |table: &Table, key: &str, name: &str| table.get(key).and_then(Item::as_str) == Some(name);
        let known = edges.iter_mut().find(|table| {
            (says(table, "from", from) && says(table, "to", to))
                || (says(table, "from", to) && says(table, "to", from))
        });
        let arc = match shape {
            EdgeShape::Straight => None,
            EdgeShape::ArcOut(radius) => Some(format!("out {}", said(radius.in_metres(), units))),
            EdgeShape::ArcIn(radius) => Some(format!("in {}", said(radius.in_metres(), units))),
        };
        match (known, arc) {
            (Some(table), Some(arc)) => {
                table.insert("arc", text_of(&arc));
            }
            (Some(table), None) => {
                table.remove("arc");
            }
            (None, Some(arc)) => {
                let mut table = Table::new();
                table.insert("from", text_of(from));
                table.insert("to", text_of(to));
                table.insert("arc", text_of(&arc));
                edges.push(table);
            }
            (None, None) => {}
        }
    }
    if edges.is_empty() {
        file.remove("edge");
    } else {
        file.insert("edge", Item::ArrayOfTables(edges.into_iter().collect()));
    }
}

fn openings(taken: &TakenOutline, count: usize, units: UnitSystem) -> Vec<Table> {
    let name = |i: usize| text_of(&format!("opening {}", count + i + 1));
    let rings = taken.openings.iter().enumerate().map(|(i, corners)| {
        let mut table = Table::new();
        table.insert("name", name(i));
        let corners: Array = corners.iter().map(|at| point(*at, units)).collect();
        table.insert("corners", Item::Value(Value::Array(corners)));
        table
    });
    let round = taken.round.iter().enumerate().map(|(i, (centre, diameter))| {
        let mut table = Table::new();
        table.insert("name", name(taken.openings.len() + i));
        table.insert("at", Item::Value(point(*centre, units)));
        table.insert("diameter", text_of(&said(*diameter, units)));
        table
    });
    rings.chain(round).collect()
}
