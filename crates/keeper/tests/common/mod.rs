//! Scratch books of the demo seasons.
#![allow(clippy::unwrap_used, dead_code, reason = "a test may panic; each test file uses its part of this")]

use keeper::demo::{self, Season};
use keeper::{AsOf, Keeper, Opening};
use std::collections::BTreeMap;
use tempfile::TempDir;

/// A scratch book that goes away with the test.
pub struct Book {
    pub keeper: Keeper,
    pub folder: TempDir,
}

/// A demo season as it stood at a moment, at which the clock stands still.
pub fn demo(season: Season, day: &str) -> Book {
    keeper_at(season, day, day)
}

/// A demo season as it stood at one moment, with the clock standing at another.
pub fn keeper_at(season: Season, day: &str, now: &str) -> Book {
    let folder = tempfile::tempdir().unwrap();
    demo::make_book(folder.path(), season, day.parse().unwrap()).unwrap();
    open_at(folder, now)
}

pub fn open_at(folder: TempDir, now: &str) -> Book {
    let still_at: Option<AsOf> = Some(now.parse().unwrap());
    let keeper = Keeper::open(folder.path(), &Opening { still_at, ..Opening::default() }).unwrap();
    Book { keeper, folder }
}

/// A demo season whose keeper claims another species.
pub fn with_species(season: Season, day: &str, species: &str) -> Book {
    let folder = tempfile::tempdir().unwrap();
    let tables = folder.path().join("tables");
    std::fs::create_dir(&tables).unwrap();
    for (name, bytes) in season.tables() {
        let text = String::from_utf8(bytes.to_vec()).unwrap();
        std::fs::write(tables.join(name), text.replace("Saturnia pavonia", species)).unwrap();
    }
    let book = folder.path().join("book");
    keeper::bring_in::bring_in(&book, &tables, Some(season.zone()), false).unwrap();
    let as_of: Option<AsOf> = Some(day.parse().unwrap());
    let keeper = Keeper::open(&book, &Opening { as_of, ..Opening::default() }).unwrap();
    Book { keeper, folder }
}

/// A table of a demo season as rows by column; the demo tables quote only fields that hold a comma.
pub fn demo_table(season: Season, name: &str) -> Vec<BTreeMap<String, String>> {
    let folder = match season {
        Season::A => "a_emperor_brackenfold",
        Season::B => "b_cecropia_millrun",
        Season::C => "c_eri_amlokhi",
    };
    let path = format!("{}/../../demo/{folder}/{name}", env!("CARGO_MANIFEST_DIR"));
    csv::Reader::from_path(path).unwrap().deserialize().map(Result::unwrap).collect()
}
