//! One figure from several published ones.
//!
//! Values that mean different things (leaf *eaten* against leaf *cut*) are never combined: that is settled before these
//! numbers are asked. With two values that disagree the interval becomes absurdly wide; show both values instead.

use super::heterogeneity::{BetweenMethod, between, weigh};
use crate::numerics::{Unfit, above, at_least_two, normal_quantile, student_t_quantile, trust};

/// How values are put together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CombineMethod {
    /// One true value, errors only.
    Fixed,
    /// Random effects, normal interval.
    Random(BetweenMethod),
    /// Random effects, spread taken from the values themselves and Student's t (Hartung & Knapp 2001).
    HartungKnapp(BetweenMethod),
}

/// The combined figure and how much the values disagree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combined {
    /// Combined value.
    pub estimate: f64,
    /// Its standard error.
    pub se: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Variance between the values beyond their own errors.
    pub tau2: f64,
    /// Cochran's Q.
    pub q: f64,
    /// Share of the spread that is real disagreement, %: `100 max(0, (Q - df)/Q)`.
    pub i2_percent: f64,
}

/// Combines estimates by their variances.
///
/// *Formula:* weights `1/(v_i + tau2)`; DerSimonian-Laird `tau2 = max(0, (Q-(k-1))/(S1 - S2/S1))`; REML the top of the
/// restricted likelihood, ML of the plain one; Paule-Mandel `Q(tau2) = k-1`; Hartung-Knapp variance `sum w (y-m)^2/((k-1) sum w)` with
/// Student's t on `k-1`. *Units:* those of the estimates, squared for variances.
/// *Holds for:* estimates of one and the same thing. *Errors:* [`Unfit`] naming the list.
/// *Source:* DerSimonian & Laird 1986; Viechtbauer 2005; Hartung & Knapp 2001; Higgins & Thompson 2002 (I2).
/// *Checked against:* `reference/oracles/12_evidence.csv`.
///
/// ```
/// use science::evidence_arithmetic::{BetweenMethod, CombineMethod, combine};
/// let claims = combine(&[77.5, 37.5], &[6.25, 6.25], 0.95, CombineMethod::Random(BetweenMethod::DerSimonianLaird)).unwrap();
/// assert!((claims.estimate - 57.5).abs() < 1e-9 && (claims.tau2 - 793.75).abs() < 1e-9);
/// ```
pub fn combine(
    estimates: &[f64],
    variances: &[f64],
    confidence: f64,
    method: CombineMethod,
) -> Result<Combined, Unfit> {
    at_least_two("estimates", estimates)?;
    if variances.len() != estimates.len() {
        let why = format!("{} values, but estimates has {}", variances.len(), estimates.len());
        return Err(Unfit::clash("variances", why));
    }
    variances.iter().try_for_each(|&v| above("variances", v, 0.0).map(|_| ()))?;
    let confidence = trust("confidence", confidence)?;
    let freedom: f64 = estimates.iter().skip(1).map(|_| 1.0).sum();
    let none = || Unfit::clash("estimates", "no variance between them could be found");
    let tau2 = match method {
        CombineMethod::Fixed => 0.0,
        CombineMethod::Random(how) | CombineMethod::HartungKnapp(how) => {
            between(how, estimates, variances).ok_or_else(none)?
        }
    };
    let q = weigh(estimates, variances, 0.0).q;
    let at = weigh(estimates, variances, tau2);
    let upper = f64::midpoint(1.0, confidence);
    let (se, reach) = match method {
        CombineMethod::HartungKnapp(_) => {
            ((at.q / (freedom * at.weight)).sqrt(), student_t_quantile(freedom, upper))
        }
        _ => ((1.0 / at.weight).sqrt(), normal_quantile(upper)),
    };
    let reach = reach.ok_or_else(|| Unfit::outside("confidence", confidence, "less extreme"))?;
    let i2_percent = if q > freedom { 100.0 * (q - freedom) / q } else { 0.0 };
    Ok(Combined {
        estimate: at.mean,
        se,
        low: at.mean - reach * se,
        high: at.mean + reach * se,
        tau2,
        q,
        i2_percent,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn values_that_agree_leave_nothing_between_them() {
        for how in [BetweenMethod::DerSimonianLaird, BetweenMethod::Reml, BetweenMethod::PauleMandel] {
            let same = combine(&[5.0, 5.1, 4.9], &[1.0, 2.0, 1.5], 0.95, CombineMethod::Random(how)).unwrap();
            let fixed = combine(&[5.0, 5.1, 4.9], &[1.0, 2.0, 1.5], 0.95, CombineMethod::Fixed).unwrap();
            assert!(same.tau2.abs() < 1e-12 && (same.se - fixed.se).abs() < 1e-12, "{how:?}");
        }
    }

    #[test]
    fn equal_variances_have_a_closed_form() {
        // With equal variances all three give the sample variance less the common one.
        for how in [BetweenMethod::DerSimonianLaird, BetweenMethod::Reml, BetweenMethod::PauleMandel] {
            let wide = combine(&[1.0, 4.0, 9.0, 2.0], &[0.5; 4], 0.95, CombineMethod::Random(how)).unwrap();
            assert!((wide.tau2 - (38.0 / 3.0 - 0.5)).abs() < 1e-9, "{how:?} {}", wide.tau2);
        }
    }

    #[test]
    fn refusals_name_the_list() {
        let named = |y: &[f64], v: &[f64], c| combine(y, v, c, CombineMethod::Fixed).unwrap_err().name();
        assert_eq!(named(&[1.0], &[1.0], 0.95), "estimates");
        assert_eq!(named(&[1.0, f64::NAN], &[1.0, 1.0], 0.95), "estimates");
        assert_eq!(named(&[1.0, 2.0], &[1.0], 0.95), "variances");
        assert_eq!(named(&[1.0, 2.0], &[1.0, 0.0], 0.95), "variances");
        assert_eq!(named(&[1.0, 2.0], &[1.0, 1.0], 95.0), "confidence");
    }
}
