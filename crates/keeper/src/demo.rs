//! Three seasons of our own invention, to look at and to try things on.

use crate::bring_in::{NotBroughtIn, entries_of};
use crate::clock::AsOf;
use exchange::SeasonFiles;
use jiff::civil::date;
use jiff::tz::TimeZone;
use rearing::Entry;
use std::path::Path;
use std::str::FromStr;
use store::Store;

/// One of the demo seasons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Season {
    /// Emperor moth, 28 eggs, a generation that closes by a thread.
    A,
    /// Cecropia, two lines and a virus.
    B,
    /// Eri, two generations before winter.
    C,
}

/// A word that names no demo season.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no demo season `{0}`: take a, b or c")]
pub struct NoSuchSeason(pub String);

impl FromStr for Season {
    type Err = NoSuchSeason;
    fn from_str(word: &str) -> Result<Self, NoSuchSeason> {
        match word.to_ascii_lowercase().as_str() {
            "a" => Ok(Season::A),
            "b" => Ok(Season::B),
            "c" => Ok(Season::C),
            _ => Err(NoSuchSeason(word.to_owned())),
        }
    }
}

macro_rules! tables {
    ($folder:literal: $($name:literal),*) => {
        &[$(($name, include_bytes!(concat!("../../../demo/", $folder, "/", $name)) as &[u8])),*]
    };
}

impl Season {
    /// The day that a newcomer is shown.
    #[must_use]
    pub fn day_to_look_at(self) -> AsOf {
        AsOf::Morning(match self {
            Season::A => date(2025, 6, 1),
            Season::B => date(2025, 7, 15),
            Season::C => date(2025, 8, 26),
        })
    }

    /// Where the season is set.
    #[must_use]
    pub fn zone(self) -> &'static str {
        match self {
            Season::A => "Europe/London",
            Season::B => "America/New_York",
            Season::C => "Asia/Kolkata",
        }
    }

    fn name(self) -> &'static str {
        match self {
            Season::A => "a_emperor_brackenfold",
            Season::B => "b_cecropia_millrun",
            Season::C => "c_eri_amlokhi",
        }
    }

    /// Its tables, by file name.
    #[must_use]
    pub fn tables(self) -> &'static [(&'static str, &'static [u8])] {
        match self {
            Season::A => {
                tables!("a_emperor_brackenfold": "lots.csv", "boxes.csv", "events.csv", "counts.csv", "conditions.csv", "leaf.csv", "cocoons.csv", "weights.csv", "adults.csv", "pairings.csv")
            }
            Season::B => {
                tables!("b_cecropia_millrun": "lots.csv", "boxes.csv", "events.csv", "counts.csv", "conditions.csv", "leaf.csv", "cocoons.csv", "weights.csv", "adults.csv", "pairings.csv")
            }
            Season::C => {
                tables!("c_eri_amlokhi": "lots.csv", "boxes.csv", "events.csv", "counts.csv", "conditions.csv", "leaf.csv", "cocoons.csv", "adults.csv", "pairings.csv")
            }
        }
    }

    /// All its entries.
    ///
    /// # Errors
    /// If the tables have a fault, which a test excludes.
    pub fn entries(self) -> Result<Vec<Entry>, NotBroughtIn> {
        let mut files = SeasonFiles::new(self.name());
        for (name, bytes) in self.tables() {
            files.add(name, bytes);
        }
        Ok(entries_of(&files, self.zone())?.entries)
    }
}

/// Makes a book in a folder from a demo season as it stood at a moment, whose
/// clock goes on from there.
///
/// # Errors
/// If there is a book in the folder already, or it cannot be written.
pub fn make_book(folder: &Path, season: Season, day: AsOf) -> Result<(), NotBroughtIn> {
    let zone = TimeZone::get(season.zone())
        .map_err(|_| crate::Failure::UnknownZone { zone: season.zone().to_owned() })?;
    let now = day.in_zone(&zone);
    let entries: Vec<Entry> = season.entries()?.into_iter().filter(|it| it.happened.at <= now).collect();
    let store = Store::create(folder).map_err(crate::Failure::from)?;
    let about = [
        ("zone", season.zone().to_owned()),
        ("pretended_now", now.to_string()),
        (
            "notice",
            "This is a scratch book with an invented season: try anything, nothing is lost by it.".to_owned(),
        ),
    ];
    for (key, value) in about {
        store.put_about(key, &value).map_err(crate::Failure::from)?;
    }
    store.append(&entries).map_err(crate::Failure::from)?;
    Ok(())
}
