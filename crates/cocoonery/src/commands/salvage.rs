//! `salvage`: what is sound in a damaged book, into a new one.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use std::path::PathBuf;

/// Words of `salvage`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The folder for the new book; it must not have one yet
    #[arg(long, value_name = "FOLDER")]
    into: PathBuf,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let kept = keeper::salvage::salvage(&global.folder()?, &words.into)?;
    if global.json {
        json_out(&serde_json::json!({
            "book": words.into, "entries": kept.entries, "lost": kept.lost, "list": kept.list,
        }))?;
    } else {
        for line in &kept.lost {
            out(line)?;
        }
        eprintln!(
            "{} entries are in the new book in {}; what is lost stands in {}",
            kept.entries,
            words.into.display(),
            kept.list.display()
        );
    }
    Ok(if kept.lost.is_empty() { Exit::Ok } else { Exit::Partly })
}
