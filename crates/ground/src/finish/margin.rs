//! A margin round a surface of spots, for corners that stand a rounding or a hand's slip outside it.

use std::collections::BTreeSet;

use crate::polygon::distance_to_segment;
use crate::tin::Tin;
use crate::{Facet, P2, Plane};

/// Farthest from the spots that a floor's corner is still taken as reached, m: about what a tape and a chalk line are off.
pub(super) const REACHED: f64 = 0.010;
/// How far the margin is drawn, m. Its outer line between two strips, four chords about a spot, stays beyond [`REACHED`].
const WIDTH: f64 = 0.020;

/// The outer edges of a triangulation, each with its triangle's plane, the triangles on the left.
fn outer_edges(tin: &Tin) -> Vec<(P2, P2, Plane)> {
    let sides = |t: &[usize; 3]| [[t[0], t[1]], [t[1], t[2]], [t[2], t[0]]];
    let all: BTreeSet<[usize; 2]> = tin.triangles.iter().flat_map(sides).collect();
    let mut edges = Vec::new();
    for triangle in &tin.triangles {
        let [a, b, c] = triangle.map(|i| tin.points[i]);
        let Some(plane) = Plane::through(a, b, c) else { continue };
        for [from, to] in sides(triangle).into_iter().filter(|[from, to]| !all.contains(&[*to, *from])) {
            edges.push((tin.points[from].plan(), tin.points[to].plan(), plane));
        }
    }
    edges
}

/// Distance from a spot to the nearest outer edge, m.
pub(super) fn distance(tin: &Tin, p: P2) -> f64 {
    outer_edges(tin).iter().map(|&(a, b, _)| distance_to_segment(p, a, b)).fold(f64::INFINITY, f64::min)
}

/// Strips along the outer edges and wedges about the spots between them, in the plane of the triangle they border.
pub(super) fn margin(tin: &Tin) -> Vec<Facet> {
    let edges = outer_edges(tin);
    let out = |a: P2, b: P2| (b - a).unit().left() * -WIDTH;
    let mut facets = Vec::new();
    for &(a, b, plane) in &edges {
        let side = out(a, b);
        facets.push(Facet { ring: vec![a, a + side, b + side, b], plane });
        let Some(&(_, end, _)) = edges.iter().find(|(from, _, _)| *from == b) else { continue };
        let next = out(b, end);
        let middle = side + next;
        if middle.norm() > 1e-9 * WIDTH {
            let middle = middle.unit() * WIDTH;
            facets.push(Facet { ring: vec![b, b + side, b + middle, b + next], plane });
        }
    }
    facets
}
