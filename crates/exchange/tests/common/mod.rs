//! The three seasons of the demo folder, as files and as plain rows.

#![allow(dead_code, reason = "not every test needs every helper")]
#![allow(clippy::expect_used, clippy::panic, reason = "a test may panic")]

use exchange::{Complaint, Season, SeasonFiles, Table, read_season};
use rearing::Deed;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Folder and time zone of each season.
pub const SEASONS: [(&str, &str); 3] = [
    ("a_emperor_brackenfold", "Europe/London"),
    ("b_cecropia_millrun", "America/New_York"),
    ("c_eri_amlokhi", "Asia/Kolkata"),
];

fn folder(season: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "..", "..", "demo", season].iter().collect()
}

/// The tables of a season that a reader takes, by file name.
pub fn files(season: &str) -> BTreeMap<String, Vec<u8>> {
    let there = |it: &Table| folder(season).join(it.file_name()).exists();
    let read = |it: Table| {
        (it.file_name().to_owned(), std::fs::read(folder(season).join(it.file_name())).expect("it is there"))
    };
    Table::ALL.into_iter().filter(there).map(read).collect()
}

pub fn read(name: &str, files: &BTreeMap<String, Vec<u8>>, zone: &str) -> (Season, Vec<Complaint>) {
    let mut season = SeasonFiles::new(name);
    for (file, bytes) in files {
        assert!(season.add(file, bytes), "{file}");
    }
    read_season(&season, zone, "keeper")
}

/// A table as plain rows by column; the demo tables need no more than this.
pub fn rows(season: &str, file: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_path(folder(season).join(file)).expect("the demo table is there");
    reader.deserialize().collect::<Result<_, _>>().expect("the demo table can be read")
}

/// Leaf offered and leaf gone over a season, in grams.
pub fn leaf_fresh_g(season: &Season) -> (f64, f64) {
    season.entries.iter().fold((0.0, 0.0), |(offered, gone), it| match &it.deed {
        Deed::LeafChanged(it) => {
            (offered + it.offered_fresh_g, gone + it.offered_fresh_g - it.left_fresh_g.unwrap_or(0.0))
        }
        _ => (offered, gone),
    })
}
