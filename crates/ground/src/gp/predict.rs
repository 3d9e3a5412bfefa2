//! What the fitted process says of spots and pieces of floor.

use nalgebra::{DMatrix, DMatrixView, DVector};

use super::kernel::MaternPair;
use super::process::{Process, own_variance};
use crate::{P2, P3};

/// Columns of a symmetric product that are worked at once; only blocks on and below the diagonal are.
const BLOCK: usize = 64;
/// Distances that differ by less than this share of the shots' extent are one: under 1e-10 of a correlation.
const SAME: f64 = 1e-12;

/// A small piece of floor: its middle, its area (0 for a spot), and the part of the base it is on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Its middle, m.
    pub at: P2,
    /// Its area, m².
    pub area: f64,
    /// Part of the base.
    pub zone: usize,
}

/// Variance of a volume by where it comes from, m⁶.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct DoubtParts {
    /// What the base does between the shots, and how little they tell of its roughness.
    pub between_shots: f64,
    /// Errors of single readings.
    pub readings: f64,
    /// Errors common to a set-up: backsight and tilt.
    pub setups: f64,
}

/// Spots or pieces as columns, so that a loop over them runs in the processor's lanes.
#[derive(Debug, Default)]
struct Places {
    x: Vec<f64>,
    y: Vec<f64>,
    area: Vec<f64>,
    zone: Vec<usize>,
}

impl Places {
    fn of(pieces: impl Iterator<Item = Piece>) -> Self {
        let mut places = Self::default();
        for piece in pieces {
            places.x.push(piece.at.x);
            places.y.push(piece.at.y);
            places.area.push(piece.area);
            places.zone.push(piece.zone);
        }
        places
    }

    /// Sets to nought what belongs to places from `first` on that are on another part of the base.
    fn part(&self, first: usize, zone: usize, values: &mut [f64]) {
        for (value, other) in values.iter_mut().zip(&self.zone[first..]) {
            if *other != zone {
                *value = 0.0;
            }
        }
    }
}

/// Distances between one piece and others, and sums of their areas.
#[derive(Debug, Default)]
struct Apart {
    distances: Vec<f64>,
    areas: Vec<f64>,
}

/// What has changed from one piece to the next.
#[derive(Debug, Default)]
struct Fresh {
    which: Vec<usize>,
    apart: Apart,
}

impl Apart {
    /// From `piece` to all places from `first` on.
    fn measure(&mut self, places: &Places, first: usize, piece: &Piece) {
        self.distances.clear();
        self.distances.extend(places.x[first..].iter().zip(&places.y[first..]).map(|(x, y)| {
            let (x, y) = (x - piece.at.x, y - piece.at.y);
            (x * x + y * y).sqrt()
        }));
        self.areas.clear();
        self.areas.extend(places.area[first..].iter().map(|area| area + piece.area));
    }

    /// Takes over those of `next` that differ by more than `same`, m and m², and tells which.
    fn renew(&mut self, next: &Self, same: f64) -> Fresh {
        let mut fresh = Fresh::default();
        for (i, (&distance, &area)) in next.distances.iter().zip(&next.areas).enumerate() {
            let near = |a: f64, b: f64| (a - b).abs() <= same;
            if !near(distance, self.distances[i]) || !near(area, self.areas[i]) {
                (self.distances[i], self.areas[i]) = (distance, area);
                fresh.which.push(i);
                fresh.apart.distances.push(distance);
                fresh.apart.areas.push(area);
            }
        }
        fresh
    }
}

impl Process {
    /// Covariances of the common errors of each shot (row) and each piece seen from the datum (column), m².
    fn common_with_shots(&self, pieces: &[Piece]) -> DMatrix<f64> {
        DMatrix::from_fn(self.shots.len(), pieces.len(), |i, j| {
            let shot = &self.shots[i];
            self.datum
                .map_or(0.0, |d| self.errors.common_covariance((d, pieces[j].at), (shot.setup, shot.at)))
        })
    }

    fn trend(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let mut result = DMatrix::zeros(self.frame.columns(), pieces.len());
        for (j, piece) in pieces.iter().enumerate() {
            result.set_column(j, &self.frame.trend(piece.at, piece.zone));
        }
        result
    }

    /// Correlations of one length between a shot and all pieces, put into `values`.
    fn with_shot(&self, shot: usize, length: f64, places: &Places, apart: &Apart, values: &mut [f64]) {
        values.fill(0.0);
        MaternPair::new(length).add_between(1.0, &apart.distances, &places.area, values);
        places.part(0, self.shots[shot].zone, values);
    }

