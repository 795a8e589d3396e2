//! All boxes on the shelf, and what can be done with one of them.

use super::round::Taker;
use jiff::civil::{Date, DateTime};
use terms::Stage;

/// The shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Boxes {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// Every open box in the order of the shelf.
    pub boxes: Vec<BoxStanding>,
    /// A name for a fresh box, not yet used.
    pub fresh_name: String,
    /// The lines of the house.
    pub lines: Vec<String>,
    /// Where boxes stand.
    pub places: Vec<String>,
}

/// A box on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxStanding {
    /// What stands on the lid.
    pub name: String,
    /// Its line; empty for stores that hold several.
    pub line: String,
    /// Who is in it, in words.
    pub holds: String,
    /// Set apart: since when and for which sign.
    pub set_apart: Option<(Date, String)>,
    /// Where it stands.
    pub place: String,
    /// A box of its kind stands before it.
    pub may_go_earlier: bool,
    /// A box of its kind stands behind it.
    pub may_go_later: bool,
}

/// One box and what can be done with it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxWork {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The box as it stands.
    pub standing: BoxStanding,
    /// Place on the shelf, from 1.
    pub position: usize,
    /// How many boxes stand there.
    pub of: usize,
    /// Who is in it.
    pub groups: Vec<Group>,
    /// Boxes that can take them, nearest on the shelf first.
    pub others: Vec<Taker>,
    /// A name for a fresh box, not yet used.
    pub fresh_name: String,
    /// Signs for which a box is set apart.
    pub signs: Vec<String>,
    /// Cautions that belong to it.
    pub cautions: Vec<String>,
}

/// Animals of one line in one stage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// The line.
    pub line: String,
    /// The stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
}
