//! The average over choices of roughness and length, folded into one small matrix for each length.
//!
//! For one length every choice predicts linearly in `Z = [R; T]`, the correlations with the shots over the trend at the
//! target: its covariance with the data is `EᵀZ` with `E = [σ²I; Aᵀ]`, where `AT` are the errors that shots and target have
//! in common. Means and explained covariances of all choices are then sums of coefficients, found once at the fit.

use nalgebra::{DMatrix, DVector};

use super::krige::Krige;

/// One choice of roughness and length, with its weight.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub weight: f64,
    pub sd: f64,
    pub length: f64,
    pub system: Krige,
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
}

/// Sums the nodes of one length; `common` is `A`, n × p.
pub(super) fn group(nodes: &[Node], common: &DMatrix<f64>) -> Group {
    let (n, p) = common.shape();
    let weight: f64 = nodes.iter().map(|node| node.weight).sum();
    let means: Vec<DVector<f64>> = nodes.iter().map(|node| mean_of(node, common)).collect();
    let mut mean = DVector::zeros(n + p);
    for (node, own) in nodes.iter().zip(&means) {
        mean.axpy(node.weight / weight, own, 1.0);
    }
    let mut inner = DMatrix::zeros(n + p, n + p);
    for (node, own) in nodes.iter().zip(&means) {
        let explained = explained_by(node, common);
        inner.gemm_tr(-node.weight, &explained, &explained, 1.0);
        if let Some(left) = left_open(node, common) {
            inner.gemm_tr(node.weight, &left, &left, 1.0);
        }
        let off = own - &mean;
        inner.ger(node.weight, &off, &off, 1.0);
    }
    let sill = nodes.iter().map(|node| node.weight * node.sd * node.sd).sum();
    Group { length: nodes.first().map_or(1.0, |node| node.length), weight, sill, mean, inner }
}

/// `[σ²α; β + Aᵀα]`.
fn mean_of(node: &Node, common: &DMatrix<f64>) -> DVector<f64> {
    let (n, p) = common.shape();
    let Krige { alpha, beta, .. } = &node.system;
    let level = beta + common.tr_mul(alpha);
    DVector::from_fn(n + p, |i, _| if i < n { node.sd * node.sd * alpha[i] } else { level[i - n] })
}

/// `L⁻¹[σ²I, A]` with `K = LLᵀ`: its square is what the data explain.
fn explained_by(node: &Node, common: &DMatrix<f64>) -> DMatrix<f64> {
    let (n, p) = common.shape();
    let inverse = lower_inverse(node.system.covariance.l_dirty());
    let mut result = DMatrix::zeros(n, n + p);
    result.columns_mut(n, p).gemm(1.0, &inverse, common, 0.0);
    result.columns_mut(0, n).copy_from(&(inverse * (node.sd * node.sd)));
    result
}

/// The factor of `LJ⁻¹Lᵀ`, with `L = [−σ²W; I − AᵀW]`, `W = K⁻¹F` and `J` the information about the trend.
fn left_open(node: &Node, common: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let information = node.system.information.as_ref()?;
    let (n, p) = common.shape();
    let weighted = &node.system.weighted_trend;
    let mut left = DMatrix::zeros(p, n + p);
    left.columns_mut(0, n).copy_from(&(weighted.transpose() * -(node.sd * node.sd)));
    left.columns_mut(n, p).copy_from(&(DMatrix::identity(p, p) - weighted.tr_mul(common)));
    // The factor has no zero on its diagonal, so this cannot fail.
    information.l_dirty().solve_lower_triangular_mut(&mut left);
    Some(left)
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
}
