//! Folders that go away, in memory where that may be.

use anyhow::{Context, Result};
use std::path::Path;
use tempfile::TempDir;

/// A folder on the disk of this machine.
///
/// # Errors
/// If it cannot be made.
pub fn on_disk() -> Result<TempDir> {
    tempfile::tempdir().context("a scratch folder could not be made")
}

/// A folder in memory, if the system has such a place: what is played there is
/// the outcome of a power cut, which needs no real one.
///
/// # Errors
/// If it cannot be made.
pub fn in_memory() -> Result<TempDir> {
    let memory = Path::new("/dev/shm");
    if memory.is_dir()
        && let Ok(folder) = tempfile::tempdir_in(memory)
    {
        return Ok(folder);
    }
    on_disk()
}
