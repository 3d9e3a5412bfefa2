//! Mesh, poly and bars as they lie.

use basis::quantity::size;
use ground::P2;
use pour::Job;
use pour::plan::Plan;
use pour::takeoff::{BarLayout, LaidBar, SheetLayout, TakeOff};

use super::floor;
use crate::drawing::{LaidLabel, LaidLayer, LaidLine, LaidSheet, Layer, Table, draw};

/// The drawings of a take-off with their file names: mesh, bars, poly, as far as there are any.
#[must_use]
pub fn takeoff_sheets(job: &Job, plan: &Plan, taken: &TakeOff) -> Vec<(String, String)> {
    let mut floor = floor::drawing(job, plan);
    let layers = [
        ("mesh.svg", taken.mesh.as_ref().map(|layout| sheets(job, "Mesh", layout))),
        ("bars.svg", taken.bars.as_ref().map(|layout| bars(job, layout))),
        ("poly.svg", taken.poly.as_ref().map(|layout| sheets(job, "Poly", layout))),
    ];
    let layers: Vec<_> = layers.into_iter().filter_map(|(name, layer)| Some((name, layer?))).collect();
    let count = layers.len();
    let numbered = layers.into_iter().enumerate().map(|(i, (name, layer))| {
        floor.sheet.number = format!("Sheet {} of {count}", i + 1);
        (name.to_owned(), draw(&floor, &Layer::Laid(layer)))
    });
    numbered.collect()
}

fn table(head: [&str; 3], rows: impl Iterator<Item = [String; 3]>) -> Table {
    Table { head: head.map(str::to_owned).to_vec(), rows: rows.map(|row| row.to_vec()).collect() }
}

fn sheets(job: &Job, title: &str, layout: &SheetLayout) -> LaidLayer {
    let told = |l| size(l, job.units);
    let whole = |kind: usize| {
        let [a, b] = layout.kinds[kind].size;
        (a - layout.sheet[0]).abs() < layout.step && (b - layout.sheet[1]).abs() < layout.step
    };
    let sheet = |piece: &pour::takeoff::LaidPiece| LaidSheet {
        ring: piece.ring.to_vec(),
        mark: layout.kinds[piece.kind].mark.clone(),
        is_whole: whole(piece.kind),
    };
    let rows = layout.kinds.iter().map(|kind| {
        let [a, b] = kind.size.map(told);
        [kind.mark.clone(), format!("{a} x {b}"), kind.count.to_string()]
    });
    LaidLayer {
        title: title.to_owned(),
        sheets: layout.pieces.iter().map(sheet).collect(),
        table: table(["piece", "size", "how many"], rows),
        notes: vec![
            format!("{}. Laps {}.", layout.what, told(layout.lap)),
            format!(
                "{} in all. Cut to the form, the opening and the pipe on site.",
                layout.cuts.sheets.len()
            ),
        ],
        ..LaidLayer::default()
    }
}

fn bars(job: &Job, layout: &BarLayout) -> LaidLayer {
    let told = |l| size(l, job.units);
    let mut lines: Vec<LaidLine> = Vec::new();
    let mut before: Option<&LaidBar> = None;
    for bar in &layout.bars {
        let laps = before.is_some_and(|last| {
            (last.way, last.line) == (bar.way, bar.line)
                && last.b.distance(bar.a).min(last.a.distance(bar.b)) < layout.lap.in_metres() * 1.01
        });
        let is_aside = laps && !lines.last().is_some_and(|last| last.is_aside);
        lines.push(LaidLine { a: bar.a, b: bar.b, is_dashed: bar.way == 1, is_aside });
        before = Some(bar);
    }
    let rows = layout.kinds.iter().map(|kind| [kind.mark.clone(), told(kind.length), kind.count.to_string()]);
    LaidLayer {
        title: "Bars".to_owned(),
        lines,
        labels: labels(layout),
        table: table(["bar", "length", "how many"], rows),
        notes: vec![format!(
            "{}. Laps {}; two bars side by side are drawn apart.",
            layout.what,
            told(layout.lap)
        )],
        ..LaidLayer::default()
    }
}

/// Neighbouring lines with the same bars as one label: `9 x A + C`.
fn labels(layout: &BarLayout) -> Vec<LaidLabel> {
    let mut groups: Vec<(usize, Vec<&str>, Vec<&LaidBar>)> = Vec::new();
    for lines in layout.bars.chunk_by(|a, b| (a.way, a.line) == (b.way, b.line)) {
        let mut marks: Vec<&str> = lines.iter().map(|bar| layout.kinds[bar.kind].mark.as_str()).collect();
        marks.sort_unstable();
        match groups.last_mut() {
            Some((way, known, bars)) if *way == lines[0].way && *known == marks => bars.push(&lines[0]),
            _ => groups.push((lines[0].way, marks, vec![&lines[0]])),
        }
    }
    let label = |(way, marks, bars): (usize, Vec<&str>, Vec<&LaidBar>)| {
        let words = if way == 0 { "along" } else { "across" };
        // From the middle of the group outward, off the middle of the bar, so that labels of both ways do not meet.
        let middle = bars.len() / 2;
        let nearest = |i: &usize| i.abs_diff(middle);
        let mut order: Vec<usize> = (0..bars.len()).collect();
        order.sort_by_key(nearest);
        let part = if way == 0 { [0.3, 0.15, 0.45] } else { [0.65, 0.8, 0.5] };
        let at: Vec<P2> =
            order.iter().flat_map(|i| part.map(|t| bars[*i].a.lerp(bars[*i].b, t))).take(60).collect();
        LaidLabel { at, label: format!("{} {words}: {}", bars.len(), marks.join(" + ")) }
    };
    groups.into_iter().map(label).collect()
}
