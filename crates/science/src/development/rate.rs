//! Rate of development at a constant temperature, by the curves entomologists fit.
//!
//! None of the published parameter sets read so far belongs to a wild silkmoth: the curves are here so that a keeper's
//! own fit, or a paper's, can be followed to a number.

use crate::numerics::{Unfit, above, finite, from_to};

/// A rate curve with its parameters, named as the papers name them.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(non_snake_case, reason = "the parameters keep the letters of the papers they are read from")]
pub enum RateModel {
    /// `(T - lower)/constant` above the lower threshold.
    Linear {
        /// Lower threshold, degC.
        lower_c: f64,
        /// Thermal constant, degree-days.
        constant_dd: f64,
    },
    /// `a T (T-T0) sqrt(Tm-T)` (Briere et al. 1999, first form).
    Briere1 {
        /// Scale, 1/day.
        a: f64,
        /// Lower threshold, degC.
        T0: f64,
        /// Lethal threshold, degC.
        Tm: f64,
    },
    /// `a T (T-T0) (Tm-T)^(1/m)` (Briere et al. 1999, second form).
    Briere2 {
        /// Scale, 1/day.
        a: f64,
        /// Lower threshold, degC.
        T0: f64,
        /// Lethal threshold, degC.
        Tm: f64,
        /// Shape of the fall at the warm end.
        m: f64,
    },
    /// `exp(rho T) - exp(rho Tm - (Tm-T)/d) + lam` (Lactin et al. 1995).
    Lactin2 {
        /// Pace of the rise, 1/degC.
        rho: f64,
        /// Lethal threshold, degC.
        Tm: f64,
        /// Width of the fall at the warm end, degC.
        d: f64,
        /// Shift that lets the curve cross zero at the cold end.
        lam: f64,
    },
    /// `psi [exp(rho T) - exp(rho Tm - (Tm-T)/d)]` (Logan et al. 1976, equation 6).
    Logan6 {
        /// Scale, 1/day.
        psi: f64,
        /// Pace of the rise, 1/degC.
        rho: f64,
        /// Lethal threshold, degC.
        Tm: f64,
        /// Width of the fall at the warm end, degC.
        d: f64,
    },
    /// The enzyme form of Schoolfield et al. 1981, also in the parameters of Ikemoto 2005.
    Schoolfield {
        /// Rate at the reference temperature, 1/day.
        rho: f64,
        /// Reference temperature, K.
        Tref: f64,
        /// Enthalpy of activation, cal/mol.
        HA: f64,
        /// Enthalpy and midpoint (cal/mol, K) of inactivation by cold, where fitted.
        cold: Option<(f64, f64)>,
        /// Enthalpy of inactivation by heat, cal/mol.
        HH: f64,
        /// Midpoint of inactivation by heat, K.
        TH: f64,
        /// Gas constant as the authors rounded it, cal/(mol K).
        R: f64,
        /// What 0 degC is in K, as the authors rounded it.
        K0: f64,
    },
    /// `[b (T-T0) (1 - exp(c (T-Tm)))]^2` (Ratkowsky et al. 1983).
    Ratkowsky {
        /// Scale, 1/(degC sqrt day).
        b: f64,
        /// Lower threshold, degC.
        T0: f64,
        /// Upper threshold, degC.
        Tm: f64,
        /// Steepness of the warm end, 1/degC.
        c: f64,
    },
    /// `2/(Dmin [exp(a (T-Topt)) + exp(-b (T-Topt))])` (Janisch).
    Janisch {
        /// Shortest duration, days.
        Dmin: f64,
        /// Temperature of the shortest duration, degC.
        Topt: f64,
        /// Steepness of the warm side, 1/degC.
        a: f64,
        /// Steepness of the cold side, 1/degC.
        b: f64,
    },
}

/// The rate of development at a constant temperature.
///
/// *Formula:* as on each variant of [`RateModel`]; a curve that dips below zero is read as standstill, because an
/// animal does not grow younger. [`rate_unclamped`] gives the bare formula.
/// *Units:* degC in, 1/day out. *Holds for:* -60 to 80 degC and parameters with the signs the authors give them.
/// *Errors:* [`Unfit`] naming the parameter. *Source:* Briere et al. 1999; Lactin et al. 1995; Logan et al. 1976;
/// Schoolfield et al. 1981; Ratkowsky et al. 1983; Janisch as quoted by Kontodimas et al. 2004.
/// *Checked against:* `reference/oracles/01_rate_models.csv` (several sets there are invented and check the algebra only).
///
/// ```
/// use science::development::{RateModel, rate_per_day};
/// let larva = RateModel::Briere1 { a: 7.86e-5, T0: 11.36, Tm: 39.17 };
/// assert!((rate_per_day(larva, 30.0).unwrap() - 0.133098872529).abs() < 1e-12);
/// assert_eq!(rate_per_day(larva, 8.0).unwrap(), 0.0);
/// ```
pub fn rate_per_day(model: RateModel, at_c: f64) -> Result<f64, Unfit> {
    rate_unclamped(model, at_c).map(|rate| rate.max(0.0))
}

