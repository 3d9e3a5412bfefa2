//! A scan of a finished floor to its birdbaths and fall, and flooding against scikit-image in the same run.

use std::time::Duration;

use basis::{Length, Place};
use ground::asbuilt::built_surface;
use ground::finish::FinishSurface;
use ground::flatness::{Kept, Spacing, section};
use ground::ponding::{Net, flood, ponding_on};
use ground::survey::{LevelledShot, ShotOn};
use ground::{Facet, P2, Plane, fall};
use serde_json::json;

use crate::made::{rectangle, rolling};
use crate::python::{ask, number};
use crate::row::{Row, best_of, milliseconds};

/// Plan of the floor, m: 1,500 ft2.
const SIZE: P2 = P2 { x: 15.24, y: 9.144 };
/// Rows and columns of the grid that both flood.
const GRID: usize = 1000;

/// A million points; and a grid of a million cells.
pub fn rows() -> Vec<Row> {
    let mut rows: Vec<Row> = [100_000, 1_000_000].map(scanned).into();
    rows.extend(flooded());
    rows
}

/// Points of a scan to triangles with edges and openings, birdbaths, fall, and flatness of a hundred lines.
fn scanned(count: usize) -> Row {
    let (outline, floor) = rectangle(SIZE);
    let design = FinishSurface::new(vec![Facet {
        ring: floor.boundary.corners().to_vec(),
        plane: Plane::level(-0.1),
    }]);
    let shot = |(i, &[x, y, z]): (usize, &[f64; 3])| LevelledShot {
        name: i.to_string(),
        at: P2::new(x, y),
        z,
        setup: 0,
        on: ShotOn::Base,
        place: Place::job(),
    };
    let shots: Vec<LevelledShot> = rolling(count, SIZE, 13).iter().enumerate().map(shot).collect();
    let lines: Vec<Kept> = (0..100).map(|i| line(&shots, i)).collect();
    let mut found = (0, 0.0, 0.0);
    let work = || {
        let surface = built_surface(&shots, &floor, &outline, &design).value.expect("a scan makes a surface");
        let net = Net::of(&surface.tin);
        let ponding =
            ponding_on(&net, &surface.outlets, Length::millimetres(1.0)).value.expect("edges let water off");
        let flat = section(&lines, basis::Area::square_metres(floor.area), Length::millimetres(1.0));
        let mean = fall::mean(&surface.tin);
        found =
            (ponding.birdbaths.len(), mean.slope.in_percent(), flat.value.map_or(0.0, |s| s.flatness.number));
    };
    let time = best_of(if count > 500_000 { 2 } else { 5 }, work);
    Row::told(
        format!("a scan of {count} points to triangles, birdbaths, fall and flatness"),
        format!("{} ({} birdbaths of 1 mm and more, F_F {:.1})", seconds(time), found.0, found.2),
    )
}

/// A line of 40 readings through the scan's own heights.
fn line(shots: &[LevelledShot], number: usize) -> Kept {
    Kept {
        name: number.to_string(),
        readings: 0..40,
        from: P2::default(),
        toward: P2::new(1.0, 0.0),
        spacing: Spacing::Metric,
        elevations: shots.iter().skip(40 * number).take(40).map(|s| s.z).collect(),
        place: Place::job(),
    }
}

fn seconds(time: Duration) -> String {
    if time.as_secs_f64() < 1.0 { milliseconds(time) } else { format!("{:.2} s", time.as_secs_f64()) }
}

/// A grid of a million cells, eight neighbours, against scikit-image's reconstruction.
fn flooded() -> Vec<Row> {
    let cells = GRID * GRID;
    // Heights that both make alike: a whole-number generator of 2^31.
    let mut state = 12_345_u64;
    let heights: Vec<f64> = (0..cells)
        .map(|_| {
            state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
            state as f64 / 2_147_483_648.0
        })
        .collect();
    let on_edge = |i: &usize| {
        let (row, column) = (i / GRID, i % GRID);
        row == 0 || column == 0 || row + 1 == GRID || column + 1 == GRID
    };
    let outlets: Vec<usize> = (0..cells).filter(on_edge).collect();
    let around = |v: usize| {
        let (row, column) = ((v / GRID) as isize, (v % GRID) as isize);
        let side = GRID as isize;
        (-1..=1).flat_map(move |dr| (-1..=1).map(move |dc| (row + dr, column + dc))).filter_map(
            move |(r, c)| {
                let inside = (0..side).contains(&r) && (0..side).contains(&c) && (r, c) != (row, column);
                inside.then_some((r * side + c) as usize)
            },
        )
    };
    let ours = best_of(3, || flood(&heights, &outlets, around));
    let added: f64 = flood(&heights, &outlets, around).level.iter().zip(&heights).map(|(w, z)| w - z).sum();
    let what = "flooding a grid of a million cells, over scikit-image";
    match ask("flood.py", &json!({ "side": GRID })) {
        Ok(answer) => {
            let theirs = number(&answer, "seconds");
            let apart = (number(&answer, "added") / added - 1.0).abs();
            let figure = format!(
                "{:.1} x ({} against {:.2} s; what is filled agrees to {apart:.0e})",
                theirs / ours.as_secs_f64(),
                seconds(ours),
                theirs
            );
            vec![Row::told(what, figure)]
        }
        Err(why) => vec![Row::failed(what, "-", why)],
    }
}
