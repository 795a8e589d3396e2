//! `restore`: a book out of a backup.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use std::path::PathBuf;

/// Words of `restore`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The backup
    file: PathBuf,
    /// The folder for the book; it must not have one yet
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let restored = keeper::restore::restore(&words.file, &words.into)?;
    if global.json {
        let it = &restored.manifest;
        json_out(&serde_json::json!({
            "book": words.into, "entries": it.entries, "head": it.head, "at": it.at.to_string(),
        }))?;
    } else {
        let held = keeper::backup::held(&restored.manifest, &restored.zone);
        out(&format!("{}: {held}", words.into.display()))?;
    }
    Ok(Exit::Ok)
}
