//! Small dense systems of linear equations.

/// Solves `matrix x = right` by elimination with row exchange.
///
/// *Formula:* Gaussian elimination with partial pivoting. *Units:* the caller's.
/// *Holds for:* square systems up to a few hundred unknowns. *Errors:* `None` when the system is not square,
/// holds NaN, or is singular to working precision. *Source:* textbook. *Checked against:* the run-length and
/// log-rank rows of `reference/oracles`.
///
/// ```
/// let x = science::numerics::solve(vec![vec![2.0, 1.0], vec![1.0, 3.0]], vec![3.0, 5.0]).unwrap();
/// assert!((x[0] - 0.8).abs() < 1e-15 && (x[1] - 1.4).abs() < 1e-15);
/// ```
pub fn solve(matrix: Vec<Vec<f64>>, right: Vec<f64>) -> Option<Vec<f64>> {
    let (mut matrix, mut right) = (matrix, right);
    let n = right.len();
    if matrix.len() != n || matrix.iter().any(|row| row.len() != n) {
        return None;
    }
    let size = matrix.iter().flatten().fold(0.0_f64, |most, v| most.max(v.abs()));
    for column in 0..n {
        let pivot =
            (column..n).max_by(|&a, &b| matrix[a][column].abs().total_cmp(&matrix[b][column].abs()))?;
        matrix.swap(column, pivot);
        right.swap(column, pivot);
        let (upper, lower) = matrix.split_at_mut(column + 1);
        let head = upper[column].as_slice();
        if head[column].is_nan() || head[column].abs() <= size * 1e-14 {
            return None;
        }
        let (done, open) = right.split_at_mut(column + 1);
        for (row, value) in lower.iter_mut().zip(open) {
            let factor = row[column] / head[column];
            if factor != 0.0 {
                for (cell, &above) in row[column..].iter_mut().zip(&head[column..]) {
                    *cell -= factor * above;
                }
                *value -= factor * done[column];
            }
        }
    }
    for row in (0..n).rev() {
        let known: f64 = matrix[row][row + 1..].iter().zip(&right[row + 1..]).map(|(m, x)| m * x).sum();
        right[row] = (right[row] - known) / matrix[row][row];
    }
    right.iter().all(|x| x.is_finite()).then_some(right)
}

#[cfg(test)]
mod tests {
    use super::solve;

    #[test]
    fn a_singular_or_ragged_system_has_no_answer() {
        assert_eq!(solve(vec![vec![1.0, 2.0], vec![2.0, 4.0]], vec![1.0, 2.0]), None);
        assert_eq!(solve(vec![vec![1.0], vec![2.0, 4.0]], vec![1.0, 2.0]), None);
        assert_eq!(solve(vec![vec![f64::NAN]], vec![1.0]), None);
    }
}
