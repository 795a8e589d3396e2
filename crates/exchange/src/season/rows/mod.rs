//! What one row of each table says.

mod daily;
mod house;
mod later;

pub(super) use daily::{AIR_KEY, AirRow, CONDITIONS, COUNTS, CountRow, LEAF, LeafRow};
pub(super) use house::{BOXES, BoxRow, EVENTS, EventRow, Happening, LOTS, LotRow};
pub(super) use later::{
    ADULTS, COCOONS, CocoonFate, CocoonRow, MothRow, PAIRINGS, PairingRow, WEIGHTS, WeightRow,
};

use super::files::Table;
use super::ids::Fingerprint;
use crate::complaint::Complaint;
use crate::table::{Cells, Row, Sheet};
use std::collections::BTreeMap;

/// A row that could be read, with its place in the file.
#[derive(Debug, Clone)]
pub(super) struct Told<T> {
    pub table: Table,
    pub line: usize,
    pub fingerprint: Fingerprint,
    pub it: T,
}

/// Reads every row of a sheet; rows that cannot be read leave complaints.
pub(super) fn all<T>(
    table: Table,
    sheet: &Sheet,
    read: impl Fn(&mut Cells<'_>) -> T,
    complaints: &mut Vec<Complaint>,
) -> Vec<Told<T>> {
    let mut occurrences: BTreeMap<String, u32> = BTreeMap::new();
    let mut rows = Vec::new();
    for row in &sheet.rows {
        let mut cells = Cells::of(sheet, row);
        let it = read(&mut cells);
        let content = content_of(table, sheet, row);
        let next = occurrences.entry(content.clone()).or_insert(0);
        let fingerprint = Fingerprint { content, occurrence: *next };
        *next += 1;
        if cells.are_fine() {
            rows.push(Told { table, line: row.line, fingerprint, it });
        }
        complaints.extend(cells.into_complaints());
    }
    rows
}

/// The cells that are read, by name, so that the order of the columns and a
/// column more make no other row of it.
fn content_of(table: Table, sheet: &Sheet, row: &Row) -> String {
    let columns = table.columns();
    let mut names: Vec<&str> = columns.required.iter().chain(columns.optional).copied().collect();
    names.sort_unstable();
    names
        .into_iter()
        .filter(|it| !written_later(table).contains(it))
        .map(|it| (it, sheet.cell(row, it)))
        .filter(|(_, cell)| !cell.is_empty())
        .map(|(name, cell)| format!("{name}={cell}\u{1f}"))
        .collect()
}

/// Columns that are filled in while the season goes on, or that only check
/// others. A row stays the same row when they change, so that the tables of a
/// season can be brought in again with what has come to them. The running
/// number of the log is one: it changes when a row is put in before.
fn written_later(table: Table) -> &'static [&'static str] {
    match table {
        Table::Boxes => &["closed"],
        Table::Events => &["event_no"],
        Table::Counts => &["expected_from_events"],
        Table::Cocoons => &["fate", "fate_on"],
        Table::Adults => &["mated", "fate", "fate_on"],
        Table::Pairings => &[
            "result",
            "hours_joined",
            "eggs_laid",
            "eggs_hatched",
            "eggs_kept",
            "eggs_given",
            "eggs_destroyed",
            "eggs_hatched_of_kept",
            "mother_moth_check",
            "expected_inbreeding_of_young",
            "note",
        ],
        Table::Lots | Table::Conditions | Table::Leaf | Table::Weights => &[],
    }
}

/// Two rows must not speak of the same thing.
pub(super) fn once_only<T, K: Ord>(
    rows: &[Told<T>],
    column: &str,
    key: impl Fn(&T) -> Option<K>,
    what: impl Fn(&T) -> String,
    complaints: &mut Vec<Complaint>,
) {
    let mut first: BTreeMap<K, usize> = BTreeMap::new();
    for row in rows {
        let Some(key) = key(&row.it) else { continue };
        if let Some(line) = first.get(&key) {
            let says = format!("{} stands in line {line} already: take one of the two out", what(&row.it));
            complaints.push(Complaint::refused(row.table.file_name(), row.line, Some(column), says));
        } else {
            first.insert(key, row.line);
        }
    }
}
