//! The designed top of the floor.

use basis::{Length, Place, Slope};

use crate::{P2, P3, outline::Direction};

/// The main shape of the floor's top.
#[derive(Debug, Clone, PartialEq)]
pub enum FinishShape {
    /// One plane: elevation at a point, falling by `fall` toward a direction.
    Plane {
        /// Where the elevation is given, m.
        through: P2,
        /// Elevation there.
        elevation: Length,
        /// Fall, zero for a level floor.
        fall: Slope,
        /// Toward where it falls.
        toward: Direction,
    },
    /// High along a line, falling away on both sides.
    Crown {
        /// The ridge, with elevations at its two ends, m.
        line: [P3; 2],
        /// Fall at right angles to the line.
        fall: Slope,
    },
    /// Low along a line, falling to it from both sides.
    Valley {
        /// The low line, with elevations at its two ends, m.
        line: [P3; 2],
        /// Fall at right angles to the line.
        fall: Slope,
    },
    /// A warped surface between four corners, bilinear, drawn as facets.
    Warp {
        /// Corners in order round, with elevations, m.
        corners: [P3; 4],
    },
    /// Spots joined by triangles, with lines that triangles may not cross.
    Points {
        /// Spots with elevations, m.
        spots: Vec<P3>,
        /// Break lines, each a run of points with elevations, m.
        breaks: Vec<Vec<P3>>,
    },
}

/// A dish in the floor that falls to a drain.
#[derive(Debug, Clone, PartialEq)]
pub struct DrainDish {
    /// Name of the drain.
    pub name: String,
    /// Centre of the drain, m.
    pub at: P2,
    /// Elevation of the floor at the drain.
    pub low: Length,
    /// How far out the dish reaches; absent means to the edges of the floor.
    pub radius: Option<Length>,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// The designed top of the floor, before door tapers (which stand with their doors).
#[derive(Debug, Clone, PartialEq)]
pub struct FinishDesign {
    /// Main shape.
    pub shape: FinishShape,
    /// Drains with their dishes.
    pub drains: Vec<DrainDish>,
    /// Where it stands in the user's input.
    pub place: Place,
}
