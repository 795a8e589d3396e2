//! A book comes into being whole: it takes its name only when it is on disk.

use crate::failure::Failure;
use crate::open::{Access, Store};
use crate::write::write_all;
use crate::{BOOK_FILE, LOG_FILE, NEW_FILE, lock, place, schema, seal};
use rearing::Entry;
use rusqlite::Connection;
use std::fs::File;
use std::path::Path;

impl Store {
    /// Makes an empty book in a folder that has none.
    ///
    /// # Errors
    /// If there is a book already, or the folder cannot be written.
    pub fn create(folder: &Path) -> Result<Store, Failure> {
        Store::create_with(folder, &[], &[])
    }

    /// Makes a book with settings and first entries in a folder that has none:
    /// after a power cut there is the whole of it or none.
    ///
    /// # Errors
    /// If there is a book already, or the folder cannot be written.
    pub fn create_with(folder: &Path, about: &[(&str, &str)], entries: &[Entry]) -> Result<Store, Failure> {
        let lock = empty_place(folder)?;
        let new = folder.join(NEW_FILE);
        let mut connection = Connection::open(&new)?;
        schema::settle_scratch(&connection)?;
        schema::create(&connection)?;
        seal::put(&connection, about)?;
        write_all(&mut connection, entries)?;
        drop(connection);
        name_it(folder, &new)?;
        Store::open_locked(folder, Access::Write, Some(lock))
    }
}

/// Sees that a folder is there and has no book, and takes its lock.
pub(crate) fn empty_place(folder: &Path) -> Result<File, Failure> {
    let unusable = |error: &std::io::Error| Failure::folder(folder, error);
    std::fs::create_dir_all(folder).map_err(|error| unusable(&error))?;
    place::must_be_sure(folder)?;
    if folder.join(BOOK_FILE).exists() {
        return Err(Failure::BookExists { folder: folder.to_owned() });
    }
    // Such a log would be read into the new book.
    if folder.join(LOG_FILE).exists() {
        return Err(Failure::Orphan { file: folder.join(LOG_FILE) });
    }
    let lock = lock::take(folder)?;
    remove_scratch(&folder.join(NEW_FILE)).map_err(|error| unusable(&error))?;
    Ok(lock)
}

/// Gives a closed book its name, on disk.
pub(crate) fn name_it(folder: &Path, new: &Path) -> Result<(), Failure> {
    put_in_place(new, &folder.join(BOOK_FILE)).map_err(|error| Failure::folder(folder, &error))
}

/// Syncs a file, renames it, and syncs the folders, so that the name is as
/// lasting as the content.
pub(crate) fn put_in_place(from: &Path, to: &Path) -> std::io::Result<()> {
    File::open(from)?.sync_all()?;
    std::fs::rename(from, to)?;
    let folder = to.parent().filter(|it| !it.as_os_str().is_empty()).unwrap_or(Path::new("."));
    sync_folder(folder)?;
    // The folder itself may be new; one that may not be opened was there before.
    if let Some(above) = folder.canonicalize()?.parent() {
        let _ = sync_folder(above);
    }
    Ok(())
}

fn sync_folder(folder: &Path) -> std::io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Removes a half-made file and what belongs to it.
pub(crate) fn remove_scratch(file: &Path) -> std::io::Result<()> {
    for end in ["", "-journal", "-wal", "-shm"] {
        let mut name = file.as_os_str().to_owned();
        name.push(end);
        match std::fs::remove_file(&name) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    Ok(())
}
