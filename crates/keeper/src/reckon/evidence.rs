//! Published values put together.

use serde_json::{Value, json};

use science::evidence_arithmetic::{BetweenMethod, CombineMethod, combine};

use super::asked::{Asked, wrong};
use super::{Quantity, Refused, figure, needed, optional};

pub(super) const QUANTITIES: &[Quantity] = &[Quantity {
    name: "combine",
    inputs: &[
        needed("estimates", "list of values of one and the same thing"),
        needed("variances", "list of squared standard errors"),
        needed("method", "fixed, dersimonian-laird, reml, paule-mandel, maximum-likelihood or hartung-knapp"),
        optional(
            "between",
            "for hartung-knapp: dersimonian-laird (if left out), reml, paule-mandel, maximum-likelihood",
        ),
        optional("confidence", "share, 0.95 if left out"),
    ],
    result: "estimate, se, low, high, tau2, Q, I2",
    unit: "as the estimates; tau2 squared; Q 1; I2 %",
    source: "DerSimonian & Laird 1986; Viechtbauer 2005; Paule & Mandel 1982; Hartung & Knapp 2001; Higgins & Thompson 2002",
    compute: ask_combine,
}];

const BETWEEN: [(&str, BetweenMethod); 4] = [
    ("dersimonian-laird", BetweenMethod::DerSimonianLaird),
    ("reml", BetweenMethod::Reml),
    ("paule-mandel", BetweenMethod::PauleMandel),
    ("maximum-likelihood", BetweenMethod::MaximumLikelihood),
];

fn ask_combine(asked: &Asked<'_>) -> Result<Value, Refused> {
    let mut methods = vec![("fixed", CombineMethod::Fixed)];
    methods.extend(BETWEEN.map(|(word, how)| (word, CombineMethod::Random(how))));
    let between = asked.choice_or("between", &BETWEEN, BetweenMethod::DerSimonianLaird)?;
    methods.push(("hartung-knapp", CombineMethod::HartungKnapp(between)));
    let method = asked.choice("method", &methods)?;
    if asked.has("between") && !matches!(method, CombineMethod::HartungKnapp(_)) {
        return Err(wrong("between", "left out: only hartung-knapp asks for it"));
    }
    let confidence = asked.number_or("confidence", 0.95)?;
    let all = combine(&asked.numbers("estimates")?, &asked.numbers("variances")?, confidence, method)?;
    Ok(json!({
        "estimate": figure(all.estimate)?,
        "se": figure(all.se)?,
        "low": figure(all.low)?,
        "high": figure(all.high)?,
        "tau2": figure(all.tau2)?,
        "Q": figure(all.q)?,
        "I2": figure(all.i2_percent)?,
    }))
}
