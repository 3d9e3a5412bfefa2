//! Birdbaths: where water would stand on the floor as it was built, how much, and where it would run over.
//!
//! Water stands at a spot as high as the lowest way out of it: over all ways to an outlet the least of their highest points. On a surface
//! of triangles that is carried by the vertices and the edges between them, since on a triangle and on an edge the highest and the
//! lowest point is a vertex. [`flood()`] finds that level at each vertex [@barnes-2014]; inside a triangle all vertices under water share one
//! level, so the wet part of a triangle is its part below a level plane, and area, volume and outline are exact.

mod flood;
mod net;
mod outline;
mod wet;

pub use flood::{Flooded, flood};
pub use net::Net;

use basis::{Area, Length, Note, Place, Report, Volume};

use crate::tin::Tin;
use crate::{P2, words};

/// A birdbath.
#[derive(Debug, Clone, PartialEq)]
pub struct Birdbath {
    /// Rings round the water with the water on the left, m; islands go the other way round.
    pub outline: Vec<Vec<P2>>,
    /// Where it is deepest, m.
    pub lowest: P2,
    /// How deep it is there.
    pub depth: Length,
    /// Its area.
    pub area: Area,
    /// How much water stands in it.
    pub volume: Volume,
    /// Elevation of the water, m.
    pub level: f64,
    /// Where it runs over, m.
    pub spill: P2,
    /// How many points of the survey lie under its water.
    pub points: usize,
}

/// Birdbaths too shallow to be listed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shallower {
    /// How many.
    pub count: usize,
    /// Their area, m².
    pub area: f64,
    /// Their volume, m³.
    pub volume: f64,
}

/// What stands on a floor after rain.
#[derive(Debug, Clone, PartialEq)]
pub struct Ponding {
    /// Birdbaths of at least the depth asked about, the one that holds most first.
    pub birdbaths: Vec<Birdbath>,
    /// The others.
    pub shallower: Shallower,
    /// Elevation of water at each vertex of the surface, m; that of the vertex itself where it is dry.
    pub levels: Vec<f64>,
    /// For each vertex under water the birdbath of [`Ponding::birdbaths`] that it is in.
    pub in_birdbath: Vec<Option<usize>>,
    /// For each vertex the next one on its lowest way out; an outlet's is itself.
    pub way_out: Vec<usize>,
}

/// Finds the birdbaths of a surface.
///
/// `outlets` are the vertices at which water leaves: those along free edges and at drains. Along a wall it stays. Birdbaths shallower than `least`
/// are counted but not listed. The time grows as `n log n` with the vertices.
///
/// # Errors
/// Refused when water can leave nowhere. A warning for parts of the surface from which no way leads to an outlet; they are left out.
#[must_use]
pub fn ponding(tin: &Tin, outlets: &[usize], least: Length) -> Report<Ponding> {
    ponding_on(&Net::of(tin), outlets, least)
}

/// The same on a surface whose net is at hand.
#[must_use]
pub fn ponding_on(net: &Net<'_>, outlets: &[usize], least: Length) -> Report<Ponding> {
    let heights: Vec<f64> = net.tin.points.iter().map(|p| p.z).collect();
    let flooded = flood(&heights, outlets, |v| net.neighbours(v));
    let mut notes = Vec::new();
    let stuck = net.tin.triangles.iter().filter(|t| t.iter().any(|&v| flooded.level[v].is_infinite()));
    let stuck: f64 = stuck.map(|t| net.area_of(t)).sum();
    if outlets.is_empty() || stuck >= net.tin.hull_area() * (1.0 - 1e-9) {
        let hint = "give the floor a free edge or a drain";
        let message = "no edge and no drain lets water off this floor";
        notes.push(Note::fault("no-way-out", Place::at("outline"), message, hint));
        return Report::refused(notes);
    }
    if stuck > 0.0 {
        notes.push(Note::in_both(|units| {
            let message =
                format!("from {} of the floor no way leads to an edge or a drain", words::area(stuck, units));
            Note::warning("part-without-way-out", Place::at("outline"), message, "that part is left out")
        }));
    }
    Report::with(wet::gather(net, &flooded, least.in_metres()), notes)
}

#[cfg(test)]
mod tests;
