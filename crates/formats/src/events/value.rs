//! Values of TOML: read alone, compared and printed in one way.

use toml_edit::{Array, Item, Key, TableLike, Value};

/// Reads a value alone, without remarks around it.
pub(super) fn parse(text: &str) -> Option<Value> {
    let mut value: Value = text.trim().parse().ok()?;
    value.decor_mut().clear();
    Some(value)
}

/// The one text of a value: the same for all ways in which it can be written.
///
/// Keys are in order, numbers plain, remarks left out. It reads back as the value.
pub(super) fn canonical(value: &Value) -> String {
    match value {
        Value::String(text) => Value::from(text.value().as_str()).to_string(),
        Value::Integer(number) => number.value().to_string(),
        Value::Float(number) => Value::from(*number.value()).to_string(),
        Value::Boolean(truth) => truth.value().to_string(),
        Value::Datetime(time) => time.value().to_string(),
        Value::Array(items) => list(items.iter().map(canonical)),
        Value::InlineTable(table) => canonical_table(table),
    }
}

fn list(items: impl Iterator<Item = String>) -> String {
    format!("[{}]", items.collect::<Vec<_>>().join(", "))
}

fn braced(mut pairs: Vec<(String, String)>) -> String {
    pairs.sort();
    let pairs: Vec<String> =
        pairs.into_iter().map(|(key, value)| format!("{} = {value}", Key::new(key))).collect();
    if pairs.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", pairs.join(", ")) }
}

/// As [`canonical`], of anything that can stand in a document.
pub(super) fn canonical_item(item: &Item) -> Option<String> {
    match item {
        Item::None => None,
        Item::Value(value) => Some(canonical(value)),
        Item::Table(table) => Some(canonical_table(table)),
        Item::ArrayOfTables(tables) if tables.is_empty() => None,
        Item::ArrayOfTables(tables) => Some(list(tables.iter().map(|table| canonical_table(table)))),
    }
}

/// As [`canonical`], of a table.
pub(super) fn canonical_table(table: &dyn TableLike) -> String {
    let pairs = table.iter().filter_map(|(key, item)| Some((key.to_owned(), canonical_item(item)?)));
    braced(pairs.collect())
}

/// Whether these items are rows: tables, or lists as a row of shots is.
pub(super) fn are_rows(items: &Array) -> bool {
    items.iter().all(Value::is_inline_table) || items.iter().all(Value::is_array)
}
