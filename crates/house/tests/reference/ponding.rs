//! Birdbaths and fall against scikit-image, scipy, shapely and numpy.

use basis::Length;
use ground::ponding::{Net, flood, ponding, ponding_on};
use ground::tin::triangulate;
use ground::{P3, fall};
use house::python;
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};
use serde_json::{Value, json};

use crate::floors;

/// Cells beside a cell of a grid, for 4, 6 (squares cut by one diagonal) or 8 neighbours.
fn beside(neighbours: u8) -> &'static [(i64, i64)] {
    match neighbours {
        4 => &[(0, 1), (0, -1), (1, 0), (-1, 0)],
        6 => &[(0, 1), (0, -1), (1, 0), (-1, 0), (1, -1), (-1, 1)],
        _ => &[(0, 1), (0, -1), (1, 0), (-1, 0), (1, -1), (-1, 1), (1, 1), (-1, -1)],
    }
}

/// Our flood of a grid from its edge.
fn flooded(heights: &[f64], columns: usize, neighbours: u8) -> Vec<f64> {
    let rows = heights.len() / columns;
    let outlets: Vec<usize> = (0..heights.len())
        .filter(|i| {
            let (row, column) = (i / columns, i % columns);
            row == 0 || column == 0 || row + 1 == rows || column + 1 == columns
        })
        .collect();
    let around = |v: usize| {
        let (row, column) = ((v / columns) as i64, (v % columns) as i64);
        beside(neighbours).iter().filter_map(move |(down, right)| {
            let (r, c) = (row + down, column + right);
            let inside = (0..rows as i64).contains(&r) && (0..columns as i64).contains(&c);
            inside.then_some((r * columns as i64 + c) as usize)
        })
    };
    flood(heights, &outlets, around).level
}

/// Levels are heights of the input, never computed: they agree to the last bit but one, which JSON may cost.
#[test]
fn levels_agree_with_reconstruction_on_grids() {
    let mut rng = ChaCha12Rng::seed_from_u64(41);
    let (rows, columns) = (40, 50);
    let grid: Vec<Vec<f64>> = (0..rows).map(|_| (0..columns).map(|_| rng.random()).collect()).collect();
    let answer = python::ask("ponding", &json!({ "grid": grid }));
    let heights: Vec<f64> = grid.concat();
    for neighbours in [4_u8, 6, 8] {
        let theirs = python::numbers(&answer["filled"], &neighbours.to_string());
        for (ours, theirs) in flooded(&heights, columns, neighbours).iter().zip(&theirs) {
            assert!(
                (ours - theirs).abs() < 2.0 * f64::EPSILON,
                "{neighbours} neighbours: {ours} against {theirs}"
            );
        }
        assert_eq!(theirs.len(), heights.len());
    }
}

/// Real elevations that matplotlib carries, 344 by 403. What the fill adds was found beforehand with six libraries: 34,124 over 6,373
/// cells, 32 at most, with 8 neighbours; 71,461 over 10,370, 33 at most, with 4.
#[test]
fn real_ground_fills_as_in_the_libraries() {
    let answer = python::ask("ponding", &json!({ "real": true }));
    let ground = python::numbers(&answer, "ground");
    for (neighbours, sum, cells, most) in [(8_u8, 34_124.0, 6_373, 32.0), (4, 71_461.0, 10_370, 33.0)] {
        let ours = flooded(&ground, 403, neighbours);
        assert_eq!(ours, python::numbers(&answer["real"], &neighbours.to_string()));
        let added: Vec<f64> = ours.iter().zip(&ground).map(|(w, z)| w - z).filter(|d| *d > 0.0).collect();
        let found = (added.iter().sum::<f64>(), added.len(), added.iter().copied().fold(0.0, f64::max));
        assert_eq!(found, (sum, cells, most), "{neighbours} neighbours");
    }
}

