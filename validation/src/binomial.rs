//! Exact limits of a count of hits, so that a check that fails has a reason.

/// The chance of at most `hits` of `trials`, each with chance `p`.
///
/// The plain sum of the definition, in logarithms. Holds for: `0 < p < 1`.
#[must_use]
pub fn at_most(hits: u32, trials: u32, p: f64) -> f64 {
    let mut log_term = f64::from(trials) * (1.0 - p).ln();
    let mut sum = log_term.exp();
    for it in 1..=hits.min(trials) {
        log_term += (f64::from(trials - it + 1) / f64::from(it)).ln() + p.ln() - (1.0 - p).ln();
        sum += log_term.exp();
    }
    sum.min(1.0)
}

/// The fewest and the most hits that are believed of a chance that lies somewhere from `low` to `high`: fewer, or
/// more, comes with a chance of at most `false_alarm` each.
#[must_use]
pub fn limits(trials: u32, (low, high): (f64, f64), false_alarm: f64) -> (u32, u32) {
    let fewest = (0..=trials).find(|it| at_most(*it, trials, low) > false_alarm).unwrap_or(trials);
    // As many misses, of the chance to miss.
    let misses = (0..=trials).find(|it| at_most(*it, trials, 1.0 - high) > false_alarm).unwrap_or(trials);
    (fewest, trials - misses)
}

/// Standard error of a share.
#[must_use]
pub fn standard_error(share: f64, trials: usize) -> f64 {
    (share * (1.0 - share) / trials.max(1) as f64).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By counting: 11 of the 1024 ways to toss ten coins show at most one head.
    #[test]
    fn chances_are_those_that_counting_gives() {
        assert!((at_most(1, 10, 0.5) - 11.0 / 1024.0).abs() < 1e-12);
        assert!((at_most(0, 3, 0.9) - 0.001).abs() < 1e-12);
        assert!((at_most(2, 3, 0.9) - (1.0 - 0.729)).abs() < 1e-12);
        assert!((at_most(5, 5, 0.3) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn limits_are_the_outermost_hits_that_are_believed() {
        let (fewest, most) = limits(100, (0.5, 0.5), 1e-3);
        assert!(at_most(fewest - 1, 100, 0.5) <= 1e-3 && at_most(fewest, 100, 0.5) > 1e-3);
        assert_eq!(fewest + most, 100);
        assert_eq!(limits(5, (0.9, 0.9), 1e-9), (0, 5));
    }
}
