//! The base as a Gaussian process: what the shots say everywhere, and how far to trust it.
//!
//! [`krige`] predicts with known covariances; [`process`] finds the covariances of a hand-graded base
//! from the shots and a prior, and averages over what the shots leave open.

mod average;
pub mod kernel;
pub mod krige;
pub mod pool;
mod predict;
pub mod process;
mod tridiagonal;

pub use kernel::Kernel;
pub use predict::{DoubtParts, Piece};
pub use process::{BaseShot, Process, ProcessInput, fit};

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "closed forms by the platform's own functions")]
mod tests;

#[cfg(test)]
mod law_tests;
