//! What is made of the shots: volumes on both sides of a line with their covariance.
//!
//! A linear trend and a Matérn 3/2 process whose scale and roughness are the most probable of a grid.

use basis::math::{exp, hypot, log};
use nalgebra::{DMatrix, DVector};

use super::floor::{Floor, Shots};

/// Scales tried, ft, and roughnesses tried, in.
const SCALES: [f64; 6] = [3.0, 5.0, 8.0, 12.0, 18.0, 27.0];
const ROUGHNESSES: [f64; 8] = [0.0625, 0.125, 0.1875, 0.25, 0.35, 0.5, 0.7, 1.0];

/// Middle of the two before the shots are seen, ft and in., and the spread of their logarithms.
const USUAL: (f64, f64) = (8.0, 0.3);
const SPREAD: f64 = 0.7;

/// Nodes of the quadrature along and across the floor.
const NODES: (f64, usize) = (16.0, 10);

/// Volumes up to and beyond a line, m³, and their covariance, m⁶.
#[derive(Debug, Clone, Copy)]
pub struct Judged {
    /// Expected volumes.
    pub mean: [f64; 2],
    /// Their covariance.
    pub covariance: [[f64; 2]; 2],
}

/// A base fitted to its shots.
pub struct Judge {
    points: Vec<[f64; 3]>,
    size: [f64; 2],
    setup: f64,
    process: Process,
    solved: Solved,
}

#[derive(Clone, Copy)]
struct Process {
    roughness: f64,
    scale: f64,
}

/// The fit's matrices: inverse covariance of the shots, trend and its covariance, weights of the residuals.
struct Solved {
    inverse: DMatrix<f64>,
    trend: DVector<f64>,
    trend_covariance: DMatrix<f64>,
    weights: DVector<f64>,
    likelihood: f64,
}

impl Process {
    fn covariance(&self, a: [f64; 2], b: [f64; 2]) -> f64 {
        let s = 3.0_f64.sqrt() * hypot(a[0] - b[0], a[1] - b[1]) / self.scale;
        self.roughness.powi(2) * (1.0 + s) * exp(-s)
    }
}

impl Judge {
    /// Fits trend and process to the shots.
    pub fn fit(floor: &Floor, shots: &Shots) -> Self {
        let size = [floor.length, floor.width];
        let (points, setup) = (shots.points.clone(), shots.setup);
        let mut best: Option<(f64, Process, Solved)> = None;
        for scale in SCALES {
            for roughness in ROUGHNESSES {
                let process = Process { roughness: roughness * 0.0254, scale: scale * 0.3048 };
                let Some(solved) = solve(&points, size, shots.rod, process) else { continue };
                let from_usual =
                    (log(scale / USUAL.0).powi(2) + log(roughness / USUAL.1).powi(2)) / SPREAD.powi(2);
                let score = solved.likelihood - 0.5 * from_usual;
                if best.as_ref().is_none_or(|(least, ..)| score > *least) {
                    best = Some((score, process, solved));
                }
            }
        }
        let (_, process, solved) = best.expect("noise on the diagonal makes some covariance positive");
        Self { points, size, setup, process, solved }
    }

    /// Volumes on both sides of the line at `x`.
    pub fn split_at(&self, x: f64) -> Judged {
        let sides = [nodes(0.0, x, self.size), nodes(x, self.size[0], self.size)];
        let n = self.points.len();
        let mut to_shots = DMatrix::zeros(n, 2);
        let mut trend = DMatrix::zeros(3, 2);
        let mut c = [[0.0; 2]; 2];
        for (side, nodes) in sides.iter().enumerate() {
            for (at, weight) in nodes {
                for (i, p) in self.points.iter().enumerate() {
                    to_shots[(i, side)] += weight * self.process.covariance(*at, [p[0], p[1]]);
                }
                for (k, h) in row(*at, self.size).into_iter().enumerate() {
                    trend[(k, side)] += weight * h;
                }
                for (other, nodes) in sides.iter().enumerate() {
                    let sum: f64 = nodes.iter().map(|(b, w)| w * self.process.covariance(*at, *b)).sum();
                    c[side][other] += weight * sum;
                }
            }
        }
        self.conditioned(&to_shots, &trend, c)
    }

    /// Universal kriging of two block integrals: means and covariances given the shots.
    fn conditioned(&self, to_shots: &DMatrix<f64>, trend: &DMatrix<f64>, prior: [[f64; 2]; 2]) -> Judged {
        let solved = &self.solved;
        let weights = &solved.inverse * to_shots;
        let rest = trend - design(&self.points, self.size).transpose() * &weights;
        let learned = to_shots.transpose() * &weights;
        let from_trend = rest.transpose() * &solved.trend_covariance * &rest;
        let mean =
            [0, 1].map(|s| -(trend.column(s).dot(&solved.trend) + to_shots.column(s).dot(&solved.weights)));
        let mut covariance = prior;
        for (s, t) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            let areas = trend[(0, s)] * trend[(0, t)];
            // Both triangles from one of the two, so that rounding cannot make them differ.
            let (i, j) = (s.min(t), s.max(t));
            covariance[s][t] =
                prior[i][j] - learned[(i, j)] + from_trend[(i, j)] + areas * self.setup.powi(2);
        }
        Judged { mean, covariance }
    }
}

fn row(at: [f64; 2], size: [f64; 2]) -> [f64; 3] {
    [1.0, at[0] - 0.5 * size[0], at[1] - 0.5 * size[1]]
}

fn design(points: &[[f64; 3]], size: [f64; 2]) -> DMatrix<f64> {
    DMatrix::from_fn(points.len(), 3, |i, j| row([points[i][0], points[i][1]], size)[j])
}

fn nodes(from: f64, to: f64, size: [f64; 2]) -> Vec<([f64; 2], f64)> {
    let along = ((NODES.0 * (to - from) / size[0]).ceil() as usize).max(2);
    let (dx, dy) = ((to - from) / along as f64, size[1] / NODES.1 as f64);
    (0..along * NODES.1)
        .map(|k| {
            let at = [from + ((k / NODES.1) as f64 + 0.5) * dx, ((k % NODES.1) as f64 + 0.5) * dy];
            (at, dx * dy)
        })
        .collect()
}

/// Solves for one process; the likelihood is the restricted one, up to a constant.
fn solve(points: &[[f64; 3]], size: [f64; 2], rod: f64, process: Process) -> Option<Solved> {
    let n = points.len();
    let at = |i: usize| [points[i][0], points[i][1]];
    let noise = |i, j| if i == j { rod * rod } else { 0.0 };
    let factor = DMatrix::from_fn(n, n, |i, j| process.covariance(at(i), at(j)) + noise(i, j)).cholesky()?;
    let z = DVector::from_fn(n, |i, _| points[i][2]);
    let design = design(points, size);
    let inverse = factor.inverse();
    let information = (design.transpose() * &inverse * &design).cholesky()?;
    let trend_covariance = information.inverse();
    let trend = &trend_covariance * design.transpose() * &inverse * &z;
    let residual = &z - &design * &trend;
    let weights = &inverse * &residual;
    let logs = |l: DMatrix<f64>| l.diagonal().iter().map(|d| log(*d)).sum::<f64>();
    let likelihood = -0.5 * residual.dot(&weights) - logs(factor.l()) - logs(information.l());
    Some(Solved { inverse, trend, trend_covariance, weights, likelihood })
}
