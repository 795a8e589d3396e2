//! Keeps the book on disk: append, read, check, back up, restore, salvage.
//!
//! One table of entries, each hashed together with the one before, in a SQLite
//! file with a write-ahead log that is synced before an entry is called saved.
//! Knows nothing of pages or models; what an entry *means* is `rearing`'s.

mod backup;
mod chain;
mod failure;
mod lock;
mod make;
mod open;
mod place;
mod read;
mod restore;
mod row;
mod salvage;
mod scan;
mod schema;
mod seal;
mod sound;
mod write;

pub use backup::Manifest;
pub use failure::Failure;
pub use open::{Access, Store};
pub use place::know_this_folder;
pub use read::{AsRead, Fault, Problem};
pub use restore::restore;
pub use salvage::{Lost, Salvaged};
pub use write::Appended;

/// The file that holds the book, inside its folder.
pub const BOOK_FILE: &str = "book.sqlite";
/// The log that belongs to it; empty or gone while nobody has the book open.
pub(crate) const LOG_FILE: &str = "book.sqlite-wal";
/// The book while it is being made; takes its name only when it is whole.
pub(crate) const NEW_FILE: &str = "book.sqlite.new";
