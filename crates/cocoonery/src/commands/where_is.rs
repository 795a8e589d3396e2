//! `where`: the paths that this program uses.

use super::print::{json_out, out};
use crate::Global;
use crate::exit::Exit;
use anyhow::Result;

/// Words of `where`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {}

pub(crate) fn run(_: &Words, global: &Global) -> Result<Exit> {
    let folder = global.folder()?;
    let exists = folder.join(store::BOOK_FILE).exists();
    if global.json {
        json_out(&serde_json::json!({ "book": folder, "exists": exists }))?;
    } else {
        out(&format!("book  {}{}", folder.display(), if exists { "" } else { "  (not made yet)" }))?;
    }
    Ok(Exit::Ok)
}
