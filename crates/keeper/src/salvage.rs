//! What can be kept of a damaged book: shown, and copied into a new one.

use crate::book::DEFAULT_ZONE;
use crate::failure::Failure;
use crate::say;
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use rearing::{Entry, NotReplayed, replay};
use std::collections::BTreeMap;
use std::io::Write;
use std::path::{Path, PathBuf};
use store::{AsRead, Lost, Salvaged, Store};

/// In the new book's folder, what could not be kept.
const LIST_FILE: &str = "lost.txt";
/// Settings that belong to one file and not to the book.
const OF_THE_FILE: [&str; 2] = ["head", "seal"];

/// What became of a salvage.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// How many entries are in the new book.
    pub entries: usize,
    /// What is lost, a line for each, with entry and day.
    pub lost: Vec<String>,
    /// The same as a file in the new folder.
    pub list: PathBuf,
}

/// Copies what is sound in a damaged book into a new one in another folder,
/// with a list of what is lost. The damaged book is left as it is.
///
/// # Errors
/// If nothing can be read, or there is a book in the other folder already.
pub fn salvage(folder: &Path, into: &Path) -> Result<Kept, Failure> {
    let unusable = |file: &Path, error: std::io::Error| Failure::File {
        file: file.display().to_string(),
        detail: error.to_string(),
    };
    if into.join(store::BOOK_FILE).exists() {
        return Err(store::Failure::BookExists { folder: into.to_owned() }.into());
    }
    let scratch = into.join("salvage.scratch");
    std::fs::create_dir_all(&scratch).map_err(|error| unusable(&scratch, error))?;
    let salvaged = Salvaged::from(folder, &scratch);
    // Only copies lie there.
    let _ = std::fs::remove_dir_all(&scratch);
    let salvaged = salvaged?;
    if salvaged.entries.is_empty() {
        let detail = "no entry of it can be read: take the last backup".to_owned();
        return Err(store::Failure::Damaged { detail }.into());
    }
    let mut lost: Vec<String> = salvaged.faults.iter().map(|it| it.problem.to_string()).collect();
    lost.extend(salvaged.lost.iter().map(line_of));
    let (entries, stranded) = those_that_follow(salvaged.entries.clone());
    lost.extend(stranded.iter().map(|(entry, why)| stranded_line(entry, why)));
    let list = into.join(LIST_FILE);
    write_list(&list, folder, &lost).map_err(|error| unusable(&list, error))?;
    let about = settings(&salvaged);
    let about: Vec<(&str, &str)> = about.iter().map(|(key, value)| (key.as_str(), value.as_str())).collect();
    Store::create_with(into, &about, &entries)?;
    Ok(Kept { entries: entries.len(), lost, list })
}

fn line_of(lost: &Lost) -> String {
    let id = lost.id.map(|it| format!(" ({it})")).unwrap_or_default();
    let day = lost.wall.parse::<DateTime>().map(|it| format!(" of {}", say::long_day(it.date())));
    let reads = lost.says.as_ref().map(|it| format!("; it now reads: {it}")).unwrap_or_default();
    format!("entry {}{id}{}: {}{reads}", lost.seq, day.unwrap_or_default(), lost.problem)
}

fn stranded_line(entry: &Entry, why: &NotReplayed) -> String {
    let day = say::long_day(entry.happened.wall.date());
    let says = entry.deed.in_words();
    format!("entry {} of {day}: {says}; it no longer follows without what is lost: {}", entry.id, why.refusal)
}

fn write_list(file: &Path, from: &Path, lost: &[String]) -> std::io::Result<()> {
    let mut list = std::fs::File::create(file)?;
    writeln!(list, "What could not be kept of the book in {}:\n", from.display())?;
    for line in lost {
        writeln!(list, "{line}")?;
    }
    list.sync_all()
}

/// Settings for the new book; where the old ones were changed, only a zone that can be right.
fn settings(salvaged: &Salvaged) -> Vec<(String, String)> {
    let sound = !salvaged.faults.iter().any(|it| matches!(it.problem, store::Problem::BrokenSeal));
    let mut about: Vec<(String, String)> = salvaged.about.clone();
    about.retain(|(key, _)| sound && key != "zone" && !OF_THE_FILE.contains(&key.as_str()));
    let told = salvaged.about.iter().find(|(key, _)| key == "zone").map(|(_, zone)| zone.as_str());
    about.push(("zone".to_owned(), zone_of(told.filter(|_| sound), &salvaged.entries)));
    about
}

/// The zone of the book, or else the one in which most entries were written.
pub(crate) fn zone_of(told: Option<&str>, entries: &[Entry]) -> String {
    let known = |zone: &&str| TimeZone::get(zone).is_ok();
    if let Some(zone) = told.filter(known) {
        return zone.to_owned();
    }
    let mut times: BTreeMap<&str, usize> = BTreeMap::new();
    for zone in entries.iter().map(|it| it.happened.zone.as_str()).filter(known) {
        *times.entry(zone).or_insert(0) += 1;
    }
    times.into_iter().max_by_key(|(_, n)| *n).map_or(DEFAULT_ZONE, |(zone, _)| zone).to_owned()
}

/// Entries that follow from one another, and those that do not any more.
pub(crate) fn those_that_follow(mut entries: Vec<Entry>) -> (Vec<Entry>, Vec<(Entry, NotReplayed)>) {
    let mut stranded = Vec::new();
    while let Err(why) = replay(&entries) {
        let Some(place) = entries.iter().position(|it| it.id == why.id) else { break };
        stranded.push((entries.remove(place), why));
    }
    (entries, stranded)
}

/// What can be shown of a book as it was read, and what every page then says on top.
pub(crate) fn standing(read: AsRead) -> (Vec<Entry>, Option<String>) {
    if read.faults.is_empty() {
        return (read.entries, None);
    }
    let first = read.faults.iter().find(|it| it.seq > 0);
    let place = first.map_or_else(String::new, |it| {
        let day = it.wall.parse::<DateTime>().map(|it| format!(" of {}", say::long_day(it.date())));
        format!(" (the first at entry {}{})", it.seq, day.unwrap_or_default())
    });
    let (entries, stranded) = those_that_follow(read.entries);
    let left_out = if stranded.is_empty() {
        String::new()
    } else {
        let n = say::count(stranded.len(), "entry is", "entries are");
        format!(" {n} not shown, because what they rest on is lost.")
    };
    let notice = format!(
        "This book is damaged{place}. What is sound is shown here; nothing can be noted, so that nothing more is lost.{left_out} \
         Keep a copy of its folder, run \u{201c}cocoonery check\u{201d}, then \u{201c}cocoonery salvage --into FOLDER\u{201d}, or restore the last backup."
    );
    (entries, Some(notice))
}
