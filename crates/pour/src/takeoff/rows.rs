//! Rows of sheets or of roll over the floor, lapped, each piece no larger than the floor asks for.

use ground::P2;
use ground::polygon::{bounds, clip_half};

/// Lengths under this are rounding, m.
const TINY: f64 = 1e-6;

/// How sheets are laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Laying {
    /// Width of the sheet, across the row, m.
    pub width: f64,
    /// Length of the sheet, along the row, m.
    pub length: f64,
    /// Lap of neighbours, m.
    pub lap: f64,
    /// How far pieces stay off the floor's edge; less than zero is how far they reach beyond it, m.
    pub inset: f64,
    /// How far before the floor the first row begins; it is cut off there, m.
    pub shift: f64,
}

/// A piece in the frame of the rows: `x` runs along them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cell {
    /// Lower left corner, m.
    pub low: P2,
    /// Upper right corner, m.
    pub high: P2,
}

impl Cell {
    /// Across the row, then along it, m.
    pub(super) fn size(&self) -> [f64; 2] {
        [self.high.y - self.low.y, self.high.x - self.low.x]
    }
}

/// Lays rows over triangles that tile a floor.
///
/// Rows start at the low side; every row but the last is as wide as the sheet. In a row pieces run from one end of the floor to the
/// other, every other row from the far end, so that no four corners lie on each other. Then each piece is drawn in to the floor that
/// it covers. Together the pieces cover all of the floor that lies farther than the inset from its edge.
pub(super) fn lay(triangles: &[[P2; 3]], how: &Laying) -> Vec<Cell> {
    let all: Vec<P2> = triangles.iter().flatten().copied().collect();
    if all.is_empty() {
        return Vec::new();
    }
    let (low, high) = bounds(&all);
    let mut cells = Vec::new();
    let (first, last) = (low.y + how.inset, high.y - how.inset);
    let mut rows = laps(first - how.shift, last, how.width, how.lap);
    // A row that ends within its lap of the low side covers nothing that the next does not.
    rows.retain(|row| row[1] > first + how.lap + TINY || row[1] >= last);
    for (row, [from, to]) in rows.iter().map(|row| [row[0].max(first), row[1]]).enumerate() {
        let out = (-how.inset).max(0.0);
        for [a, b] in runs(triangles, [from - out, to + out], how) {
            let mut pieces = laps(a, b, how.length, how.lap);
            if row % 2 == 1 {
                pieces.iter_mut().for_each(|piece| *piece = [a + b - piece[1], a + b - piece[0]]);
            }
            let cell = |[a, b]: [f64; 2]| {
                drawn_in(triangles, Cell { low: P2::new(a, from), high: P2::new(b, to) }, how.inset)
            };
            cells.extend(pieces.into_iter().filter_map(cell));
        }
    }
    cells
}

/// A stretch covered by as few pieces as can be, all but the last of full length.
pub(super) fn laps(from: f64, to: f64, length: f64, lap: f64) -> Vec<[f64; 2]> {
    let whole = to - from;
    if whole <= TINY {
        return Vec::new();
    }
    let step = length - lap;
    let count = if whole <= length + TINY { 1.0 } else { ((whole - lap) / step - TINY).ceil() };
    (0..count as usize)
        .map(|i| {
            let start = from + step * i as f64;
            [start, (start + length).min(to)]
        })
        .collect()
}

