//! The morning round: what is typed becomes entries, or a sentence and nothing.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{Book, demo, demo_table, keeper_at};
use keeper::NotNoted;
use keeper::demo::Season;
use keeper::rearing::{Deed, Way};
use keeper::view::round::{Dead, MovedOn, RoundNote};
use terms::Stage;
use terms::Stage::Larva;
use uuid::Uuid;

fn moulted(from: u8, n: u32, into: &str) -> RoundNote {
    let moved =
        MovedOn { from: Larva(from), n, spun: false, into: Some(into.to_owned()), into_is_new: false };
    RoundNote { moved_on: Some(moved), ..RoundNote::default() }
}

fn dead(stage: u8, n: u32, sign: &str) -> RoundNote {
    let dead = Dead { stage: Larva(stage), n, sign: sign.to_owned(), remark: String::new() };
    RoundNote { dead: Some(dead), ..RoundNote::default() }
}

/// The deeds as the rows of `events.csv` spell them.
fn as_events(book: &Book, since: usize) -> Vec<String> {
    let entries = book.keeper.entries();
    entries[since..]
        .iter()
        .filter_map(|it| match &it.deed {
            Deed::Moulted(it) => {
                let to = it.from.after_moult()?;
                Some(format!(
                    "{},moult,{},{},{to},{},",
                    it.name,
                    it.n,
                    it.from,
                    it.into.clone().unwrap_or_default()
                ))
            }
            Deed::Left(it) if it.way == Way::Died => {
                Some(format!("{},death,{},{},,,{}", it.name, it.n, it.stage, it.sign))
            }
            Deed::BoxClosed(it) => Some(format!("{},close_box,0,,,,", it.name)),
            _ => None,
        })
        .collect()
}

/// The round of 1 June of season A, typed box by box, gives the events of that day.
#[test]
fn the_round_of_the_first_of_june_gives_its_events() {
    let book = demo(Season::A, "2025-06-01");
    let since = book.keeper.entries().len();
    book.keeper.note_round("H05", &moulted(3, 1, "H09")).unwrap();
    book.keeper.note_round("H06", &moulted(3, 3, "H09")).unwrap();
    book.keeper.note_round("H06", &moulted(3, 2, "H10")).unwrap();
    book.keeper.note_round("H07", &dead(3, 1, "stuck in the old skin")).unwrap();
    book.keeper.note_round("H05", &RoundNote { close: true, ..RoundNote::default() }).unwrap();
    let expected: Vec<String> = demo_table(Season::A, "events.csv")
        .iter()
        .filter(|row| row["date"] == "2025-06-01")
        .map(|row| {
            let columns = ["box", "event", "n", "stage_from", "stage_to", "to_box", "cause"];
            columns.map(|it| row[it].clone()).join(",")
        })
        .collect();
    assert_eq!(expected.len(), 5);
    assert_eq!(as_events(&book, since), expected);
    // The counts of that morning are what the book now expects.
    for row in demo_table(Season::A, "counts.csv").iter().filter(|row| row["date"] == "2025-06-01") {
        let it = book.keeper.look().house.open_box(&row["box"]).unwrap().by_stage();
        let stage: Stage = row["stage"].parse().unwrap();
        assert_eq!(it.get(&stage).copied().unwrap_or(0).to_string(), row["expected_from_events"], "{row:?}");
    }
}

/// Capability 2: the book says 6, she types 4.
#[test]
fn two_short_are_looked_for_in_the_old_leaves_and_one_is_found() {
    let book = keeper_at(Season::A, "2025-05-23", "2025-05-23T07:55");
    let count = RoundNote { counted: true, seen: Some(vec![(Larva(2), 4)]), ..RoundNote::default() };
    assert!(book.keeper.note_round("H04", &count).unwrap().misfit);
    let page = book.keeper.box_round("H04").unwrap().unwrap();
    let misfit = page.misfit.unwrap();
    assert_eq!(misfit.says, "2 short: look in the old leaves");
    assert_eq!(misfit.short, [(Larva(2), 2)]);
    assert!(book.keeper.look().house.missing("HEATH") == 0, "nothing is booked out unasked");
    book.keeper.confirm_misfit("H04").unwrap();
    let page = book.keeper.box_round("H04").unwrap().unwrap();
    assert_eq!((page.misfit, page.missing), (None, 2));
    let found = RoundNote { found: Some((Larva(2), 1)), ..RoundNote::default() };
    book.keeper.note_round("H04", &found).unwrap();
    assert_eq!(book.keeper.look().house.open_box("H04").unwrap().total(), 5);
    assert_eq!(book.keeper.look().house.missing("HEATH"), 1);
    assert!(matches!(
        book.keeper.note_round("H04", &RoundNote { found: Some((Larva(2), 2)), ..RoundNote::default() }),
        Err(NotNoted::Refused(_))
    ));
}

