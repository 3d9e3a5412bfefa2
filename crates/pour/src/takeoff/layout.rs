//! Sheets and bars in their places on the plan, with the cutting that they take.

use basis::{Length, Mass};
use ground::P2;

use super::bars::{Bar as Run, BarLaying, bars};
use super::cut::CutTrouble;
use super::nest::{NestInput, NestPlan, nest};
use super::rows::{Cell, Laying, lay};
use super::settle::BarsOrdered;
use super::steel::Bar;
use crate::joints::Frame;

/// Sheets of mesh, or poly off a roll, as they lie.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetLayout {
    /// What it is, with its size.
    pub what: String,
    /// Width and length of a sheet or roll.
    pub sheet: [Length; 2],
    /// Lap of neighbours.
    pub lap: Length,
    /// The pieces, row by row.
    pub pieces: Vec<LaidPiece>,
    /// Sizes of pieces, the largest first.
    pub kinds: Vec<PieceKind>,
    /// How the pieces are cut; sizes there are in `step`.
    pub cuts: NestPlan,
    /// The step of the tape to which pieces are rounded up.
    pub step: Length,
    /// Mass of a sheet; absent where nobody asks.
    pub mass: Option<Mass>,
}

/// A piece in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidPiece {
    /// Its corners, m.
    pub ring: [P2; 4],
    /// Index of its kind.
    pub kind: usize,
}

/// Pieces of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceKind {
    /// Letter on the drawing and in the cut list.
    pub mark: String,
    /// Across and along the sheet.
    pub size: [Length; 2],
    /// How many.
    pub count: usize,
}

/// Bars as they lie.
#[derive(Debug, Clone, PartialEq)]
pub struct BarLayout {
    /// What they are, with their spacing.
    pub what: String,
    /// Their size.
    pub bar: Bar,
    /// Lap of bars in one line.
    pub lap: Length,
    /// The bars, line by line, first those along the floor's longest side.
    pub bars: Vec<LaidBar>,
    /// Lengths of bars, the longest first.
    pub kinds: Vec<BarKind>,
}

/// A bar in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidBar {
    /// One end, m.
    pub a: P2,
    /// The other end, m.
    pub b: P2,
    /// Index of its kind.
    pub kind: usize,
    /// 0 along the floor's longest side, 1 across it.
    pub way: usize,
    /// Its line, from 0.
    pub line: usize,
}

/// Bars of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct BarKind {
    /// Letter on the drawing and in the cut list.
    pub mark: String,
    /// Length.
    pub length: Length,
    /// How many.
    pub count: usize,
}

/// A letter for each kind: A to Z, then AA and on.
pub(super) fn mark(mut index: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + (index % 26) as u8));
        if index < 26 {
            break;
        }
        index = index / 26 - 1;
    }
    letters.into_iter().rev().collect()
}

/// What sheets are laid from.
#[derive(Debug, Clone, Copy)]
pub(super) struct SheetsAsked<'a> {
    pub what: &'a str,
    pub sheet: [Length; 2],
    pub lap: Length,
    /// Off the edge; less than zero beyond it.
    pub inset: Length,
    pub step: Length,
}

/// Layouts fitted to a corner that are cut to see which takes fewest sheets; the others lay more area.
const CUT_OUT: usize = 8;

/// Lays sheets over triangles: rows both ways, from either side, begun so that a row ends at a corner; keeps what takes fewest.
pub(super) fn sheets(
    frame: &Frame,
    triangles: &[[P2; 3]],
    asked: &SheetsAsked<'_>,
) -> Result<SheetLayout, CutTrouble> {
    let how = Laying {
        width: asked.sheet[0].in_metres(),
        length: asked.sheet[1].in_metres(),
        lap: asked.lap.in_metres(),
        inset: asked.inset.in_metres(),
        shift: 0.0,
    };
    let mut plain: Vec<(View, Vec<Cell>)> = Vec::new();
    let mut tried: Vec<(f64, View, Vec<Cell>)> = Vec::new();
    for view in [View::default(), View { is_across: true, ..View::default() }] {
        for view in [view, View { is_from_above: true, ..view }] {
            let local: Vec<[P2; 3]> =
                triangles.iter().map(|t| t.map(|p| view.seen(frame.local(p)))).collect();
            plain.push((view, lay(&local, &how)));
            for shift in shifts(&local, &how) {
                let cells = lay(&local, &Laying { shift, ..how });
                let area = cells.iter().map(|cell| cell.size().iter().product::<f64>()).sum();
                tried.push((area, view, cells));
            }
        }
    }
    // Rounded, so that equal layouts keep their order on every machine.
    tried.sort_by(|a, b| (a.0 * 1e6).round().total_cmp(&(b.0 * 1e6).round()));
    let fitted = tried.into_iter().take(CUT_OUT).map(|(_, view, cells)| (view, cells));
    let mut best: Option<SheetLayout> = None;
    for (view, cells) in plain.into_iter().chain(fitted) {
        let layout = laid(cells, asked, |p| frame.plan(view.seen(p)))?;
        let rank = |layout: &SheetLayout| (layout.cuts.sheets.len(), layout.pieces.len());
        if best.as_ref().is_none_or(|best| rank(&layout) < rank(best)) {
            best = Some(layout);
        }
    }
    // There is a view, so there is a layout.
    best.map_or_else(|| laid(Vec::new(), asked, |p| p), Ok)
}

/// From where rows are laid. Seeing twice is seeing the plan again.
#[derive(Debug, Clone, Copy, Default)]
struct View {
    is_across: bool,
    is_from_above: bool,
}

impl View {
    fn seen(self, p: P2) -> P2 {
        match (self.is_across, self.is_from_above) {
            (false, false) => p,
            (true, false) => P2::new(p.y, p.x),
            (false, true) => P2::new(p.x, -p.y),
            (true, true) => P2::new(-p.y, -p.x),
        }
    }
}

