//! The wet bulb and what is read from it.

use super::air::vapour_hpa;
use super::saturation::{SaturationFormula, pressure, saturation_hpa};
use crate::numerics::{Unfit, bisect, from_to};

/// Standard pressure at sea level, hPa.
pub const SEA_LEVEL_HPA: f64 = 1013.25;

/// Mass of water over mass of dry air.
///
/// *Formula:* `0.621945 e/(P - e)`. *Units:* degC, %, hPa in; kg/kg out. *Holds for:* 500 to 1,100 hPa.
/// *Errors:* [`Unfit`] naming the input. *Source:* ASHRAE Fundamentals.
/// *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SEA_LEVEL_HPA, SaturationFormula, humidity_ratio_kg_kg};
/// let ratio = humidity_ratio_kg_kg(25.0, 50.0, SEA_LEVEL_HPA, SaturationFormula::HylandWexler).unwrap();
/// assert!((ratio - 0.00988104369075).abs() < 1e-8);
/// ```
pub fn humidity_ratio_kg_kg(
    air_c: f64,
    humidity_percent: f64,
    pressure_hpa: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    let vapour = vapour_hpa(air_c, humidity_percent, formula)?;
    ratio(vapour, weather(pressure_hpa)?)
}

/// The temperature of a well-aired wet thermometer beside the dry one.
///
/// *Formula:* the `w` at which the psychrometric balance holds: over water
/// `W = [(2501 - 2.326 w) Ws(w) - 1.006 (t - w)]/(2501 + 1.86 t - 4.186 w)`, over ice below 0 degC
/// `W = [(2830 - 0.24 w) Ws(w) - 1.006 (t - w)]/(2830 + 1.86 t - 2.1 w)`. *Units:* degC, %, hPa in; degC out.
/// *Holds for:* the range of the formula, 500 to 1,100 hPa, moving air. *Errors:* [`Unfit`] naming the input.
/// *Source:* ASHRAE Fundamentals (their saturation formula is Hyland-Wexler).
/// *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SEA_LEVEL_HPA, SaturationFormula, wet_bulb_c};
/// let wet = wet_bulb_c(25.0, 75.0, SEA_LEVEL_HPA, SaturationFormula::HylandWexler).unwrap();
/// assert!((wet - 21.6821950017).abs() < 0.002);
/// ```
pub fn wet_bulb_c(
    air_c: f64,
    humidity_percent: f64,
    pressure_hpa: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    let pressure_hpa = weather(pressure_hpa)?;
    let vapour = vapour_hpa(air_c, humidity_percent, formula)?;
    let held = ratio(vapour, pressure_hpa)?;
    let (low, _) = formula.holds_for_c();
    bisect(low.max(-60.0), air_c, |wet| balance(air_c, wet, pressure_hpa, formula) - held).ok_or_else(|| {
        Unfit::outside(
            "air_c",
            air_c,
            format!("warm enough for a wet bulb above {low} degC, where this formula ends"),
        )
    })
}

/// Relative humidity from a dry and a wet thermometer.
///
/// *Formula:* the balance of [`wet_bulb_c`] read the other way: `e = P W/(0.621945 + W)`.
/// *Units:* degC, hPa in; % out. *Holds for:* wet not above dry, air moving past the wet bulb.
/// *Errors:* [`Unfit`] naming the input, also when the wet bulb is colder than air can make it.
/// *Source:* ASHRAE Fundamentals. *Checked against:* `reference/oracles/07_humidity.csv`.
///
/// ```
/// use science::climate::{SEA_LEVEL_HPA, SaturationFormula, relative_humidity_percent};
/// let humid = relative_humidity_percent(25.0, 20.0, SEA_LEVEL_HPA, SaturationFormula::HylandWexler).unwrap();
/// assert!((humid - 63.4753918957).abs() < 0.01);
/// ```
pub fn relative_humidity_percent(
    air_c: f64,
    wet_c: f64,
    pressure_hpa: f64,
    formula: SaturationFormula,
) -> Result<f64, Unfit> {
    let pressure_hpa = weather(pressure_hpa)?;
    let saturated = saturation_hpa(air_c, formula)?;
    let (low, high) = formula.holds_for_c();
    let wet = from_to("wet_c", wet_c, low, high)?;
    if wet > air_c {
        return Err(Unfit::outside("wet_c", wet, format!("not above the dry bulb, which is {air_c}")));
    }
    let held = balance(air_c, wet, pressure_hpa, formula);
    if held < 0.0 {
        return Err(Unfit::outside("wet_c", wet, "nearer to the dry bulb: no air is dry enough for this"));
    }
    Ok(100.0 * pressure_hpa * held / (0.621_945 + held) / saturated)
}

fn weather(pressure_hpa: f64) -> Result<f64, Unfit> {
    from_to("pressure_hpa", pressure_hpa, 500.0, 1100.0)
}

fn ratio(vapour_hpa: f64, pressure_hpa: f64) -> Result<f64, Unfit> {
    if vapour_hpa >= pressure_hpa {
        return Err(Unfit::clash("pressure_hpa", "the vapour alone would exceed this pressure"));
    }
    Ok(0.621_945 * vapour_hpa / (pressure_hpa - vapour_hpa))
}

/// The humidity ratio at which a wet bulb would read `wet`.
fn balance(air_c: f64, wet: f64, pressure_hpa: f64, formula: SaturationFormula) -> f64 {
    let saturated = pressure(wet, formula);
    let full = 0.621_945 * saturated / (pressure_hpa - saturated);
    let gap = air_c - wet;
    if wet >= 0.0 {
        ((2501.0 - 2.326 * wet) * full - 1.006 * gap) / (2501.0 + 1.86 * air_c - 4.186 * wet)
    } else {
        ((2830.0 - 0.24 * wet) * full - 1.006 * gap) / (2830.0 + 1.86 * air_c - 2.1 * wet)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::*;

    #[test]
    fn there_and_back_again() {
        let formula = SaturationFormula::HylandWexler;
        for (air_c, humid) in [(25.0, 50.0), (18.0, 85.0), (30.0, 20.0), (22.0, 100.0)] {
            let wet = wet_bulb_c(air_c, humid, SEA_LEVEL_HPA, formula).unwrap();
            let again = relative_humidity_percent(air_c, wet, SEA_LEVEL_HPA, formula).unwrap();
            assert!((again - humid).abs() < 1e-9, "{air_c} {humid} {again}");
        }
    }

    #[test]
    fn refusals_name_the_input() {
        let formula = SaturationFormula::HylandWexler;
        let named =
            |air, wet| relative_humidity_percent(air, wet, SEA_LEVEL_HPA, formula).unwrap_err().name();
        assert_eq!(named(20.0, 21.0), "wet_c");
        assert_eq!(named(30.0, 2.0), "wet_c");
        assert_eq!(wet_bulb_c(20.0, 50.0, 100.0, formula).unwrap_err().name(), "pressure_hpa");
    }
}
