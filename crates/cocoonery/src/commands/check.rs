//! `check`: silent when every animal is accounted for and every entry is as it was written.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;

/// Words of `check`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let found = keeper::check(&global.folder()?)?;
    if global.json {
        let rows: Vec<_> = found
            .iter()
            .map(|it| serde_json::json!({ "entry": it.entry, "day": it.day, "says": it.says }))
            .collect();
        json_out(&serde_json::json!({ "found": rows }))?;
    } else {
        for it in &found {
            out(&it.to_string())?;
        }
    }
    Ok(if found.is_empty() { Exit::Ok } else { Exit::Found })
}
