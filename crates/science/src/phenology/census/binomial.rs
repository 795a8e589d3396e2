//! Quantiles of a binomial count.

use super::count::SHARES;
use crate::dice::inverse_normal;
use statrs::function::beta::beta_reg;

/// Above so many expected animals the quantiles are sought one by one.
const SEEK: f64 = 3000.0;

/// The least numbers that a binomial count does not exceed with the five [`SHARES`].
pub(super) fn quantiles(n: u32, p: f64) -> [u32; 5] {
    let many = f64::from(n);
    if many * p < 1e-4 {
        return [0; 5];
    }
    if many * (1.0 - p) < 1e-4 {
        return [n; 5];
    }
    let sd = (many * p * (1.0 - p)).sqrt();
    if many * p * (1.0 - p) > SEEK {
        return SHARES.map(|share| {
            let z = inverse_normal(share);
            let at_most = |k: u32| {
                if k >= n { 1.0 } else { beta_reg(many - f64::from(k), f64::from(k) + 1.0, 1.0 - p) }
            };
            let guess = many * p + z * sd + (1.0 - 2.0 * p) * (z * z - 1.0) / 6.0 - 0.5;
            let mut k = guess.round().clamp(0.0, many) as u32;
            while k > 0 && at_most(k - 1) >= share {
                k -= 1;
            }
            while k < n && at_most(k) < share {
                k += 1;
            }
            k
        });
    }
    // From the middle both ways by the ratio of neighbours; far out nothing is left to add.
    let first = ((many + 1.0) * p).floor().min(many) as i64;
    let reach = (9.0 * sd + 12.0) as i64;
    let (low, high) = ((first - reach).max(0), (first + reach).min(i64::from(n)));
    let ratio = p / (1.0 - p);
    let mut weights = vec![0.0; (high - low + 1) as usize];
    let at = |k: i64| (k - low) as usize;
    weights[at(first)] = 1.0;
    for k in first + 1..=high {
        weights[at(k)] = weights[at(k - 1)] * ratio * (many - k as f64 + 1.0) / k as f64;
    }
    for k in (low..first).rev() {
        weights[at(k)] = weights[at(k + 1)] / ratio * (k as f64 + 1.0) / (many - k as f64);
    }
    let whole: f64 = weights.iter().sum();
    let (mut found, mut next, mut below) = ([high as u32; 5], 0, 0.0);
    for (weight, k) in weights.iter().zip(low..) {
        below += weight;
        while next < SHARES.len() && below >= SHARES[next] * whole {
            found[next] = k as u32;
            next += 1;
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The slow twin: add up the law from 0, by logarithms of factorials from a library.
    #[test]
    fn least_numbers_that_are_not_exceeded() {
        use statrs::function::factorial::ln_binomial;
        for n in [1_u32, 9, 60, 1000, 20_000] {
            for p in [1e-5, 0.003, 0.2, 0.5, 0.77, 0.9999] {
                let (mut below, mut wanted, mut next) = (0.0, [n; 5], 0);
                for k in 0..=n {
                    let ways = ln_binomial(u64::from(n), u64::from(k));
                    let (yes, no) = (f64::from(k), f64::from(n - k));
                    below += libm::exp(ways + yes * libm::log(p) + no * libm::log1p(-p));
                    while next < 5 && below >= SHARES[next] {
                        wanted[next] = k;
                        next += 1;
                    }
                }
                assert_eq!(quantiles(n, p), wanted, "{n} {p}");
            }
        }
    }

    #[test]
    fn nobody_and_all() {
        assert_eq!((quantiles(9, 0.0), quantiles(9, 1.0)), ([0; 5], [9; 5]));
    }
}
