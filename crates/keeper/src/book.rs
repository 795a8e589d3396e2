//! The open book: entries, the house they make, and the day it is.

use crate::clock::{AsOf, Clock};
use crate::failure::{Failure, NotNoted};
use crate::forecasts::Remembered;
use evidence::Library;
use jiff::civil::{Date, DateTime};
use jiff::{Timestamp, tz::TimeZone};
use rearing::{Deed, Entry, House, When, replay, replay_until};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use store::{Access, Appended, Store};
use uuid::Uuid;

/// Zone of a book that never said where it is kept.
pub const DEFAULT_ZONE: &str = "UTC";
const SEED: u64 = 20_260_501;
/// A clock that is less behind than this is being set right by itself.
const CLOCK_BEHIND_S: i64 = 120;

/// How a book is to be opened.
#[derive(Debug, Clone, Default)]
pub struct Opening {
    /// Answer as the book stood then; nothing can be noted.
    pub as_of: Option<AsOf>,
    /// Let the clock stand still at this moment.
    pub still_at: Option<AsOf>,
    /// What is noted happened at this moment, not now.
    pub happened_at: Option<AsOf>,
    /// The dice of the forecasts.
    pub seed: Option<u64>,
    /// Look only.
    pub look_only: bool,
}

/// Does a keeper's work on one open book.
pub struct Keeper {
    store: Store,
    clock: Clock,
    as_of: Option<Timestamp>,
    happened_at: Option<Timestamp>,
    zone: String,
    time_zone: TimeZone,
    notice: Option<String>,
    damage: Option<String>,
    seed: u64,
    library: &'static Library,
    pages: Mutex<Pages>,
    remembered: Mutex<Remembered>,
}

/// What was read of the book so far.
struct Pages {
    entries: Arc<Vec<Entry>>,
    house: Arc<House>,
}

/// A consistent look at the book.
#[derive(Clone)]
pub struct Look {
    /// The house as it stands.
    pub house: Arc<House>,
    /// How many entries the book has.
    pub entries: u64,
    /// The moment.
    pub at: Timestamp,
    /// The moment on the keeper's wall.
    pub wall: DateTime,
}

impl Look {
    /// The day on the keeper's wall.
    #[must_use]
    pub fn today(&self) -> Date {
        self.wall.date()
    }
}

/// Makes an empty book in a folder that has none, kept in a time zone.
///
/// # Errors
/// If the zone is not known, if there is a book already, or the folder cannot be written.
pub fn make_empty_book(folder: &Path, zone: &str) -> Result<(), Failure> {
    TimeZone::get(zone).map_err(|_| Failure::UnknownZone { zone: zone.to_owned() })?;
    // In one go: a book that never learnt its zone would be read in another one.
    Store::create_with(folder, &[("zone", zone)], &[])?;
    Ok(())
}

impl Keeper {
    /// Opens the book in a folder.
    ///
    /// # Errors
    /// If it cannot be opened, or does not add up.
    pub fn open(folder: &Path, opening: &Opening) -> Result<Keeper, Failure> {
        let looking = opening.look_only || opening.as_of.is_some();
        let store = Store::open(folder, if looking { Access::Read } else { Access::Write })?;
        Keeper::with(store, opening)
    }

    pub(crate) fn with(store: Store, opening: &Opening) -> Result<Keeper, Failure> {
        let (entries, damage) = crate::salvage::standing(store.read()?);
        let told = store.about("zone");
        let zone = match &damage {
            None => told?.unwrap_or_else(|| DEFAULT_ZONE.to_owned()),
            Some(_) => crate::salvage::zone_of(told.ok().flatten().as_deref(), &entries),
        };
        let time_zone = TimeZone::get(&zone).map_err(|_| Failure::UnknownZone { zone: zone.clone() })?;
        let pretended = store.about("pretended_now")?.and_then(|it| it.parse::<Timestamp>().ok());
        let as_of = opening.as_of.map(|it| it.in_zone(&time_zone));
        let still_at = opening.still_at.map(|it| it.in_zone(&time_zone));
        let clock = match (as_of.or(still_at), pretended) {
            (Some(at), _) => Clock::Still(at),
            (None, Some(start)) => Clock::going_on_from(start),
            (None, None) => Clock::Wall,
        };
        let scratch = store.about("notice")?;
        let notice = match as_of {
            Some(at) => Some(format!(
                "This is the book as it stood on {}. Nothing can be noted.",
                crate::say::day_and_time(time_zone.to_datetime(at))
            )),
            None => scratch,
        };
        let entries = store.entries()?;
        let house = match as_of {
            Some(at) => replay_until(&entries, at)?,
            None => replay(&entries)?,
        };
        let library = evidence::library();
        if let Some(complaint) = library.complaints.first() {
            return Err(Failure::Reference(complaint.to_string()));
        }
        Ok(Keeper {
            store,
            clock,
            as_of,
            happened_at: opening.happened_at.map(|it| it.in_zone(&time_zone)),
            zone,
            time_zone,
            notice,
            damage,
            seed: opening.seed.unwrap_or(SEED),
            library,
            pages: Mutex::new(Pages { entries: Arc::new(entries), house: Arc::new(house) }),
            remembered: Mutex::default(),
        })
    }

