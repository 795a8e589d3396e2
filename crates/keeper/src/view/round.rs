//! One box in the morning round.

use super::LeafRange;
use jiff::civil::{Date, DateTime};
use terms::Stage;
use uuid::Uuid;

/// What the book expects in a box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expected {
    /// The stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
}

/// Animals that sit still and must be left alone.
#[derive(Debug, Clone, PartialEq)]
pub struct InMoult {
    /// In which stage they are now.
    pub stage: Stage,
    /// The share of the box's animals of that stage, 0 to 1.
    pub share: f64,
    /// About how many that is.
    pub about_n: u32,
    /// In half of all cases the last of them is through by then.
    pub until: DateTime,
}

/// One screen: everything a keeper needs with this box open.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxRound {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// Place in the round, from 1.
    pub position: usize,
    /// How many boxes the round has.
    pub of: usize,
    /// The box before this one.
    pub previous: Option<String>,
    /// The box after this one.
    pub next: Option<String>,
    /// What stands on the lid.
    pub name: String,
    /// The line.
    pub line: String,
    /// The species, in English if the house knows it.
    pub species: String,
    /// The plant last given.
    pub plant: String,
    /// What the box is.
    pub vessel: String,
    /// Set apart: since when and for which sign.
    pub set_apart: Option<(Date, String)>,
    /// The last instar of this kind, after which larvae spin; `None` if the kind is not known.
    pub instar_last: Option<u8>,
    /// Who should be in it now, in the order of life.
    pub expected: Vec<Expected>,
    /// Who sits still.
    pub in_moult: Vec<InMoult>,
    /// Leaf for today.
    pub leaf_fresh_g: Option<LeafRange>,
    /// What to do, in the order of doing.
    pub tasks: Vec<String>,
    /// Open boxes that take the moulted (or the hatched) of this box, nearest in stage first.
    pub takers: Vec<Taker>,
    /// A name for a fresh box, not yet used.
    pub fresh_name: String,
    /// Signs that can be chosen for a dead animal, most usual first.
    pub signs: Vec<String>,
    /// How many of this line are missing and could be found.
    pub missing: u32,
    /// What was noted for this box today, newest last.
    pub noted: Vec<NotedLine>,
    /// A count of today that does not fit, with the smallest explanation.
    pub misfit: Option<Misfit>,
    /// The number that came was a guess, and this count may be the number.
    pub guess: Option<Guess>,
    /// Two phones counted without seeing each other, and said different things.
    pub both_said: Vec<NotedLine>,
    /// How many entries of the book were about this box when it was looked at.
    pub seen_entries: u64,
    /// Empty: it can be washed and put away.
    pub empty: bool,
    /// Cautions that belong to opening this box.
    pub cautions: Vec<String>,
}

/// The whole round: every box, one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct WholeRound {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The boxes in the order of the shelf.
    pub boxes: Vec<BoxRound>,
}

/// A lot whose number was a guess when it came.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guess {
    /// The lot.
    pub lot: String,
    /// About so many were said to have come.
    pub said: u32,
    /// So many would have come if this count is right.
    pub counted: u32,
    /// In which stage they came.
    pub stage: Stage,
}

/// A box that can take animals.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Taker {
    /// What stands on the lid.
    pub name: String,
    /// What it holds, in words: `3 L4`, or `empty`.
    pub holds: String,
}

/// One thing noted today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotedLine {
    /// The entry.
    pub id: Uuid,
    /// In words.
    pub says: String,
    /// When.
    pub at: DateTime,
}

/// A count that does not fit the book.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misfit {
    /// The smallest explanation, in one sentence: `3 moulted, 1 short: look in the old leaves`.
    pub says: String,
    /// Moved on: from, to, how many.
    pub moved_on: Vec<(Stage, Stage, u32)>,
    /// Short: stage, how many.
    pub short: Vec<(Stage, u32)>,
    /// More than the book has: stage, how many.
    pub over: Vec<(Stage, u32)>,
}

/// What the keeper put into the form of one box; everything is optional.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RoundNote {
    /// Made with the page on which it was filled in, so that sending twice is noting once.
    pub id: Option<Uuid>,
    /// Moulted (hatched, spun): from which stage, how many, into which box; `None` box means they stayed.
    pub moved_on: Option<MovedOn>,
    /// Dead: stage, how many, sign, remark.
    pub dead: Option<Dead>,
    /// Short: stage, how many.
    pub short: Option<(Stage, u32)>,
    /// Found again: stage, how many.
    pub found: Option<(Stage, u32)>,
    /// Eggs that will not hatch: how many.
    pub eggs_failed: Option<u32>,
    /// Left in the box after all this: `None` means all as the book expects, if `counted`.
    pub seen: Option<Vec<(Stage, u32)>>,
    /// How many of them sit still in moult, by stage, where the keeper looked.
    pub in_moult: Vec<(Stage, u32)>,
    /// The box was counted (else only deeds are noted).
    pub counted: bool,
    /// Fed, but not counted.
    pub fed_only: bool,
    /// Fresh leaf given, in grams.
    pub leaf_offered_fresh_g: Option<f64>,
    /// Old leaf taken out, in grams.
    pub leaf_left_fresh_g: Option<f64>,
    /// Put the empty box away.
    pub close: bool,
    /// A remark.
    pub remark: String,
}

/// See [`RoundNote::moved_on`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MovedOn {
    /// From which stage: eggs hatch, larvae moult, or spin if `spun`.
    pub from: Stage,
    /// How many.
    pub n: u32,
    /// They spun instead of moulting.
    pub spun: bool,
    /// Into which box; `None` means they stayed.
    pub into: Option<String>,
    /// That box is to be opened first.
    pub into_is_new: bool,
}

/// See [`RoundNote::dead`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dead {
    /// In which stage.
    pub stage: Stage,
    /// How many.
    pub n: u32,
    /// The sign.
    pub sign: String,
    /// A remark.
    pub remark: String,
}

/// What became of a note.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saved {
    /// The entries made, in words.
    pub says: Vec<String>,
    /// Their ids.
    pub ids: Vec<Uuid>,
    /// The count did not fit: the page of the box shows the explanation.
    pub misfit: bool,
}
