//! Setting an alarm and keeping its sum.

use crate::numerics::{Unfit, above, finite, open_share};

/// The reference value of a count alarm between a usual and a feared mean.
///
/// *Formula:* `(m1 - m0)/ln(m1/m0)`. *Units:* deaths per day. *Holds for:* Poisson counts, feared above usual.
/// *Errors:* [`Unfit`] naming the input. *Source:* Lucas 1985; Hawkins & Olwell 1998.
/// *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::reference_poisson(0.5, 1.5).unwrap() - 0.910239226627).abs() < 1e-12);
/// ```
pub fn reference_poisson(usual_mean: f64, feared_mean: f64) -> Result<f64, Unfit> {
    let usual = above("usual_mean", usual_mean, 0.0)?;
    let feared = above("feared_mean", feared_mean, usual)?;
    Ok((feared - usual) / (feared / usual).ln())
}

/// The reference value of an animal-by-animal alarm between a usual and a feared chance of death.
///
/// *Formula:* `-ln((1-p1)/(1-p0))/ln[p1 (1-p0)/(p0 (1-p1))]`. *Units:* chances. *Holds for:* feared above usual.
/// *Errors:* [`Unfit`] naming the input. *Source:* Reynolds & Stoumbos 1999.
/// *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert!((science::health::reference_bernoulli(0.02, 0.1).unwrap() - 0.0502525807757).abs() < 1e-12);
/// ```
pub fn reference_bernoulli(usual_chance: f64, feared_chance: f64) -> Result<f64, Unfit> {
    let usual = open_share("usual_chance", usual_chance)?;
    let feared = above("feared_chance", open_share("feared_chance", feared_chance)?, usual)?;
    let calm = ((1.0 - feared) / (1.0 - usual)).ln();
    Ok(-calm / ((feared / usual).ln() - calm))
}

/// The alarm's sum after each observation.
///
/// *Formula:* `S = max(0, S + x - k)`, from 0. *Units:* those of the counts. *Holds for:* counts in the order seen.
/// *Errors:* [`Unfit`] naming the input. *Source:* Page 1954. *Checked against:* `reference/oracles/08_health.csv`.
///
/// ```
/// assert_eq!(science::health::alarm_path(&[0.0, 2.0, 3.0], 1.5).unwrap(), [0.0, 0.5, 2.0]);
/// ```
pub fn alarm_path(counts: &[f64], k: f64) -> Result<Vec<f64>, Unfit> {
    let k = finite("k", k)?;
    let mut sum = 0.0_f64;
    counts
        .iter()
        .map(|&x| {
            sum = (sum + finite("counts", x)? - k).max(0.0);
            Ok(sum)
        })
        .collect()
}
