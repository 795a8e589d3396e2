//! Reading the book back, and looking whether it is what was written.

use crate::chain::{Link, START, hex};
use crate::failure::Failure;
use crate::open::Store;
use crate::row::{COLUMNS, Row};
use crate::scan;
use crate::seal;
use crate::sound::{Judged, judge};
use rearing::Entry;
use rusqlite::{Connection, OptionalExtension, params};
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
    /// Its number does not follow.
    #[error("its number does not follow from the entry before")]
    OutOfPlace,
    /// The end of the book was cut off or replaced.
    #[error("the book does not end where it was last closed: entries are missing at its end")]
    WrongEnd,
    /// A setting was changed.
    #[error("a setting of the book (its time zone, its notice) was changed after it was written")]
    BrokenSeal,
    /// The database itself finds fault.
    #[error("the file is damaged ({0})")]
    File(String),
}

/// The book as it reads: entries that the chain vouches for, and what is wrong with the others.
#[derive(Debug, Clone, Default)]
pub struct AsRead {
    /// Entries that are as they were written, in the order in which they were noted.
    pub entries: Vec<Entry>,
    /// Empty if that is all of them.
    pub faults: Vec<Fault>,
}

impl Fault {
    fn whole(problem: Problem) -> Fault {
        Fault { seq: 0, id: None, wall: String::new(), problem }
    }

    fn of(judged: &Judged) -> Option<Fault> {
        let (id, wall) = match &judged.row {
            Some(row) => (Some(Uuid::from_bytes(row.id)), row.wall.clone()),
            None => (None, String::new()),
        };
        Some(Fault { seq: judged.seq, id, wall, problem: judged.problem.clone()? })
    }
}

impl Store {
    /// All entries after a place in the book, in the order in which they were noted.
    ///
    /// # Errors
    /// Any [`Failure`]; an entry that cannot be read is damage, never skipped.
    pub fn entries_after(&self, seq: i64) -> Result<Vec<Entry>, Failure> {
        let line = self.line()?;
        let mut statement =
            line.prepare_cached(&format!("SELECT {COLUMNS}, seq FROM entry WHERE seq > ?1 ORDER BY seq"))?;
        let rows = statement.query_map(params![seq], |row| Ok((Row::read(row)?, row.get::<_, i64>(8)?)))?;
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

    /// The whole book with its chain worked out anew. Does not ask the database
    /// to look over the whole file, as [`Store::check`] does.
    ///
    /// # Errors
    /// Only if the book cannot be read at all.
    pub fn read(&self) -> Result<AsRead, Failure> {
        let line = self.line()?;
        let still = line.unchecked_transaction()?;
        let (judged, faults) = read_and_judge(&still);
        let entries = judged.into_iter().filter_map(|it| it.sound).collect();
        Ok(AsRead { entries, faults })
    }

    /// How many entries there are.
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn len(&self) -> Result<u64, Failure> {
        let n: i64 = self.line()?.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?;
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
        about(&*self.line()?, key)
    }

    /// Reads the whole book and recomputes every hash. Empty means that every
    /// entry is as it was written.
    ///
    /// # Errors
    /// Only if the book cannot be read at all.
    pub fn check(&self) -> Result<Vec<Fault>, Failure> {
        let line = self.line()?;
        let still = line.unchecked_transaction()?;
        Ok(faults_of(&still))
    }
}

/// All that can be found wrong in a file.
pub(crate) fn faults_of(connection: &Connection) -> Vec<Fault> {
    let mut faults = match look_over(connection) {
        Ok(faults) => faults,
        Err(error) => vec![Fault::whole(Problem::File(error.to_string()))],
    };
    faults.extend(read_and_judge(connection).1);
    faults
}

/// Every row judged, and what is wrong.
pub(crate) fn read_and_judge(connection: &Connection) -> (Vec<Judged>, Vec<Fault>) {
    let seen = scan::rows(connection);
    let last = seen.last().and_then(|it| it.got.as_ref().ok().map(|(_, hash)| *hash));
    let end = about(connection, "head");
    let ends_there = match (&end, seen.is_empty(), &last) {
        (Ok(None), true, _) => true,
        (Ok(Some(end)), false, Some(last)) => *end == hex(last),
        _ => false,
    };
    let judged = judge(seen, end.ok().flatten().and_then(|it| link_of(&it)));
    let mut faults: Vec<Fault> = judged.iter().filter_map(Fault::of).collect();
    if !ends_there {
        faults.push(Fault::whole(Problem::WrongEnd));
    }
    match seal::holds(connection) {
        Ok(true) => {}
        Ok(false) => faults.push(Fault::whole(Problem::BrokenSeal)),
        Err(error) => faults.push(Fault::whole(Problem::File(error.to_string()))),
    }
    (judged, faults)
}

pub(crate) fn about(connection: &Connection, key: &str) -> Result<Option<String>, Failure> {
    let mut statement = connection.prepare_cached("SELECT value FROM about WHERE key = ?1")?;
    Ok(statement.query_row(params![key], |row| row.get(0)).optional()?)
}

fn look_over(connection: &Connection) -> Result<Vec<Fault>, Failure> {
    let mut statement = connection.prepare("PRAGMA integrity_check(20)")?;
    let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
    let mut faults = Vec::new();
    for line in lines {
        let line = line?;
        if line != "ok" {
            faults.push(Fault::whole(Problem::File(line)));
        }
    }
    Ok(faults)
}

fn link_of(hex: &str) -> Option<Link> {
    let mut link = START;
    if hex.len() != 2 * link.len() || !hex.is_ascii() {
        return None;
    }
    for (byte, at) in link.iter_mut().zip((0..hex.len()).step_by(2)) {
        *byte = u8::from_str_radix(hex.get(at..at + 2)?, 16).ok()?;
    }
    Some(link)
}
