//! What a row is known by among people: its name, or what it joins.

use toml_edit::{Array, TableLike};

use super::document::Node;
use super::value::{canonical, canonical_item};

/// Label of a row, if it has one.
pub(super) fn of(row: &Node<'_>) -> Option<String> {
    match row {
        Node::Table(table) => of_table(*table),
        Node::List(items) => of_list(items),
        Node::Tables(_) | Node::Plain(_) => None,
    }
}

/// The name of a table, the corner that a leg reaches, the two ends of an edge.
fn of_table(row: &dyn TableLike) -> Option<String> {
    let text = |key: &str| row.get(key).and_then(canonical_item);
    if let Some(name) = text("name") {
        return Some(name);
    }
    match (text("from"), text("to"), text("edge")) {
        (Some(from), Some(to), _) => Some(format!("{from} {to}")),
        (None, Some(to), _) => Some(to),
        (_, _, edge) => edge,
    }
}

/// The name that a row of shots begins with.
fn of_list(row: &Array) -> Option<String> {
    row.get(0).filter(|name| row.len() > 3 && name.is_str()).map(canonical)
}
