//! Is every animal accounted for, and every entry as it was written?

use crate::failure::Failure;
use crate::say;
use rearing::replay;
use std::fmt;
use std::path::Path;
use store::{Access, Store};

/// Something that `check` found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The entry, by its id, if one can be named.
    pub entry: Option<String>,
    /// Its day.
    pub day: Option<String>,
    /// What is wrong.
    pub says: String,
}

impl fmt::Display for Found {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(entry) = &self.entry {
            write!(f, "entry {entry}")?;
            if let Some(day) = &self.day {
                write!(f, " of {day}")?;
            }
            write!(f, ": ")?;
        }
        f.write_str(&self.says)
    }
}

/// Checks the book in a folder. Empty means that all is well.
///
/// # Errors
/// Only if the book cannot be read at all.
pub fn check(folder: &Path) -> Result<Vec<Found>, Failure> {
    let store = Store::open(folder, Access::Read)?;
    let mut found: Vec<Found> = store
        .check()?
        .into_iter()
        .map(|it| Found {
            entry: it.id.map(|id| id.to_string()).or((it.seq > 0).then(|| format!("number {}", it.seq))),
            day: it.wall.parse::<jiff::civil::DateTime>().ok().map(|it| say::long_day(it.date())),
            says: it.problem.to_string(),
        })
        .collect();
    let Ok(entries) = store.entries() else { return Ok(found) };
    match replay(&entries) {
        Ok(house) => {
            for (line, short) in house.unaccounted() {
                let says = format!("line {line}: {short} animals are in no box and have left by no way");
                found.push(Found { entry: None, day: None, says });
            }
        }
        Err(not) => found.push(Found {
            entry: Some(not.id.to_string()),
            day: Some(say::long_day(not.on)),
            says: not.refusal.to_string(),
        }),
    }
    Ok(found)
}
