//! A backup that was restored before it is called one, and how old the last one is.

use crate::clock::{AsOf, Clock};
use crate::failure::Failure;
use crate::{Keeper, say};
use jiff::Timestamp;
use jiff::tz::TimeZone;
use std::path::Path;
use store::{Access, Manifest, Store};

/// Beside the book, what is known of its last backup.
const LAST_FILE: &str = "book.last-backup.json";
/// From this age on a backup is old.
const OLD_DAYS: i64 = 7;
/// From this age on it is far too old.
const TOO_OLD_DAYS: i64 = 30;

/// The last backup of this book that was restored and compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastBackup {
    /// When it was made.
    pub at: Timestamp,
    /// How many entries it holds.
    pub entries: u64,
    /// Its name, as it was given.
    pub file: String,
    /// Whole days since.
    pub days: i64,
    /// How many entries were noted since.
    pub since: u64,
}

/// How much a backup's age should worry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BackupAge {
    /// Less than a week.
    Fresh,
    /// A week or more.
    Old,
    /// A month or more, or there is none.
    TooOld,
}

/// How old a backup is; none at all counts as too old.
#[must_use]
pub fn age(last: Option<&LastBackup>) -> BackupAge {
    match last.map(|it| it.days) {
        Some(days) if days < OLD_DAYS => BackupAge::Fresh,
        Some(days) if days < TOO_OLD_DAYS => BackupAge::Old,
        _ => BackupAge::TooOld,
    }
}

/// The age in words, for the first page.
#[must_use]
pub fn in_words(last: Option<&LastBackup>) -> String {
    let Some(last) = last else {
        return "This book has no backup yet: run \u{201c}cocoonery backup FILE\u{201d}, and keep the file on another disk."
            .to_owned();
    };
    let ago = match last.days {
        0 => "today".to_owned(),
        1 => "yesterday".to_owned(),
        days => format!("{days} days ago"),
    };
    let since = match last.since {
        0 => "nothing was noted since".to_owned(),
        1 => "1 entry was noted since".to_owned(),
        n => format!("{n} entries were noted since"),
    };
    match age(Some(last)) {
        BackupAge::Fresh => format!("Last backup {ago}, restored and compared; {since}."),
        _ => format!("The last backup was made {ago}; {since}: time for a new one."),
    }
}

impl Keeper {
    /// The last backup that was restored and compared, if one is known of.
    #[must_use]
    pub fn last_backup(&self) -> Option<LastBackup> {
        let look = self.look();
        // A smudged note about a backup is none: better one backup too many.
        let text = std::fs::read_to_string(self.store().folder().join(LAST_FILE)).ok()?;
        let told: serde_json::Value = serde_json::from_str(&text).ok()?;
        let at: Timestamp = told.get("at")?.as_str()?.parse().ok()?;
        let entries = told.get("entries")?.as_u64()?;
        let days = look.at.duration_since(at).as_hours().div_euclid(24);
        Some(LastBackup {
            at,
            entries,
            file: told.get("file")?.as_str()?.to_owned(),
            days: days.max(0),
            since: look.entries.saturating_sub(entries),
        })
    }
}

/// Backs the book of a folder up into one file, also while somebody writes to it.
///
/// # Errors
/// If there is no book, if it is damaged, or if the backup does not hold what the book holds.
pub fn back_up(folder: &Path, file: &Path, now: Option<AsOf>) -> Result<Manifest, Failure> {
    let store = Store::open(folder, Access::Read)?;
    let zone = store.about("zone")?.and_then(|it| TimeZone::get(&it).ok()).unwrap_or(TimeZone::UTC);
    let pretended = store.about("pretended_now")?.and_then(|it| it.parse::<Timestamp>().ok());
    let at = now.map(|it| it.in_zone(&zone)).or(pretended).unwrap_or_else(|| Clock::Wall.now());
    let manifest = store.back_up(file, at)?;
    remember(folder, file, &manifest);
    Ok(manifest)
}

/// The backup is good whether or not this can be written.
fn remember(folder: &Path, file: &Path, manifest: &Manifest) {
    let told = serde_json::json!({
        "at": manifest.at.to_string(), "entries": manifest.entries, "head": manifest.head,
        "file": file.display().to_string(),
    });
    let part = folder.join(format!("{LAST_FILE}.part"));
    if std::fs::write(&part, told.to_string()).is_ok() {
        let _ = std::fs::rename(&part, folder.join(LAST_FILE));
    }
}

/// What a backup holds, in words.
#[must_use]
pub fn held(manifest: &Manifest, zone: &TimeZone) -> String {
    let n = say::count(usize::try_from(manifest.entries).unwrap_or(usize::MAX), "entry", "entries");
    format!("{n}, as the book stood on {}", say::day_and_time(zone.to_datetime(manifest.at)))
}
