//! A keeper fills the tables over months and brings them in now and then:
//! what was there before must not be noted again, nor get another number.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{SEASONS, files, read};
use exchange::Complaint;
use rearing::{Deed, replay};
use std::collections::{BTreeMap, BTreeSet};

/// The tables as they stood in the evening of a day: later rows are not there,
/// and cells about what comes later are empty.
fn on_the_day(season: &str, today: &str) -> BTreeMap<String, Vec<u8>> {
    files(season)
        .into_iter()
        .map(|(file, bytes)| (file.clone(), table_on_the_day(&file, &bytes, today)))
        .collect()
}

fn table_on_the_day(file: &str, bytes: &[u8], today: &str) -> Vec<u8> {
    let (starts, later): (&str, &[(&str, &[&str])]) = match file {
        "lots.csv" => ("received", &[]),
        "boxes.csv" => ("opened", &[("closed", &["closed"])]),
        "cocoons.csv" => ("harvested_on", &[("fate_on", &["fate", "fate_on"])]),
        "adults.csv" => ("emerged_on", &[("fate_on", &["fate", "fate_on"])]),
        _ => ("date", &[]),
    };
    let mut reader = csv::Reader::from_reader(bytes);
    let header: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let at = |name: &str| header.iter().position(|it| it == name).unwrap();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&header).unwrap();
    for record in reader.records() {
        let mut cells: Vec<String> = record.unwrap().iter().map(str::to_owned).collect();
        // The two bought cocoons have no harvest; they came in on this day.
        let begins = if cells[at(starts)].is_empty() { "2025-09-20" } else { &cells[at(starts)] };
        if begins > today {
            continue;
        }
        for (day, emptied) in later {
            if cells[at(day)].as_str() > today {
                emptied.iter().for_each(|it| cells[at(it)].clear());
            }
        }
        writer.write_record(cells).unwrap();
    }
    writer.into_inner().unwrap()
}

#[test]
fn what_was_brought_in_before_is_not_brought_in_again() {
    let days = [
        (0, "2025-05-18"),
        (0, "2025-06-10"),
        (0, "2025-07-30"),
        (0, "2026-01-02"),
        (0, "2026-04-25"),
        (1, "2025-06-30"),
        (1, "2025-09-06"),
        (1, "2025-12-20"),
        (1, "2026-05-04"),
        (1, "2026-05-21"),
        (2, "2025-09-14"),
        (2, "2025-10-20"),
        (2, "2025-11-08"),
    ];
    for (season, today) in days {
        let (name, zone) = SEASONS[season];
        let (early, complaints) = read(name, &on_the_day(name, today), zone);
        let refused: Vec<&Complaint> = complaints.iter().filter(|it| it.is_refused()).collect();
        assert!(refused.is_empty(), "{name} on {today}: {refused:#?}");
        let (whole, _) = read(name, &files(name), zone);
        let known: BTreeMap<_, _> = whole.entries.iter().map(|it| (it.id, it)).collect();
        // How many of a laying hatched bears the last day of the tables, which moves.
        let is_dated = |deed: &Deed| !matches!(deed, Deed::PairingTold(it) if it.hatched.is_some());
        for entry in early.entries.iter().filter(|it| is_dated(&it.deed)) {
            assert_eq!(known.get(&entry.id), Some(&entry), "{name} on {today}: {}", entry.deed.in_words());
        }
        // Brought in one after the other, the book still follows and adds up.
        let there: BTreeSet<_> = early.entries.iter().map(|it| it.id).collect();
        let mut book = early.entries.clone();
        book.extend(whole.entries.iter().filter(|it| !there.contains(&it.id)).cloned());
        let (grown, at_once) = (replay(&book).unwrap(), replay(&whole.entries).unwrap());
        assert_eq!(grown.unaccounted(), []);
        for line in at_once.lines() {
            assert_eq!(grown.account_of_line(&line), at_once.account_of_line(&line), "{name} on {today}");
        }
        assert_eq!(grown.pairings, at_once.pairings, "{name} on {today}");
    }
}
