//! Sheets of mesh or poly, or bars, as they lie on the floor.

use ground::P2;
use ground::polygon::bounds;

use super::super::Table;
use super::super::canvas::Canvas;
use super::Key;

/// What is laid, and how it is told.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LaidLayer {
    /// Title of the sheet.
    pub title: String,
    /// Sheets, in the order of laying.
    pub sheets: Vec<LaidSheet>,
    /// Bars.
    pub lines: Vec<LaidLine>,
    /// What groups of bars are called.
    pub labels: Vec<LaidLabel>,
    /// The pieces in words.
    pub table: Table,
    /// What else to know.
    pub notes: Vec<String>,
    /// What is drawn, for the legend and the caution.
    pub of: LaidOf,
}

/// What rings and lines stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum LaidOf {
    /// Pieces of mesh or poly, or bars.
    #[default]
    Pieces,
    /// Birdbaths, and how a straightedge shows each.
    Birdbaths,
    /// Lines read over the finished floor.
    Lines,
}

/// A sheet or a piece of one.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidSheet {
    /// Its corners, m.
    pub ring: Vec<P2>,
    /// Its letter.
    pub mark: String,
    /// Whether it lies as it is sold, uncut.
    pub is_whole: bool,
}

/// A bar.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidLine {
    /// From, m.
    pub a: P2,
    /// To, m.
    pub b: P2,
    /// Whether it is one of those drawn dashed.
    pub is_dashed: bool,
    /// Whether it is drawn a little aside, so that its lap can be seen.
    pub is_aside: bool,
}

/// What a group of bars is called.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidLabel {
    /// Where it may stand, best first, m.
    pub at: Vec<P2>,
    /// What to write.
    pub label: String,
}

/// How far a lapped bar is drawn aside, mm.
const ASIDE: f64 = 0.8;
/// No letter stands in a piece slimmer than this, mm.
const SLIM: f64 = 4.0;

pub(super) fn under(canvas: &mut Canvas, layer: &LaidLayer) {
    for sheet in &layer.sheets {
        let ring = canvas.run(&sheet.ring);
        if sheet.is_whole && ring.len() == 4 {
            canvas.under.line("faint", ring[0], ring[2]);
        }
        canvas.under.rings("contour", &[ring]);
    }
    for line in &layer.lines {
        if let [a, b] = canvas.run(&[line.a, line.b])[..] {
            let aside = if line.is_aside { (b - a).unit().left() * ASIDE } else { P2::default() };
            canvas.under.line(if line.is_dashed { "struck" } else { "contour" }, a + aside, b + aside);
        }
    }
}

pub(super) fn over(canvas: &mut Canvas, layer: &LaidLayer) {
    for sheet in &layer.sheets {
        let ring = canvas.run(&sheet.ring);
        let (low, high) = bounds(&ring);
        // A strip too slim for its letter is found in the table by its size.
        if ring.is_empty() || (high - low).x < SLIM || (high - low).y < SLIM {
            continue;
        }
        // A column or a drain may stand in the middle.
        let parts = [(0.5, 0.5), (0.5, 0.3), (0.5, 0.7), (0.3, 0.5), (0.7, 0.5), (0.25, 0.25), (0.75, 0.75)];
        let spot = |(x, y): (f64, f64)| {
            (P2::new(low.x + x * (high.x - low.x), low.y + y * (high.y - low.y)), P2::default())
        };
        canvas.label_on(parts.into_iter().map(spot), &sheet.mark);
    }
    for label in &layer.labels {
        let spots: Vec<(P2, P2)> = canvas.run(&label.at).into_iter().map(|at| (at, P2::default())).collect();
        canvas.label_on(spots.into_iter(), &label.label);
    }
}

pub(super) fn keys(layer: &LaidLayer) -> Vec<(Key, String)> {
    let told = |class, what: &str| (Key::Line(class), what.to_owned());
    match layer.of {
        LaidOf::Pieces => {}
        LaidOf::Birdbaths if layer.sheets.is_empty() => return Vec::new(),
        LaidOf::Birdbaths => {
            return vec![
                told("contour", "edge of standing water"),
                told("struck", "straightedge that shows it"),
            ];
        }
        LaidOf::Lines => return vec![told("contour", "line: the readings that count")],
    }
    let mut keys = Vec::new();
    if !layer.sheets.is_empty() {
        keys.push((Key::Line("contour"), "edge of a piece; letter = size in the table".to_owned()));
    }
    if layer.sheets.iter().any(|sheet| sheet.is_whole) {
        keys.push((Key::Line("faint"), "corner to corner: a whole sheet".to_owned()));
    }
    for (is_dashed, class, what) in [(false, "contour", "bars along"), (true, "struck", "bars across")] {
        if layer.lines.iter().any(|line| line.is_dashed == is_dashed) {
            keys.push((Key::Line(class), what.to_owned()));
        }
    }
    keys
}
