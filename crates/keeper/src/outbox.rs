//! Notes that come late, twice, or from a page that had not seen everything:
//! a phone in a shed without signal, or two phones at one box.

use crate::book::{Keeper, Look, nth_id};
use crate::clock::AsOf;
use crate::failure::{Failure, NotNoted};
use crate::forecasts::BoxOutlook;
use crate::note::{BY, deeds_of};
use crate::say;
use crate::view::round::{BoxRound, NotedLine, RoundNote, Saved};
use jiff::{SignedDuration, Timestamp};
use rearing::{Deed, Entry, replay, replay_until, words};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use terms::Stage;
use uuid::Uuid;

/// A note that waited longer than this for a signal is written in by hand.
pub const NOT_OLDER_DAYS: i64 = 40;
/// A phone's clock may run this far ahead; what it notes then happened now.
const AHEAD_S: i64 = 600;
/// No note makes more entries than this: two hundred moths and what goes with them.
const ENTRIES_OF_A_NOTE: usize = 220;

/// What a note brings along from the page on which it was made.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Slip {
    /// Its own id, so that sending twice is noting once.
    pub id: Option<Uuid>,
    /// When it happened, if not now.
    pub happened: Option<Timestamp>,
    /// How many entries about the box the page had seen; `None` if it does not say.
    pub seen_entries: Option<u64>,
    /// Notes made on the same page before this one.
    pub own: Vec<Uuid>,
}

/// A box as the page saw it on which a note was made.
struct AsSeen {
    look: Look,
    /// Counts that the page had not seen.
    beside: Vec<Uuid>,
}

impl Keeper {
    /// The moment that a note gives for itself.
    ///
    /// # Errors
    /// If it cannot be read, is still to come, or is older than [`NOT_OLDER_DAYS`].
    pub fn moment_of_note(&self, words: &str) -> Result<Timestamp, NotNoted> {
        let moment: AsOf =
            words.parse().map_err(|it: crate::clock::NotAMoment| NotNoted::Refused(it.to_string()))?;
        let at = match moment {
            AsOf::Instant(at) => at,
            AsOf::OnTheWall(wall) => self.instant(wall),
            AsOf::Morning(day) => self.morning_of(day),
        };
        let now = self.noting_at();
        let ahead_s = at.as_second() - now.as_second();
        let day = say::day_and_time(self.on_the_wall(at));
        if ahead_s > AHEAD_S {
            return Err(NotNoted::Refused(format!(
                "{day} is still to come: look at the date and the clock of the phone"
            )));
        }
        let oldest = now.saturating_sub(SignedDuration::from_hours(24 * NOT_OLDER_DAYS)).unwrap_or(now);
        if at < oldest {
            return Err(NotNoted::Refused(format!(
                "{day} is more than {NOT_OLDER_DAYS} days ago: such a note is not taken unseen; write it in as an earlier day"
            )));
        }
        Ok(at.min(now))
    }

    /// The book as it stood before a note came for the first time, or as it stands.
    pub(crate) fn look_before(&self, id: Option<Uuid>) -> Result<Look, NotNoted> {
        let entries = self.entries();
        match id.and_then(|id| entries.iter().position(|it| it.id == id)) {
            Some(place) => Ok(self.look_at(&entries[..place], None)?),
            None => Ok(self.look_when_noting()?),
        }
    }

    fn look_at(&self, entries: &[Entry], at: Option<Timestamp>) -> Result<Look, Failure> {
        let house = match at {
            Some(at) => replay_until(entries, at)?,
            None => replay(entries)?,
        };
        let at = at.unwrap_or_else(|| self.noting_at());
        Ok(Look { house: Arc::new(house), entries: entries.len() as u64, at, wall: self.on_the_wall(at) })
    }

    /// The house as whoever wrote the slip knew it: without what others noted
    /// about the box meanwhile, and without what happened later.
    fn as_seen(&self, name: &str, slip: &Slip) -> Result<AsSeen, Failure> {
        let entries = self.entries();
        let known = slip.id.and_then(|id| entries.iter().position(|it| it.id == id));
        let base = &entries[..known.unwrap_or(entries.len())];
        let at = known.and_then(|place| entries.get(place)).map(|it| it.happened.at).or(slip.happened);
        let own: BTreeSet<Uuid> = slip
            .own
            .iter()
            .flat_map(|note| (0..ENTRIES_OF_A_NOTE).map(|index| nth_id(*note, index)))
            .collect();
        let seen = slip.seen_entries.map_or(usize::MAX, |it| usize::try_from(it).unwrap_or(usize::MAX));
        let unseen: BTreeSet<Uuid> =
            entries_of_box(base, name).skip(seen).map(|it| it.id).filter(|it| !own.contains(it)).collect();
        if unseen.is_empty() && known.is_none() && at.is_none() {
            return Ok(AsSeen { look: self.look_when_noting()?, beside: Vec::new() });
        }
        let seen: Vec<Entry> = base.iter().filter(|it| !unseen.contains(&it.id)).cloned().collect();
        // What others did may be what a later entry rests on; then there is no
        // house without it, and the note is read against the house as it is.
        let look = match self.look_at(&seen, at) {
            Ok(look) => look,
            Err(_) => self.look_at(base, at)?,
        };
        let house = &self.look_at(base, None)?.house;
        let beside = base
            .iter()
            .filter(|it| unseen.contains(&it.id) && house.knows(it.id))
            .filter(|it| matches!(&it.deed, Deed::Counted(count) if count.name == name))
            .map(|it| it.id)
            .collect();
        Ok(AsSeen { look, beside })
    }

