//! Which triangles meet at a vertex.

use crate::P2;
use crate::point::turn;
use crate::tin::Tin;

/// A surface of triangles with those around each vertex at hand.
#[derive(Debug, Clone)]
pub struct Net<'a> {
    /// The surface.
    pub tin: &'a Tin,
    /// Where each vertex' triangles begin in `around`, and one past the last.
    first: Vec<u32>,
    around: Vec<u32>,
}

impl<'a> Net<'a> {
    /// Sorts the triangles of a surface by their vertices.
    #[must_use]
    pub fn of(tin: &'a Tin) -> Self {
        let mut first = vec![0_u32; tin.points.len() + 1];
        for &v in tin.triangles.iter().flatten() {
            first[v + 1] += 1;
        }
        for v in 0..tin.points.len() {
            first[v + 1] += first[v];
        }
        let mut next = first.clone();
        let mut around = vec![0_u32; 3 * tin.triangles.len()];
        for (t, triangle) in tin.triangles.iter().enumerate() {
            for &v in triangle {
                around[next[v] as usize] = t as u32;
                next[v] += 1;
            }
        }
        Self { tin, first, around }
    }

    /// Indices of the triangles around a vertex.
    pub fn triangles(&self, vertex: usize) -> impl Iterator<Item = usize> + '_ {
        let range = self.first[vertex] as usize..self.first[vertex + 1] as usize;
        self.around[range].iter().map(|&t| t as usize)
    }

    /// Vertices joined to a vertex by an edge; most of them twice.
    pub fn neighbours(&self, vertex: usize) -> impl Iterator<Item = usize> + '_ {
        self.triangles(vertex)
            .flat_map(move |t| self.tin.triangles[t].into_iter().filter(move |&v| v != vertex))
    }

    /// The triangle beside `triangle` over the edge from `a` to `b`; none at the surface's own edge.
    #[must_use]
    pub fn across(&self, triangle: usize, a: usize, b: usize) -> Option<usize> {
        self.triangles(a).find(|&t| t != triangle && self.tin.triangles[t].contains(&b))
    }

    /// Vertices along the surface's own edge, rising.
    #[must_use]
    pub fn rim(&self) -> Vec<usize> {
        let mut on_rim = vec![false; self.tin.points.len()];
        for (t, triangle) in self.tin.triangles.iter().enumerate() {
            for i in 0..3 {
                let (a, b) = (triangle[i], triangle[(i + 1) % 3]);
                if self.across(t, a, b).is_none() {
                    (on_rim[a], on_rim[b]) = (true, true);
                }
            }
        }
        (0..on_rim.len()).filter(|&v| on_rim[v]).collect()
    }

    /// Corners of a triangle in the plan, m.
    #[must_use]
    pub fn corners(&self, triangle: usize) -> [P2; 3] {
        self.tin.triangles[triangle].map(|v| self.tin.points[v].plan())
    }

    /// Area of a triangle given by its vertices, m².
    pub(super) fn area_of(&self, triangle: &[usize; 3]) -> f64 {
        let [a, b, c] = triangle.map(|v| self.tin.points[v].plan());
        0.5 * turn(a, b, c).abs()
    }
}
