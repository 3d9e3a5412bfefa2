//! From grade shots and a drawn floor to thickness and volume, with their doubt. No physics, no time.
//!
//! In the order of the data: a [`survey`] is levelled into elevations; an [`outline`] (vertices, or
//! legs as walked with a tape) is adjusted into a floor; the [`finish`] surface is built over it; the
//! base shots become a [`tin`] and a Gaussian process (`gp`); an [`overlay`] of both surfaces gives
//! [`volume`] and [`thickness`] exactly for what is drawn, and the process gives the doubt. When the floor has set, its [`flatness`]
//! and the gap under a [`straightedge`] are figured from lines read over it.
//!
//! Coordinates are metres in the job's own plan, `x` to the right and `y` up, held as plain `f64` in
//! [`P2`] and [`P3`]; single quantities that cross the crate's boundary are typed.

pub mod advice;
pub mod asbuilt;
pub mod assemble;
pub mod classes;
pub mod doubt;
pub mod dug;
pub mod facet;
pub mod fall;
pub mod finish;
pub mod flatness;
pub mod floor;
pub mod gp;
pub mod grid;
pub mod layer;
pub mod outline;
pub mod overlay;
pub mod plane;
pub mod point;
pub mod polygon;
pub mod ponding;
pub mod quadrature;
pub mod straightedge;
pub mod survey;
pub mod thickness;
pub mod tin;
pub mod volume;
pub mod walk;
mod words;
pub mod zones;

pub use assemble::{Ground, GroundInput, ground};
pub use facet::Facet;
pub use plane::Plane;
pub use point::{P2, P3};
pub use polygon::Polygon;

#[cfg(test)]
mod assemble_tests;
#[cfg(test)]
mod volume_law_tests;
#[cfg(test)]
mod volume_tests;
