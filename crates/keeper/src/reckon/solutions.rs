//! Dilutions. The answer is one object, so that nobody gets the millilitres without the cautions.

use serde_json::{Value, json};

use science::health::{Agent, Basis, Caution, Stock, Target, dilution};

use super::asked::Asked;
use super::{Quantity, Refused, figure, needed, optional};

const BASES: &str = "w/w, w/v or v/v";

pub(super) const QUANTITIES: &[Quantity] = &[Quantity {
    name: "dilution",
    inputs: &[
        needed("stock_percent", "%"),
        needed("basis", BASES),
        optional("density_g_ml", "g/mL of the stock, where mass and volume meet"),
        needed("target_percent", "%"),
        needed("target_basis", BASES),
        needed("volume_ml", "mL to make"),
        optional(
            "agent",
            "formaldehyde, formalin-parts, hypochlorite or other; left out, every caution is shown",
        ),
    ],
    result: "stock_ml, water_ml, cautions",
    unit: "mL, mL, text",
    source: "conservation of mass; cautions from published limits and common practice",
    compute: ask_dilution,
}];

fn ask_dilution(asked: &Asked<'_>) -> Result<Value, Refused> {
    let bases = [("w/w", Basis::MassByMass), ("w/v", Basis::MassByVolume), ("v/v", Basis::VolumeByVolume)];
    let agents = [
        ("formaldehyde", Agent::Formaldehyde),
        ("formalin-parts", Agent::FormalinParts),
        ("hypochlorite", Agent::Hypochlorite),
        ("other", Agent::Other),
    ];
    let density_g_ml = if asked.has("density_g_ml") { Some(asked.number("density_g_ml")?) } else { None };
    let stock = Stock {
        percent: asked.number("stock_percent")?,
        basis: asked.choice("basis", &bases)?,
        density_g_ml,
    };
    let target = Target {
        percent: asked.number("target_percent")?,
        basis: asked.choice("target_basis", &bases)?,
        volume_ml: asked.number("volume_ml")?,
    };
    let made = dilution(asked.choice_or("agent", &agents, Agent::Unsaid)?, stock, target)?;
    let (stock_ml, water_ml, cautions) = made.read();
    let cautions: Vec<&str> = cautions.iter().map(|caution: &Caution| caution.text()).collect();
    Ok(json!({"stock_ml": figure(stock_ml)?, "water_ml": figure(water_ml)?, "cautions": cautions}))
}