#[test]
fn a_count_that_shows_a_moult_is_explained_by_it() {
    let book = demo(Season::A, "2025-06-01");
    let count =
        RoundNote { counted: true, seen: Some(vec![(Larva(3), 2), (Larva(4), 3)]), ..RoundNote::default() };
    book.keeper.note_round("H06", &count).unwrap();
    let misfit = book.keeper.box_round("H06").unwrap().unwrap().misfit.unwrap();
    assert_eq!(misfit.says, "3 moulted to L4, 1 short: look in the old leaves");
    book.keeper.confirm_misfit("H06").unwrap();
    let stages = book.keeper.look().house.open_box("H06").unwrap().by_stage();
    assert_eq!(stages.into_iter().collect::<Vec<_>>(), [(Larva(3), 2), (Larva(4), 3)]);
}

#[test]
fn what_was_noted_today_can_be_undone_and_the_book_is_as_before() {
    let book = demo(Season::A, "2025-06-01");
    let before = book.keeper.look().house.boxes["H07"].clone();
    let saved = book.keeper.note_round("H07", &dead(3, 1, "unknown")).unwrap();
    let page = book.keeper.box_round("H07").unwrap().unwrap();
    assert_eq!(page.noted.iter().map(|it| it.id).collect::<Vec<_>>(), saved.ids);
    book.keeper.undo(saved.ids[0]).unwrap();
    assert_eq!(book.keeper.look().house.boxes["H07"], before);
    assert!(book.keeper.box_round("H07").unwrap().unwrap().noted.is_empty());
    assert!(book.keeper.undo(saved.ids[0]).is_err(), "once is enough");
}

#[test]
fn a_form_sent_twice_is_noted_once_and_never_with_something_else_on_it() {
    let book = demo(Season::A, "2025-06-01");
    let id = Some(book.keeper.fresh_id());
    let note = RoundNote { id, counted: true, ..dead(3, 1, "unknown") };
    let first = book.keeper.note_round("H07", &note).unwrap();
    let n = book.keeper.entries().len();
    let other = RoundNote { id, ..dead(3, 2, "unknown") };
    assert!(book.keeper.note_round("H07", &other).is_err());
    assert_eq!(book.keeper.entries().len(), n);
    assert_eq!(first.ids.len(), 2);
}

