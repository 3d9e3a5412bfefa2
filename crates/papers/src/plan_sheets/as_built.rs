//! The floor as built: how it falls, its birdbaths, the lines read over it.

use basis::quantity::{length, slope};
use basis::{Length, Slope, UnitSystem};
use ground::P2;
use ground::asbuilt::Seen;
use ground::layer::Layer as Surface;
use pour::Job;
use pour::asbuilt::{AsBuilt, Figured, Profiles, Top};
use pour::plan::Plan;

use super::{elevation, floor, without_measures};
use crate::drawing::{
    Arrow, FallLayer, LaidLabel, LaidLayer, LaidLine, LaidOf, LaidSheet, Layer, Spot, Table, draw,
};

/// Spots at which the fall is drawn, across the longer side.
const ARROWS_ACROSS: f64 = 5.0;
/// A fall over a run of one under this has no arrow.
const LEVEL: f64 = 1e-4;

/// The drawings of the floor as built with their file names, as far as there is anything to draw.
#[must_use]
pub fn as_built_sheets(job: &Job, plan: &Plan, built: &AsBuilt) -> Vec<(String, String)> {
    let mut layers: Vec<(&str, Layer)> = Vec::new();
    if let Some(top) = &built.top {
        layers.push(("as-built-fall.svg", Layer::Fall(fall(job, plan, top))));
        layers.push(("birdbaths.svg", Layer::Laid(birdbaths(job, top))));
    }
    if let Some(profiles) = &built.profiles {
        layers.push(("flatness.svg", Layer::Laid(lines(job, profiles))));
    }
    let count = layers.len();
    let mut floor = without_measures(floor::drawing(job, plan));
    let setups: Vec<&str> = built.levelled.setups.iter().map(|s| s.name.as_str()).collect();
    floor.sheet.setup = setups.join(", ");
    let numbered = layers.into_iter().enumerate().map(|(i, (name, layer))| {
        floor.sheet.number = format!("Sheet {} of {count}", i + 1);
        floor.sheet.notes = vec!["As built: from shots and lines of the finished floor.".to_owned()];
        (name.to_owned(), draw(&floor, &layer))
    });
    numbered.collect()
}

fn fine(height: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.2}\"", height.in_inches()),
        UnitSystem::Metric => format!("{:.1} mm", height.in_millimetres()),
    }
}

/// Arrows down the floor as built and its elevations at the corners.
fn fall(job: &Job, plan: &Plan, top: &Top) -> FallLayer {
    let surface = Surface::new(top.surface.tin.facets());
    let (low, high) = plan.floor.boundary.bounds();
    let step = ((high.x - low.x).max(high.y - low.y) / ARROWS_ACROSS).max(0.1);
    let count = |l: f64| (l / step).round().max(1.0) as usize;
    let (columns, rows) = (count(high.x - low.x), count(high.y - low.y));
    let cell = P2::new((high.x - low.x) / columns as f64, (high.y - low.y) / rows as f64);
    // Between spots a quarter of a step to both sides: single triangles tell of single shots.
    let mean = |at: P2| {
        let z = |dx: f64, dy: f64| {
            surface.z(at + P2::new(dx, dy) * (0.25 * step)).filter(|_| plan.floor.contains(at))
        };
        let gx = (z(1.0, 0.0)? - z(-1.0, 0.0)?) / (0.5 * step);
        let gy = (z(0.0, 1.0)? - z(0.0, -1.0)?) / (0.5 * step);
        Some(P2::new(gx, gy))
    };
    let spots = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
    let arrow = |(row, column): (usize, usize)| {
        let at = low + P2::new((column as f64 + 0.5) * cell.x, (row as f64 + 0.5) * cell.y);
        let gradient = mean(at)?;
        let label = slope(Slope::ratio(gradient.norm()), job.units);
        (gradient.norm() > LEVEL).then_some(Arrow { at, toward: gradient * -1.0, label })
    };
    let corner = |c: &ground::outline::Corner| {
        Some(Spot { at: c.at, label: elevation(job, Length::metres(surface.z(c.at)?)) })
    };
    FallLayer {
        arrows: spots.filter_map(arrow).collect(),
        points: plan.outline.corners.iter().filter_map(corner).collect(),
        ..FallLayer::default()
    }
}

/// Birdbaths with how to lay the straightedge over each.
fn birdbaths(job: &Job, top: &Top) -> LaidLayer {
    let mut layer = LaidLayer {
        title: "Birdbaths".to_owned(),
        of: LaidOf::Birdbaths,
        notes: vec!["Between the shots the floor is taken as flat triangles.".to_owned()],
        ..LaidLayer::default()
    };
    let mut rows = Vec::new();
    for (i, (bath, told)) in top.ponding.birdbaths.iter().zip(&top.told).enumerate() {
        let mark = (i + 1).to_string();
        for (k, ring) in bath.outline.iter().enumerate() {
            let mark = if k == 0 { mark.clone() } else { String::new() };
            layer.sheets.push(LaidSheet { ring: ring.clone(), mark, is_whole: false });
        }
        layer.labels.push(LaidLabel {
            at: vec![bath.lowest],
            label: format!("{mark}: {}", fine(bath.depth, job.units)),
        });
        if let Some(find) = told.find {
            layer.lines.push(LaidLine { a: find.from, b: find.to, is_dashed: true, is_aside: false });
        }
        let seen = match told.seen {
            Seen::Clearly => "clearly",
            Seen::ByOneShot => "by one shot",
            Seen::LikeNoise => "like noise",
        };
        let gap = told.find.map_or_else(String::new, |f| fine(f.gap, job.units));
        rows.push(vec![mark, fine(bath.depth, job.units), gap, seen.to_owned()]);
    }
    layer.table = Table { head: ["no.", "deep", "10' edge", "seen"].map(str::to_owned).to_vec(), rows };
    layer
}

/// The lines with their numbers and the widest gap of each.
fn lines(job: &Job, profiles: &Profiles) -> LaidLayer {
    let figured = match profiles.figured {
        Figured::AsRead => "Figured from the elevations as read.",
        Figured::FromDesign => "Figured from the distance to the design: the floor is meant to fall.",
    };
    let whole = format!(
        "Floor: F_F {:.1}, F_L {:.1}.",
        profiles.section.flatness.number, profiles.section.levelness.number
    );
    let mut layer = LaidLayer {
        title: "Flatness lines".to_owned(),
        of: LaidOf::Lines,
        notes: vec![figured.to_owned(), whole],
        ..LaidLayer::default()
    };
    let mut rows = Vec::new();
    for (run, line) in profiles.runs.iter().zip(&profiles.section.lines) {
        let long = run.spacing.step() * (run.elevations.len() - 1) as f64;
        let end = run.from + run.toward * long.in_metres();
        layer.lines.push(LaidLine { a: run.from, b: end, is_dashed: false, is_aside: false });
        layer.labels.push(LaidLabel {
            at: vec![run.from.lerp(end, 0.25), run.from.lerp(end, 0.75)],
            label: line.name.clone(),
        });
        rows.push(vec![
            line.name.clone(),
            length(long, job.units),
            format!("{:.1}", line.flatness),
            format!("{:.1}", line.levelness),
        ]);
    }
    for gap in profiles.gaps.iter().take(3) {
        layer.labels.push(LaidLabel { at: vec![gap.at], label: format!("gap {}", fine(gap.gap, job.units)) });
    }
    layer.table = Table { head: ["line", "counted", "F_F", "F_L"].map(str::to_owned).to_vec(), rows };
    layer
}
