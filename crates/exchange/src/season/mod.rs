//! The tables of one season become entries of the book.
//!
//! Every row that says what happened becomes one or more entries, in the order
//! in which things happened, and each is taken into a house of its own while
//! reading. So the rules of the book are asked here and not again, and what
//! they refuse is told with the line that it stands on.

mod agree;
mod book;
mod cocoons;
mod counts;
mod due;
mod emerge;
mod events;
mod files;
mod ids;
mod lots;
mod moths;
mod places;
mod refs;
mod rows;
mod scene;

pub use files::{SeasonFiles, Table};

use crate::complaint::{Complaint, Severity, gathered};
use crate::table::{self, Sheet};
use book::Book;
use rearing::{Entry, When};
use rows::{
    AirRow, BoxRow, CocoonRow, CountRow, EventRow, LeafRow, LotRow, MothRow, PairingRow, Told, WeightRow,
};
use scene::Scene;
use uuid::Uuid;

/// Where an entry comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Origin {
    /// The table.
    pub table: Table,
    /// The line of its file.
    pub line: usize,
}

/// The entries of a season.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Season {
    /// What the keeper calls the season.
    pub name: String,
    /// The entries in the order of the book; none if anything was refused.
    pub entries: Vec<Entry>,
    /// Where each entry comes from, in the same order.
    pub origins: Vec<Origin>,
}

impl Season {
    /// Where an entry comes from, so that what a store refuses later can be
    /// shown beside its row.
    #[must_use]
    pub fn origin_of(&self, id: Uuid) -> Option<Origin> {
        let index = self.entries.iter().position(|it| it.id == id)?;
        self.origins.get(index).copied()
    }
}

/// All rows of all tables.
#[derive(Debug, Default)]
struct Tables {
    lots: Vec<Told<LotRow>>,
    boxes: Vec<Told<BoxRow>>,
    events: Vec<Told<EventRow>>,
    counts: Vec<Told<CountRow>>,
    air: Vec<Told<AirRow>>,
    leaf: Vec<Told<LeafRow>>,
    cocoons: Vec<Told<CocoonRow>>,
    weights: Vec<Told<WeightRow>>,
    moths: Vec<Told<MothRow>>,
    pairings: Vec<Told<PairingRow>>,
    /// Are numbered cocoons told of at all?
    has_cocoons: bool,
    has_moths: bool,
    has_pairings: bool,
}

/// Reads a season.
///
/// The entries follow from one another: [`rearing::replay`] takes them all. If
/// any complaint is [`Severity::Refused`] there are no entries at all, so that
/// nothing can be brought in by half. The other complaints say what was
/// concluded without being told, and which columns were not read.
///
/// The same tables under the same name give the same entries with the same
/// numbers each time, so that bringing them in twice notes nothing twice.
///
/// ```
/// use exchange::{SeasonFiles, read_season};
/// let mut files = SeasonFiles::new("first season");
/// files.add("lots.csv", b"lot,line,species,received,n\nA-25,A,Saturnia pavonia,2025-05-01,2\n");
/// files.add("boxes.csv", b"box,line,opened\nA01,A,2025-05-01\nA02,A,2025-05-06\n");
/// files.add("events.csv", b"date,time,line,box,event,n,stage_from,stage_to,to_box\n\
///     2025-05-01,18:00,A,A01,receive,2,,egg,\n\
///     2025-05-06,07:40,A,A01,hatch,3,egg,L1,A02\n");
/// let (season, complaints) = read_season(&files, "Europe/London", "me");
/// assert!(season.entries.is_empty());
/// assert_eq!(
///     complaints[0].to_string(),
///     "events.csv, line 3, column n: box A01 holds 2 in egg, not 3: count again, or note the moult or the find first",
/// );
/// ```
#[must_use]
pub fn read_season(files: &SeasonFiles<'_>, zone: &str, by: &str) -> (Season, Vec<Complaint>) {
    let (mut season, complaints) = lived_through(files, zone, by);
    if refused(&complaints) {
        season.entries.clear();
        season.origins.clear();
    }
    let mut complaints = gathered(complaints);
    complaints.sort_by_key(|it| it.severity);
    (season, complaints)
}

