//! The Cholesky factor of a symmetric positive definite matrix.

/// A lower triangular factor `L` with `L Lᵀ = A`.
#[derive(Clone, Debug)]
pub(crate) struct Cholesky {
    size: usize,
    /// Row by row, each row as long as the matrix is wide; right of the diagonal unused.
    lower: Vec<f64>,
}

impl Cholesky {
    /// Factors a matrix given row by row, of which only the lower triangle is read.
    /// Nothing when the matrix is not positive definite.
    pub(crate) fn new(size: usize, mut matrix: Vec<f64>) -> Option<Self> {
        for row in 0..size {
            let (above, rest) = matrix.split_at_mut(row * size);
            let current = &mut rest[..=row];
            for column in 0..row {
                let other = &above[column * size..][..=column];
                let sum = current[column] - dot(&current[..column], &other[..column]);
                current[column] = sum / other[column];
            }
            let left = current[row] - dot(&current[..row], &current[..row]);
            if left.is_nan() || left <= 0.0 {
                return None;
            }
            current[row] = left.sqrt();
        }
        Some(Self {
            size,
            lower: matrix,
        })
    }

    fn row(&self, row: usize) -> &[f64] {
        &self.lower[row * self.size..][..=row]
    }

    /// The logarithm of the determinant of the matrix.
    pub(crate) fn log_determinant(&self) -> f64 {
        (0..self.size)
            .map(|row| 2.0 * self.row(row)[row].ln())
            .sum()
    }

    /// The vector `L⁻¹ b`; its square is `bᵀ A⁻¹ b`.
    pub(crate) fn whiten(&self, mut b: Vec<f64>) -> Vec<f64> {
        for row in 0..self.size {
            let factors = self.row(row);
            b[row] = (b[row] - dot(&factors[..row], &b[..row])) / factors[row];
        }
        b
    }

    /// The vector `L⁻ᵀ b`; of independent normals it makes draws with covariance `A⁻¹`.
    pub(crate) fn spread(&self, mut b: Vec<f64>) -> Vec<f64> {
        for row in (0..self.size).rev() {
            let factors = self.row(row);
            b[row] /= factors[row];
            let known = b[row];
            for (value, factor) in b[..row].iter_mut().zip(factors) {
                *value -= factor * known;
            }
        }
        b
    }

    /// The solution of `A x = b`.
    pub(crate) fn solve(&self, b: Vec<f64>) -> Vec<f64> {
        self.spread(self.whiten(b))
    }
}

/// The product of two vectors, in four sums side by side, which processors do at once.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (fours_a, fours_b) = (a.chunks_exact(4), b.chunks_exact(4));
    let ends = fours_a.remainder().iter().zip(fours_b.remainder());
    let rest: f64 = ends.map(|(x, y)| x * y).sum();
    for (x, y) in fours_a.zip(fours_b) {
        for lane in 0..4 {
            sums[lane] += x[lane] * y[lane];
        }
    }
    sums.iter().sum::<f64>() + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The covariance of a random walk, min(i, j): its determinant is 1 and its inverse
    /// is the second difference (closed form).
    fn walk(size: usize) -> Vec<f64> {
        (0..size * size)
            .map(|k| (k / size).min(k % size) as f64 + 1.0)
            .collect()
    }

    #[test]
    fn solves_the_random_walk_in_closed_form() {
        let size = 23;
        let factor = Cholesky::new(size, walk(size)).unwrap();
        assert!(factor.log_determinant().abs() < 1e-10);
        let b: Vec<f64> = (0..size).map(|i| (i as f64 * 0.7).sin()).collect();
        let x = factor.solve(b.clone());
        for i in 0..size {
            let before = if i == 0 { 0.0 } else { b[i - 1] };
            let expected = if i + 1 < size {
                2.0 * b[i] - before - b[i + 1]
            } else {
                b[i] - before
            };
            assert!((x[i] - expected).abs() < 1e-9);
        }
        let white = factor.whiten(b.clone());
        assert!((dot(&white, &white) - dot(&b, &x)).abs() < 1e-9);
    }

    #[test]
    fn refuses_what_is_not_positive_definite() {
        assert!(Cholesky::new(2, vec![1.0, 2.0, 2.0, 1.0]).is_none());
        assert!(Cholesky::new(1, vec![f64::NAN]).is_none());
    }
}
