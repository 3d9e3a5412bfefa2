//! Trucks and bays: bars in rows, each with its words beside it.

use ground::P2;

use super::super::page::Box2;
use super::super::svg::Ink;
use super::super::text;
use super::rows::{LETTERS, Placed, WORDS, in_box, rows};
use super::{Axis, BarKind, BayLane, DayLine, GUTTER, MARGIN, Work, write, write_about};

/// Heights of a row that are tried, mm.
pub(super) const ROWS: [f64; 4] = [5.2, 4.8, 4.5, 4.25];
/// Height of a bar, mm.
const TALL: f64 = 3.9;
/// Size of the words below it, mm.
const ASIDE: f64 = 2.75;
/// Height of a line of them, mm.
const BESIDE: f64 = 3.5;
/// Gap between two lanes, mm.
const GAP: f64 = 1.6;
/// Height of the box of planned work, mm: the window shows above and below.
const BOX: f64 = 3.1;

/// The lanes of one sheet.
#[derive(Debug, Default)]
pub(super) struct Lanes {
    pub under: Ink,
    pub over: Ink,
    pub names: Ink,
    pub bottom: f64,
}

/// A lane before it is put on a sheet.
struct Lane {
    name: String,
    size: f64,
    rows: Vec<Vec<Placed>>,
    beside: Vec<String>,
}

/// The lanes in order, on as many sheets as they take; at least one sheet.
pub(super) fn paged(day: &DayLine, axis: Axis, area: Box2, row: f64) -> Vec<Lanes> {
    let mut sheets = vec![Lanes { bottom: area.low.y, ..Lanes::default() }];
    for floor in &day.floors {
        if !floor.name.is_empty() || !floor.trucks.is_empty() {
            let named = !floor.name.is_empty();
            let lane = Lane {
                name: if named { floor.name.clone() } else { "trucks".into() },
                size: 3.6,
                rows: rows(&floor.trucks, axis),
                beside: if named { vec!["trucks".into()] } else { Vec::new() },
            };
            // The trucks do not stay behind alone.
            let next = floor.bays.first().map_or(0.0, |bay| 4.0 * row + bay.bars.len() as f64 * 0.3);
            put(&mut sheets, &lane, axis, area, [row, next], "");
        }
        for bay in &floor.bays {
            let rows = rows(&bay.bars, axis);
            let lane = Lane { name: bay.name.clone(), size: 5.0, rows, beside: beside(bay) };
            put(&mut sheets, &lane, axis, area, [row, 0.0], &floor.name);
        }
    }
    sheets
}

/// What else is told of a bay, below its name: what and when on one line, or on two.
fn beside(bay: &BayLane) -> Vec<String> {
    let most = GUTTER + 1.0;
    let lines = bay.beside.iter().flat_map(|[what, when]| {
        let whole = text::cut(&format!("{what} {when}"), 60);
        let parts = if text::width(&whole, ASIDE) <= most {
            vec![whole]
        } else {
            vec![text::cut(what, 30), text::cut(when, 30)]
        };
        parts.into_iter().flat_map(|part| text::wrap(&part, ASIDE, most))
    });
    lines.collect()
}

