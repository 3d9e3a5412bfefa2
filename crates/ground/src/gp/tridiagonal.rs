//! Symmetric matrices brought to three diagonals by reflections, and solved there.
//!
//! `A = QTQᵀ` costs as much as two Cholesky factors; after that `(sA + I)⁻¹` costs n steps for each `s`, where a factor of
//! its own would cost n³/6 [@golub-vanloan2013, 8.3.1].

use nalgebra::DMatrix;

/// A symmetric matrix as `QTQᵀ`.
#[derive(Debug, Clone)]
pub(super) struct Tridiagonal {
    /// Vectors of the reflections, each below the diagonal of its column.
    vectors: DMatrix<f64>,
    /// Two over the square of each vector; 0 where nothing is turned.
    factors: Vec<f64>,
    diagonal: Vec<f64>,
    beside: Vec<f64>,
}

impl Tridiagonal {
    /// Reduces a symmetric matrix; only its lower half is looked at.
    pub fn of(mut a: DMatrix<f64>) -> Self {
        let n = a.nrows();
        let (mut factors, mut beside) = (Vec::with_capacity(n), Vec::with_capacity(n));
        let mut product = vec![0.0; n];
        for k in 0..n.saturating_sub(1) {
            let (left, rest) = a.as_mut_slice().split_at_mut((k + 1) * n);
            let vector = &mut left[k * n + k + 1..];
            let (first, tail) = (vector[0], dot(&vector[1..], &vector[1..]));
            if tail == 0.0 {
                factors.push(0.0);
                beside.push(first);
                continue;
            }
            let size = (first * first + tail).sqrt();
            let turned = if first > 0.0 { -size } else { size };
            vector[0] = first - turned;
            let factor = 2.0 / (vector[0] * vector[0] + tail);
            let product = &mut product[..n - k - 1];
            times_lower(&rest[k + 1..], n, vector, product);
            let half = 0.5 * factor * factor * dot(vector, product);
            for (p, v) in product.iter_mut().zip(vector.iter()) {
                *p = factor * *p - half * v;
            }
            for j in 0..vector.len() {
                let column = &mut rest[j * n + k + 1 + j..(j + 1) * n];
                let (v, p) = (vector[j], product[j]);
                for ((entry, vi), pi) in column.iter_mut().zip(&vector[j..]).zip(&product[j..]) {
                    *entry -= vi * p + pi * v;
                }
            }
            factors.push(factor);
            beside.push(turned);
        }
        let diagonal = a.diagonal().as_slice().to_vec();
        Self { vectors: a, factors, diagonal, beside }
    }

    /// Puts `Qᵀ` before a matrix.
    pub fn turn(&self, matrix: &mut DMatrix<f64>) {
        let n = self.diagonal.len();
        for column in matrix.as_mut_slice().chunks_exact_mut(n.max(1)) {
            for (k, &factor) in self.factors.iter().enumerate() {
                let vector = &self.vectors.as_slice()[k * n + k + 1..(k + 1) * n];
                let share = factor * dot(vector, &column[k + 1..]);
                for (entry, v) in column[k + 1..].iter_mut().zip(vector) {
                    *entry -= share * v;
                }
            }
        }
    }

    /// Factors `sT + I`; `None` when it is not positive.
    pub fn shifted(&self, s: f64) -> Option<Shifted> {
        let (mut pivots, mut below) = (Vec::with_capacity(self.diagonal.len()), Vec::new());
        let mut carried = 0.0;
        for (i, entry) in self.diagonal.iter().enumerate() {
            let pivot = s * entry + 1.0 - carried;
            if pivot.is_nan() || pivot <= 0.0 || pivot.is_infinite() {
                return None;
            }
            pivots.push(pivot);
            if let Some(beside) = self.beside.get(i) {
                let factor = s * beside / pivot;
                carried = factor * s * beside;
                below.push(factor);
            }
        }
        Some(Shifted { pivots, below })
    }
}

/// `sT + I` as `LDLᵀ`, with ones on the diagonal of `L` and one diagonal below.
#[derive(Debug, Clone)]
pub(super) struct Shifted {
    pub pivots: Vec<f64>,
    below: Vec<f64>,
}

impl Shifted {
    /// `L⁻¹` before a column.
    pub fn forward(&self, column: &mut [f64]) {
        for (i, factor) in self.below.iter().enumerate() {
            column[i + 1] -= factor * column[i];
        }
    }

