//! The rules of the tree, as tests: who may know whom, what the pure crates must not touch, and that
//! what the pages say is so.

mod arrows;
mod citations;
mod clock_drawings;
mod documents;
mod drawings;
mod licences;
mod notes;
mod purity;
mod tidy;