/// Bad input gets a sentence that says that nothing was saved, and the book is unchanged.
#[test]
fn what_cannot_be_is_refused_and_nothing_of_it_is_saved() {
    let book = demo(Season::A, "2025-06-01");
    let entries = book.keeper.entries().len();
    let half_good = RoundNote { dead: dead(3, 99, "").dead, ..moulted(3, 1, "H09") };
    let bad: Vec<(&str, RoundNote, &str)> = vec![
        ("H07", dead(3, 99, ""), "holds 3 in L3, not 99"),
        ("H07", dead(5, 1, ""), "holds 0 in L5"),
        ("H07", dead(3, 0, ""), "must lie between 1 and"),
        ("H77", dead(3, 1, ""), "there is no box H77"),
        ("H01", dead(3, 1, ""), "was closed"),
        ("H05", moulted(3, 1, "H77"), "there is no box H77"),
        ("H05", moulted(3, 2, "H09"), "holds 1 in L3, not 2"),
        ("H05", half_good, "holds 0 in L3"),
        ("H05", RoundNote::default(), "nothing was chosen"),
        ("H08", RoundNote { close: true, ..RoundNote::default() }, "still holds 6"),
        (
            "H08",
            RoundNote { leaf_offered_fresh_g: Some(f64::NAN), ..RoundNote::default() },
            "must be a number",
        ),
        ("H08", RoundNote { leaf_offered_fresh_g: Some(-1.0), ..RoundNote::default() }, "must lie between"),
        (
            "H08",
            RoundNote {
                leaf_offered_fresh_g: Some(3.0),
                leaf_left_fresh_g: Some(5.0),
                ..RoundNote::default()
            },
            "5 g of leaf left of 3 g",
        ),
        ("H08", RoundNote { found: Some((Larva(4), 3)), ..RoundNote::default() }, "1 are missing"),
        ("H08", RoundNote { eggs_failed: Some(2), ..RoundNote::default() }, "holds 0 in egg"),
        ("H08", RoundNote { short: Some((Larva(4), 7)), ..RoundNote::default() }, "holds 6 in L4"),
    ];
    for (name, note, says) in bad {
        let refused = book.keeper.note_round(name, &note).unwrap_err().to_string();
        assert!(refused.contains(says), "{name} {note:?}: {refused}");
        assert!(refused.ends_with("Nothing was saved."), "{refused}");
        assert_eq!(book.keeper.entries().len(), entries, "{name} {note:?}");
    }
    assert_eq!(book.keeper.store().len().unwrap(), entries as u64);
    assert_eq!(book.keeper.store().check().unwrap(), []);
}

#[test]
fn the_future_and_an_earlier_day_are_only_looked_at() {
    let book = demo(Season::A, "2025-06-01");
    let mut entry = book.keeper.entries()[0].clone();
    entry.id = Uuid::from_u128(7);
    entry.happened =
        keeper::rearing::When::on_the_wall("2025-06-02T08:00:00".parse().unwrap(), "Europe/London").unwrap();
    let refused = book.keeper.note_entries(vec![entry]).unwrap_err().to_string();
    assert!(refused.contains("2 June is still to come"), "{refused}");
    let folder = book.folder;
    drop(book.keeper);
    let as_of = Some("2025-05-20".parse().unwrap());
    let back = keeper::Keeper::open(folder.path(), &keeper::Opening { as_of, ..Default::default() }).unwrap();
    assert!(back.note_round("H02", &dead(1, 1, "")).is_err());
    assert!(back.notice().unwrap().contains("20 May 2025"));
}

#[test]
fn the_round_goes_along_the_shelf_and_the_sick_box_comes_last() {
    let names = |day: &str| -> Vec<String> {
        demo(Season::A, day).keeper.morning().unwrap().boxes.into_iter().map(|it| it.name).collect()
    };
    assert_eq!(names("2025-06-01"), ["H05", "H06", "H07", "H08", "H09", "H10"]);
    assert_eq!(names("2025-06-07").last().map(String::as_str), Some("H08"));
    let page = demo(Season::A, "2025-06-07").keeper.box_round("H08").unwrap().unwrap();
    assert!(page.cautions.iter().any(|it| it.contains("own brush and tongs")));
}

#[test]
fn those_in_moult_are_to_be_left_and_the_fresh_box_has_the_next_number() {
    let page = demo(Season::A, "2025-06-01").keeper.box_round("H06").unwrap().unwrap();
    let moult = page.in_moult.first().unwrap();
    assert!(moult.about_n >= 1 && moult.stage == Larva(3), "{moult:?}");
    assert!(
        page.tasks.iter().any(|it| it.starts_with("leave ") && it.contains("in moult")),
        "{:?}",
        page.tasks
    );
    assert_eq!(page.fresh_name, "H11");
    let takers: Vec<&str> = page.takers.iter().map(|it| it.name.as_str()).collect();
    assert!(takers.contains(&"H09") && takers.contains(&"H10") && !takers.contains(&"H07"), "{takers:?}");
}

#[test]
fn fed_only_is_a_legal_entry() {
    let book = demo(Season::A, "2025-06-01");
    book.keeper.note_round("H08", &RoundNote { fed_only: true, ..RoundNote::default() }).unwrap();
    let shelf = book.keeper.morning().unwrap();
    let done = shelf.boxes.iter().find(|it| it.name == "H08").unwrap().done.clone();
    assert_eq!(done.as_deref(), Some("fed only, not counted"));
}
