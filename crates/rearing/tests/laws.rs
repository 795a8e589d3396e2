//! Laws of the book, over random histories.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use jiff::ToSpan;
use jiff::civil::date;
use proptest::prelude::*;
use rearing::deed::{
    BoxClosed, BoxOpened, CameOut, Counted, Found, Left, LotReceived, Moulted, Moved, Seen, SetAside,
    ShelfOrdered,
};
use rearing::{Deed, Entry, Happened, House, Way, When, replay, would_refuse};
use std::collections::BTreeSet;
use terms::{Sex, Stage};
use uuid::Uuid;

const BOXES: [&str; 3] = ["A", "B", "C"];
const STAGES: [Stage; 5] = [Stage::Egg, Stage::Larva(1), Stage::Larva(2), Stage::Cocoon, Stage::Moth];
const WAYS: [Way; 7] =
    [Way::Died, Way::EggFailed, Way::Missing, Way::Preserved, Way::Given, Way::Destroyed, Way::Stifled];

fn entry(n: usize, deed: Deed) -> Entry {
    let wall = date(2025, 5, 1).at(7, 0, 0, 0).checked_add((n as i64).hours()).unwrap();
    let happened = When::on_the_wall(wall, "Europe/London").unwrap();
    Entry { id: Uuid::from_u128(n as u128 + 1), noted_at: happened.at, happened, by: "keeper".into(), deed }
}

fn opened(name: &str) -> Deed {
    Deed::BoxOpened(BoxOpened {
        name: name.into(),
        line: String::new(),
        for_stage: None,
        vessel: String::new(),
        floor_cm2: None,
        place: String::new(),
        note: String::new(),
    })
}

fn received(lot: &str, line: &str, n: u32, into: &str) -> Deed {
    Deed::LotReceived(LotReceived {
        lot: lot.into(),
        line: line.into(),
        species: "Saturnia pavonia".into(),
        n,
        about: false,
        stage: Stage::Egg,
        into: into.into(),
        laid: None,
        origin: String::new(),
        dam: String::new(),
        sire: String::new(),
        pairing: None,
        permit: String::new(),
        note: String::new(),
    })
}

/// Anything a tired keeper could type, sensible or not.
fn any_deed() -> impl Strategy<Value = Deed> {
    let name = || prop::sample::select(BOXES.to_vec()).prop_map(str::to_owned);
    let stage = || prop::sample::select(STAGES.to_vec());
    let line = || prop::option::of(prop::sample::select(vec!["HEATH".to_owned(), "MOOR".to_owned()]));
    let note = String::new;
    prop_oneof![
        (name(), name(), line(), stage(), 0u32..6).prop_map(move |(from, into, line, stage, n)| {
            Deed::Hatched(Moved { from, into, line, stage, n, animals: vec![], why: None, note: note() })
        }),
        (name(), name(), line(), stage(), 0u32..6).prop_map(move |(from, into, line, stage, n)| Deed::Moved(
            Moved { from, into, line, stage, n, animals: vec![], why: None, note: note() }
        )),
        (name(), prop::option::of(name()), line(), stage(), 0u32..6).prop_map(
            move |(name, into, line, from, n)| Deed::Moulted(Moulted {
                name,
                line,
                from,
                n,
                into,
                note: note()
            })
        ),
        (name(), line(), stage(), 0u32..6).prop_map(move |(name, line, from, n)| Deed::Spun(Moulted {
            name,
            line,
            from,
            n,
            into: None,
            note: note()
        })),
        (name(), line(), stage(), 0u32..4, prop::sample::select(WAYS.to_vec())).prop_map(
            move |(name, line, stage, n, way)| Deed::Left(Left {
                name,
                line,
                stage,
                n,
                way,
                sign: note(),
                animals: vec![],
                note: note()
            })
        ),
        (name(), line(), stage(), 0u32..4).prop_map(move |(name, line, stage, n)| Deed::Found(Found {
            name,
            line,
            stage,
            n,
            note: note()
        })),
        (name(), line()).prop_map(move |(name, line)| Deed::CameOut(CameOut {
            name,
            line,
            cocoon: None,
            moth: None,
            sex: Sex::Unknown,
            note: note()
        })),
        (name(), stage(), 0u32..9).prop_map(move |(name, stage, n)| Deed::Counted(Counted {
            name,
            seen: vec![Seen { stage, n, in_moult: None }],
            beside: vec![],
            note: note()
        })),
        prop::collection::vec(name(), 0..4).prop_map(|boxes| Deed::ShelfOrdered(ShelfOrdered { boxes })),
        name().prop_map(move |name| Deed::BoxClosed(BoxClosed { name, note: note() })),
        name().prop_map(|name| opened(&name)),
        prop::sample::select(vec![("L3", "HEATH"), ("L4", "MOOR")])
            .prop_map(|(lot, line)| received(lot, line, 7, "A")),
    ]
}

