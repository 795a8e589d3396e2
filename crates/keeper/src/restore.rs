//! A book out of a backup.

use crate::failure::Failure;
use jiff::tz::TimeZone;
use std::path::Path;
use store::{Access, Manifest, Store};

/// A book that came out of a backup.
#[derive(Debug, Clone)]
pub struct Restored {
    /// What the backup said it holds, and does.
    pub manifest: Manifest,
    /// The zone in which the book is kept.
    pub zone: TimeZone,
}

/// Makes a book in a folder that has none out of a backup. The entries are
/// checked one by one and must follow from one another.
///
/// # Errors
/// If there is a book already, or the file is no whole backup; then no book was made.
pub fn restore(file: &Path, into: &Path) -> Result<Restored, Failure> {
    let manifest = store::restore(file, into)?;
    let store = Store::open(into, Access::Read)?;
    rearing::replay(&store.entries()?)?;
    let zone = store.about("zone")?.and_then(|it| TimeZone::get(&it).ok()).unwrap_or(TimeZone::UTC);
    Ok(Restored { manifest, zone })
}