fn put(
    sheets: &mut Vec<Lanes>,
    lane: &Lane,
    axis: Axis,
    area: Box2,
    [row_height, with]: [f64; 2],
    floor: &str,
) {
    let name = text::wrap(&text::cut(&lane.name, 40), lane.size, GUTTER - 1.0);
    let named = lane.size * (0.35 + 1.1 * name.len() as f64);
    let words = named + 0.6 + lane.beside.len() as f64 * BESIDE;
    let height = (lane.rows.len().max(1) as f64 * row_height).max(words) + GAP;
    let is_full = |sheet: &Lanes| sheet.bottom + height + with > area.high.y && sheet.bottom > area.low.y;
    if sheets.last().is_none_or(is_full) {
        sheets.push(Lanes { bottom: area.low.y, ..Lanes::default() });
        if !floor.is_empty() {
            let beside = vec!["goes on".to_owned()];
            let goes_on = Lane { name: floor.to_owned(), size: 3.6, rows: Vec::new(), beside };
            put(sheets, &goes_on, axis, area, [row_height, 0.0], "");
        }
    }
    let Some(sheet) = sheets.last_mut() else { return };
    let top = sheet.bottom;
    for (i, line) in name.iter().enumerate() {
        let at = P2::new(MARGIN, top + lane.size * (1.05 + 1.1 * i as f64));
        write(&mut sheet.names, at, lane.size, "b", line);
    }
    for (i, row) in lane.rows.iter().enumerate() {
        let middle = top + GAP * 0.5 + row_height * (i as f64 + 0.5);
        for placed in row {
            bar(sheet, placed, axis, middle);
        }
    }
    for (i, line) in lane.beside.iter().enumerate() {
        let at = P2::new(MARGIN, top + named + BESIDE * (i as f64 + 0.8));
        write(&mut sheet.names, at, ASIDE, "s", line);
    }
    sheet.bottom = top + height;
    let y = sheet.bottom;
    sheet.over.line("rule", P2::new(MARGIN, y), P2::new(axis.right, y));
}

fn words(sheet: &mut Lanes, left: f64, middle: f64, told: &str, class: &str) {
    // The viewer's letters are narrower than those that room is kept for.
    let wide = text::width(told, WORDS) * 0.94;
    sheet.under.rect("box", P2::new(left - 0.4, middle - 1.9), P2::new(wide + 0.8, 3.8));
    write(&mut sheet.over, P2::new(left, middle + 1.1), WORDS, class, told);
}

fn bar(sheet: &mut Lanes, placed: &Placed, axis: Axis, middle: f64) {
    let bar = &placed.bar;
    let x = |at: f64| axis.x(axis.clamped(at));
    words(sheet, placed.left, middle, &placed.words, "");
    let class = match bar.kind {
        BarKind::Truck => "truck",
        BarKind::Placing => "placing",
        BarKind::Window => "open",
        BarKind::Failing => "failing",
        BarKind::Milestone | BarKind::Work => "",
    };
    if bar.kind != BarKind::Work {
        whisker(sheet, [bar.low, bar.high], axis, middle);
    }
    if bar.kind == BarKind::Milestone && axis.holds(bar.from) {
        diamond(&mut sheet.over, P2::new(x(bar.from), middle));
    }
    // A window that likely closes before it opens has no core.
    if !class.is_empty() && bar.until > bar.from {
        let size = P2::new(x(bar.until) - x(bar.from), TALL);
        sheet.over.rect(class, P2::new(x(bar.from), middle - TALL * 0.5), size);
    }
    for work in &bar.work {
        work_box(sheet, work, axis, middle);
    }
}

/// A line from end to end, closed where the end is on the axis.
fn whisker(sheet: &mut Lanes, ends: [f64; 2], axis: Axis, middle: f64) {
    let x = |at: f64| axis.x(axis.clamped(at));
    let point = |at: f64| P2::new(x(at), middle);
    sheet.over.line("whisker", point(ends[0]), point(ends[1]));
    for end in ends.into_iter().filter(|end| axis.holds(*end)) {
        let (up, down) = (P2::new(x(end), middle - 1.1), P2::new(x(end), middle + 1.1));
        sheet.over.line("whisker", up, down);
    }
}

/// A milestone's mark.
pub(super) fn diamond(ink: &mut Ink, at: P2) {
    let ring = [(0.0, -1.7), (1.7, 0.0), (0.0, 1.7), (-1.7, 0.0)].map(|(x, y)| at + P2::new(x, y));
    ink.rings("head", &[ring.to_vec()]);
}

fn work_box(sheet: &mut Lanes, work: &Work, axis: Axis, middle: f64) {
    let x = |at: f64| axis.x(axis.clamped(at));
    let size = P2::new(x(work.until) - x(work.from), BOX);
    sheet.over.rect("work", P2::new(x(work.from), middle - BOX * 0.5), size);
    if let Some(told) = in_box(work, axis) {
        let at = P2::new(x(work.from) + size.x * 0.5, middle + 1.0);
        write_about(&mut sheet.over, at, LETTERS, "b", &told);
    }
}
