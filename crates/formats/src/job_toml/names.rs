//! Names of corners and the edges between them.

use basis::Place;
use ground::outline::Corner;
use ground::walk::{Leg, Walk};

use crate::nearest::nearest;
use crate::quantity::shown;

use super::findings::Findings;

/// Names of the corners in the user's order.
pub(crate) struct Names(pub Vec<String>);

impl Names {
    /// The names of an outline's corners, or of a walk's.
    pub fn of(corners: &[Corner], walk: Option<&Walk>) -> Self {
        match walk {
            Some(walk) => Self::of_walk(&walk.start, &walk.legs),
            None => Self(corners.iter().map(|corner| corner.name.clone()).collect()),
        }
    }

    /// The start and the corners reached, but for the last leg's, which is the start again.
    pub fn of_walk(start: &str, legs: &[Leg]) -> Self {
        let reached = legs.iter().map(|leg| leg.to.clone());
        let mut names: Vec<_> = std::iter::once(start.to_owned()).chain(reached).collect();
        names.pop_if(|last| last == start && !legs.is_empty());
        Self(names)
    }

    /// Index of a corner, or a fault.
    pub fn corner(
        &self,
        f: &mut Findings,
        name: &str,
        place: &Place,
        at: &std::ops::Range<usize>,
    ) -> Option<usize> {
        let found = self.0.iter().position(|known| known == name);
        if found.is_none() {
            let known = self.0.iter().map(String::as_str).filter(|known| !known.is_empty());
            let hint = match nearest(name, known.clone()) {
                Some(known) => format!("did you mean \"{known}\"?"),
                None => format!("the corners are {}", known.take(20).collect::<Vec<_>>().join(", ")),
            };
            f.fault("unknown-corner", place, at, format!("there is no corner \"{}\"", shown(name)), hint);
        }
        found
    }

    /// Index of the edge between two corners and which way round they were named, or a fault.
    pub fn edge(
        &self,
        f: &mut Findings,
        (from, to): (&str, &str),
        place: &Place,
        at: &std::ops::Range<usize>,
    ) -> Option<(usize, Order)> {
        let count = self.0.len();
        let a = self.corner(f, from, place, at);
        let b = self.corner(f, to, place, at);
        let (a, b) = (a?, b?);
        if (a + 1) % count == b {
            return Some((a, Order::AsListed));
        }
        if (b + 1) % count == a {
            return Some((b, Order::Backward));
        }
        let message = format!("corners \"{}\" and \"{}\" are not neighbours", shown(from), shown(to));
        f.fault("no-such-edge", place, at, message, "an edge runs from a corner to the next one in the list");
        None
    }
}

/// Which way round an edge was named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    /// In the order of the corners.
    AsListed,
    /// Against it.
    Backward,
}
