//! A book of one's own from its first animal on: beginning, boxes, air, and
//! notes that come late or from two phones.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::float_cmp,
    reason = "a test may panic, and what is read is kept as it is"
)]

use jiff::civil::{Date, date};
use keeper::view::round::{Dead, MovedOn, RoundNote};
use keeper::{AirNote, AsOf, BeginNote, Fresh, Keeper, NotNoted, Opening, Part, ShelfMove, Slip, Split};
use rearing::Deed;
use tempfile::TempDir;
use terms::Stage;
use uuid::Uuid;

const NOW: &str = "2026-06-10T08:00";

fn book() -> (TempDir, Keeper) {
    let folder = tempfile::tempdir().unwrap();
    keeper::make_empty_book(folder.path(), "Europe/London").unwrap();
    let keeper = open_at(&folder, NOW);
    (folder, keeper)
}

fn open_at(folder: &TempDir, now: &str) -> Keeper {
    let opening =
        Opening { still_at: Some(now.parse::<AsOf>().unwrap()), seed: Some(3), ..Opening::default() };
    Keeper::open(folder.path(), &opening).unwrap()
}

fn thirty_eggs() -> BeginNote {
    BeginNote {
        id: Some(Uuid::from_u128(0x7000)),
        species: "emperor moth".into(),
        n: 30,
        about: true,
        stage: Stage::Egg,
        arrived: Some(date(2026, 5, 20)),
        laid: Some(date(2026, 5, 14)),
        origin: "a friend at the club".into(),
        permit: String::new(),
        line: "A".into(),
        box_name: "A01".into(),
        place: "the shed".into(),
    }
}

fn larvae(n: u32, box_name: &str, id: u128) -> BeginNote {
    BeginNote {
        id: Some(Uuid::from_u128(id)),
        n,
        about: false,
        stage: Stage::Larva(3),
        arrived: None,
        laid: None,
        box_name: box_name.into(),
        ..thirty_eggs()
    }
}

fn refused<T: std::fmt::Debug>(it: Result<T, NotNoted>) -> String {
    match it {
        Err(NotNoted::Refused(why)) => why,
        other => panic!("not refused: {other:?}"),
    }
}

fn count_of(n: u32) -> RoundNote {
    RoundNote { seen: Some(vec![(Stage::Larva(3), n)]), counted: true, ..RoundNote::default() }
}

fn dead(n: u32) -> RoundNote {
    let stage = Stage::Larva(3);
    let dead = Dead { stage, n, sign: "drowned".into(), remark: String::new() };
    RoundNote { dead: Some(dead), counted: true, ..RoundNote::default() }
}

#[test]
fn an_empty_book_begins_with_about_thirty_eggs_that_came_three_weeks_ago() {
    let (_folder, keeper) = book();
    assert!(keeper.morning().unwrap().blank);
    let offered = keeper.begin_page().unwrap();
    assert_eq!((offered.line.as_str(), offered.box_name.as_str(), offered.kinds.len()), ("A", "A01", 13));
    let saved = keeper.begin(&thirty_eggs()).unwrap();
    assert!(saved.says.iter().any(|it| it.contains("about 30 eggs")), "{:?}", saved.says);
    let house = keeper.look().house;
    let lot = &house.lots["A-26"];
    assert_eq!(lot.received, date(2026, 5, 20));
    assert_eq!((lot.told.species.as_str(), lot.told.about), ("Saturnia pavonia", true));
    assert_eq!(house.open_box("A01").unwrap().place, "the shed");
    // Sent twice is begun once.
    keeper.begin(&thirty_eggs()).unwrap();
    assert_eq!(keeper.entries().len(), 2);
    let morning = keeper.morning().unwrap();
    assert!(!morning.blank && morning.boxes.len() == 1 && morning.lines[0].next.is_some(), "{morning:#?}");
    let next = keeper.begin_page().unwrap();
    assert_eq!(
        (next.line.as_str(), next.box_name.as_str(), next.places),
        ("B", "B01", vec!["the shed".to_owned()])
    );
}

#[test]
fn the_first_count_of_a_guess_is_offered_as_the_number_that_came_and_never_taken_unasked() {
    let (_folder, keeper) = book();
    keeper.begin(&thirty_eggs()).unwrap();
    let counted = RoundNote { seen: Some(vec![(Stage::Egg, 27)]), counted: true, ..RoundNote::default() };
    assert!(keeper.note_round("A01", &counted).unwrap().misfit);
    let view = keeper.box_round("A01").unwrap().unwrap();
    let guess = view.guess.unwrap();
    assert_eq!((guess.said, guess.counted), (30, 27));
    assert_eq!(keeper.look().house.open_box("A01").unwrap().total(), 30, "it was mended unasked");
    keeper.settle_guess("A01").unwrap();
    let house = keeper.look().house;
    assert_eq!(house.open_box("A01").unwrap().total(), 27);
    assert_eq!((house.lots["A-26"].told.n, house.lots["A-26"].told.about), (27, false));
    assert_eq!(house.lots["A-26"].received, date(2026, 5, 20), "the day of coming has moved");
    assert!(keeper.box_round("A01").unwrap().unwrap().misfit.is_none());
    assert!(refused(keeper.settle_guess("A01")).contains("no guess"));
}

