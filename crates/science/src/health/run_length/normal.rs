//! The sum of measured values.

use super::legendre::points;
use crate::numerics::{normal_cdf, solve};

/// The average run length of one sum; `None` when it cannot be stated.
pub(super) fn one_sided(k: f64, h: f64, shift: f64) -> Option<f64> {
    // The kernel is as wide as one standard deviation: twenty points to each keep fourteen digits.
    let wanted = (20.0 * h).ceil().clamp(40.0, 600.0);
    let count = (40..=600_u32).find(|&n| f64::from(n) >= wanted)?;
    let nodes = points(count, h);
    let fall = |z: f64| normal_cdf(k - z - shift);
    let kernel = |x: f64, z: f64| {
        let u = x + k - z - shift;
        (-u * u / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt()
    };
    // Unknowns: L(0), then L at the nodes.
    let row = |z: f64, own: usize| -> Vec<f64> {
        let mut row: Vec<f64> = std::iter::once(-fall(z))
            .chain(nodes.iter().map(|&(x, weight)| -weight * kernel(x, z)))
            .collect();
        row[own] += 1.0;
        row
    };
    let mut matrix = vec![row(0.0, 0)];
    matrix.extend(nodes.iter().enumerate().map(|(i, &(z, _))| row(z, i + 1)));
    let size = matrix.len();
    let lengths = solve(matrix, vec![1.0; size])?;
    lengths.first().copied().filter(|length| *length >= 1.0 - 1e-9)
}
