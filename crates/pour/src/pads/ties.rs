//! Two tape dimensions that find a spot.

use basis::Length;
use ground::P2;
use ground::outline::{EdgeShape, Floor, Outline};

use crate::bays::edge_name;

/// Two edges whose angle is under about 30 degrees do not fix a spot well.
const SINE_OF_CROSSING: f64 = 0.5;

/// What a tape is held to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TieTo {
    /// Square to a straight edge, named by its corners: `A-B`.
    Edge(String),
    /// To a corner.
    Corner(String),
}

/// One tape dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Tie {
    /// Held to what.
    pub to: TieTo,
    /// How far.
    pub distance: Length,
}

/// The two nearest straight edges that cross well and lie square to the spot; corners where there are none.
#[must_use]
pub fn ties(floor: &Floor, outline: &Outline, at: P2) -> [Tie; 2] {
    let n = floor.corners.len();
    let mut edges: Vec<(f64, P2, usize)> = (0..n)
        .filter(|&i| outline.edges.get(i).is_none_or(|e| e.shape == EdgeShape::Straight))
        .filter_map(|i| square_distance(at, floor.corners[i].at, floor.corners[(i + 1) % n].at, i))
        .collect();
    edges.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.2.cmp(&q.2)));
    let edge =
        |e: &(f64, P2, usize)| Tie { to: TieTo::Edge(edge_name(floor, e.2)), distance: Length::metres(e.0) };
    let mut corners: Vec<(f64, usize)> = (0..n).map(|i| (at.distance(floor.corners[i].at), i)).collect();
    corners.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
    let corner = |k: usize| {
        let named = corners.get(k).map(|c| (c.0, floor.corners[c.1].name.clone()));
        let (distance, name) = named.unwrap_or((at.norm(), "origin".to_owned()));
        Tie { to: TieTo::Corner(name), distance: Length::metres(distance) }
    };
    let Some(first) = edges.first() else { return [corner(0), corner(1)] };
    let second = edges.iter().find(|e| e.1.cross(first.1).abs() >= SINE_OF_CROSSING);
    [edge(first), second.map_or_else(|| corner(0), edge)]
}

/// Distance square to an edge, its direction and number; `None` when the spot is not beside the edge.
fn square_distance(at: P2, a: P2, b: P2, index: usize) -> Option<(f64, P2, usize)> {
    let along = (b - a).unit();
    let s = (at - a).dot(along);
    let beside = (-1e-9..=a.distance(b) + 1e-9).contains(&s);
    beside.then(|| ((at - a).cross(along).abs(), along, index))
}
