//! The water in the air of a box.

mod air;
mod saturation;
mod wet_bulb;

pub use air::{absolute_humidity_g_m3, dew_point_c, vapour_pressure_deficit_kpa};
pub use saturation::{SaturationFormula, saturation_hpa};
pub use wet_bulb::{SEA_LEVEL_HPA, humidity_ratio_kg_kg, relative_humidity_percent, wet_bulb_c};