    /// A box as the page showed it on which a note was made; no forecast is made
    /// for it. `Ok(None)` if there was no such open box.
    ///
    /// # Errors
    /// Only if the book cannot be read.
    pub fn box_as_seen(&self, name: &str, slip: &Slip) -> Result<Option<BoxRound>, Failure> {
        let seen = self.as_seen(name, slip)?;
        let Ok(it) = seen.look.house.open_box(name) else { return Ok(None) };
        Ok(Some(self.box_as(&seen.look, it, BoxOutlook::default())))
    }

    /// Notes what was done at one box, as it was said on the page it was said
    /// on, all or none of it.
    ///
    /// # Errors
    /// The rule that says no, or a failure of the store; nothing was saved then.
    pub fn note_slip(&self, name: &str, note: &RoundNote, slip: &Slip) -> Result<Saved, NotNoted> {
        let seen = self.as_seen(name, slip)?;
        seen.look.house.open_box(name)?;
        let mut deeds = deeds_of(&seen.look.house, name, note)?;
        if deeds.is_empty() {
            return Err(NotNoted::Refused(format!(
                "nothing was chosen for box {name}: choose what you did, or that all is there"
            )));
        }
        for deed in &mut deeds {
            if let Deed::Counted(count) = deed {
                count.beside.clone_from(&seen.beside);
            }
        }
        let at = slip.happened.unwrap_or_else(|| self.noting_at());
        let entries = self.note_at(at, deeds, slip.id, BY)?;
        Ok(self.saved(name, &entries))
    }
}

/// Entries of the book that are about a box, in the order in which they were written.
pub(crate) fn entries_of_box<'a>(entries: &'a [Entry], name: &str) -> impl Iterator<Item = &'a Entry> {
    let mut touching: BTreeSet<Uuid> = BTreeSet::new();
    let name = name.to_owned();
    entries.iter().filter(move |it| {
        let touches = match &it.deed {
            Deed::SetAside(aside) => touching.contains(&aside.entry),
            Deed::Hatched(moved) | Deed::Moved(moved) => moved.from == name || moved.into == name,
            Deed::Moulted(moulted) | Deed::Spun(moulted) => {
                moulted.name == name || moulted.into.as_deref() == Some(&name)
            }
            deed => deed.about_box() == Some(&name),
        };
        touches && touching.insert(it.id)
    })
}

/// Counts of a box that were made without seeing each other and differ, in the
/// order in which they happened. A later count that saw them all settles it.
pub(crate) fn both_said(entries: &[Entry], look: &Look, name: &str) -> Vec<NotedLine> {
    let counts: Vec<(&Entry, &rearing::deed::Counted)> = entries
        .iter()
        .filter(|it| look.house.knows(it.id))
        .filter_map(|it| match &it.deed {
            Deed::Counted(count) if count.name == name => Some((it, count)),
            _ => None,
        })
        .collect();
    let Some((_, last)) = counts.last() else { return Vec::new() };
    let mut sides: Vec<(&Entry, &rearing::deed::Counted)> = counts
        .iter()
        .filter(|(it, count)| last.beside.contains(&it.id) || std::ptr::eq(*count, *last))
        .copied()
        .collect();
    let seen = |it: &rearing::deed::Counted| -> BTreeMap<Stage, u32> {
        it.seen.iter().filter(|it| it.n > 0).map(|it| (it.stage, it.n)).collect()
    };
    if last.beside.is_empty() || sides.iter().all(|(_, count)| seen(count) == seen(last)) {
        return Vec::new();
    }
    sides.sort_by_key(|(it, _)| it.happened.at);
    let says = |count: &rearing::deed::Counted| {
        let stages: Vec<String> =
            seen(count).into_iter().map(|(stage, n)| words::animals(n, stage)).collect();
        if stages.is_empty() { "nobody left".to_owned() } else { say::list(&stages) }
    };
    sides.iter().map(|(it, count)| NotedLine { id: it.id, says: says(count), at: it.happened.wall }).collect()
}
