//! The pairing board on nights of the demo seasons.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::demo;
use keeper::PairingNote;
use keeper::demo::Season;
use keeper::view::pairings::Pairings;
use std::collections::BTreeSet;

fn board(season: Season, at: &str) -> Pairings {
    demo(season, at).keeper.pairings().unwrap()
}

/// Capability 11 of the job: each living male for H-C09F, 0.25 with her brothers, the one of the other line first.
#[test]
fn the_wanted_cross_stands_first_on_its_evening() {
    let board = board(Season::A, "2026-04-28T17:00");
    assert_eq!(board.night, "night of 28/29 April");
    let [female] = board.females.as_slice() else { panic!("{:?}", board.females) };
    assert_eq!(female.moth.moth, "H-C09F");
    let males: BTreeSet<&str> = female.males.iter().map(|it| it.male.as_str()).collect();
    // From adults.csv: out by then, and not yet dead.
    assert_eq!(males, BTreeSet::from(["H-C02M", "H-C04M", "H-C07M", "MO-C01M"]));
    assert_eq!(female.males[0].male, "MO-C01M");
    assert_eq!(female.tonight.as_deref(), Some("MO-C01M"));
    assert!(female.males[0].kinship.starts_with("not known to be kin"), "{:?}", female.males[0]);
    for brother in &female.males[1..] {
        assert_eq!(brother.inbreeding, Some((0.25, 0.25)), "{brother:?}");
        assert!(brother.kinship.contains("brother and sister"));
    }
    // The sure thing of two days before lays, and is not offered again.
    assert_eq!(board.laying.iter().map(|it| it.moth.as_str()).collect::<Vec<_>>(), ["H-C10F"]);
    assert!(board.says.contains("H-C09F with MO-C01M"), "{}", board.says);
}

#[test]
fn the_last_female_finds_no_male_and_is_told_what_is_left_to_do() {
    let board = board(Season::A, "2026-05-09T17:00");
    let [female] = board.females.as_slice() else { panic!("{:?}", board.females) };
    assert_eq!((female.moth.moth.as_str(), female.males.len()), ("H-C03F", 0));
    assert!(board.says.contains("No male is alive for H-C03F"), "{}", board.says);
    let options = female.options.join(" ");
    for way in ["Assemble a wild male", "Ask the club", "Chill her", "H-C01"] {
        assert!(options.contains(way), "{way}: {options}");
    }
    assert!(options.contains("custom"), "chilling is custom and says so");
}

/// After the season: took, did not take, eggs and hatch as in pairings.csv.
#[test]
fn what_became_of_each_pairing_is_what_the_table_says() {
    let board = board(Season::A, "2026-06-30T20:00");
    let row = |name: &str| board.noted.iter().find(|it| it.pairing == name).unwrap();
    assert_eq!((row("P26-1").took, row("P26-2").took, row("P26-3").took), ("took", "took", "did not take"));
    assert_eq!(row("P26-1").laid.iter().map(|(_, n)| n).sum::<u32>(), 97);
    assert!(row("P26-1").hatch.starts_with("58 of 97 hatched: 60 in 100"), "{}", row("P26-1").hatch);
    assert!(row("P26-2").hatch.starts_with("107 of 118 hatched: 91 in 100"), "{}", row("P26-2").hatch);
    assert!(row("P26-3").hatch.starts_with("0 of 61 hatched"), "{}", row("P26-3").hatch);
    assert!(board.females.is_empty() && board.males.is_empty());
    assert!(board.says.starts_with("No moth is alive"), "{}", board.says);
}

