//! Symmetric positive-definite systems, small and dense: Cholesky and what follows from it. No statistics live here.

/// Lower triangle of a Cholesky factor, rows one after another: row `i` has `i + 1` entries.
#[derive(Clone, Debug)]
pub(crate) struct Cholesky {
    n: usize,
    low: Vec<f64>,
}

const fn row(i: usize) -> usize {
    i * (i + 1) / 2
}

impl Cholesky {
    /// `A = G·Gᵀ`; `at(i, j)` is asked for `j ≤ i` only. `None` where the matrix is not positive definite.
    pub(crate) fn of(n: usize, at: impl Fn(usize, usize) -> f64) -> Option<Self> {
        let mut low = vec![0.0; row(n)];
        for i in 0..n {
            for j in 0..=i {
                let (row_i, row_j) = (row(i), row(j));
                let dot: f64 = (0..j).map(|k| low[row_i + k] * low[row_j + k]).sum();
                let rest = at(i, j) - dot;
                if i == j {
                    if !(rest.is_finite() && rest > 0.0) {
                        return None;
                    }
                    low[row_i + i] = rest.sqrt();
                } else {
                    low[row_i + j] = rest / low[row_j + j];
                }
            }
        }
        Some(Self { n, low })
    }

    /// `G⁻¹ b`, in place: a vector of independent standard errors where `A` is the covariance of `b`.
    pub(crate) fn whiten(&self, b: &mut [f64]) {
        for i in 0..self.n {
            let start = row(i);
            let dot: f64 = self.low[start..start + i].iter().zip(b.iter()).map(|(g, x)| g * x).sum();
            b[i] = (b[i] - dot) / self.low[start + i];
        }
    }

    /// `A⁻¹ b`, in place.
    pub(crate) fn solve(&self, b: &mut [f64]) {
        self.whiten(b);
        for i in (0..self.n).rev() {
            let dot: f64 = (i + 1..self.n).map(|k| self.low[row(k) + i] * b[k]).sum();
            b[i] = (b[i] - dot) / self.low[row(i) + i];
        }
    }

    /// `A⁻¹`, as full rows.
    pub(crate) fn inverse(&self) -> Vec<Vec<f64>> {
        (0..self.n)
            .map(|j| {
                let mut unit = vec![0.0; self.n];
                unit[j] = 1.0;
                self.solve(&mut unit);
                unit
            })
            .collect()
    }

    /// Natural logarithm of the determinant of `A`.
    pub(crate) fn ln_det(&self) -> f64 {
        (0..self.n).map(|i| 2.0 * self.low[row(i) + i].ln()).sum()
    }
}

/// Sum of products.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    // By hand: [[4, 2], [2, 5]] has determinant 16 and inverse [[5, −2], [−2, 4]] / 16.
    #[test]
    fn two_by_two() {
        let a = [[4.0, 2.0], [2.0, 5.0]];
        let g = Cholesky::of(2, |i, j| a[i][j]).unwrap();
        assert!((g.ln_det() - 16_f64.ln()).abs() < 1e-14);
        let inverse = g.inverse();
        for (got, want) in inverse.iter().flatten().zip([0.3125, -0.125, -0.125, 0.25]) {
            assert!((got - want).abs() < 1e-15);
        }
        let mut b = [2.0, 3.0];
        g.whiten(&mut b);
        // bᵀA⁻¹b by hand: (2·(5·2 − 2·3) + 3·(−2·2 + 4·3)) / 16 = (8 + 24) / 16 = 2.
        assert!((dot(&b, &b) - 2.0).abs() < 1e-14);
    }

    #[test]
    fn not_positive_definite() {
        assert!(Cholesky::of(2, |_, _| 1.0).is_none());
        assert!(Cholesky::of(1, |_, _| f64::NAN).is_none());
    }
}