    /// Mean height of the base over each piece, m.
    #[must_use]
    pub fn means(&self, pieces: &[Piece]) -> Vec<f64> {
        let n = self.shots.len();
        let places = Places::of(pieces.iter().copied());
        let mut of_trend = DVector::zeros(self.frame.columns());
        for group in &self.groups {
            of_trend.axpy(group.weight, &group.mean.rows(n, of_trend.len()), 1.0);
        }
        let mut means: Vec<f64> =
            pieces.iter().map(|piece| self.frame.trend(piece.at, piece.zone).dot(&of_trend)).collect();
        let (mut apart, mut values) = (Apart::default(), vec![0.0; pieces.len()]);
        for (i, shot) in self.shots.iter().enumerate() {
            apart.measure(&places, 0, &Piece { at: shot.at, area: 0.0, zone: shot.zone });
            for group in &self.groups {
                self.with_shot(i, group.length, &places, &apart, &mut values);
                let share = group.weight * group.mean[i];
                for (mean, value) in means.iter_mut().zip(&values) {
                    *mean += share * value;
                }
            }
        }
        means
    }

    /// Heights of the base at spots, m.
    #[must_use]
    pub fn sample(&self, spots: &[P2], zone: usize) -> Vec<P3> {
        let pieces: Vec<Piece> = spots.iter().map(|&at| Piece { at, area: 0.0, zone }).collect();
        spots.iter().zip(self.means(&pieces)).map(|(p, z)| p.at(z)).collect()
    }

    /// Variance of the base at one spot, m².
    #[must_use]
    pub fn variance(&self, at: P2, zone: usize) -> f64 {
        self.covariance(&[Piece { at, area: 0.0, zone }])[(0, 0)].max(0.0)
    }

    /// Posterior covariance of the mean heights of pieces, m²: within the nodes and between them.
    #[must_use]
    pub fn covariance(&self, pieces: &[Piece]) -> DMatrix<f64> {
        self.means_and_covariance(pieces).1
    }

    /// Both of them for the price of the second.
    #[must_use]
    pub fn means_and_covariance(&self, pieces: &[Piece]) -> (Vec<f64>, DMatrix<f64>) {
        let mut total = self.prior_covariance(pieces);
        let (basis, means) = self.basis(pieces);
        let m = pieces.len();
        for first in (0..m).step_by(BLOCK) {
            let count = BLOCK.min(m - first);
            let weighted = self.weighted(&basis.rows(first, count)).transpose();
            let mut block = total.view_mut((first, first), (m - first, count));
            block.gemm(1.0, &basis.rows(first, m - first), &weighted, 1.0);
        }
        total.fill_upper_triangle_with_lower_triangle();
        (means, total)
    }

    /// A row for each piece: its correlations with the shots for every length, then its trend, then how far the mean of every
    /// length stands off that of all. In these every covariance is a sum of products. Beside it the means of all.
    fn basis(&self, pieces: &[Piece]) -> (DMatrix<f64>, Vec<f64>) {
        let (n, p, groups, m) = (self.shots.len(), self.frame.columns(), self.groups.len(), pieces.len());
        let places = Places::of(pieces.iter().copied());
        let mut basis = DMatrix::zeros(m, n * groups + p + groups);
        let mut apart = Apart::default();
        for (i, shot) in self.shots.iter().enumerate() {
            apart.measure(&places, 0, &Piece { at: shot.at, area: 0.0, zone: shot.zone });
            for (k, group) in self.groups.iter().enumerate() {
                let values = &mut basis.as_mut_slice()[m * (n * k + i)..m * (n * k + i + 1)];
                self.with_shot(i, group.length, &places, &apart, values);
            }
        }
        basis.columns_mut(n * groups, p).copy_from(&self.trend(pieces).transpose());
        let mut whole = DVector::zeros(m);
        for (k, group) in self.groups.iter().enumerate() {
            let mut own = basis.columns(n * k, n) * group.mean.rows(0, n);
            own.gemv(1.0, &basis.columns(n * groups, p), &group.mean.rows(n, p), 1.0);
            whole.axpy(group.weight, &own, 1.0);
            basis.set_column(n * groups + p + k, &own);
        }
        for mut own in basis.columns_mut(n * groups + p, groups).column_iter_mut() {
            own -= &whole;
        }
        (basis, whole.as_slice().to_vec())
    }

