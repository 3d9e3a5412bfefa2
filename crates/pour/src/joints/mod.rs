//! Contraction joints: how far apart, how deep, and dowels to a slab that is there.
//!
//! Method, sources and limits: `docs/methods/joints.md`.

mod spacing;

pub use spacing::{
    Dowel, FARTHEST, LARGE_STONE, LOW_SLUMP, MOST_ASPECT, Saw, Spacing, dowel, greatest_spacing, saw_depth,
};
