//! Do two or more groups die at the same pace?

use super::kaplan_meier::death_days;
use crate::numerics::{Unfit, chi_square_beyond, solve};

/// One group: days followed, and whether each animal died then or left the count alive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Followed<'a> {
    /// Days each animal was followed.
    pub days: &'a [f64],
    /// Whether it died on its last day.
    pub died: &'a [bool],
}

/// The test with what went into it.
#[derive(Debug, Clone, PartialEq)]
pub struct LogRank {
    /// The statistic.
    pub chi_square: f64,
    /// Groups less one.
    pub degrees_of_freedom: usize,
    /// Chance of a statistic at least this large among equal groups.
    pub p: f64,
    /// Deaths seen in each group.
    pub observed: Vec<f64>,
    /// Deaths expected in each group if all died at the same pace.
    pub expected: Vec<f64>,
}

/// The log-rank test.
///
/// *Formula:* on each death day `E_g = d n_g/n` and the hypergeometric covariance
/// `d (n-d)/(n-1) (n_g/n)(delta - n_h/n)`, summed; `chi2 = (O-E)' V^-1 (O-E)` over all groups but the last.
/// *Units:* days in; statistic and probability out. *Holds for:* independent animals; a whole box that dies together is
/// one event, not fifty. *Errors:* [`Unfit`] naming the input: fewer than two groups, an empty one, or no death that two
/// groups could have shared. *Source:* Mantel 1966. *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// use science::survival::{Followed, log_rank};
/// let died = [true; 3];
/// let early = Followed { days: &[1.0, 2.0, 3.0], died: &died };
/// let late = Followed { days: &[4.0, 5.0, 6.0], died: &died };
/// assert!(log_rank(&[early, late]).unwrap().p < 0.05);
/// ```
pub fn log_rank(groups: &[Followed<'_>]) -> Result<LogRank, Unfit> {
    if groups.len() < 2 {
        return Err(Unfit::clash("groups", format!("{} given, at least 2 needed", groups.len())));
    }
    let mut days = vec![];
    let mut died = vec![];
    for group in groups {
        // Checked group by group, so that an empty group is refused and not swallowed by the others.
        death_days(group.days, group.died)?;
        days.extend_from_slice(group.days);
        died.extend_from_slice(group.died);
    }
    let k = groups.len();
    let observed: Vec<f64> =
        groups.iter().map(|group| group.died.iter().map(|&dead| f64::from(dead)).sum()).collect();
    let mut expected = vec![0.0; k];
    let mut covariance = vec![vec![0.0; k - 1]; k - 1];
    for step in death_days(&days, &died)? {
        let shares: Vec<f64> = groups.iter().map(|group| at_risk(group, step.day) / step.at_risk).collect();
        for (sum, share) in expected.iter_mut().zip(&shares) {
            *sum += step.deaths * share;
        }
        if step.at_risk > 1.0 {
            let spread = step.deaths * (step.at_risk - step.deaths) / (step.at_risk - 1.0);
            for (g, row) in covariance.iter_mut().enumerate() {
                for (h, cell) in row.iter_mut().enumerate() {
                    let own = if g == h { 1.0 } else { 0.0 };
                    *cell += spread * shares[g] * (own - shares[h]);
                }
            }
        }
    }
    let gap: Vec<f64> = observed.iter().zip(&expected).take(k - 1).map(|(o, e)| o - e).collect();
    let weights = solve(covariance, gap.clone())
        .ok_or_else(|| Unfit::clash("groups", "no death on a day when two groups were still followed"))?;
    let chi_square: f64 = gap.iter().zip(&weights).map(|(a, b)| a * b).sum();
    let freedom: f64 = (1..k).map(|_| 1.0).sum();
    let p = chi_square_beyond(chi_square.max(0.0), freedom)
        .ok_or_else(|| Unfit::clash("groups", "the statistic has no value"))?;
    Ok(LogRank { chi_square, degrees_of_freedom: k - 1, p, observed, expected })
}

fn at_risk(group: &Followed<'_>, day: f64) -> f64 {
    group.days.iter().map(|&followed| f64::from(followed >= day)).sum()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn the_order_of_the_groups_does_not_matter() {
        let a = Followed { days: &[2.0, 4.0, 4.0, 9.0], died: &[true, true, false, true] };
        let b = Followed { days: &[3.0, 5.0, 8.0], died: &[true, false, true] };
        let c = Followed { days: &[1.0, 6.0, 7.0], died: &[true, true, true] };
        let one = log_rank(&[a, b, c]).unwrap();
        let other = log_rank(&[c, a, b]).unwrap();
        assert!((one.chi_square - other.chi_square).abs() < 1e-12);
        assert_eq!(one.degrees_of_freedom, 2);
    }

    #[test]
    fn refusals_name_the_input() {
        let some = Followed { days: &[1.0], died: &[true] };
        assert_eq!(log_rank(&[some]).unwrap_err().name(), "groups");
        assert_eq!(log_rank(&[some, Followed { days: &[], died: &[] }]).unwrap_err().name(), "days");
        let alive = Followed { days: &[1.0, 2.0], died: &[false, false] };
        assert_eq!(log_rank(&[alive, alive]).unwrap_err().name(), "groups");
    }
}
