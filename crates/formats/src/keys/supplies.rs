//! Tables and keys of the job file that the take-off goes by.

use super::spec::Bound::{NotNegative, Positive};
use super::spec::Kind::{Choice, Lengths, Quantity};
use super::spec::Measure::{Cover, Density, Length, Volume};
use super::spec::{TableSpec, may, need};

pub(super) static REINFORCEMENT: TableSpec = TableSpec {
    called: "reinforcement",
    doc: "What holds the slab together where it cracks.",
    keys: &[
        need("kind", Choice(&["none", "mesh", "bars", "fiber"]), "Which kind; bars lie each way."),
        may(
            "wire",
            Choice(&["W1.4", "W2.0", "W2.1", "W2.9", "W4.0", "5 mm", "6 mm", "7 mm", "8 mm", "10 mm"]),
            "Wire of the mesh, the same both ways.",
        ),
        may("width", Quantity(Length, Positive), "Width of a sheet or roll of mesh."),
        may("length", Quantity(Length, Positive), "Length of a sheet or roll of mesh."),
        may("bar", Choice(&["#3", "#4", "#5", "#6", "8 mm", "10 mm", "12 mm", "16 mm"]), "Size of the bars."),
        may("spacing", Quantity(Length, Positive), "Distance of wires or bars."),
        may("lap", Quantity(Length, NotNegative), "How far neighbouring sheets or bars lap."),
        may("cover", Quantity(Length, NotNegative), "How far the steel stays off the floor's edge."),
        may("chairs", Quantity(Length, Positive), "Distance of chairs, each way."),
        may("dose", Quantity(Density, Positive), "Fiber by volume of concrete."),
    ],
};

pub(super) static TAKEOFF: TableSpec = TableSpec {
    called: "take-off",
    doc: "How goods are sold and how far they go; what is left out is taken as customary and told.",
    keys: &[
        may("bars", Lengths, "Lengths in which bars are sold."),
        may("boards", Lengths, "Lengths in which form boards are sold."),
        may("kerf", Quantity(Length, NotNegative), "What a saw takes from a board."),
        may("stakes", Quantity(Length, Positive), "Distance of stakes along a form."),
        may("poly_width", Quantity(Length, Positive), "Width of a roll of poly."),
        may("poly_length", Quantity(Length, Positive), "Length of a roll of poly."),
        may("poly_lap", Quantity(Length, NotNegative), "How far poly laps."),
        may("poly_upturn", Quantity(Length, NotNegative), "How far poly is turned up at the edges."),
        may("strip", Quantity(Length, Positive), "Length in which isolation strip is sold."),
        may("cure", Quantity(Cover, Positive), "Floor that curing compound covers."),
        may("pail", Quantity(Volume, Positive), "Size in which compound and sealer are sold."),
        may("sealer", Quantity(Cover, Positive), "Floor that sealer covers; without it none is bought."),
        may(
            "blade",
            Quantity(Length, Positive),
            "Length that a saw blade cuts; without it none are counted.",
        ),
        may("stone_weight", Quantity(Density, Positive), "What loose stone weighs."),
    ],
};
