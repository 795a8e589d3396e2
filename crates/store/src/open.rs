//! The open book, and what happens to it after the disk has said no.

use crate::chain::Link;
use crate::failure::Failure;
use crate::write::{Tail, head, tail_after};
use crate::{BOOK_FILE, lock, place, schema};
use rusqlite::{Connection, OpenFlags};
use std::fs::File;
use std::ops::{Deref, DerefMut};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What a caller means to do with the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Access {
    /// Look only; may be done while somebody else writes.
    Read,
    /// Write; only one process at a time.
    Write,
}

/// An open book.
#[derive(Debug)]
pub struct Store {
    line: Mutex<Line>,
    folder: PathBuf,
    access: Access,
    /// Held for as long as this process may write.
    _lock: Option<File>,
}

/// The connection to the file, with what was last known to be on disk.
#[derive(Debug)]
pub(crate) struct Line {
    connection: Connection,
    /// The newest entry that was called saved.
    pub saved: Link,
    /// A write failed: what this connection believes may not be on disk.
    pub suspect: bool,
}

impl Store {
    /// Opens the book in a folder.
    ///
    /// # Errors
    /// If there is none, if another process writes to it, if it was made by a
    /// newer program, or if it cannot be read. A book is never replaced by an
    /// empty one.
    pub fn open(folder: &Path, access: Access) -> Result<Store, Failure> {
        if !folder.join(BOOK_FILE).exists() {
            return Err(Failure::NoBook { folder: folder.to_owned() });
        }
        let lock = match access {
            Access::Write => {
                place::must_be_sure(folder)?;
                Some(lock::take(folder)?)
            }
            Access::Read => None,
        };
        Store::open_locked(folder, access, lock)
    }

    pub(crate) fn open_locked(folder: &Path, access: Access, lock: Option<File>) -> Result<Store, Failure> {
        let connection = connect(&folder.join(BOOK_FILE))?;
        // A damaged end is told by whoever reads the book; it is no reason not to look.
        let saved = head(&connection).unwrap_or_default();
        let line = Line { connection, saved, suspect: false };
        Ok(Store { line: Mutex::new(line), folder: folder.to_owned(), access, _lock: lock })
    }

    /// The folder of this book.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    pub(crate) fn must_write(&self) -> Result<(), Failure> {
        if self.access == Access::Read { Err(Failure::ReadOnly) } else { Ok(()) }
    }

    /// The line to the file; after a failed write a fresh one that was compared first.
    pub(crate) fn line(&self) -> Result<MutexGuard<'_, Line>, Failure> {
        // A panic elsewhere cannot leave the connection half changed: every
        // change is one transaction, which is rolled back when it is dropped.
        let mut line = self.line.lock().unwrap_or_else(PoisonError::into_inner);
        if line.suspect {
            line.again(&self.folder.join(BOOK_FILE))?;
        }
        Ok(line)
    }

    pub(crate) fn file(&self) -> PathBuf {
        self.folder.join(BOOK_FILE)
    }
}

impl Line {
    /// Drops the connection, opens the file anew and compares its end with what
    /// was last called saved. A sync that failed once may report success when
    /// it is asked again without having written anything, so what the old
    /// connection believes is not asked.
    pub fn again(&mut self, file: &Path) -> Result<Tail, Failure> {
        self.connection = Connection::open_in_memory()?;
        let connection = connect(file)?;
        let tail = tail_after(&connection, &self.saved)?;
        if tail == Tail::Other {
            let detail = "its end is not what was saved before".to_owned();
            return Err(Failure::Damaged { detail });
        }
        if tail == Tail::Longer {
            // Written again into the main file, and that one synced.
            settle_log(&connection)?;
            self.saved = head(&connection)?;
        }
        self.connection = connection;
        self.suspect = false;
        Ok(tail)
    }
}

impl Deref for Line {
    type Target = Connection;
    fn deref(&self) -> &Connection {
        &self.connection
    }
}

impl DerefMut for Line {
    fn deref_mut(&mut self) -> &mut Connection {
        &mut self.connection
    }
}

fn connect(file: &Path) -> Result<Connection, Failure> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(file, flags)?;
    schema::settle(&connection)?;
    schema::check_version(&connection)?;
    Ok(connection)
}

/// Moves the whole log into the main file and syncs it.
fn settle_log(connection: &Connection) -> Result<(), Failure> {
    let busy: i64 = connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0))?;
    if busy == 0 { Ok(()) } else { Err(Failure::Busy) }
}
