//! Changes of the document that leave its remarks and its layout alone.

use std::collections::BTreeMap;

use toml_edit::{Array, ArrayOfTables, InlineTable, Item, RawString, Table, TableLike, Value};

use super::document::{Document, Lost, Node, Pos};
use super::rows::{self, Slot};
use super::{Address, After, EventId, RowId};

/// The inside of a table or list that is about to be changed.
enum Inside<'d> {
    Table(&'d mut dyn TableLike, Depth),
    Tables(&'d mut ArrayOfTables),
    List(&'d mut Array),
}

/// Whether a table is the file itself: there, what is new becomes a section of its own.
#[derive(Clone, Copy, PartialEq)]
enum Depth {
    File,
    Within,
}

impl Document {
    /// Puts a value where an address leads, with the tables that are missing on the way.
    pub fn set(&mut self, at: &Address, value: Value, event: EventId) -> Result<(), Lost> {
        let found = self.find(at)?;
        let kinds_differ = |row: Node<'_>| match row {
            Node::Table(_) => !value.is_inline_table(),
            Node::List(_) => !value.is_array(),
            Node::Tables(_) | Node::Plain(_) => true,
        };
        if at.as_row().is_some() && found.node.is_none_or(kinds_differ) {
            return Err(Lost::Nowhere);
        }
        let path = found.path;
        let known = rows::known(self, Some(at));
        put(&mut self.toml, &path, value).ok_or(Lost::Nowhere)?;
        self.lists.retain(|list, _| !at.holds(list));
        if let Some(node) = self.find(at)?.node {
            let mut new = BTreeMap::new();
            rows::identify(node, at.steps(), event, &known, &mut new);
            self.lists.append(&mut new);
        }
        Ok(())
    }

    /// Takes away what stands at an address: a key with its value, or a row.
    pub fn remove(&mut self, at: &Address, event: EventId) -> Result<(), Lost> {
        let path = self.find(at)?.path;
        take(&mut self.toml, &path).ok_or(Lost::Nowhere)?;
        self.lists.retain(|list, _| !at.holds(list));
        if let Some((list, id)) = at.as_row() {
            let slots = self.lists.get_mut(&list).into_iter().flatten();
            slots.filter(|slot| slot.id == id).for_each(|slot| slot.gone = Some(event));
        }
        Ok(())
    }

    /// Adds a row to a list; says whether it stands where it was wanted.
    pub fn add(&mut self, list: &Address, after: After, row: Value, event: EventId) -> Result<bool, Lost> {
        let id = RowId { event, nth: 0 };
        let found = self.find(list)?;
        if found.node.is_some_and(|node| node.rows().is_none()) {
            return Err(Lost::Nowhere);
        }
        let path = found.path;
        let slots = self.lists.get(list).map_or(&[][..], Vec::as_slice);
        let (slot, placed) = match after {
            After::Start => (0, true),
            After::End => (slots.len(), true),
            After::Row(id) => match slots.iter().position(|slot| slot.id == id) {
                Some(at) => (at + 1, true),
                None => (slots.len(), false),
            },
        };
        let index = slots[..slot].iter().filter(|slot| slot.gone.is_none()).count();
        insert(&mut self.toml, &path, index, row).ok_or(Lost::Nowhere)?;
        self.lists.entry(list.clone()).or_default().insert(slot, Slot { id, gone: None });
        let at = list.row(id).ok_or(Lost::Nowhere)?;
        if let Some(node) = self.find(&at)?.node {
            let mut new = BTreeMap::new();
            rows::identify(node, at.steps(), event, &rows::Known::new(), &mut new);
            self.lists.append(&mut new);
        }
        Ok(placed)
    }
}

fn inside(item: &mut Item) -> Option<Inside<'_>> {
    match item {
        Item::Table(table) => Some(Inside::Table(table, Depth::Within)),
        Item::ArrayOfTables(tables) => Some(Inside::Tables(tables)),
        Item::Value(value) => inside_value(value),
        Item::None => None,
    }
}

