//! The front door: reads the arguments, chooses the book, calls the keeper's
//! services, prints what they say. Holds no rule.

mod commands;
mod exit;
mod where_is;

use clap::Parser;
use commands::Command;
use exit::Exit;
use std::path::PathBuf;
use std::process::ExitCode;

/// Keeps the rearing book of wild silkmoths: what this morning needs, when the
/// next moult comes, how much leaf to cut, and whether the generation will close.
#[derive(Debug, Parser)]
#[command(name = "cocoonery", version, arg_required_else_help = true)]
struct Arguments {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Command,
}

/// Options that every command understands.
#[derive(Debug, Clone, clap::Args)]
pub(crate) struct Global {
    /// The folder of the book [default: see `cocoonery where`]
    #[arg(long, global = true, env = "COCOONERY_BOOK", value_name = "FOLDER")]
    book: Option<PathBuf>,
    /// Answer as the book stood then: 2025-06-01 is the morning of that day, before the round
    #[arg(long, global = true, value_name = "DATE|INSTANT")]
    as_of: Option<keeper::AsOf>,
    /// Let the clock stand still at this moment (for trying out)
    #[arg(long, global = true, value_name = "DATE|INSTANT", hide = true)]
    now: Option<keeper::AsOf>,
    /// The dice of the forecasts: the same seed gives the same answer
    #[arg(long, global = true, value_name = "N")]
    seed: Option<u64>,
    /// Keep the book in this folder although it lies on a network or is synchronised elsewhere
    #[arg(long, global = true)]
    i_know_this_folder: bool,
    /// Answer in JSON
    #[arg(long, global = true)]
    json: bool,
}

impl Global {
    fn folder(&self) -> anyhow::Result<PathBuf> {
        let folder = match &self.book {
            Some(folder) => folder.clone(),
            None => where_is::book()?,
        };
        if self.i_know_this_folder {
            store::know_this_folder(&folder)?;
        }
        Ok(folder)
    }

    fn opening(&self, look_only: bool) -> keeper::Opening {
        keeper::Opening {
            as_of: self.as_of,
            still_at: self.now,
            seed: self.seed,
            look_only,
            ..keeper::Opening::default()
        }
    }

    fn look(&self) -> anyhow::Result<keeper::Keeper> {
        Ok(keeper::Keeper::open(&self.folder()?, &self.opening(true))?)
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    match commands::run(&arguments.command, &arguments.global) {
        Ok(exit) => exit.into(),
        Err(error) => {
            exit::say(&error, arguments.global.json);
            Exit::of(&error).into()
        }
    }
}
