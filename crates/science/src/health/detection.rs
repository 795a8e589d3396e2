//! How many to examine, and what it means to have found nothing.

use statrs::function::factorial::ln_binomial;

use crate::numerics::{Unfit, above, counted, share, trust};

/// More animals than any house holds.
const MOST: u64 = 1_000_000;

/// The chance that examining `examined` animals shows at least one sick one.
///
/// *Formula:* `1 - sum_k HG(k; N, D, n) (1-Se)^k`, with the hypergeometric distribution because animals are taken out
/// and not put back. *Units:* counts and a share in, probability out.
/// *Holds for:* animals taken by lot; a test that never calls a sound animal sick. Taking the weak ones first finds more.
/// *Errors:* [`Unfit`] naming the input. *Source:* Cameron & Baldock 1998.
/// *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::chance_to_detect(100, 10, 25, 0.8).unwrap() - 0.901777268071).abs() < 1e-10);
/// ```
pub fn chance_to_detect(
    population: u64,
    diseased: u64,
    examined: u64,
    sensitivity: f64,
) -> Result<f64, Unfit> {
    let population = counted("population", population, 1, MOST)?;
    let diseased = counted("diseased", diseased, 0, population)?;
    let examined = counted("examined", examined, 0, population)?;
    Ok(1.0 - chance_to_miss(population, diseased, examined, share("sensitivity", sensitivity)?))
}

fn chance_to_miss(population: u64, diseased: u64, examined: u64, sensitivity: f64) -> f64 {
    let least = examined.saturating_sub(population - diseased);
    let most = diseased.min(examined);
    let all = ln_binomial(population, examined);
    let missed = 1.0 - sensitivity;
    (least..=most)
        .map(|sick| {
            // Nothing is missed with a perfect test once a sick animal is in the sample.
            let overlooked = if sick == 0 { 1.0 } else { missed.powf(float(sick)) };
            let ways =
                ln_binomial(diseased, sick) + ln_binomial(population - diseased, examined - sick) - all;
            if overlooked > 0.0 { ways.exp() * overlooked } else { 0.0 }
        })
        .sum()
}

/// The fewest animals to examine so that disease, if present in at least `diseased`, is seen with the wished confidence.
///
/// *Formula:* the smallest `n` with `1 - sum_k HG(k; N, D, n)(1-Se)^k >= confidence`; exact, where tables often carry
/// an approximation that is one too high. *Units:* counts and shares in, animals out.
/// *Holds for:* as [`chance_to_detect`]. *Errors:* [`Unfit`] naming the input; a test too blunt to reach the confidence
/// even on every animal is refused as such. *Source:* Cameron & Baldock 1998; Cannon & Roe 1982 for the perfect test.
/// *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert_eq!(science::health::detection_size(100, 10, 0.95, 1.0).unwrap(), 25);
/// ```
pub fn detection_size(
    population: u64,
    diseased: u64,
    confidence: f64,
    sensitivity: f64,
) -> Result<u64, Unfit> {
    let population = counted("population", population, 1, MOST)?;
    let diseased = counted("diseased", diseased, 1, population)?;
    let confidence = trust("confidence", confidence)?;
    let sensitivity = above("sensitivity", share("sensitivity", sensitivity)?, 0.0)?;
    // A chance that equals the wish on paper may miss it by rounding: N = 20, D = 1, n = 19 is 0.95 exactly.
    let enough = |examined| {
        chance_to_miss(population, diseased, examined, sensitivity) <= (1.0 - confidence) * (1.0 + 1e-9)
    };
    if !enough(population) {
        let best = 1.0 - chance_to_miss(population, diseased, population, sensitivity);
        let why = format!("examining all {population} reaches only {best:.4} with this sensitivity");
        return Err(Unfit::clash("confidence", why));
    }
    let (mut too_few, mut fits) = (0, population);
    while fits - too_few > 1 {
        let middle = too_few + (fits - too_few) / 2;
        if enough(middle) {
            fits = middle;
        } else {
            too_few = middle;
        }
    }
    Ok(fits)
}

/// The same by the formula that printed tables use, before it is rounded up.
///
/// *Formula:* `(1 - (1-confidence)^(1/D)) (N - (D-1)/2)`. *Units:* counts and a share in, animals out.
/// *Holds for:* a perfect test; a close approximation, now and then one too high. [`detection_size`] is exact.
/// *Errors:* [`Unfit`] naming the input. *Source:* Cannon & Roe 1982. *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::detection_size_by_table(200, 20, 0.95).unwrap() - 26.5001388973).abs() < 1e-8);
/// ```
pub fn detection_size_by_table(population: u64, diseased: u64, confidence: f64) -> Result<f64, Unfit> {
    let population = counted("population", population, 1, MOST)?;
    let diseased = float(counted("diseased", diseased, 1, population)?);
    let confidence = trust("confidence", confidence)?;
    let share = -((-confidence).ln_1p() / diseased).exp_m1();
    Ok(share * (float(population) - (diseased - 1.0) / 2.0))
}

/// The largest prevalence that still lets a sample of this size come out clean with a chance of 1 - confidence.
///
/// *Formula:* `1 - (1-confidence)^(1/n)` (one-sided; the rule of three, `3/n`, is its rounding at 95 %).
/// *Units:* animals and a share in, share out. *Holds for:* a perfect test and a stock much larger than the sample.
/// *Errors:* [`Unfit`] naming the input. *Source:* Hanley & Lippman-Hand 1983.
/// *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::zero_found(20, 0.95).unwrap() - 0.139108340668).abs() < 1e-12);
/// ```
pub fn zero_found(examined: u64, confidence: f64) -> Result<f64, Unfit> {
    let examined = counted("examined", examined, 1, MOST)?;
    let confidence = trust("confidence", confidence)?;
    Ok(-((-confidence).ln_1p() / float(examined)).exp_m1())
}

#[expect(clippy::cast_precision_loss, reason = "counts are at most a million")]
fn float(count: u64) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    /// The slow twin: with a perfect test, the chance that each animal drawn in turn is sound.
    #[test]
    fn a_perfect_test_misses_as_often_as_sound_animals_are_drawn() {
        for (population, diseased) in [(20_u64, 1_u64), (60, 7), (500, 10), (1000, 500)] {
            let fewest = detection_size(population, diseased, 0.95, 1.0).unwrap();
            let clean = |n: u64| -> f64 {
                (0..n)
                    .map(|i| float((population - diseased).saturating_sub(i)) / float(population - i))
                    .product()
            };
            assert!(
                clean(fewest) <= 0.05 + 1e-12 && clean(fewest - 1) > 0.05 + 1e-12,
                "{population} {diseased}"
            );
        }
    }

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(detection_size(100, 0, 0.95, 1.0).unwrap_err().name(), "diseased");
        assert_eq!(detection_size(100, 101, 0.95, 1.0).unwrap_err().name(), "diseased");
        assert_eq!(detection_size(10, 1, 0.95, 0.5).unwrap_err().name(), "confidence");
        assert_eq!(detection_size(10, 1, 95.0, 1.0).unwrap_err().name(), "confidence");
        assert_eq!(detection_size(10, 1, 0.9, 0.0).unwrap_err().name(), "sensitivity");
        assert_eq!(zero_found(0, 0.95).unwrap_err().name(), "examined");
    }
}
