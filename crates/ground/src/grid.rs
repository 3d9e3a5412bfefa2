//! A grid of buckets over the plan: which facets may lie where.

use crate::P2;
use crate::polygon::bounds;

/// Buckets of indices by upright boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    low: P2,
    cell: P2,
    columns: usize,
    rows: usize,
    buckets: Vec<Vec<u32>>,
    boxes: Vec<(P2, P2)>,
}

impl Grid {
    /// An index over rings, about two rings a bucket.
    #[must_use]
    pub fn over<'a>(rings: impl ExactSizeIterator<Item = &'a [P2]> + Clone) -> Self {
        let count = rings.len().max(1);
        let mut low = P2::new(f64::INFINITY, f64::INFINITY);
        let mut high = P2::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for ring in rings.clone() {
            let (a, b) = bounds(ring);
            low = P2::new(low.x.min(a.x), low.y.min(a.y));
            high = P2::new(high.x.max(b.x), high.y.max(b.y));
        }
        let side = ((count as f64 / 2.0).sqrt().ceil() as usize).clamp(1, 1000);
        let span = |a: f64, b: f64| if (b - a).is_finite() && b > a { (b - a) / side as f64 } else { 1.0 };
        let mut grid = Self {
            low,
            cell: P2::new(span(low.x, high.x), span(low.y, high.y)),
            columns: side,
            rows: side,
            buckets: vec![Vec::new(); side * side],
            boxes: rings.map(bounds).collect(),
        };
        for i in 0..grid.boxes.len() {
            let (a, b) = grid.boxes[i];
            let ((c0, r0), (c1, r1)) = (grid.bucket(a), grid.bucket(b));
            for row in r0..=r1 {
                for column in c0..=c1 {
                    grid.buckets[row * side + column].push(i as u32);
                }
            }
        }
        grid
    }

    fn bucket(&self, p: P2) -> (usize, usize) {
        // A cast from f64 saturates, so points outside fall into the outermost buckets.
        let column = ((p.x - self.low.x) / self.cell.x) as usize;
        let row = ((p.y - self.low.y) / self.cell.y) as usize;
        (column.min(self.columns - 1), row.min(self.rows - 1))
    }

    /// Indices of the rings whose boxes touch the box of `ring`, ascending, each once.
    #[must_use]
    pub fn near(&self, ring: &[P2]) -> Vec<u32> {
        let (a, b) = bounds(ring);
        let ((c0, r0), (c1, r1)) = (self.bucket(a), self.bucket(b));
        let mut found = Vec::new();
        for row in r0..=r1 {
            for column in c0..=c1 {
                let touching = |&&i: &&u32| {
                    let (low, high) = self.boxes[i as usize];
                    low.x <= b.x && a.x <= high.x && low.y <= b.y && a.y <= high.y
                };
                found.extend(self.buckets[row * self.columns + column].iter().filter(touching));
            }
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}
