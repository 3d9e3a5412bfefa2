//! Parts of the base that are graded by themselves: cutting their surface into the main one.

use crate::facet::Facet;
use crate::point::turn;
use crate::polygon::{clip_convex, clip_half, cutting_edges, signed_area};
use crate::{P2, Polygon};

/// Pieces smaller than this are only rounding, m².
const SLIVER: f64 = 1e-14;

/// The convex pieces of a convex ring that lie outside a convex window.
///
/// The pieces tile the ring less the window: each edge of the window cuts off what lies beyond it,
/// and only what is left goes on to the next edge.
#[must_use]
pub fn outside_of(ring: &[P2], window: &[P2]) -> Vec<Vec<P2>> {
    let mut pieces = Vec::new();
    if cutting_edges(window).count() < 3 {
        return vec![ring.to_vec()];
    }
    let mut rest = ring.to_vec();
    let mut cut = Vec::new();
    for (a, b) in cutting_edges(window) {
        clip_half(&rest, |p| -turn(a, b, p), &mut cut);
        // A piece without area would hold every point of its line.
        if signed_area(&cut) > SLIVER {
            pieces.push(std::mem::take(&mut cut));
        }
        clip_half(&rest, |p| turn(a, b, p), &mut cut);
        std::mem::swap(&mut rest, &mut cut);
        if rest.is_empty() {
            break;
        }
    }
    pieces
}

/// Splits a simple polygon into triangles, counter-clockwise; empty for fewer than three corners.
#[must_use]
pub fn triangles_of(polygon: &Polygon) -> Vec<[P2; 3]> {
    let corners = polygon.corners();
    let mut indices: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(corners.iter().map(|p| [p.x, p.y]), &[], &mut indices);
    indices
        .chunks_exact(3)
        .map(|t| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|i| corners[i as usize]);
            if turn(a, b, c) < 0.0 { [a, c, b] } else { [a, b, c] }
        })
        .collect()
}

/// Puts a zone's own facets into a layer: what the layer had there is cut away.
#[must_use]
pub fn put_in(layer: &[Facet], zone: &Polygon, inside: &[Facet]) -> Vec<Facet> {
    let windows = triangles_of(zone);
    let mut result: Vec<Facet> = layer.to_vec();
    for window in &windows {
        result = result
            .into_iter()
            .flat_map(|facet| {
                let plane = facet.plane;
                outside_of(&facet.ring, window).into_iter().map(move |ring| Facet { ring, plane })
            })
            .collect();
    }
    for window in &windows {
        for facet in inside {
            let ring = clip_convex(&facet.ring, window);
            if signed_area(&ring) > SLIVER {
                result.push(Facet { ring, plane: facet.plane });
            }
        }
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Plane;

    #[test]
    fn pieces_outside_and_the_window_tile_the_ring() {
        let ring = Polygon::rectangle(P2::new(0.0, 0.0), P2::new(10.0, 6.0));
        let window = [P2::new(2.0, 1.0), P2::new(12.0, 2.0), P2::new(3.0, 5.0)];
        let outside: f64 = outside_of(ring.corners(), &window).iter().map(|r| signed_area(r)).sum();
        let inside = signed_area(&clip_convex(ring.corners(), &window));
        assert!((outside + inside - 60.0).abs() < 1e-12);
        assert!(inside > 5.0);
    }

    #[test]
    fn a_step_keeps_both_levels_and_the_whole_area() {
        let floor = Polygon::rectangle(P2::new(0.0, 0.0), P2::new(4.0, 4.0));
        let pit = Polygon::new(
            [(1.0, 1.0), (3.0, 1.0), (3.0, 2.0), (2.0, 2.0), (2.0, 3.0), (1.0, 3.0)]
                .map(|(x, y)| P2::new(x, y))
                .to_vec(),
        );
        let level = |z| Facet { ring: floor.corners().to_vec(), plane: Plane::level(z) };
        let both = put_in(&[level(0.0)], &pit, &[level(-0.3)]);
        let area =
            |z: f64| -> f64 { both.iter().filter(|f| f.plane.z0 == z).map(|f| signed_area(&f.ring)).sum() };
        assert!((area(-0.3) - 3.0).abs() < 1e-12);
        assert!((area(0.0) - 13.0).abs() < 1e-12);
    }
}