fn random_spots(seed: u64, count: usize) -> Vec<P3> {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    let corner = |(x, y): &(f64, f64)| P3::new(*x, *y, 0.5);
    let mut spots: Vec<P3> = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].iter().map(corner).collect();
    spots.extend((0..count).map(|_| P3::new(rng.random(), rng.random(), rng.random())));
    spots
}

/// Levels by the bottleneck of scipy's minimum spanning tree, volumes and areas by shapely, a plane by numpy's least squares.
#[test]
fn birdbaths_agree_with_spanning_trees_and_shapely() {
    for (seed, count) in [(42, 60), (43, 400)] {
        let tin = triangulate(&random_spots(seed, count), &[]).value.expect("random spots make a surface");
        let net = Net::of(&tin);
        let outlets = net.rim();
        let ours = ponding_on(&net, &outlets, Length::ZERO).value.expect("water leaves along the edge");
        let question = json!({
            "points": floors::triples(&tin.points),
            "triangles": tin.triangles.iter().map(|t| json!(t)).collect::<Value>(),
            "outlets": outlets,
        });
        let answer = python::ask("ponding", &question);
        for (ours, theirs) in ours.levels.iter().zip(python::numbers(&answer, "level")) {
            // Their weights are shifted above nought and back.
            assert!((ours - theirs).abs() < 1e-12, "{ours} against {theirs}");
        }
        let volume: f64 = ours.birdbaths.iter().map(|b| b.volume.in_cubic_metres()).sum();
        let area: f64 = ours.birdbaths.iter().map(|b| b.area.in_square_metres()).sum();
        // Long thin triangles lose digits in the planes that shapely is given.
        assert!((volume - python::number(&answer, "volume")).abs() < 1e-8);
        assert!((area - python::number(&answer, "area")).abs() < 1e-6);
        assert!(volume > 0.01);
        let plane = fall::fitted_plane(&tin.points).expect("spots over a square carry a plane").plane;
        let theirs = python::numbers(&answer, "plane");
        assert!((plane.gx - theirs[0]).abs() < 1e-10 && (plane.gy - theirs[1]).abs() < 1e-10);
    }
}

/// A grid laid over the triangles misses a saddle by at most half a cell's diagonal of the steepest fall `G`, so its levels are off by
/// `G·h/√2` and its volume by that over what is wet, plus a rim of one cell. Finer grids come closer; none is exact.
#[test]
fn ever_finer_grids_close_in_on_the_triangles() {
    let spots: Vec<P3> =
        random_spots(44, 60).iter().map(|p| P3::new(10.0 * p.x, 10.0 * p.y, 0.05 * p.z)).collect();
    let tin = triangulate(&spots, &[]).value.expect("random spots make a surface");
    let ours = ponding(&tin, &Net::of(&tin).rim(), Length::ZERO).value.expect("water leaves along the edge");
    let volume: f64 = ours.birdbaths.iter().map(|b| b.volume.in_cubic_metres()).sum();
    let area: f64 = ours.birdbaths.iter().map(|b| b.area.in_square_metres()).sum();
    let steepest = fall::of_triangles(&tin).iter().map(|f| f.slope.in_ratio()).fold(0.0, f64::max);
    let counts = [51_usize, 101, 201, 401];
    let question = json!({ "refine": floors::triples(&tin.points), "side": 10.0, "counts": counts });
    let answer = python::ask("ponding", &question);
    let mut last = f64::INFINITY;
    for (grid, count) in answer["grids"].as_array().expect("a list of grids").iter().zip(counts) {
        let h = 10.0 / (count as f64 - 1.0);
        let off = (grid[0].as_f64().unwrap_or(f64::NAN) - volume).abs();
        let bound = 2.0 * steepest * h * (area + 40.0 * h);
        assert!(off < bound, "{count}: off by {off}, bound {bound}");
        last = last.min(off / volume);
    }
    assert!(last < 0.05, "the finest grid is still {last} off");
}
