//! Appending: all of a note or nothing of it.

use crate::chain::{Link, START, hex, link};
use crate::failure::Failure;
use crate::open::{Line, Store};
use crate::row::{COLUMNS, Row};
use crate::seal;
use rearing::Entry;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use uuid::Uuid;

/// What became of an append.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Appended {
    /// Saved and synced; this many were new, the others were there already.
    Saved {
        /// How many were new.
        new: usize,
    },
    /// An entry with this id is there with other content; nothing was saved.
    OtherContent {
        /// The id.
        id: Uuid,
    },
}

/// How the end of the file stands to what was last called saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tail {
    /// It ends there.
    Same,
    /// More was written after it.
    Longer,
    /// What was saved is not there any more.
    Other,
}

impl Store {
    /// Appends entries in their order, all or none. An entry that is there
    /// already, to the letter, counts as saved, so that sending twice is
    /// noting once. When this returns, the disk has it.
    ///
    /// # Errors
    /// Any [`Failure`]; nothing was saved then, except for
    /// [`Failure::Unsure`], where sending once more settles it.
    pub fn append(&self, entries: &[Entry]) -> Result<Appended, Failure> {
        self.must_write()?;
        let mut line = self.line()?;
        match write_all(&mut line, entries) {
            Ok((appended, head)) => {
                line.saved = head;
                Ok(appended)
            }
            Err(failure) if failure.is_busy() => Err(failure),
            Err(failure) => self.after_a_failed_write(&mut line, entries, failure),
        }
    }

    /// Stops, opens the file anew, and looks what is there.
    fn after_a_failed_write(
        &self,
        line: &mut Line,
        entries: &[Entry],
        failure: Failure,
    ) -> Result<Appended, Failure> {
        line.suspect = true;
        match line.again(&self.file()) {
            Ok(Tail::Longer) if all_there(line, entries)? => Ok(Appended::Saved { new: entries.len() }),
            Ok(_) => Err(failure),
            Err(Failure::Damaged { detail }) => Err(Failure::Damaged { detail }),
            Err(_) => Err(Failure::Unsure { detail: failure.to_string() }),
        }
    }

    /// Remembers a setting of the book, such as its zone.
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn put_about(&self, key: &str, value: &str) -> Result<(), Failure> {
        self.must_write()?;
        let mut line = self.line()?;
        let mut put = || {
            let write = line.transaction_with_behavior(TransactionBehavior::Immediate)?;
            seal::put(&write, &[(key, value)])?;
            Ok(write.commit()?)
        };
        let done: Result<(), Failure> = put();
        line.suspect = done.as_ref().is_err_and(|it| !it.is_busy());
        done
    }
}

/// Writes entries in one go and hands back where the chain then ends.
pub(crate) fn write_all(connection: &mut Connection, entries: &[Entry]) -> Result<(Appended, Link), Failure> {
    let write = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let before = head(&write)?;
    let mut head = before;
    let mut new = 0;
    for entry in entries {
        let row = Row::of(entry).map_err(|it| Failure::Other { detail: it.to_string() })?;
        match same_id(&write, &row.id)? {
            Some(known) if known == row => continue,
            Some(_) => return Ok((Appended::OtherContent { id: entry.id }, before)),
            None => {}
        }
        head = link(&head, &row);
        write
            .prepare_cached(
                "INSERT INTO entry (id, happened_us, zone, wall, noted_us, by, kind, what, hash)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                row.id,
                row.happened_us,
                row.zone,
                row.wall,
                row.noted_us,
                row.by,
                row.kind,
                row.what,
                head
            ])?;
        new += 1;
    }
    if new > 0 {
        // Kept apart from the table, so that entries cut off at its end show too.
        seal::put(&write, &[("head", &hex(&head))])?;
    }
    write.commit()?;
    Ok((Appended::Saved { new }, head))
}

pub(crate) fn head(connection: &Connection) -> Result<Link, Failure> {
    let hash = connection
        .query_row("SELECT hash FROM entry ORDER BY seq DESC LIMIT 1", [], |row| row.get::<_, Link>(0))
        .optional()?;
    Ok(hash.unwrap_or(START))
}

/// How the end of the file stands to an entry that was called saved.
pub(crate) fn tail_after(connection: &Connection, saved: &Link) -> Result<Tail, Failure> {
    if head(connection)? == *saved {
        return Ok(Tail::Same);
    }
    let there = *saved == START
        || connection.query_row(
            "SELECT EXISTS (SELECT 1 FROM entry WHERE hash = ?1)",
            params![saved],
            |row| row.get::<_, bool>(0),
        )?;
    Ok(if there { Tail::Longer } else { Tail::Other })
}

fn all_there(connection: &Connection, entries: &[Entry]) -> Result<bool, Failure> {
    for entry in entries {
        let row = Row::of(entry).map_err(|it| Failure::Other { detail: it.to_string() })?;
        if same_id(connection, &row.id)?.as_ref() != Some(&row) {
            return Ok(false);
        }
    }
    Ok(true)
}

fn same_id(connection: &Connection, id: &[u8; 16]) -> Result<Option<Row>, Failure> {
    let mut statement = connection.prepare_cached(&format!("SELECT {COLUMNS} FROM entry WHERE id = ?1"))?;
    Ok(statement.query_row(params![id], Row::read).optional()?)
}
