//! A backup is a restore that worked.

use crate::chain::{Link, hex};
use crate::failure::Failure;
use crate::make::{put_in_place, remove_scratch};
use crate::open::Store;
use crate::restore::{prove, restore};
use crate::row::{COLUMNS, Row};
use crate::{BOOK_FILE, schema, seal};
use jiff::Timestamp;
use rusqlite::{Connection, params};
use std::path::{Path, PathBuf};

/// What a backup holds, written inside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Manifest {
    /// How many entries.
    pub entries: u64,
    /// The hash of the newest, which stands for all of them.
    pub head: String,
    /// When it was made.
    pub at: Timestamp,
}

pub(crate) const ENTRIES: &str = "backup_entries";
pub(crate) const HEAD: &str = "backup_head";
pub(crate) const AT: &str = "backup_at";

impl Store {
    /// Backs the book up into one file, safe while others write: takes a
    /// consistent copy, restores it into a scratch folder beside it, compares
    /// every entry with this book, and only then gives the file its name.
    ///
    /// # Errors
    /// If the file is there already, cannot be written, or does not compare; then there is no file of that name.
    pub fn back_up(&self, file: &Path, at: Timestamp) -> Result<Manifest, Failure> {
        if file.exists() {
            return Err(Failure::Taken { file: file.to_owned() });
        }
        let unusable = |error: &std::io::Error| Failure::folder(file, error);
        let (part, trial) = (beside(file, ".part"), beside(file, ".trial"));
        let clear = || -> std::io::Result<()> {
            remove_scratch(&part)?;
            if trial.exists() { std::fs::remove_dir_all(&trial) } else { Ok(()) }
        };
        clear().map_err(|error| unusable(&error))?;
        let made = self.copy_and_compare(&part, &trial, at);
        let named = made.and_then(|manifest| {
            put_in_place(&part, file).map_err(|error| unusable(&error))?;
            Ok(manifest)
        });
        // What is left over says nothing about the backup itself.
        let _ = clear();
        named
    }

    fn copy_and_compare(&self, part: &Path, trial: &Path, at: Timestamp) -> Result<Manifest, Failure> {
        self.line()?.execute("VACUUM INTO ?1", params![part.to_string_lossy()])?;
        let copy = Connection::open(part)?;
        schema::settle_scratch(&copy)?;
        let (entries, head) = prove(&copy)?;
        let manifest = Manifest { entries, head, at };
        let (n, at) = (manifest.entries.to_string(), manifest.at.to_string());
        let write = copy.unchecked_transaction()?;
        seal::put(&write, &[(ENTRIES, &n), (HEAD, &manifest.head), (AT, &at)])?;
        write.commit()?;
        drop(copy);
        if restore(part, trial)? != manifest {
            return Err(Failure::Differs { file: part.to_owned() });
        }
        let restored = Connection::open(trial.join(BOOK_FILE))?;
        schema::settle(&restored)?;
        compare(&*self.line()?, &restored, part)?;
        Ok(manifest)
    }
}

/// Every row of the copy is in the book, in the same place; a book only grows, so the copy is a point of its history.
fn compare(book: &Connection, copy: &Connection, part: &Path) -> Result<(), Failure> {
    let rows = format!("SELECT {COLUMNS}, hash, seq FROM entry ORDER BY seq");
    let (mut book, mut copy) = (book.prepare(&rows)?, copy.prepare(&rows)?);
    let (mut book, mut copy) = (book.query([])?, copy.query([])?);
    let read = |row: &rusqlite::Row<'_>| -> rusqlite::Result<(Row, Link, i64)> {
        Ok((Row::read(row)?, row.get(8)?, row.get(9)?))
    };
    while let Some(row) = copy.next()? {
        let same = match book.next()? {
            Some(other) => read(row)? == read(other)?,
            None => false,
        };
        if !same {
            return Err(Failure::Differs { file: part.to_owned() });
        }
    }
    Ok(())
}

fn beside(file: &Path, end: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

/// The newest hash of a file, in letters.
pub(crate) fn head_of(connection: &Connection) -> Result<String, Failure> {
    Ok(hex(&crate::write::head(connection)?))
}
