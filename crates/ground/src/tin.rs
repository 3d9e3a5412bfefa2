//! Triangles between spots: what the shots say, exactly.
//!
//! Delaunay triangles of the spots; break lines are edges that no triangle crosses. Break lines are
//! first cut where they meet each other, with the elevation taken along the first of the two, because
//! the triangulation itself accepts no crossing edges.

use basis::{Note, Place, Report};
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

use crate::point::turn;
use crate::polygon::signed_area;
use crate::{Facet, P2, P3, Plane};

/// Spots closer than this are one, m.
const ONE_SPOT: f64 = 0.001;

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
/// # Errors
/// Refused when a coordinate is no number, when fewer than three spots differ, or when all stand in
/// one line. Spots within 1 mm of each other become one at their mean, with a warning if they differ.
#[must_use]
pub fn triangulate(points: &[P3], breaks: &[Vec<P3>]) -> Report<Tin> {
    let mut notes = Vec::new();
    let all = points.iter().chain(breaks.iter().flatten());
    let sane = |p: &P3| [p.x, p.y, p.z].iter().all(|v| v.abs() < 1e7);
    if let Some(bad) = all.clone().find(|p| !sane(p)) {
        let message = format!("a spot stands at {:e}, {:e}, {:e} m", bad.x, bad.y, bad.z);
        notes.push(Note::fault("spot-out-of-range", Place::job(), message, "check its figures and units"));
        return Report::refused(notes);
    }
    let origin = all.clone().next().map_or(P2::default(), |p| p.plan());
    let (pieces, crossings) = cut_at_crossings(breaks);
    let spots: Vec<P3> = all.copied().chain(crossings).collect();
    let spots = merged(&spots, &mut notes);
    let mut mesh: ConstrainedDelaunayTriangulation<Point2<f64>> = ConstrainedDelaunayTriangulation::new();
    let mut heights: Vec<P3> = Vec::with_capacity(spots.len());
    // Only coordinates that are no numbers are refused, and there are none left.
    let local = |p: P2| Point2::new(snapped(p.x - origin.x), snapped(p.y - origin.y));
    for spot in &spots {
        let before = heights.len();
        if mesh.insert(local(spot.plan())).is_ok_and(|handle| handle.index() == before) {
            heights.push(*spot);
        }
    }
    for (a, b) in pieces {
        if let (Ok(from), Ok(to)) = (mesh.insert(local(a)), mesh.insert(local(b)))
            && from.index().max(to.index()) < heights.len()
            && mesh.can_add_constraint(from, to)
        {
            mesh.add_constraint(from, to);
        }
    }
    let triangles: Vec<[usize; 3]> = mesh
        .inner_faces()
        .map(|face| face.vertices().map(|v| v.fix().index()))
        .filter(|t| t.iter().all(|&i| i < heights.len()))
        .map(|[a, b, c]| {
            let left = turn(heights[a].plan(), heights[b].plan(), heights[c].plan()) > 0.0;
            if left { [a, b, c] } else { [a, c, b] }
        })
        .collect();
    if triangles.is_empty() {
        let (code, message) = if heights.len() < 3 {
            ("too-few-spots", format!("a surface needs at least 3 spots, there are {}", heights.len()))
        } else {
            ("spots-in-one-line", "all spots stand in one line: they carry no surface".to_owned())
        };
        notes.push(Note::fault(code, Place::job(), message, "shoot spots spread over the floor"));
        return Report::refused(notes);
    }
    Report::with(Tin { points: heights, triangles }, notes)
}

/// Grid of 2⁻³⁰ m (a nanometre): removes digits that only make slivers.
fn snapped(v: f64) -> f64 {
    const FINENESS: f64 = 1_073_741_824.0;
    (v * FINENESS).round() / FINENESS
}

/// Spots that are one.
#[derive(Clone, Copy)]
struct Group {
    first: usize,
    sum: f64,
    count: u32,
    low: f64,
    high: f64,
}

/// Spots closer than [`ONE_SPOT`] become one at their mean elevation.
fn merged(spots: &[P3], notes: &mut Vec<Note>) -> Vec<P3> {
    let mut order: Vec<usize> = (0..spots.len()).collect();
    order.sort_by(|&i, &j| spots[i].x.total_cmp(&spots[j].x).then(spots[i].y.total_cmp(&spots[j].y)));
    let mut groups: Vec<Option<Group>> = vec![None; spots.len()];
    let mut leader: Vec<usize> = (0..spots.len()).collect();
    for (k, &i) in order.iter().enumerate() {
        for &j in order[..k].iter().rev().take(32).take_while(|&&j| spots[i].x - spots[j].x < ONE_SPOT) {
            if spots[i].plan().distance(spots[j].plan()) < ONE_SPOT {
                leader[i] = leader[j];
                break;
            }
        }
        let z = spots[i].z;
        let group =
            groups[leader[i]].get_or_insert(Group { first: leader[i], sum: 0.0, count: 0, low: z, high: z });
        group.sum += z;
        group.count += 1;
        (group.low, group.high) = (group.low.min(z), group.high.max(z));
    }
    let spread = groups.iter().flatten().map(|g| g.high - g.low).fold(0.0, f64::max);
    if spread > ONE_SPOT {
        notes.push(Note::warning(
            "spots-differ",
            Place::job(),
            format!("spots in one place differ by up to {:.0} mm; the mean is taken", spread * 1e3),
            "shoot them again",
        ));
    }
    groups.iter().flatten().map(|g| spots[g.first].plan().at(g.sum / f64::from(g.count))).collect()
}

