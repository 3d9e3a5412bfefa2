//! The average over choices of roughness and length, folded into one small matrix for each length.
//!
//! For one length the shots' covariance is `K = σ²R + N`, with `N` their errors. With `N = LLᵀ` and `L⁻¹RL⁻ᵀ = QTQᵀ` it is
//! `V⁻¹(σ²T + I)V⁻ᵀ`, `V = QᵀL⁻¹`, and all roughnesses share `V` and the three diagonals of `T`.
//!
//! Every choice predicts linearly in `Z = [R*; T*]`, the correlations with the shots over the trend at the target: its
//! covariance with the data is `EᵀZ` with `E = [σ²I; Aᵀ]`, where `AT*` are the errors that shots and target have in common.
//! Means and explained covariances of all choices are then sums of coefficients, found once at the fit.

use basis::math::log;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

use super::krige::TrendPrior;
use super::tridiagonal::{Shifted, Tridiagonal};

/// The shots as all choices see them.
#[derive(Debug)]
pub(super) struct Data<'a> {
    /// `L⁻¹`.
    whitener: DMatrix<f64>,
    /// `L⁻¹[F, z]`: trend and heights.
    seen: DMatrix<f64>,
    /// Logarithm of the determinant of `N`.
    log_det: f64,
    known: &'a TrendPrior,
}

impl<'a> Data<'a> {
    /// Whitens trend and heights by the errors; `None` when the errors' covariance has no factor.
    pub fn new(
        errors: DMatrix<f64>,
        trend: &DMatrix<f64>,
        heights: &DVector<f64>,
        known: &'a TrendPrior,
    ) -> Option<Self> {
        let whitener = lower_inverse(Cholesky::new(errors)?.l_dirty());
        let log_det = -2.0 * whitener.diagonal().iter().map(|d| log(*d)).sum::<f64>();
        let (n, p) = trend.shape();
        let mut all = DMatrix::zeros(n, p + 1);
        all.columns_mut(0, p).copy_from(trend);
        all.set_column(p, heights);
        Some(Self { seen: &whitener * all, whitener, log_det, known })
    }

    /// Shots by one length, from their correlations.
    pub fn by_length(&self, length: f64, correlation: &DMatrix<f64>) -> ByLength<'_> {
        let reduced = Tridiagonal::of(&self.whitener * correlation * self.whitener.transpose());
        let mut seen = self.seen.clone();
        reduced.turn(&mut seen);
        let p = seen.ncols() - 1;
        ByLength {
            length,
            reduced,
            trend: seen.columns(0, p).into_owned(),
            heights: seen.column(p).into_owned(),
            data: self,
        }
    }
}

/// The shots for one length and any roughness.
#[derive(Debug)]
pub(super) struct ByLength<'a> {
    length: f64,
    reduced: Tridiagonal,
    /// `VF`.
    trend: DMatrix<f64>,
    /// `Vz`.
    heights: DVector<f64>,
    data: &'a Data<'a>,
}

/// One choice of roughness, with its weight.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub weight: f64,
    pub sd: f64,
    shifted: Shifted,
    /// `(σ²T + I)⁻¹VF`.
    weighted_trend: DMatrix<f64>,
    /// Factor of what data and prior say of the trend.
    information: Cholesky<f64, Dyn>,
    beta: DVector<f64>,
    /// `(σ²T + I)⁻¹V(z − Fβ)`.
    alpha: DVector<f64>,
}

