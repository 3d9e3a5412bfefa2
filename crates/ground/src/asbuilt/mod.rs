//! The floor as it was built: the surface between its shots, with edges and openings, against design and base.

mod dips;
mod surface;
mod tolerance;

pub use dips::{LeastDip, Seen, StraightedgeFind, find_with_straightedge, least_dip, seen, width};
pub use surface::{BuiltSurface, Way, built_surface};
pub use tolerance::{
    ACI_THICKNESS, Against, Base, Deviations, ThicknessFigures, ThicknessRule, deviations, thickness,
};

#[cfg(test)]
mod tests;
