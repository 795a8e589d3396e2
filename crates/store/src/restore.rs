//! A book out of a backup.

use crate::backup::{AT, ENTRIES, HEAD, Manifest, head_of};
use crate::failure::Failure;
use crate::make::{empty_place, name_it, remove_scratch};
use crate::read::{about, faults_of};
use crate::{NEW_FILE, schema};
use rusqlite::Connection;
use std::path::Path;

/// Makes a book in a folder that has none out of a backup, which is only read.
/// The book takes its name when it has been checked whole.
///
/// # Errors
/// If there is a book already, if the file is no backup, or if it is damaged;
/// then no book was made.
pub fn restore(backup: &Path, folder: &Path) -> Result<Manifest, Failure> {
    if !backup.is_file() {
        return Err(Failure::NoBackup { file: backup.to_owned() });
    }
    let _lock = empty_place(folder)?;
    let new = folder.join(NEW_FILE);
    let copied = std::fs::copy(backup, &new).map_err(|error| Failure::folder(folder, &error));
    let manifest = copied.and_then(|_| look_over(&new, backup)).and_then(|manifest| {
        name_it(folder, &new)?;
        Ok(manifest)
    });
    if manifest.is_err() {
        // A half-made file never has the name of a book; the next try removes what is left.
        let _ = remove_scratch(&new);
    }
    manifest
}

fn look_over(new: &Path, backup: &Path) -> Result<Manifest, Failure> {
    let connection = Connection::open(new)?;
    schema::settle_scratch(&connection)?;
    let (entries, head) = prove(&connection)?;
    let no_backup = || Failure::NotABook { file: backup.to_owned() };
    let told = |key| about(&connection, key)?.ok_or_else(no_backup);
    let at = told(AT)?.parse().map_err(|_| no_backup())?;
    if told(ENTRIES)? != entries.to_string() || told(HEAD)? != head {
        return Err(Failure::Differs { file: backup.to_owned() });
    }
    Ok(Manifest { entries, head, at })
}

/// Looks a closed file over in every way there is: how many entries, and the newest hash.
pub(crate) fn prove(connection: &Connection) -> Result<(u64, String), Failure> {
    schema::check_version(connection)?;
    if let Some(fault) = faults_of(connection).into_iter().next() {
        let place =
            if fault.seq > 0 { format!("entry {} of {}: ", fault.seq, fault.wall) } else { String::new() };
        return Err(Failure::Damaged { detail: format!("{place}{}", fault.problem) });
    }
    let n: i64 = connection.query_row("SELECT count(*) FROM entry", [], |row| row.get(0))?;
    Ok((u64::try_from(n).unwrap_or(0), head_of(connection)?))
}