#[test]
fn larvae_cocoons_and_kinds_that_nobody_knows_are_as_easy() {
    let (_folder, keeper) = book();
    let stages = [(Stage::Larva(2), "Eupackardia calleta", "A"), (Stage::Cocoon, "Hyalophora cecropia", "B")];
    for (number, (stage, species, line)) in stages.into_iter().enumerate() {
        let note = BeginNote {
            id: Some(Uuid::from_u128(0x7100 + number as u128 * 16)),
            species: species.into(),
            stage,
            laid: None,
            arrived: None,
            line: line.into(),
            box_name: format!("{line}01"),
            place: String::new(),
            ..thirty_eggs()
        };
        keeper.begin(&note).unwrap();
        assert!(keeper.brood(line).unwrap().is_some(), "no calendar for {species}");
    }
    assert_eq!(keeper.look().house.alive("A").into_iter().collect::<Vec<_>>(), [(Stage::Larva(2), 30)]);
}

#[test]
fn a_beginning_that_cannot_be_is_refused_and_leaves_nothing() {
    let (_folder, keeper) = book();
    let later = BeginNote { laid: Some(date(2026, 5, 21)), ..thirty_eggs() };
    assert!(refused(keeper.begin(&later)).contains("laid on 21 May"));
    let tomorrow = BeginNote { arrived: Some(date(2026, 6, 11)), ..thirty_eggs() };
    assert!(refused(keeper.begin(&tomorrow)).contains("still to come"));
    assert!(
        refused(keeper.begin(&BeginNote { box_name: "a/b".into(), ..thirty_eggs() }))
            .contains("cannot be printed")
    );
    assert!(refused(keeper.begin(&BeginNote { n: 0, ..thirty_eggs() })).contains("number of animals"));
    assert!(keeper.entries().is_empty());
    keeper.begin(&thirty_eggs()).unwrap();
    let other = BeginNote { species: "Samia ricini".into(), ..larvae(5, "A02", 0x7200) };
    assert!(refused(keeper.begin(&other)).contains("line A is of Saturnia pavonia"));
}

#[test]
fn boxes_are_split_merged_set_apart_ordered_and_all_of_it_undone() {
    let (_folder, keeper) = book();
    keeper.begin(&larvae(10, "A01", 0x7300)).unwrap();
    let names = |keeper: &Keeper| -> Vec<String> {
        keeper.boxes().unwrap().boxes.into_iter().map(|it| it.name).collect()
    };
    let holds = |name: &str| keeper.look().house.open_box(name).map(rearing::RearingBox::total).ok();
    let part = |n| vec![Part { line: None, stage: Stage::Larva(3), n }];
    let split =
        Split { id: Some(Uuid::from_u128(0x7400)), parts: part(4), into: "A02".into(), into_is_new: true };
    let saved = keeper.split("A01", &split).unwrap();
    assert_eq!((holds("A01"), holds("A02")), (Some(6), Some(4)));
    keeper.split("A01", &split).unwrap();
    assert_eq!((holds("A01"), holds("A02")), (Some(6), Some(4)), "sent twice was done twice");
    let fresh = Fresh {
        id: None,
        name: "A03".into(),
        line: "A".into(),
        for_stage: None,
        vessel: String::new(),
        place: String::new(),
    };
    keeper.open_fresh(&fresh).unwrap();
    assert_eq!(names(&keeper), ["A01", "A02", "A03"]);
    keeper.put_on_shelf("A03", ShelfMove::Earlier, None).unwrap();
    assert_eq!(names(&keeper), ["A01", "A03", "A02"]);
    let ordered = keeper.put_on_shelf("A02", ShelfMove::Place(1), None).unwrap();
    assert_eq!(names(&keeper), ["A02", "A01", "A03"]);
    // The round follows the shelf; a box set apart comes last all the same.
    let round: Vec<String> = keeper.morning().unwrap().boxes.into_iter().map(|it| it.name).collect();
    assert_eq!(round, ["A02", "A01"]);
    let apart = keeper.set_apart("A02", "not sure", None).unwrap();
    assert_eq!(names(&keeper), ["A01", "A03", "A02"]);
    let work = keeper.box_work("A02").unwrap().unwrap();
    assert!(work.others.is_empty(), "a way out of the box set apart is offered: {:?}", work.others);
    assert!(refused(keeper.put_on_shelf("A02", ShelfMove::Earlier, None)).contains("stands there"));
    let back = keeper.let_back("A02", None).unwrap();
    keeper.undo(ordered.ids[0]).unwrap();
    assert_eq!(names(&keeper), ["A01", "A03", "A02"]);
    let merged = keeper.merge("A02", "A01", None).unwrap();
    assert_eq!((holds("A01"), holds("A02")), (Some(10), Some(0)));
    assert!(refused(keeper.put_away("A01", None)).contains("still holds 10"));
    let away = keeper.put_away("A02", None).unwrap();
    assert_eq!(holds("A02"), None);
    for id in [away.ids[0], merged.ids[0], back.ids[0], apart.ids[0]] {
        keeper.undo(id).unwrap();
    }
    assert_eq!((holds("A01"), holds("A02")), (Some(6), Some(4)));
    for id in saved.ids.iter().rev() {
        keeper.undo(*id).unwrap();
    }
    assert_eq!((holds("A01"), holds("A02")), (Some(10), None));
    assert!(
        refused(keeper.split("A01", &Split { id: None, parts: part(0), ..split.clone() }))
            .contains("how many")
    );
    assert!(
        refused(keeper.split("A01", &Split { id: None, parts: part(11), ..split }))
            .contains("holds 10 in L3, not 11")
    );
}

