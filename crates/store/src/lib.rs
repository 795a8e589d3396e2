//! Keeps the book on disk: append, read, check, back up.
//!
//! One table of entries, each hashed together with the one before, in a SQLite
//! file with a write-ahead log that is synced before an entry is called saved.
//! Knows nothing of pages or models; what an entry *means* is `rearing`'s.

mod chain;
mod failure;
mod read;
mod row;
mod schema;
mod write;

pub use failure::Failure;
pub use read::{Fault, Problem};
pub use write::Appended;

use rusqlite::Connection;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The file that holds the book, inside its folder.
pub const BOOK_FILE: &str = "book.sqlite";
const LOCK_FILE: &str = "book.lock";

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
    connection: Mutex<Connection>,
    folder: PathBuf,
    access: Access,
    /// Held for as long as this process may write; the system lets go of it
    /// even when the process is killed.
    _lock: Option<File>,
}

impl Store {
    /// Makes an empty book in a folder that has none.
    ///
    /// # Errors
    /// If there is a book already, or the folder cannot be written.
    pub fn create(folder: &Path) -> Result<Store, Failure> {
        std::fs::create_dir_all(folder).map_err(|error| Failure::folder(folder, &error))?;
        if folder.join(BOOK_FILE).exists() {
            return Err(Failure::BookExists { folder: folder.to_owned() });
        }
        let lock = Some(take_lock(folder)?);
        let connection = Connection::open(folder.join(BOOK_FILE))?;
        schema::settle(&connection)?;
        schema::create(&connection)?;
        Ok(Store {
            connection: Mutex::new(connection),
            folder: folder.to_owned(),
            access: Access::Write,
            _lock: lock,
        })
    }

    /// Opens the book in a folder.
    ///
    /// # Errors
    /// If there is none, if another process writes to it, if it was made by a
    /// newer program, or if it cannot be read. A book is never replaced by an
    /// empty one.
    pub fn open(folder: &Path, access: Access) -> Result<Store, Failure> {
        let file = folder.join(BOOK_FILE);
        if !file.exists() {
            return Err(Failure::NoBook { folder: folder.to_owned() });
        }
        let lock = match access {
            Access::Write => Some(take_lock(folder)?),
            Access::Read => None,
        };
        let connection = Connection::open_with_flags(
            &file,
            rusqlite::OpenFlags::SQLITE_OPEN_READ_WRITE | rusqlite::OpenFlags::SQLITE_OPEN_NO_MUTEX,
        )?;
        schema::settle(&connection)?;
        schema::check_version(&connection)?;
        Ok(Store { connection: Mutex::new(connection), folder: folder.to_owned(), access, _lock: lock })
    }

    /// The folder of this book.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    fn connection(&self) -> MutexGuard<'_, Connection> {
        // A panic elsewhere cannot leave the connection half changed: every
        // change is one transaction, which is rolled back when it is dropped.
        self.connection.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn take_lock(folder: &Path) -> Result<File, Failure> {
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(folder.join(LOCK_FILE))
        .map_err(|error| Failure::folder(folder, &error))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(std::fs::TryLockError::WouldBlock) => Err(Failure::Locked { folder: folder.to_owned() }),
        Err(std::fs::TryLockError::Error(error)) => Err(Failure::folder(folder, &error)),
    }
}
