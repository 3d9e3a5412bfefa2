//! The way of water over the triangles, from a spot down to an edge, a drain or a birdbath.

use super::rise;
use crate::point::turn;
use crate::ponding::{Net, Ponding};
use crate::quadrature::Quadrature;
use crate::{P2, P3};

/// Steps after which a way is given up: no floor has so long a one.
const MOST_STEPS: usize = 100_000;
/// A rise over a run of one under this is level.
const LEVEL: f64 = 1e-9;

/// Where water ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Goes {
    /// Off the floor at an outlet, a spot of an edge or of a drain, m.
    Off(P2),
    /// Into a birdbath, by its number in [`Ponding::birdbaths`].
    Birdbath(usize),
    /// It stands where the floor is level.
    Stands(P2),
}

/// The way of water from a spot.
#[derive(Debug, Clone, PartialEq)]
pub struct RunOff {
    /// The way, m, from the spot to its end.
    pub way: Vec<P2>,
    /// Where it ends.
    pub goes: Goes,
}

/// Where water is: inside a triangle, on its way to one of its sides, or at a vertex.
#[derive(Clone, Copy)]
enum At {
    Inside(usize, P2),
    Vertex(usize),
}

/// What water does that reaches standing water.
enum Water {
    Stays(Goes),
    RunsOver(usize),
}

struct Surface<'a> {
    net: &'a Net<'a>,
    ponding: &'a Ponding,
    is_outlet: &'a dyn Fn(usize) -> bool,
}

/// Follows water from a spot in a triangle: down the steepest way of each triangle, along edges where two triangles fall toward each
/// other, until it leaves at an outlet, reaches a birdbath or can go no lower. A birdbath too shallow to be listed is filled and runs
/// over: the way goes on from where the lowest way out of it drops below its level.
///
/// Exact for the surface as drawn: each step ends on a side or a vertex. `triangle` holds the spot.
#[must_use]
pub fn run_off(
    net: &Net<'_>,
    ponding: &Ponding,
    is_outlet: &dyn Fn(usize) -> bool,
    (triangle, spot): (usize, P2),
) -> RunOff {
    let surface = Surface { net, ponding, is_outlet };
    let mut way = vec![spot];
    let mut at = At::Inside(triangle, spot);
    for _ in 0..MOST_STEPS {
        let next = match surface.standing(at) {
            Some(Water::Stays(goes)) => return RunOff { way, goes },
            Some(Water::RunsOver(vertex)) => Ok(At::Vertex(vertex)),
            None => surface.step(at),
        };
        match next {
            Ok(next) => {
                at = next;
                way.push(surface.spot(at));
            }
            Err((end, goes)) => {
                way.push(end);
                way.dedup();
                return RunOff { way, goes };
            }
        }
    }
    let end = surface.spot(at);
    RunOff { way, goes: Goes::Stands(end) }
}

impl Surface<'_> {
    fn point(&self, v: usize) -> P3 {
        self.net.tin.points[v]
    }

    fn spot(&self, at: At) -> P2 {
        match at {
            At::Inside(_, p) => p,
            At::Vertex(v) => self.point(v).plan(),
        }
    }

    /// Whether water stands here already.
    fn standing(&self, at: At) -> Option<Water> {
        let wet = |v: usize| self.ponding.levels[v] > self.point(v).z;
        let v = match at {
            At::Vertex(v) => wet(v).then_some(v)?,
            At::Inside(t, p) => {
                let triangle = self.net.tin.triangles[t];
                let v = triangle.into_iter().find(|&v| wet(v))?;
                let [a, b, c] = triangle.map(|v| self.point(v));
                let z = crate::Plane::through(a, b, c)?.z(p);
                (z < self.ponding.levels[v]).then_some(v)?
            }
        };
        match self.ponding.in_birdbath[v] {
            Some(bath) => Some(Water::Stays(Goes::Birdbath(bath))),
            None => Some(Water::RunsOver(self.over(v))),
        }
    }

    /// The first vertex below the water's level on the lowest way out of it, or the outlet.
    fn over(&self, from: usize) -> usize {
        let level = self.ponding.levels[from];
        let mut v = from;
        while self.ponding.levels[v] >= level && self.ponding.way_out[v] != v {
            v = self.ponding.way_out[v];
        }
        v
    }

    fn step(&self, at: At) -> Result<At, (P2, Goes)> {
        match at {
            At::Inside(t, p) => self.down(t, p),
            At::Vertex(v) => self.off_vertex(v),
        }
    }

    /// Down a triangle to one of its sides.
    fn down(&self, t: usize, p: P2) -> Result<At, (P2, Goes)> {
        let triangle = self.net.tin.triangles[t];
        let down = rise(triangle.map(|v| self.point(v))) * -1.0;
        if down.norm() < LEVEL {
            return Err((p, Goes::Stands(p)));
        }
        let Some((side, hit)) = exit(self.net.corners(t), p, down) else { return Ok(self.lowest(t)) };
        let (a, b) = (triangle[side], triangle[(side + 1) % 3]);
        match self.net.across(t, a, b) {
            Some(other) if falls_away(self, other, (a, b)) => Ok(At::Inside(other, hit)),
            None if (self.is_outlet)(a) && (self.is_outlet)(b) => Err((hit, Goes::Off(hit))),
            // Two triangles fall toward each other, or the side is a wall: along it to its lower end.
            _ => Ok(At::Vertex(if self.point(a).z <= self.point(b).z { a } else { b })),
        }
    }

    /// The lowest vertex of a triangle, for a spot that rounding has put on its very corner.
    fn lowest(&self, t: usize) -> At {
        let lower = |a: usize, b: usize| if self.point(b).z < self.point(a).z { b } else { a };
        let [a, b, c] = self.net.tin.triangles[t];
        At::Vertex(lower(lower(a, b), c))
    }

    /// The steepest way from a vertex: into a triangle, or along an edge.
    fn off_vertex(&self, v: usize) -> Result<At, (P2, Goes)> {
        let here = self.point(v);
        if (self.is_outlet)(v) {
            return Err((here.plan(), Goes::Off(here.plan())));
        }
        let mut best: (f64, Option<At>) = (LEVEL, None);
        for t in self.net.triangles(v) {
            let triangle = self.net.tin.triangles[t];
            let down = rise(triangle.map(|v| self.point(v))) * -1.0;
            let i = triangle.iter().position(|&u| u == v).unwrap_or(0);
            let (b, c) = (self.point(triangle[(i + 1) % 3]), self.point(triangle[(i + 2) % 3]));
            let (to_b, to_c) = (b.plan() - here.plan(), c.plan() - here.plan());
            if to_b.cross(down) > 0.0 && down.cross(to_c) > 0.0 && down.norm() > best.0 {
                best = (down.norm(), Some(At::Inside(t, here.plan())));
            }
            for (u, to, z) in [(triangle[(i + 1) % 3], to_b, b.z), (triangle[(i + 2) % 3], to_c, c.z)] {
                let slope = (here.z - z) / to.norm();
                if slope > best.0 {
                    best = (slope, Some(At::Vertex(u)));
                }
            }
        }
        best.1.ok_or((here.plan(), Goes::Stands(here.plan())))
    }
}

