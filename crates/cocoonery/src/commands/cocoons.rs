//! `cocoons`: each cocoon, how it winters, and what to do first.

use super::odds::lines_asked;
use super::print::{self, json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::view::cocoons::{CocoonRow, Cocoons};
use serde_json::{Value, json};

/// Words of `cocoons`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The line; all lines if none is named
    line: Option<String>,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let keeper = global.look()?;
    let mut answers = Vec::new();
    for line in lines_asked(&keeper, words.line.as_deref())? {
        answers.extend(keeper.cocoons(&line)?);
    }
    if global.json {
        let rows: Vec<Value> = answers.iter().map(in_json).collect();
        json_out(&json!({ "lines": rows }))?;
    } else {
        for view in &answers {
            in_words(view)?;
        }
    }
    Ok(Exit::Ok)
}

fn in_json(view: &Cocoons) -> Value {
    let cocoons: Vec<Value> = view.cocoons.iter().map(cocoon).collect();
    let stores: Vec<Value> = view
        .stores
        .iter()
        .map(|it| {
            let spells: Vec<Value> =
                it.spells.iter().map(|(on, max_c)| json!({ "on": on, "air_c_max": max_c })).collect();
            json!({ "place": it.place, "cocoons": it.n, "says": it.says, "spells": spells, "rings": it.rings })
        })
        .collect();
    let together: Vec<Value> = view
        .together
        .iter()
        .map(|it| json!({ "box": it.name, "says": it.says, "lost_share": it.lost, "drying": it.drying }))
        .collect();
    let cold = view.cold.as_ref().map(|it| {
        json!({
            "below_c": it.below_c, "least_d": it.least_d, "most_d": it.most_d, "needed_weeks": it.needed_weeks,
            "air_known_d": it.known_d.0, "of_d": it.known_d.1,
        })
    });
    json!({
        "as_of": print::moment(view.now), "line": view.line, "says": view.says, "first": view.first,
        "cautions": view.cautions, "cocoons": cocoons, "unnumbered": view.unnumbered,
        "weighed_on": view.weighed_on, "together": together, "stores": stores, "cold": cold, "bring_out": view.bring_out,
        "rests_on": print::rests_on(&view.rests_on), "receipt": print::receipt(&view.receipt),
    })
}

fn cocoon(it: &CocoonRow) -> Value {
    json!({
        "cocoon": it.cocoon, "lot": it.lot, "sex": it.sex, "female_chance": it.female_chance,
        "state": it.state.word(), "says": it.says, "spun_on": it.spun_on,
        "first_weighed_on": it.first_weighed.map(|(on, _)| on), "first_g": it.first_weighed.map(|(_, g)| g),
        "last_weighed_on": it.last_weighed.map(|(on, _)| on), "last_g": it.last_weighed.map(|(_, g)| g),
        "lost_share": it.lost, "fellows_lost_share": it.fellows_lost, "fellows": it.fellows,
        "flagged_on": it.flagged_on, "box": it.lies_in.0, "place": it.lies_in.1, "safe_from": it.safe_from,
        "shell_ratio": it.shell_ratio, "cold_d": it.cold_d,
    })
}

fn in_words(view: &Cocoons) -> Result<()> {
    out(&format!("{}  {}", view.line, view.says))?;
    for first in &view.first {
        out(&format!("  first: {first}"))?;
    }
    for it in &view.cocoons {
        let grams = |weighed: Option<(jiff::civil::Date, f64)>| {
            weighed.map_or_else(|| "   -".to_owned(), |(_, g)| format!("{g:.2}"))
        };
        let lost = it.lost.map_or_else(String::new, |lost| {
            let fellows =
                it.fellows_lost.map_or_else(String::new, |it| format!(" (fellows {:.1} %)", 100.0 * it));
            format!("{:.1} %{fellows}", 100.0 * lost)
        });
        out(&format!(
            "  {:<10} {:<14} {:>5} g  {:>5} g  {lost:<24} {}{}",
            it.cocoon,
            it.sex,
            grams(it.first_weighed),
            grams(it.last_weighed),
            it.state.word(),
            if it.says == it.state.word() { String::new() } else { format!(": {}", it.says) }
        ))?;
    }
    if view.unnumbered > 0 {
        out(&format!("  {} without a number", view.unnumbered))?;
    }
    for tub in &view.together {
        out(&format!("  {}  {}", tub.name, tub.says))?;
    }
    for store in &view.stores {
        out(&format!("  {} ({})  {}", store.place, store.n, store.says))?;
    }
    if let Some(cold) = &view.cold {
        out(&format!("  {}", cold.says))?;
    }
    if !view.bring_out.is_empty() {
        out(&format!("  {}", view.bring_out))?;
    }
    for caution in &view.cautions {
        out(&format!("  caution: {caution}"))?;
    }
    out(&format!("  {}", print::receipt_line(&view.receipt)))
}
