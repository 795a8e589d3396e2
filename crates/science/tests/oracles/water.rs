//! The water in the air.

use science::climate::{
    SEA_LEVEL_HPA, SaturationFormula, absolute_humidity_g_m3, dew_point_c, humidity_ratio_kg_kg,
    relative_humidity_percent, saturation_hpa, vapour_pressure_deficit_kpa, wet_bulb_c,
};

use crate::table::{Reckoned, Row, one};

pub fn humidity(row: &Row) -> Reckoned {
    let air = || row.number("T_C");
    let humid = || row.number("RH_pct");
    let (magnus, hyland) = (SaturationFormula::MagnusWmo, SaturationFormula::HylandWexler);
    match row.quantity.as_str() {
        "es_water_hPa_magnus_wmo" => one(saturation_hpa(air()?, magnus)),
        "es_water_hPa_buck1996" => one(saturation_hpa(air()?, SaturationFormula::Buck)),
        "es_water_hPa_murphy_koop2005" => one(saturation_hpa(air()?, SaturationFormula::MurphyKoop)),
        "es_hPa_iapws97" => one(saturation_hpa(air()?, SaturationFormula::Iapws)),
        "es_hPa_hyland_wexler_ice_below_0" => one(saturation_hpa(air()?, hyland)),
        "dew_point_C_magnus" => one(dew_point_c(air()?, humid()?, magnus)),
        "dew_point_C_hyland_wexler" => one(dew_point_c(air()?, humid()?, hyland)),
        "vpd_kPa_magnus" => one(vapour_pressure_deficit_kpa(air()?, humid()?, magnus)),
        "vpd_kPa_hyland_wexler" => one(vapour_pressure_deficit_kpa(air()?, humid()?, hyland)),
        "absolute_humidity_g_m3" => one(absolute_humidity_g_m3(air()?, humid()?, magnus)),
        "wet_bulb_C_101325Pa" => one(wet_bulb_c(air()?, humid()?, SEA_LEVEL_HPA, hyland)),
        "humidity_ratio_kg_kg" => one(humidity_ratio_kg_kg(air()?, humid()?, SEA_LEVEL_HPA, hyland)),
        "rh_pct_ashrae" => one(relative_humidity_percent(
            row.number("dry")?,
            row.number("wet")?,
            row.number("P_Pa")? / 100.0,
            hyland,
        )),
        _ => Ok(None),
    }
}
