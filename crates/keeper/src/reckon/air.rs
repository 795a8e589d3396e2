//! The water in the air of a box.

use science::climate::{
    SEA_LEVEL_HPA, SaturationFormula, absolute_humidity_g_m3, dew_point_c, humidity_ratio_kg_kg,
    relative_humidity_percent, saturation_hpa, vapour_pressure_deficit_kpa, wet_bulb_c,
};

use super::asked::Asked;
use super::{Input, Quantity, Refused, figure, needed, optional};

const FORMULAS: &str = "magnus-wmo (if left out), buck, hyland-wexler, iapws or murphy-koop";
const WET_FORMULAS: &str = "hyland-wexler (if left out), magnus-wmo, buck, iapws or murphy-koop";
const SOURCE: &str = "WMO No. 8; Buck 1981/1996; Hyland & Wexler 1983; IAPWS-IF97; Murphy & Koop 2005";

const AIR: &[Input] =
    &[needed("air_c", "degC"), needed("humidity_percent", "%"), optional("formula", FORMULAS)];

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "saturation-pressure",
        inputs: &[needed("air_c", "degC"), optional("formula", FORMULAS)],
        result: "saturation vapour pressure",
        unit: "hPa",
        source: SOURCE,
        compute: |asked| figure(saturation_hpa(asked.number("air_c")?, magnus(asked)?)?),
    },
    Quantity {
        name: "dew-point",
        inputs: AIR,
        result: "dew point; frost point below 0 degC with hyland-wexler",
        unit: "degC",
        source: SOURCE,
        compute: |asked| figure(dew_point_c(asked.number("air_c")?, humid(asked)?, magnus(asked)?)?),
    },
    Quantity {
        name: "vapour-pressure-deficit",
        inputs: AIR,
        result: "vapour pressure deficit",
        unit: "kPa",
        source: SOURCE,
        compute: |asked| {
            figure(vapour_pressure_deficit_kpa(asked.number("air_c")?, humid(asked)?, magnus(asked)?)?)
        },
    },
    Quantity {
        name: "absolute-humidity",
        inputs: AIR,
        result: "water in the air",
        unit: "g/m3",
        source: SOURCE,
        compute: |asked| {
            figure(absolute_humidity_g_m3(asked.number("air_c")?, humid(asked)?, magnus(asked)?)?)
        },
    },
    Quantity {
        name: "wet-bulb",
        inputs: &[
            needed("air_c", "degC"),
            needed("humidity_percent", "%"),
            optional("formula", WET_FORMULAS),
            optional("pressure_hpa", "hPa, 1013.25 if left out"),
        ],
        result: "wet-bulb temperature of moving air",
        unit: "degC",
        source: "ASHRAE Fundamentals",
        compute: |asked| {
            figure(wet_bulb_c(asked.number("air_c")?, humid(asked)?, weather(asked)?, hyland(asked)?)?)
        },
    },
    Quantity {
        name: "humidity-ratio",
        inputs: &[
            needed("air_c", "degC"),
            needed("humidity_percent", "%"),
            optional("formula", WET_FORMULAS),
            optional("pressure_hpa", "hPa, 1013.25 if left out"),
        ],
        result: "mass of water over mass of dry air",
        unit: "kg/kg",
        source: "ASHRAE Fundamentals",
        compute: |asked| {
            figure(humidity_ratio_kg_kg(
                asked.number("air_c")?,
                humid(asked)?,
                weather(asked)?,
                hyland(asked)?,
            )?)
        },
    },
    Quantity {
        name: "humidity-from-wet-bulb",
        inputs: &[
            needed("air_c", "degC, dry bulb"),
            needed("wet_c", "degC, wet bulb"),
            optional("formula", WET_FORMULAS),
            optional("pressure_hpa", "hPa, 1013.25 if left out"),
        ],
        result: "relative humidity",
        unit: "%",
        source: "ASHRAE Fundamentals",
        compute: |asked| {
            let (dry, wet) = (asked.number("air_c")?, asked.number("wet_c")?);
            figure(relative_humidity_percent(dry, wet, weather(asked)?, hyland(asked)?)?)
        },
    },
];

fn humid(asked: &Asked<'_>) -> Result<f64, Refused> {
    asked.number("humidity_percent")
}

fn weather(asked: &Asked<'_>) -> Result<f64, Refused> {
    asked.number_or("pressure_hpa", SEA_LEVEL_HPA)
}

fn magnus(asked: &Asked<'_>) -> Result<SaturationFormula, Refused> {
    asked.choice_or("formula", &WORDS, SaturationFormula::MagnusWmo)
}

/// The handbook that gives the wet-bulb balance uses this formula, so it is the one meant when none is named.
fn hyland(asked: &Asked<'_>) -> Result<SaturationFormula, Refused> {
    asked.choice_or("formula", &WORDS, SaturationFormula::HylandWexler)
}

const WORDS: [(&str, SaturationFormula); 5] = [
    ("magnus-wmo", SaturationFormula::MagnusWmo),
    ("buck", SaturationFormula::Buck),
    ("hyland-wexler", SaturationFormula::HylandWexler),
    ("iapws", SaturationFormula::Iapws),
    ("murphy-koop", SaturationFormula::MurphyKoop),
];
