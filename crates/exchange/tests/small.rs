//! Small seasons, written out whole, for what the demo seasons do not hold.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::read;
use exchange::{Complaint, Season};
use rearing::{House, replay};
use std::collections::BTreeMap;
use terms::Stage;

const LOTS: &str = "lot,line,species,received,n\nA-25,A,Saturnia pavonia,2025-05-01,8\n";
const BOXES: &str =
    "box,line,opened,closed\nA01,A,2025-05-01,\nA02,A,2025-05-08,\nA03,A,2025-05-09,2025-06-30\n";
const HEADER: &str = "date,time,line,box,event,n,stage_from,stage_to,to_box,cause,note\n";
const START: &str = "2025-05-01,18:00,A,A01,receive,8,,egg,,,\n2025-05-08,07:40,A,A01,hatch,8,egg,L1,A02,,\n";

fn season(events: &str, more: &[(&str, &str)]) -> (Season, Vec<Complaint>) {
    let events = format!("{HEADER}{START}{events}");
    let tables = [("lots.csv", LOTS), ("boxes.csv", BOXES), ("events.csv", &events)];
    let files: BTreeMap<String, Vec<u8>> = tables
        .iter()
        .chain(more)
        .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
        .collect();
    read("small", &files, "Europe/London")
}

fn house(events: &str, more: &[(&str, &str)]) -> (House, Vec<Complaint>) {
    let (season, complaints) = season(events, more);
    let refused: Vec<String> =
        complaints.iter().filter(|it| it.is_refused()).map(ToString::to_string).collect();
    assert!(refused.is_empty(), "{refused:#?}");
    (replay(&season.entries).unwrap(), complaints)
}

#[test]
fn larvae_are_moved_and_a_box_is_let_back() {
    let (house, _) = house(
        "2025-05-09,08:00,A,A02,move,3,L1,L1,A03,,more room\n\
         2025-05-10,08:00,A,A03,quarantine,3,L1,,,limp,\n\
         2025-05-12,08:00,A,A03,let_back,0,,,,,\n\
         2025-05-12,09:00,A,A03,move,3,L1,,A02,,\n",
        &[],
    );
    assert_eq!(house.boxes["A02"].count(Some("A"), Stage::Larva(1)), 8);
    assert_eq!(house.boxes["A03"].set_apart, None);
    // Nothing in the log closes it, so the table of boxes does.
    assert_eq!(house.boxes["A03"].closed.map(|it| it.to_string()).as_deref(), Some("2025-06-30"));
}

#[test]
fn a_box_with_animals_in_it_is_not_closed_by_the_table_of_boxes() {
    let (_, complaints) = season("2025-05-09,08:00,A,A02,move,3,L1,L1,A03,,\n", &[]);
    let refused: Vec<String> =
        complaints.iter().filter(|it| it.is_refused()).map(ToString::to_string).collect();
    let says = "boxes.csv, line 4, column box: box A03 still holds 3: move them or note what became of them before closing it";
    assert_eq!(refused, [says]);
}

/// The larvae are L1 and cannot spin as L5; the row says so.
#[test]
fn the_stage_of_a_row_is_the_one_of_the_book() {
    let (season, complaints) = season("2025-05-20,07:40,A,A02,spin,8,L5,cocoon,,,\n", &[]);
    assert!(season.entries.is_empty());
    assert!(
        complaints[0].to_string().starts_with("events.csv, line 4, column n: box A02 holds 0 in L5, not 8")
    );
}

const SPUN: &str =
    "2025-05-20,07:40,A,A02,spin,8,L1,cocoon,,,\n2025-06-20,16:00,A,A02,harvest,8,cocoon,cocoon,TRAY,,\n";

fn cocoons(sexes: &str) -> String {
    let mut table = "cocoon,line,lot,harvested_on,tray,sex\n".to_owned();
    for (index, sex) in sexes.chars().enumerate() {
        table.push_str(&format!("C{index},A,A-25,2025-06-20,TRAY,{sex}\n"));
    }
    table
}

fn lying(house: &House, name: &str) -> Vec<String> {
    house
        .cocoons
        .iter()
        .filter(|(_, it)| it.lies_in.as_deref() == Some(name))
        .map(|(number, _)| number.clone())
        .collect()
}

#[test]
fn the_sex_that_is_named_first_is_meant() {
    let table = cocoons("FMFMFMFM");
    for (note, first) in [("females before the males", "C0"), ("males first, then females", "C1")] {
        let events = format!("{SPUN}2025-06-21,16:00,A,TRAY,warm,4,cocoon,cocoon,CAGE,,\"{note}\"\n");
        let (house, complaints) = house(&events, &[("cocoons.csv", &table)]);
        assert_eq!(lying(&house, "CAGE")[0], first, "{note}");
        assert_eq!(lying(&house, "CAGE").len(), 4);
        let word = note.split(' ').next().unwrap();
        assert!(
            complaints.iter().any(|it| it.says.contains(&format!("all {word} that were alive"))),
            "{complaints:#?}"
        );
    }
}

#[test]
fn some_of_the_cocoons_without_numbers_go() {
    let events = format!(
        "{SPUN}2025-06-21,16:00,A,TRAY,store,5,cocoon,cocoon,COLD,,\n2025-06-22,16:00,A,COLD,stifle,2,cocoon,,,,\n2025-07-01,12:00,A,TRAY,emerge,2,cocoon,adult,,,\n"
    );
    let (house, complaints) = house(&events, &[]);
    assert_eq!(house.boxes["COLD"].total(), 3);
    assert_eq!(house.boxes["TRAY"].count(Some("A"), Stage::Moth), 2);
    assert_eq!(house.unaccounted(), []);
    assert_eq!(complaints.len(), 2, "only the two vessels: {complaints:#?}");
}

/// A store whose own fates are not kept in the table of cocoons is no contradiction.
#[test]
fn a_table_of_cocoons_without_fates() {
    let events = format!("{SPUN}2025-06-21,16:00,A,TRAY,death,1,cocoon,,,dried out,C3\n");
    let (house, _) = house(&events, &[("cocoons.csv", &cocoons("FMFMFMFM"))]);
    assert_eq!(lying(&house, "TRAY").len(), 7);
    assert!(house.cocoons["C3"].gone.is_some());
}

/// A day in the book is the keeper's day, also in the hour that the clocks skip or repeat.
#[test]
fn the_nights_on_which_the_clocks_change() {
    let events = format!(
        "{SPUN}2025-10-26,01:30,A,TRAY,death,1,cocoon,,,,\n2026-03-29,01:30,A,TRAY,death,1,cocoon,,,,\n"
    );
    let (season, _) = season(&events, &[]);
    let walls: Vec<String> =
        season.entries.iter().rev().take(2).map(|it| it.happened.wall.to_string()).collect();
    assert_eq!(walls, ["2026-03-29T01:30:00", "2025-10-26T01:30:00"]);
    assert!(replay(&season.entries).is_ok());
}
