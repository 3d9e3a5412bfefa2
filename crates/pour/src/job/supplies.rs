//! What holds the slab together, and how goods are sold: as far as the user states it.

use basis::{Cover, Density, Length, Volume};

use crate::takeoff::steel::{Bar, Wire};

/// What holds the slab together where it cracks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ReinforcementKind {
    /// Nothing.
    #[default]
    None,
    /// Welded mesh in sheets or rolls.
    Mesh,
    /// Bars each way.
    Bars,
    /// Fibers in the mix.
    Fiber,
}

/// The reinforcement of the slab, as far as stated.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reinforcement {
    /// Which kind.
    pub kind: ReinforcementKind,
    /// Wire of the mesh.
    pub wire: Option<Wire>,
    /// Width of a sheet or roll of mesh.
    pub width: Option<Length>,
    /// Length of a sheet or roll of mesh.
    pub length: Option<Length>,
    /// Size of the bars.
    pub bar: Option<Bar>,
    /// Distance of wires or bars.
    pub spacing: Option<Length>,
    /// Lap of neighbouring sheets or bars.
    pub lap: Option<Length>,
    /// Distance of the steel from the edge of the floor.
    pub cover: Option<Length>,
    /// Distance of chairs.
    pub chairs: Option<Length>,
    /// Fibers by volume of concrete.
    pub dose: Option<Density>,
}

/// How goods are sold and how far they go, as far as stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Supplies {
    /// Lengths in which bars are sold; none for the customary.
    pub bars: Vec<Length>,
    /// Lengths in which form boards are sold; none for the customary.
    pub boards: Vec<Length>,
    /// What a saw takes from a board.
    pub kerf: Option<Length>,
    /// Distance of stakes.
    pub stakes: Option<Length>,
    /// Width of a roll of poly.
    pub poly_width: Option<Length>,
    /// Length of a roll of poly.
    pub poly_length: Option<Length>,
    /// Lap of poly.
    pub poly_lap: Option<Length>,
    /// How far poly is turned up at the edges.
    pub poly_upturn: Option<Length>,
    /// Length in which isolation strip is sold.
    pub strip: Option<Length>,
    /// Floor that curing compound covers.
    pub cure: Option<Cover>,
    /// Size of a pail of compound or sealer.
    pub pail: Option<Volume>,
    /// Floor that sealer covers; without it no sealer is bought.
    pub sealer: Option<Cover>,
    /// Length that a saw blade cuts; without it blades are not counted.
    pub blade: Option<Length>,
    /// Mass of loose stone by volume.
    pub stone_weight: Option<Density>,
}
