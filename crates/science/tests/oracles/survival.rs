//! Shares, survival curves, group tests, growth of a line.

use science::survival::{
    Follow, Followed, Growth, IntervalMethod, binomial_interval, growth_rate, k_value, kaplan_meier,
    life_table, log_rank, lotka_sum, median_day, two_sex,
};

use crate::table::{Reckoned, Row, column, one, ours};

/// The arm of the leukaemia trial that the rows call by name: Freireich et al. 1963, as the log-rank row spells it out.
const SIX_MP_DAYS: [f64; 21] = [
    10.0, 7.0, 32.0, 23.0, 22.0, 6.0, 16.0, 34.0, 32.0, 25.0, 11.0, 20.0, 19.0, 6.0, 17.0, 35.0, 6.0, 13.0,
    9.0, 6.0, 10.0,
];
const SIX_MP_DIED: [u8; 21] = [1, 1, 0, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 0];

pub fn survival(row: &Row) -> Reckoned {
    let quantity = row.quantity.as_str();
    if quantity.starts_with("km_") {
        return curve(row);
    }
    if let Some(method) = interval(quantity) {
        let (x, n, confidence) = (row.count("x")?, row.count("n")?, row.number("conf")?);
        let (low, high) = ours(binomial_interval(x, n, confidence, method))?;
        return Ok(Some(vec![low, high]));
    }
    if row.has("lxmx") {
        return growth(row);
    }
    if quantity == "logrank_chisq" {
        let (placebo, days) = (row.numbers("placebo")?, row.numbers("sixmp_time")?);
        let died: Vec<bool> = row.numbers("sixmp_event")?.iter().map(|&event| event > 0.5).collect();
        assert_eq!((days.as_slice(), died.as_slice()), (SIX_MP_DAYS.as_slice(), six_mp_died().as_slice()));
        let all = vec![true; placebo.len()];
        let groups = [Followed { days: &placebo, died: &all }, Followed { days: &days, died: &died }];
        return ours(log_rank(&groups)).map(|test| Some(vec![test.chi_square]));
    }
    if row.has("cohort") {
        return cohort(row);
    }
    match quantity {
        "k_value_log10" => one(k_value(row.number("before")?, row.number("after")?)),
        "K_log10" => one(k_value(row.number("start")?, row.number("end")?)),
        "k_value_ln" => {
            let before = row.number("initial")?;
            let k = ours(k_value(before, before - row.number("deaths")?))?;
            Ok(Some(vec![k * 10.0_f64.ln()]))
        }
        "R0" | "lxbx_sum_R0" | "T" => {
            let lxmx: Vec<f64> =
                row.numbers("lx")?.iter().zip(row.numbers("bx")?).map(|(l, b)| l * b).collect();
            let ages: Vec<f64> = (1_u32..).map(f64::from).take(lxmx.len()).collect();
            let table = ours(growth_rate(&ages, &lxmx))?;
            // These pages count their classes from 0.
            Ok(Some(vec![if quantity == "T" { table.cohort_d - 1.0 } else { table.r0 }]))
        }
        "qx" => ours(life_table(&row.numbers("ax")?)).map(|table| Some(table.qx)),
        "ex" => ours(life_table(&row.numbers("ax")?)).map(|table| Some(table.ex)),
        _ => Ok(None),
    }
}

/// A cohort as the rows write it: one letter per age, the eggs of the last letters.
fn cohort(row: &Row) -> Reckoned {
    let animals = row.inputs["cohort"].as_array().ok_or("no cohort")?;
    let follow = |animal: &serde_json::Value| {
        let path = animal["path"].as_str().unwrap_or_default();
        let eggs: Vec<f64> =
            animal["eggs"].as_array().into_iter().flatten().filter_map(serde_json::Value::as_f64).collect();
        // Eggs are listed from the first day as a moth, which is the first A.
        let young = path.find('A').unwrap_or(path.len());
        Follow { days: path.len() as u64, eggs: std::iter::repeat_n(0.0, young).chain(eggs).collect() }
    };
    let animals: Vec<Follow> = animals.iter().map(follow).collect();
    let table = ours(two_sex(&animals))?;
    Ok(Some(match row.quantity.as_str() {
        "lx" => table.lx,
        "mx" => table.mx,
        "GRR" => vec![table.grr],
        "R0" => vec![table.growth.r0],
        "r_age_index_from_0" => vec![table.growth.r],
        "lambda" => vec![table.growth.lambda],
        "T_lnR0_over_r" => vec![table.growth.generation_d],
        "mean_fecundity_per_female_F" => return Ok(None),
        _ => return Err("not understood".to_owned()),
    }))
}

