//! A straight line through points, with everything later formulas ask of it.

use super::{Unfit, at_least_two};

/// A least-squares line `y = intercept + slope x` and the moments behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Value of `y` at `x = 0`.
    pub intercept: f64,
    /// Change of `y` per unit of `x`.
    pub slope: f64,
    /// Correlation of `x` and `y`.
    pub r: f64,
    /// Standard error of the slope; `None` with only two points, which any line fits.
    pub slope_se: Option<f64>,
    /// Residual variance, divisor `n - 2`; `None` with only two points.
    pub residual_variance: Option<f64>,
    /// Mean of `x`.
    pub mean_x: f64,
    /// Mean of `y`.
    pub mean_y: f64,
    /// Sample standard deviation of `x`, divisor `n - 1`.
    pub sd_x: f64,
    /// Sample standard deviation of `y`, divisor `n - 1`.
    pub sd_y: f64,
    /// Number of points.
    pub n: f64,
}

/// Fits a line by ordinary least squares.
///
/// *Formula:* `slope = Sxy/Sxx`, `intercept = mean y - slope mean x`, `SE(slope)^2 = s^2/Sxx` with
/// `s^2 = (Syy - slope Sxy)/(n-2)`. *Units:* those of `x` and `y`.
/// *Holds for:* two or more points that do not all share one `x`.
/// *Errors:* [`Unfit`] for NaN, unequal lengths, or no spread in `x` or `y`; `names` are the inputs to blame.
/// *Source:* textbook least squares. *Checked against:* the threshold and head-width rows of `reference/oracles`.
///
/// ```
/// let line = science::numerics::straight_line(("x", "y"), &[0.0, 1.0, 2.0], &[1.0, 3.0, 5.0]).unwrap();
/// assert!((line.slope - 2.0).abs() < 1e-15 && (line.intercept - 1.0).abs() < 1e-15);
/// ```
pub fn straight_line(names: (&'static str, &'static str), x: &[f64], y: &[f64]) -> Result<Line, Unfit> {
    at_least_two(names.0, x)?;
    at_least_two(names.1, y)?;
    if x.len() != y.len() {
        let why = format!("{} values, but {} has {}", y.len(), names.0, x.len());
        return Err(Unfit::clash(names.1, why));
    }
    let n = x.iter().map(|_| 1.0).sum::<f64>();
    let mean_x = x.iter().sum::<f64>() / n;
    let mean_y = y.iter().sum::<f64>() / n;
    let sum = |f: &dyn Fn(f64, f64) -> f64| -> f64 {
        x.iter().zip(y).map(|(&xi, &yi)| f(xi - mean_x, yi - mean_y)).sum()
    };
    let (sxx, syy, sxy) = (sum(&|a, _| a * a), sum(&|_, b| b * b), sum(&|a, b| a * b));
    if sxx <= 0.0 {
        return Err(Unfit::clash(names.0, "all values are the same, so no line can be drawn"));
    }
    if syy <= 0.0 {
        return Err(Unfit::clash(names.1, "all values are the same, so there is no slope to read"));
    }
    let slope = sxy / sxx;
    let intercept = mean_y - slope * mean_x;
    let residual: f64 = x.iter().zip(y).map(|(&xi, &yi)| (yi - intercept - slope * xi).powi(2)).sum();
    let residual_variance = (n > 2.0).then(|| residual / (n - 2.0));
    Ok(Line {
        intercept,
        slope,
        r: sxy / (sxx * syy).sqrt(),
        slope_se: residual_variance.map(|s2| (s2 / sxx).sqrt()),
        residual_variance,
        mean_x,
        mean_y,
        sd_x: (sxx / (n - 1.0)).sqrt(),
        sd_y: (syy / (n - 1.0)).sqrt(),
        n,
    })
}
