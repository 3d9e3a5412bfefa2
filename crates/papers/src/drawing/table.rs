//! A table beside the floor.

use ground::P2;

use super::canvas::Canvas;
use super::legend::Flow;
use super::svg::{Anchor, TextAt};
use super::text;

/// Size of a table's type, mm.
const SIZE: f64 = 2.9;
/// Gap between columns, mm.
const GAP: f64 = 2.0;
/// No column is made narrower than this, mm.
const NARROWEST: f64 = 8.0;
/// Height of a line in sizes of type.
const LEADING: f64 = 1.2;

/// Rows under a head; empty for none.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    /// What the columns are.
    pub head: Vec<String>,
    /// The rows, each with a cell for every column.
    pub rows: Vec<Vec<String>>,
}

/// Draws a table as far as there is room and says how many rows are not on the sheet.
pub(super) fn draw(canvas: &mut Canvas, flow: &mut Flow, table: &Table) {
    if table.rows.is_empty() {
        return;
    }
    let widths = widths(table, flow.width());
    row(canvas, flow, &table.head, &widths, "b");
    for (i, cells) in table.rows.iter().enumerate() {
        let is_last = i + 1 == table.rows.len();
        let room = height(cells, &widths) + if is_last { 0.0 } else { SIZE * LEADING + 1.0 };
        if !flow.has_room(room) {
            let told = format!("and {} more rows, see the printed plan", table.rows.len() - i);
            row(canvas, flow, &[told], &[flow.width()], "b");
            return;
        }
        row(canvas, flow, cells, &widths, "");
    }
}

/// Columns as wide as their cells; the widest give way where all do not fit.
fn widths(table: &Table, most: f64) -> Vec<f64> {
    let cells = std::iter::once(&table.head).chain(&table.rows);
    let mut widths = vec![0.0_f64; table.head.len()];
    for cells in cells {
        for (wide, cell) in widths.iter_mut().zip(cells) {
            *wide = wide.max(text::width(&text::clean(cell), SIZE));
        }
    }
    let most = (most - GAP * (widths.len().max(1) - 1) as f64).max(NARROWEST);
    for _ in 0..2 * widths.len() {
        let over = widths.iter().sum::<f64>() - most;
        let Some(widest) = widths.iter_mut().max_by(|a, b| a.total_cmp(b)) else { break };
        if over > 0.0 {
            *widest = (*widest - over).max(*widest * 0.7).max(NARROWEST);
        }
    }
    widths
}

fn wrapped(cells: &[String], widths: &[f64]) -> Vec<Vec<String>> {
    cells.iter().zip(widths).map(|(cell, wide)| text::wrap(&text::clean(cell), SIZE, wide + 0.1)).collect()
}

fn height(cells: &[String], widths: &[f64]) -> f64 {
    let lines = wrapped(cells, widths).iter().map(Vec::len).max().unwrap_or(0).max(1);
    lines as f64 * SIZE * LEADING + 0.6
}

fn row(canvas: &mut Canvas, flow: &mut Flow, cells: &[String], widths: &[f64], class: &str) {
    let tall = height(cells, widths);
    let Some(at) = flow.room(tall) else { return };
    let mut x = 0.0;
    for (lines, wide) in wrapped(cells, widths).iter().zip(widths) {
        for (i, line) in lines.iter().enumerate() {
            let at = at + P2::new(x, SIZE * (1.0 + LEADING * i as f64));
            canvas.labels.text(TextAt { at, size: SIZE, class, anchor: Anchor::Start, turn: 0.0 }, line);
        }
        x += wide + GAP;
    }
    let foot = at + P2::new(0.0, tall - 0.2);
    canvas.labels.line("rule", foot, foot + P2::new(flow.width(), 0.0));
}
