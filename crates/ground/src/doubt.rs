//! How far the volume of the floor, and of any part of it, can be trusted; where to shoot next.

use nalgebra::{DMatrix, DVector};

use basis::Volume;

use crate::P2;
use crate::gp::{Piece, Process};
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

#[cfg(test)]
mod tests {
    use basis::math::{erf, exp};

    use super::*;
    use crate::gp::Kernel;
    use crate::gp::krige::krige;

    const LENGTH: f64 = 1.5;
    const VARIANCE: f64 = 3600.0;

    /// Mean of the smooth kernel between `x` and the span 1 to 5, in closed form.
    fn to_span(x: f64) -> f64 {
        let scale = std::f64::consts::SQRT_2 * LENGTH;
        LENGTH * (std::f64::consts::PI / 2.0).sqrt() / 4.0 * (erf((5.0 - x) / scale) + erf((x - 1.0) / scale))
    }

    /// Mean of the smooth kernel between two spots of the span, in closed form.
    fn within_span() -> f64 {
        let (span, l) = (4.0, LENGTH);
        let near =
            l * span * (std::f64::consts::PI / 2.0).sqrt() * erf(span / (std::f64::consts::SQRT_2 * l));
        2.0 / (span * span) * (near - l * l * (1.0 - exp(-span * span / (2.0 * l * l))))
    }

    fn davis() -> (Vec<P2>, DVector<f64>) {
        let rows: Vec<Vec<f64>> = include_str!("../tests/data/topo.csv")
            .lines()
            .skip(1)
            .map(|l| l.split(',').map(|c| c.parse().unwrap()).collect())
            .collect();
        let points = rows.iter().map(|r| P2::new(r[0], r[1])).collect();
        (points, DVector::from_iterator(rows.len(), rows.iter().map(|r| r[2])))
    }

    /// Block mean and spread over [1, 5]² and the best next shot among spots 0.25 apart, computed
    /// independently (closed forms and a refit) from the 52 points [@davis1973].
    #[test]
    fn davis_block_and_next_shot() {
        let (points, heights) = davis();
        let n = points.len();
        let k = |a: P2, b: P2| VARIANCE * Kernel::SquaredExponential.correlation(a.distance(b), LENGTH);
        let data = DMatrix::from_fn(n, n, |i, j| k(points[i], points[j]) + if i == j { 25.0 } else { 0.0 });
        // Candidates, and the block itself as the last "spot".
        let mut spots: Vec<P2> = (0..289)
            .map(|i| P2::new(1.0 + 0.25 * f64::from(i % 17), 1.0 + 0.25 * f64::from(i / 17)))
            .collect();
        let block = spots.len();
        spots.push(P2::new(3.0, 3.0));
        let to_block = |p: P2| VARIANCE * to_span(p.x) * to_span(p.y);
        let own = DMatrix::from_fn(block + 1, block + 1, |i, j| match (i == block, j == block) {
            (true, true) => VARIANCE * within_span() * within_span(),
            (true, false) => to_block(spots[j]),
            (false, true) => to_block(spots[i]),
            (false, false) => k(spots[i], spots[j]),
        });
        let with_data = DMatrix::from_fn(n, block + 1, |i, j| {
            if j == block { to_block(points[i]) } else { k(points[i], spots[j]) }
        });

        let trended = krige(data.clone(), DMatrix::from_element(n, 1, 1.0), &heights).unwrap();
        let column = with_data.column(block).into_owned();
        let one = DVector::from_element(1, 1.0);
        assert!((trended.mean(&column, &one) - 826.264_863_48).abs() < 1e-6);
        let variance = trended.variance(own[(block, block)], &column, &one);
        assert!((variance.sqrt() - 1.280_256_77).abs() < 1e-7);

        let plain = krige(data, DMatrix::zeros(n, 0), &heights).unwrap();
        let mut covariance = own;
        plain.explain(&mut covariance, 1.0, with_data, &DMatrix::zeros(0, block + 1));
        assert!((covariance[(block, block)] - 1.638_694_72).abs() < 1e-7);
        let doubt = Doubt { covariance, points: spots };
        let mut weights = vec![0.0; block + 1];
        weights[block] = 1.0;
        let best = doubt.next_shots(&weights, 25.0, 1)[0];
        assert_eq!(best.at, P2::new(3.0, 2.5));
        let after = best.volume_sd.in_cubic_metres();
        assert!((after * after - 1.300_727_85).abs() < 1e-7);
    }

    #[test]
    fn nothing_to_gain_gives_no_shots() {
        let doubt = Doubt { covariance: DMatrix::zeros(2, 2), points: vec![P2::default(); 2] };
        assert!(doubt.next_shots(&[1.0, 1.0], 1e-6, 3).is_empty());
    }
}