    /// Rows of the basis with the coefficients behind them: `total += basis·weightedᵀ`.
    fn weighted(&self, basis: &DMatrixView<'_, f64>) -> DMatrix<f64> {
        let (n, p, groups) = (self.shots.len(), self.frame.columns(), self.groups.len());
        let trend = basis.columns(n * groups, p);
        let mut weighted = DMatrix::zeros(basis.nrows(), basis.ncols());
        let mut of_trend = self.own.clone();
        for (k, group) in self.groups.iter().enumerate() {
            let own = basis.columns(n * k, n);
            let (beside, below) = (group.inner.view((0, n), (n, p)), group.inner.view((n, 0), (p, n)));
            let mut columns = weighted.columns_mut(n * k, n);
            columns.gemm(1.0, &own, &group.inner.view((0, 0), (n, n)), 0.0);
            columns.gemm(1.0, &trend, &below, 1.0);
            weighted.columns_mut(n * groups, p).gemm(1.0, &own, &beside, 1.0);
            of_trend += group.inner.view((n, n), (p, p));
            weighted.set_column(n * groups + p + k, &(basis.column(n * groups + p + k) * group.weight));
        }
        weighted.columns_mut(n * groups, p).gemm(1.0, &trend, &of_trend, 1.0);
        weighted
    }

    /// Covariance of the rough part between pieces, all lengths together, on and below the diagonal; nought between different
    /// parts of the base.
    ///
    /// In a grid a pair stands as the pair before it did, each one piece on; such a pair takes its value.
    fn prior_covariance(&self, pieces: &[Piece]) -> DMatrix<f64> {
        let m = pieces.len();
        let places = Places::of(pieces.iter().copied());
        let same = SAME * self.frame.size;
        let mut apart = Apart::default();
        let mut known = Apart { distances: vec![f64::NAN; m], areas: vec![f64::NAN; m] };
        let mut values = vec![0.0; m];
        let mut result = DMatrix::zeros(m, m);
        for (j, (piece, column)) in
            pieces.iter().zip(result.as_mut_slice().chunks_exact_mut(m.max(1))).enumerate()
        {
            apart.measure(&places, j, piece);
            let fresh = known.renew(&apart, same);
            let mut sums = vec![0.0; fresh.which.len()];
            for group in &self.groups {
                let kernel = MaternPair::new(group.length);
                kernel.add_between(group.sill, &fresh.apart.distances, &fresh.apart.areas, &mut sums);
            }
            for (&i, sum) in fresh.which.iter().zip(sums) {
                values[i] = sum;
            }
            column[j..].copy_from_slice(&values[..m - j]);
            places.part(j, piece.zone, &mut column[j..]);
        }
        result
    }

    /// What the doubt of a volume comes from: the pieces' mean heights summed by area.
    ///
    /// Each node's prediction is a weighted sum of the shots, so its error splits exactly into what the
    /// base does between the shots, the shots' own errors under their weights, and the set-ups' errors.
    #[must_use]
    pub fn parts(&self, pieces: &[Piece], areas: &[f64]) -> DoubtParts {
        let areas = DVector::from_fn(pieces.len(), |i, _| areas.get(i).copied().unwrap_or(0.0));
        let whole = areas.dot(&(self.covariance(pieces) * &areas)).max(0.0);
        let common = self.common_with_shots(pieces) * &areas;
        let trend = self.trend(pieces) * &areas;
        let datum = trend.dot(&(&self.own * &trend));
        let n = self.shots.len();
        let of_shots = DMatrix::from_fn(n, n, |i, j| {
            let (a, b) = (&self.shots[i], &self.shots[j]);
            self.errors.common_covariance((a.setup, a.at), (b.setup, b.at))
        });
        let basis = self.basis(pieces).0.tr_mul(&areas);
        let (mut readings, mut setups) = (0.0, 0.0);
        for (k, group) in self.groups.iter().enumerate() {
            let correlation = &group.to_white * basis.rows(n * k, n);
            let common_white = &group.to_white * &common;
            for node in &group.nodes {
                let given = node.weights(&(&correlation * (node.sd * node.sd) + &common_white), &trend);
                let given = group.to_white.tr_mul(&given);
                let own = self.shots.iter().zip(given.iter()).map(|(s, w)| own_variance(s) * w * w);
                readings += node.weight * own.sum::<f64>();
                setups += node.weight * (datum - 2.0 * given.dot(&common) + given.dot(&(&of_shots * &given)));
            }
        }
        // Both are sums of squares; only rounding can make them negative.
        let (readings, setups) = (readings.max(0.0), setups.max(0.0));
        DoubtParts { between_shots: (whole - readings - setups).max(0.0), readings, setups }
    }
}