#[test]
fn several_females_get_a_male_each_and_of_the_other_line_as_far_as_they_go() {
    let board = board(Season::B, "2026-05-23T20:00");
    let given: Vec<&String> = board.females.iter().filter_map(|it| it.tonight.as_ref()).collect();
    let apart: BTreeSet<&&String> = given.iter().collect();
    assert_eq!(apart.len(), given.len(), "one male for two: {given:?}");
    assert_eq!(given.len(), board.females.len().min(board.males.len()));
    let crosses = board.females.iter().filter(|it| it.males[0].inbreeding == Some((0.0, 0.0))).count();
    // By hand: Millrun females wait for Pinelot males and the reverse; no cross that could be is missed.
    let of = |line: &str| board.males.iter().filter(|it| it.line == line).count();
    let she = |line: &str| board.females.iter().filter(|it| it.moth.line == line).count();
    let possible = she("MILLRUN").min(of("PINELOT")) + she("PINELOT").min(of("MILLRUN"));
    assert_eq!(crosses, possible);
    // The two halves of one posted laying are brothers and sisters.
    let pinelot = board.females.iter().find(|it| it.moth.line == "PINELOT").unwrap();
    let brother = pinelot.males.iter().find(|it| it.line == "PINELOT").unwrap();
    assert_eq!(brother.inbreeding, Some((0.25, 0.25)), "{brother:?}");
}

#[test]
fn of_a_packet_whose_parents_nobody_knows_it_says_so() {
    let board = board(Season::C, "2025-09-21T12:00");
    let female = board.females.iter().find(|it| !it.males.is_empty()).unwrap();
    assert_eq!(female.males[0].inbreeding, Some((0.0, 0.25)), "{:?}", female.males[0]);
    assert!(female.males[0].kinship.contains("nobody knows"), "{:?}", female.males[0]);
}

/// A night's notes as the page makes them: put together by hand, took in the morning, eggs by night, the hatch.
#[test]
fn a_pairing_is_noted_step_by_step_and_nothing_told_before_is_lost() {
    let book = demo(Season::A, "2026-04-28T17:00");
    let keeper = &book.keeper;
    let note = |female: &str, male: &str| PairingNote {
        id: Some(keeper.fresh_id()),
        female: female.to_owned(),
        male: male.to_owned(),
        method: "by hand".to_owned(),
        took: None,
    };
    let wanted = note("H-C09F", "MO-C01M");
    let saved = keeper.note_pairing(&wanted).unwrap();
    assert_eq!(saved.says, ["P26-2: H-C09F with MO-C01M"]);
    // The same form sent twice is noted once.
    assert_eq!(keeper.note_pairing(&wanted).unwrap().ids, saved.ids);
    let row =
        |name: &str| keeper.pairings().unwrap().noted.into_iter().find(|it| it.pairing == name).unwrap();
    assert_eq!((row("P26-2").took, row("P26-2").method.as_str()), ("not told yet", "by hand"));
    keeper.note_laid("P26-2", 118, None).unwrap();
    keeper.note_hatched("P26-2", 107, None).unwrap();
    keeper.note_took("P26-2", true, None).unwrap();
    let row = row("P26-2");
    assert_eq!((row.took, row.hatched, row.laid[0].1), ("took", Some(107), 118));
    let board = keeper.pairings().unwrap();
    assert!(board.females.is_empty(), "she lays now: {:?}", board.females);
    assert!(board.males.iter().any(|it| it.moth == "MO-C01M" && it.used == ["P26-2"]));
    // What cannot be is refused with a sentence, and nothing is saved.
    let entries = keeper.entries().len();
    for (female, male) in
        [("H-C99F", "MO-C01M"), ("MO-C01M", "H-C09F"), ("H-C09F", "H-C05M"), ("H-C09F", " ")]
    {
        assert!(keeper.note_pairing(&note(female, male)).is_err(), "{female} {male}");
    }
    assert!(keeper.note_hatched("P26-2", 119, None).is_err());
    assert!(keeper.note_laid("P26-9", 10, None).is_err());
    assert_eq!(keeper.entries().len(), entries);
    // What later entries rest on is not pulled from under them.
    assert!(keeper.undo(saved.ids[0]).is_err());
    assert!(keeper.note_pairing(&note("H-C09F", "wild, unknown")).is_ok());
}
