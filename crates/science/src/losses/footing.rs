//! Is this brood losing more than a good brood would?

use crate::phenology::BetaPrior;

/// The verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// A good brood loses this many often enough.
    Good,
    /// A good brood seldom loses this many.
    Watch,
    /// A good brood hardly ever loses this many.
    LosingTooMany,
    /// Nothing to judge by, or a figure that is broken: never good news.
    Unknown,
}

impl Standing {
    /// The verdict from the chance that a good brood loses at least as many.
    ///
    /// ```
    /// use science::losses::Standing;
    /// assert_eq!(Standing::from_chance(0.4), Standing::Good);
    /// assert_eq!(Standing::from_chance(f64::NAN), Standing::Unknown);
    /// ```
    pub fn from_chance(chance: f64) -> Standing {
        match chance {
            it if (0.2..=1.0).contains(&it) => Standing::Good,
            it if (0.05..0.2).contains(&it) => Standing::Watch,
            it if (0.0..0.05).contains(&it) => Standing::LosingTooMany,
            _ => Standing::Unknown,
        }
    }
}

/// What happened in one stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StageLoss {
    /// Animals that entered it.
    pub entered: u32,
    /// Of those, dead or missing by now.
    pub lost: u32,
    /// What a good brood does: the chance of coming through the whole stage.
    pub survival: BetaPrior,
    /// How much of the stage lies behind the animals, 0 to 1; 1 where all are through.
    pub done_share: f64,
}

/// How the brood stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Footing {
    /// The verdict.
    pub standing: Standing,
    /// The chance that a good brood loses at least as many; not a number where nothing is known.
    pub chance_if_good: f64,
    /// Lost so far.
    pub lost: u32,
    /// What a good brood would have lost: expected.
    pub good_mean: f64,
    /// One good brood in ten loses fewer.
    pub good_q10: u32,
    /// One good brood in ten loses more.
    pub good_q90: u32,
}

/// Compares the losses so far with those of a good brood.
///
/// # Formula
/// Losses in stage k of a good brood: beta-binomial with mean `1 - p_k^share_k` and the weight of the prior;
/// stages are added; the chance of at least the observed sum decides.
/// # Units
/// Animals; a chance from 0 to 1.
/// # Holds for
/// Stages whose priors are independent. A loss is whatever the caller books as one.
/// # Errors
/// No animals, more lost than entered, or a survival that is not a chance: `Unknown`.
/// # Source
/// Verdicts at one in five and one in twenty are judgement.
/// # Checked against
/// Exact binomial sums; the beta-binomial with a flat prior, where every number of losses is equally likely.
/// # Example
/// ```
/// use science::losses::{footing, StageLoss, Standing};
/// use science::phenology::BetaPrior;
/// let l1 = StageLoss { entered: 24, lost: 5, survival: BetaPrior { mean: 0.8, weight: 10.0 }, done_share: 1.0 };
/// assert_eq!(footing(&[l1]).standing, Standing::Good);
/// ```
pub fn footing(stages: &[StageLoss]) -> Footing {
    let lost: u64 = stages.iter().map(|it| u64::from(it.lost)).sum();
    let entered: u64 = stages.iter().map(|it| u64::from(it.entered)).sum();
    let broken = |it: &StageLoss| {
        let chance = (0.0..=1.0).contains(&it.survival.mean) && (0.0..=1.0).contains(&it.done_share);
        it.lost > it.entered || !chance || it.survival.weight.is_nan() || it.survival.weight <= 0.0
    };
    // More are beyond these exact sums in a blink of time; nobody counts them one by one.
    if entered == 0 || entered > 20_000 || stages.iter().any(broken) {
        return unknown(lost);
    }
    let mut good = vec![1.0];
    for it in stages.iter().filter(|it| it.entered > 0) {
        let through = libm::pow(it.survival.mean, it.done_share);
        good = convolve(&good, &beta_binomial(it.entered, 1.0 - through, it.survival.weight));
    }
    let chance = good.iter().skip(lost as usize).sum::<f64>().min(1.0);
    let mean = good.iter().zip(0_u32..).map(|(p, n)| p * f64::from(n)).sum();
    Footing {
        standing: Standing::from_chance(chance),
        chance_if_good: chance,
        lost: lost as u32,
        good_mean: mean,
        good_q10: whole_quantile(&good, 0.1),
        good_q90: whole_quantile(&good, 0.9),
    }
}

fn unknown(lost: u64) -> Footing {
    Footing {
        standing: Standing::Unknown,
        chance_if_good: f64::NAN,
        lost: u32::try_from(lost).unwrap_or(u32::MAX),
        good_mean: f64::NAN,
        good_q10: 0,
        good_q90: 0,
    }
}

