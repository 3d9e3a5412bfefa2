//! Best linear unbiased prediction with known covariances (universal kriging).
//!
//! `β = (FᵀK⁻¹F)⁻¹FᵀK⁻¹z`, `ẑ = fᵀβ + kᵀK⁻¹(z − Fβ)`, and the posterior covariance is
//! `c − kᵀK⁻¹k' + (f − FᵀK⁻¹k)ᵀ(FᵀK⁻¹F)⁻¹(f' − FᵀK⁻¹k')` [@isaaks1989].

use basis::math::log;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// A factored kriging system: predicts anything whose covariance with the data is known.
#[derive(Debug, Clone)]
pub struct Krige {
    covariance: Cholesky<f64, Dyn>,
    /// `K⁻¹F`.
    weighted_trend: DMatrix<f64>,
    /// Factor of `FᵀK⁻¹F + P`, with `P` what was known before; absent without a trend.
    information: Option<Cholesky<f64, Dyn>>,
    /// Coefficients of the trend.
    pub beta: DVector<f64>,
    /// `K⁻¹(z − Fβ)`.
    pub alpha: DVector<f64>,
    /// Log likelihood at `β`.
    pub log_likelihood: f64,
    /// Restricted log likelihood, up to a constant that depends on the trend alone.
    pub restricted: f64,
}

/// What is known of the trend's coefficients before the data, each by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct TrendPrior {
    /// Expected values, p of them.
    pub mean: DVector<f64>,
    /// One over their variances; 0 where nothing is known.
    pub precision: DVector<f64>,
}

/// Factors the system; `None` when the covariance or the trend's information is singular.
///
/// `covariance` is n × n with the noise on it, `trend` is n × p (p may be 0), `heights` has n values. Nothing is known of
/// the trend's coefficients beforehand.
#[must_use]
pub fn krige(covariance: DMatrix<f64>, trend: DMatrix<f64>, heights: &DVector<f64>) -> Option<Krige> {
    let p = trend.ncols();
    krige_about(
        covariance,
        trend,
        heights,
        &TrendPrior { mean: DVector::zeros(p), precision: DVector::zeros(p) },
    )
}

/// The same with some of the trend's coefficients known beforehand: `(FᵀK⁻¹F + P)β = FᵀK⁻¹z + Pb` for the mean `b` and the
/// precision `P` [@rasmussen-williams2006, eq. 2.41]. A precision of 0 leaves a coefficient open.
#[must_use]
pub fn krige_about(
    covariance: DMatrix<f64>,
    trend: DMatrix<f64>,
    heights: &DVector<f64>,
    prior: &TrendPrior,
) -> Option<Krige> {
    let n = heights.len() as f64;
    let factor = Cholesky::new(covariance)?;
    let weighted_trend = factor.solve(&trend);
    let p = trend.ncols();
    let (information, beta) = if p == 0 {
        (None, DVector::zeros(0))
    } else {
        let mut information = trend.tr_mul(&weighted_trend);
        for (i, precision) in prior.precision.iter().enumerate() {
            information[(i, i)] += precision;
        }
        let information = Cholesky::new(information)?;
        let known = prior.precision.component_mul(&prior.mean);
        let beta = information.solve(&(weighted_trend.tr_mul(heights) + known));
        (Some(information), beta)
    };
    let residual = heights - &trend * &beta;
    let alpha = factor.solve(&residual);
    let log_det = 2.0 * factor.l_dirty().diagonal().iter().map(|d| log(*d)).sum::<f64>();
    let misfit = residual.dot(&alpha);
    let off = &beta - &prior.mean;
    let trend_misfit = off.component_mul(&off).dot(&prior.precision);
    let log_tau = log(std::f64::consts::TAU);
    let log_likelihood = -0.5 * (misfit + log_det + n * log_tau);
    let log_det_information = information
        .as_ref()
        .map_or(0.0, |i| 2.0 * i.l_dirty().diagonal().iter().map(|d| log(*d)).sum::<f64>());
    let restricted =
        -0.5 * (misfit + trend_misfit + log_det + log_det_information + (n - p as f64) * log_tau);
    let all = [log_likelihood, restricted];
    all.iter().all(|v| v.is_finite()).then_some(Krige {
        covariance: factor,
        weighted_trend,
        information,
        beta,
        alpha,
        log_likelihood,
        restricted,
    })
}

impl Krige {
    /// Prediction from the covariance with the data and the trend at the target.
    #[must_use]
    pub fn mean(&self, with_data: &DVector<f64>, trend: &DVector<f64>) -> f64 {
        trend.dot(&self.beta) + with_data.dot(&self.alpha)
    }

    /// Posterior variance of one target of prior variance `own`.
    #[must_use]
    pub fn variance(&self, own: f64, with_data: &DVector<f64>, trend: &DVector<f64>) -> f64 {
        let explained = with_data.dot(&self.covariance.solve(with_data));
        let left = trend - self.weighted_trend.transpose() * with_data;
        own - explained + self.information.as_ref().map_or(0.0, |i| left.dot(&i.solve(&left)))
    }

    /// Takes off a prior covariance of m targets, with weight `share`, what the data explain, and puts on
    /// what the trend leaves open: `with_data` is n × m, `trend` p × m.
    pub fn explain(
        &self,
        total: &mut DMatrix<f64>,
        share: f64,
        mut with_data: DMatrix<f64>,
        trend: &DMatrix<f64>,
    ) {
        let left = self.information.as_ref().map(|information| {
            let mut left = trend - self.weighted_trend.tr_mul(&with_data);
            information.l_dirty().solve_lower_triangular_mut(&mut left);
            left
        });
        // The factor has no zero on its diagonal, so this cannot fail.
        self.covariance.l_dirty().solve_lower_triangular_mut(&mut with_data);
        let across = with_data.transpose();
        total.gemm(-share, &across, &with_data, 1.0);
        if let Some(left) = left {
            total.gemm(share, &left.transpose(), &left, 1.0);
        }
    }
}
