//! Detection, prevalence and alarms.

use science::health::{
    Chart, Rule, Sides, alarm_path, chance_to_detect, detection_size, detection_size_by_table,
    pooled_prevalence, reference_bernoulli, reference_poisson, run_length, true_prevalence, zero_found,
};

use crate::table::{Reckoned, Row, float, one, ours};

pub fn health(row: &Row) -> Reckoned {
    let n = |name| row.number(name);
    match row.quantity.as_str() {
        "n_exact_hypergeometric_95" => {
            ours(detection_size(row.count("N")?, row.count("diseased")?, n("CL")?, 1.0))
                .map(|n| Some(vec![float(n)]))
        }
        "n_cannon_roe_unrounded" => {
            one(detection_size_by_table(row.count("N")?, row.count("diseased")?, n("CL")?))
        }
        "exact_hypergeometric_imperfect_Se" => {
            one(chance_to_detect(row.count("N")?, row.count("D")?, row.count("n")?, n("Se")?))
        }
        "upper95_exact" => one(zero_found(row.count("n")?, 0.95)),
        "true_prevalence_unclamped" => {
            ours(true_prevalence(n("AP")?, n("Se")?, n("Sp")?)).map(|share| Some(vec![share.unclamped]))
        }
        "wilson_ci_true_prev" => {
            let method = science::survival::IntervalMethod::Wilson;
            let (low, high) =
                ours(science::survival::binomial_interval(row.count("pos")?, row.count("n")?, 0.95, method))?;
            let end = |apparent| Ok::<_, String>(ours(true_prevalence(apparent, n("Se")?, n("Sp")?))?.share);
            Ok(Some(vec![end(low)?, end(high)?]))
        }
        "prevalence_mle" => {
            one(pooled_prevalence(row.count("pos_pools")?, row.count("pools")?, row.count("pool_size")?))
        }
        "ARL_one_sided" => normal(row, Sides::One),
        "ARL_two_sided" => normal(row, Sides::Two),
        "ARL_signal_S_greater_than_h" => poisson(row, Rule::Above),
        "ARL_signal_S_ge_h" => poisson(row, Rule::AtOrAbove),
        "ARL_observations" => {
            let chart = Chart::Bernoulli {
                chance: n("p")?,
                score_death: n("score_death")?,
                score_alive: n("score_alive")?,
                h: n("h")?,
            };
            one(run_length(chart, Rule::AtOrAbove))
        }
        "reference_value_k" if row.has("mu0") => one(reference_poisson(n("mu0")?, n("mu1")?)),
        "reference_value_k" => one(reference_bernoulli(n("p0")?, n("p1")?)),
        "S_path" => ours(alarm_path(&row.numbers("counts")?, n("k")?)).map(Some),
        _ => Ok(None),
    }
}

fn normal(row: &Row, sides: Sides) -> Reckoned {
    let chart =
        Chart::Normal { k: row.number("k")?, h: row.number("h")?, shift: row.number("shift")?, sides };
    one(run_length(chart, Rule::Above))
}

fn poisson(row: &Row, rule: Rule) -> Reckoned {
    one(run_length(
        Chart::Poisson { k: row.number("k")?, h: row.number("h")?, mean: row.number("mu")? },
        rule,
    ))
}
