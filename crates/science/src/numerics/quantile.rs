//! Quantiles. The distribution functions come from a library; the inverses are halved to the last digit here,
//! because a fast approximate inverse would show in the eighth digit of an interval.

use statrs::function::{beta::beta_reg, gamma::gamma_ur};

use super::bisect;

/// The standard normal distribution function.
///
/// *Formula:* half the upper regularised incomplete gamma function at `(1/2, z^2/2)` is either tail, which keeps its digits in the far left tail. *Units:* none.
/// *Holds for:* every finite `z`. *Errors:* none; NaN in gives NaN out.
/// *Source:* definition. *Checked against:* the interval rows of `reference/oracles`.
///
/// ```
/// assert!((science::numerics::normal_cdf(1.959963984540054) - 0.975).abs() < 1e-14);
/// ```
pub fn normal_cdf(z: f64) -> f64 {
    // So near the middle the square is no longer a float, and the half is right to the last digit.
    if z.abs() < 1e-150 {
        return 0.5;
    }
    // Beyond this the tail is below the smallest float, and the library would be asked for an infinite argument.
    if z.abs() > 40.0 {
        return if z > 0.0 { 1.0 } else { 0.0 };
    }
    // The library's erfc is good to eleven digits only; its incomplete gamma, the same function, to fifteen.
    let tail = gamma_ur(0.5, z * z / 2.0) / 2.0;
    if z > 0.0 { 1.0 - tail } else { tail }
}

/// The standard normal quantile: the `z` below which a share `p` lies.
///
/// *Formula:* the inverse of [`normal_cdf`], by halving. *Units:* none. *Holds for:* 0 < `p` < 1.
/// *Errors:* `None` outside. *Source:* definition. *Checked against:* the printed 1.959963984540054 for 0.975.
///
/// ```
/// assert!((science::numerics::normal_quantile(0.975).unwrap() - 1.959963984540054).abs() < 1e-12);
/// assert_eq!(science::numerics::normal_quantile(1.0), None);
/// ```
pub fn normal_quantile(p: f64) -> Option<f64> {
    if !(p > 0.0 && p < 1.0) {
        return None;
    }
    // The right half is mirrored, because there the distribution function has lost its digits to 1.
    if p > 0.5 { left_quantile(1.0 - p).map(|z| -z) } else { left_quantile(p) }
}

fn left_quantile(p: f64) -> Option<f64> {
    bisect(-40.0, 0.0, |z| normal_cdf(z) - p)
}

/// The quantile of a beta distribution.
///
/// *Formula:* the inverse of the regularised incomplete beta function, by halving. *Units:* a share.
/// *Holds for:* `a`, `b` above 0; 0 <= `p` <= 1. *Errors:* `None` outside.
/// *Source:* definition. *Checked against:* the Clopper-Pearson and Jeffreys rows of `reference/oracles`.
///
/// ```
/// // Beta(1, n) has the closed form 1 - (1-p)^(1/n).
/// let low = science::numerics::beta_quantile(1.0, 20.0, 0.95).unwrap();
/// assert!((low - (1.0 - 0.05_f64.powf(0.05))).abs() < 1e-14);
/// ```
pub fn beta_quantile(a: f64, b: f64, p: f64) -> Option<f64> {
    let fits = a > 0.0 && b > 0.0 && (0.0..=1.0).contains(&p);
    if !fits { None } else { bisect(0.0, 1.0, |x| beta_reg(a, b, x) - p) }
}

/// The quantile of Student's t distribution.
///
/// *Formula:* the inverse of `1 - I(v/(v+t^2); v/2, 1/2)/2`, by halving. *Units:* none.
/// *Holds for:* degrees of freedom above 0; 0 < `p` < 1. *Errors:* `None` outside.
/// *Source:* definition. *Checked against:* closed form for one degree of freedom, `tan(pi (p - 1/2))`.
///
/// ```
/// let t = science::numerics::student_t_quantile(1.0, 0.975).unwrap();
/// assert!((t - (std::f64::consts::PI * 0.475).tan()).abs() < 1e-9);
/// ```
pub fn student_t_quantile(degrees_of_freedom: f64, p: f64) -> Option<f64> {
    let v = degrees_of_freedom;
    if !(v > 0.0 && p > 0.0 && p < 1.0) {
        return None;
    }
    let tail = p.min(1.0 - p);
    // The share of both tails is I(x; v/2, 1/2) with x = v/(v+t^2), so x is itself a beta quantile.
    let x = beta_quantile(v / 2.0, 0.5, 2.0 * tail)?;
    let t = (v * (1.0 - x) / x).sqrt();
    Some(if p < 0.5 { -t } else { t })
}

/// The chance of a chi-square at least this large.
///
/// *Formula:* the upper regularised incomplete gamma function at `(v/2, x/2)`. *Units:* a probability.
/// *Holds for:* `x` at least 0, degrees of freedom above 0. *Errors:* `None` outside.
/// *Source:* definition. *Checked against:* closed form for two degrees of freedom, `exp(-x/2)`.
///
/// ```
/// assert!((science::numerics::chi_square_beyond(3.0, 2.0).unwrap() - (-1.5_f64).exp()).abs() < 1e-14);
/// ```
pub fn chi_square_beyond(x: f64, degrees_of_freedom: f64) -> Option<f64> {
    if !(x >= 0.0 && x.is_finite() && degrees_of_freedom > 0.0) {
        return None;
    }
    Some(if x < 1e-300 { 1.0 } else { gamma_ur(degrees_of_freedom / 2.0, x / 2.0) })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn normal_tails_match_the_tables() {
        // Abramowitz & Stegun 1964, tables 26.1 and 26.2 (values from memory, recomputed with a 50-digit library).
        for (z, below) in [
            (0.5, 0.691_462_461_274_013_1),
            (1.0, 0.841_344_746_068_542_9),
            (3.0, 0.998_650_101_968_369_9),
            (-2.0, 0.022_750_131_948_179_21),
            (-5.0, 2.866_515_718_791_939e-7),
            (-10.0, 7.619_853_024_160_525e-24),
        ] {
            assert!((normal_cdf(z) / below - 1.0).abs() < 1e-12, "{z}: {} against {below}", normal_cdf(z));
        }
    }

    #[test]
    fn nothing_is_answered_outside_the_range() {
        assert_eq!(normal_quantile(f64::NAN), None);
        assert_eq!(beta_quantile(0.0, 1.0, 0.5), None);
        assert_eq!(student_t_quantile(3.0, 0.0), None);
        assert_eq!(chi_square_beyond(-1.0, 2.0), None);
    }
}
