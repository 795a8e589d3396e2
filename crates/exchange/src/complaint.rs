//! What a reader has to say about a table.

use std::collections::BTreeMap;
use std::fmt;

/// How much a complaint weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// It cannot be brought in; nothing of the season is.
    Refused,
    /// It was not told and had to be concluded; the keeper should look at it.
    Inferred,
    /// It was left out, and nothing is lost by that for the book.
    Unread,
}

/// One sentence about one place in one table.
///
/// ```
/// use exchange::{Complaint, Severity};
/// let it = Complaint {
///     table: "boxes.csv".to_owned(),
///     line: 7,
///     column: Some("floor_cm2".to_owned()),
///     says: "`wide` is no number: write the number alone".to_owned(),
///     severity: Severity::Refused,
/// };
/// assert_eq!(it.to_string(), "boxes.csv, line 7, column floor_cm2: `wide` is no number: write the number alone");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Complaint {
    /// The file name of the table.
    pub table: String,
    /// The line in the file on which the row begins; the header is line 1, and
    /// 0 means that no line is to blame.
    pub line: usize,
    /// The column, where there is one to blame.
    pub column: Option<String>,
    /// What is wrong and what to do.
    pub says: String,
    /// How much it weighs.
    pub severity: Severity,
}

impl Complaint {
    /// Something that cannot be brought in.
    #[must_use]
    pub fn refused(table: &str, line: usize, column: Option<&str>, says: impl Into<String>) -> Complaint {
        Complaint {
            table: table.to_owned(),
            line,
            column: column.map(str::to_owned),
            says: says.into(),
            severity: Severity::Refused,
        }
    }

    /// The same place and words with another weight.
    #[must_use]
    pub fn as_severity(self, severity: Severity) -> Complaint {
        Complaint { severity, ..self }
    }

    /// Does this one keep the season out of the book?
    #[must_use]
    pub fn is_refused(&self) -> bool {
        self.severity == Severity::Refused
    }
}

/// Puts complaints that say the same of one column together, so that a slip
/// that runs through a table is read once.
pub(crate) fn gathered(complaints: Vec<Complaint>) -> Vec<Complaint> {
    const LINES_NAMED: usize = 8;
    let mut kept: Vec<(Complaint, Vec<usize>)> = Vec::new();
    let mut known = BTreeMap::new();
    for it in complaints {
        let key = (it.table.clone(), it.column.clone(), it.says.clone(), it.severity);
        match known.get(&key).and_then(|index: &usize| kept.get_mut(*index)) {
            Some((_, also)) => also.push(it.line),
            None => {
                known.insert(key, kept.len());
                kept.push((it, Vec::new()));
            }
        }
    }
    kept.into_iter()
        .map(|(mut it, also)| {
            let lines: Vec<String> = also.iter().take(LINES_NAMED).map(ToString::to_string).collect();
            match also.len().saturating_sub(LINES_NAMED) {
                _ if also.is_empty() => {}
                0 => it.says = format!("{} (also in line {})", it.says, lines.join(", ")),
                more => it.says = format!("{} (also in line {} and {more} more)", it.says, lines.join(", ")),
            }
            it
        })
        .collect()
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.table)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if let Some(column) = &self.column {
            write!(f, ", column {column}")?;
        }
        write!(f, ": {}", self.says)
    }
}