    /// The solution for each column of a matrix.
    pub fn solve(&self, matrix: &mut DMatrix<f64>) {
        let n = self.pivots.len();
        for column in matrix.as_mut_slice().chunks_exact_mut(n.max(1)) {
            self.forward(column);
            for (entry, pivot) in column.iter_mut().zip(&self.pivots) {
                *entry /= pivot;
            }
            for (i, factor) in self.below.iter().enumerate().rev() {
                column[i] -= factor * column[i + 1];
            }
        }
    }

    /// Adds `share` times the inverse to the upper left corner of a matrix.
    pub fn add_inverse(&self, share: f64, total: &mut DMatrix<f64>) {
        let (n, rows) = (self.pivots.len(), total.nrows());
        let mut last = 0.0;
        let mut corners = vec![0.0; n];
        for i in (0..n).rev() {
            let factor = self.below.get(i).copied().unwrap_or(0.0);
            last = 1.0 / self.pivots[i] + factor * factor * last;
            corners[i] = last;
        }
        let entries = total.as_mut_slice();
        for j in 0..n {
            let mut value = share * corners[j];
            entries[j * rows + j] += value;
            for i in (0..j).rev() {
                value *= -self.below[i];
                entries[j * rows + i] += value;
                entries[i * rows + j] += value;
            }
        }
    }
}

/// Sum of products, in four lanes.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a4.zip(b4) {
        for (lane, (x, y)) in lanes.iter_mut().zip(x.iter().zip(y)) {
            *lane += x * y;
        }
    }
    (lanes[0] + lanes[1]) + (lanes[2] + lanes[3]) + rest
}

/// A symmetric matrix times a vector, from its lower half; columns are `stride` apart, and `lower` starts at the first entry.
fn times_lower(lower: &[f64], stride: usize, vector: &[f64], product: &mut [f64]) {
    product.fill(0.0);
    for (j, &v) in vector.iter().enumerate() {
        let column = &lower[j * stride + j..j * stride + vector.len()];
        product[j] += column[0] * v + dot(&column[1..], &vector[j + 1..]);
        for (p, entry) in product[j + 1..].iter_mut().zip(&column[1..]) {
            *p += entry * v;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn symmetric(n: usize) -> DMatrix<f64> {
        let half = DMatrix::from_fn(n, n, |i, j| ((i * 37 + j * 53 + 11) % 29) as f64 / 29.0 - 0.4);
        &half * half.transpose()
    }

    /// `(sA + I)⁻¹` by three diagonals against a factor of the whole, for sizes from one entry on.
    #[test]
    fn three_diagonals_solve_what_the_whole_does() {
        for n in 1..12 {
            let a = symmetric(n);
            let reduced = Tridiagonal::of(a.clone());
            let mut turned = DMatrix::identity(n, n);
            reduced.turn(&mut turned);
            assert!((&turned * turned.transpose() - DMatrix::identity(n, n)).abs().max() < 1e-14);
            for s in [0.0, 0.3, 40.0] {
                let shifted = reduced.shifted(s).unwrap();
                let mut solved = turned.clone();
                shifted.solve(&mut solved);
                let whole = &a * s + DMatrix::identity(n, n);
                let product = &whole * turned.transpose() * &solved;
                assert!((product - DMatrix::identity(n, n)).abs().max() < 1e-11, "{n} {s}");
                let determinant: f64 = shifted.pivots.iter().product();
                assert!((determinant / whole.determinant() - 1.0).abs() < 1e-11);
                let mut inverse = DMatrix::zeros(n + 1, n + 1);
                shifted.add_inverse(2.0, &mut inverse);
                let inverse = inverse.view((0, 0), (n, n)).into_owned();
                let back = turned.transpose() * inverse * &turned;
                assert!((whole * back - DMatrix::identity(n, n) * 2.0).abs().max() < 1e-11, "{n} {s}");
            }
        }
    }

    #[test]
    fn what_is_not_positive_is_refused() {
        let reduced = Tridiagonal::of(-symmetric(4));
        assert!(reduced.shifted(1e3).is_none());
        assert!(Tridiagonal::of(DMatrix::from_element(3, 3, f64::NAN)).shifted(1.0).is_none());
    }
}