fn air(on: Date, min: f64, max: f64) -> AirNote {
    AirNote {
        id: None,
        place: "the shed".into(),
        on,
        air_c_min: min,
        air_c_max: max,
        humidity_percent_min: None,
        humidity_percent_max: None,
    }
}

#[test]
fn the_thermometer_by_day_with_its_gaps() {
    let (_folder, keeper) = book();
    keeper.begin(&thirty_eggs()).unwrap();
    assert!(keeper.morning().unwrap().thermometer_waits);
    let page = keeper.air_page(None).unwrap();
    assert_eq!(
        (page.place.as_str(), page.day_to_note),
        ("the shed", date(2026, 6, 9)),
        "in the morning it is yesterday's"
    );
    let saved = keeper.note_air(&air(date(2026, 6, 9), 9.5, 18.5), None).unwrap();
    assert_eq!(saved.says, ["9 June: 9.5 to 18.5 \u{b0}C"]);
    assert!(!keeper.morning().unwrap().thermometer_waits);
    keeper.note_air(&air(date(2026, 6, 5), -2.0, 11.0), None).unwrap();
    let page = keeper.air_page(None).unwrap();
    assert_eq!(page.gaps, "6 to 8 June");
    assert_eq!(page.day_to_note, date(2026, 6, 10));
    // A second reading takes the place of the first, and its undo brings the first back.
    let second = keeper.note_air(&air(date(2026, 6, 9), 10.0, 19.0), None).unwrap();
    let of_the_9th = |keeper: &Keeper| keeper.air_page(None).unwrap().days[1].read.clone().unwrap();
    assert_eq!(of_the_9th(&keeper).air_c_min, 10.0);
    assert_eq!(of_the_9th(&keeper).id, Some(second.ids[0]));
    keeper.undo(second.ids[0]).unwrap();
    assert_eq!(of_the_9th(&keeper).air_c_min, 9.5);
    assert!(refused(keeper.note_air(&air(date(2026, 6, 9), 19.0, 9.0), None)).contains("swapped"));
    assert!(refused(keeper.note_air(&air(date(2026, 6, 11), 9.0, 19.0), None)).contains("still to come"));
}

#[test]
fn a_note_that_waited_is_taken_at_the_time_it_happened_but_not_from_the_future_nor_from_long_ago() {
    let (folder, keeper) = book();
    keeper.begin(&larvae(10, "A01", 0x7500)).unwrap();
    drop(keeper);
    let keeper = open_at(&folder, "2026-07-10T20:00");
    let at = keeper.moment_of_note("2026-06-11T07:42:00+01:00").unwrap();
    let slip = Slip { id: Some(Uuid::from_u128(0x7600)), happened: Some(at), ..Slip::default() };
    keeper.note_slip("A01", &dead(1), &slip).unwrap();
    let entry = keeper.entries().last().unwrap().clone();
    assert_eq!(entry.happened.wall, date(2026, 6, 11).at(7, 42, 0, 0));
    assert!(entry.noted_at > entry.happened.at);
    // Once more, after other things were noted: still noted once.
    keeper.note_round("A01", &dead(2)).unwrap();
    let entries = keeper.entries().len();
    keeper.note_slip("A01", &dead(1), &slip).unwrap();
    assert_eq!(keeper.entries().len(), entries);
    assert!(refused(keeper.note_slip("A01", &dead(3), &slip)).contains("sent before with something else"));
    assert!(refused(keeper.moment_of_note("2026-07-10T20:11:00+01:00")).contains("still to come"));
    // A phone whose clock runs a little ahead noted it now.
    assert_eq!(keeper.moment_of_note("2026-07-10T20:05:00+01:00").unwrap(), keeper.look().at);
    assert!(refused(keeper.moment_of_note("2026-05-31T19:59:00+01:00")).contains("more than 40 days"));
    assert!(refused(keeper.moment_of_note("this morning")).contains("no day or moment"));
}