fn start() -> Vec<Entry> {
    let mut deeds: Vec<Deed> = BOXES.iter().map(|name| opened(name)).collect();
    deeds.push(received("L1", "HEATH", 12, "A"));
    deeds.push(received("L2", "MOOR", 9, "B"));
    deeds.into_iter().enumerate().map(|(n, deed)| entry(n, deed)).collect()
}

/// Every animal that ever came is in a box or has left by a named way.
fn conserved(house: &House) -> Result<(), TestCaseError> {
    let received: u32 = house.lots.values().map(|it| it.told.n).sum();
    let boxed: u32 = house.boxes.values().map(rearing::RearingBox::total).sum();
    let left: u32 = house.left.values().sum();
    prop_assert_eq!(received, boxed + left);
    prop_assert_eq!(house.unaccounted(), vec![]);
    trails_tell_the_same(house)?;
    for lot in house.lots.keys() {
        let account = house.account_of_lot(lot);
        let (low, high) =
            account.values().fold((0, 0), |(low, high), it| (low + it.at_least, high + it.at_most));
        let n = house.lots[lot].told.n;
        prop_assert!(low <= n && n <= high, "lot {lot}: {n} is not within {low}..={high}");
    }
    Ok(())
}

/// Each animal's trail ends where the book has it, each is in one place, and nobody is in a box without a trail.
fn trails_tell_the_same(house: &House) -> Result<(), TestCaseError> {
    let mut housed = BTreeSet::new();
    for it in house.boxes.values() {
        for cohort in &it.cohorts {
            prop_assert_eq!(cohort.animals.len(), cohort.n as usize);
            for animal in &cohort.animals {
                prop_assert!(housed.insert(*animal), "animal {animal} is in two places");
                let trail = &house.trails[*animal];
                prop_assert_eq!(trail.stage(), Some(cohort.stage));
                prop_assert_eq!(&house.lots[&trail.lot].told.line, &cohort.line);
                let last_box = trail.marks.iter().rev().find_map(|it| match &it.what {
                    Happened::Seen { into, .. } | Happened::Carried { into } => Some(into),
                    Happened::Left { .. } => None,
                });
                prop_assert_eq!(last_box, Some(&it.name));
                prop_assert!(trail.marks.windows(2).all(|it| it[0].at <= it[1].at));
            }
        }
    }
    for (animal, trail) in house.trails.iter().enumerate() {
        prop_assert_eq!(trail.left().is_none(), housed.contains(&animal), "animal {}", animal);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn no_animal_vanishes_and_a_refusal_leaves_no_trace(deeds in prop::collection::vec(any_deed(), 1..60)) {
        let mut book = start();
        let mut house = replay(&book).unwrap();
        let mut taken = 0;
        for deed in deeds {
            let next = entry(book.len(), deed);
            let before = house.clone();
            match house.apply(&next) {
                Ok(()) => {
                    prop_assert!(would_refuse(&book, &next).is_none());
                    book.push(next);
                    taken += 1;
                }
                Err(refusal) => {
                    prop_assert_eq!(&before, &house, "{} left a trace", refusal);
                    prop_assert!(!refusal.to_string().is_empty());
                }
            }
            conserved(&house)?;
        }
        prop_assert_eq!(replay(&book).unwrap(), house, "{} deeds", taken);
    }

    #[test]
    fn setting_the_last_deed_aside_undoes_it(deeds in prop::collection::vec(any_deed(), 1..40)) {
        let mut book = start();
        for deed in deeds {
            let next = entry(book.len(), deed);
            if would_refuse(&book, &next).is_some() {
                continue;
            }
            let before = replay(&book).unwrap();
            book.push(next.clone());
            let aside = Deed::SetAside(SetAside { entry: next.id, why: "a slip".into() });
            let mut undone = book.clone();
            undone.push(entry(book.len(), aside));
            let after = replay(&undone).unwrap();
            prop_assert_eq!(after.boxes, before.boxes);
            prop_assert_eq!(after.left, before.left);
            prop_assert_eq!(after.shelf, before.shelf);
        }
    }

    #[test]
    fn the_order_of_noting_does_not_matter(deeds in prop::collection::vec(any_deed(), 1..30), seed in any::<u64>()) {
        let mut book = start();
        for deed in deeds {
            let next = entry(book.len(), deed);
            if would_refuse(&book, &next).is_none() {
                book.push(next);
            }
        }
        let house = replay(&book).unwrap();
        // A fixed shuffle of the same entries, as two devices would deliver them.
        book.sort_by_key(|it| (it.id.as_u128() as u64).wrapping_mul(seed | 1));
        prop_assert_eq!(replay(&book).unwrap(), house);
    }
}

#[test]
fn an_entry_is_set_aside_once_and_only_if_it_is_there() {
    let mut book = start();
    let n = book.len();
    let aside = |n, id| entry(n, Deed::SetAside(SetAside { entry: id, why: String::new() }));
    let unknown = aside(n, Uuid::from_u128(999));
    assert!(would_refuse(&book, &unknown).unwrap().to_string().contains("not in the book"));
    // The lot cannot be taken back once its eggs have hatched.
    let hatched = entry(
        n,
        Deed::Hatched(Moved {
            from: "A".into(),
            into: "C".into(),
            line: None,
            stage: Stage::Egg,
            n: 3,
            animals: vec![],
            why: None,
            note: String::new(),
        }),
    );
    book.push(hatched);
    let lot = book[3].id;
    assert!(would_refuse(&book, &aside(n + 1, lot)).is_some());
    book.push(aside(n + 1, book[n].id));
    book.push(aside(n + 2, lot));
    assert_eq!(replay(&book).unwrap().received("HEATH"), 0);
    assert!(would_refuse(&book, &aside(n + 3, lot)).is_some(), "twice");
}

#[test]
fn what_is_refused_is_said_in_words_for_the_bench() {
    let book = start();
    let n = book.len();
    let say = |deed| would_refuse(&book, &entry(n, deed)).unwrap().refusal.to_string();
    let left = |name: &str, stage, n| {
        Deed::Left(Left {
            name: name.into(),
            line: None,
            stage,
            n,
            way: Way::Died,
            sign: String::new(),
            animals: vec![],
            note: String::new(),
        })
    };
    assert_eq!(
        say(left("A", Stage::Egg, 99)),
        "box A holds 12 in egg, not 99: count again, or note the moult or the find first"
    );
    assert_eq!(
        say(left("H07", Stage::Egg, 1)),
        "there is no box H07: open it first, or look at the lid again"
    );
    assert_eq!(
        say(left("A", Stage::Egg, 0)),
        "the number of animals must lie between 1 and 100000, but is 0"
    );
    assert_eq!(
        say(Deed::BoxClosed(BoxClosed { name: "A".into(), note: String::new() })),
        "box A still holds 12: move them or note what became of them before closing it"
    );
    assert_eq!(say(opened("A")), "box A is open already: give the new one another name");
}
