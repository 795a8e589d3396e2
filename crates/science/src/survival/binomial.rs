//! What a handful of animals says about a share.

use crate::numerics::{Unfit, beta_quantile, counted, normal_quantile, trust};

/// How the interval is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IntervalMethod {
    /// Exact: never covers less than it says, usually more (Clopper & Pearson 1934).
    ClopperPearson,
    /// Score interval (Wilson 1927).
    Wilson,
    /// Middle of the posterior from a Beta(1/2, 1/2) prior. At 0 or all of n the end is the plain quantile, as
    /// statistics libraries print it; Brown, Cai & DasGupta 2001 would move that end to 0 or 1.
    Jeffreys,
    /// Wald interval around the shifted share, cut at 0 and 1 (Agresti & Coull 1998).
    AgrestiCoull,
}

/// An interval for the share behind `successes` out of `trials`.
///
/// *Formula:* Clopper-Pearson: beta quantiles `B(x, n-x+1)` and `B(x+1, n-x)`; Wilson:
/// `[p + z^2/2n -+ z sqrt(p(1-p)/n + z^2/4n^2)]/(1 + z^2/n)`; Jeffreys: quantiles of `B(x+1/2, n-x+1/2)`; Agresti-Coull:
/// `p' -+ z sqrt(p'(1-p')/n')` with `n' = n + z^2`, `p' = (x + z^2/2)/n'`. *Units:* counts in, shares out.
/// *Holds for:* animals that share one chance and do not infect each other. *Errors:* [`Unfit`] naming the input.
/// *Source:* as on each method. *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// use science::survival::{IntervalMethod, binomial_interval};
/// let (low, high) = binomial_interval(0, 20, 0.95, IntervalMethod::ClopperPearson).unwrap();
/// assert!(low == 0.0 && (high - 0.168433470983).abs() < 1e-10);
/// ```
pub fn binomial_interval(
    successes: u64,
    trials: u64,
    confidence: f64,
    method: IntervalMethod,
) -> Result<(f64, f64), Unfit> {
    let trials = counted("trials", trials, 1, 1_000_000)?;
    let successes = counted("successes", successes, 0, trials)?;
    let tail = (1.0 - trust("confidence", confidence)?) / 2.0;
    let (x, n) = (float(successes), float(trials));
    let z = || normal_quantile(1.0 - tail);
    let ends = match method {
        IntervalMethod::ClopperPearson => {
            let low = if successes == 0 { Some(0.0) } else { beta_quantile(x, n - x + 1.0, tail) };
            let high =
                if successes == trials { Some(1.0) } else { beta_quantile(x + 1.0, n - x, 1.0 - tail) };
            low.zip(high)
        }
        IntervalMethod::Jeffreys => {
            let (a, b) = (x + 0.5, n - x + 0.5);
            beta_quantile(a, b, tail).zip(beta_quantile(a, b, 1.0 - tail))
        }
        IntervalMethod::Wilson => z().map(|z| {
            let (p, z2) = (x / n, z * z);
            let middle = (p + z2 / (2.0 * n)) / (1.0 + z2 / n);
            let reach = z * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt() / (1.0 + z2 / n);
            // With none or all the formula's end is exactly 0 or 1; rounding must not push it across.
            let low = if successes == 0 { 0.0 } else { middle - reach };
            let high = if successes == trials { 1.0 } else { middle + reach };
            (low, high)
        }),
        IntervalMethod::AgrestiCoull => z().map(|z| {
            let n1 = n + z * z;
            let p1 = (x + z * z / 2.0) / n1;
            let reach = z * (p1 * (1.0 - p1) / n1).sqrt();
            ((p1 - reach).max(0.0), (p1 + reach).min(1.0))
        }),
    };
    ends.ok_or_else(|| Unfit::outside("confidence", confidence, "less extreme: no interval was found"))
}

#[expect(clippy::cast_precision_loss, reason = "counts are at most a million")]
fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The definition of the exact interval, word for word: at each end the tail beyond the data is half of what is left.
    #[test]
    fn the_exact_ends_leave_half_a_tail() {
        let pmf = |n: u64, k: u64, p: f64| -> f64 {
            let choose = (0..k).fold(1.0, |c, i| c * float(n - i) / float(i + 1));
            choose * p.powf(float(k)) * (1.0 - p).powf(float(n - k))
        };
        for (x, n) in [(1, 29), (3, 12), (15, 148), (7, 7), (0, 5)] {
            let (low, high) = binomial_interval(x, n, 0.95, IntervalMethod::ClopperPearson).unwrap();
            let upper_tail: f64 = (x..=n).map(|k| pmf(n, k, low)).sum();
            let lower_tail: f64 = (0..=x).map(|k| pmf(n, k, high)).sum();
            assert!(x == 0 || (upper_tail - 0.025).abs() < 1e-10, "{x} of {n}: {upper_tail}");
            assert!(x == n || (lower_tail - 0.025).abs() < 1e-10, "{x} of {n}: {lower_tail}");
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let named = |x, n, c| binomial_interval(x, n, c, IntervalMethod::Wilson).unwrap_err().name();
        assert_eq!(named(6, 5, 0.95), "successes");
        assert_eq!(named(0, 0, 0.95), "trials");
        assert_eq!(named(1, 5, 95.0), "confidence");
        assert_eq!(named(1, 5, f64::NAN), "confidence");
    }
}