/// A piece of a break line.
type Piece = (P2, P2);

/// Break lines as pieces that meet only at their ends, and the spots where they cross.
fn cut_at_crossings(breaks: &[Vec<P3>]) -> (Vec<Piece>, Vec<P3>) {
    let whole: Vec<(P3, P3)> = breaks.iter().flat_map(|line| line.windows(2).map(|w| (w[0], w[1]))).collect();
    let mut stops: Vec<Vec<f64>> = vec![vec![0.0, 1.0]; whole.len()];
    let mut spots = Vec::new();
    for i in 0..whole.len() {
        for j in i + 1..whole.len() {
            let (a, b, c, d) = (whole[i].0.plan(), whole[i].1.plan(), whole[j].0.plan(), whole[j].1.plan());
            let (u, v) = (b - a, d - c);
            let den = u.cross(v);
            let (s, t) = ((c - a).cross(v) / den, (c - a).cross(u) / den);
            if den != 0.0 && s > 0.0 && s < 1.0 && t > 0.0 && t < 1.0 {
                stops[i].push(s);
                stops[j].push(t);
                spots.push(a.lerp(b, s).at(whole[i].0.z + s * (whole[i].1.z - whole[i].0.z)));
            }
        }
    }
    let mut pieces = Vec::new();
    for ((a, b), stops) in whole.iter().zip(&mut stops) {
        stops.sort_by(f64::total_cmp);
        pieces
            .extend(stops.windows(2).map(|w| (a.plan().lerp(b.plan(), w[0]), a.plan().lerp(b.plan(), w[1]))));
    }
    (pieces, spots)
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
mod tests {
    use super::*;

    fn topo() -> Vec<P3> {
        let text = include_str!("../tests/data/topo.csv");
        let row = |line: &str| {
            let v: Vec<f64> = line.split(',').map(|c| c.parse().unwrap()).collect();
            P3::new(v[0], v[1], v[2])
        };
        text.lines().skip(1).map(row).collect()
    }

    /// The 52 survey points of Davis (1973), computed alike by four independent triangulation libraries.
    #[test]
    fn davis_1973_topography() {
        let tin = triangulate(&topo(), &[]).value.unwrap();
        assert_eq!((tin.points.len(), tin.triangles.len()), (52, 87));
        assert!((tin.hull_area() - 35.99).abs() < 1e-7);
        assert!((tin.integral() - 29_928.15).abs() < 1e-9 * 29_928.15 + 1e-5);
        let printed = [
            (3.0, 3.0, 823.702_830),
            (1.0, 5.0, 817.366_255),
            (5.0, 2.0, 844.591_837),
            (4.2, 5.1, 760.336_134),
        ];
        for (x, y, z) in printed {
            assert!((tin.z(P2::new(x, y)).unwrap() - z).abs() < 1e-6);
        }
        assert_eq!(tin.z(P2::new(-1.0, -1.0)), None);
    }

    #[test]
    fn a_break_line_is_never_crossed() {
        let corners = [(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0), (2.0, 0.5), (2.0, 3.5)];
        let flat: Vec<P3> = corners.iter().map(|&(x, y)| P3::new(x, y, 0.0)).collect();
        let ridge = vec![P3::new(0.0, 2.0, 1.0), P3::new(4.0, 2.0, 1.0)];
        let tin = triangulate(&flat, &[ridge]).value.unwrap();
        for x in [0.5, 1.7, 2.0, 3.1] {
            assert!((tin.z(P2::new(x, 2.0)).unwrap() - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn crossing_breaks_on_a_coarse_grid_do_not_panic() {
        let line = |a: (f64, f64), b: (f64, f64)| vec![P3::new(a.0, a.1, 1.0), P3::new(b.0, b.1, 2.0)];
        let breaks = [
            line((12.0, 8.25), (5.5, 11.75)),
            line((11.75, 8.25), (19.25, 19.75)),
            line((6.25, 13.75), (18.0, 0.25)),
            line((16.0, 18.75), (10.0, 3.0)),
            line((15.75, 10.5), (13.25, 14.0)),
        ];
        assert!(triangulate(&[], &breaks).value.is_some());
    }

    #[test]
    fn spots_that_carry_no_surface_are_refused() {
        let line: Vec<P3> = (0..5).map(|i| P3::new(f64::from(i), f64::from(i), 1.0)).collect();
        assert_eq!(triangulate(&line, &[]).notes[0].code, "spots-in-one-line");
        assert_eq!(triangulate(&line[..2], &[]).notes[0].code, "too-few-spots");
        assert_eq!(triangulate(&[P3::new(f64::NAN, 0.0, 0.0)], &[]).notes[0].code, "spot-out-of-range");
        let mut twice = topo();
        twice.push(P3::new(0.3, 6.1, 871.0));
        let report = triangulate(&twice, &[]);
        assert_eq!((report.notes[0].code, report.value.unwrap().points.len()), ("spots-differ", 52));
    }
}
