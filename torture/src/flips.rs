//! Single flipped bits, in the closed book and in a backup.

use crate::dice::Dice;
use crate::{Outcome, scratch};
use anyhow::{Result, ensure};
use keeper::demo::{Season, make_book};
use rearing::Entry;
use std::path::Path;
use store::{Access, BOOK_FILE, Store, restore};

/// Full size: flips in the book, and as many in a backup.
pub const FULL: usize = 10_000;
/// Small size, for every change.
pub const SMALL: usize = 150;

/// Settings whose change a keeper would feel.
const SETTINGS: [&str; 3] = ["zone", "pretended_now", "notice"];

#[derive(Debug, PartialEq)]
struct Holds {
    entries: Vec<Entry>,
    settings: Vec<Option<String>>,
}

#[derive(Debug, Default)]
struct Tally {
    told: usize,
    harmless: usize,
    silent: Vec<String>,
}

/// Flips one bit after the other.
///
/// # Errors
/// If the trial itself could not be carried out.
pub fn run(flips: usize, seed: u64) -> Result<Vec<Outcome>> {
    let folder = scratch::in_memory()?;
    let (book, backup) = (folder.path().join("book"), folder.path().join("backup"));
    make_book(&book, Season::A, Season::A.day_to_look_at())?;
    let store = Store::open(&book, Access::Write)?;
    store.back_up(&backup, "2025-06-01T07:00:00Z".parse()?)?;
    let whole = holds(&store)?;
    drop(store);
    let mut dice = Dice::seeded(seed);
    let in_book = flip_all(&book.join(BOOK_FILE), flips, &mut dice, &whole, |_| checked(&book))?;
    let in_backup = flip_all(&backup, flips, &mut dice, &whole, |n| {
        let into = folder.path().join(format!("into{n}"));
        let restored = restore(&backup, &into).ok().and_then(|_| checked(&into));
        let _ = std::fs::remove_dir_all(&into);
        restored
    })?;
    Ok(vec![outcome("bits in the book", flips, in_book), outcome("bits in a backup", flips, in_backup)])
}

fn outcome(name: &'static str, flips: usize, tally: Tally) -> Outcome {
    let did = format!(
        "{flips} single flips: {} told or refused, {} without effect, {} silent",
        tally.told,
        tally.harmless,
        tally.silent.len()
    );
    Outcome::of(name, did, tally.silent)
}

fn flip_all(
    file: &Path,
    flips: usize,
    dice: &mut Dice,
    whole: &Holds,
    look: impl Fn(usize) -> Option<Holds>,
) -> Result<Tally> {
    let closed = std::fs::read(file)?;
    ensure!(look(usize::MAX).as_ref() == Some(whole), "the file is not whole to begin with");
    let mut tally = Tally::default();
    for n in 0..flips {
        let bit = dice.below(closed.len() * 8);
        let mut flipped = closed.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        std::fs::write(file, flipped)?;
        match look(n) {
            None => tally.told += 1,
            Some(holds) if holds == *whole => tally.harmless += 1,
            Some(_) => tally.silent.push(format!("bit {bit} changed a value, and nothing was said")),
        }
    }
    std::fs::write(file, closed)?;
    Ok(tally)
}

/// What a book holds, if nothing is found wrong with it.
fn checked(book: &Path) -> Option<Holds> {
    let store = Store::open(book, Access::Read).ok()?;
    if !store.check().ok()?.is_empty() {
        return None;
    }
    holds(&store).ok()
}

fn holds(store: &Store) -> Result<Holds> {
    let settings = SETTINGS.iter().map(|it| store.about(it)).collect::<Result<_, _>>()?;
    Ok(Holds { entries: store.entries()?, settings })
}