impl ByLength<'_> {
    /// One roughness, weighted by the logarithm of its restricted likelihood; `None` when it cannot be.
    ///
    /// The same as [`super::krige::krige_about`], which states the equations.
    pub fn node(&self, sd: f64) -> Option<Node> {
        let (n, p) = self.trend.shape();
        let known = self.data.known;
        let shifted = self.reduced.shifted(sd * sd)?;
        let mut weighted_trend = self.trend.clone();
        shifted.solve(&mut weighted_trend);
        let mut information = self.trend.tr_mul(&weighted_trend);
        for (i, precision) in known.precision.iter().enumerate() {
            information[(i, i)] += precision;
        }
        let information = Cholesky::new(information)?;
        let before = known.precision.component_mul(&known.mean);
        let beta = information.solve(&(weighted_trend.tr_mul(&self.heights) + before));
        let residual = &self.heights - &self.trend * &beta;
        let mut alpha = DMatrix::from_column_slice(n, 1, residual.as_slice());
        shifted.solve(&mut alpha);
        let alpha = alpha.column(0).into_owned();
        let off = &beta - &known.mean;
        let misfit = residual.dot(&alpha) + off.component_mul(&off).dot(&known.precision);
        let log_det = self.data.log_det + shifted.pivots.iter().map(|d| log(*d)).sum::<f64>();
        let log_det_trend = 2.0 * information.l_dirty().diagonal().iter().map(|d| log(*d)).sum::<f64>();
        let free = n as f64 - p as f64;
        let weight = -0.5 * (misfit + log_det + log_det_trend + free * log(std::f64::consts::TAU));
        weight.is_finite().then_some(Node { weight, sd, shifted, weighted_trend, information, beta, alpha })
    }

    /// Sums the nodes; `common` is `A`, n × p.
    pub fn group(&self, nodes: Vec<Node>, common: &DMatrix<f64>) -> Group {
        let (n, p) = common.shape();
        let mut to_white = self.data.whitener.clone();
        self.reduced.turn(&mut to_white);
        let common = &to_white * common;
        let weight: f64 = nodes.iter().map(|node| node.weight).sum();
        let means: Vec<DVector<f64>> = nodes.iter().map(|node| node.mean(&common)).collect();
        let mut mean = DVector::zeros(n + p);
        for (node, own) in nodes.iter().zip(&means) {
            mean.axpy(node.weight / weight, own, 1.0);
        }
        let mut inner = DMatrix::zeros(n + p, n + p);
        for (node, own) in nodes.iter().zip(&means) {
            node.explain(&common, &mut inner);
            let off = own - &mean;
            inner.ger(node.weight, &off, &off, 1.0);
        }
        let back = to_white.transpose();
        let of_shots = &back * inner.view((0, 0), (n, n)) * &to_white;
        inner.view_mut((0, 0), (n, n)).copy_from(&of_shots);
        let beside = &back * inner.view((0, n), (n, p));
        inner.view_mut((0, n), (n, p)).copy_from(&beside);
        inner.view_mut((n, 0), (p, n)).copy_from(&beside.transpose());
        let of_shots = &back * mean.rows(0, n);
        mean.rows_mut(0, n).copy_from(&of_shots);
        let sill = nodes.iter().map(|node| node.weight * node.sd * node.sd).sum();
        Group { length: self.length, weight, sill, mean, inner, to_white, nodes }
    }
}

/// The nodes of one length, summed.
#[derive(Debug, Clone)]
pub(super) struct Group {
    pub length: f64,
    /// Sum of the nodes' weights.
    pub weight: f64,
    /// Sum of weight × variance of the rough part, m².
    pub sill: f64,
    /// Coefficients of `Z` in the mean of these nodes.
    pub mean: DVector<f64>,
    /// What goes on the prior covariance, as `Zᵀ·inner·Z`, weights included: less what the data explain, plus what the
    /// trend leaves open, plus how far the nodes' means stand apart.
    pub inner: DMatrix<f64>,
    /// `V`.
    pub to_white: DMatrix<f64>,
    pub nodes: Vec<Node>,
}

impl Node {
    /// `[σ²α; β + Aᵀα]`, with `A` and `α` turned by `V`.
    fn mean(&self, common: &DMatrix<f64>) -> DVector<f64> {
        let (n, p) = common.shape();
        let level = &self.beta + common.tr_mul(&self.alpha);
        DVector::from_fn(n + p, |i, _| if i < n { self.sd * self.sd * self.alpha[i] } else { level[i - n] })
    }

