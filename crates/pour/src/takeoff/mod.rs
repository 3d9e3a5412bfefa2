//! The take-off: what is bought for a floor, how it is cut and where it lies.
//!
//! Method, sources and limits: `docs/methods/takeoff.md`.

pub mod cut;
