//! Dew point, drying power and water content of air.

use super::saturation::{SaturationFormula, ZERO_C_K, pressure, saturation_hpa};
use crate::numerics::{Unfit, bisect, from_to};

/// The vapour pressure at a relative humidity, hPa.
pub(super) fn vapour_hpa(
    air_c: f64,
    humidity_percent: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    let saturated = saturation_hpa(air_c, formula)?;
    Ok(saturated * from_to("humidity_percent", humidity_percent, 0.0, 100.0)? / 100.0)
}

/// The temperature at which this air begins to wet the walls of the box.
///
/// *Formula:* the temperature whose saturation pressure is the vapour pressure of the air; Magnus has the closed inverse
/// `243.12 g/(17.62 - g)` with `g = ln(e/6.112)`. *Units:* degC and % in, degC out.
/// *Holds for:* humidity above 0 %, answer inside the range of the formula. Hyland-Wexler gives the frost point below
/// 0 degC, the others the dew point over water. *Errors:* [`Unfit`] naming the input.
/// *Source:* WMO No. 8; definition. *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SaturationFormula, dew_point_c};
/// assert!((dew_point_c(25.0, 75.0, SaturationFormula::MagnusWmo).unwrap() - 20.2576421318).abs() < 1e-9);
/// ```
pub fn dew_point_c(air_c: f64, humidity_percent: f64, formula: SaturationFormula) -> Result<f64, Unfit> {
    let vapour = vapour_hpa(air_c, humidity_percent, formula)?;
    if vapour <= 0.0 {
        return Err(Unfit::outside(
            "humidity_percent",
            humidity_percent,
            "above 0: dry air has no dew point",
        ));
    }
    let (low, high) = formula.holds_for_c();
    let dew = match formula {
        SaturationFormula::MagnusWmo => {
            let g = (vapour / 6.112).ln();
            Some(243.12 * g / (17.62 - g)).filter(|dew| (low..=high).contains(dew))
        }
        // From the air downwards: at 100 % the dew point is the air itself.
        _ => bisect(low, air_c.min(high), |t| pressure(t, formula) - vapour),
    };
    dew.ok_or_else(|| {
        let must = format!("high enough for a dew point above {low} degC, where this formula ends");
        Unfit::outside("humidity_percent", humidity_percent, must)
    })
}

/// How hard the air pulls water out of leaf, egg and moth.
///
/// *Formula:* `e_s(t) (1 - RH/100)/10`. *Units:* degC and % in, kPa out. *Holds for:* the range of the formula.
/// *Errors:* [`Unfit`] naming the input. *Source:* definition. *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SaturationFormula, vapour_pressure_deficit_kpa};
/// let pull = vapour_pressure_deficit_kpa(25.0, 75.0, SaturationFormula::MagnusWmo).unwrap();
/// assert!((pull - 0.790014229122).abs() < 1e-9);
/// ```
pub fn vapour_pressure_deficit_kpa(
    air_c: f64,
    humidity_percent: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    let saturated = saturation_hpa(air_c, formula)?;
    Ok((saturated - vapour_hpa(air_c, humidity_percent, formula)?) / 10.0)
}

/// The water in a cubic metre of this air.
///
/// *Formula:* `216.679 e/T` with `e` in hPa and `T` in K (ideal gas). *Units:* degC and % in, g/m3 out.
/// *Holds for:* the range of the formula. *Errors:* [`Unfit`] naming the input.
/// *Source:* ideal gas law for water vapour. *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SaturationFormula, absolute_humidity_g_m3};
/// let water = absolute_humidity_g_m3(25.0, 75.0, SaturationFormula::MagnusWmo).unwrap();
/// assert!((water - 17.2241649994).abs() < 1e-6);
/// ```
pub fn absolute_humidity_g_m3(
    air_c: f64,
    humidity_percent: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    Ok(216.679 * vapour_hpa(air_c, humidity_percent, formula)? / (air_c + ZERO_C_K))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn air_at_its_dew_point_is_full() {
        for formula in [
            SaturationFormula::MagnusWmo,
            SaturationFormula::Buck,
            SaturationFormula::HylandWexler,
            SaturationFormula::Iapws,
            SaturationFormula::MurphyKoop,
        ] {
            assert!((dew_point_c(21.5, 100.0, formula).unwrap() - 21.5).abs() < 1e-9);
            let dew = dew_point_c(21.5, 61.0, formula).unwrap();
            let full = saturation_hpa(dew, formula).unwrap() / saturation_hpa(21.5, formula).unwrap();
            assert!((full - 0.61).abs() < 1e-12, "{formula:?}");
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let formula = SaturationFormula::MagnusWmo;
        assert_eq!(dew_point_c(20.0, 0.0, formula).unwrap_err().name(), "humidity_percent");
        assert_eq!(dew_point_c(20.0, 101.0, formula).unwrap_err().name(), "humidity_percent");
        assert_eq!(dew_point_c(f64::NAN, 50.0, formula).unwrap_err().name(), "air_c");
        assert_eq!(absolute_humidity_g_m3(70.0, 50.0, formula).unwrap_err().name(), "air_c");
        // The frost point lies below 0 degC, where this formula ends: no number rather than a guess.
        assert_eq!(dew_point_c(2.0, 20.0, SaturationFormula::Iapws).unwrap_err().name(), "humidity_percent");
    }
}
