//! Overlapping facets of depth made into facets that do not overlap: the deeper one wins.

use crate::polygon::{bounds, clip_convex, clip_half, signed_area};
use crate::zones::outside_of;
use crate::{Facet, P2};

/// Pieces smaller than this are dropped, m².
const SLIVER: f64 = 1e-14;

/// Facets whose value is everywhere the largest of those given, without overlaps.
///
/// Facets are cut where their planes cross, so the result is exact. Rings that are no convex
/// counter-clockwise areas are left out. The work grows with the number of facets that overlap.
#[must_use]
pub fn deepest(facets: Vec<Facet>) -> Vec<Facet> {
    let mut kept: Vec<Facet> = Vec::with_capacity(facets.len());
    for facet in facets {
        lay(facet, &mut kept);
    }
    kept
}

/// Lays one facet among others that do not overlap.
fn lay(facet: Facet, kept: &mut Vec<Facet>) {
    let mut rest = vec![facet.ring.clone()];
    rest.retain(|r| signed_area(r) > SLIVER);
    let mut won = Vec::new();
    let mut next = Vec::with_capacity(kept.len() + 4);
    for old in std::mem::take(kept) {
        if rest.is_empty() || apart(&facet.ring, &old.ring) {
            next.push(old);
            continue;
        }
        let mut beaten = Vec::new();
        rest = rest.iter().flat_map(|r| contest(r, &facet, &old, &mut beaten)).collect();
        next.extend(without(old, &beaten));
        won.append(&mut beaten);
    }
    let plane = facet.plane;
    next.extend(rest.into_iter().chain(won).map(|ring| Facet { ring, plane }));
    *kept = next;
}

/// Where a new ring meets an old facet: gives what of the ring lies beside it, notes where the new is deeper.
fn contest(ring: &[P2], new: &Facet, old: &Facet, beaten: &mut Vec<Vec<P2>>) -> Vec<Vec<P2>> {
    let shared = clip_convex(ring, &old.ring);
    if signed_area(&shared) <= SLIVER {
        return vec![ring.to_vec()];
    }
    let deeper_by = new.plane.minus(&old.plane);
    let mut part = Vec::new();
    clip_half(&shared, |p| deeper_by.z(p), &mut part);
    let gains = part.iter().any(|&p| deeper_by.z(p) > 1e-12);
    if gains && signed_area(&part) > SLIVER {
        beaten.push(part);
    }
    outside_of(ring, &old.ring).into_iter().filter(|r| signed_area(r) > SLIVER).collect()
}

/// An old facet less the convex parts it lost.
fn without(old: Facet, lost: &[Vec<P2>]) -> Vec<Facet> {
    let mut rings = vec![old.ring];
    for part in lost {
        rings = rings
            .into_iter()
            .flat_map(|r| {
                if signed_area(&clip_convex(&r, part)) > SLIVER { outside_of(&r, part) } else { vec![r] }
            })
            .filter(|r| signed_area(r) > SLIVER)
            .collect();
    }
    rings.into_iter().map(|ring| Facet { ring, plane: old.plane }).collect()
}

fn apart(a: &[P2], b: &[P2]) -> bool {
    let ((al, ah), (bl, bh)) = (bounds(a), bounds(b));
    al.x >= bh.x || bl.x >= ah.x || al.y >= bh.y || bl.y >= ah.y
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Plane, Polygon};

    /// Two wedges 0.1·x and 0.1·(4 − x) over a 4 m square: the larger of the two everywhere.
    /// By hand: 2·(2 m × 4 m × 0.3 m mean) = 4.8 m³.
    #[test]
    fn crossing_wedges() {
        let square = Polygon::rectangle(P2::new(0.0, 0.0), P2::new(4.0, 4.0)).corners().to_vec();
        let wedge = |x, gx| Facet {
            ring: square.clone(),
            plane: Plane { at: P2::new(x, 0.0), z0: 0.0, gx, gy: 0.0 },
        };
        let top = deepest(vec![wedge(0.0, 0.1), wedge(4.0, -0.1)]);
        let volume: f64 =
            top.iter().map(|f| signed_area(&f.ring) * f.plane.z(crate::polygon::centroid(&f.ring))).sum();
        assert!((volume - 4.8).abs() < 1e-12);
        let area: f64 = top.iter().map(|f| signed_area(&f.ring)).sum();
        assert!((area - 16.0).abs() < 1e-12);
    }
}