fn inside_value(value: &mut Value) -> Option<Inside<'_>> {
    match value {
        Value::Array(items) => Some(Inside::List(items)),
        Value::InlineTable(table) => Some(Inside::Table(table, Depth::Within)),
        _ => None,
    }
}

/// Goes all steps but the last; tables that are missing are made.
fn open<'d, 'p>(toml: &'d mut Table, path: &'p [Pos]) -> Option<(Inside<'d>, &'p Pos)> {
    let (last, way) = path.split_last()?;
    let mut at = Inside::Table(toml, Depth::File);
    for pos in way {
        at = match (at, pos) {
            (Inside::Table(table, depth), Pos::Key(key)) => {
                if table.get(key).is_none_or(Item::is_none) {
                    let new = match depth {
                        Depth::File => Item::Table(Table::new()),
                        Depth::Within => Item::Value(Value::InlineTable(InlineTable::new())),
                    };
                    table.insert(key, new);
                }
                inside(table.get_mut(key)?)?
            }
            (Inside::Tables(tables), Pos::Index(index)) => {
                Inside::Table(tables.get_mut(*index)?, Depth::Within)
            }
            (Inside::List(items), Pos::Index(index)) => inside_value(items.get_mut(*index)?)?,
            _ => return None,
        };
    }
    Some((at, last))
}

fn put(toml: &mut Table, path: &[Pos], value: Value) -> Option<()> {
    match open(toml, path)? {
        (Inside::Table(table, depth), Pos::Key(key)) => {
            let new = match table.get(key) {
                Some(old) => in_its_place(old, value),
                None => fresh(value, depth),
            };
            match table.get_mut(key) {
                Some(old) => *old = new,
                None => {
                    table.insert(key, new);
                }
            }
        }
        (Inside::Tables(tables), Pos::Index(index)) => {
            let old = tables.get_mut(*index)?;
            let Item::Table(new) = in_its_place(&Item::Table(old.clone()), value) else { return None };
            *old = new;
        }
        (Inside::List(items), Pos::Index(index)) => {
            if *index < items.len() {
                items.replace(*index, value);
            } else {
                items.push(value);
            }
        }
        _ => return None,
    }
    Some(())
}

/// A new value as a section of the file, or as what stands behind a key.
fn fresh(value: Value, depth: Depth) -> Item {
    match (depth, value) {
        (Depth::File, Value::InlineTable(table)) => Item::Table(table.into_table()),
        (Depth::File, list @ Value::Array(_)) => {
            Item::Value(list).into_array_of_tables().map_or_else(|list| list, Item::ArrayOfTables)
        }
        (_, value) => Item::Value(value),
    }
}

/// A value with the remarks and the layout of the one that it takes the place of.
fn in_its_place(old: &Item, mut value: Value) -> Item {
    match (old, value) {
        (Item::Table(old), Value::InlineTable(table)) => {
            let mut table = table.into_table();
            *table.decor_mut() = old.decor().clone();
            table.set_position(old.position());
            table.set_dotted(old.is_dotted());
            Item::Table(table)
        }
        (Item::ArrayOfTables(_), list @ Value::Array(_)) => fresh(list, Depth::File),
        (Item::Value(old), new) => {
            value = new;
            *value.decor_mut() = old.decor().clone();
            Item::Value(value)
        }
        (_, value) => Item::Value(value),
    }
}