    /// Adds `−E(σ²T + I)⁻¹Eᵀ + GJ⁻¹Gᵀ` by its weight: less what the data explain, plus what the trend leaves open, with
    /// `G = [−σ²W; I − AᵀW]`, `W = (σ²T + I)⁻¹VF` and `J` the information about the trend.
    fn explain(&self, common: &DMatrix<f64>, inner: &mut DMatrix<f64>) {
        let (n, p) = common.shape();
        let variance = self.sd * self.sd;
        self.shifted.add_inverse(-self.weight * variance * variance, inner);
        let mut solved = common.clone();
        self.shifted.solve(&mut solved);
        let beside = &solved * (-self.weight * variance);
        let mut view = inner.view_mut((0, n), (n, p));
        view += &beside;
        let mut view = inner.view_mut((n, 0), (p, n));
        view += beside.transpose();
        let mut view = inner.view_mut((n, n), (p, p));
        view -= common.tr_mul(&solved) * self.weight;
        let mut left = DMatrix::zeros(p, n + p);
        left.columns_mut(0, n).copy_from(&(self.weighted_trend.transpose() * -variance));
        left.columns_mut(n, p).copy_from(&(DMatrix::identity(p, p) - self.weighted_trend.tr_mul(common)));
        // The factor has no zero on its diagonal, so this cannot fail.
        self.information.l_dirty().solve_lower_triangular_mut(&mut left);
        inner.gemm(self.weight, &left.transpose(), &left, 1.0);
    }

    /// Weights of the shots in the prediction of one target, before `Vᵀ` is put before them; `reach` is `V` times its
    /// covariance with the shots.
    pub fn weights(&self, reach: &DVector<f64>, trend: &DVector<f64>) -> DVector<f64> {
        let mut plain = DMatrix::from_column_slice(reach.len(), 1, reach.as_slice());
        self.shifted.solve(&mut plain);
        let left = trend - self.weighted_trend.tr_mul(reach);
        plain.column(0) + &self.weighted_trend * self.information.solve(&left)
    }

    /// Leave-one-out residuals divided by their standard errors [@rasmussen-williams2006, eq. 5.10 to 5.12].
    pub fn standardised_residuals(&self, to_white: &DMatrix<f64>) -> Vec<f64> {
        let mut open = self.weighted_trend.tr_mul(to_white);
        // The factor has no zero on its diagonal, so this cannot fail.
        self.information.l_dirty().solve_lower_triangular_mut(&mut open);
        let residuals = to_white.tr_mul(&self.alpha);
        let mut column = Vec::new();
        let scaled = |i: usize| {
            column.clear();
            column.extend(to_white.column(i).iter());
            self.shifted.forward(&mut column);
            let whole: f64 = column.iter().zip(&self.shifted.pivots).map(|(x, pivot)| x * x / pivot).sum();
            residuals[i] / (whole - open.column(i).norm_squared()).max(f64::MIN_POSITIVE).sqrt()
        };
        (0..residuals.len()).map(scaled).collect()
    }
}

/// Inverse of a lower triangle with no zero on its diagonal; what stands above the diagonal is not looked at.
fn lower_inverse(lower: &DMatrix<f64>) -> DMatrix<f64> {
    let n = lower.nrows();
    let mut inverse = DMatrix::zeros(n, n);
    for j in 0..n {
        let mut column = inverse.column_mut(j);
        let column = column.as_mut_slice();
        column[j] = 1.0;
        for k in j..n {
            let solved = column[k] / lower[(k, k)];
            column[k] = solved;
            let below = &lower.as_slice()[k * n + k + 1..(k + 1) * n];
            for (entry, factor) in column[k + 1..].iter_mut().zip(below) {
                *entry -= solved * factor;
            }
        }
    }
    inverse
}

#[cfg(test)]
mod tests {
    use super::super::krige::krige_about;
    use super::*;

