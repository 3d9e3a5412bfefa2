//! The tables of the joints.

use super::spec::Bound::Positive;
use super::spec::Kind::{Choice, Points, Quantity, Text};
use super::spec::Measure::Length;
use super::spec::{TableSpec, may, need};

pub(super) static JOINTS: TableSpec = TableSpec {
    called: "joints",
    doc: "What the spacing of contraction joints goes by, and how they are cut.",
    keys: &[
        may(
            "stone",
            Quantity(Length, Positive),
            "Largest stone of the mix; with 3/4 in. and over joints stand farther apart.",
        ),
        may("slump", Quantity(Length, Positive), "Slump at placing; under 4 in. joints stand farther apart."),
        may(
            "saw",
            Choice(&["conventional", "early entry"]),
            "How they are cut; without it a conventional wet saw.",
        ),
        may(
            "spacing",
            Quantity(Length, Positive),
            "No farther apart than this, whatever depth, stone and slump allow.",
        ),
    ],
};

pub(super) static JOINT: TableSpec = TableSpec {
    called: "joint",
    doc: "A joint that must be there, or a place where none may run: line or keep_off.",
    keys: &[
        need("name", Text, "Its name."),
        may(
            "line",
            Points(2),
            "Two points of a joint that must be there; it runs on to the edges of the floor.",
        ),
        may(
            "keep_off",
            Points(2),
            "No joint crosses the line of these two points, or the area of three or more.",
        ),
    ],
};
