//! The form of one box, read: what is taken, what is asked about, what is refused.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

mod fixtures;

use fixtures::{box_apart, box_eggs, box_empty, box_plain, box_round, s};
use keeper::view::round::{BoxRound, Dead, MovedOn, RoundNote};
use proptest::prelude::*;
use terms::Stage::{Cocoon, Egg, Larva};
use uuid::Uuid;
use web::read::round::{Go, Read, read};
use web::typed::Typed;

fn note(view: &BoxRound, fields: &[(&str, &str)]) -> RoundNote {
    match read(view, &typed(fields)) {
        Ok(Read { note: Some(note), .. }) => note,
        other => panic!("{fields:?} gave {other:?}"),
    }
}

fn typed(fields: &[(&str, &str)]) -> Typed {
    Typed(fields.iter().map(|(name, value)| (s(name), s(value))).collect())
}

#[test]
fn the_form_as_it_stands_says_all_as_the_book_expects() {
    let read =
        read(&box_round(), &typed(&[("moved_n", ""), ("dead_n", ""), ("left", "expected"), ("go", "next")]))
            .unwrap();
    assert_eq!(read, Read { note: Some(RoundNote { counted: true, ..RoundNote::default() }), go: Go::Next });
}

#[test]
fn two_moulted_into_a_box_and_one_dead() {
    let id = Uuid::from_u128(5);
    let got = note(
        &box_round(),
        &[
            ("id", &id.to_string()),
            ("moved_n", "2"),
            ("moved_what", "L3:moulted"),
            ("moved_into", "box:H09"),
            ("dead_n", "1"),
            ("dead_stage", "L4"),
            ("sign", "limp"),
            ("dead_remark", "by the vase"),
            ("left", "expected"),
            ("go", "next"),
        ],
    );
    assert_eq!(
        got,
        RoundNote {
            id: Some(id),
            moved_on: Some(MovedOn {
                from: Larva(3),
                n: 2,
                spun: false,
                into: Some(s("H09")),
                into_is_new: false
            }),
            dead: Some(Dead { stage: Larva(4), n: 1, sign: s("limp"), remark: s("by the vase") }),
            counted: true,
            ..RoundNote::default()
        }
    );
}

#[test]
fn good_inputs() {
    let fresh = note(&box_plain(), &[("moved_n", "3"), ("moved_into", "fresh:H11"), ("left", "none")]);
    assert_eq!(
        fresh.moved_on,
        Some(MovedOn { from: Larva(3), n: 3, spun: false, into: Some(s("H11")), into_is_new: true })
    );
    assert!(!fresh.counted);
    let spun = note(&box_apart(), &[("moved_n", "2"), ("moved_what", "L5:spun"), ("moved_into", "stay")]);
    assert_eq!(
        spun.moved_on,
        Some(MovedOn { from: Larva(5), n: 2, spun: true, into: None, into_is_new: false })
    );
    let hatched = note(
        &box_eggs(),
        &[("moved_n", ""), ("moved_n_or", " 16 "), ("moved_into", "box:H02"), ("failed_n", "3")],
    );
    assert_eq!(
        hatched.moved_on.unwrap(),
        MovedOn { from: Egg, n: 16, spun: false, into: Some(s("H02")), into_is_new: false }
    );
    assert_eq!(hatched.eggs_failed, Some(3));
    let fed = note(&box_plain(), &[("left", "expected"), ("go", "fed"), ("leaf", "4"), ("paper", "yes")]);
    assert_eq!(
        (fed.fed_only, fed.counted, fed.leaf_offered_fresh_g, fed.remark.as_str()),
        (true, false, Some(4.0), "fresh paper")
    );
    let other = note(
        &box_round(),
        &[("left", "other"), ("seen_L3", "1"), ("seen_L4", "5"), ("seen_L5", "0"), ("moult_L3", "1")],
    );
    assert_eq!(other.seen, Some(vec![(Larva(3), 1), (Larva(4), 5)]));
    assert_eq!((other.counted, other.in_moult), (true, vec![(Larva(3), 1)]));
    let leaf = note(
        &box_plain(),
        &[
            ("leaf_or", "9,5 g"),
            ("leaf_left", "0.4"),
            ("remark", "two early"),
            ("paper", "yes"),
            ("left", "none"),
        ],
    );
    assert_eq!(
        (leaf.leaf_offered_fresh_g, leaf.leaf_left_fresh_g, leaf.remark.as_str()),
        (Some(9.5), Some(0.4), "fresh paper; two early")
    );
    let found = note(&box_plain(), &[("found_n", "1"), ("short_n", "1"), ("short_stage", "L3")]);
    assert_eq!((found.found, found.short), (Some((Larva(3), 1)), Some((Larva(3), 1))));
    let all_dead = note(&box_plain(), &[("dead_n", "5"), ("sign", ""), ("found_n", "1"), ("left", "none")]);
    assert_eq!(all_dead.dead.unwrap().n, 5);
    let put_away = note(&box_empty(), &[("close", "yes")]);
    assert!(put_away.close && !put_away.counted);
    let same_twice = note(&box_eggs(), &[("moved_n", "3"), ("moved_n_or", "3"), ("moved_into", "box:H02")]);
    assert_eq!(same_twice.moved_on.unwrap().n, 3);
}