    #[test]
    fn the_inverse_of_a_triangle_is_one() {
        let n = 7;
        let lower = DMatrix::from_fn(n, n, |i, j| match i.cmp(&j) {
            std::cmp::Ordering::Less => f64::NAN,
            std::cmp::Ordering::Equal => 2.0 + i as f64,
            std::cmp::Ordering::Greater => 0.3 * i as f64 - 0.7 * j as f64,
        });
        let product = lower.lower_triangle() * lower_inverse(&lower);
        assert!((product - DMatrix::identity(n, n)).abs().max() < 1e-12);
    }

    /// One choice by three diagonals against the whole system factored by itself: likelihood, mean, covariance, weights and
    /// leave-one-out residuals, the last by leaving each shot out.
    #[test]
    fn one_choice_agrees_with_its_own_factor() {
        let (n, p) = (9, 3);
        let at: Vec<f64> = (0..n).map(|i| ((i * 5 + 3) % 11) as f64).collect();
        let k = |a: f64, b: f64| super::super::Kernel::Matern32.correlation((a - b).abs(), 4.0);
        let correlation = DMatrix::from_fn(n, n, |i, j| k(at[i], at[j]));
        let errors = DMatrix::from_fn(n, n, |i, j| if i == j { 0.1 + 0.01 * i as f64 } else { 0.02 });
        let trend = DMatrix::from_fn(n, p, |i, j| [1.0, at[i], at[i] * at[i] / 9.0][j]);
        let heights = DVector::from_fn(n, |i, _| ((i * 7 + 2) % 5) as f64 - 0.2 * at[i]);
        let known = TrendPrior {
            mean: DVector::from_vec(vec![0.0, 0.1, -0.2]),
            precision: DVector::from_vec(vec![0.0, 2.0, 9.0]),
        };
        let sd: f64 = 1.3;
        let data = Data::new(errors.clone(), &trend, &heights, &known).unwrap();
        let by_length = data.by_length(4.0, &correlation);
        let mut node = by_length.node(sd).unwrap();
        let whole = &correlation * (sd * sd) + &errors;
        let system = krige_about(whole.clone(), trend.clone(), &heights, &known).unwrap();
        assert!((node.weight - system.restricted).abs() < 1e-11);
        node.weight = 1.0;
        let common = DMatrix::from_fn(n, p, |i, j| 0.01 * (i as f64 - 3.0 * j as f64));
        let group = by_length.group(vec![node], &common);
        let target = DVector::from_vec(vec![1.0, 5.5, 5.5 * 5.5 / 9.0]);
        let near = DVector::from_fn(n, |i, _| k(at[i], 5.5));
        let reach = &near * (sd * sd) + &common * &target;
        let z = DVector::from_iterator(n + p, near.iter().chain(target.iter()).copied());
        assert!((group.mean.dot(&z) - system.mean(&reach, &target)).abs() < 1e-11);
        assert!((z.dot(&(&group.inner * &z)) - system.variance(0.0, &reach, &target)).abs() < 1e-11);
        let weights = group.nodes[0].weights(&(&group.to_white * &reach), &target);
        let weights = group.to_white.tr_mul(&weights);
        // The prior's share of the mean stands beside the shots' weights.
        let moved = krige_about(whole.clone(), trend.clone(), &heights.add_scalar(1.0), &known).unwrap();
        assert!((weights.sum() - (moved.mean(&reach, &target) - system.mean(&reach, &target))).abs() < 1e-11);
        for (i, found) in group.nodes[0].standardised_residuals(&group.to_white).into_iter().enumerate() {
            let rest = whole.clone().remove_row(i).remove_column(i);
            let without =
                krige_about(rest, trend.clone().remove_row(i), &heights.clone().remove_row(i), &known)
                    .unwrap();
            let reach = whole.column(i).into_owned().remove_row(i);
            let target = trend.row(i).transpose();
            let variance = without.variance(whole[(i, i)], &reach, &target);
            let wanted = (heights[i] - without.mean(&reach, &target)) / variance.sqrt();
            assert!((found - wanted).abs() < 1e-9, "{found} against {wanted}");
        }
    }
}
