//! Beginning with animals of one's own.

use jiff::civil::DateTime;

/// What the page of a beginning offers.
#[derive(Debug, Clone, PartialEq)]
pub struct Begin {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The kinds that the house has a profile of, by English name.
    pub kinds: Vec<Kind>,
    /// What is said of a kind that it does not know.
    pub unknown_cautions: Vec<String>,
    /// A name for the line that is not taken.
    pub line: String,
    /// A name for the first box that is not taken.
    pub box_name: String,
    /// Places where air is read or boxes stand.
    pub places: Vec<String>,
}

/// A kind of silkmoth.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kind {
    /// Its Latin name.
    pub latin: String,
    /// Its English name.
    pub english: String,
    /// What belongs to taking such animals in: stings, release, the law.
    pub cautions: Vec<String>,
}
