//! Power cuts: the recorded load is cut off at one moment after the other, and the book that is left is read.

use crate::dice::Dice;
use crate::disk::{Disk, FATES};
use crate::judge::judge;
use crate::load::{BOOK, Recorded, mixed, notes_only};
use crate::record::Event;
use crate::slip::Slip;
use crate::{Outcome, scratch};
use anyhow::Result;
use std::collections::BTreeSet;
use std::path::Path;
use store::{Access, Store};

/// How much of it.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    /// Notes over HTTP; a season is brought in before.
    pub notes: usize,
    /// Is another one brought in between them?
    pub second_season: bool,
    /// Backups while it is served.
    pub backups: usize,
    /// Cuts.
    pub cuts: usize,
    /// Notes in the house that is not synced.
    pub weak_notes: usize,
    /// Cuts there.
    pub weak_cuts: usize,
}

/// Full size, for a release.
pub const FULL: Size =
    Size { notes: 1_200, second_season: true, backups: 12, cuts: 10_000, weak_notes: 300, weak_cuts: 1_000 };
/// Small size, for every change.
pub const SMALL: Size =
    Size { notes: 120, second_season: false, backups: 4, cuts: 300, weak_notes: 60, weak_cuts: 100 };

const NO_RECORDER: &str =
    "nothing can be put between a program and its C library here (no Linux, or no `cc`)";
/// Every so many cuts all backups are restored too, and the book is written to.
const LOOK_CLOSER: usize = 8;

/// The real binary under a mixed load.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(size: Size, seed: u64) -> Result<Outcome> {
    let Some(load) = mixed(size.notes, size.backups, size.second_season, seed)? else {
        return Ok(Outcome::skipped("power cuts", NO_RECORDER));
    };
    let wrong = cuts(&load, size.cuts, seed, None)?;
    let did = format!(
        "{} cuts of {} writes, syncs and names ({} notes, {} backups, {} seasons brought in)",
        size.cuts,
        load.events.len(),
        size.notes,
        told(&load.events, "backed up ").count(),
        told(&load.events, "brought in").count()
    );
    Ok(Outcome::of("power cuts", did, wrong))
}

/// The same cuts must notice a book opened with `synchronous=NORMAL`.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn weak_is_noticed(size: Size, seed: u64) -> Result<Outcome> {
    let name = "power cuts, not synced";
    let Some(load) = notes_only(size.weak_notes, false, seed)? else {
        return Ok(Outcome::skipped(name, NO_RECORDER));
    };
    let lost = cuts(&load, size.weak_cuts, seed, None)?;
    Ok(must_lose(name, size.weak_cuts, &lost))
}

/// The same cuts must notice a disk that lies about syncing the log.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn lying_disk_is_noticed(size: Size, seed: u64) -> Result<Outcome> {
    let name = "power cuts, lying disk";
    let Some(load) = notes_only(size.weak_notes, true, seed)? else {
        return Ok(Outcome::skipped(name, NO_RECORDER));
    };
    let lost = cuts(&load, size.weak_cuts, seed, Some("-wal"))?;
    Ok(must_lose(name, size.weak_cuts, &lost))
}

fn must_lose(name: &'static str, cuts: usize, lost: &[String]) -> Outcome {
    let n = lost.iter().map(|it| it.split(':').next()).collect::<BTreeSet<_>>().len();
    let did = format!("planted: {n} of {cuts} cuts lost something, and were noticed");
    let wrong = if n == 0 {
        vec!["the planted fault was not noticed: this check is none".to_owned()]
    } else {
        Vec::new()
    };
    Outcome::of(name, did, wrong)
}

fn told<'a>(events: &'a [Event], what: &'a str) -> impl Iterator<Item = &'a str> {
    events.iter().filter_map(move |it| match it {
        Event::Told(said) => said.strip_prefix(what),
        _ => None,
    })
}

/// Cuts the power `n` times; what is wrong afterwards begins with the number of the cut.
///
/// # Errors
/// If what is left could not be written out.
pub fn cuts(load: &Recorded, n: usize, seed: u64, deaf_to: Option<&'static str>) -> Result<Vec<String>> {
    let mut dice = Dice::seeded(seed ^ 0x0070_6f77_6572);
    let mut moments: Vec<usize> = (0..n).map(|_| dice.below(load.events.len() + 1)).collect();
    moments.sort_unstable();
    let mut disk = Disk::deaf_to(deaf_to);
    let mut known = Known::default();
    let (mut wrong, mut done) = (Vec::new(), 0);
    for (n, moment) in moments.into_iter().enumerate() {
        for event in &load.events[done..moment] {
            disk.take(event);
            known.take(event, &load.slips);
        }
        done = moment;
        let fate = FATES[n % FATES.len()];
        let folder = scratch::in_memory()?;
        let closer = n % LOOK_CLOSER == 0;
        let wanted = |path: &str| closer || !path.contains("/backups/");
        disk.cut(fate, &mut dice, (&load.root, folder.path()), wanted)?;
        let found = known.judge(folder.path(), &load.slips, closer);
        wrong.extend(found.into_iter().map(|it| format!("cut {n} after event {moment}, {fate:?}: {it}")));
    }
    Ok(wrong)
}

/// What had been acknowledged by then.
#[derive(Debug, Default)]
struct Known {
    noted: Vec<Slip>,
    seasons: usize,
    backups: Vec<String>,
}

/// Entries of the two seasons, in the order in which they are brought in: fewer are never right.
const SEASON_ENTRIES_MIN: [u64; 3] = [0, 500, 1_500];

impl Known {
    fn take(&mut self, event: &Event, slips: &[Slip]) {
        let Event::Told(said) = event else { return };
        if let Some(id) = said.strip_prefix("noted ") {
            self.noted.extend(slips.iter().find(|it| it.id.to_string() == id).cloned());
        } else if let Some(file) = said.strip_prefix("backed up ") {
            self.backups.push(file.to_owned());
        } else if said == "brought in" {
            self.seasons += 1;
        }
    }

    fn judge(&self, left: &Path, slips: &[Slip], closer: bool) -> Vec<String> {
        let book = left.join(BOOK);
        let nothing_promised = self.noted.is_empty() && self.seasons == 0;
        if nothing_promised && !book.join(store::BOOK_FILE).exists() {
            return Vec::new();
        }
        let mut wrong = judge(&book, &self.noted, slips);
        if let Ok(store) = Store::open(&book, Access::Write) {
            let n = store.len().unwrap_or(0);
            let least = SEASON_ENTRIES_MIN.get(self.seasons).copied().unwrap_or(0) + self.noted.len() as u64;
            if n < least {
                wrong.push(format!("lost: {n} entries where at least {least} were acknowledged"));
            }
            if closer && let Err(failure) = store.put_about("after the cut", "goes on") {
                wrong.push(format!("unreadable: nothing can be written any more: {failure}"));
            }
        }
        for file in self.backups.iter().filter(|_| closer) {
            let into = left.join("restored").join(file);
            if let Err(failure) = store::restore(&left.join("backups").join(file), &into) {
                wrong.push(format!("lost: backup {file}: {failure}"));
            }
        }
        wrong
    }
}
