//! What is dug below the base: thickened edges, pads and footings cast with the floor.
//!
//! Each is a flat bottom with a bank that rises to the base, drawn as convex facets of depth. Banks are
//! mitred round corners that stick out into the ground; where two digs overlap the deeper one wins
//! ([`deepest`]).

mod deepest;
mod strip;

use basis::{Length, Note, Place, Report};

use crate::floor::polygon_of;
use crate::outline::{Floor, Outline, ThickenedEdge};
use crate::zones::triangles_of;
use crate::{Facet, P2, Plane};

pub use deepest::deepest;
use strip::{Line, Section, strips};

/// Deepest and widest dig that this tool takes for one, m.
const LARGEST: f64 = 10.0;

/// Depth dug below the base, m, as facets that do not overlap; nothing is dug elsewhere.
///
/// A thickened edge follows its edge, arcs by their chords. Where two of them meet the section goes
/// round the corner; where the next edge is not thickened it ends square at the corner. Facets may
/// reach beyond the floor; the overlay keeps what lies under it.
///
/// # Errors
/// Refused when a depth or width is negative, no number or over 10 m, or names an edge that is not there.
#[must_use]
pub fn dug(outline: &Outline, floor: &Floor) -> Report<Vec<Facet>> {
    let mut notes = Vec::new();
    for t in &outline.thickened {
        check("a thickened edge", &t.place, &[t.depth, t.flat, t.haunch], &mut notes);
        if t.edge >= outline.edges.len() {
            let message = "a thickened edge runs along an edge that the outline does not have".to_owned();
            notes.push(Note::fault("dug-size-impossible", t.place.clone(), message, "name its two corners"));
        }
    }
    for f in &outline.footings {
        check(&f.name, &f.place, &[f.depth, f.haunch], &mut notes);
    }
    if basis::has_fault(&notes) {
        return Report::refused(notes);
    }
    let mut facets = edges(&outline.thickened, floor);
    for footing in &outline.footings {
        facets.extend(pit(polygon_of(&footing.shape).corners(), footing.depth, footing.haunch));
    }
    Report::with(deepest(facets), notes)
}

fn check(name: &str, place: &Place, sizes: &[Length], notes: &mut Vec<Note>) {
    if let Some(bad) = sizes.iter().find(|s| !(s.in_metres() >= 0.0 && s.in_metres() <= LARGEST)) {
        let message = format!("{name} has a depth or width of {:e} m", bad.in_metres());
        let hint = "depths and widths are lengths from 0 to 10 m";
        notes.push(Note::fault("dug-size-impossible", place.clone(), message, hint));
    }
}

/// The strips of the thickened edges along the floor's boundary.
fn edges(thickened: &[ThickenedEdge], floor: &Floor) -> Vec<Facet> {
    let section_of = |edge: usize| {
        let own = thickened.iter().filter(|t| t.edge == edge);
        let deepest = own.max_by(|a, b| a.depth.total_cmp(&b.depth))?;
        Some(Section {
            depth: deepest.depth.in_metres(),
            flat: deepest.flat.in_metres(),
            haunch: deepest.haunch.in_metres(),
        })
    };
    let lines: Vec<Line> = floor
        .segments
        .iter()
        .map(|s| Line { a: s.a, b: s.b, run: s.edge, section: section_of(s.edge) })
        .collect();
    strips(&lines)
}

/// A flat bottom with banks outward all round.
fn pit(bottom: &[P2], depth: Length, haunch: Length) -> Vec<Facet> {
    let (depth, haunch) = (depth.in_metres(), haunch.in_metres());
    let level = Plane::level(depth);
    let corners = crate::Polygon::new(bottom.to_vec());
    let mut facets: Vec<Facet> = triangles_of(&corners)
        .into_iter()
        .filter(|_| depth > 0.0)
        .map(|t| Facet { ring: t.to_vec(), plane: level })
        .collect();
    // Walked clockwise, the outside is on the left as the floor is on the left of its boundary.
    let ring: Vec<P2> = corners.corners().iter().rev().copied().collect();
    let n = ring.len();
    let section = Some(Section { depth, flat: 0.0, haunch });
    let lines: Vec<Line> =
        (0..n).map(|i| Line { a: ring[i], b: ring[(i + 1) % n], run: i, section }).collect();
    facets.extend(strips(&lines));
    facets
}

#[cfg(test)]
mod tests;
