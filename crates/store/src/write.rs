//! Appending: all of a note or nothing of it.

use crate::chain::{Link, START, link};
use crate::failure::Failure;
use crate::row::Row;
use crate::{Access, Store};
use rearing::Entry;
use rusqlite::{Connection, OptionalExtension, TransactionBehavior, params};
use std::path::Path;
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

impl Store {
    /// Appends entries in their order, all or none. An entry that is there
    /// already, to the letter, counts as saved, so that sending twice is
    /// noting once. When this returns, the disk has it.
    ///
    /// # Errors
    /// Any [`Failure`]; nothing was saved then.
    pub fn append(&self, entries: &[Entry]) -> Result<Appended, Failure> {
        if self.access == Access::Read {
            return Err(Failure::ReadOnly);
        }
        let mut connection = self.connection();
        let write = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut head = head(&write)?;
        let mut new = 0;
        for entry in entries {
            let row = Row::of(entry).map_err(|it| Failure::Other { detail: it.to_string() })?;
            match same_id(&write, &row)? {
                Some(known) if known == row => continue,
                Some(_) => return Ok(Appended::OtherContent { id: entry.id }),
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
            put_about(&write, "head", &hex(&head))?;
        }
        write.commit()?;
        Ok(Appended::Saved { new })
    }

    /// Remembers a setting of the book, such as its zone.
    ///
    /// # Errors
    /// Any [`Failure`].
    pub fn put_about(&self, key: &str, value: &str) -> Result<(), Failure> {
        if self.access == Access::Read {
            return Err(Failure::ReadOnly);
        }
        put_about(&self.connection(), key, value)
    }

    /// A consistent copy of the book as one file, safe while others write.
    ///
    /// # Errors
    /// If the file exists already or cannot be written.
    pub fn copy_to(&self, file: &Path) -> Result<(), Failure> {
        let target = file.to_string_lossy();
        self.connection().execute("VACUUM INTO ?1", params![target])?;
        Ok(())
    }
}

fn put_about(connection: &Connection, key: &str, value: &str) -> Result<(), Failure> {
    connection.execute(
        "INSERT INTO about (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = ?2",
        params![key, value],
    )?;
    Ok(())
}

fn head(connection: &Connection) -> Result<Link, Failure> {
    let hash = connection
        .query_row("SELECT hash FROM entry ORDER BY seq DESC LIMIT 1", [], |row| row.get::<_, Link>(0))
        .optional()?;
    Ok(hash.unwrap_or(START))
}

fn same_id(connection: &Connection, row: &Row) -> Result<Option<Row>, Failure> {
    let mut statement = connection.prepare_cached(
        "SELECT id, happened_us, zone, wall, noted_us, by, kind, what FROM entry WHERE id = ?1",
    )?;
    Ok(statement.query_row(params![row.id], crate::read::row_of).optional()?)
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write;
    bytes.iter().fold(String::new(), |mut text, byte| {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}