/// Where the floor lies in a band, as runs along it, less the inset at both ends; runs nearer than a lap are one.
fn runs(triangles: &[[P2; 3]], band: [f64; 2], how: &Laying) -> Vec<[f64; 2]> {
    let mut all: Vec<[f64; 2]> = Vec::new();
    let floor = Cell { low: P2::new(f64::MIN / 4.0, band[0]), high: P2::new(f64::MAX / 4.0, band[1]) };
    for triangle in triangles {
        if let Some((low, high)) = within(triangle, floor) {
            all.push([low.x, high.x]);
        }
    }
    all.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut merged: Vec<[f64; 2]> = Vec::new();
    // Pieces that reach beyond the floor meet across a gap of twice that.
    let gap = TINY + (2.0 * -how.inset).max(0.0);
    for run in all {
        match merged.last_mut() {
            Some(last) if run[0] <= last[1] + gap => last[1] = last[1].max(run[1]),
            _ => merged.push(run),
        }
    }
    let inset = |[a, b]: [f64; 2]| [a + how.inset, b - how.inset];
    merged.into_iter().map(inset).filter(|[a, b]| b - a > TINY).collect()
}

/// The box round the part of a triangle inside a cell.
fn within(triangle: &[P2; 3], cell: Cell) -> Option<(P2, P2)> {
    let (low, high) = bounds(triangle);
    if low.x > cell.high.x || high.x < cell.low.x || low.y > cell.high.y || high.y < cell.low.y {
        return None;
    }
    let mut ring = triangle.to_vec();
    let mut kept = Vec::new();
    let sides: [&dyn Fn(P2) -> f64; 4] =
        [&|p| p.y - cell.low.y, &|p| cell.high.y - p.y, &|p| p.x - cell.low.x, &|p| cell.high.x - p.x];
    for side in sides {
        clip_half(&ring, side, &mut kept);
        std::mem::swap(&mut ring, &mut kept);
    }
    let (low, high) = bounds(&ring);
    // What only touches the cell along a line is not in it.
    (!ring.is_empty() && high.x - low.x > TINY && high.y - low.y > TINY).then_some((low, high))
}

/// A cell drawn in to the floor that it covers; nothing where it covers none.
fn drawn_in(triangles: &[[P2; 3]], cell: Cell, inset: f64) -> Option<Cell> {
    let covered = |out: P2| {
        let larger = Cell { low: cell.low - out, high: cell.high + out };
        let parts = triangles.iter().filter_map(|triangle| within(triangle, larger));
        parts.reduce(|a, b| {
            (P2::new(a.0.x.min(b.0.x), a.0.y.min(b.0.y)), P2::new(a.1.x.max(b.1.x), a.1.y.max(b.1.y)))
        })
    };
    let off = inset.abs();
    let beside = if inset > 0.0 { 0.0 } else { off };
    let along = covered(P2::new(off, beside))?;
    let across = covered(P2::new(beside, off))?;
    let low = P2::new(cell.low.x.max(along.0.x + inset), cell.low.y.max(across.0.y + inset));
    let high = P2::new(cell.high.x.min(along.1.x - inset), cell.high.y.min(across.1.y - inset));
    (high.x - low.x > TINY && high.y - low.y > TINY).then_some(Cell { low, high })
}

#[cfg(test)]
mod tests {
    use ground::Polygon;
    use ground::zones::triangles_of;
    use proptest::prelude::*;

    use super::*;

    const FT: f64 = 0.3048;

    fn lay_on(corners: &[(f64, f64)], how: Laying) -> Vec<Cell> {
        let ring = Polygon::new(corners.iter().map(|(x, y)| P2::new(x * FT, y * FT)).collect());
        lay(&triangles_of(&ring), &how)
    }

    fn feet(width: f64, length: f64, lap: f64, inset: f64) -> Laying {
        Laying { width: width * FT, length: length * FT, lap: lap * FT, inset: inset * FT, shift: 0.0 }
    }