/// Whether a triangle falls away from its side between two vertices, so that water from beyond runs into it.
fn falls_away(surface: &Surface<'_>, t: usize, (a, b): (usize, usize)) -> bool {
    let triangle = surface.net.tin.triangles[t];
    let down = rise(triangle.map(|v| surface.point(v))) * -1.0;
    let Some(&third) = triangle.iter().find(|v| **v != a && **v != b) else { return false };
    let (a, b, c) = (surface.point(a).plan(), surface.point(b).plan(), surface.point(third).plan());
    let inward = if turn(a, b, c) > 0.0 { (b - a).left() } else { (a - b).left() };
    down.dot(inward) > LEVEL * inward.norm()
}

/// The side through which a ray leaves a counter-clockwise triangle, and where.
fn exit(corners: [P2; 3], p: P2, toward: P2) -> Option<(usize, P2)> {
    let mut best: Option<(f64, usize)> = None;
    for side in 0..3 {
        let (a, b) = (corners[side], corners[(side + 1) % 3]);
        let inward = (b - a).left();
        let speed = toward.dot(inward);
        if speed >= 0.0 {
            continue;
        }
        let share = ((p - a).dot(inward) / -speed).max(0.0);
        if best.is_none_or(|(least, _)| share < least) {
            best = Some((share, side));
        }
    }
    let (share, side) = best?;
    let (a, b) = (corners[side], corners[(side + 1) % 3]);
    let hit = p + toward * share;
    // Onto the side itself, so that rounding does not pile up.
    let along = (b - a).dot(hit - a) / (b - a).dot(b - a);
    Some((side, a.lerp(b, along.clamp(0.0, 1.0))))
}

/// Where the water of a floor goes, by area.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Drainage {
    /// Ways from the middles of the floor's pieces, with their areas, m².
    pub ways: Vec<(RunOff, f64)>,
    /// Area of pieces that no triangle holds, m².
    pub missed: f64,
}

/// Follows the water of each piece of the floor.
///
/// `triangle_at` finds the triangle that holds a spot.
#[must_use]
pub fn drainage(
    net: &Net<'_>,
    ponding: &Ponding,
    is_outlet: &dyn Fn(usize) -> bool,
    pieces: &Quadrature,
    triangle_at: &dyn Fn(P2) -> Option<usize>,
) -> Drainage {
    let mut drainage = Drainage::default();
    for (&at, &area) in pieces.points.iter().zip(&pieces.weights) {
        match triangle_at(at) {
            Some(t) => drainage.ways.push((run_off(net, ponding, is_outlet, (t, at)), area)),
            None => drainage.missed += area,
        }
    }
    drainage
}

impl Drainage {
    /// Area whose water ends where `ends` says, m².
    #[must_use]
    pub fn area(&self, ends: impl Fn(&Goes) -> bool) -> f64 {
        self.ways.iter().filter(|(way, _)| ends(&way.goes)).map(|(_, area)| area).sum()
    }
}
