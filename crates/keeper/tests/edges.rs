//! Numbers at the edge: none, one, all dead, no grams, and what is no number. Each gets an answer or a sentence.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{Book, open_at};
use keeper::rearing::Deed;
use keeper::view::round::{Dead, MovedOn, RoundNote};
use keeper::{NotNoted, make_empty_book};
use serde_json::{Value, json};
use terms::Stage::{self, Cocoon, Egg, Larva};

const NOW: &str = "2025-06-01T07:40";

fn note(book: &Book, kind: &str, what: Value) -> Result<(), NotNoted> {
    let deed: Deed = serde_json::from_value(json!({ "kind": kind, "what": what })).unwrap();
    book.keeper.note(vec![deed], None, "keeper").map(|_| ())
}

fn empty() -> Book {
    let folder = tempfile::tempdir().unwrap();
    make_empty_book(folder.path(), "Europe/London").unwrap();
    let book = open_at(folder, NOW);
    note(&book, "box-opened", json!({ "box": "H01", "line": "HEATH" })).unwrap();
    book
}

/// A book with so many animals in one box.
fn with(n: u32, stage: &str) -> Book {
    let book = empty();
    note(&book, "lot-received", lot(n, stage)).unwrap();
    book
}

fn lot(n: u32, stage: &str) -> Value {
    json!({
        "lot": "HEATH-25", "line": "HEATH", "species": "Saturnia pavonia", "n": n, "stage": stage,
        "box": "H01", "laid": "2025-04-24",
    })
}

fn dead(stage: Stage, n: u32) -> RoundNote {
    RoundNote {
        dead: Some(Dead { stage, n, sign: "limp".to_owned(), remark: String::new() }),
        ..RoundNote::default()
    }
}

fn moved(from: Stage, n: u32, spun: bool) -> RoundNote {
    let moved_on = Some(MovedOn { from, n, spun, into: None, into_is_new: false });
    RoundNote { moved_on, ..RoundNote::default() }
}

/// Every question that a page asks; an answer that holds a number that is none is no answer.
fn every_answer(book: &Book, case: &str) {
    let keeper = &book.keeper;
    let answers = [
        format!("{:?}", keeper.morning().unwrap()),
        format!("{:?}", keeper.box_round("H01").unwrap()),
        format!("{:?}", keeper.brood("HEATH").unwrap()),
        format!("{:?}", keeper.leaf().unwrap()),
        format!("{:?}", keeper.odds("HEATH").unwrap()),
        format!("{:?}", keeper.trouble().unwrap()),
        format!("{:?}", keeper.lines().unwrap()),
        format!("{:?}", keeper.brood("NOBODY").unwrap()),
        format!("{:?}", keeper.odds("").unwrap()),
    ];
    for answer in answers {
        for broken in ["NaN", " inf", "-inf"] {
            assert!(!answer.contains(broken), "{case}: {answer}");
        }
    }
}

#[test]
fn a_house_with_none_one_or_all_dead_answers_every_question() {
    let all_dead = with(3, "egg");
    all_dead.keeper.note_round("H01", &dead(Egg, 3)).unwrap();
    let all_failed = with(2, "egg");
    all_failed.keeper.note_round("H01", &RoundNote { eggs_failed: Some(2), ..RoundNote::default() }).unwrap();
    let all_short = with(2, "L3");
    all_short
        .keeper
        .note_round("H01", &RoundNote { short: Some((Larva(3), 2)), ..RoundNote::default() })
        .unwrap();
    let hot = with(4, "L2");
    note(&hot, "air-read", json!({ "place": "shed", "air_c_min": 55.0, "air_c_max": 60.0 })).unwrap();
    let frozen = with(4, "L2");
    note(&frozen, "air-read", json!({ "place": "shed", "air_c_min": -40.0, "air_c_max": -40.0 })).unwrap();
    let no_leaf = with(1, "L4");
    let leaf =
        RoundNote { leaf_offered_fresh_g: Some(0.0), leaf_left_fresh_g: Some(0.0), ..RoundNote::default() };
    no_leaf.keeper.note_round("H01", &leaf).unwrap();
    let unknown = empty();
    let mut odd = lot(5, "egg");
    odd["species"] = json!("Nobody knows");
    odd["laid"] = Value::Null;
    note(&unknown, "lot-received", odd).unwrap();
    let future = with(2, "egg");
    let cases = [
        ("no animal", empty()),
        ("1 egg", with(1, "egg")),
        ("1 larva", with(1, "L1")),
        ("1 larva in the last instar", with(1, "L5")),
        ("1 cocoon", with(1, "cocoon")),
        ("1 moth", with(1, "moth")),
        ("100,000 eggs", with(100_000, "egg")),
        ("all dead", all_dead),
        ("all eggs failed", all_failed),
        ("all short", all_short),
        ("above every curve", hot),
        ("below every curve", frozen),
        ("0 g of leaf", no_leaf),
        ("an unknown species without a date", unknown),
        ("2 eggs", future),
    ];
    for (case, book) in &cases {
        every_answer(book, case);
    }
}

