//! From what a test shows to what is there.

use crate::numerics::{Unfit, above, counted, share};

/// A prevalence corrected for the errors of the test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TruePrevalence {
    /// The corrected share, brought into 0 to 1.
    pub share: f64,
    /// The same before it was brought into range. Below 0 the test's false alarms explain more than was seen.
    pub unclamped: f64,
}

/// The prevalence behind an apparent one.
///
/// *Formula:* `(AP + Sp - 1)/(Se + Sp - 1)`. *Units:* shares. *Holds for:* sensitivity and specificity known and the
/// same in this stock. *Errors:* [`Unfit`] naming the input; a test no better than a coin is refused.
/// *Source:* Rogan & Gladen 1978. *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// let behind = science::health::true_prevalence(0.03, 0.9, 0.95).unwrap();
/// assert!(behind.share == 0.0 && (behind.unclamped + 0.0235294117647).abs() < 1e-12);
/// ```
pub fn true_prevalence(apparent: f64, sensitivity: f64, specificity: f64) -> Result<TruePrevalence, Unfit> {
    let apparent = share("apparent", apparent)?;
    let sensitivity = share("sensitivity", sensitivity)?;
    let specificity = share("specificity", specificity)?;
    let worth = sensitivity + specificity - 1.0;
    if worth <= 1e-9 {
        let why = "sensitivity and specificity must together exceed 1: this test tells no more than a coin";
        return Err(Unfit::clash("specificity", why));
    }
    let unclamped = (apparent + specificity - 1.0) / worth;
    Ok(TruePrevalence { share: unclamped.clamp(0.0, 1.0), unclamped })
}

/// The prevalence behind tests on pools of animals.
///
/// *Formula:* `1 - (1 - x/m)^(1/k)`. *Units:* counts in, share out. *Holds for:* a perfect test and pools of one size.
/// *Errors:* [`Unfit`] naming the input; when every pool is positive there is only a lower bound, and no figure.
/// *Source:* Thompson 1962; Cowling et al. 1999. *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::pooled_prevalence(3, 20, 5).unwrap() - 0.0319812149975).abs() < 1e-12);
/// ```
pub fn pooled_prevalence(positive_pools: u64, pools: u64, pool_size: u64) -> Result<f64, Unfit> {
    let pools = counted("pools", pools, 1, 1_000_000)?;
    let positive = counted("positive_pools", positive_pools, 0, pools)?;
    let size = counted("pool_size", pool_size, 1, 1_000_000)?;
    if positive == pools {
        return Err(Unfit::clash(
            "positive_pools",
            "every pool is positive, so any high prevalence fits; use smaller pools",
        ));
    }
    let negative = above("pools", 1.0 - float(positive) / float(pools), 0.0)?;
    Ok(-(negative.ln() / float(size)).exp_m1())
}

#[expect(clippy::cast_precision_loss, reason = "counts are at most a million")]
fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(true_prevalence(0.1, 0.5, 0.5).unwrap_err().name(), "specificity");
        assert_eq!(true_prevalence(1.1, 0.9, 0.9).unwrap_err().name(), "apparent");
        assert_eq!(true_prevalence(0.1, f64::NAN, 0.9).unwrap_err().name(), "sensitivity");
        assert_eq!(pooled_prevalence(20, 20, 5).unwrap_err().name(), "positive_pools");
        assert_eq!(pooled_prevalence(1, 20, 0).unwrap_err().name(), "pool_size");
    }
}
