//! The floor's edge as it is drawn or walked, and what is special about its parts.

use basis::{Angle, Length, Place};

use crate::{P2, Polygon};

/// A named corner of the outline.
#[derive(Debug, Clone, PartialEq)]
pub struct Corner {
    /// Its name, unique in the outline.
    pub name: String,
    /// Where it is, m.
    pub at: P2,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// How an edge runs from its corner to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EdgeShape {
    /// Straight.
    Straight,
    /// An arc of this radius bulging to the outside of the floor (the shorter arc).
    ArcOut(Length),
    /// An arc of this radius biting into the floor (the shorter arc).
    ArcIn(Length),
}

/// What stands along an edge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum EdgeKind {
    /// A form board; the straightedge rides on it.
    Free,
    /// A wall, with an isolation strip between.
    Wall,
    /// An existing slab, isolated or dowelled.
    ExistingSlab,
}

/// One edge of the outline, from corner `i` to the next one.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// How it runs.
    pub shape: EdgeShape,
    /// What stands along it.
    pub kind: EdgeKind,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A door opening in an edge: its form is set low and the floor is tapered back from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Door {
    /// Its name.
    pub name: String,
    /// Index of the edge it is in.
    pub edge: usize,
    /// From the edge's first corner (in the order given by the user) to the first jamb.
    pub start: Length,
    /// Clear width between the jambs.
    pub width: Length,
    /// How far the form is set below the floor.
    pub drop: Length,
    /// How far back from the form the taper runs.
    pub taper: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A thickened edge: a trench along an edge, dug below the base.
#[derive(Debug, Clone, PartialEq)]
pub struct ThickenedEdge {
    /// Index of the edge it runs along.
    pub edge: usize,
    /// Depth of the flat bottom below the base.
    pub depth: Length,
    /// Width of the flat bottom, from the form inward.
    pub flat: Length,
    /// Width of the sloped bank from the flat up to the base; zero for a sheer bank.
    pub haunch: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A place inside the outline.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Any simple polygon.
    Polygon(Vec<P2>),
    /// An upright rectangle about a centre.
    Rectangle {
        /// Centre, m.
        centre: P2,
        /// Size to the right.
        width: Length,
        /// Size up the sheet.
        height: Length,
    },
    /// A circle.
    Circle {
        /// Centre, m.
        centre: P2,
        /// Diameter.
        diameter: Length,
    },
}

/// Why concrete is left out at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum OpeningKind {
    /// A hole left in the floor.
    Opening,
    /// A column with its isolation box.
    Column,
    /// A pipe or sleeve.
    Pipe,
    /// The body of a drain.
    Drain,
}

/// A place where no concrete goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Its name.
    pub name: String,
    /// Why.
    pub kind: OpeningKind,
    /// Its extent.
    pub shape: Shape,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// A pad or footing cast with the floor: a pit dug below the base.
#[derive(Debug, Clone, PartialEq)]
pub struct Footing {
    /// Its name.
    pub name: String,
    /// Extent of the flat bottom.
    pub shape: Shape,
    /// Depth of the bottom below the base.
    pub depth: Length,
    /// Width of the sloped bank around the bottom; zero for a sheer bank.
    pub haunch: Length,
    /// Where it stands in the user's input.
    pub place: Place,
}

/// The outline in the user's order, with all that belongs to it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// Corners in the user's order, either direction round.
    pub corners: Vec<Corner>,
    /// `edges[i]` runs from `corners[i]` to the next corner.
    pub edges: Vec<Edge>,
    /// Doors.
    pub doors: Vec<Door>,
    /// Thickened edges.
    pub thickened: Vec<ThickenedEdge>,
    /// Places without concrete.
    pub openings: Vec<Opening>,
    /// Pads and footings cast with the floor.
    pub footings: Vec<Footing>,
    /// Where the outline stands in the user's input.
    pub place: Place,
}

/// One straight piece of the finished boundary, walked with the floor on the left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoundarySegment {
    /// From, m.
    pub a: P2,
    /// To, m.
    pub b: P2,
    /// Index of the outline's edge that it is part of.
    pub edge: usize,
    /// What stands along it.
    pub kind: EdgeKind,
}

/// A door in place on the floor's boundary.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedDoor {
    /// Index of the outline's door.
    pub door: usize,
    /// First jamb, walking with the floor on the left, m.
    pub a: P2,
    /// Second jamb, m.
    pub b: P2,
    /// Drop of the form, m.
    pub drop: f64,
    /// Width of the taper, m.
    pub taper: f64,
}

/// The floor: the outline with arcs drawn as short chords, openings cut out, everything checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// Outer boundary.
    pub boundary: Polygon,
    /// `segments[i]` runs from `boundary.corners()[i]` to the next.
    pub segments: Vec<BoundarySegment>,
    /// Openings as polygons, none of which overlap or cross the boundary.
    pub holes: Vec<Polygon>,
    /// Doors in place.
    pub doors: Vec<PlacedDoor>,
    /// Triangles that tile the boundary less the holes, counter-clockwise.
    pub triangles: Vec<[P2; 3]>,
    /// Net area, m².
    pub area: f64,
    /// The corners after adjustment, in the user's order.
    pub corners: Vec<Corner>,
}

/// A direction in the plan: degrees counter-clockwise from "right" (`+x`).
pub type Direction = Angle;
