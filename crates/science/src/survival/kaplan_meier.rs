//! The curve of who is still alive, when some leave the count alive.

use crate::numerics::{Unfit, finite, from_to, normal_quantile, trust};

/// Survival to one day with its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KaplanMeier {
    /// Share still alive after that day's deaths.
    pub survival: f64,
    /// Greenwood standard error; `None` when nobody is left, where the formula has no value.
    pub greenwood_se: Option<f64>,
    /// Lower limit; `None` while all or none are alive, where the log-log interval has no value.
    pub low: Option<f64>,
    /// Upper limit; `None` as for `low`.
    pub high: Option<f64>,
}

/// Survival to `at_d` from days followed and whether each animal died then or left the count alive.
///
/// *Formula:* `S = prod (1 - d/n)` over days with deaths; Greenwood `V = sum d/(n(n-d))`, `SE = S sqrt V`; limits
/// `S^exp(-+ z sqrt V / ln S)` (log-log). *Units:* days in, shares out.
/// *Holds for:* animals that leave for reasons that do not tell of their health. A day with a death and a leaving
/// counts the death first. *Errors:* [`Unfit`] naming the input; a day past the last animal that left alive is refused,
/// because nobody was watched so long. *Source:* Kaplan & Meier 1958; Greenwood 1926.
/// *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// let days = [1.0, 2.0, 2.0, 4.0];
/// let died = [true, true, false, true];
/// let at = science::survival::kaplan_meier(&days, &died, 3.0, 0.95).unwrap();
/// assert!((at.survival - 0.5).abs() < 1e-15);
/// ```
pub fn kaplan_meier(days: &[f64], died: &[bool], at_d: f64, confidence: f64) -> Result<KaplanMeier, Unfit> {
    let at_d = from_to("at_d", at_d, 0.0, 1e6)?;
    let confidence = trust("confidence", confidence)?;
    let steps = death_days(days, died)?;
    let last = days.iter().copied().fold(0.0, f64::max);
    let all_dead = steps.last().is_some_and(|step| step.deaths >= step.at_risk);
    if at_d > last && !all_dead {
        return Err(Unfit::outside("at_d", at_d, format!("at most {last}: nobody was followed longer")));
    }
    let (mut survival, mut variance) = (1.0, 0.0);
    for step in steps.iter().take_while(|step| step.day <= at_d) {
        survival *= 1.0 - step.deaths / step.at_risk;
        variance += step.deaths / (step.at_risk * (step.at_risk - step.deaths));
    }
    if survival <= 0.0 {
        return Ok(KaplanMeier { survival: 0.0, greenwood_se: None, low: None, high: None });
    }
    let greenwood_se = Some(survival * variance.sqrt());
    // With nobody dead yet ln S is 0 and the interval would be a point, which would be false certainty.
    let limits = normal_quantile(f64::midpoint(1.0, confidence)).filter(|_| survival < 1.0).map(|z| {
        let reach = z * variance.sqrt() / survival.ln();
        // ln S is negative, so the positive sign of reach belongs to the upper limit.
        (survival.powf((-reach).exp()), survival.powf(reach.exp()))
    });
    Ok(KaplanMeier { survival, greenwood_se, low: limits.map(|l| l.0), high: limits.map(|l| l.1) })
}

/// The first day on which half or fewer are left; `None` when more than half lived past the end.
///
/// *Formula:* smallest day with `S <= 1/2`. *Units:* days. *Holds for:* as [`kaplan_meier`].
/// *Errors:* [`Unfit`] naming the input. *Source:* Kaplan & Meier 1958. *Checked against:* fruit-fly medians printed by
/// two survival libraries (test in `tests/oracles.rs`).
///
/// ```
/// let died = [true; 4];
/// assert_eq!(science::survival::median_day(&[3.0, 1.0, 2.0, 9.0], &died).unwrap(), Some(2.0));
/// ```
pub fn median_day(days: &[f64], died: &[bool]) -> Result<Option<f64>, Unfit> {
    let mut survival = 1.0;
    for step in death_days(days, died)? {
        survival *= 1.0 - step.deaths / step.at_risk;
        // A product that should be one half exactly may miss it by its last digits.
        if survival <= 0.5 + 1e-12 {
            return Ok(Some(step.day));
        }
    }
    Ok(None)
}

/// A day with deaths: how many died and how many were in the count that morning.
pub(super) struct DeathDay {
    pub(super) day: f64,
    pub(super) deaths: f64,
    pub(super) at_risk: f64,
}

/// The days with deaths in order.
pub(super) fn death_days(days: &[f64], died: &[bool]) -> Result<Vec<DeathDay>, Unfit> {
    if days.is_empty() {
        return Err(Unfit::clash("days", "nobody was followed"));
    }
    if died.len() != days.len() {
        return Err(Unfit::clash("died", format!("{} values, but days has {}", died.len(), days.len())));
    }
    for &day in days {
        if finite("days", day)? < 0.0 {
            return Err(Unfit::outside("days", day, "0 or more"));
        }
    }
    let mut animals: Vec<(f64, bool)> = days.iter().copied().zip(died.iter().copied()).collect();
    animals.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut at_risk = animals.iter().map(|_| 1.0).sum::<f64>();
    let mut steps: Vec<DeathDay> = vec![];
    for group in animals.chunk_by(|a, b| a.0.total_cmp(&b.0).is_eq()) {
        let deaths = group.iter().map(|animal| f64::from(animal.1)).sum::<f64>();
        if deaths > 0.0 {
            steps.push(DeathDay { day: group[0].0, deaths, at_risk });
        }
        at_risk -= group.iter().map(|_| 1.0).sum::<f64>();
    }
    Ok(steps)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn nobody_dead_and_nobody_left_have_no_interval() {
        let (days, died) = ([2.0, 5.0], [true, true]);
        let before = kaplan_meier(&days, &died, 1.0, 0.95).unwrap();
        assert_eq!((before.low, before.high), (None, None));
        let after = kaplan_meier(&days, &died, 30.0, 0.95).unwrap();
        assert_eq!((after.greenwood_se, after.low), (None, None));
        assert!(after.survival.abs() < f64::MIN_POSITIVE);
    }

    #[test]
    fn limits_stand_around_the_curve() {
        let days = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0];
        let at = kaplan_meier(&days, &[true; 6], 3.0, 0.9).unwrap();
        assert!(at.low.unwrap() < at.survival && at.survival < at.high.unwrap());
    }

    #[test]
    fn refusals_name_the_input() {
        let named = |days: &[f64], died: &[bool], at| kaplan_meier(days, died, at, 0.95).unwrap_err().name();
        assert_eq!(named(&[], &[], 1.0), "days");
        assert_eq!(named(&[1.0], &[], 1.0), "died");
        assert_eq!(named(&[f64::NAN], &[true], 1.0), "days");
        assert_eq!(named(&[-1.0], &[true], 1.0), "days");
        assert_eq!(named(&[1.0, 2.0], &[true, false], 3.0), "at_d");
    }
}
