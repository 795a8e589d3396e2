//! The age-stage life table of both sexes, kept animal by animal.

use super::{Growth, growth_rate};
use crate::numerics::{Unfit, from_to};

/// One animal of a cohort followed day by day.
#[derive(Debug, Clone, PartialEq)]
pub struct Follow {
    /// Days from laying to its last day alive, that day included; at least 1.
    pub days: u64,
    /// Eggs laid on each day of its life from the first; empty for males and for those that died young.
    pub eggs: Vec<f64>,
}

/// What the cohort says.
#[derive(Debug, Clone, PartialEq)]
pub struct TwoSex {
    /// Share of all, male or female or never told, alive at each age from 0.
    pub lx: Vec<f64>,
    /// Eggs per animal alive at each age, males counted.
    pub mx: Vec<f64>,
    /// Gross reproductive rate.
    pub grr: f64,
    /// Growth with the first age counted as 1, so that `sum e^(-r(x+1)) lx mx = 1`.
    pub growth: Growth,
}

/// The two-sex life table of a cohort.
///
/// *Formula:* `l_x` share alive, `m_x` eggs per animal alive at age `x` from 0; `GRR = sum m_x`; growth from
/// `sum e^(-r(x+1)) l_x m_x = 1`. *Units:* days and eggs. *Holds for:* a cohort followed from laying to the last death;
/// the bootstrap over animals, not the jackknife, gives its doubt. *Errors:* [`Unfit`] naming the input.
/// *Source:* Chi & Liu 1985; Chi 1988. *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// use science::survival::{Follow, two_sex};
/// let mother = Follow { days: 4, eggs: vec![0.0, 0.0, 0.0, 8.0] };
/// let brother = Follow { days: 4, eggs: vec![] };
/// let table = two_sex(&[mother, brother]).unwrap();
/// assert!((table.growth.r - 4.0_f64.ln() / 4.0).abs() < 1e-12);
/// ```
pub fn two_sex(cohort: &[Follow]) -> Result<TwoSex, Unfit> {
    let longest = cohort.iter().map(|animal| animal.days).max().unwrap_or(0);
    if longest == 0 || longest > 10_000 {
        return Err(Unfit::clash("cohort", "each animal needs from 1 to 10000 days of life"));
    }
    let all = cohort.iter().map(|_| 1.0).sum::<f64>();
    let (mut lx, mut mx, mut ages, mut lxmx) = (vec![], vec![], vec![], vec![]);
    let mut age = 0_u32;
    for day in 0..longest {
        let alive: f64 = cohort.iter().map(|animal| f64::from(animal.days > day)).sum();
        let mut eggs = 0.0;
        for animal in cohort {
            let laid = usize::try_from(day).ok().and_then(|d| animal.eggs.get(d)).copied().unwrap_or(0.0);
            let laid = from_to("eggs", laid, 0.0, 1e6)?;
            if laid > 0.0 && animal.days <= day {
                return Err(Unfit::outside(
                    "eggs",
                    laid,
                    "laid while alive: the egg list outlasts its animal",
                ));
            }
            eggs += laid;
        }
        age += 1;
        lx.push(alive / all);
        mx.push(if alive > 0.0 { eggs / alive } else { 0.0 });
        ages.push(f64::from(age));
        lxmx.push(eggs / all);
    }
    let growth = growth_rate(&ages, &lxmx)?;
    Ok(TwoSex { grr: mx.iter().sum(), lx, mx, growth })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn refusals_name_the_input() {
        assert_eq!(two_sex(&[]).unwrap_err().name(), "cohort");
        let ghost = Follow { days: 1, eggs: vec![0.0, 4.0] };
        let other = Follow { days: 3, eggs: vec![] };
        assert_eq!(two_sex(&[ghost, other.clone()]).unwrap_err().name(), "eggs");
        assert_eq!(two_sex(&[other]).unwrap_err().name(), "lxmx");
    }
}
