//! Where the slab is thin, how much of it, and what working the base over would change.

use basis::{Area, Length, Volume};

use crate::P2;
use crate::overlay::Mesh;
use crate::point::turn;
use crate::polygon::{centroid, clip_half, cutting_edges, signed_area};

/// The thinnest or thickest place of the slab.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thinnest {
    /// Where, m.
    pub at: P2,
    /// How thick the slab is there above the base; negative where the base stands above the floor.
    pub thickness: Length,
}

/// The thinnest place, without what is dug. Exact: a plane is least at a corner of its cell.
#[must_use]
pub fn thinnest(mesh: &Mesh) -> Option<Thinnest> {
    let least = corners(mesh).min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Thinnest { at: least.0, thickness: Length::metres(least.1) })
}

/// The thickest place, without what is dug. Exact: a plane is greatest at a corner of its cell.
#[must_use]
pub fn thickest(mesh: &Mesh) -> Option<Thinnest> {
    let most = corners(mesh).max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Thinnest { at: most.0, thickness: Length::metres(most.1) })
}

/// Thickness at every corner of every cell, m.
fn corners(mesh: &Mesh) -> impl Iterator<Item = (P2, f64)> + '_ {
    mesh.cells.iter().flat_map(|c| {
        let plane = c.thickness();
        c.ring.iter().map(move |&p| (p, plane.z(p)))
    })
}

/// Floor area on which the slab is thinner than `limit`, exactly.
#[must_use]
pub fn area_thinner_than(mesh: &Mesh, limit: Length) -> Area {
    let mut part = Vec::new();
    let sum = mesh.cells.iter().map(|c| {
        let plane = c.thickness();
        clip_half(&c.ring, |p| limit.in_metres() - plane.z(p), &mut part);
        signed_area(&part)
    });
    Area::square_metres(sum.sum())
}

/// Slab thickness at a spot, without what is dug; `None` off the floor by over a micrometre.
#[must_use]
pub fn at(mesh: &Mesh, p: P2) -> Option<Length> {
    const EDGE: f64 = 1e-6;
    let inside = |ring: &[P2]| cutting_edges(ring).all(|(a, b)| turn(a, b, p) >= -EDGE * a.distance(b));
    let cell = mesh.cells.iter().find(|c| inside(&c.ring))?;
    Some(Length::metres(cell.thickness().z(p)))
}

/// The convex pieces of the floor where the slab is between each level and the next, for drawing.
///
/// `levels` ascend; one list is given for each gap between two of them.
#[must_use]
pub fn bands(mesh: &Mesh, levels: &[Length]) -> Vec<Vec<Vec<P2>>> {
    let (mut over, mut between) = (Vec::new(), Vec::new());
    let band = |pair: &[Length]| {
        let (low, high) = (pair[0].in_metres(), pair[1].in_metres());
        let mut pieces = Vec::new();
        for cell in &mesh.cells {
            let plane = cell.thickness();
            clip_half(&cell.ring, |p| plane.z(p) - low, &mut over);
            clip_half(&over, |p| high - plane.z(p), &mut between);
            if signed_area(&between) > 0.0 {
                pieces.push(std::mem::take(&mut between));
            }
        }
        pieces
    };
    levels.windows(2).map(band).collect()
}

/// What bringing the base to its design grade would take: finish less nominal thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BaseWork {
    /// To cut where the base is high; as much more concrete would go in.
    pub high: Volume,
    /// To fill where the base is low, compacted; as much less concrete would go in.
    pub low: Volume,
    /// Area where the base is high.
    pub high_area: Area,
    /// Area where the base is low.
    pub low_area: Area,
    /// The middle of the worst low cell and how low it is.
    pub deepest: Option<(P2, Length)>,
}

/// Cut and fill of the base against design grade, exactly.
#[must_use]
pub fn base_work(mesh: &Mesh, nominal: Length) -> BaseWork {
    let mut work = BaseWork {
        high: Volume::ZERO,
        low: Volume::ZERO,
        high_area: Area::ZERO,
        low_area: Area::ZERO,
        deepest: None,
    };
    let mut part = Vec::new();
    for cell in &mesh.cells {
        let plane = cell.thickness();
        let low_by = |p: P2| plane.z(p) - nominal.in_metres();
        for sign in [1.0, -1.0] {
            clip_half(&cell.ring, |p| sign * low_by(p), &mut part);
            if part.len() < 3 {
                continue;
            }
            let (area, middle) = (signed_area(&part), centroid(&part));
            let (area_sum, volume_sum) = if sign > 0.0 {
                (&mut work.low_area, &mut work.low)
            } else {
                (&mut work.high_area, &mut work.high)
            };
            *area_sum += Area::square_metres(area);
            *volume_sum += Volume::cubic_metres(area * sign * low_by(middle));
            let depth = Length::metres(low_by(middle));
            if sign > 0.0 && work.deepest.is_none_or(|(_, d)| depth > d) {
                work.deepest = Some((middle, depth));
            }
        }
    }
    work
}