    /// The moment, and the house as it stands.
    #[must_use]
    pub fn look(&self) -> Look {
        let at = self.clock.now();
        let pages = self.pages();
        let entries = pages.entries.len() as u64;
        Look { house: Arc::clone(&pages.house), entries, at, wall: self.on_the_wall(at) }
    }

    /// The moment at which what is noted happened.
    pub(crate) fn noting_at(&self) -> Timestamp {
        self.happened_at.unwrap_or_else(|| self.going_forward())
    }

    /// The house at the moment at which what is noted happened.
    ///
    /// # Errors
    /// If the book does not add up.
    pub fn look_when_noting(&self) -> Result<Look, Failure> {
        match self.happened_at {
            Some(at) => self.look_back(at),
            None => Ok(self.look()),
        }
    }

    /// All entries of the book.
    #[must_use]
    pub fn entries(&self) -> Arc<Vec<Entry>> {
        Arc::clone(&self.pages().entries)
    }

    /// The house as it stood at an earlier moment.
    ///
    /// # Errors
    /// If the book does not add up.
    pub fn look_back(&self, at: Timestamp) -> Result<Look, Failure> {
        let entries = self.entries();
        let house = replay_until(&entries, at)?;
        let seen = entries.iter().filter(|it| it.happened.at <= at).count() as u64;
        Ok(Look { house: Arc::new(house), entries: seen, at, wall: self.on_the_wall(at) })
    }

    /// A moment on the keeper's wall.
    #[must_use]
    pub fn on_the_wall(&self, at: Timestamp) -> DateTime {
        self.time_zone.to_datetime(at)
    }

    /// The moment of a wall clock in the keeper's zone.
    #[must_use]
    pub fn instant(&self, wall: DateTime) -> Timestamp {
        AsOf::OnTheWall(wall).in_zone(&self.time_zone)
    }

    /// The morning of a day, before the round.
    #[must_use]
    pub fn morning_of(&self, day: Date) -> Timestamp {
        AsOf::Morning(day).in_zone(&self.time_zone)
    }

    /// The zone of the book.
    #[must_use]
    pub fn zone(&self) -> &str {
        &self.zone
    }

    /// What every page must say on top, if anything.
    #[must_use]
    pub fn notice(&self) -> Option<String> {
        let said = [self.damage.clone(), self.clock_is_behind(), self.notice.clone()];
        let said: Vec<String> = said.into_iter().flatten().collect();
        (!said.is_empty()).then(|| said.join(" "))
    }

    /// The newest moment at which something was noted on this machine.
    fn last_noted(&self) -> Option<Timestamp> {
        self.pages().entries.iter().filter(|it| it.by != crate::bring_in::BY).map(|it| it.noted_at).max()
    }

    /// The moment, but never before what was noted last: a clock that was set
    /// back neither loses nor reorders what is noted.
    fn going_forward(&self) -> Timestamp {
        let now = self.clock.now();
        match self.clock {
            Clock::Still(_) => now,
            _ => self.last_noted().map_or(now, |last| last.max(now)),
        }
    }

    fn clock_is_behind(&self) -> Option<String> {
        let (now, last) = (self.clock.now(), self.last_noted()?);
        if !matches!(self.clock, Clock::Wall) || last.duration_since(now).as_secs() < CLOCK_BEHIND_S {
            return None;
        }
        let said = |at| crate::say::day_and_time(self.on_the_wall(at));
        Some(format!(
            "The clock of this machine shows {}, but the last note is of {}: set it right. Until then what you note is dated {}, and nothing is lost.",
            said(now),
            said(last),
            said(last)
        ))
    }