#[test]
fn an_empty_box_passed_by_notes_nothing() {
    assert_eq!(read(&box_empty(), &typed(&[("go", "next")])), Ok(Read { note: None, go: Go::Next }));
}

#[test]
fn a_moth_comes_out_of_a_cocoon() {
    let view = BoxRound { expected: fixtures::expected(&[(Cocoon, 4)]), ..box_plain() };
    let out = note(&view, &[("moved_n", "1"), ("moved_what", "cocoon:out"), ("left", "expected")]);
    assert_eq!(
        out.moved_on,
        Some(MovedOn { from: Cocoon, n: 1, spun: false, into: None, into_is_new: false })
    );
}

/// A box, the fields of its form, and a word of the complaint.
type Bad<'a> = (BoxRound, Vec<(&'a str, &'a str)>, &'a str);

/// Every bad input with a word that its complaint must hold.
#[test]
fn bad_inputs_are_asked_about_or_refused_with_what_to_do() {
    let long = "x".repeat(501);
    let cases: Vec<Bad<'_>> = vec![
        (box_round(), vec![("dead_n", "two"), ("dead_stage", "L4")], "no number"),
        (box_round(), vec![("dead_n", "-1"), ("dead_stage", "L4")], "no number"),
        (box_round(), vec![("dead_n", "1.5"), ("dead_stage", "L4")], "no number"),
        (box_round(), vec![("dead_n", "99"), ("dead_stage", "L4")], "only 4 L4"),
        (box_round(), vec![("dead_n", "1")], "in which stage"),
        (box_round(), vec![("dead_n", "1"), ("dead_stage", "L2")], "no L2"),
        (box_round(), vec![("dead_n", "1"), ("dead_stage", "pupa?")], "in which stage"),
        (box_round(), vec![("dead_n", "1"), ("dead_stage", "L4"), ("sign", "<b>")], "not on the list"),
        (
            box_round(),
            vec![("dead_n", "1"), ("dead_stage", "L4"), ("dead_remark", "a\u{0}b")],
            "cannot be printed",
        ),
        (box_round(), vec![("moved_n", "2"), ("moved_into", "stay")], "what they did"),
        (box_round(), vec![("moved_n", "2"), ("moved_what", "L5:spun")], "what they did"),
        (box_round(), vec![("moved_n", "3"), ("moved_what", "L3:moulted")], "only 2 L3"),
        (
            box_round(),
            vec![("moved_n", "2"), ("moved_what", "L3:moulted"), ("moved_into", "box:H77")],
            "no open box",
        ),
        (
            box_round(),
            vec![("moved_n", "2"), ("moved_what", "L3:moulted"), ("moved_into", "fresh:")],
            "empty",
        ),
        (
            box_round(),
            vec![("moved_n", "2"), ("moved_what", "L3:moulted"), ("moved_into", "fresh:a/b")],
            "cannot be printed",
        ),
        (
            box_round(),
            vec![("moved_n", "2"), ("moved_what", "L3:moulted"), ("moved_into", "fresh:H07")],
            "they are in",
        ),
        (
            box_round(),
            vec![("moved_n", "2"), ("moved_what", "L3:moulted"), ("moved_into", "somewhere")],
            "into which box",
        ),
        (box_eggs(), vec![("moved_n", "1.000")], "1 or 1000"),
        (box_eggs(), vec![("moved_n", "3"), ("moved_n_or", "5")], "tapped 3 and wrote 5"),
        (box_eggs(), vec![("moved_n_or", "99999999999999999999")], "100000"),
        (box_eggs(), vec![("moved_n_or", "29")], "only 28 eggs"),
        (box_eggs(), vec![("failed_n", "29")], "only 28 eggs"),
        (box_eggs(), vec![("moved_n_or", "20"), ("failed_n_or", "9")], "make 29"),
        (box_plain(), vec![("leaf_or", "1.000")], "1 g or as 1000 g"),
        (box_plain(), vec![("leaf_or", "1,000")], "1 g or as 1000 g"),
        (box_plain(), vec![("leaf_or", "-4")], "no weight"),
        (box_plain(), vec![("leaf_or", "much")], "no weight"),
        (box_plain(), vec![("leaf_or", "NaN")], "no weight"),
        (box_plain(), vec![("leaf_or", "60000")], "50000"),
        (box_plain(), vec![("leaf", "4"), ("leaf_or", "6")], "tapped 4 g and wrote 6 g"),
        (box_plain(), vec![("leaf_left", "1e2")], "no weight"),
        (box_plain(), vec![("found_n", "2")], "only 1 of HEATH"),
        (box_plain(), vec![("short_n", "5"), ("short_stage", "L3")], "only 4 L3"),
        (box_plain(), vec![("moved_n", "3"), ("dead_n", "1"), ("short_n", "1")], "make 5"),
        (box_plain(), vec![("moult_L3", "5")], "only 4 L3"),
        (box_plain(), vec![("left", "other")], "how many you see"),
        (box_plain(), vec![("left", "other"), ("seen_L3", "lots")], "no number"),
        (box_plain(), vec![("left", "other"), ("seen_L3", "3"), ("go", "fed")], "one of the two"),
        (box_plain(), vec![("left", "maybe")], "no way to count"),
        (box_plain(), vec![("left", "none")], "Nothing was chosen"),
        (box_plain(), vec![("close", "yes")], "not empty"),
        (box_plain(), vec![("remark", &long)], "Shorten"),
        (box_plain(), vec![("id", "not-an-id")], "damaged"),
        (box_empty(), vec![("dead_n", "1")], "nobody here"),
        (box_empty(), vec![("moved_n", "1"), ("moved_what", "L3:moulted")], "can have moved"),
    ];
    assert!(cases.len() >= 25);
    for (view, fields, word) in cases {
        let complaints = read(&view, &typed(&fields)).expect_err(&format!("{fields:?} was taken"));
        let all: Vec<&str> = complaints.iter().map(|it| it.says.as_str()).collect();
        assert!(all.iter().any(|it| it.contains(word)), "{fields:?}: {all:?} does not say {word:?}");
        assert!(all.iter().all(|it| it.ends_with(['.', '?'])), "{all:?}");
    }
}

