//! What does this morning need?

use super::LeafRange;
use super::round::{Expected, InMoult};
use crate::backup::BackupAge;
use jiff::civil::{Date, DateTime};

/// The page that opens first: every question with its short answer, then the boxes.
#[derive(Debug, Clone, PartialEq)]
pub struct Morning {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book or an old day is looked at: says so.
    pub notice: Option<String>,
    /// Animals alive (eggs, larvae, cocoons, moths).
    pub alive: u32,
    /// The boxes in the order of the shelf.
    pub boxes: Vec<BoxOnShelf>,
    /// Leaf to cut today for all boxes.
    pub leaf_today_fresh_g: Option<LeafRange>,
    /// One short answer for every line.
    pub lines: Vec<LineShort>,
    /// Neither today's nor yesterday's air was noted.
    pub thermometer_waits: bool,
    /// Nothing was ever noted: the book waits for its first animal.
    pub blank: bool,
    /// How old the last backup is, in words, and whether that should worry; nothing for books that are only looked at.
    pub backup: Option<(BackupAge, String)>,
    /// What rings, in words; empty when nothing does.
    pub bells: Vec<String>,
}

/// A box as it stands on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxOnShelf {
    /// What stands on the lid.
    pub name: String,
    /// The line.
    pub line: String,
    /// Who should be in it.
    pub expected: Vec<Expected>,
    /// Who sits still.
    pub in_moult: Option<InMoult>,
    /// Set apart for this sign.
    pub set_apart: Option<String>,
    /// Leaf for today.
    pub leaf_fresh_g: Option<LeafRange>,
    /// What to do, in the order of doing.
    pub tasks: Vec<String>,
    /// Done this morning: counted, or fed only.
    pub done: Option<String>,
}

/// The short answers for one line.
#[derive(Debug, Clone, PartialEq)]
pub struct LineShort {
    /// The line.
    pub line: String,
    /// The species, in English if the house knows it.
    pub species: String,
    /// Alive.
    pub alive: u32,
    /// The next event: `L5: half by 9 June, 9 in 10 by 11 June`.
    pub next: Option<String>,
    /// `15 of 20`, as a number of twentieths; `None` if it cannot be told.
    pub odds_of_twenty: Option<u32>,
    /// Day of the forecasts.
    pub as_of: Date,
}
