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

mod drain;
mod forms;
mod margin;
mod shape;
mod taper;

pub use forms::{FormDeviation, FormShot, follow_forms};

use basis::{Note, Report};

use crate::Facet;
use crate::layer::Layer;
use crate::outline::Floor;

/// The top of the floor as facets that tile the floor's boundary, door tapers included.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishSurface {
    layer: Layer,
}

impl FinishSurface {
    /// A surface of facets that do not overlap.
    #[must_use]
    pub fn new(facets: Vec<Facet>) -> Self {
        Self { layer: Layer::new(facets) }
    }

    /// The facets. At a jamb the taper ends with a small upright side.
    #[must_use]
    pub fn facets(&self) -> &[Facet] {
        self.layer.facets()
    }

    /// Elevation at a spot, m; `None` off the surface.
    #[must_use]
    pub fn z(&self, p: P2) -> Option<f64> {
        self.layer.z(p)
    }

    /// Rise per metre to the right and up the sheet at a spot.
    #[must_use]
    pub fn gradient(&self, p: P2) -> Option<P2> {
        let plane = self.layer.facet_at(p)?.plane;
        Some(P2::new(plane.gx, plane.gy))
    }
}

/// Builds the designed top of the floor over its boundary.
///
/// # Errors
/// Refused for figures that are no numbers, a fall over 25 %, a warp or spots that leave part of the
/// floor uncovered, and a drain whose dish cannot be drawn. Spots that leave a corner out by 10 mm or less are carried on
/// to it with a remark. A dish that rises to its drain is a warning.
#[must_use]
pub fn surface(design: &FinishDesign, floor: &Floor) -> Report<FinishSurface> {
    let mut notes = Vec::new();
    let mut facets = shape::facets(design, floor, &mut notes);
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    for dish in &design.drains {
        facets = drain::cut_in(&facets, dish, floor, &mut notes);
    }
    facets = taper::cut_in(facets, &floor.doors);
    if basis::has_fault(&notes) {
        Report::refused(notes)
    } else {
        Report::with(FinishSurface::new(facets), notes)
    }
}

/// A fault of the finish as a whole.
fn fault(design: &FinishDesign, code: &'static str, message: String, hint: &str) -> Note {
    Note::fault(code, design.place.clone(), message, hint)
}

#[cfg(test)]
mod tests;
