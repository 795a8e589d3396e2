//! `odds`: will this generation close, and what would help?

use super::print::{self, json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::Keeper;
use keeper::say;
use keeper::view::odds::Odds;
use serde_json::{Value, json};

/// Words of `odds`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The line; all lines if none is named
    line: Option<String>,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let keeper = global.look()?;
    let mut answers = Vec::new();
    for line in lines_asked(&keeper, words.line.as_deref())? {
        answers.extend(keeper.odds(&line)?);
    }
    if global.json {
        let rows: Vec<Value> = answers.iter().map(in_json).collect();
        json_out(&json!({ "lines": rows }))?;
    } else {
        for odds in &answers {
            in_words(odds)?;
        }
    }
    Ok(Exit::Ok)
}

/// The line that was named, or all there are.
pub(crate) fn lines_asked(keeper: &Keeper, named: Option<&str>) -> Result<Vec<String>> {
    let all = keeper.look().house.lines();
    match named {
        None => Ok(all),
        Some(line) if all.iter().any(|it| it == line) => Ok(vec![line.to_owned()]),
        Some(line) => anyhow::bail!("there is no line {line} in the book; it has {}", say::list(&all)),
    }
}

fn in_json(odds: &Odds) -> Value {
    let levers: Vec<Value> = odds
        .levers
        .iter()
        .map(|it| {
            json!({
                "what": it.what, "chance": it.chance, "better_in_100": it.better_in_100,
                "worse_in_100": it.worse_in_100, "caution": it.caution, "error_in_100": it.error_in_100,
                "nights_before": it.nights_together.0, "nights_after": it.nights_together.1,
                "nights_error": it.nights_error, "steady": it.steady,
            })
        })
        .collect();
    let history: Vec<Value> = odds
        .history
        .iter()
        .map(|it| json!({ "on": it.on, "chance": it.chance, "because": it.because }))
        .collect();
    json!({
        "as_of": print::moment(odds.now),
        "line": odds.line,
        "odds": { "one_pair": odds.chance, "standard_error": odds.standard_error, "runs": odds.receipt.runs },
        "males": odds.males, "females": odds.females,
        "reasons": odds.reasons,
        "levers": levers,
        "history": history,
        "warnings": odds.warnings,
        "rests_on": print::rests_on(&odds.rests_on),
        "receipt": print::receipt(&odds.receipt),
    })
}

fn in_words(odds: &Odds) -> Result<()> {
    out(&format!("{}  {}", odds.line, odds.says))?;
    for reason in &odds.reasons {
        out(&format!("  because {reason}"))?;
    }
    for lever in &odds.levers {
        out(&format!(
            "  {:>2} of 20  {} (better in {:.0} of 100, worse in {:.0}; nights with both {:.1} instead of {:.1}) {}",
            lever.of_twenty,
            lever.what,
            lever.better_in_100,
            lever.worse_in_100,
            lever.nights_together.1,
            lever.nights_together.0,
            lever.steady
        ))?;
    }
    for warning in &odds.warnings {
        out(&format!("  note: {warning}"))?;
    }
    out(&format!("  {}", print::receipt_line(&odds.receipt)))
}
