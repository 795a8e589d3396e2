//! Open formats: text in, values out.
//!
//! [`table`] reads one table of plain CSV and forgives what can be forgiven;
//! [`season`] turns the tables of one season into entries of the book. What
//! cannot be read is a [`Complaint`] with table, line and column.
//!
//! *What this crate does not do:* it opens no files and writes no book.

pub mod complaint;
pub mod season;
pub mod table;

pub use complaint::{Complaint, Severity};
pub use season::{Origin, Season, SeasonFiles, Table, read_season};
