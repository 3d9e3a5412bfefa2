//! Exact prism sums over the mesh: whole floor, convex windows, cut and fill apart.
//!
//! Over a polygon on which a depth varies linearly, the volume is area times depth at the centroid.

use basis::{Area, Volume};

use crate::overlay::{Cell, Mesh};
use crate::polygon::{bounds, centroid, clip_convex, signed_area};
use crate::{P2, Plane, Polygon};

/// Volume under a plane over a ring, m³.
fn prism(ring: &[P2], depth: &Plane) -> f64 {
    if ring.len() < 3 { 0.0 } else { signed_area(ring) * depth.z(centroid(ring)) }
}

/// The parts of the cells inside a convex window.
fn inside<'a>(mesh: &'a Mesh, window: &'a Polygon) -> impl Iterator<Item = (Vec<P2>, &'a Cell)> + 'a {
    let (low, high) = window.bounds();
    mesh.cells.iter().filter_map(move |cell| {
        let (a, b) = bounds(&cell.ring);
        if a.x > high.x || b.x < low.x || a.y > high.y || b.y < low.y {
            return None;
        }
        let ring = clip_convex(&cell.ring, window.corners());
        (!ring.is_empty()).then_some((ring, cell))
    })
}

/// Concrete between the floor's top and the base, with what is dug. Where the base stands above the
/// floor the slab counts negative: it is a fault of the base, told elsewhere.
#[must_use]
pub fn volume(mesh: &Mesh) -> Volume {
    let sum = mesh.cells.iter().map(|c| prism(&c.ring, &c.thickness()) + prism(&c.ring, &c.dug)).sum();
    Volume::cubic_metres(sum)
}

/// The same inside a convex window.
#[must_use]
pub fn volume_in(mesh: &Mesh, window: &Polygon) -> Volume {
    let sum = inside(mesh, window).map(|(ring, c)| prism(&ring, &c.thickness()) + prism(&ring, &c.dug)).sum();
    Volume::cubic_metres(sum)
}

/// Concrete in thickened edges and footings alone.
#[must_use]
pub fn dug_volume(mesh: &Mesh) -> Volume {
    Volume::cubic_metres(mesh.cells.iter().map(|c| prism(&c.ring, &c.dug)).sum())
}

/// Floor area inside a convex window.
#[must_use]
pub fn area_in(mesh: &Mesh, window: &Polygon) -> Area {
    Area::square_metres(inside(mesh, window).map(|(ring, _)| signed_area(&ring)).sum())
}

/// Volume of slab above the base, and volume by which the base stands above the floor; both positive.
#[must_use]
pub fn cut_fill(mesh: &Mesh) -> (Volume, Volume) {
    let (mut fill, mut cut) = (0.0, 0.0);
    for cell in &mesh.cells {
        let v = prism(&cell.ring, &cell.thickness());
        if v >= 0.0 { fill += v } else { cut -= v }
    }
    (Volume::cubic_metres(fill), Volume::cubic_metres(cut))
}