    /// Closed form: a stretch of `w` takes `(w - lap) / (length - lap)` pieces, rounded up. 24 ft by 20 ft less 0.2 ft all round with
    /// sheets of 5 by 10 ft lapped 8 in.: (19.6 - 2/3) / (13/3) = 4.4 and (23.6 - 2/3) / (28/3) = 2.5, so 5 rows of 3.
    #[test]
    fn sheets_on_a_rectangle_by_the_closed_form() {
        let cells =
            lay_on(&[(0.0, 0.0), (24.0, 0.0), (24.0, 20.0), (0.0, 20.0)], feet(5.0, 10.0, 8.0 / 12.0, 0.2));
        assert_eq!(cells.len(), 15);
        let whole = cells
            .iter()
            .filter(|c| (c.size()[0] - 5.0 * FT).abs() < 1e-9 && (c.size()[1] - 10.0 * FT).abs() < 1e-9);
        // Two whole ones in each of the four full rows.
        assert_eq!(whole.count(), 8);
    }

    #[test]
    fn one_sheet_larger_than_the_floor_is_cut_to_it() {
        let cells = lay_on(&[(0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0)], feet(5.0, 10.0, 0.5, 0.25));
        assert_eq!(cells.len(), 1);
        let [across, along] = cells[0].size();
        assert!((across - 2.5 * FT).abs() < 1e-9 && (along - 3.5 * FT).abs() < 1e-9);
    }

    /// In the notch of an L nothing is laid: the second row is as long as the floor there.
    #[test]
    fn a_notch_is_left_out() {
        let l = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (10.0, 10.0), (10.0, 20.0), (0.0, 20.0)];
        let cells = lay_on(&l, feet(10.5, 100.0, 1.0, 0.0));
        assert_eq!(cells.len(), 2);
        assert!(
            (cells[1].high.x - 20.0 * FT).abs() < 1e-9,
            "the rows overlap, and so the second holds some of the long side"
        );
        let past = lay_on(&l, feet(10.0, 100.0, 0.0, 0.0));
        assert!((past[1].high.x - 10.0 * FT).abs() < 1e-9);
    }

    /// Turned up 0.5 ft all round, a 10 by 10 ft floor takes 11 by 11 ft.
    #[test]
    fn what_is_turned_up_reaches_beyond_the_edge() {
        let cells =
            lay_on(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)], feet(20.0, 100.0, 0.5, -0.5));
        assert_eq!(cells.len(), 1);
        assert!(cells[0].size().iter().all(|side| (side - 11.0 * FT).abs() < 1e-9));
    }

    #[test]
    fn a_floor_thinner_than_its_cover_takes_nothing() {
        assert!(
            lay_on(&[(0.0, 0.0), (10.0, 0.0), (10.0, 0.4), (0.0, 0.4)], feet(5.0, 10.0, 0.5, 0.25))
                .is_empty()
        );
        assert!(lay(&[], &feet(5.0, 10.0, 0.5, 0.25)).is_empty());
    }

    proptest! {
        /// Every point far enough from the edge lies in a piece, and no piece is larger than the sheet (random quadrangles).
        #[test]
        fn the_floor_is_covered(
            a in 0.0..3.0_f64, b in 0.0..3.0_f64, c in 0.0..3.0_f64, d in 0.0..3.0_f64,
            inset in -0.3..0.3_f64, shift in 0.0..1.3_f64, u in 0.01..0.99_f64, v in 0.01..0.99_f64,
        ) {
            let ring = Polygon::new(vec![P2::new(a, 0.0), P2::new(10.0, b), P2::new(10.0 - c, 8.0), P2::new(0.0, 8.0 - d)]);
            let how = Laying { width: 1.5, length: 3.0, lap: 0.2, inset, shift };
            let cells = lay(&triangles_of(&ring), &how);
            let p = P2::new(10.0 * u, 8.0 * v);
            if ring.contains(p) && ring.distance_to_edge(p) > inset.max(0.0) + 1e-6 {
                let is_in = |c: &Cell| c.low.x <= p.x && p.x <= c.high.x && c.low.y <= p.y && p.y <= c.high.y;
                prop_assert!(cells.iter().any(is_in));
            }
            for cell in &cells {
                prop_assert!(cell.size()[0] <= 1.5 + 1e-9 && cell.size()[1] <= 3.0 + 1e-9);
            }
        }
    }
}
