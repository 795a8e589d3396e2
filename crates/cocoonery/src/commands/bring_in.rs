//! `bring-in`: a season from its tables.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;
use keeper::bring_in::{self, NotBroughtIn};
use std::path::PathBuf;

/// Words of `bring-in`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// The folder with lots.csv, boxes.csv, events.csv and so on (see docs/formats.md)
    tables: PathBuf,
    /// Make the book first, kept in this time zone
    #[arg(long, value_name = "ZONE")]
    new: Option<String>,
    /// Only look: say what would be brought in
    #[arg(long)]
    dry_run: bool,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let folder = global.folder()?;
    match bring_in::bring_in(&folder, &words.tables, words.new.as_deref(), words.dry_run) {
        Ok(done) => {
            if global.json {
                json_out(
                    &serde_json::json!({ "new": done.new, "known": done.known, "notices": done.notices, "dry_run": words.dry_run }),
                )?;
            } else {
                for notice in &done.notices {
                    eprintln!("inferred: {notice}");
                }
                let did = if words.dry_run { "would be brought in" } else { "brought in" };
                out(&format!("{} entries {did}; {} were in the book already", done.new, done.known))?;
            }
            Ok(Exit::Ok)
        }
        Err(NotBroughtIn::Complaints(complaints)) => {
            for complaint in &complaints {
                eprintln!("{complaint}");
            }
            anyhow::bail!(
                "nothing was brought in: mend the {} named above and bring it in again",
                if complaints.len() == 1 { "line" } else { "lines" }
            )
        }
        Err(other) => Err(other.into()),
    }
}
