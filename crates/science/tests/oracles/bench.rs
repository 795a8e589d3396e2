//! Leaf, solutions, heads and combined values.

use science::development::head_width_ratio;
use science::evidence_arithmetic::{BetweenMethod, CombineMethod, combine};
use science::feeding_indices::{LeafWeighed, dry_eaten_g, leaf_eaten_g, leaf_use};
use science::health::{Agent, Basis, Stock, Target, dilution};

use crate::table::{Reckoned, Row, column, one, ours};

pub fn nutrition(row: &Row) -> Reckoned {
    if row.has("ingested_dry_g") {
        let n = |name| row.number(name);
        let days = n("days")?;
        let eaten = n("ingested_dry_g")?;
        let figures =
            ours(leaf_use(eaten, n("frass_dry_g")?, n("gain_dry_g")?, n("mean_dry_weight_g")?, days))?;
        return Ok(Some(vec![match row.quantity.as_str() {
            "CR" => eaten / days,
            "RCR" => figures.rcr,
            "RGR" => figures.rgr,
            "AD" => figures.ad_percent,
            "ECI" => figures.eci_percent,
            "ECD" => figures.ecd_percent.ok_or("no value")?,
            _ => return Err("not understood".to_owned()),
        }]));
    }
    match row.quantity.as_str() {
        // Published shares of Bombyx mori, per animal; mass and time do not enter them.
        "AD_pct" => {
            let eaten = row.number("ingested")?;
            let figures = ours(leaf_use(eaten, eaten - row.number("digested")?, 0.0, 1.0, 1.0))?;
            Ok(Some(vec![figures.ad_percent]))
        }
        "ECI_pct" => {
            let figures = ours(leaf_use(row.number("ingested")?, 0.0, row.number("gain")?, 1.0, 1.0))?;
            Ok(Some(vec![figures.eci_percent]))
        }
        "ECD_pct" => {
            let digested = row.number("digested")?;
            let figures = ours(leaf_use(digested, 0.0, row.number("gain")?, 1.0, 1.0))?;
            Ok(Some(vec![figures.ecd_percent.ok_or("no value")?]))
        }
        "fresh_weight_eaten_waldbauer" => {
            // The row gives the control by its loss over first mass.
            let control_after_g = 1.0 - row.number("a")?;
            let weighed = LeafWeighed {
                offered_g: row.number("given")?,
                left_g: row.number("left")?,
                control_fresh_g: 1.0,
                control_after_g,
            };
            one(leaf_eaten_g(weighed))
        }
        "dry_eaten_by_dry_fraction" => {
            one(dry_eaten_g(row.number("given")?, row.number("dry_fraction")?, row.number("left_dry")?))
        }
        _ => Ok(None),
    }
}

pub fn solutions(row: &Row) -> Reckoned {
    let made = |agent, stock: (f64, Basis, Option<f64>), target: (f64, Basis, f64)| {
        let stock = Stock { percent: stock.0, basis: stock.1, density_g_ml: stock.2 };
        let target = Target { percent: target.0, basis: target.1, volume_ml: target.2 };
        ours(dilution(agent, stock, target)).map(|made| (made.read().0, made.read().1))
    };
    let (mass, by_volume, parts) = (Basis::MassByMass, Basis::MassByVolume, Basis::VolumeByVolume);
    let n = |name| row.number(name);
    let value = match row.quantity.as_str() {
        "volume_stock_mL_for_1L_2pct_w_v" => {
            let stock = (100.0 * n("stock_w_w")?, mass, Some(n("density")?));
            made(Agent::Formaldehyde, stock, (n("target_g_per_100mL")?, by_volume, n("volume_mL")?))?.0
        }
        "volume_stock_mL_for_1L_as_1_in_10" => {
            made(Agent::FormalinParts, (100.0, parts, None), (10.0, parts, n("volume_mL")?))?.0
        }
        "V1" => made(Agent::Hypochlorite, (n("C1")?, by_volume, None), (n("C2")?, by_volume, n("V2")?))?.0,
        "water_to_add" => {
            made(Agent::Hypochlorite, (n("C1")?, by_volume, None), (n("C2")?, by_volume, n("V2")?))?.1
        }
        "dilution_factor_5pct_av_cl_to_0.1pct" => {
            1000.0
                / made(
                    Agent::Hypochlorite,
                    (n("stock")?, by_volume, None),
                    (n("target")?, by_volume, 1000.0),
                )?
                .0
        }
        "mass_stock_g" => {
            // With the stock as heavy as water, grams and millilitres are one.
            made(Agent::Other, (100.0 * n("w1")?, mass, Some(1.0)), (100.0 * n("w2")?, mass, n("m2")?))?.0
        }
        _ => return Ok(None),
    };
    Ok(Some(vec![value]))
}