#[test]
fn every_complaint_is_told_at_once() {
    let complaints =
        read(&box_plain(), &typed(&[("dead_n", "x"), ("leaf_or", "y"), ("id", "z")])).unwrap_err();
    assert_eq!(complaints.len(), 3);
}

proptest! {
    /// Whatever a browser sends, a note that is read never takes more out of a stage than is in it.
    #[test]
    fn no_form_panics_or_takes_more_than_there_is(
        fields in prop::collection::vec((
            prop::sample::select(vec!["id", "moved_n", "moved_n_or", "moved_what", "moved_into", "dead_n", "dead_n_or", "dead_stage", "sign",
                "dead_remark", "short_n", "short_stage", "found_n", "found_stage", "failed_n", "left", "seen_L3", "seen_L4", "moult_L3",
                "leaf", "leaf_or", "leaf_left", "paper", "close", "remark", "go"]),
            prop_oneof![
                prop::sample::select(vec!["", "0", "1", "2", "3", "7", "L3", "L4", "egg", "L3:moulted", "L4:moulted", "stay", "box:H09",
                    "fresh:H11", "limp", "expected", "other", "none", "yes", "next", "fed", "4294967295", "1.000"]).prop_map(str::to_owned),
                ".{0,12}",
            ],
        ), 0..14),
    ) {
        let typed = Typed(fields.into_iter().map(|(name, value)| (name.to_owned(), value)).collect());
        for view in [box_round(), box_eggs(), box_empty()] {
            if let Ok(Read { note: Some(note), .. }) = read(&view, &typed) {
                for it in &view.expected {
                    let out = note.moved_on.iter().filter(|m| m.from == it.stage).map(|m| m.n).sum::<u32>()
                        + note.dead.iter().filter(|d| d.stage == it.stage).map(|d| d.n).sum::<u32>()
                        + note.short.iter().filter(|(stage, _)| *stage == it.stage).map(|(_, n)| n).sum::<u32>();
                    prop_assert!(out <= it.n + view.missing);
                }
                prop_assert!(note.leaf_offered_fresh_g.is_none_or(|g| (0.0..=50_000.0).contains(&g)));
                prop_assert!(!(note.counted && note.fed_only));
            }
        }
    }
}