/// Chances of 0, 1, ... n losses where the chance of one is beta with a mean and a weight.
fn beta_binomial(n: u32, mean: f64, weight: f64) -> Vec<f64> {
    let n_f = f64::from(n);
    if mean <= 0.0 || mean >= 1.0 {
        let mut sure = vec![0.0; n as usize + 1];
        sure[if mean <= 0.0 { 0 } else { n as usize }] = 1.0;
        return sure;
    }
    // Logs of the ratios of neighbours, added up from the first; scaled by the largest before the sum, so that
    // neither end under- or overflows.
    let step = |k: f64| {
        let (yes, no) = (mean * weight, (1.0 - mean) * weight);
        let odds = if weight.is_infinite() { mean / (1.0 - mean) } else { (yes + k) / (no + n_f - k - 1.0) };
        libm::log((n_f - k) / (k + 1.0) * odds)
    };
    let mut logs = vec![0.0];
    let mut sum = 0.0;
    for k in 0..n {
        sum += step(f64::from(k));
        logs.push(sum);
    }
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = logs.iter().map(|it| libm::exp(it - top)).collect();
    let all: f64 = raw.iter().sum();
    raw.iter().map(|it| it / all).collect()
}

fn convolve(a: &[f64], b: &[f64]) -> Vec<f64> {
    let mut sum = vec![0.0; a.len() + b.len() - 1];
    for (i, p) in a.iter().enumerate() {
        for (j, q) in b.iter().enumerate() {
            sum[i + j] += p * q;
        }
    }
    sum
}

fn whole_quantile(chances: &[f64], p: f64) -> u32 {
    let mut so_far = 0.0;
    let reached = chances.iter().position(|it| {
        so_far += it;
        so_far >= p
    });
    reached.unwrap_or(chances.len() - 1) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stage(entered: u32, lost: u32, mean: f64, weight: f64) -> StageLoss {
        StageLoss { entered, lost, survival: BetaPrior { mean, weight }, done_share: 1.0 }
    }

    /// With a flat prior (mean 1/2, weight 2) every number of losses is equally likely: (n + 1 - k) / (n + 1).
    #[test]
    fn a_flat_prior_is_flat() {
        for lost in 0..=9 {
            let seen = footing(&[stage(9, lost, 0.5, 2.0)]).chance_if_good;
            assert!((seen - f64::from(10 - lost) / 10.0).abs() < 1e-12, "{lost}: {seen}");
        }
    }

    /// Certain survival is binomial: at least 2 of 3 with chance 0.1 is 3 * 0.01 * 0.9 + 0.001 = 0.028; two
    /// stages of one kind add up to one of both.
    #[test]
    fn certain_survival_is_binomial() {
        let seen = footing(&[stage(3, 2, 0.9, f64::INFINITY)]);
        assert!((seen.chance_if_good - 0.028).abs() < 1e-12);
        assert_eq!(seen.standing, Standing::LosingTooMany);
        let both = footing(&[stage(2, 1, 0.9, f64::INFINITY), stage(1, 1, 0.9, f64::INFINITY)]);
        assert!((both.chance_if_good - 0.028).abs() < 1e-12);
        assert!((both.good_mean - 0.3).abs() < 1e-12);
    }

    #[test]
    fn half_a_stage_asks_for_half_the_losses() {
        let half = StageLoss { done_share: 0.5, ..stage(100, 0, 0.81, f64::INFINITY) };
        assert!((footing(&[half]).good_mean - 10.0).abs() < 1e-9);
    }

    #[test]
    fn verdicts() {
        let judge = |lost| footing(&[stage(20, lost, 0.85, 20.0)]).standing;
        assert_eq!(
            [judge(0), judge(3), judge(12)],
            [Standing::Good, Standing::Good, Standing::LosingTooMany]
        );
        assert!((0..=20).map(judge).any(|it| it == Standing::Watch));
    }

    #[test]
    fn what_is_broken_is_never_good_news() {
        let broken = [
            vec![],
            vec![stage(0, 0, 0.8, 10.0)],
            vec![stage(5, 6, 0.8, 10.0)],
            vec![stage(5, 0, f64::NAN, 10.0)],
            vec![stage(5, 0, 0.8, f64::NAN)],
            vec![stage(5, 0, 0.8, 0.0)],
            vec![StageLoss { done_share: f64::NAN, ..stage(5, 0, 0.8, 10.0) }],
            vec![stage(u32::MAX, 0, 0.8, 10.0)],
        ];
        for stages in broken {
            let seen = footing(&stages);
            assert_eq!(seen.standing, Standing::Unknown, "{stages:?}");
            assert!(seen.chance_if_good.is_nan());
        }
        for chance in [f64::NAN, -0.1, 1.1, f64::INFINITY] {
            assert_eq!(Standing::from_chance(chance), Standing::Unknown);
        }
    }
}
