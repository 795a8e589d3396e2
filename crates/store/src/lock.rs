//! One process writes at a time.

use crate::failure::Failure;
use std::fs::{File, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::Path;

const LOCK_FILE: &str = "book.lock";

/// Takes the lock of a folder and writes down who holds it. It is held for as
/// long as the file is open; the system lets go of it even when the process is
/// killed.
pub(crate) fn take(folder: &Path) -> Result<File, Failure> {
    let unusable = |error: &std::io::Error| Failure::folder(folder, error);
    let mut file = File::options()
        .create(true)
        .truncate(false)
        .read(true)
        .write(true)
        .open(folder.join(LOCK_FILE))
        .map_err(|error| unusable(&error))?;
    match file.try_lock() {
        Ok(()) => {
            // Who holds it is told to people only: on a full disk the lock still holds without it.
            let _ = name_holder(&mut file);
            Ok(file)
        }
        Err(TryLockError::WouldBlock) => {
            Err(Failure::Locked { folder: folder.to_owned(), pid: holder(&mut file) })
        }
        Err(TryLockError::Error(error)) => Err(unusable(&error)),
    }
}

fn name_holder(file: &mut File) -> std::io::Result<()> {
    file.set_len(0)?;
    file.rewind()?;
    writeln!(file, "{}", std::process::id())
}

fn holder(file: &mut File) -> Option<u32> {
    let mut text = String::new();
    file.take(32).read_to_string(&mut text).ok()?;
    text.trim().parse().ok()
}