fn lived_through(files: &SeasonFiles<'_>, zone: &str, by: &str) -> (Season, Vec<Complaint>) {
    let mut season = Season { name: files.name.clone(), ..Season::default() };
    let (tables, mut complaints) = read_tables(files);
    if When::on_the_wall(jiff::civil::DateTime::default(), zone).is_err() {
        let says = format!("`{zone}` is no time zone that is known: write one such as Europe/London");
        complaints.push(Complaint::refused("the time zone", 0, None, says));
    }
    if !refused(&complaints) {
        refs::check(&tables, &mut complaints);
    }
    if refused(&complaints) {
        return (season, complaints);
    }
    let (scene, told) = Scene::of(&tables);
    complaints.extend(told);
    if refused(&complaints) {
        return (season, complaints);
    }
    let mut book = Book::new(&files.name, zone, by, &tables);
    due::live_through(&mut book, &scene);
    let (entries, origins, house, told) = book.close();
    complaints.extend(told);
    if !refused(&complaints) {
        agree::check(&scene, &house, &mut complaints);
    }
    (season.entries, season.origins) = (entries, origins);
    if !refused(&complaints)
        && let Err(not) = rearing::replay(&season.entries)
    {
        // The order of reading is the order of the book; should they ever
        // differ, this says so instead of handing out a broken season.
        let origin = season.origin_of(not.id);
        let (table, line) = origin.map_or(("events.csv", 0), |it| (it.table.file_name(), it.line));
        complaints.push(Complaint::refused(
            table,
            line,
            None,
            format!("{}: nothing was brought in", not.refusal),
        ));
    }
    (season, complaints)
}

fn refused(complaints: &[Complaint]) -> bool {
    complaints.iter().any(Complaint::is_refused)
}

fn read_tables(files: &SeasonFiles<'_>) -> (Tables, Vec<Complaint>) {
    let mut complaints = Vec::new();
    let mut tables = Tables::default();
    for table in Table::ALL {
        let Some(sheet) = sheet_of(files, table, &mut complaints) else { continue };
        let said = &mut complaints;
        match table {
            Table::Lots => tables.lots = rows::all(table, &sheet, LotRow::read, said),
            Table::Boxes => tables.boxes = rows::all(table, &sheet, BoxRow::read, said),
            Table::Events => tables.events = rows::all(table, &sheet, EventRow::read, said),
            Table::Counts => tables.counts = rows::all(table, &sheet, CountRow::read, said),
            Table::Conditions => tables.air = rows::all(table, &sheet, AirRow::read, said),
            Table::Leaf => tables.leaf = rows::all(table, &sheet, LeafRow::read, said),
            Table::Cocoons => tables.cocoons = rows::all(table, &sheet, CocoonRow::read, said),
            Table::Weights => tables.weights = rows::all(table, &sheet, WeightRow::read, said),
            Table::Adults => tables.moths = rows::all(table, &sheet, MothRow::read, said),
            Table::Pairings => tables.pairings = rows::all(table, &sheet, PairingRow::read, said),
        }
    }
    tables.has_cocoons = files.has(Table::Cocoons);
    tables.has_moths = files.has(Table::Adults);
    tables.has_pairings = files.has(Table::Pairings);
    (tables, complaints)
}

fn sheet_of(files: &SeasonFiles<'_>, table: Table, complaints: &mut Vec<Complaint>) -> Option<Sheet> {
    let name = table.file_name();
    let Some(bytes) = files.get(table) else {
        if table.is_required() {
            let says = "the table is not there, and there is no season without it: put it beside the others";
            complaints.push(Complaint::refused(name, 0, None, says));
        }
        return None;
    };
    let (sheet, said) = table::read(name, bytes, table.columns());
    let nothing_said = !refused(&said);
    complaints.extend(said);
    if nothing_said && sheet.as_ref().is_some_and(|it| it.rows.is_empty()) {
        let says = "there is a header and no row below it: fill the table, or take the file away if there was nothing";
        let complaint = Complaint::refused(name, 1, None, says);
        let severity = if table.is_required() { Severity::Refused } else { Severity::Unread };
        complaints.push(complaint.as_severity(severity));
    }
    sheet
}
