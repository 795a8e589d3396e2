//! All lines at a glance.

use super::round::Expected;
use jiff::civil::{Date, DateTime};

/// The lines of the house.
#[derive(Debug, Clone, PartialEq)]
pub struct Lines {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// One row a line.
    pub lines: Vec<Line>,
}

/// One line.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The line.
    pub line: String,
    /// English name, Latin name.
    pub species: (String, String),
    /// Its lots.
    pub lots: Vec<LotRow>,
    /// Who is alive.
    pub alive: Vec<Expected>,
    /// How many came in.
    pub received: u32,
    /// The account in words with its numbers; they add up to `received`.
    pub account: Vec<(String, u32)>,
    /// Boxes with animals.
    pub boxes: Vec<String>,
}

/// One lot.
#[derive(Debug, Clone, PartialEq)]
pub struct LotRow {
    /// The lot.
    pub lot: String,
    /// How many.
    pub n: u32,
    /// When it came.
    pub received: Date,
    /// When it was laid, if known.
    pub laid: Option<Date>,
    /// Mother and father as told; empty if unknown.
    pub parents: (String, String),
    /// Where it comes from.
    pub origin: String,
}
