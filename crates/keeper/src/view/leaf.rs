//! How much leaf?

use super::{LeafRange, Receipt, RestsOn};
use jiff::civil::{Date, DateTime};

/// The leaf order.
#[derive(Debug, Clone, PartialEq)]
pub struct Leaf {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The answer: cut so many grams for so many days.
    pub says: String,
    /// To cut today, all boxes.
    pub today: LeafRange,
    /// For the next three days.
    pub three_days: LeafRange,
    /// For the week.
    pub week: LeafRange,
    /// Until the last has spun.
    pub to_spinning: LeafRange,
    /// What of it is eaten: not the same as cut, and never averaged with it.
    pub eaten_to_spinning: LeafRange,
    /// The day with the greatest need.
    pub peak: Option<(Date, LeafRange)>,
    /// Day by day to spinning.
    pub days: Vec<(Date, LeafRange)>,
    /// Box by box, today.
    pub boxes: Vec<LeafOfBox>,
    /// By line, to spinning.
    pub lines: Vec<(String, LeafRange)>,
    /// How long cut leaf keeps, in words, and how it is stored.
    pub keeps: String,
    /// The share of the cut leaf that is not eaten, in words with its range.
    pub waste: String,
    /// The published traditions, kept apart.
    pub traditions: Vec<Tradition>,
    /// The keeper's own rate so far, in words; `None` before any leaf was weighed.
    pub own_rate: Option<String>,
    /// Where the figure is weaker than it looks.
    pub warnings: Vec<String>,
    /// Leaf cautions: sprayed hedges and so on.
    pub cautions: Vec<String>,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// Leaf of one box.
#[derive(Debug, Clone, PartialEq)]
pub struct LeafOfBox {
    /// The box.
    pub name: String,
    /// The line.
    pub line: String,
    /// Who is in it, in words.
    pub holds: String,
    /// The plant last given.
    pub plant: String,
    /// To cut today.
    pub today: LeafRange,
}

/// A published figure with what it measures.
#[derive(Debug, Clone, PartialEq)]
pub struct Tradition {
    /// The figure as printed, for instance `75 to 80 g`.
    pub figure: String,
    /// What was measured: eaten, cut, or not stated.
    pub basis: String,
    /// For which animal.
    pub species: String,
    /// Where it comes from.
    pub source: String,
    /// Its grade.
    pub grade: String,
}
