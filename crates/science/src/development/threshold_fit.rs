//! Lower threshold and thermal constant from durations at constant temperatures.

use crate::numerics::{Unfit, straight_line};

/// How the line is drawn. The two differ by most of a degree on real data, so the method belongs beside the number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitMethod {
    /// Rate on temperature by least squares (Campbell et al. 1974).
    Campbell,
    /// Reduced major axis of duration times temperature on duration (Ikemoto & Takai 2000).
    Ikemoto,
}

/// A fitted threshold with what is needed to doubt it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThresholdFit {
    /// Lower threshold of development, degC.
    pub lower_c: f64,
    /// Thermal constant, degree-days.
    pub constant_dd: f64,
    /// Standard error of the threshold, degC; `None` with only two temperatures.
    pub lower_se: Option<f64>,
    /// Standard error of the constant, degree-days; `None` with only two temperatures.
    pub constant_se: Option<f64>,
    /// Squared correlation of the fitted line: of rate on temperature, or of duration-temperature on duration.
    pub r2: f64,
}

/// Fits the lower threshold and the thermal constant.
///
/// *Formula:* Campbell: `1/D = a + b T`, lower `-a/b`, constant `1/b`, `SE(constant) = SE(b)/b^2`,
/// `SE(lower) = (y/b) sqrt(s^2/(n y^2) + (SE(b)/b)^2)` with `y` the mean rate. Ikemoto: on `x = D`, `y = D T`,
/// lower `= sign(r) sd(y)/sd(x)`, constant `= mean(y) - lower mean(x)`; its standard errors are the large-sample ones
/// of a reduced major axis with divisor `n - 2`: `SE(lower) = lower sqrt((1-r^2)/(n-2))`,
/// `SE(constant) = sd(y) sqrt((1-r)(2 + (1+r) mean(x)^2/sd(x)^2)/(n-2))`, which take the points for a bivariate sample.
/// *Units:* degC and days in; degC and degree-days out.
/// *Holds for:* temperatures inside the straight part of the curve: leave out points near either end first.
/// *Errors:* [`Unfit`] for unequal lengths, no spread, a duration not above 0, or a line that does not rise.
/// *Source:* Campbell et al. 1974 (standard errors from memory, equal to the delta method); Ikemoto & Takai 2000;
/// standard errors of the reduced major axis by the delta method.
/// *Checked against:* `reference/oracles/01_linear_threshold.csv`; the axis errors against simulation in this file.
///
/// ```
/// use science::development::{FitMethod, threshold_fit};
/// let fit = threshold_fit(&[50.0, 60.0, 70.0, 80.0], &[40.0, 20.0, 13.0, 9.0], FitMethod::Campbell).unwrap();
/// assert!((fit.lower_c - 41.947566).abs() < 1e-6 && (fit.constant_dd - 350.561798).abs() < 1e-6);
/// ```
pub fn threshold_fit(at_c: &[f64], days: &[f64], method: FitMethod) -> Result<ThresholdFit, Unfit> {
    if let Some(&day) = days.iter().find(|&&day| day <= 0.0) {
        return Err(Unfit::outside("days", day, "above 0"));
    }
    match method {
        FitMethod::Campbell => campbell(at_c, days),
        FitMethod::Ikemoto => ikemoto(at_c, days),
    }
}

fn campbell(at_c: &[f64], days: &[f64]) -> Result<ThresholdFit, Unfit> {
    let rates: Vec<f64> = days.iter().map(|day| 1.0 / day).collect();
    let line = straight_line(("at_c", "days"), at_c, &rates)?;
    let b = line.slope;
    if b <= 0.0 {
        return Err(Unfit::clash(
            "days",
            "development does not quicken with warmth, so there is no threshold",
        ));
    }
    let lower_se = line.slope_se.zip(line.residual_variance).map(|(slope_se, s2)| {
        let y = line.mean_y;
        (y / b) * (s2 / (line.n * y * y) + (slope_se / b).powi(2)).sqrt()
    });
    Ok(ThresholdFit {
        lower_c: -line.intercept / b,
        constant_dd: 1.0 / b,
        lower_se,
        constant_se: line.slope_se.map(|se| se / (b * b)),
        r2: line.r * line.r,
    })
}

