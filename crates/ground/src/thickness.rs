//! Where the slab is thin, how much of it, and what working the base over would change.

use basis::{Area, Length, Volume};

use crate::overlay::Mesh;
use crate::polygon::{centroid, clip_half, signed_area};
use crate::{P2, Polygon};

/// The thinnest place of the slab.
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
    let corners = mesh.cells.iter().flat_map(|c| {
        let plane = c.thickness();
        c.ring.iter().map(move |&p| (p, plane.z(p)))
    });
    let least = corners.min_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Thinnest { at: least.0, thickness: Length::metres(least.1) })
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

/// Slab thickness at a spot, without what is dug; `None` off the floor.
#[must_use]
pub fn at(mesh: &Mesh, p: P2) -> Option<Length> {
    let cell = mesh.cells.iter().find(|c| {
        let ring = Polygon::new(c.ring.clone());
        ring.contains(p)
    })?;
    Some(Length::metres(cell.thickness().z(p)))
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
