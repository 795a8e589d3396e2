//! `pairings`: who could pair tonight, and what became of earlier pairings.

use super::print::{self, json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::say;
use keeper::view::pairings::{MothTonight, Pairings};
use serde_json::{Value, json};

/// Words of `pairings`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let board = global.look()?.pairings()?;
    if global.json {
        json_out(&in_json(&board))?
    } else {
        in_words(&board)?
    }
    Ok(Exit::Ok)
}

fn moth(it: &MothTonight) -> Value {
    let left = it.nights_left.map(|(q10, q50, q90)| json!({ "q10": q10, "q50": q50, "q90": q90 }));
    json!({
        "moth": it.moth, "line": it.line, "out_on": it.out_on, "nights_left": left, "used": it.used,
        "box": it.lives_in,
    })
}

fn in_json(board: &Pairings) -> Value {
    let females: Vec<Value> = board
        .females
        .iter()
        .map(|it| {
            let males: Vec<Value> = it
                .males
                .iter()
                .map(|he| {
                    let inbreeding = he.inbreeding.map(|(low, high)| json!({ "low": low, "high": high }));
                    json!({
                        "male": he.male, "line": he.line, "inbreeding": inbreeding, "kinship": he.kinship,
                        "because": he.because,
                    })
                })
                .collect();
            json!({ "female": moth(&it.moth), "males": males, "options": it.options, "tried": it.tried })
        })
        .collect();
    let all = |moths: &[MothTonight]| Value::Array(moths.iter().map(moth).collect());
    let hours: Vec<Value> = board
        .hours
        .iter()
        .map(|it| json!({ "kind": it.kind, "says": it.says, "custom": it.custom, "sun": it.sun }))
        .collect();
    let noted: Vec<Value> = board
        .noted
        .iter()
        .map(|it| {
            let laid: Vec<Value> = it.laid.iter().map(|(on, n)| json!({ "on": on, "eggs": n })).collect();
            json!({
                "pairing": it.pairing, "on": it.on, "female": it.female, "male": it.male, "took": it.took,
                "method": it.method, "laid": laid, "hatch": it.hatch,
                "mother_check": it.mother_check,
            })
        })
        .collect();
    json!({
        "as_of": print::moment(board.now), "night": board.night, "says": board.says, "females": females,
        "males": all(&board.males), "laying": all(&board.laying), "unnamed": board.unnamed, "hours": hours,
        "noted": noted, "cautions": board.cautions,
        "rests_on": print::rests_on(&board.rests_on), "receipt": print::receipt(&board.receipt),
    })
}

fn in_words(board: &Pairings) -> Result<()> {
    out(&format!("{}  {}", board.night, board.says))?;
    for it in &board.females {
        out(&format!("{}  female, {}", it.moth.moth, it.moth.says))?;
        for he in &it.males {
            out(&format!("  {:<10} {} ({})", he.male, he.kinship, he.because))?;
        }
        for option in &it.options {
            out(&format!("  option: {option}"))?;
        }
        for tried in &it.tried {
            out(&format!("  tried: {tried}"))?;
        }
    }
    for it in &board.laying {
        out(&format!("{}  laying, {}", it.moth, it.says))?;
    }
    let idle: Vec<String> = board.males.iter().map(|it| format!("{} ({})", it.moth, it.says)).collect();
    if !idle.is_empty() {
        out(&format!("males: {}", say::list(&idle)))?;
    }
    for it in &board.hours {
        out(&format!("{}: {}{} {}", it.kind, it.says, if it.custom { " (custom)" } else { "" }, it.sun))?;
    }
    for it in &board.noted {
        let laid: Vec<String> = it.laid.iter().map(|(on, n)| format!("{n} on {}", say::day(*on))).collect();
        let rest = [it.method.clone(), say::list(&laid), it.hatch.clone()];
        let rest: Vec<String> = rest.into_iter().filter(|it| !it.is_empty()).collect();
        out(&format!("{}  {} x {}: {}; {}", it.pairing, it.female, it.male, it.took, rest.join("; ")))?;
    }
    for caution in &board.cautions {
        out(&format!("caution: {caution}"))?;
    }
    Ok(())
}
