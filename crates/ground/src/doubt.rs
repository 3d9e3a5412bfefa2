//! How far the volume of the floor, and of any part of it, can be trusted; where to shoot next.

use nalgebra::{DMatrix, DVector};

use basis::Volume;

use crate::P2;
use crate::gp::process::{Piece, Process};
use crate::quadrature::Quadrature;

/// Posterior covariance of the base over the floor's pieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    covariance: DMatrix<f64>,
    points: Vec<P2>,
}

/// A spot where one more shot would help.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NextShot {
    /// Where, m.
    pub at: P2,
    /// Spread of the floor's volume with this shot and those before it in the list.
    pub volume_sd: Volume,
}

/// Covariance of the base over the pieces of the floor.
#[must_use]
pub fn doubt(process: &Process, floor: &Quadrature, zone_of: &dyn Fn(P2) -> usize) -> Doubt {
    let pieces: Vec<Piece> = floor
        .points
        .iter()
        .zip(&floor.weights)
        .map(|(&at, &area)| Piece { at, area, zone: zone_of(at) })
        .collect();
    Doubt { covariance: process.covariance(&pieces), points: floor.points.clone() }
}

impl Doubt {
    /// Covariance of two volumes, each a sum of pieces weighted by area, m⁶.
    #[must_use]
    pub fn covariance(&self, a: &[f64], b: &[f64]) -> f64 {
        let (a, b) = (DVector::from_column_slice(a), DVector::from_column_slice(b));
        // Symmetric to the last bit in its arguments: the sum is taken one way and the other.
        0.5 * (a.dot(&(&self.covariance * &b)) + b.dot(&(&self.covariance * &a)))
    }

    /// Spread of a volume.
    #[must_use]
    pub fn volume_sd(&self, weights: &[f64]) -> Volume {
        Volume::cubic_metres(self.covariance(weights, weights).max(0.0).sqrt())
    }

    /// The spots, best first, where further shots of own error `noise` (m², variance) would narrow the
    /// volume most: a shot at `x` takes `Cov(V, x)² / (Var(x) + noise)` off the variance, and the next one
    /// is sought with the first taken as shot.
    #[must_use]
    pub fn next_shots(&self, weights: &[f64], noise: f64, count: usize) -> Vec<NextShot> {
        let weights = DVector::from_column_slice(weights);
        let mut covariance = self.covariance.clone();
        let mut result = Vec::new();
        for _ in 0..count {
            let with_volume = &covariance * &weights;
            let gain = |i: usize| with_volume[i] * with_volume[i] / (covariance[(i, i)].max(0.0) + noise);
            let best = (0..self.points.len()).max_by(|&i, &j| gain(i).total_cmp(&gain(j)));
            let Some(best) = best.filter(|&i| gain(i) > 0.0) else { break };
            let column = covariance.column(best).into_owned();
            let scale = 1.0 / (column[best].max(0.0) + noise);
            covariance.ger(-scale, &column, &column, 1.0);
            let left = weights.dot(&(&covariance * &weights)).max(0.0);
            result.push(NextShot { at: self.points[best], volume_sd: Volume::cubic_metres(left.sqrt()) });
        }
        result
    }
}