/// What is noted at a box with 3 eggs and 2 larvae (L3), and the sentence that refuses it.
#[test]
fn what_cannot_be_is_refused_with_a_sentence_and_leaves_nothing() {
    let book = with(3, "egg");
    let mut more = lot(2, "L3");
    more["lot"] = json!("HEATH-26");
    note(&book, "lot-received", more).unwrap();
    let leaf = |offered, left| RoundNote {
        leaf_offered_fresh_g: offered,
        leaf_left_fresh_g: left,
        ..RoundNote::default()
    };
    let counted = |seen| RoundNote { counted: true, seen: Some(seen), ..RoundNote::default() };
    let rounds: [(RoundNote, &str); 20] = [
        (RoundNote::default(), "nothing was chosen"),
        (dead(Egg, 0), "must lie between 1"),
        (dead(Egg, 4), "holds 3 in egg, not 4"),
        (dead(Egg, u32::MAX), "4294967295"),
        (dead(Cocoon, 1), "holds 0 in cocoon"),
        (moved(Egg, 0, false), "must lie between 1"),
        (moved(Larva(3), 3, false), "holds 2 in L3, not 3"),
        (moved(Cocoon, 1, false), "holds 0 in cocoon"),
        (moved(Larva(1), 1, true), "holds 0 in L1"),
        (RoundNote { short: Some((Egg, 0)), ..RoundNote::default() }, "must lie between 1"),
        (RoundNote { short: Some((Egg, 4)), ..RoundNote::default() }, "holds 3 in egg"),
        (RoundNote { found: Some((Egg, 1)), ..RoundNote::default() }, "0 are missing"),
        (RoundNote { eggs_failed: Some(u32::MAX), ..RoundNote::default() }, "4294967295"),
        (leaf(Some(f64::NAN), None), "must be a number"),
        (leaf(Some(f64::INFINITY), None), "must lie between 0 g"),
        (leaf(Some(-1.0), None), "but is -1 g"),
        (leaf(Some(1.0), Some(f64::NAN)), "must be a number"),
        (leaf(Some(1.0), Some(2.0)), "2 g of leaf left of 1 g"),
        (counted(vec![(Egg, u32::MAX)]), "must lie between 0"),
        (RoundNote { close: true, ..RoundNote::default() }, "still holds 5"),
    ];
    let before = book.keeper.entries().len();
    for (round, says) in &rounds {
        let refused = book.keeper.note_round("H01", round).map(|it| it.says).unwrap_err().to_string();
        assert!(refused.contains(says), "{round:?}: {refused}");
        assert!(refused.contains("othing was saved") || refused.contains("nothing was chosen"), "{refused}");
    }
    let air = |low: f64, high: f64| json!({ "place": "shed", "air_c_min": low, "air_c_max": high });
    let deeds: [(&str, Value, &str); 9] = [
        ("air-read", air(30.0, 20.0), "above the highest"),
        ("air-read", air(-41.0, 20.0), "but is -41 degC"),
        ("air-read", air(10.0, 61.0), "but is 61 degC"),
        ("air-read", air(1e308, 1e308), "air temperature"),
        ("lot-received", lot(0, "egg"), "must lie between 1"),
        ("lot-received", lot(100_001, "egg"), "but is 100001"),
        ("box-opened", json!({ "box": "", "line": "HEATH" }), ""),
        ("box-opened", json!({ "box": "H02", "line": "HEATH", "floor_cm2": 0.0 }), "the floor of the box"),
        ("laid", json!({ "pairing": "P1", "eggs": 4_000_000_000_u32 }), ""),
    ];
    for (kind, what, says) in deeds {
        let refused = note(&book, kind, what.clone()).unwrap_err().to_string();
        assert!(refused.contains(says) && refused.contains("Nothing was saved"), "{kind} {what}: {refused}");
    }
    assert_eq!(book.keeper.entries().len(), before);
    every_answer(&book, "after all refusals");
}
