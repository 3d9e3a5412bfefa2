//! Ids of rows: those that come with a text, those that outlive it, those that are gone.

use std::collections::BTreeMap;

use super::document::{Document, Node};
use super::{Address, EventId, RowId, Step, label};

/// A row of a list, or where one was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Slot {
    /// Its id.
    pub id: RowId,
    /// The event that took it away.
    pub gone: Option<EventId>,
}

/// The rows of lists before a change, each with its label.
pub(super) type Known = BTreeMap<Address, Vec<(Slot, Option<String>)>>;

/// The rows of all lists at or within an address, or of the whole file.
pub(super) fn known(document: &Document, within: Option<&Address>) -> Known {
    let inside = |list: &&Address| within.is_none_or(|within| within.holds(list));
    let of = |list: &Address| {
        let found = document.find(list).ok();
        let rows = found.and_then(|found| found.node).and_then(Node::rows).unwrap_or_default();
        let mut rows = rows.iter();
        let slots = document.lists.get(list).into_iter().flatten();
        let label = |slot: &Slot| {
            let row = if slot.gone.is_none() { rows.next() } else { None };
            (*slot, row.and_then(label::of))
        };
        slots.map(label).collect::<Vec<_>>()
    };
    document.lists.keys().filter(inside).map(|list| (list.clone(), of(list))).collect()
}

/// Gives ids to the rows of a node that stands at an address, or of the whole file: a row with the label of one that was there before
/// keeps its id.
pub(super) fn identify(
    node: Node<'_>,
    at: &[Step],
    event: EventId,
    known: &Known,
    lists: &mut BTreeMap<Address, Vec<Slot>>,
) {
    if let Node::Table(table) = node {
        for (key, item) in table.iter() {
            let inner = [at, &[Step::Key(key.to_owned())]].concat();
            if let Some(node) = Node::of(item) {
                identify(node, &inner, event, known, lists);
            }
        }
        return;
    }
    let (Some(rows), Some(list)) = (node.rows(), Address::new(at.to_vec())) else { return };
    let slots = slots(&rows, event, known.get(&list).map_or(&[], Vec::as_slice));
    let there = slots.iter().filter(|slot| slot.gone.is_none());
    for (row, slot) in rows.iter().zip(there) {
        identify(*row, &[at, &[Step::Row(slot.id)]].concat(), event, known, lists);
    }
    lists.insert(list, slots);
}

fn slots(rows: &[Node<'_>], event: EventId, before: &[(Slot, Option<String>)]) -> Vec<Slot> {
    let labels: Vec<Option<String>> = rows.iter().map(label::of).collect();
    let there = |label: &String| {
        let mut of =
            before.iter().filter(|(slot, known)| slot.gone.is_none() && known.as_ref() == Some(label));
        of.next().filter(|_| of.next().is_none())
    };
    let mut slots: Vec<Slot> = Vec::new();
    for (nth, label) in (0_u32..).zip(&labels) {
        let alone = labels.iter().filter(|other| *other == label).count() == 1;
        let kept = label.as_ref().filter(|_| alone).and_then(there).map(|(slot, _)| slot.id);
        slots.push(Slot { id: kept.unwrap_or(RowId { event, nth }), gone: None });
    }
    for (slot, _) in before {
        if !slots.iter().any(|kept| kept.id == slot.id) {
            slots.push(Slot { id: slot.id, gone: slot.gone.or(Some(event)) });
        }
    }
    slots
}
