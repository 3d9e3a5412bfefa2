//! Helpers for the tests of the house: where the tree is, what its files say, and how to ask the
//! reference libraries and the built program.
//!
//! Nothing depends on this crate. Its tests stand in `tests/house` (rules of the tree) and in
//! `tests/reference` (the engine against libraries that many people use).

pub mod markdown;
pub mod program;
pub mod python;
pub mod source;
pub mod tree;
