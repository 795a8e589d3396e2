//! Reading the book back, and looking whether it is what was written.

use crate::Store;
use crate::chain::{Link, START, link};
use crate::failure::Failure;
use crate::row::Row;
use crate::write::hex;
use rearing::Entry;
use rusqlite::{OptionalExtension, params};
use uuid::Uuid;

/// Something in the book that is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Place in the book, from 1; 0 for the book as a whole.
    pub seq: i64,
    /// The entry, if its id could be read.
    pub id: Option<Uuid>,
    /// The keeper's day as written there.
    pub wall: String,
    /// What is wrong.
    pub problem: Problem,
}

/// What can be wrong with an entry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Problem {
    /// The entry, or one before it, was changed, dropped or swapped.
    #[error(
        "its hash does not follow from the entry before: it, or the one before, was changed after it was written"
    )]
    BrokenChain,
    /// The entry cannot be read.
    #[error("it cannot be read ({0})")]
    Unreadable(String),
    /// The end of the book was cut off or replaced.
    #[error("the book does not end where it was last closed: entries are missing at its end")]
    WrongEnd,
    /// The database itself finds fault.
    #[error("the file is damaged ({0})")]
    File(String),
}

pub(crate) fn row_of(row: &rusqlite::Row<'_>) -> rusqlite::Result<Row> {
    Ok(Row {
        id: row.get(0)?,
        happened_us: row.get(1)?,
        zone: row.get(2)?,
        wall: row.get(3)?,
        noted_us: row.get(4)?,
        by: row.get(5)?,
        kind: row.get(6)?,
        what: row.get(7)?,
    })
}

const COLUMNS: &str = "id, happened_us, zone, wall, noted_us, by, kind, what";

impl Store {
    /// All entries after a place in the book, in the order in which they were noted.
    ///
    /// # Errors
    /// Any [`Failure`]; an entry that cannot be read is damage, never skipped.
    pub fn entries_after(&self, seq: i64) -> Result<Vec<Entry>, Failure> {
        let connection = self.connection();
        let mut statement = connection
            .prepare_cached(&format!("SELECT {COLUMNS}, seq FROM entry WHERE seq > ?1 ORDER BY seq"))?;
        let rows = statement.query_map(params![seq], |row| Ok((row_of(row)?, row.get::<_, i64>(8)?)))?;
        rows.map(|row| {
            let (row, seq) = row?;
            row.entry().map_err(|it| Failure::Damaged { detail: format!("entry {seq} {it}") })
        })
        .collect()
    }

    /// All entries of the book.
    ///
    /// # Errors
    /// As [`Store::entries_after`].
    pub fn entries(&self) -> Result<Vec<Entry>, Failure> {
        self.entries_after(0)
    }

    /// How many entries there are.
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn len(&self) -> Result<u64, Failure> {
        let n: i64 = self.connection().query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?;
        Ok(u64::try_from(n).unwrap_or(0))
    }

    /// Is the book still empty?
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn is_empty(&self) -> Result<bool, Failure> {
        Ok(self.len()? == 0)
    }

    /// A setting of the book; `Ok(None)` if it was never made.
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn about(&self, key: &str) -> Result<Option<String>, Failure> {
        let connection = self.connection();
        let mut statement = connection.prepare_cached("SELECT value FROM about WHERE key = ?1")?;
        Ok(statement.query_row(params![key], |row| row.get(0)).optional()?)
    }

    /// Reads the whole book and recomputes every hash. Empty means that every
    /// entry is as it was written.
    ///
    /// # Errors
    /// Only if the book cannot be read at all.
    pub fn check(&self) -> Result<Vec<Fault>, Failure> {
        let mut faults = self.check_file()?;
        let end = self.about("head")?;
        let connection = self.connection();
        let mut statement =
            connection.prepare(&format!("SELECT {COLUMNS}, seq, hash FROM entry ORDER BY seq"))?;
        let mut rows = statement.query([])?;
        let mut previous: Link = START;
        while let Some(row) = rows.next()? {
            let seq: i64 = row.get(8)?;
            let (Ok(read), Ok(hash)) = (row_of(row), row.get::<_, Link>(9)) else {
                let problem = Problem::Unreadable("a column has another shape".to_owned());
                faults.push(Fault { seq, id: None, wall: String::new(), problem });
                continue;
            };
            let fault = |problem| Fault {
                seq,
                id: Some(Uuid::from_bytes(read.id)),
                wall: read.wall.clone(),
                problem,
            };
            if link(&previous, &read) != hash {
                faults.push(fault(Problem::BrokenChain));
            }
            if let Err(unreadable) = read.entry() {
                faults.push(fault(Problem::Unreadable(unreadable.to_string())));
            }
            previous = hash;
        }
        let written = if previous == START { None } else { Some(hex(&previous)) };
        if written != end {
            faults.push(Fault { seq: 0, id: None, wall: String::new(), problem: Problem::WrongEnd });
        }
        Ok(faults)
    }

    fn check_file(&self) -> Result<Vec<Fault>, Failure> {
        let connection = self.connection();
        let mut statement = connection.prepare("PRAGMA integrity_check(20)")?;
        let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
        let mut faults = Vec::new();
        for line in lines {
            let line = line?;
            if line != "ok" {
                faults.push(Fault { seq: 0, id: None, wall: String::new(), problem: Problem::File(line) });
            }
        }
        Ok(faults)
    }
}
