//! Saturation vapour pressure. The formulas differ by up to 0.3 % in a rearing room, so each figure names its own.

use crate::numerics::{Unfit, finite};

/// What 0 degC is in K.
pub(super) const ZERO_C_K: f64 = 273.15;

/// A published formula for the saturation vapour pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SaturationFormula {
    /// Magnus form with the coefficients of the WMO guide to instruments (No. 8), over water.
    #[default]
    MagnusWmo,
    /// Buck 1981 with the 1996 coefficients, over water.
    Buck,
    /// Hyland & Wexler 1983 as the ASHRAE handbook prints it: over ice at and below the triple point.
    HylandWexler,
    /// IAPWS-IF97 saturation line.
    Iapws,
    /// Murphy & Koop 2005, over water, also supercooled.
    MurphyKoop,
}

impl SaturationFormula {
    /// The lowest and the highest temperature the formula is stated for, degC.
    pub fn holds_for_c(self) -> (f64, f64) {
        match self {
            SaturationFormula::MagnusWmo => (-45.0, 60.0),
            SaturationFormula::Buck => (-80.0, 50.0),
            SaturationFormula::HylandWexler => (-100.0, 200.0),
            SaturationFormula::Iapws => (0.0, 373.0),
            SaturationFormula::MurphyKoop => (-150.0, 58.0),
        }
    }
}

/// The vapour pressure of saturated air.
///
/// *Formula:* as on each [`SaturationFormula`]; Magnus-WMO is `6.112 exp(17.62 t/(243.12 + t))`.
/// *Units:* degC in, hPa out. *Holds for:* [`SaturationFormula::holds_for_c`].
/// *Errors:* [`Unfit`] naming `air_c`, also when the formula is asked outside its range.
/// *Source:* WMO No. 8; Buck 1981/1996; Hyland & Wexler 1983; IAPWS-IF97; Murphy & Koop 2005.
/// *Checked against:* `reference/oracles/07_humidity.csv` (library values for three of the five).
///
/// ```
/// use science::climate::{SaturationFormula, saturation_hpa};
/// assert!((saturation_hpa(25.0, SaturationFormula::MagnusWmo).unwrap() - 31.6005691649).abs() < 1e-9);
/// assert!(saturation_hpa(-5.0, SaturationFormula::Iapws).is_err());
/// ```
pub fn saturation_hpa(air_c: f64, formula: SaturationFormula) -> Result<f64, Unfit> {
    let t = finite("air_c", air_c)?;
    let (low, high) = formula.holds_for_c();
    if !(low..=high).contains(&t) {
        return Err(Unfit::outside("air_c", t, format!("from {low} to {high} degC for this formula")));
    }
    Ok(pressure(t, formula))
}

/// The bare formula, for callers that have already checked the range.
pub(super) fn pressure(t: f64, formula: SaturationFormula) -> f64 {
    match formula {
        SaturationFormula::MagnusWmo => 6.112 * (17.62 * t / (243.12 + t)).exp(),
        SaturationFormula::Buck => 6.1121 * ((18.678 - t / 234.5) * t / (257.14 + t)).exp(),
        SaturationFormula::HylandWexler => hyland_wexler_pa(t) / 100.0,
        SaturationFormula::Iapws => iapws_mpa(t + ZERO_C_K) * 1e4,
        SaturationFormula::MurphyKoop => murphy_koop_pa(t + ZERO_C_K) / 100.0,
    }
}

fn hyland_wexler_pa(t: f64) -> f64 {
    let k = t + ZERO_C_K;
    let ln = if t <= 0.01 {
        -5.674_535_9e3 / k + 6.392_524_7 - 9.677_843_0e-3 * k
            + 6.221_570_1e-7 * k * k
            + 2.074_782_5e-9 * k.powi(3)
            - 9.484_024_0e-13 * k.powi(4)
            + 4.163_501_9 * k.ln()
    } else {
        -5.800_220_6e3 / k + 1.391_499_3 - 4.864_023_9e-2 * k + 4.176_476_8e-5 * k * k
            - 1.445_209_3e-8 * k.powi(3)
            + 6.545_967_3 * k.ln()
    };
    ln.exp()
}

fn iapws_mpa(k: f64) -> f64 {
    let theta = k - 0.238_555_575_678_49 / (k - 0.650_175_348_447_98e3);
    let a = theta * theta + 0.116_705_214_527_67e4 * theta - 0.724_213_167_032_06e6;
    let b = -0.170_738_469_400_92e2 * theta * theta + 0.120_208_247_024_70e5 * theta - 0.323_255_503_223_33e7;
    let c = 0.149_151_086_135_30e2 * theta * theta - 0.482_326_573_615_91e4 * theta + 0.405_113_405_420_57e6;
    (2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt())).powi(4)
}

fn murphy_koop_pa(k: f64) -> f64 {
    let ln = 54.842_763 - 6763.22 / k - 4.210 * k.ln()
        + 0.000_367 * k
        + (0.0415 * (k - 218.8)).tanh() * (53.878 - 1331.22 / k - 9.445_23 * k.ln() + 0.014_025 * k);
    ln.exp()
}