/// Corners to which rows are fitted at most.
const MOST_CORNERS: usize = 12;

/// How far rows may begin before the floor, so that one of them ends at a corner.
fn shifts(triangles: &[[P2; 3]], how: &Laying) -> Vec<f64> {
    let mut corners: Vec<f64> = triangles.iter().flatten().map(|p| p.y).collect();
    corners.sort_by(f64::total_cmp);
    corners.dedup_by(|a, b| (*a - *b).abs() < 1e-3);
    let Some(&low) = corners.first() else { return Vec::new() };
    let step = how.width - how.lap;
    // Evenly over the corners where there are too many, as on an arc.
    let skip = corners.len().div_ceil(MOST_CORNERS).max(1);
    let ends = corners.iter().skip(1).step_by(skip).flat_map(|y| [y - how.inset.abs(), y + how.inset.abs()]);
    ends.map(|end| (low + how.inset + how.width - end).rem_euclid(step)).collect()
}

/// Steps that a length takes, rounded up.
pub(super) fn steps_up(length: f64, step: Length) -> u32 {
    (length / step.in_metres() - 1e-4).ceil().clamp(0.0, 1e9) as u32
}

/// Steps that fit into a length.
pub(super) fn steps_down(length: Length, step: Length) -> u32 {
    (length / step + 1e-4).floor().clamp(0.0, 1e9) as u32
}

fn laid(
    cells: Vec<Cell>,
    asked: &SheetsAsked<'_>,
    plan: impl Fn(P2) -> P2,
) -> Result<SheetLayout, CutTrouble> {
    let sheet = asked.sheet.map(|side| steps_down(side, asked.step));
    let size = |cell: &Cell| {
        let [across, along] = cell.size();
        // Rounding up may pass the sheet, which the piece does not.
        [steps_up(across, asked.step).min(sheet[0]), steps_up(along, asked.step).min(sheet[1])]
    };
    let sizes: Vec<[u32; 2]> = cells.iter().map(size).collect();
    let mut distinct = sizes.clone();
    distinct.sort_by_key(|s| std::cmp::Reverse((u64::from(s[0]) * u64::from(s[1]), s[0])));
    distinct.dedup();
    let kind = |index: usize| {
        let of = distinct[index];
        PieceKind {
            mark: mark(index),
            size: of.map(|side| asked.step * f64::from(side)),
            count: sizes.iter().filter(|size| **size == of).count(),
        }
    };
    let piece = |(cell, size): (&Cell, &[u32; 2])| {
        let corners =
            [cell.low, P2::new(cell.high.x, cell.low.y), cell.high, P2::new(cell.low.x, cell.high.y)];
        let kind = distinct.iter().position(|known| known == size).unwrap_or(0);
        LaidPiece { ring: corners.map(&plan), kind }
    };
    let cuts = nest(&NestInput { pieces: &sizes, sheet })?;
    Ok(SheetLayout {
        what: asked.what.to_owned(),
        sheet: asked.sheet,
        lap: asked.lap,
        pieces: cells.iter().zip(&sizes).map(piece).collect(),
        kinds: (0..distinct.len()).map(kind).collect(),
        cuts,
        step: asked.step,
        mass: None,
    })
}

/// Lays bars each way.
pub(super) fn bars_each_way(
    frame: &Frame,
    rings: &[Vec<P2>],
    ordered: &BarsOrdered,
    (stock, step): (Length, Length),
) -> BarLayout {
    let how = BarLaying {
        spacing: ordered.spacing.in_metres(),
        cover: ordered.cover.in_metres(),
        lap: ordered.lap.in_metres(),
        stock: stock.in_metres(),
        step: step.in_metres(),
        least: super::LEAST_BAR.in_metres(),
    };
    let turned: Vec<Vec<P2>> =
        rings.iter().map(|ring| ring.iter().map(|p| P2::new(p.y, p.x)).collect()).collect();
    let ways = [bars(rings, &how), bars(&turned, &how)];
    // A whole bar of a stock that is no whole number of steps is told a part of a step short: the lap takes that up.
    let whole_bar = steps_down(stock, step).max(1);
    let long = |bar: &Run| steps_up(bar.to - bar.from, step).min(whole_bar);
    let mut lengths: Vec<u32> = ways.iter().flatten().map(long).collect();
    let all = lengths.clone();
    lengths.sort_unstable_by(|a, b| b.cmp(a));
    lengths.dedup();
    let place = |way: usize, bar: &Run| {
        let ends = [P2::new(bar.from, bar.y), P2::new(bar.to, bar.y)];
        let [a, b] = ends.map(|p| frame.plan(if way == 0 { p } else { P2::new(p.y, p.x) }));
        let kind = lengths.iter().position(|known| *known == long(bar)).unwrap_or(0);
        LaidBar { a, b, kind, way, line: bar.line }
    };
    let laid = ways.iter().enumerate().flat_map(|(way, bars)| bars.iter().map(move |bar| place(way, bar)));
    let kind = |(index, length): (usize, &u32)| BarKind {
        mark: mark(index),
        length: step * f64::from(*length),
        count: all.iter().filter(|one| *one == length).count(),
    };
    BarLayout {
        what: String::new(),
        bar: ordered.bar,
        lap: ordered.lap,
        bars: laid.collect(),
        kinds: lengths.iter().enumerate().map(kind).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::mark;

    #[test]
    fn marks_go_on_after_z() {
        let marks: Vec<String> = [0, 25, 26, 27, 51, 52, 701, 702].into_iter().map(mark).collect();
        assert_eq!(marks, ["A", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA"]);
    }
}
