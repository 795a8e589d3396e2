//! One table of plain CSV, read forgivingly.
//!
//! Forgiven: a byte order mark, CRLF, semicolons or tabs between the cells,
//! quoted line breaks, columns in any order, capitals in the header, blank
//! lines. Refused: whatever would have to be guessed.

mod cells;
pub mod day;
pub mod number;
mod text;

pub use cells::Cells;

use crate::complaint::{Complaint, Severity};

/// The columns that a table may have.
#[derive(Debug, Clone, Copy)]
pub struct Columns {
    /// Without these the table cannot be read.
    pub required: &'static [&'static str],
    /// These may be absent, which is the same as empty cells.
    pub optional: &'static [&'static str],
}

/// A table whose rows all fit its header.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Its file name.
    pub table: String,
    /// The rows in the order of the file; empty rows are left out.
    pub rows: Vec<Row>,
    columns: Vec<String>,
    comma_decimals: bool,
}

/// One row.
#[derive(Debug, Clone)]
pub struct Row {
    /// The line of the file on which it begins.
    pub line: usize,
    cells: Vec<String>,
}

impl Sheet {
    /// A cell without outer blanks; a column that is not there is empty.
    #[must_use]
    pub fn cell<'a>(&self, row: &'a Row, column: &str) -> &'a str {
        let index = self.columns.iter().position(|it| it == column);
        index.and_then(|index| row.cells.get(index)).map_or("", |it| it.trim())
    }

    /// Are decimals written with a comma?
    #[must_use]
    pub fn comma_decimals(&self) -> bool {
        self.comma_decimals
    }
}

/// Reads one table. Rows that fit are kept although others do not; it is for
/// the caller to decide what a complaint costs.
///
/// ```
/// use exchange::table::{Columns, read};
/// let columns = Columns { required: &["box", "n"], optional: &["note"] };
/// let (sheet, complaints) = read("kept.csv", b"n;box\r\n3;H07\r\n4\r\n", &columns);
/// let sheet = sheet.ok_or("no table")?;
/// assert_eq!(sheet.cell(&sheet.rows[0], "box"), "H07");
/// assert_eq!(complaints[0].line, 3);
/// # Ok::<(), &str>(())
/// ```
#[must_use]
pub fn read(table: &str, bytes: &[u8], columns: &Columns) -> (Option<Sheet>, Vec<Complaint>) {
    let text = match text::text_of(table, bytes) {
        Ok(text) => text,
        Err(complaint) => return (None, vec![complaint]),
    };
    let delimiter = text::delimiter_of(text);
    if let Some(line) = text::open_quote(text, delimiter) {
        let says =
            "a double quote is opened here and never closed: close it, or write it twice inside a text";
        return (None, vec![Complaint::refused(table, line, None, says)]);
    }
    let mut complaints = Vec::new();
    let mut records = records(table, text, delimiter, &mut complaints).into_iter();
    let Some(header) = records.next() else {
        let says = "the file is empty: save the table again, with its header in the first line";
        return (None, vec![Complaint::refused(table, 1, None, says)]);
    };
    let names = header_of(table, &header, columns, &mut complaints);
    if complaints.iter().any(Complaint::is_refused) {
        return (None, complaints);
    }
    let mut rows = Vec::new();
    for mut row in records.filter(|it| it.cells.iter().any(|cell| !cell.trim().is_empty())) {
        while row.cells.len() > names.len() && row.cells.last().is_some_and(|it| it.trim().is_empty()) {
            row.cells.pop();
        }
        if row.cells.len() == names.len() {
            rows.push(row);
            continue;
        }
        let (has, wants) = (row.cells.len(), names.len());
        let hint = if has > wants {
            "put a text with a comma in it in double quotes, and write decimals with a point"
        } else {
            "is a cell missing? Leave an empty one in its place"
        };
        let cells = if has == 1 { "cell" } else { "cells" };
        let says = format!("the row has {has} {cells}, the header {wants}: {hint}");
        complaints.push(Complaint::refused(table, row.line, None, says));
    }
    let sheet = Sheet { table: table.to_owned(), rows, columns: names, comma_decimals: delimiter == b';' };
    (Some(sheet), complaints)
}

/// All records with the line on which each begins.
fn records(table: &str, text: &str, delimiter: u8, complaints: &mut Vec<Complaint>) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let bytes = text.as_bytes();
    let (mut line, mut counted_to) = (1, 0);
    let mut rows = Vec::new();
    for record in reader.records() {
        match record {
            Ok(record) => {
                let mut begins =
                    record.position().map_or(counted_to, |it| usize::try_from(it.byte()).unwrap_or(0));
                // The reader skips empty lines, but its position does not.
                while matches!(bytes.get(begins), Some(b'\r' | b'\n')) {
                    begins += 1;
                }
                line +=
                    text::lines_before(&bytes[counted_to.min(begins)..], begins.saturating_sub(counted_to));
                counted_to = begins;
                rows.push(Row { line, cells: record.iter().map(str::to_owned).collect() });
            }
            Err(error) => complaints.push(Complaint::refused(
                table,
                line,
                None,
                format!("the table cannot be read on from here ({error}): save it again as plain CSV"),
            )),
        }
    }
    rows
}

/// The names of the columns, and what is to be said about them.
fn header_of(table: &str, header: &Row, columns: &Columns, complaints: &mut Vec<Complaint>) -> Vec<String> {
    let mut names: Vec<String> =
        header.cells.iter().map(|it| it.trim().to_lowercase().replace(' ', "_")).collect();
    while names.last().is_some_and(String::is_empty) {
        names.pop();
    }
    for (index, name) in names.iter().enumerate() {
        if names[..index].contains(name) {
            let says = "the header names this column twice: give one of the two another name";
            complaints.push(Complaint::refused(table, header.line, Some(name), says));
        } else if !columns.required.contains(&name.as_str()) && !columns.optional.contains(&name.as_str()) {
            let says = "this column is not known here, so it was not read";
            let complaint = Complaint::refused(table, header.line, Some(name), says);
            complaints.push(complaint.as_severity(Severity::Unread));
        }
    }
    for column in columns.required.iter().filter(|it| !names.iter().any(|name| name == *it)) {
        let says = "the column is missing: add it to the header, or give it this name if it has another";
        complaints.push(Complaint::refused(table, header.line, Some(column), says));
    }
    names
}
