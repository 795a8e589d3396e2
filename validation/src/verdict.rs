//! What a check found, what was demanded, and whether that is enough.

use std::fmt::Write;

/// One demand.
#[derive(Debug, Clone)]
pub struct Demand {
    /// What is demanded, in words, with its bounds.
    pub says: String,
    /// What was found, in words.
    pub found: String,
    /// How it went.
    pub went: Went,
}

/// How a demand went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Went {
    /// Met.
    Met,
    /// Not met: the check fails.
    Failed,
    /// Known not to be there yet; listed, and no reason to fail until it is switched on.
    Missing,
}

impl Demand {
    /// A number that must lie in bounds. A number that is none fails.
    #[must_use]
    pub fn within(says: impl Into<String>, found: f64, (low, high): (f64, f64)) -> Demand {
        let went = if (low..=high).contains(&found) { Went::Met } else { Went::Failed };
        let bounds =
            if high.is_finite() { format!("{low:.3} to {high:.3}") } else { format!("at least {low:.3}") };
        Demand { says: format!("{}: {bounds}", says.into()), found: format!("{found:.3}"), went }
    }
}

/// Rows under a head.
#[derive(Debug, Clone)]
pub struct Table {
    /// The names of the columns.
    pub head: Vec<&'static str>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

/// What one check found.
#[derive(Debug, Clone)]
pub struct Check {
    /// Its name.
    pub name: &'static str,
    /// What was done, in a sentence or two.
    pub about: String,
    /// What was measured.
    pub table: Table,
    /// What was demanded of it.
    pub demands: Vec<Demand>,
}

impl Check {
    /// Whether no demand failed. A check that demands nothing has not passed.
    #[must_use]
    pub fn passed(&self) -> bool {
        !self.demands.is_empty() && self.demands.iter().all(|it| it.went != Went::Failed)
    }

    /// The demands that failed, one a line.
    #[must_use]
    pub fn complaint(&self) -> String {
        let failed = self.demands.iter().filter(|it| it.went == Went::Failed);
        let lines: Vec<String> = failed.map(|it| format!("{}; found {}", it.says, it.found)).collect();
        format!("{}: {}\n{}", self.name, lines.join("\n  "), self.table.in_words())
    }

    /// The check as a section of a page.
    #[must_use]
    pub fn in_words(&self) -> String {
        let mut text = format!("### {}\n\n{}\n\n{}\n", self.name, self.about, self.table.in_words());
        for it in &self.demands {
            let went = match it.went {
                Went::Met => "met",
                Went::Failed => "**not met**",
                Went::Missing => "**not there yet**",
            };
            // Writing to a string cannot fail.
            let _ = writeln!(text, "- {}; found {}: {went}", it.says, it.found);
        }
        text
    }
}

impl Table {
    /// The table with pipes, its columns in line.
    #[must_use]
    pub fn in_words(&self) -> String {
        let head: Vec<String> = self.head.iter().map(|it| (*it).to_owned()).collect();
        let all = || std::iter::once(&head).chain(&self.rows);
        let width =
            |column: usize| all().filter_map(|row| row.get(column)).map(|it| it.chars().count()).max();
        let widths: Vec<usize> = (0..head.len()).map(|column| width(column).unwrap_or(3).max(3)).collect();
        let line = |row: &Vec<String>| {
            let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:width$}"));
            format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "))
        };
        let rule: Vec<String> = widths.iter().map(|it| "-".repeat(*it)).collect();
        let mut text = line(&head) + &line(&rule);
        text.extend(self.rows.iter().map(line));
        text
    }
}

/// A share as per cent.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(found: f64) -> Check {
        let demands = vec![Demand::within("a share", found, (0.45, 0.55))];
        let table = Table { head: vec!["what", "n"], rows: vec![vec!["one".to_owned(), "2".to_owned()]] };
        Check { name: "a check", about: String::new(), table, demands }
    }

    #[test]
    fn only_a_number_within_its_bounds_is_good_news() {
        assert!(check(0.5).passed());
        for bad in [0.44, 0.56, f64::NAN, f64::INFINITY] {
            assert!(!check(bad).passed(), "{bad}");
            assert!(check(bad).complaint().contains("a share"));
        }
    }

    #[test]
    fn a_check_that_demands_nothing_has_not_passed() {
        assert!(!Check { demands: Vec::new(), ..check(0.5) }.passed());
    }

    #[test]
    fn a_table_keeps_its_columns_in_line() {
        assert_eq!(check(0.5).table.in_words(), "| what | n   |\n| ---- | --- |\n| one  | 2   |\n");
    }
}
