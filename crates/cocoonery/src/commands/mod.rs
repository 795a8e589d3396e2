//! One file per command.

mod backup;
mod bring_in;
mod calendar;
mod check;
mod cocoons;
mod leaf;
mod lines;
mod note;
mod odds;
mod pairings;
mod print;
mod reckon;
mod restore;
mod round;
mod salvage;
mod serve;
mod try_out;
mod where_is;

use crate::Global;
use crate::exit::Exit;
use anyhow::Result;

/// What can be asked on the command line.
#[derive(Debug, clap::Subcommand)]
pub(crate) enum Command {
    /// Make a scratch book from a demo season and look at it in the browser
    Try(try_out::Words),
    /// Serve the pages of the book
    Serve(serve::Words),
    /// What this morning needs, box by box
    Round(round::Words),
    /// Note what happened
    Note(note::Words),
    /// When the next moult, cocoon or moth comes
    Calendar(calendar::Words),
    /// How much leaf to cut
    Leaf(leaf::Words),
    /// Whether this generation will close, and what would help
    Odds(odds::Words),
    /// Each cocoon, and how it winters
    Cocoons(cocoons::Words),
    /// Who could pair tonight
    #[command(visible_alias = "pairs")]
    Pairings(pairings::Words),
    /// All lines with their accounts
    Lines(lines::Words),
    /// Bring a season in from its tables
    BringIn(bring_in::Words),
    /// Is every animal accounted for, and every entry as it was written?
    Check(check::Words),
    /// Make a backup: one file, restored and compared before it counts
    Backup(backup::Words),
    /// Make a book out of a backup
    Restore(restore::Words),
    /// Copy what is sound in a damaged book into a new one
    Salvage(salvage::Words),
    /// Where the book lies
    Where(where_is::Words),
    /// Compute one figure of the bench mathematics
    Reckon(reckon::Words),
}

pub(crate) fn run(command: &Command, global: &Global) -> Result<Exit> {
    match command {
        Command::Try(it) => try_out::run(it, global),
        Command::Serve(it) => serve::run(it, global),
        Command::Round(it) => round::run(it, global),
        Command::Note(it) => note::run(it, global),
        Command::Calendar(it) => calendar::run(it, global),
        Command::Leaf(it) => leaf::run(it, global),
        Command::Odds(it) => odds::run(it, global),
        Command::Cocoons(it) => cocoons::run(it, global),
        Command::Pairings(it) => pairings::run(it, global),
        Command::Lines(it) => lines::run(it, global),
        Command::BringIn(it) => bring_in::run(it, global),
        Command::Check(it) => check::run(it, global),
        Command::Backup(it) => backup::run(it, global),
        Command::Restore(it) => restore::run(it, global),
        Command::Salvage(it) => salvage::run(it, global),
        Command::Where(it) => where_is::run(it, global),
        Command::Reckon(it) => reckon::run(it, global),
    }
}
