//! `try`: a scratch book from a demo season.

use super::serve;
use crate::Global;
use crate::exit::Exit;
use anyhow::{Context, Result};
use keeper::Keeper;
use keeper::demo::Season;
use std::path::{Path, PathBuf};

/// Words of `try`.
#[derive(Debug, clap::Args)]
pub(crate) struct Words {
    /// a: emperor moth, few eggs; b: cecropia, two lines; c: eri, two generations
    #[arg(long, default_value = "a")]
    season: Season,
    /// Keep the scratch book in this folder instead of throwing it away at the end
    #[arg(long, value_name = "FOLDER")]
    into: Option<PathBuf>,
    /// Only make the book
    #[arg(long)]
    no_serve: bool,
    /// The port on this machine; 0 takes a free one
    #[arg(long, default_value_t = 8484)]
    port: u16,
}

pub(crate) fn run(words: &Words, global: &Global) -> Result<Exit> {
    let day = global.as_of.unwrap_or_else(|| words.season.day_to_look_at());
    let scratch = Scratch::at(words.into.as_deref(), words.no_serve)?;
    keeper::demo::make_book(scratch.folder(), words.season, day)?;
    if words.no_serve {
        super::print::out(&scratch.folder().display().to_string())?;
        return Ok(Exit::Ok);
    }
    // The day has been written into the book, so it is not looked back at but gone on from.
    let opening = keeper::Opening { as_of: None, ..global.opening(false) };
    let keeper = Keeper::open(scratch.folder(), &opening)?;
    serve::pages(keeper, words.port)
}

/// A folder that goes away at the end, unless it was named.
struct Scratch {
    folder: PathBuf,
    keep: bool,
}

impl Scratch {
    fn at(named: Option<&Path>, keep: bool) -> Result<Scratch> {
        match named {
            Some(folder) => Ok(Scratch { folder: folder.to_owned(), keep: true }),
            None => {
                let name = format!("cocoonery-scratch-{}", std::process::id());
                let folder = std::env::temp_dir().join(name);
                std::fs::create_dir_all(&folder)
                    .with_context(|| format!("{} cannot be made", folder.display()))?;
                Ok(Scratch { folder, keep })
            }
        }
    }

    fn folder(&self) -> &Path {
        &self.folder
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        if !self.keep {
            // It is scratch; the system clears what is left over.
            let _ = std::fs::remove_dir_all(&self.folder);
        }
    }
}
