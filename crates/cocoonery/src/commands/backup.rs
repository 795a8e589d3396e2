//! `backup`: one file that was restored and compared before it is called a backup.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use std::path::PathBuf;

/// Words of `backup`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The file to make; it must not be there yet. Keep it on another disk
    file: PathBuf,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let made = keeper::backup::back_up(&global.folder()?, &words.file, global.now)?;
    if global.json {
        json_out(&serde_json::json!({
            "file": words.file, "entries": made.entries, "head": made.head, "at": made.at.to_string(),
        }))?;
    } else {
        let file = words.file.display();
        out(&format!("{file}: {} entries, restored and compared", made.entries))?;
    }
    Ok(Exit::Ok)
}