/// The bare formula, which may be negative outside the range of the data.
///
/// *Formula, units, source, checked against:* as [`rate_per_day`]. *Holds for:* looking at a fit, not for forecasts.
/// *Errors:* [`Unfit`] naming the parameter, also when the formula overflows.
///
/// ```
/// use science::development::{RateModel, rate_unclamped};
/// let made = RateModel::Logan6 { psi: 0.02, rho: 0.15, Tm: 35.0, d: 4.5 };
/// assert!(rate_unclamped(made, 38.0).unwrap() < 0.0);
/// ```
pub fn rate_unclamped(model: RateModel, at_c: f64) -> Result<f64, Unfit> {
    let t = from_to("at_c", at_c, -60.0, 80.0)?;
    check(model)?;
    let rate = formula(model, t);
    if rate.is_finite() {
        Ok(rate)
    } else {
        Err(Unfit::clash("at_c", format!("the formula has no finite value at {t} with these parameters")))
    }
}

fn formula(model: RateModel, t: f64) -> f64 {
    match model {
        RateModel::Linear { lower_c, constant_dd } => (t - lower_c) / constant_dd,
        RateModel::Briere1 { a, T0, Tm } => {
            if t <= T0 || t >= Tm {
                0.0
            } else {
                a * t * (t - T0) * (Tm - t).sqrt()
            }
        }
        RateModel::Briere2 { a, T0, Tm, m } => {
            if t <= T0 || t >= Tm {
                0.0
            } else {
                a * t * (t - T0) * (Tm - t).powf(1.0 / m)
            }
        }
        RateModel::Lactin2 { rho, Tm, d, lam } => rise_and_fall(rho, Tm, d, t) + lam,
        RateModel::Logan6 { psi, rho, Tm, d } => psi * rise_and_fall(rho, Tm, d, t),
        RateModel::Schoolfield { rho, Tref, HA, cold, HH, TH, R, K0 } => {
            let k = t + K0;
            let active = rho * (k / Tref) * ((HA / R) * (1.0 / Tref - 1.0 / k)).exp();
            let by_cold = cold.map_or(0.0, |(hl, tl)| ((hl / R) * (1.0 / tl - 1.0 / k)).exp());
            active / (1.0 + by_cold + ((HH / R) * (1.0 / TH - 1.0 / k)).exp())
        }
        RateModel::Ratkowsky { b, T0, Tm, c } => {
            // The square would rise again beyond both thresholds.
            if t <= T0 || t >= Tm { 0.0 } else { (b * (t - T0) * -(c * (t - Tm)).exp_m1()).powi(2) }
        }
        RateModel::Janisch { Dmin, Topt, a, b } => {
            2.0 / (Dmin * ((a * (t - Topt)).exp() + (-b * (t - Topt)).exp()))
        }
    }
}

fn rise_and_fall(rho: f64, tm: f64, d: f64, t: f64) -> f64 {
    (rho * t).exp() - (rho * tm - (tm - t) / d).exp()
}

fn check(model: RateModel) -> Result<(), Unfit> {
    match model {
        RateModel::Linear { lower_c, constant_dd } => {
            finite("lower_c", lower_c)?;
            above("constant_dd", constant_dd, 0.0)?;
        }
        RateModel::Briere1 { a, T0, Tm } => {
            above("a", a, 0.0)?;
            ordered(T0, Tm)?;
        }
        RateModel::Briere2 { a, T0, Tm, m } => {
            above("a", a, 0.0)?;
            ordered(T0, Tm)?;
            above("m", m, 0.0)?;
        }
        RateModel::Lactin2 { rho, Tm, d, lam } => {
            above("rho", rho, 0.0)?;
            finite("Tm", Tm)?;
            above("d", d, 0.0)?;
            finite("lam", lam)?;
        }
        RateModel::Logan6 { psi, rho, Tm, d } => {
            above("psi", psi, 0.0)?;
            above("rho", rho, 0.0)?;
            finite("Tm", Tm)?;
            above("d", d, 0.0)?;
        }
        RateModel::Schoolfield { rho, Tref, HA, cold, HH, TH, R, K0 } => {
            above("rho", rho, 0.0)?;
            above("Tref", Tref, 0.0)?;
            finite("HA", HA)?;
            if let Some((hl, tl)) = cold {
                finite("HL", hl)?;
                above("TL", tl, 0.0)?;
            }
            finite("HH", HH)?;
            above("TH", TH, 0.0)?;
            above("R", R, 0.0)?;
            // The authors differ in whether 0 degC is 273 or 273.15 K, and in nothing else.
            from_to("K0", K0, 273.0, 273.16)?;
        }
        RateModel::Ratkowsky { b, T0, Tm, c } => {
            above("b", b, 0.0)?;
            ordered(T0, Tm)?;
            above("c", c, 0.0)?;
        }
        RateModel::Janisch { Dmin, Topt, a, b } => {
            above("Dmin", Dmin, 0.0)?;
            finite("Topt", Topt)?;
            above("a", a, 0.0)?;
            above("b", b, 0.0)?;
        }
    }
    Ok(())
}

