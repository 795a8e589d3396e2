//! The cells of one row, each asked for in its kind.

use super::{Row, Sheet, day, number};
use crate::complaint::Complaint;
use jiff::civil::{Date, Time};
use std::str::FromStr;
use terms::label::label;
use terms::{Bounds, Sex, Stage};

/// Asks a row for its cells. A cell that cannot be read leaves a complaint and
/// some harmless value behind, so that one row can give all its complaints at
/// once; ask [`Cells::are_fine`] before using what was read.
#[derive(Debug)]
pub struct Cells<'a> {
    sheet: &'a Sheet,
    row: &'a Row,
    complaints: Vec<Complaint>,
}

impl<'a> Cells<'a> {
    /// The cells of a row.
    #[must_use]
    pub fn of(sheet: &'a Sheet, row: &'a Row) -> Self {
        Cells { sheet, row, complaints: Vec::new() }
    }

    /// Could all cells that were asked for be read?
    #[must_use]
    pub fn are_fine(&self) -> bool {
        self.complaints.is_empty()
    }

    /// What could not be read.
    #[must_use]
    pub fn into_complaints(self) -> Vec<Complaint> {
        self.complaints
    }

    /// Something is wrong with a cell.
    pub fn complain(&mut self, column: &str, says: impl Into<String>) {
        self.complaints.push(Complaint::refused(&self.sheet.table, self.row.line, Some(column), says));
    }

    /// The cell as it stands.
    #[must_use]
    pub fn text(&self, column: &str) -> &'a str {
        self.sheet.cell(self.row, column)
    }

    /// Is the cell empty or its column absent?
    #[must_use]
    pub fn is_empty(&self, column: &str) -> bool {
        self.text(column).is_empty()
    }

    fn told<T>(&mut self, column: &str, read: impl FnOnce(&'a str) -> Result<T, String>) -> Option<T> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        read(text).map_err(|says| self.complain(column, says)).ok()
    }

    fn required<T: Default>(&mut self, column: &str, value: Option<T>, what: &str) -> T {
        if value.is_none() && self.is_empty(column) {
            self.complain(column, format!("the cell is empty: write {what}"));
        }
        value.unwrap_or_default()
    }

    /// A name that stands on a label.
    pub fn label(&mut self, column: &str, what: &'static str) -> String {
        let told = self.label_if_told(column, what);
        self.required(column, told, &format!("the name of the {what}"))
    }

    /// A name that stands on a label, or nothing.
    pub fn label_if_told(&mut self, column: &str, what: &'static str) -> Option<String> {
        self.told(column, |text| label(what, text).map(str::to_owned).map_err(|bad| bad.to_string()))
    }

    /// A whole number.
    pub fn count(&mut self, column: &str, bounds: &'static Bounds) -> u32 {
        let told = self.count_if_told(column, bounds);
        self.required(column, told, "how many there were")
    }

    /// A whole number, or nothing.
    pub fn count_if_told(&mut self, column: &str, bounds: &'static Bounds) -> Option<u32> {
        self.told(column, |text| {
            let n = number::count(text)?;
            bounds.check(f64::from(n)).map_err(|refused| format!("{refused}: look at the number again"))?;
            Ok(n)
        })
    }

    /// A measured number.
    pub fn measure(&mut self, column: &str, bounds: &'static Bounds) -> f64 {
        let told = self.measure_if_told(column, bounds);
        self.required(column, told, "what was measured, or take the row out if nobody did")
    }

    /// A measured number, or nothing.
    pub fn measure_if_told(&mut self, column: &str, bounds: &'static Bounds) -> Option<f64> {
        let comma_decimals = self.sheet.comma_decimals();
        self.told(column, |text| number::measure(text, comma_decimals, bounds))
    }

    /// A date.
    pub fn date(&mut self, column: &str) -> Date {
        let told = self.date_if_told(column);
        self.required(column, told, "the date, such as 2025-06-03")
    }

    /// A date, or nothing.
    pub fn date_if_told(&mut self, column: &str) -> Option<Date> {
        self.told(column, day::date)
    }

    /// A time of day.
    pub fn time(&mut self, column: &str) -> Time {
        let told = self.time_if_told(column);
        self.required(column, told, "the time of day, such as 07:40")
    }

    /// A time of day, or nothing.
    pub fn time_if_told(&mut self, column: &str) -> Option<Time> {
        self.told(column, day::time)
    }

    /// A stage, or nothing.
    pub fn stage_if_told(&mut self, column: &str) -> Option<Stage> {
        self.told(column, |text| Stage::from_str(text).map_err(|bad| bad.to_string()))
    }

    /// A sex; an empty cell means that nobody has looked.
    pub fn sex(&mut self, column: &str) -> Sex {
        self.told(column, |text| Sex::from_str(text).map_err(|bad| bad.to_string())).unwrap_or_default()
    }
}
