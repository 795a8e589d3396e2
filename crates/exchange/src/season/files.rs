//! The tables of a season and their names.

use super::rows;
use crate::table::Columns;
use std::collections::BTreeMap;
use std::fmt;

/// A table of a season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Table {
    /// Animals of one origin.
    Lots,
    /// Boxes and what they are.
    Boxes,
    /// The log.
    Events,
    /// What was seen on the morning round.
    Counts,
    /// The air.
    Conditions,
    /// Leaf given and taken out.
    Leaf,
    /// Cocoons by number.
    Cocoons,
    /// Weighings of cocoons.
    Weights,
    /// Moths by name.
    Adults,
    /// Pairings and their eggs.
    Pairings,
}

impl Table {
    /// All of them, in the order in which they are read.
    pub const ALL: [Table; 10] = [
        Table::Lots,
        Table::Boxes,
        Table::Events,
        Table::Counts,
        Table::Conditions,
        Table::Leaf,
        Table::Cocoons,
        Table::Weights,
        Table::Adults,
        Table::Pairings,
    ];

    /// The name that its file must have.
    #[must_use]
    pub fn file_name(self) -> &'static str {
        match self {
            Table::Lots => "lots.csv",
            Table::Boxes => "boxes.csv",
            Table::Events => "events.csv",
            Table::Counts => "counts.csv",
            Table::Conditions => "conditions.csv",
            Table::Leaf => "leaf.csv",
            Table::Cocoons => "cocoons.csv",
            Table::Weights => "weights.csv",
            Table::Adults => "adults.csv",
            Table::Pairings => "pairings.csv",
        }
    }

    /// The table that a file name stands for, in capitals or not.
    #[must_use]
    pub fn of_file(name: &str) -> Option<Table> {
        Table::ALL.into_iter().find(|it| it.file_name().eq_ignore_ascii_case(name.trim()))
    }

    /// Without lots, boxes and the log there is no season.
    #[must_use]
    pub fn is_required(self) -> bool {
        matches!(self, Table::Lots | Table::Boxes | Table::Events)
    }

    /// The columns that it must and may have.
    #[must_use]
    pub fn columns(self) -> &'static Columns {
        match self {
            Table::Lots => &rows::LOTS,
            Table::Boxes => &rows::BOXES,
            Table::Events => &rows::EVENTS,
            Table::Counts => &rows::COUNTS,
            Table::Conditions => &rows::CONDITIONS,
            Table::Leaf => &rows::LEAF,
            Table::Cocoons => &rows::COCOONS,
            Table::Weights => &rows::WEIGHTS,
            Table::Adults => &rows::ADULTS,
            Table::Pairings => &rows::PAIRINGS,
        }
    }
}

impl fmt::Display for Table {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.file_name())
    }
}

/// The files of one season as bytes; who opened them is none of this crate's business.
///
/// ```
/// use exchange::{SeasonFiles, Table};
/// let mut files = SeasonFiles::new("2025, the shed");
/// assert!(files.add("lots.csv", b"lot,line,n\n"));
/// assert!(!files.add("shopping.txt", b"twigs"));
/// assert!(files.has(Table::Lots) && !files.has(Table::Events));
/// ```
#[derive(Debug, Clone, Default)]
pub struct SeasonFiles<'a> {
    /// What the keeper calls the season. It goes into the numbers of the
    /// entries, so the same tables under another name are another season.
    pub name: String,
    files: BTreeMap<Table, &'a [u8]>,
}

impl<'a> SeasonFiles<'a> {
    /// A season with no files yet.
    #[must_use]
    pub fn new(name: &str) -> Self {
        SeasonFiles { name: name.to_owned(), files: BTreeMap::new() }
    }

    /// Takes a file by its name; says `false` if no table has that name.
    pub fn add(&mut self, file_name: &str, bytes: &'a [u8]) -> bool {
        let table = Table::of_file(file_name);
        if let Some(table) = table {
            self.files.insert(table, bytes);
        }
        table.is_some()
    }

    /// Is the table there?
    #[must_use]
    pub fn has(&self, table: Table) -> bool {
        self.files.contains_key(&table)
    }

    pub(super) fn get(&self, table: Table) -> Option<&'a [u8]> {
        self.files.get(&table).copied()
    }
}
