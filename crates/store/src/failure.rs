//! The disk said no.

use std::path::{Path, PathBuf};

/// Why the book could not be read or written. Callers ask what to do next; the
/// words behind it are for a person.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Failure {
    /// No book in that folder.
    #[error("there is no book in {}: make one with `cocoonery try --into` or `cocoonery bring-in --new`", folder.display())]
    NoBook {
        /// The folder.
        folder: PathBuf,
    },
    /// A book is there already, and is left as it is.
    #[error("there is a book in {} already; nothing was changed: choose another folder", folder.display())]
    BookExists {
        /// The folder.
        folder: PathBuf,
    },
    /// Another process writes to this book.
    #[error("the book in {} is open in another program (a running `serve`?{}); nothing was saved: note it there, or stop that one first", folder.display(), pid.map_or(String::new(), |pid| format!(" process {pid}")))]
    Locked {
        /// The folder.
        folder: PathBuf,
        /// The process that holds it, if it could be read.
        pid: Option<u32>,
    },
    /// The folder lies where a book may be lost.
    #[error("{} lies on {what}, where two machines may write to one book and lose entries; nothing was changed: choose a folder on a disk of this machine, or say --i-know-this-folder", folder.display())]
    UnsurePlace {
        /// The folder.
        folder: PathBuf,
        /// What it lies on, in words.
        what: String,
    },
    /// The log of a book is there, but no book.
    #[error("{} belongs to a book that was moved or removed, and holds what was noted last; nothing was changed: put the book back beside it, or move it away", file.display())]
    Orphan {
        /// The log.
        file: PathBuf,
    },
    /// No backup there.
    #[error("there is no backup at {}", file.display())]
    NoBackup {
        /// What was named.
        file: PathBuf,
    },
    /// A file that would be replaced.
    #[error("{} is there already and was left as it is; no backup was made: give this one another name", file.display())]
    Taken {
        /// The file.
        file: PathBuf,
    },
    /// A copy is not what was copied.
    #[error("{} does not hold what the book holds; it does not count as a backup, and no file was made: try once more, and look at the disk", file.display())]
    Differs {
        /// The copy.
        file: PathBuf,
    },
    /// The disk failed in the middle of a note.
    #[error(
        "the disk failed while this was noted ({detail}), and it is not sure whether the note is in the book; everything before it is: note it once more, the same page sent twice is noted once"
    )]
    Unsure {
        /// What the database said.
        detail: String,
    },
    /// The book was opened for looking only.
    #[error("the book was opened for looking only; nothing was saved")]
    ReadOnly,
    /// Made by a newer program.
    #[error(
        "this book was made by a newer program (form {found}; this one knows {known}); nothing was changed: use the newer program"
    )]
    NewerForm {
        /// The form of the book.
        found: i64,
        /// The newest form that this program knows.
        known: i64,
    },
    /// Not a book of ours.
    #[error("{} is no book of this program; it was left as it is", file.display())]
    NotABook {
        /// The file.
        file: PathBuf,
    },
    /// No room.
    #[error(
        "the disk is full; nothing of this note was saved, everything before it is safe: make room and note it once more"
    )]
    Full,
    /// Somebody else was writing for too long.
    #[error("the book was busy; nothing of this note was saved: note it once more")]
    Busy,
    /// The file cannot be what was written.
    #[error(
        "the book is damaged ({detail}); nothing was saved: keep a copy of the folder and run `cocoonery check`, then `cocoonery salvage --into FOLDER`"
    )]
    Damaged {
        /// What the database said.
        detail: String,
    },
    /// Folder or file cannot be used.
    #[error("{} cannot be used ({detail}); nothing was saved", folder.display())]
    Folder {
        /// The folder.
        folder: PathBuf,
        /// What the system said.
        detail: String,
    },
    /// Anything else.
    #[error("the book could not be read or written ({detail}); nothing of this note was saved")]
    Other {
        /// What the database said.
        detail: String,
    },
}

impl Failure {
    pub(crate) fn folder(folder: &Path, error: &std::io::Error) -> Failure {
        if error.kind() == std::io::ErrorKind::StorageFull {
            return Failure::Full;
        }
        Failure::Folder { folder: folder.to_owned(), detail: error.to_string() }
    }

    /// Worth trying again in a moment?
    #[must_use]
    pub fn is_busy(&self) -> bool {
        matches!(self, Failure::Busy)
    }

    /// Open elsewhere?
    #[must_use]
    pub fn is_locked(&self) -> bool {
        matches!(self, Failure::Locked { .. })
    }

    /// Made by a newer program?
    #[must_use]
    pub fn is_newer(&self) -> bool {
        matches!(self, Failure::NewerForm { .. })
    }

    /// Does `check` have something to say about it?
    #[must_use]
    pub fn is_damage(&self) -> bool {
        matches!(self, Failure::Damaged { .. } | Failure::NotABook { .. })
    }
}

impl From<rusqlite::Error> for Failure {
    fn from(error: rusqlite::Error) -> Failure {
        use rusqlite::ErrorCode as Code;
        let detail = error.to_string();
        match error.sqlite_error_code() {
            // A value of another type or letters that are no letters: nobody wrote that.
            _ if matches!(
                error,
                rusqlite::Error::FromSqlConversionFailure(..)
                    | rusqlite::Error::InvalidColumnType(..)
                    | rusqlite::Error::IntegralValueOutOfRange(..)
            ) =>
            {
                Failure::Damaged { detail }
            }
            Some(Code::DiskFull) => Failure::Full,
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => Failure::Busy,
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => Failure::Damaged { detail },
            _ => Failure::Other { detail },
        }
    }
}