fn take(toml: &mut Table, path: &[Pos]) -> Option<()> {
    let (at, last) = open(toml, path)?;
    match (at, last) {
        (Inside::Table(table, _), Pos::Key(key)) => table.remove(key).map(|_| ()),
        (Inside::Tables(tables), Pos::Index(index)) => {
            let gone = tables.get(*index)?.decor().prefix().cloned();
            tables.remove(*index);
            if let Some(next) = tables.get_mut(*index) {
                let kept = remarks(gone.as_ref(), next.decor().prefix());
                if let Some(kept) = kept {
                    next.decor_mut().set_prefix(kept);
                }
            }
            Some(())
        }
        (Inside::List(items), Pos::Index(index)) => {
            let row = items.get(*index)?;
            // Taking a part out of the middle would move the others to where they mean something else.
            let is_row = row.is_array() || row.is_inline_table();
            if !is_row && *index + 1 != items.len() {
                return None;
            }
            let gone = row.decor().prefix().cloned();
            items.remove(*index);
            if let Some(next) = items.get_mut(*index) {
                let kept = remarks(gone.as_ref(), next.decor().prefix());
                if let Some(kept) = kept {
                    next.decor_mut().set_prefix(kept);
                }
            }
            Some(())
        }
        _ => None,
    }
}

/// The remarks before a row that is gone, and then those of the next; nothing when there were none.
fn remarks(gone: Option<&RawString>, next: Option<&RawString>) -> Option<String> {
    let gone = gone.and_then(RawString::as_str).filter(|text| text.contains('#'))?;
    let next = next.and_then(RawString::as_str).unwrap_or("\n");
    // The blank that set the gone row in goes with it.
    let gone = gone.rfind('\n').map_or(gone, |end| &gone[..end]);
    let end = if next.starts_with('\n') { "" } else { "\n" };
    Some(format!("{}{end}{next}", gone.trim_end_matches('\n')))
}

fn insert(toml: &mut Table, path: &[Pos], index: usize, row: Value) -> Option<()> {
    let (at, Pos::Key(key)) = open(toml, path)? else { return None };
    let Inside::Table(table, depth) = at else { return None };
    match table.get_mut(key) {
        None | Some(Item::None) => {
            let mut items = Array::new();
            laid_out(&mut items, 0, row);
            table.insert(key, fresh(Value::Array(items), depth));
        }
        Some(Item::ArrayOfTables(tables)) => {
            let Value::InlineTable(row) = row else { return None };
            if index > tables.len() {
                return None;
            }
            let mut row = row.into_table();
            // A table without a position of its own is written after what comes before it in the list.
            row.set_position(tables.get(index).filter(|_| index == 0).and_then(Table::position));
            tables.insert(index, row);
        }
        Some(Item::Value(Value::Array(items))) if index <= items.len() => {
            let alike = items.get(0).is_none_or(|first| first.type_name() == row.type_name());
            if !alike {
                return None;
            }
            laid_out(items, index, row);
        }
        Some(_) => return None,
    }
    Some(())
}

/// Inserts a row as the rows beside it are laid out; the first row of a list goes on a line of its own.
fn laid_out(items: &mut Array, index: usize, mut row: Value) {
    let plain = |text: &RawString| text.as_str().filter(|text| !text.contains('#')).map(str::to_owned);
    let beside = items.iter().filter_map(|item| item.decor().prefix().and_then(plain)).last();
    let before = match items.len() {
        0 => "\n  ".to_owned(),
        _ => beside.filter(|text| text.contains('\n')).unwrap_or_else(|| " ".to_owned()),
    };
    let on_lines = before.contains('\n');
    if let Some(last) = items.len().checked_sub(1).and_then(|last| items.get_mut(last))
        && index > 0
    {
        // What stood between the last row and the bracket goes behind the new last row.
        let behind = last.decor().suffix().and_then(RawString::as_str).unwrap_or("").to_owned();
        if !behind.is_empty() && on_lines {
            last.decor_mut().set_suffix("");
            let after = format!("{behind}{}", items.trailing().as_str().unwrap_or(""));
            items.set_trailing(after);
        }
    }
    row.decor_mut().set_prefix(if index == 0 && !on_lines { String::new() } else { before });
    items.insert_formatted(index, row);
    if on_lines {
        items.set_trailing_comma(true);
        if !items.trailing().as_str().is_some_and(|text| text.contains('\n')) {
            items.set_trailing("\n");
        }
    } else if let Some(second) = items.get_mut(1).filter(|_| index == 0) {
        second.decor_mut().set_prefix(" ");
    }
}
