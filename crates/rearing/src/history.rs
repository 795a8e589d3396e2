//! Entries in order make the house as it stands.

use crate::deed::Deed;
use crate::entry::Entry;
use crate::house::House;
use crate::refusal::Refusal;
use jiff::Timestamp;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};
use uuid::Uuid;

/// The book cannot be read to its end: this entry does not follow from those
/// before it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("entry {id} of {on}: {refusal}")]
pub struct NotReplayed {
    /// The entry.
    pub id: Uuid,
    /// The day on which it happened.
    pub on: Date,
    /// The rule that says no.
    pub refusal: Refusal,
}

/// The house after all entries.
///
/// Entries may come in any order; they are taken in the order in which they
/// happened, and those of one moment in the order in which they were given.
///
/// # Errors
/// [`NotReplayed`] names the first entry that does not follow.
pub fn replay(entries: &[Entry]) -> Result<House, NotReplayed> {
    replay_chosen(entries.iter().collect())
}

/// The house as it stood at a moment.
///
/// # Errors
/// As [`replay`].
pub fn replay_until(entries: &[Entry], at: Timestamp) -> Result<House, NotReplayed> {
    replay_chosen(entries.iter().filter(|it| it.happened.at <= at).collect())
}

/// What the book says to one more entry, wherever in time it belongs: `None`
/// if it follows and everything after it still does.
#[must_use]
pub fn would_refuse(entries: &[Entry], candidate: &Entry) -> Option<NotReplayed> {
    replay_chosen(entries.iter().chain([candidate]).collect()).err()
}

fn replay_chosen(mut entries: Vec<&Entry>) -> Result<House, NotReplayed> {
    entries.sort_by_key(|it| it.happened.at);
    let aside = set_aside(&entries)?;
    let mut house = House::default();
    for entry in entries {
        if !aside.contains(&entry.id) {
            house.apply(entry).map_err(|refusal| because(entry, refusal))?;
        }
    }
    Ok(house)
}

/// The entries that no longer count.
fn set_aside(entries: &[&Entry]) -> Result<BTreeSet<Uuid>, NotReplayed> {
    let by_id: BTreeMap<Uuid, &Deed> = entries.iter().map(|it| (it.id, &it.deed)).collect();
    let mut aside = BTreeSet::new();
    for entry in entries {
        let Deed::SetAside(what) = &entry.deed else { continue };
        if matches!(by_id.get(&what.entry), None | Some(Deed::SetAside(_))) {
            return Err(because(entry, Refusal::UnknownEntry(what.entry)));
        }
        if !aside.insert(what.entry) {
            return Err(because(entry, Refusal::AlreadySetAside(what.entry)));
        }
    }
    Ok(aside)
}

fn because(entry: &Entry, refusal: Refusal) -> NotReplayed {
    NotReplayed { id: entry.id, on: entry.happened.wall.date(), refusal }
}
