//! Leaf and the animals that eat it.

use serde_json::{Value, json};

use science::development::head_width_ratio;
use science::feeding_indices::{LeafWeighed, dry_eaten_g, leaf_eaten_g, leaf_use};

use super::asked::Asked;
use super::{Quantity, Refused, figure, figure_or_unknown, needed};

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "leaf-use",
        inputs: &[
            needed("eaten_dry_g", "g dry"),
            needed("frass_dry_g", "g dry"),
            needed("gain_dry_g", "g dry"),
            needed("mean_dry_g", "g dry, mean over the time"),
            needed("days", "d"),
        ],
        result: "RCR, RGR, AD, ECI, ECD; ECD null when nothing was digested",
        unit: "g/(g d), g/(g d), %, %, %",
        source: "Waldbauer 1968",
        compute: ask_leaf_use,
    },
    Quantity {
        name: "leaf-eaten",
        inputs: &[
            needed("offered_g", "g fresh"),
            needed("left_g", "g as found"),
            needed("control_fresh_g", "g fresh"),
            needed("control_after_g", "g as found"),
        ],
        result: "leaf eaten, its own drying put back",
        unit: "g fresh",
        source: "Waldbauer 1968 (form from memory)",
        compute: |asked| {
            figure(leaf_eaten_g(LeafWeighed {
                offered_g: asked.number("offered_g")?,
                left_g: asked.number("left_g")?,
                control_fresh_g: asked.number("control_fresh_g")?,
                control_after_g: asked.number("control_after_g")?,
            })?)
        },
    },
    Quantity {
        name: "leaf-eaten-dry",
        inputs: &[
            needed("offered_g", "g fresh"),
            needed("dry_share", "share, from sister leaves"),
            needed("left_dry_g", "g dry"),
        ],
        result: "leaf eaten",
        unit: "g dry",
        source: "gravimetric method, common practice",
        compute: |asked| {
            let (offered, share) = (asked.number("offered_g")?, asked.number("dry_share")?);
            figure(dry_eaten_g(offered, share, asked.number("left_dry_g")?)?)
        },
    },
    Quantity {
        name: "head-width-ratio",
        inputs: &[needed("mean_mm", "list of mm, one mean per instar")],
        result: "dyar_ratio, r2, missed_instar (from the third width on), steps, crosby_percent, intercept_ln",
        unit: "1, 1, true/false, 1, %, ln mm",
        source: "Dyar 1890; Gaines & Campbell 1935; Crosby 1973",
        compute: ask_heads,
    },
];

fn ask_leaf_use(asked: &Asked<'_>) -> Result<Value, Refused> {
    let n = |name| asked.number(name);
    let figures =
        leaf_use(n("eaten_dry_g")?, n("frass_dry_g")?, n("gain_dry_g")?, n("mean_dry_g")?, n("days")?)?;
    Ok(json!({
        "RCR": figure(figures.rcr)?,
        "RGR": figure(figures.rgr)?,
        "AD": figure(figures.ad_percent)?,
        "ECI": figure(figures.eci_percent)?,
        "ECD": figure_or_unknown(figures.ecd_percent)?,
    }))
}

fn ask_heads(asked: &Asked<'_>) -> Result<Value, Refused> {
    let line = head_width_ratio(&asked.numbers("mean_mm")?)?;
    Ok(json!({
        "dyar_ratio": figure(line.ratio)?,
        "r2": figure(line.r2)?,
        "missed_instar": line.missed,
        "steps": line.steps,
        "crosby_percent": line.crosby_percent,
        "intercept_ln": figure(line.intercept_ln)?,
    }))
}
