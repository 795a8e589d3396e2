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
    #[error("the book in {} is open in another program (a running `serve`?); nothing was saved: note it there, or stop that one first", folder.display())]
    Locked {
        /// The folder.
        folder: PathBuf,
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
        "the book is damaged ({detail}); nothing was saved: keep a copy of the folder and run `cocoonery check`"
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
            Some(Code::DiskFull) => Failure::Full,
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => Failure::Busy,
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => Failure::Damaged { detail },
            _ => Failure::Other { detail },
        }
    }
}
