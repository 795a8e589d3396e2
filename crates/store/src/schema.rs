//! The form of the file and the promises asked of the database.

use crate::failure::Failure;
use rusqlite::Connection;
use std::path::PathBuf;
use std::time::Duration;

/// The form of the file that this program writes.
pub(crate) const FORM: i64 = 1;
/// Marks the file as ours ("Coco").
const APPLICATION: i64 = 0x436f_636f;

const CREATE: &str = "
    CREATE TABLE entry (
        seq         INTEGER PRIMARY KEY,
        id          BLOB    NOT NULL UNIQUE CHECK (length(id) = 16),
        happened_us INTEGER NOT NULL,
        zone        TEXT    NOT NULL,
        wall        TEXT    NOT NULL,
        noted_us    INTEGER NOT NULL,
        by          TEXT    NOT NULL,
        kind        TEXT    NOT NULL,
        what        TEXT    NOT NULL CHECK (json_valid(what)),
        hash        BLOB    NOT NULL CHECK (length(hash) = 32)
    ) STRICT;
    CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
    -- For a person with a database shell.
    CREATE VIEW entry_to_read AS
        SELECT seq, wall, zone, by, kind, what, lower(hex(id)) AS id, lower(hex(hash)) AS hash FROM entry;
    CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
        BEGIN SELECT raise(ABORT, 'entries are never changed'); END;
    CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
        BEGIN SELECT raise(ABORT, 'entries are never deleted'); END;
";

/// Asks the database for the promises that this crate makes.
pub(crate) fn settle(connection: &Connection) -> Result<(), Failure> {
    settle_in(connection, "WAL", sync_level())
}

/// The same for a file that takes its name only when it is whole: no log beside it.
pub(crate) fn settle_scratch(connection: &Connection) -> Result<(), Failure> {
    settle_in(connection, "DELETE", "FULL")
}

fn settle_in(connection: &Connection, journal: &str, sync: &str) -> Result<(), Failure> {
    connection.busy_timeout(Duration::from_secs(5))?;
    connection.pragma_update(None, "journal_mode", journal)?;
    connection.pragma_update(None, "synchronous", sync)?;
    // On systems where a plain sync does not reach the disk.
    connection.pragma_update(None, "fullfsync", true)?;
    connection.pragma_update(None, "checkpoint_fullfsync", true)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.pragma_update(None, "cell_size_check", true)?;
    Ok(())
}

#[cfg(not(feature = "weak-sync"))]
fn sync_level() -> &'static str {
    "FULL"
}

/// The torture run must be able to fail: so it may open a book that is not synced.
#[cfg(feature = "weak-sync")]
fn sync_level() -> &'static str {
    if std::env::var_os("COCOONERY_WEAK_SYNC").is_some() { "NORMAL" } else { "FULL" }
}

pub(crate) fn create(connection: &Connection) -> Result<(), Failure> {
    connection.execute_batch(&format!(
        "BEGIN IMMEDIATE; {CREATE} PRAGMA application_id = {APPLICATION}; PRAGMA user_version = {FORM}; COMMIT;"
    ))?;
    Ok(())
}

pub(crate) fn check_version(connection: &Connection) -> Result<(), Failure> {
    let file = || connection.path().map(PathBuf::from).unwrap_or_default();
    let application: i64 = connection.pragma_query_value(None, "application_id", |row| row.get(0))?;
    if application != APPLICATION {
        return Err(Failure::NotABook { file: file() });
    }
    let found: i64 = connection.pragma_query_value(None, "user_version", |row| row.get(0))?;
    match found {
        _ if found > FORM => Err(Failure::NewerForm { found, known: FORM }),
        // No form was ever numbered below 1.
        _ if found < 1 => Err(Failure::NotABook { file: file() }),
        _ => Ok(()),
    }
}
