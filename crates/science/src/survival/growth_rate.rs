//! How fast a line would grow if it were let.

use crate::numerics::{Unfit, bisect, from_to};

/// The growth of a line from a life table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Intrinsic rate of increase, 1/day.
    pub r: f64,
    /// Net reproductive rate: offspring per animal and generation.
    pub r0: f64,
    /// Mean age of parents in a cohort, days.
    pub cohort_d: f64,
    /// Generation time `ln R0/r`, days.
    pub generation_d: f64,
    /// Increase per day, `e^r`.
    pub lambda: f64,
}

/// The intrinsic rate of increase and its relatives.
///
/// *Formula:* `sum e^(-r x) l_x m_x = 1` (Euler-Lotka); `R0 = sum l_x m_x`; cohort time `sum x l_x m_x/R0`;
/// generation time `ln R0/r`, which at `R0 = 1` is the cohort time. *Units:* days in; 1/day and days out.
/// *Holds for:* ages counted from 0 at laying; counted from 1, `r` comes out smaller.
/// *Errors:* [`Unfit`] naming the list: unequal lengths, negative ages or offspring, no offspring at all.
/// *Source:* Lotka; Birch 1948. *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// let growth = science::survival::growth_rate(&[6.0, 7.0, 8.0, 9.0], &[3.2, 0.72, 0.6, 0.05]).unwrap();
/// assert!((growth.r - 0.237787744318).abs() < 1e-9);
/// ```
pub fn growth_rate(age_d: &[f64], lxmx: &[f64]) -> Result<Growth, Unfit> {
    check(age_d, lxmx)?;
    let r0: f64 = lxmx.iter().sum();
    if r0 <= 0.0 {
        return Err(Unfit::clash("lxmx", "no offspring at any age, so the line does not grow at any rate"));
    }
    let at_once: f64 = age_d.iter().zip(lxmx).filter(|(x, _)| **x <= 0.0).map(|(_, m)| m).sum();
    if at_once > 0.0 {
        return Err(Unfit::clash("age_d", "offspring at age 0: ages must be those of the parents"));
    }
    let cohort_d = age_d.iter().zip(lxmx).map(|(x, m)| x * m).sum::<f64>() / r0;
    // The sum falls steadily with r, so widening the bracket must enclose the one root.
    let mut reach = 1.0;
    let mut root = None;
    while root.is_none() && reach < 1e6 {
        root = bisect(-reach, reach, |r| sum(age_d, lxmx, r).min(1e300) - 1.0);
        reach *= 2.0;
    }
    let r = root.ok_or_else(|| Unfit::clash("lxmx", "no rate of increase solves these numbers"))?;
    let generation_d = if r.abs() < 1e-9 { cohort_d } else { r0.ln() / r };
    Ok(Growth { r, r0, cohort_d, generation_d, lambda: r.exp() })
}

/// The Euler-Lotka sum at a given rate, to see how far from 1 a rate is.
///
/// *Formula:* `sum e^(-r x) l_x m_x`. *Units:* days, 1/day in. *Holds for, source:* as [`growth_rate`].
/// *Errors:* [`Unfit`] naming the list. *Checked against:* `reference/oracles/03_survival.csv`.
///
/// ```
/// let at = science::survival::lotka_sum(&[6.0, 7.0, 8.0, 9.0], &[3.2, 0.72, 0.6, 0.05], 0.237787744318).unwrap();
/// assert!((at - 1.0).abs() < 1e-9);
/// ```
pub fn lotka_sum(age_d: &[f64], lxmx: &[f64], r: f64) -> Result<f64, Unfit> {
    check(age_d, lxmx)?;
    Ok(sum(age_d, lxmx, from_to("r", r, -100.0, 100.0)?))
}

fn sum(age_d: &[f64], lxmx: &[f64], r: f64) -> f64 {
    age_d.iter().zip(lxmx).filter(|(_, m)| **m > 0.0).map(|(x, m)| (-r * x).exp() * m).sum()
}

fn check(age_d: &[f64], lxmx: &[f64]) -> Result<(), Unfit> {
    if age_d.is_empty() {
        return Err(Unfit::clash("age_d", "no ages given"));
    }
    if age_d.len() != lxmx.len() {
        return Err(Unfit::clash("lxmx", format!("{} values, but age_d has {}", lxmx.len(), age_d.len())));
    }
    age_d.iter().try_for_each(|&x| from_to("age_d", x, 0.0, 1e5).map(|_| ()))?;
    lxmx.iter().try_for_each(|&m| from_to("lxmx", m, 0.0, 1e9).map(|_| ()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn one_age_has_the_closed_form() {
        // All offspring at day 40: r = ln R0/40 exactly.
        for r0 in [0.2_f64, 1.0, 5.0, 120.0] {
            let growth = growth_rate(&[40.0], &[r0]).unwrap();
            assert!((growth.r - r0.ln() / 40.0).abs() < 1e-12);
            assert!((growth.generation_d - 40.0).abs() < 1e-6);
        }
    }

    #[test]
    fn refusals_name_the_list() {
        let named = |ages: &[f64], lxmx: &[f64]| growth_rate(ages, lxmx).unwrap_err().name();
        assert_eq!(named(&[], &[]), "age_d");
        assert_eq!(named(&[1.0], &[1.0, 2.0]), "lxmx");
        assert_eq!(named(&[1.0], &[0.0]), "lxmx");
        assert_eq!(named(&[0.0, 1.0], &[1.0, 2.0]), "age_d");
        assert_eq!(named(&[1.0], &[f64::NAN]), "lxmx");
    }
}
