//! What the foreman says of the joints.

use basis::{Length, Place};
use ground::P2;

use crate::joints::Saw;

/// Joints as they are wanted, as far as stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Jointing {
    /// Largest stone of the mix.
    pub stone: Option<Length>,
    /// Slump at placing.
    pub slump: Option<Length>,
    /// How joints are cut; absent: a wet saw.
    pub saw: Option<Saw>,
    /// Greatest spacing that is wanted; absent: what depth, stone and slump allow.
    pub spacing: Option<Length>,
    /// Where a joint must be, and where none may.
    pub wishes: Vec<JointWish>,
}

/// A joint that must be there, or a place where none may run.
#[derive(Debug, Clone, PartialEq)]
pub struct JointWish {
    /// What the user calls it.
    pub name: String,
    /// Which of the two.
    pub wish: Wish,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// What is wanted of the joints at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Wish {
    /// A joint through these two points, m; it runs on to the edges of the floor.
    Joint([P2; 2]),
    /// No joint: across the line of two points, or over the area of three and more, m.
    KeepOff(Vec<P2>),
}
