//! Triangles between spots: what the shots say, exactly.
//!
//! Delaunay triangles of the spots; break lines are edges that no triangle crosses. Break lines are
//! first cut where they meet each other (`breaks`), because the triangulation itself accepts no
//! crossing edges, and spots that are one become one (`merge`).

mod breaks;
mod merge;

use basis::{Note, Place, Report};
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use crate::point::turn;
use crate::polygon::signed_area;
use crate::{Facet, P2, P3, Plane};

/// Spots closer than this are one, m.
const ONE_SPOT: f64 = 0.001;
/// Computed spots closer than this are one, m: 8 steps of the grid on which triangles are drawn, so that drawing them
/// moves no spot across a line.
const SAME: f64 = 8.0 * STEP;
/// Step of that grid, 2⁻³⁰ m (a nanometre): it removes digits that only make slivers.
const STEP: f64 = 1.0 / 1_073_741_824.0;
/// Farthest from the origin of the plan, and from the datum, that a spot is taken, m.
const FARTHEST: f64 = 1e7;

/// A surface of triangles over its spots' convex hull.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tin {
    /// Spots, m.
    pub points: Vec<P3>,
    /// Indices of the corners of each triangle, counter-clockwise.
    pub triangles: Vec<[usize; 3]>,
}

/// Joins spots by triangles.
///
/// Where break lines cross each other, or a break line runs through a spot, they meet in one spot.
///
/// # Errors
/// Refused when a coordinate is no number or beyond 10 000 km, when fewer than three spots differ, or
/// when all stand in one line. Spots within 1 mm of each other become one at their mean elevation, with
/// a warning if they differ by more than that. A piece of a break line that cannot be an edge is told.
#[must_use]
pub fn triangulate(points: &[P3], breaks: &[Vec<P3>]) -> Report<Tin> {
    let mut notes = Vec::new();
    let sane = |p: &P3| [p.x, p.y, p.z].iter().all(|v| v.abs() < FARTHEST);
    if let Some(bad) = points.iter().chain(breaks.iter().flatten()).find(|p| !sane(p)) {
        let message = format!("a spot stands at {:e}, {:e}, {:e} m", bad.x, bad.y, bad.z);
        notes.push(Note::fault("spot-out-of-range", Place::job(), message, "check its figures and units"));
        return Report::refused(notes);
    }
    let (spots, pieces) = breaks::joined(points, breaks, &mut notes);
    let tin = joined_by_triangles(spots, &pieces, &mut notes);
    if tin.triangles.is_empty() {
        let (code, message) = if tin.points.len() < 3 {
            ("too-few-spots", format!("a surface needs at least 3 spots, there are {}", tin.points.len()))
        } else {
            ("spots-in-one-line", "all spots stand in one line: they carry no surface".to_owned())
        };
        notes.push(Note::fault(code, Place::job(), message, "shoot spots spread over the floor"));
        return Report::refused(notes);
    }
    Report::with(tin, notes)
}

/// Triangles of spots that all differ, with the pieces as edges where they can be.
fn joined_by_triangles(spots: Vec<P3>, pieces: &[[usize; 2]], notes: &mut Vec<Note>) -> Tin {
    let origin = spots.first().map_or(P2::default(), |p| p.plan());
    let local = |p: &P3| Point2::new(snapped(p.x - origin.x), snapped(p.y - origin.y));
    // Only coordinates that are no numbers are refused, and there are none left.
    let loaded = ConstrainedDelaunayTriangulation::<Point2<f64>>::bulk_load_cdt(
        spots.iter().map(local).collect(),
        Vec::new(),
    );
    let Ok(mut mesh) = loaded else { return Tin { points: spots, triangles: Vec::new() } };
    let mut left_out = 0;
    for &[from, to] in pieces {
        let [from, to] = [from, to].map(FixedVertexHandle::from_index);
        if mesh.can_add_constraint(from, to) {
            mesh.add_constraint(from, to);
        } else {
            left_out += 1;
        }
    }
    if left_out > 0 {
        let message = format!("{left_out} pieces of break lines cross others too closely to be drawn");
        let hint = "let break lines meet in spots that they share";
        notes.push(Note::warning("break-line-left-out", Place::job(), message, hint));
    }
    let counter_clockwise = |[a, b, c]: [usize; 3]| {
        let left = turn(spots[a].plan(), spots[b].plan(), spots[c].plan()) > 0.0;
        if left { [a, b, c] } else { [a, c, b] }
    };
    let triangles = mesh
        .inner_faces()
        .map(|face| face.vertices().map(|v| v.fix().index()))
        .filter(|face| !sliver(face.map(|i| spots[i].plan())))
        .map(counter_clockwise)
        .collect();
    Tin { points: spots, triangles }
}

fn snapped(v: f64) -> f64 {
    (v / STEP).round() * STEP
}

/// A triangle thinner than half of [`SAME`]: its spots stand in one line but for rounding, and so its slope is nothing else.
fn sliver([a, b, c]: [P2; 3]) -> bool {
    let longest = a.distance(b).max(b.distance(c)).max(c.distance(a));
    turn(a, b, c).abs() <= longest * (SAME / 2.0)
}

impl Tin {
    /// The triangles as facets.
    #[must_use]
    pub fn facets(&self) -> Vec<Facet> {
        let facet = |t: &[usize; 3]| {
            let [a, b, c] = t.map(|i| self.points[i]);
            Some(Facet { ring: vec![a.plan(), b.plan(), c.plan()], plane: Plane::through(a, b, c)? })
        };
        self.triangles.iter().filter_map(facet).collect()
    }

    /// Elevation at a spot, m; `None` outside the triangles.
    #[must_use]
    pub fn z(&self, p: P2) -> Option<f64> {
        self.triangles.iter().find_map(|t| {
            let [a, b, c] = t.map(|i| self.points[i]);
            let (u, v, w) =
                (turn(b.plan(), c.plan(), p), turn(c.plan(), a.plan(), p), turn(a.plan(), b.plan(), p));
            let whole = u + v + w;
            let least = -1e-12 * whole;
            (u >= least && v >= least && w >= least).then(|| (u * a.z + v * b.z + w * c.z) / whole)
        })
    }

    /// Area under the triangles, m².
    #[must_use]
    pub fn hull_area(&self) -> f64 {
        self.triangles.iter().map(|t| signed_area(&t.map(|i| self.points[i].plan()))).sum()
    }

    /// Volume between the triangles and elevation 0, m³.
    #[must_use]
    pub fn integral(&self) -> f64 {
        let prism = |t: &[usize; 3]| {
            let p = t.map(|i| self.points[i]);
            signed_area(&p.map(|q| q.plan())) * (p[0].z + p[1].z + p[2].z) / 3.0
        };
        self.triangles.iter().map(prism).sum()
    }
}

#[cfg(test)]
mod tests;
