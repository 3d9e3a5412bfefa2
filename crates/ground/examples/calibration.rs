//! Whether the doubt of the volume can be trusted: shoots thousands of made-up floors and counts.
//!
//! `cargo run --release -p ground --example calibration [floors]`; the figures stand in
//! `docs/methods/doubt.md`. Truths are not drawn from the tool's own prior.

use std::time::Instant;

use basis::{Angle, Length, Origin, Place, math};
use ground::gp::Piece;
use ground::gp::{BaseShot, Kernel, ProcessInput, fit};
use ground::outline::{Corner, Edge, EdgeKind, EdgeShape, Floor, Outline};
use ground::survey::{FromMark, InstrumentErrors, Levelled, LevelledSetup};
use ground::{P2, doubt, floor, quadrature};
use nalgebra::{Cholesky, DMatrix, DVector};
use rand::rngs::ChaCha12Rng;
use rand::{RngExt, SeedableRng};

/// One made-up floor, shot and judged.
struct Outcome {
    kind: usize,
    shots: usize,
    /// Error of the volume in its own standard deviations.
    score: f64,
    /// Error and spread of the mean height, m.
    error: f64,
    spread: f64,
}

const KINDS: [&str; 4] = ["Matern 3/2", "very smooth", "plane and bumps", "rough (exponential)"];

fn main() {
    let floors: u64 = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(2000);
    let start = Instant::now();
    let outcomes: Vec<Outcome> = (0..floors).filter_map(outcome).collect();
    println!("{} floors in {:.1} s", outcomes.len(), start.elapsed().as_secs_f64());
    println!("{:<34}{:>7}{:>9}{:>9}{:>9}{:>12}", "", "floors", "sd of z", "< 10 %", "< 90 %", "rms err, in");
    line("all", &outcomes, |_| true);
    for (kind, name) in KINDS.iter().enumerate() {
        line(name, &outcomes, |o| o.kind == kind);
    }
    for (low, high) in [(3, 5), (6, 8), (9, 14), (15, 21), (22, 30)] {
        line(&format!("{low} to {high} shots"), &outcomes, |o| (low..=high).contains(&o.shots));
    }
    timing();
}

fn line(name: &str, outcomes: &[Outcome], wanted: impl Fn(&Outcome) -> bool) {
    let chosen: Vec<&Outcome> = outcomes.iter().filter(|o| wanted(o)).collect();
    let n = chosen.len().max(1) as f64;
    let mean = |f: &dyn Fn(&Outcome) -> f64| chosen.iter().map(|o| f(o)).sum::<f64>() / n;
    let below = |z: f64| mean(&|o| f64::from(o.score < z)) * 100.0;
    println!(
        "{name:<34}{:>7}{:>9.3}{:>9.1}{:>9.1}{:>12.4}{:>9.4}",
        chosen.len(),
        mean(&|o| o.score * o.score).sqrt(),
        below(-1.281_55),
        below(1.281_55),
        mean(&|o| o.error * o.error).sqrt() / 0.0254,
        mean(&|o| o.spread * o.spread).sqrt() / 0.0254,
    );
}

fn normal(rng: &mut ChaCha12Rng) -> f64 {
    let (u, v): (f64, f64) = (rng.random(), rng.random());
    (-2.0 * math::log(1.0 - u)).sqrt() * math::cos(std::f64::consts::TAU * v)
}

fn outcome(seed: u64) -> Option<Outcome> {
    let mut rng = ChaCha12Rng::seed_from_u64(seed);
    let size = P2::new(rng.random_range(5.0..12.0), rng.random_range(5.0..15.0));
    // Every tenth floor of each kind has few shots.
    let count =
        if (seed / 4).is_multiple_of(10) { rng.random_range(3..=5) } else { rng.random_range(6..=30) };
    let rod = Length::inches(rng.random_range(0.0625..0.125)).in_metres();
    let places = if rng.random::<f64>() < 0.5 {
        scattered(&mut rng, size, count)
    } else {
        regular(&mut rng, size, count)
    };
    let kind = (seed % 4) as usize;
    let floor = rectangle(size);
    let pieces = quadrature::quadrature(&floor, 250);
    let mut spots = places.clone();
    spots.extend(&pieces.points);
    let heights = truth(&mut rng, kind, &spots);
    let truth: f64 = heights[count..].iter().zip(&pieces.weights).map(|(z, w)| z * w).sum();
    let shots: Vec<BaseShot> =
        places.iter().zip(&heights).map(|(&at, z)| shot(at, z + rod * normal(&mut rng), rod)).collect();
    let levelled = levelled(rod);
    let process =
        fit(&ProcessInput { shots: &shots, levelled: &levelled, datum: None, intended: P2::default() })
            .value?;
    let wanted: Vec<Piece> =
        pieces.points.iter().zip(&pieces.weights).map(|(&at, &area)| Piece { at, area, zone: 0 }).collect();
    let volume: f64 = process.means(&wanted).iter().zip(&pieces.weights).map(|(z, w)| z * w).sum();
    let sd = doubt::doubt(&process, &pieces, &|_| 0).volume_sd(&pieces.weights).in_cubic_metres();
    Some(Outcome {
        kind,
        shots: count,
        score: (truth - volume) / sd,
        error: (truth - volume) / floor.area,
        spread: sd / floor.area,
    })
}

