//! The text of a job with the ids of its rows: where an address leads.

use std::collections::BTreeMap;

use basis::Place;
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, TableLike, Value};

use super::rows::Slot;
use super::value::{are_rows, canonical, canonical_table};
use super::{Address, EventId, RowId, Step};
use crate::source::{self, part_of_row};

/// A job file that is edited, and the ids of the rows of its lists.
#[derive(Debug, Clone, Default)]
pub(super) struct Document {
    /// The file with its remarks.
    pub toml: DocumentMut,
    /// Whether there is a file at all.
    pub is_there: bool,
    /// The rows of each list, those that are gone among them.
    pub lists: BTreeMap<Address, Vec<Slot>>,
}

/// Something that stands in the document.
#[derive(Clone, Copy)]
pub(super) enum Node<'d> {
    Table(&'d dyn TableLike),
    Tables(&'d ArrayOfTables),
    List(&'d Array),
    Plain(&'d Value),
}

/// A step of the way through the file as it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Pos {
    Key(String),
    Index(usize),
}

/// Why an address leads nowhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lost {
    /// The row was taken away by this event.
    Gone(EventId),
    /// No such row was ever in the list.
    NoRow(RowId),
    /// There is nothing of that kind.
    Nowhere,
}

impl<'d> Node<'d> {
    pub fn of(item: &'d Item) -> Option<Self> {
        match item {
            Item::None => None,
            Item::Value(value) => Some(Self::of_value(value)),
            Item::Table(table) => Some(Self::Table(table)),
            Item::ArrayOfTables(tables) => Some(Self::Tables(tables)),
        }
    }

    pub fn of_value(value: &'d Value) -> Self {
        match value {
            Value::Array(items) => Self::List(items),
            Value::InlineTable(table) => Self::Table(table),
            plain => Self::Plain(plain),
        }
    }

    /// The rows, if this is a list of rows; a list of nothing is one.
    pub fn rows(self) -> Option<Vec<Self>> {
        match self {
            Self::Tables(tables) => Some(tables.iter().map(|table| Node::Table(table)).collect()),
            Self::List(items) if are_rows(items) => Some(items.iter().map(Node::of_value).collect()),
            _ => None,
        }
    }

    /// The one text of its value.
    pub fn canonical(self) -> Option<String> {
        match self {
            Self::Table(table) => Some(canonical_table(table)),
            Self::Tables(tables) if tables.is_empty() => None,
            Self::Tables(tables) => {
                let rows: Vec<String> = tables.iter().map(|table| canonical_table(table)).collect();
                Some(format!("[{}]", rows.join(", ")))
            }
            Self::List(items) => Some(canonical(&Value::Array(items.clone()))),
            Self::Plain(value) => Some(canonical(value)),
        }
    }

    fn key(self, key: &str) -> Option<(Pos, Option<Self>)> {
        match self {
            Self::Table(table) => Some((Pos::Key(key.to_owned()), table.get(key).and_then(Node::of))),
            // The part `on` of a row of shots may be left out.
            Self::List(items) => {
                let index = part_of_row(key, items.len())?;
                Some((Pos::Index(index), items.get(index).map(Node::of_value)))
            }
            Self::Tables(_) | Self::Plain(_) => None,
        }
    }

    fn part(self, index: usize) -> Option<(Pos, Option<Self>)> {
        let Self::List(items) = self else { return None };
        let found = items.get(index).filter(|_| !are_rows(items))?;
        Some((Pos::Index(index), Some(Node::of_value(found))))
    }

    fn row(self, index: usize) -> Option<Self> {
        self.rows()?.get(index).copied()
    }
}

/// Where an address leads.
pub(super) struct Found<'d> {
    /// The way there.
    pub path: Vec<Pos>,
    /// What stands there.
    pub node: Option<Node<'d>>,
}

impl Document {
    /// The whole file.
    pub fn root(&self) -> Node<'_> {
        Node::Table(self.toml.as_table())
    }

    /// Follows an address. Keys that are missing are no error: a value can be put there.
    pub fn find(&self, at: &Address) -> Result<Found<'_>, Lost> {
        let mut path = Vec::new();
        let mut node = Some(self.root());
        for (i, step) in at.steps().iter().enumerate() {
            let (pos, next) = match (step, node) {
                (Step::Key(key), None) => (Pos::Key(key.clone()), None),
                (Step::Key(key), Some(node)) => node.key(key).ok_or(Lost::Nowhere)?,
                (Step::Part(index), Some(node)) => node.part(*index).ok_or(Lost::Nowhere)?,
                (Step::Part(_), None) => return Err(Lost::Nowhere),
                (Step::Row(id), node) => {
                    let index = self.index_of(&at.steps()[..i], *id)?;
                    (Pos::Index(index), Some(node.and_then(|node| node.row(index)).ok_or(Lost::NoRow(*id))?))
                }
            };
            path.push(pos);
            node = next;
        }
        Ok(Found { path, node })
    }

    /// The index of a row among those that are there.
    fn index_of(&self, list: &[Step], id: RowId) -> Result<usize, Lost> {
        let list = Address::new(list.to_vec()).ok_or(Lost::Nowhere)?;
        let slots = self.lists.get(&list).ok_or(Lost::NoRow(id))?;
        let at = slots.iter().position(|slot| slot.id == id).ok_or(Lost::NoRow(id))?;
        match slots[at].gone {
            Some(by) => Err(Lost::Gone(by)),
            None => Ok(slots[..at].iter().filter(|slot| slot.gone.is_none()).count()),
        }
    }

    /// The address of a place of the file as it stands.
    pub fn address(&self, place: &Place) -> Option<Address> {
        let mut steps: Vec<Step> = Vec::new();
        for step in source::steps(place.path()) {
            let next = match step {
                source::Step::Key(key) => Step::Key(key.to_owned()),
                source::Step::Index(index) => {
                    let list = Address::new(steps.clone())?;
                    match self.lists.get(&list) {
                        Some(slots) => {
                            Step::Row(slots.iter().filter(|slot| slot.gone.is_none()).nth(index)?.id)
                        }
                        None => Step::Part(index),
                    }
                }
            };
            steps.push(next);
        }
        let address = Address::new(steps)?;
        self.find(&address).is_ok().then_some(address)
    }

    /// The place of an address in the file as it stands.
    pub fn place(&self, at: &Address) -> Option<Place> {
        let path = self.find(at).ok()?.path;
        let step = |place: Place, (step, pos): (&Step, &Pos)| match (step, pos) {
            (Step::Key(key), _) | (_, Pos::Key(key)) => place.key(key),
            (_, Pos::Index(index)) => place.index(*index),
        };
        Some(at.steps().iter().zip(&path).fold(Place::job(), step))
    }
}
