//! `leaf`: the leaf order.

use super::print::{self, json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::say;
use keeper::view::LeafRange;
use serde_json::json;

/// Words of `leaf`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let leaf = global.look()?.leaf()?;
    if global.json {
        let boxes: Vec<_> = leaf
            .boxes
            .iter()
            .map(|it| json!({ "box": it.name, "line": it.line, "plant": it.plant, "today": print::leaf(&it.today) }))
            .collect();
        let days: Vec<_> = leaf
            .days
            .iter()
            .map(|(day, range)| json!({ "date": day, "offered_fresh_g": print::leaf(range) }))
            .collect();
        let traditions: Vec<_> = leaf
            .traditions
            .iter()
            .map(|it| json!({
                "figure": it.figure, "basis": it.basis, "species": it.species, "source": it.source, "grade": it.grade,
            }))
            .collect();
        json_out(&json!({
            "as_of": print::moment(leaf.now),
            "offered_fresh_g": {
                "today": print::leaf(&leaf.today),
                "three_days": print::leaf(&leaf.three_days),
                "week": print::leaf(&leaf.week),
                "to_spinning": print::leaf(&leaf.to_spinning),
            },
            "eaten_fresh_g": { "to_spinning": print::leaf(&leaf.eaten_to_spinning) },
            "peak": leaf.peak.as_ref().map(|(day, range)| json!({ "date": day, "offered_fresh_g": print::leaf(range) })),
            "boxes": boxes,
            "days": days,
            "traditions": traditions,
            "warnings": leaf.warnings,
            "rests_on": print::rests_on(&leaf.rests_on),
            "receipt": print::receipt(&leaf.receipt),
        }))?;
        return Ok(Exit::Ok);
    }
    out(&leaf.says)?;
    out(&format!("\n{:<24}{:>8}{:>8}{:>8}", "to cut, g fresh", "1 in 10", "half", "9 in 10"))?;
    let row = |words: &str, range: &LeafRange| {
        out(&format!(
            "{words:<24}{:>8}{:>8}{:>8}",
            say::grams(range.q10),
            say::grams(range.q50),
            say::grams(range.q90)
        ))
    };
    row("today", &leaf.today)?;
    row("three days", &leaf.three_days)?;
    row("the week", &leaf.week)?;
    row("to spinning", &leaf.to_spinning)?;
    row("  of it eaten", &leaf.eaten_to_spinning)?;
    for it in &leaf.boxes {
        row(&format!("  {} today ({})", it.name, it.holds), &it.today)?;
    }
    if let Some(rate) = &leaf.own_rate {
        out(&format!("\n{rate}"))?;
    }
    out(&format!("{} {}", leaf.keeps, leaf.waste))?;
    for warning in &leaf.warnings {
        out(&format!("note: {warning}"))?;
    }
    out(&format!("\n{}", print::receipt_line(&leaf.receipt)))?;
    Ok(Exit::Ok)
}
