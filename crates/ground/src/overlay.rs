//! One mesh on which finish, base and dug depth are all planar in every cell.
//!
//! Convex pieces are clipped by convex pieces (Sutherland–Hodgman), so nothing is snapped and nothing
//! is triangulated again: the cells tile the floor to the last bits, and prism sums over them are exact
//! for what is drawn.

use crate::facet::Facet;
use crate::grid::Grid;
use crate::outline::Floor;
use crate::polygon::{clip_convex, clip_half, signed_area};
use crate::zones::outside_of;
use crate::{P2, Plane};

/// A convex piece of the floor with its three planes.
#[derive(Debug, Clone, PartialEq)]
pub struct Cell {
    /// Corners, counter-clockwise, m.
    pub ring: Vec<P2>,
    /// Top of the floor, m.
    pub finish: Plane,
    /// Top of the base, m.
    pub base: Plane,
    /// Depth dug below the base, m.
    pub dug: Plane,
}

impl Cell {
    /// Thickness of the slab above the base, m, without what is dug.
    #[must_use]
    pub fn thickness(&self) -> Plane {
        self.finish.minus(&self.base)
    }
}

/// The floor cut into cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mesh {
    /// The cells; they tile the covered floor.
    pub cells: Vec<Cell>,
    /// Floor for which there is no finish or no base, m².
    pub uncovered: f64,
}

/// Pieces smaller than this carry no volume worth keeping, m².
const SLIVER: f64 = 1e-14;

/// Overlays the layers on the floor; cells are also cut where finish and base meet.
#[must_use]
pub fn overlay(floor: &Floor, finish: &[Facet], base: &[Facet], dug: &[Facet]) -> Mesh {
    let rings: Vec<Vec<P2>> = floor.triangles.iter().map(|t| t.to_vec()).collect();
    let finished = laid_on(rings.into_iter().map(|ring| (ring, ())), finish);
    let based = laid_on(finished.into_iter().map(|(ring, (), plane)| (ring, plane)), base);
    let dug_at = Grid::over(dug.iter().map(|f| f.ring.as_slice()));
    let mut cells = Vec::with_capacity(based.len());
    for (ring, finish, base) in based {
        let mut rest = vec![ring];
        let near = if dug.is_empty() { Vec::new() } else { dug_at.near(&rest[0]) };
        for i in near {
            let facet = &dug[i as usize];
            let mut outside = Vec::new();
            for ring in rest {
                let inside = clip_convex(&ring, &facet.ring);
                if signed_area(&inside) < SLIVER {
                    outside.push(ring);
                    continue;
                }
                split_at_daylight(Cell { ring: inside, finish, base, dug: facet.plane }, &mut cells);
                outside.extend(outside_of(&ring, &facet.ring));
            }
            rest = outside;
        }
        for ring in rest {
            split_at_daylight(Cell { ring, finish, base, dug: Plane::level(0.0) }, &mut cells);
        }
    }
    let covered: f64 = cells.iter().map(|c| signed_area(&c.ring)).sum();
    Mesh { cells, uncovered: (floor.area - covered).max(0.0) }
}

/// Cuts pieces by the facets of a layer and gives each part the facet's plane.
fn laid_on<T: Copy>(pieces: impl Iterator<Item = (Vec<P2>, T)>, layer: &[Facet]) -> Vec<(Vec<P2>, T, Plane)> {
    let index = Grid::over(layer.iter().map(|f| f.ring.as_slice()));
    let mut parts = Vec::new();
    for (ring, carried) in pieces {
        for i in index.near(&ring) {
            let Some(facet) = layer.get(i as usize) else { continue };
            let part = clip_convex(&ring, &facet.ring);
            if signed_area(&part) > SLIVER {
                parts.push((part, carried, facet.plane));
            }
        }
    }
    parts
}

/// Where the base rises through the floor a cell is cut, so that fill and cut are each exact.
fn split_at_daylight(cell: Cell, cells: &mut Vec<Cell>) {
    let thickness = cell.thickness();
    let values = cell.ring.iter().map(|&p| thickness.z(p));
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    if low >= 0.0 || high <= 0.0 {
        cells.push(cell);
        return;
    }
    for sign in [1.0, -1.0] {
        let mut ring = Vec::with_capacity(cell.ring.len() + 1);
        clip_half(&cell.ring, |p| sign * thickness.z(p), &mut ring);
        if signed_area(&ring) > SLIVER {
            cells.push(Cell { ring, ..cell.clone() });
        }
    }
}