pub fn heads(row: &Row) -> Reckoned {
    if !row.has("mean_hcw_mm") {
        return Ok(None);
    }
    let widths = row.numbers("mean_hcw_mm")?;
    let line = ours(head_width_ratio(&widths))?;
    Ok(Some(match row.quantity.as_str() {
        "successive_ratios" => line.steps,
        "geometric_mean_ratio" => {
            let steps = line.steps.iter().map(|_| 1.0).sum::<f64>();
            vec![line.steps.iter().product::<f64>().powf(1.0 / steps)]
        }
        "dyar_ratio_exp_slope" => vec![line.ratio],
        "r2" => vec![line.r2],
        "intercept_ln" => vec![line.intercept_ln],
        "crosby_growth_rule_pct" => line.crosby_percent,
        _ => return Err("not understood".to_owned()),
    }))
}

pub fn evidence(row: &Row) -> Reckoned {
    if row.has("sd_each") {
        let y = row.numbers("y")?;
        let variances = vec![row.number("sd_each")?.powi(2); y.len()];
        let random =
            ours(combine(&y, &variances, 0.95, CombineMethod::Random(BetweenMethod::DerSimonianLaird)))?;
        let wide = ours(combine(
            &y,
            &variances,
            0.95,
            CombineMethod::HartungKnapp(BetweenMethod::DerSimonianLaird),
        ))?;
        return Ok(match row.quantity.as_str() {
            "DL_mu_se_tau2_Q" => Some(vec![random.estimate, random.se, random.tau2, random.q]),
            "hartung_knapp_ci_k2" => Some(vec![wide.low, wide.high]),
            _ => None,
        });
    }
    let Some(rest) = row.case.strip_prefix("bcg") else { return Ok(None) };
    let how = match rest.split('_').nth(1) {
        Some("REML") => BetweenMethod::Reml,
        Some("PM") => BetweenMethod::PauleMandel,
        Some("ML") => BetweenMethod::MaximumLikelihood,
        // Without a method in its name a row is about Q, which all share.
        Some("DL" | "FE") | None => BetweenMethod::DerSimonianLaird,
        Some(other) => return Err(format!("{other} is not understood")),
    };
    let method = if rest.contains("_FE_") {
        CombineMethod::Fixed
    } else if rest.ends_with("_knha") {
        CombineMethod::HartungKnapp(how)
    } else {
        CombineMethod::Random(how)
    };
    let numbers =
        |name| column("bcg_logrr.csv", name).iter().map(|text| text.parse().unwrap()).collect::<Vec<f64>>();
    let all = ours(combine(&numbers("yi"), &numbers("vi"), 0.95, method))?;
    Ok(Some(vec![match row.quantity.as_str() {
        "estimate" => all.estimate,
        "se" => all.se,
        "ci_lo" => all.low,
        "ci_hi" => all.high,
        "tau2" => all.tau2,
        "Q" => all.q,
        "I2_DL" => all.i2_percent,
        _ => return Ok(None),
    }]))
}
