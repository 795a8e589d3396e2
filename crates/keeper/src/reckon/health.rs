//! Detection, prevalence, alarms.

use serde_json::{Value, json};

use science::health::{
    Chart, Rule, Sides, alarm_path, chance_to_detect, detection_size, detection_size_by_table,
    pooled_prevalence, reference_bernoulli, reference_poisson, run_length, true_prevalence, zero_found,
};

use super::asked::Asked;
use super::{Quantity, Refused, figure, needed, optional};

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "detection-size",
        inputs: &[
            needed("population", "animals"),
            needed("diseased", "animals"),
            needed("confidence", "share, such as 0.95"),
            optional("sensitivity", "share, 1 if left out"),
        ],
        result: "fewest animals to examine (exact hypergeometric)",
        unit: "animals",
        source: "Cameron & Baldock 1998; Cannon & Roe 1982",
        compute: |asked| {
            let (population, diseased) = (asked.count("population")?, asked.count("diseased")?);
            let sensitivity = asked.number_or("sensitivity", 1.0)?;
            Ok(json!(detection_size(population, diseased, asked.number("confidence")?, sensitivity)?))
        },
    },
    Quantity {
        name: "detection-size-by-table",
        inputs: &[
            needed("population", "animals"),
            needed("diseased", "animals"),
            needed("confidence", "share, such as 0.95"),
        ],
        result: "the approximation of printed tables, not rounded; detection-size is exact",
        unit: "animals",
        source: "Cannon & Roe 1982",
        compute: |asked| {
            let (population, diseased) = (asked.count("population")?, asked.count("diseased")?);
            figure(detection_size_by_table(population, diseased, asked.number("confidence")?)?)
        },
    },
    Quantity {
        name: "detection-chance",
        inputs: &[
            needed("population", "animals"),
            needed("diseased", "animals"),
            needed("examined", "animals"),
            optional("sensitivity", "share, 1 if left out"),
        ],
        result: "chance that a sample shows the disease",
        unit: "probability",
        source: "Cameron & Baldock 1998",
        compute: |asked| {
            let (population, diseased) = (asked.count("population")?, asked.count("diseased")?);
            let sensitivity = asked.number_or("sensitivity", 1.0)?;
            figure(chance_to_detect(population, diseased, asked.count("examined")?, sensitivity)?)
        },
    },
    Quantity {
        name: "zero-found",
        inputs: &[needed("examined", "animals"), needed("confidence", "share, such as 0.95")],
        result: "upper bound of prevalence when none was found",
        unit: "share",
        source: "Hanley & Lippman-Hand 1983",
        compute: |asked| figure(zero_found(asked.count("examined")?, asked.number("confidence")?)?),
    },
    Quantity {
        name: "true-prevalence",
        inputs: &[
            needed("apparent", "share"),
            needed("sensitivity", "share"),
            needed("specificity", "share"),
        ],
        result: "share, and unclamped before it was brought into 0 to 1",
        unit: "share",
        source: "Rogan & Gladen 1978",
        compute: ask_true_prevalence,
    },
    Quantity {
        name: "pooled-prevalence",
        inputs: &[
            needed("positive_pools", "pools"),
            needed("pools", "pools"),
            needed("pool_size", "animals"),
        ],
        result: "prevalence behind tests on pools",
        unit: "share",
        source: "Thompson 1962; Cowling et al. 1999",
        compute: |asked| {
            let (positive, pools) = (asked.count("positive_pools")?, asked.count("pools")?);
            figure(pooled_prevalence(positive, pools, asked.count("pool_size")?)?)
        },
    },
    Quantity {
        name: "alarm-run-length",
        inputs: &[
            needed("family", "normal, poisson or bernoulli"),
            optional("k", "reference value (normal, poisson)"),
            needed("h", "alarm line"),
            optional("shift", "standard deviations (normal)"),
            optional("sides", "one (if left out) or two (normal)"),
            optional("mu", "true mean count (poisson)"),
            optional("p", "true chance of death (bernoulli)"),
            optional("score_death", "score, above 0 (bernoulli)"),
            optional("score_alive", "score, below 0 (bernoulli)"),
            optional("rule", "above or at-or-above; needed for poisson and bernoulli"),
        ],
        result: "average observations up to the alarm",
        unit: "observations",
        source: "Page 1954; Brook & Evans 1972; Lucas 1985; Reynolds & Stoumbos 1999",
        compute: ask_run_length,
    },
    Quantity {
        name: "alarm-reference",
        inputs: &[
            needed("family", "poisson or bernoulli"),
            needed("usual", "mean count, or chance of death"),
            needed("feared", "mean count, or chance of death"),
        ],
        result: "reference value k",
        unit: "as the inputs",
        source: "Lucas 1985; Hawkins & Olwell 1998; Reynolds & Stoumbos 1999",
        compute: |asked| {
            let reference = asked.choice("family", &REFERENCES)?;
            figure(reference(asked.number("usual")?, asked.number("feared")?)?)
        },
    },
    Quantity {
        name: "alarm-path",
        inputs: &[needed("counts", "list of counts"), needed("k", "reference value")],
        result: "the sum after each count",
        unit: "as the counts",
        source: "Page 1954",
        compute: |asked| Ok(json!(alarm_path(&asked.numbers("counts")?, asked.number("k")?)?)),
    },
];

type Reference = fn(f64, f64) -> Result<f64, science::numerics::Unfit>;
const REFERENCES: [(&str, Reference); 2] =
    [("poisson", reference_poisson), ("bernoulli", reference_bernoulli)];

fn ask_true_prevalence(asked: &Asked<'_>) -> Result<Value, Refused> {
    let (apparent, sensitivity) = (asked.number("apparent")?, asked.number("sensitivity")?);
    let behind = true_prevalence(apparent, sensitivity, asked.number("specificity")?)?;
    Ok(json!({"share": figure(behind.share)?, "unclamped": figure(behind.unclamped)?}))
}

fn ask_run_length(asked: &Asked<'_>) -> Result<Value, Refused> {
    let rules = [("above", Rule::Above), ("at-or-above", Rule::AtOrAbove)];
    let families = ["normal", "poisson", "bernoulli"].map(|word| (word, word));
    let (chart, rule) = match asked.choice("family", &families)? {
        "normal" => {
            asked.only("normal", &["family", "k", "h", "shift", "sides", "rule"])?;
            let sides = asked.choice_or("sides", &[("one", Sides::One), ("two", Sides::Two)], Sides::One)?;
            let chart = Chart::Normal {
                k: asked.number("k")?,
                h: asked.number("h")?,
                shift: asked.number("shift")?,
                sides,
            };
            // A measured value meets the line with chance 0, so here the rule may be left out.
            (chart, asked.choice_or("rule", &rules, Rule::Above)?)
        }
        "poisson" => {
            asked.only("poisson", &["family", "k", "h", "mu", "rule"])?;
            let chart =
                Chart::Poisson { k: asked.number("k")?, h: asked.number("h")?, mean: asked.number("mu")? };
            (chart, asked.choice("rule", &rules)?)
        }
        _ => {
            asked.only("bernoulli", &["family", "p", "score_death", "score_alive", "h", "rule"])?;
            let chart = Chart::Bernoulli {
                chance: asked.number("p")?,
                score_death: asked.number("score_death")?,
                score_alive: asked.number("score_alive")?,
                h: asked.number("h")?,
            };
            (chart, asked.choice("rule", &rules)?)
        }
    };
    figure(run_length(chart, rule)?)
}