#[test]
fn two_phones_that_did_not_see_each_other_are_both_heard() {
    let (_folder, keeper) = book();
    keeper.begin(&larvae(10, "A01", 0x7700)).unwrap();
    let page = keeper.box_round("A01").unwrap().unwrap();
    let slip = |id: u128| Slip {
        id: Some(Uuid::from_u128(id)),
        seen_entries: Some(page.seen_entries),
        ..Slip::default()
    };
    keeper.note_slip("A01", &count_of(10), &slip(0x7800)).unwrap();
    assert!(keeper.note_slip("A01", &count_of(9), &slip(0x7900)).unwrap().misfit);
    let view = keeper.box_round("A01").unwrap().unwrap();
    let said: Vec<&str> = view.both_said.iter().map(|it| it.says.as_str()).collect();
    assert_eq!(said, ["10 L3", "9 L3"]);
    assert!(view.misfit.is_none(), "the clock decided: {:?}", view.misfit);
    // A person chooses: the other is set aside, and the rest goes its usual way.
    keeper.undo(view.both_said[0].id).unwrap();
    let view = keeper.box_round("A01").unwrap().unwrap();
    assert!(view.both_said.is_empty());
    assert_eq!(view.misfit.unwrap().says, "1 short: look in the old leaves");
}

#[test]
fn the_same_phone_is_not_two_and_all_as_the_book_expects_means_the_book_of_its_page() {
    let (_folder, keeper) = book();
    keeper.begin(&larvae(10, "A01", 0x7a00)).unwrap();
    let seen_entries = keeper.box_round("A01").unwrap().map(|it| it.seen_entries);
    let slip = |id: u128, own: &[u128]| Slip {
        id: Some(Uuid::from_u128(id)),
        seen_entries,
        own: own.iter().map(|it| Uuid::from_u128(*it)).collect(),
        ..Slip::default()
    };
    // Two notes of one page: the second knows of the first.
    keeper.note_slip("A01", &dead(1), &slip(0x7b00, &[])).unwrap();
    keeper.note_slip("A01", &dead(1), &slip(0x7c00, &[0x7b00])).unwrap();
    assert!(keeper.box_round("A01").unwrap().unwrap().both_said.is_empty());
    assert_eq!(keeper.look().house.open_box("A01").unwrap().total(), 8);
    // Another phone, whose page is older, says "all there": its ten, not the eight.
    let all_there = RoundNote { counted: true, ..RoundNote::default() };
    keeper.note_slip("A01", &all_there, &slip(0x7d00, &[])).unwrap();
    let said: Vec<String> =
        keeper.box_round("A01").unwrap().unwrap().both_said.into_iter().map(|it| it.says).collect();
    assert_eq!(said, ["9 L3", "8 L3", "10 L3"]);
    // A count that has seen all of them settles it.
    keeper.note_round("A01", &count_of(8)).unwrap();
    let view = keeper.box_round("A01").unwrap().unwrap();
    assert!(view.both_said.is_empty() && view.misfit.is_none());
}

#[test]
fn a_move_sent_twice_after_the_box_went_on_is_one_move() {
    let (_folder, keeper) = book();
    keeper.begin(&larvae(10, "A01", 0x7e00)).unwrap();
    let moved =
        MovedOn { from: Stage::Larva(3), n: 2, spun: false, into: Some("A02".into()), into_is_new: true };
    let note = RoundNote { moved_on: Some(moved), counted: true, ..RoundNote::default() };
    let slip = Slip { id: Some(Uuid::from_u128(0x7f00)), ..Slip::default() };
    keeper.note_slip("A01", &note, &slip).unwrap();
    let entries = keeper.entries().len();
    keeper.note_slip("A01", &note, &slip).unwrap();
    assert_eq!(keeper.entries().len(), entries);
    let deeds: Vec<Deed> = keeper.entries().iter().map(|it| it.deed.clone()).collect();
    assert!(matches!(deeds.last(), Some(Deed::Counted(it)) if it.seen[0].n == 8), "{deeds:?}");
}

#[test]
fn an_invented_season_can_be_looked_at_but_not_written_in() {
    let folder = tempfile::tempdir().unwrap();
    let season = keeper::invented_season(&folder.path().join("season")).unwrap();
    assert_eq!(season.morning().unwrap().boxes.len(), 6);
    assert!(
        refused(season.note_round("H07", &RoundNote { fed_only: true, ..RoundNote::default() }))
            .contains("only looked at")
    );
}
