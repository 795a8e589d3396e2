//! `round`: what this morning needs.

use super::print::{json_out, leaf, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::say;
use keeper::view::round::Expected;
use serde_json::{Map, Value, json};

/// Words of `round`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let morning = global.look()?.morning()?;
    if global.json {
        let boxes: Vec<Value> = morning
            .boxes
            .iter()
            .map(|it| {
                json!({
                    "box": it.name,
                    "line": it.line,
                    "expected": stages(&it.expected),
                    "in_moult": it.in_moult.as_ref().map(|moult| json!({
                        "stage": moult.stage.to_string(),
                        "share": (moult.share * 1000.0).round() / 1000.0,
                        "until": moult.until.to_string(),
                    })),
                    "leaf_fresh_g": it.leaf_fresh_g.as_ref().map(leaf),
                    "tasks": it.tasks,
                    "set_apart": it.set_apart,
                    "done": it.done,
                })
            })
            .collect();
        json_out(
            &json!({ "as_of": super::print::moment(morning.now), "boxes": boxes, "bells": morning.bells }),
        )?;
        return Ok(Exit::Ok);
    }
    out(&format!(
        "{}: {} alive in {}",
        say::long_day(morning.now.date()),
        morning.alive,
        say::count(morning.boxes.len(), "box to open", "boxes to open")
    ))?;
    for bell in &morning.bells {
        out(&format!("!  {bell}"))?;
    }
    for it in &morning.boxes {
        let holds: Vec<String> = it.expected.iter().map(|it| format!("{} {}", it.n, it.stage)).collect();
        let done = it.done.as_ref().map_or_else(String::new, |done| format!("  [{done}]"));
        out(&format!(
            "\n{}  {}{done}",
            it.name,
            if holds.is_empty() { "empty".to_owned() } else { holds.join(", ") }
        ))?;
        for task in &it.tasks {
            out(&format!("    {task}"))?;
        }
    }
    Ok(Exit::Ok)
}

pub(crate) fn stages(expected: &[Expected]) -> Map<String, Value> {
    expected.iter().map(|it| (it.stage.to_string(), json!(it.n))).collect()
}