    /// The dice of the forecasts.
    #[must_use]
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// What is claimed, by whom, on what.
    #[must_use]
    pub fn library(&self) -> &'static Library {
        self.library
    }

    /// The store of this book.
    #[must_use]
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// An id for something to be noted.
    #[must_use]
    pub fn fresh_id(&self) -> Uuid {
        let now = self.clock.now();
        let seconds = u64::try_from(now.as_second()).unwrap_or(0);
        let nanos = u32::try_from(now.subsec_nanosecond()).unwrap_or(0);
        Uuid::new_v7(uuid::Timestamp::from_unix(uuid::NoContext, seconds, nanos))
    }

    /// Notes deeds that happened now, all or none.
    ///
    /// # Errors
    /// A rule that says no, or a failure of the store; nothing is saved then.
    pub fn note(&self, deeds: Vec<Deed>, note_id: Option<Uuid>, by: &str) -> Result<Vec<Entry>, NotNoted> {
        self.note_at(self.noting_at(), deeds, note_id, by)
    }

    /// Notes deeds that happened at a moment, all or none.
    ///
    /// # Errors
    /// As [`Keeper::note`]; also a moment that is still to come.
    pub fn note_at(
        &self,
        at: Timestamp,
        deeds: Vec<Deed>,
        note_id: Option<Uuid>,
        by: &str,
    ) -> Result<Vec<Entry>, NotNoted> {
        let noted_at = self.going_forward();
        let happened = When { at, zone: self.zone.clone(), wall: self.on_the_wall(at) };
        let first = note_id.unwrap_or_else(|| self.fresh_id());
        let entries = deeds
            .into_iter()
            .enumerate()
            .map(|(index, deed)| Entry {
                id: nth_id(first, index),
                happened: happened.clone(),
                noted_at,
                by: by.to_owned(),
                deed,
            })
            .collect();
        self.note_entries(entries)
    }

    /// Notes entries that somebody else has dated, all or none.
    ///
    /// # Errors
    /// As [`Keeper::note`]; also an entry that lies in the future.
    pub fn note_entries(&self, new: Vec<Entry>) -> Result<Vec<Entry>, NotNoted> {
        if self.as_of.is_some() {
            return Err(NotNoted::Refused(
                "an earlier day is only looked at; note it on the book of today".into(),
            ));
        }
        if self.damage.is_some() {
            return Err(NotNoted::Refused(
                "this book is damaged and only looked at, so that nothing more is lost: run `cocoonery salvage --into FOLDER`, or restore the last backup".into(),
            ));
        }
        let now = self.going_forward();
        if let Some(early) = new.iter().find(|it| it.happened.at > now) {
            let day = crate::say::day(early.happened.wall.date());
            return Err(NotNoted::Refused(format!(
                "{day} is still to come: what has not happened cannot be noted"
            )));
        }
        let mut pages = self.pages();
        let known = |entry: &Entry| pages.entries.iter().find(|it| it.id == entry.id);
        // The same note sent twice keeps the moment of its first coming.
        let fresh: Vec<Entry> = new.iter().filter(|it| known(it).is_none()).cloned().collect();
        if let Some(other) = new.iter().find(|it| known(it).is_some_and(|first| first.deed != it.deed)) {
            let said = other.deed.in_words();
            return Err(NotNoted::Refused(format!(
                "this page was sent before with something else on it ({said}): open it again"
            )));
        }
        let mut all: Vec<Entry> = pages.entries.as_ref().clone();
        all.extend(fresh.iter().cloned());
        let house = replay(&all).map_err(|it| self.refused(&it, &fresh))?;
        let appended = match self.store.append(&fresh) {
            Ok(appended) => appended,
            Err(failure) => {
                // The disk may hold more than was called saved: read it again, so that the note sent once more is known.
                if let Some(read) = self.read_again() {
                    *pages = read;
                }
                return Err(failure.into());
            }
        };
        match appended {
            Appended::Saved { .. } => {}
            Appended::OtherContent { id } => {
                return Err(NotNoted::Refused(format!(
                    "entry {id} is in the book with something else in it"
                )));
            }
        }
        *pages = Pages { entries: Arc::new(all), house: Arc::new(house) };
        Ok(new)
    }

    fn refused(&self, it: &rearing::NotReplayed, fresh: &[Entry]) -> NotNoted {
        if fresh.iter().any(|entry| entry.id == it.id) {
            NotNoted::Refused(it.refusal.to_string())
        } else {
            let day = crate::say::day(it.on);
            NotNoted::Refused(format!("what was noted on {day} would no longer follow: {}", it.refusal))
        }
    }

    fn read_again(&self) -> Option<Pages> {
        let entries = self.store.entries().ok()?;
        let house = replay(&entries).ok()?;
        Some(Pages { entries: Arc::new(entries), house: Arc::new(house) })
    }

    fn pages(&self) -> MutexGuard<'_, Pages> {
        // The pages are swapped as a whole, so a panic elsewhere leaves them whole.
        self.pages.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn remembered(&self) -> MutexGuard<'_, Remembered> {
        self.remembered.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The id of the n-th entry of a note: it follows from the id of the note, so
/// that the same note always makes the same entries.
pub(crate) fn nth_id(note: Uuid, index: usize) -> Uuid {
    const SPREAD: u128 = 0x9e37_79b9_7f4a_7c15;
    let low_bits = (1u128 << 62) - 1;
    let bits = note.as_u128();
    let low = (bits & low_bits).wrapping_add(SPREAD.wrapping_mul(index as u128)) & low_bits;
    Uuid::from_u128((bits & !low_bits) | low)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_entries_of_one_note_have_ids_of_their_own_and_the_same_kind() {
        let note = Uuid::from_u128(0x0197_3a5b_7c00_7000_8000_0000_0000_0001);
        let ids: BTreeSet<Uuid> = (0..50).map(|index| nth_id(note, index)).collect();
        assert_eq!(ids.len(), 50);
        assert!(ids.iter().all(|it| it.get_version_num() == 7 && it.get_variant() == note.get_variant()));
        assert_eq!(nth_id(note, 0), note);
    }
}
