//! Just enough linear algebra for a joint normal belief of a dozen unknowns.

/// A symmetric positive matrix taken apart as `L L'`, rows of the lower triangle.
#[derive(Debug, Clone)]
pub(super) struct Cholesky {
    rows: Vec<Vec<f64>>,
}

impl Cholesky {
    /// Takes a matrix apart; `None` if it is not positive.
    pub(super) fn of(matrix: &[Vec<f64>]) -> Option<Cholesky> {
        let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
        for (i, given) in matrix.iter().enumerate() {
            let mut row: Vec<f64> = Vec::with_capacity(i + 1);
            for (above, cell) in rows.iter().zip(given) {
                let shared: f64 = row.iter().zip(above).map(|(a, b)| a * b).sum();
                row.push((cell - shared) / above.last()?);
            }
            let rest = given.get(i)? - row.iter().map(|it| it * it).sum::<f64>();
            if rest.is_nan() || rest <= 0.0 {
                return None;
            }
            row.push(rest.sqrt());
            rows.push(row);
        }
        Some(Cholesky { rows })
    }

    /// `L z`: turns independent standard normal numbers into ones with the matrix as their covariance.
    pub(super) fn spread(&self, z: &[f64]) -> Vec<f64> {
        self.rows.iter().map(|row| row.iter().zip(z).map(|(a, b)| a * b).sum()).collect()
    }

    /// `L'^-1 z`: turns independent standard normal numbers into ones with the matrix as their precision.
    pub(super) fn spread_inverse(&self, z: &[f64]) -> Vec<f64> {
        let n = self.rows.len();
        let mut x = z.to_vec();
        for i in (0..n).rev() {
            let known: f64 = (i + 1..n).map(|j| self.rows[j][i] * x[j]).sum();
            x[i] = (x[i] - known) / self.rows[i][i];
        }
        x
    }

    /// The inverse of the matrix.
    pub(super) fn inverse(&self) -> Vec<Vec<f64>> {
        let n = self.rows.len();
        let unit = |at: usize| (0..n).map(|it| if it == at { 1.0 } else { 0.0 }).collect::<Vec<f64>>();
        (0..n).map(|it| self.solve(&unit(it))).collect()
    }

    /// The solution of `A x = b`.
    pub(super) fn solve(&self, b: &[f64]) -> Vec<f64> {
        let n = self.rows.len();
        let mut x: Vec<f64> = Vec::with_capacity(n);
        for (row, given) in self.rows.iter().zip(b) {
            let known: f64 = row.iter().zip(&x).map(|(a, b)| a * b).sum();
            x.push((given - known) / row[x.len()]);
        }
        for i in (0..n).rev() {
            let known: f64 = (i + 1..n).map(|j| self.rows[j][i] * x[j]).sum();
            x[i] = (x[i] - known) / self.rows[i][i];
        }
        x
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// A worked example of the textbooks: `[[4,12,-16],[12,37,-43],[-16,-43,98]]` is `L L'` with
    /// `L = [[2],[6,1],[-8,5,3]]`.
    #[test]
    fn textbook_example() {
        let matrix = vec![vec![4.0, 12.0, -16.0], vec![12.0, 37.0, -43.0], vec![-16.0, -43.0, 98.0]];
        let taken = Cholesky::of(&matrix).unwrap();
        assert_eq!(taken.rows, vec![vec![2.0], vec![6.0, 1.0], vec![-8.0, 5.0, 3.0]]);
        assert_eq!(taken.spread(&[1.0, 1.0, 1.0]), vec![2.0, 7.0, 0.0]);
        let x = taken.solve(&[0.0, 6.0, 39.0]);
        for (row, b) in matrix.iter().zip([0.0, 6.0, 39.0]) {
            assert!((row.iter().zip(&x).map(|(a, b)| a * b).sum::<f64>() - b).abs() < 1e-9);
        }
        // L' x = z by hand, from the last row up.
        let x = taken.spread_inverse(&[2.0, 6.0, 6.0]);
        assert_eq!(x, vec![21.0, -4.0, 2.0]);
        let inverse = taken.inverse();
        for (i, row) in matrix.iter().enumerate() {
            let product: Vec<f64> =
                (0..3).map(|j| row.iter().zip(&inverse).map(|(cell, other)| cell * other[j]).sum()).collect();
            for (j, cell) in product.iter().enumerate() {
                assert!((cell - if i == j { 1.0 } else { 0.0 }).abs() < 1e-9);
            }
        }
        assert!(Cholesky::of(&[vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
    }
}