fn ordered(t0: f64, tm: f64) -> Result<(), Unfit> {
    finite("T0", t0)?;
    finite("Tm", tm)?;
    if tm > t0 { Ok(()) } else { Err(Unfit::outside("Tm", tm, format!("above T0, which is {t0}"))) }
}

/// The temperature of fastest development between two bounds.
///
/// *Formula:* the highest of 4,000 evenly spaced points, then golden section between its neighbours.
/// *Units:* degC. *Holds for:* curves with one hump that is wider than a four-thousandth of the range.
/// *Errors:* [`Unfit`] for parameters as [`rate_per_day`], or when the fastest place is an end of the range.
/// *Source:* definition. *Checked against:* the closed form of Briere et al. 1999 and the `Topt` rows.
///
/// ```
/// use science::development::{RateModel, fastest_at_c};
/// let made = RateModel::Briere2 { a: 1e-4, T0: 10.0, Tm: 35.0, m: 4.0 };
/// assert!((fastest_at_c(made, 0.0, 45.0).unwrap() - 31.7704295805).abs() < 1e-6);
/// ```
pub fn fastest_at_c(model: RateModel, from_c: f64, until_c: f64) -> Result<f64, Unfit> {
    let from = from_to("from_c", from_c, -60.0, 80.0)?;
    let until = from_to("until_c", until_c, from, 80.0)?;
    check(model)?;
    let steps = 4_000_u32;
    let width = (until - from) / f64::from(steps);
    let place = |i: u32| from + width * f64::from(i);
    let best = (0..=steps)
        .max_by(|&a, &b| formula(model, place(a)).total_cmp(&formula(model, place(b))))
        .filter(|&i| i > 0 && i < steps)
        .ok_or_else(|| Unfit::clash("until_c", "the curve has no hump between the two bounds"))?;
    let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (place(best - 1), place(best + 1));
    while high - low > 1e-9 {
        let (a, b) = (high - golden * (high - low), low + golden * (high - low));
        if formula(model, a) < formula(model, b) {
            low = a;
        } else {
            high = b;
        }
    }
    Ok(f64::midpoint(low, high))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn briere_is_fastest_where_its_authors_say() {
        for (t0, tm, m) in [(11.36_f64, 39.17_f64, 2.0_f64), (10.0, 35.0, 4.0_f64), (5.0, 33.0, 1.3)] {
            let closed = (2.0 * m * tm
                + (m + 1.0) * t0
                + (4.0 * m * m * tm * tm + (m + 1.0).powi(2) * t0 * t0 - 4.0 * m * m * t0 * tm).sqrt())
                / (4.0 * m + 2.0);
            let model = RateModel::Briere2 { a: 1e-4, T0: t0, Tm: tm, m };
            // Near the top the curve is flat to the last digits, so only half of them fix the place.
            assert!((fastest_at_c(model, 0.0, 50.0).unwrap() - closed).abs() < 1e-6);
        }
    }

    #[test]
    fn refusals_name_the_parameter() {
        let named = |model, at| rate_per_day(model, at).unwrap_err().name();
        assert_eq!(named(RateModel::Linear { lower_c: 9.0, constant_dd: 0.0 }, 20.0), "constant_dd");
        assert_eq!(named(RateModel::Briere1 { a: 1e-4, T0: 40.0, Tm: 30.0 }, 20.0), "Tm");
        assert_eq!(named(RateModel::Briere1 { a: 1e-4, T0: 10.0, Tm: 30.0 }, f64::NAN), "at_c");
        assert_eq!(named(RateModel::Linear { lower_c: 9.0, constant_dd: 300.0 }, 100.0), "at_c");
    }

    #[test]
    fn no_curve_goes_below_standstill() {
        let lactin = RateModel::Lactin2 { rho: 0.005, Tm: 36.0, d: 6.3, lam: -1.1 };
        assert!(rate_unclamped(lactin, 2.0).unwrap() < 0.0);
        assert!(rate_per_day(lactin, 2.0).unwrap().abs() < f64::MIN_POSITIVE);
    }
}
