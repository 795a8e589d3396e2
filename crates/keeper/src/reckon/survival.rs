//! Shares, survival curves, groups, growth of a line.

use serde_json::{Value, json};

use science::survival::{
    Followed, IntervalMethod, binomial_interval, growth_rate, k_value, kaplan_meier, life_table, log_rank,
};

use super::asked::{Asked, wrong, yes_or_no};
use super::{Quantity, Refused, figure, figure_or_unknown, needed};

pub(super) const QUANTITIES: &[Quantity] = &[
    Quantity {
        name: "binomial-interval",
        inputs: &[
            needed("successes", "animals"),
            needed("trials", "animals"),
            needed("confidence", "share, such as 0.95"),
            needed("method", "clopper-pearson, wilson, jeffreys or agresti-coull"),
        ],
        result: "[low, high]",
        unit: "share",
        source: "Clopper & Pearson 1934; Wilson 1927; Brown, Cai & DasGupta 2001; Agresti & Coull 1998",
        compute: ask_interval,
    },
    Quantity {
        name: "kaplan-meier",
        inputs: &[
            needed("days", "list of d"),
            needed("died", "list of true/false or 1/0"),
            needed("at_d", "d"),
            needed("confidence", "share, such as 0.95"),
        ],
        result: "survival, greenwood_se, low, high (log-log); null where the formula has no value",
        unit: "share",
        source: "Kaplan & Meier 1958; Greenwood 1926",
        compute: ask_kaplan_meier,
    },
    Quantity {
        name: "log-rank",
        inputs: &[needed("groups", "list of groups, each a list of {days, died}")],
        result: "chi_square, degrees_of_freedom, p",
        unit: "1, 1, probability",
        source: "Mantel 1966",
        compute: ask_log_rank,
    },
    Quantity {
        name: "growth-rate",
        inputs: &[needed("age_d", "list of d"), needed("lxmx", "list of offspring per animal")],
        result: "r, R0, cohort_d, generation_d, lambda",
        unit: "1/d, 1, d, d, 1/d",
        source: "Lotka; Birch 1948",
        compute: ask_growth_rate,
    },
    Quantity {
        name: "life-table",
        inputs: &[needed("alive", "list of animals at the start of each class")],
        result: "lx, dx, qx, ex",
        unit: "share, share, probability, classes",
        source: "Deevey 1947",
        compute: ask_life_table,
    },
    Quantity {
        name: "k-value",
        inputs: &[needed("before", "animals"), needed("after", "animals")],
        result: "log10 of before over after",
        unit: "1",
        source: "Varley & Gradwell 1960",
        compute: |asked| figure(k_value(asked.number("before")?, asked.number("after")?)?),
    },
];

fn ask_interval(asked: &Asked<'_>) -> Result<Value, Refused> {
    let methods = [
        ("clopper-pearson", IntervalMethod::ClopperPearson),
        ("wilson", IntervalMethod::Wilson),
        ("jeffreys", IntervalMethod::Jeffreys),
        ("agresti-coull", IntervalMethod::AgrestiCoull),
    ];
    let method = asked.choice("method", &methods)?;
    let (successes, trials) = (asked.count("successes")?, asked.count("trials")?);
    let (low, high) = binomial_interval(successes, trials, asked.number("confidence")?, method)?;
    Ok(json!([figure(low)?, figure(high)?]))
}

fn ask_kaplan_meier(asked: &Asked<'_>) -> Result<Value, Refused> {
    let (days, died) = (asked.numbers("days")?, asked.flags("died")?);
    let at = kaplan_meier(&days, &died, asked.number("at_d")?, asked.number("confidence")?)?;
    Ok(json!({
        "survival": figure(at.survival)?,
        "greenwood_se": figure_or_unknown(at.greenwood_se)?,
        "low": figure_or_unknown(at.low)?,
        "high": figure_or_unknown(at.high)?,
    }))
}

fn ask_log_rank(asked: &Asked<'_>) -> Result<Value, Refused> {
    let read: Vec<(Vec<f64>, Vec<bool>)> =
        asked.list("groups")?.iter().map(group).collect::<Result<_, _>>()?;
    let groups: Vec<Followed<'_>> = read.iter().map(|(days, died)| Followed { days, died }).collect();
    let test = log_rank(&groups)?;
    Ok(json!({
        "chi_square": figure(test.chi_square)?,
        "degrees_of_freedom": test.degrees_of_freedom,
        "p": figure(test.p)?,
    }))
}

/// A group as a list of animals, or as two lists side by side.
fn group(value: &Value) -> Result<(Vec<f64>, Vec<bool>), Refused> {
    let unclear = || wrong("groups", "a list of groups, each a list of {\"days\": 12, \"died\": true}");
    let known =
        |object: &Value| object.as_object().is_some_and(|o| o.keys().all(|k| k == "days" || k == "died"));
    if known(value) {
        let list = |name: &str| value[name].as_array().ok_or_else(unclear);
        let days =
            list("days")?.iter().map(|day| day.as_f64().ok_or_else(unclear)).collect::<Result<_, _>>()?;
        let died =
            list("died")?.iter().map(|died| yes_or_no(died).ok_or_else(unclear)).collect::<Result<_, _>>()?;
        return Ok((days, died));
    }
    let animals = value.as_array().ok_or_else(unclear)?;
    let animal = |animal: &Value| {
        let day = animal["days"].as_f64().filter(|_| known(animal))?;
        Some((day, yes_or_no(&animal["died"])?))
    };
    animals.iter().map(|one| animal(one).ok_or_else(unclear)).collect()
}

fn ask_growth_rate(asked: &Asked<'_>) -> Result<Value, Refused> {
    let growth = growth_rate(&asked.numbers("age_d")?, &asked.numbers("lxmx")?)?;
    Ok(json!({
        "r": figure(growth.r)?,
        "R0": figure(growth.r0)?,
        "cohort_d": figure(growth.cohort_d)?,
        "generation_d": figure(growth.generation_d)?,
        "lambda": figure(growth.lambda)?,
    }))
}

fn ask_life_table(asked: &Asked<'_>) -> Result<Value, Refused> {
    let table = life_table(&asked.numbers("alive")?)?;
    Ok(json!({"lx": table.lx, "dx": table.dx, "qx": table.qx, "ex": table.ex}))
}