/// Heights of a made-up base: a plane with up to 1 % of fall, and a roughness of one kind on it.
fn truth(rng: &mut ChaCha12Rng, kind: usize, spots: &[P2]) -> Vec<f64> {
    let fall = P2::new(rng.random_range(-0.01..0.01), rng.random_range(-0.01..0.01));
    let sd = Length::inches(rng.random_range(0.15..0.7)).in_metres();
    let length = rng.random_range(1.0..8.0);
    let rough = match kind {
        0 => drawn(rng, Kernel::Matern32, length, spots),
        1 => drawn(rng, Kernel::SquaredExponential, length * 0.6, spots),
        2 => bumps(rng, spots),
        _ => drawn(rng, Kernel::Exponential, length, spots),
    };
    spots.iter().zip(rough).map(|(p, r)| p.dot(fall) + sd * r).collect()
}

fn drawn(rng: &mut ChaCha12Rng, kernel: Kernel, length: f64, spots: &[P2]) -> Vec<f64> {
    let n = spots.len();
    let covariance = DMatrix::from_fn(n, n, |i, j| {
        kernel.correlation(spots[i].distance(spots[j]), length) + if i == j { 1e-6 } else { 0.0 }
    });
    let draw = DVector::from_fn(n, |_, _| normal(rng));
    Cholesky::new(covariance).map_or_else(|| vec![0.0; n], |c| (c.l() * draw).as_slice().to_vec())
}

/// A few humps and hollows of different widths.
fn bumps(rng: &mut ChaCha12Rng, spots: &[P2]) -> Vec<f64> {
    let mut heights = vec![0.0; spots.len()];
    for _ in 0..rng.random_range(3..9) {
        let middle = P2::new(rng.random_range(0.0..12.0), rng.random_range(0.0..15.0));
        let (height, width) = (1.5 * normal(rng), rng.random_range(0.7..4.0));
        for (z, p) in heights.iter_mut().zip(spots) {
            let far = p.distance(middle) / width;
            *z += height * math::exp(-0.5 * far * far);
        }
    }
    heights
}

fn scattered(rng: &mut ChaCha12Rng, size: P2, count: usize) -> Vec<P2> {
    (0..count).map(|_| P2::new(rng.random_range(0.0..size.x), rng.random_range(0.0..size.y))).collect()
}

/// A grid over the floor, each shot some way off its crossing.
fn regular(rng: &mut ChaCha12Rng, size: P2, count: usize) -> Vec<P2> {
    let columns = ((count as f64 * size.x / size.y).sqrt().round() as usize).clamp(1, count);
    let rows = count.div_ceil(columns);
    (0..count)
        .map(|i| {
            let (column, row) = ((i % columns) as f64, (i / columns) as f64);
            let (dx, dy) = (rng.random_range(0.3..0.7), rng.random_range(0.3..0.7));
            P2::new((column + dx) / columns as f64 * size.x, (row + dy) / rows as f64 * size.y)
        })
        .collect()
}

fn shot(at: P2, z: f64, rod: f64) -> BaseShot {
    BaseShot { name: String::new(), at, z, variance: rod * rod, setup: 0, zone: 0, place: Place::job() }
}

fn levelled(rod: f64) -> Levelled {
    let setup = LevelledSetup {
        name: "1".into(),
        instrument: Length::metres(1.5),
        misclosure: None,
        station: P2::default(),
        errors: InstrumentErrors {
            backsight: Length::ZERO,
            tilt: Angle::ZERO,
            rod: Length::metres(rod),
            origin: Origin::Assumed,
        },
        from_mark: FromMark::No,
        mark: Length::ZERO,
        stands_on: None,
    };
    Levelled { setups: vec![setup], shots: Vec::new() }
}

fn rectangle(size: P2) -> Floor {
    let corner =
        |(name, x, y): (&str, f64, f64)| Corner { name: name.into(), at: P2::new(x, y), place: Place::job() };
    let corners =
        [("a", 0.0, 0.0), ("b", size.x, 0.0), ("c", size.x, size.y), ("d", 0.0, size.y)].map(corner).to_vec();
    let edge = Edge { shape: EdgeShape::Straight, kind: EdgeKind::Free, place: Place::job() };
    let outline = Outline { corners, edges: vec![edge; 4], ..Outline::default() };
    floor::lay_out(&outline).value.expect("a rectangle of positive size is a floor")
}

/// Times of the fit and of the doubt over some 250 pieces, one core.
fn timing() {
    let size = P2::new(11.0, 11.0);
    let pieces = quadrature::quadrature(&rectangle(size), 250);
    for count in [6, 22, 100, 5_000, 100_000] {
        let mut rng = ChaCha12Rng::seed_from_u64(7);
        let places = scattered(&mut rng, size, count);
        let rough = bumps(&mut rng, &places);
        let shots: Vec<BaseShot> = places
            .iter()
            .zip(rough)
            .map(|(&at, z)| shot(at, 0.008 * z + 0.002 * normal(&mut rng), 0.002))
            .collect();
        let levelled = levelled(0.002);
        let start = Instant::now();
        let fitted =
            fit(&ProcessInput { shots: &shots, levelled: &levelled, datum: None, intended: P2::default() })
                .value;
        let after = start.elapsed().as_secs_f64() * 1e3;
        if let Some(process) = fitted {
            let doubt = doubt::doubt(&process, &pieces, &|_| 0);
            let all = start.elapsed().as_secs_f64() * 1e3;
            let sd = doubt.volume_sd(&pieces.weights).in_cubic_yards();
            println!("{count:>7} shots: fit {after:.1} ms, doubt {:.1} ms, sd {sd:.4} yd3", all - after);
        }
    }
}