fn six_mp_died() -> Vec<bool> {
    SIX_MP_DIED.iter().map(|&event| event == 1).collect()
}

fn curve(row: &Row) -> Reckoned {
    let at = ours(kaplan_meier(&SIX_MP_DAYS, &six_mp_died(), row.number("time")?, 0.95))?;
    let value = match row.quantity.as_str() {
        "km_S" => Some(at.survival),
        "km_greenwood_se" => at.greenwood_se,
        "km_loglog_lo95" => at.low,
        "km_loglog_hi95" => at.high,
        _ => return Err("not understood".to_owned()),
    };
    Ok(Some(vec![value.ok_or("no value")?]))
}

fn interval(quantity: &str) -> Option<IntervalMethod> {
    Some(match quantity.strip_suffix("_95")? {
        "wilson" => IntervalMethod::Wilson,
        "clopper_pearson" => IntervalMethod::ClopperPearson,
        "jeffreys" => IntervalMethod::Jeffreys,
        "agresti_coull" => IntervalMethod::AgrestiCoull,
        _ => return None,
    })
}

fn growth(row: &Row) -> Reckoned {
    let (ages, lxmx) = (row.numbers("x")?, row.numbers("lxmx")?);
    let Growth { r, r0, cohort_d, generation_d, lambda } = ours(growth_rate(&ages, &lxmx))?;
    let value = match row.quantity.as_str() {
        "r_euler_lotka" | "r_exact" => r,
        "R0" => r0,
        "Tc_cohort" => cohort_d,
        "r_approx_lnR0_over_Tc" => r0.ln() / cohort_d,
        "lambda" => lambda,
        "T_lnR0_over_r" => generation_d,
        "doubling_time" => 2.0_f64.ln() / r,
        "lotka_sum_at_r_0.235" => ours(lotka_sum(&ages, &lxmx, row.number("r")?))?,
        _ => return Err("not understood".to_owned()),
    };
    Ok(Some(vec![value]))
}

/// Lifespans of 125 male fruit flies in five groups (Partridge & Farquhar 1981).
pub fn flies(row: &Row) -> Reckoned {
    let (groups, days) =
        (column("fruitflies_longevity.csv", "treatment"), column("fruitflies_longevity.csv", "longevity_d"));
    let of = |name: &str| -> Vec<f64> {
        groups
            .iter()
            .zip(&days)
            .filter(|(group, _)| *group == name)
            .map(|(_, day)| day.parse().unwrap())
            .collect()
    };
    if row.quantity == "km_median_days" {
        let lives = of(row.inputs["group"].as_str().ok_or("no group")?);
        let median = ours(median_day(&lives, &vec![true; lives.len()]))?;
        return Ok(Some(vec![median.ok_or("no median")?]));
    }
    let mut names = groups.clone();
    names.sort();
    names.dedup();
    let lives: Vec<Vec<f64>> = names.iter().map(|name| of(name)).collect();
    let died: Vec<Vec<bool>> = lives.iter().map(|group| vec![true; group.len()]).collect();
    let followed: Vec<Followed<'_>> =
        lives.iter().zip(&died).map(|(days, died)| Followed { days, died }).collect();
    let test = ours(log_rank(&followed))?;
    assert_eq!(test.degrees_of_freedom, 4);
    Ok(Some(vec![test.chi_square]))
}