fn ikemoto(at_c: &[f64], days: &[f64]) -> Result<ThresholdFit, Unfit> {
    if at_c.len() != days.len() {
        let why = format!("{} values, but at_c has {}", days.len(), at_c.len());
        return Err(Unfit::clash("days", why));
    }
    let warmth: Vec<f64> = at_c.iter().zip(days).map(|(t, d)| t * d).collect();
    let line = straight_line(("days", "at_c"), days, &warmth)?;
    let r = line.r;
    if r == 0.0 {
        return Err(Unfit::clash("days", "duration and warmth are unrelated, so there is no axis to draw"));
    }
    let lower_c = r.signum() * line.sd_y / line.sd_x;
    let constant_dd = line.mean_y - lower_c * line.mean_x;
    if constant_dd <= 0.0 {
        return Err(Unfit::clash(
            "days",
            "development does not quicken with warmth, so there is no threshold",
        ));
    }
    let freedom = (line.n > 2.0).then_some(line.n - 2.0);
    let size = r.abs();
    let spread = 2.0 + (1.0 + size) * (line.mean_x / line.sd_x).powi(2);
    Ok(ThresholdFit {
        lower_c,
        constant_dd,
        lower_se: freedom.map(|f| lower_c.abs() * ((1.0 - r * r).max(0.0) / f).sqrt()),
        constant_se: freedom.map(|f| line.sd_y * ((1.0 - size).max(0.0) * spread / f).sqrt()),
        r2: r * r,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;
    use rand_core::{Rng, SeedableRng};
    use rand_xoshiro::Xoshiro256PlusPlus;

    /// A standard normal by the polar rule, from two uniforms.
    fn normal(dice: &mut Xoshiro256PlusPlus) -> f64 {
        let uniform = |dice: &mut Xoshiro256PlusPlus| f64::from(dice.next_u32()) / 4_294_967_296.0 + 1e-10;
        (-2.0 * uniform(dice).ln()).sqrt() * (2.0 * std::f64::consts::PI * uniform(dice)).cos()
    }

    /// The stated errors of the axis against the spread of refits on pairs drawn from a bivariate normal:
    /// durations 40 (sd 5) days, warmth 10 D + 300 with correlation 0.9, 60 pairs, 4,000 refits, seed 41.
    /// The spread of 4,000 refits is itself known to 1.1 %, and the formula is a large-sample one good to about 1 % at
    /// n = 60: an honest formula fails the 6 % bound with a chance below 1 in 10,000.
    #[test]
    fn the_axis_errors_match_the_spread_of_refits() {
        let mut dice = Xoshiro256PlusPlus::seed_from_u64(41);
        let (refits, pairs) = (4_000_u32, 60);
        let (mut lowers, mut constants, mut lower_se, mut constant_se) = (vec![], vec![], 0.0, 0.0);
        for _ in 0..refits {
            let (mut at_c, mut days) = (vec![], vec![]);
            for _ in 0..pairs {
                let (u, v) = (normal(&mut dice), normal(&mut dice));
                let day = 40.0 + 5.0 * u;
                let warmth = 700.0 + 50.0 * (0.9 * u + (1.0_f64 - 0.81).sqrt() * v);
                days.push(day);
                at_c.push(warmth / day);
            }
            let fit = threshold_fit(&at_c, &days, FitMethod::Ikemoto).unwrap();
            lowers.push(fit.lower_c);
            constants.push(fit.constant_dd);
            lower_se += fit.lower_se.unwrap() / f64::from(refits);
            constant_se += fit.constant_se.unwrap() / f64::from(refits);
        }
        let spread = |values: &[f64]| {
            let mean = values.iter().sum::<f64>() / f64::from(refits);
            (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / f64::from(refits - 1)).sqrt()
        };
        assert!((lower_se / spread(&lowers) - 1.0).abs() < 0.06, "{lower_se} {}", spread(&lowers));
        assert!(
            (constant_se / spread(&constants) - 1.0).abs() < 0.06,
            "{constant_se} {}",
            spread(&constants)
        );
    }

    #[test]
    fn two_temperatures_give_no_error() {
        for method in [FitMethod::Campbell, FitMethod::Ikemoto] {
            let fit = threshold_fit(&[15.0, 25.0], &[60.0, 20.0], method).unwrap();
            assert!((fit.lower_c - 10.0).abs() < 1e-9 && (fit.constant_dd - 300.0).abs() < 1e-7);
            assert_eq!((fit.lower_se, fit.constant_se), (None, None));
        }
    }

    #[test]
    fn refusals_name_the_list() {
        let named = |at: &[f64], days: &[f64], method| threshold_fit(at, days, method).unwrap_err().name();
        for method in [FitMethod::Campbell, FitMethod::Ikemoto] {
            assert_eq!(named(&[15.0, 20.0], &[60.0, 0.0], method), "days");
            assert_eq!(named(&[15.0, 20.0], &[60.0], method), "days");
            assert_eq!(named(&[15.0, 20.0], &[20.0, 60.0], method), "days");
            assert_eq!(named(&[15.0, f64::NAN], &[20.0, 60.0], method), "at_c");
        }
    }
}
