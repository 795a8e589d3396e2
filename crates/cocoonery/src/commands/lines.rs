//! `lines`: every line with its account.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use serde_json::json;

/// Words of `lines`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let lines = global.look()?.lines()?;
    if global.json {
        let rows: Vec<_> = lines
            .lines
            .iter()
            .map(|it| {
                let account: serde_json::Map<_, _> =
                    it.account.iter().map(|(words, n)| (words.clone(), json!(n))).collect();
                let lots: Vec<_> = it
                    .lots
                    .iter()
                    .map(|lot| json!({ "lot": lot.lot, "n": lot.n, "received": lot.received, "laid": lot.laid }))
                    .collect();
                json!({
                    "line": it.line, "species": it.species.1, "received": it.received,
                    "account": account, "boxes": it.boxes, "lots": lots,
                })
            })
            .collect();
        json_out(&json!({ "as_of": super::print::moment(lines.now), "lines": rows }))?;
        return Ok(Exit::Ok);
    }
    for line in &lines.lines {
        out(&format!("{}  {} ({})", line.line, line.species.0, line.species.1))?;
        out(&format!("  {:>5}  came in", line.received))?;
        for (words, n) in &line.account {
            out(&format!("  {n:>5}  {words}"))?;
        }
    }
    Ok(Exit::Ok)
}
