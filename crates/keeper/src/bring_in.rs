//! Bringing a season in from its tables: all of it or nothing.

use crate::failure::Failure;
use exchange::{Complaint, SeasonFiles, read_season};
use rearing::{Entry, replay};
use std::collections::BTreeSet;
use std::path::Path;
use store::{Access, Appended, Store};
use uuid::Uuid;

/// Who brought it in.
pub(crate) const BY: &str = "brought in";

/// Why nothing was brought in.
#[derive(Debug, thiserror::Error)]
pub enum NotBroughtIn {
    /// Lines that cannot be used.
    #[error("{} in the tables cannot be used", crate::say::count(.0.len(), "line", "lines"))]
    Complaints(Vec<Complaint>),
    /// The season does not follow from what the book holds already.
    #[error("the season does not fit what the book holds: {0}; nothing was brought in")]
    DoesNotFollow(rearing::NotReplayed),
    /// The book or a file could not be read or written.
    #[error("{0}")]
    Failed(#[from] Failure),
}

/// A season read from its tables.
#[derive(Debug)]
pub struct Season {
    /// Its entries, in order.
    pub entries: Vec<Entry>,
    /// What had to be inferred, and columns that were passed over.
    pub notices: Vec<Complaint>,
}

/// What was brought in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BroughtIn {
    /// Entries that were new.
    pub new: usize,
    /// Entries that were in the book already.
    pub known: usize,
    /// What had to be inferred, in sentences.
    pub notices: Vec<String>,
}

/// The entries of a season's tables.
///
/// # Errors
/// Every line that cannot be used.
pub fn entries_of(files: &SeasonFiles<'_>, zone: &str) -> Result<Season, NotBroughtIn> {
    let (season, complaints) = read_season(files, zone, BY);
    let (refused, notices): (Vec<_>, Vec<_>) = complaints.into_iter().partition(Complaint::is_refused);
    if refused.is_empty() {
        Ok(Season { entries: season.entries, notices })
    } else {
        Err(NotBroughtIn::Complaints(refused))
    }
}

/// Brings the tables of a folder into the book of another.
///
/// # Errors
/// Every line that cannot be used, or why the book could not be written; in
/// either case the book is as it was.
pub fn bring_in(
    book: &Path,
    tables: &Path,
    new_in_zone: Option<&str>,
    dry_run: bool,
) -> Result<BroughtIn, NotBroughtIn> {
    let read = read_folder(tables)?;
    let name = tables.file_name().map_or_else(String::new, |it| it.to_string_lossy().into_owned());
    let mut files = SeasonFiles::new(&name);
    for (file, bytes) in &read {
        files.add(file, bytes);
    }
    let fresh = new_in_zone.is_some() && !book.join(store::BOOK_FILE).exists();
    let known_store =
        if fresh { None } else { Some(Store::open(book, Access::Write).map_err(Failure::from)?) };
    let zone = match (&known_store, new_in_zone) {
        (Some(store), _) => store
            .about("zone")
            .map_err(Failure::from)?
            .unwrap_or_else(|| crate::book::DEFAULT_ZONE.to_owned()),
        (None, zone) => zone.unwrap_or(crate::book::DEFAULT_ZONE).to_owned(),
    };
    if jiff::tz::TimeZone::get(&zone).is_err() {
        return Err(Failure::UnknownZone { zone }.into());
    }
    let season = entries_of(&files, &zone)?;
    let before = match &known_store {
        Some(store) => store.entries().map_err(Failure::from)?,
        None => Vec::new(),
    };
    let known: BTreeSet<Uuid> = before.iter().map(|it| it.id).collect();
    let (there, new): (Vec<Entry>, Vec<Entry>) =
        season.entries.into_iter().partition(|it| known.contains(&it.id));
    let mut all = before;
    all.extend(new.iter().cloned());
    replay(&all).map_err(NotBroughtIn::DoesNotFollow)?;
    if !dry_run {
        let appended = match known_store {
            Some(store) => store.append(&new).map_err(Failure::from)?,
            None => {
                // Whole or not at all: never a book without its season or its zone.
                Store::create_with(book, &[("zone", &zone)], &new).map_err(Failure::from)?;
                Appended::Saved { new: new.len() }
            }
        };
        match appended {
            Appended::Saved { .. } => {}
            Appended::OtherContent { id } => {
                let detail = format!("entry {id} is there with other content");
                return Err(Failure::Store(store::Failure::Other { detail }).into());
            }
        }
    }
    let notices = season.notices.iter().map(ToString::to_string).collect();
    Ok(BroughtIn { new: new.len(), known: there.len(), notices })
}

/// Tables are small; anything larger is something else.
const TABLE_BYTES_MAX: u64 = 64 << 20;

fn read_folder(tables: &Path) -> Result<Vec<(String, Vec<u8>)>, Failure> {
    let failed = |file: &Path, error: &dyn std::fmt::Display| Failure::File {
        file: file.display().to_string(),
        detail: error.to_string(),
    };
    let mut files = Vec::new();
    for file in std::fs::read_dir(tables).map_err(|error| failed(tables, &error))? {
        let file = file.map_err(|error| failed(tables, &error))?.path();
        let Some(name) = file.file_name().map(|it| it.to_string_lossy().into_owned()) else { continue };
        if !name.ends_with(".csv") {
            continue;
        }
        let size = file.metadata().map_err(|error| failed(&file, &error))?.len();
        if size > TABLE_BYTES_MAX {
            return Err(failed(&file, &"it is far too large for a table of a season"));
        }
        files.push((name, std::fs::read(&file).map_err(|error| failed(&file, &error))?));
    }
    files.sort();
    Ok(files)
}
