//! The book in a keeper's hands: backed up, restored, damaged, salvaged.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{demo, open_at};
use keeper::BeginNote;
use keeper::backup::{BackupAge, age, back_up, in_words};
use keeper::demo::{Season, make_book};
use keeper::restore::restore;
use keeper::salvage::salvage;
use keeper::view::round::RoundNote;
use keeper::{Keeper, NotNoted, Opening};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use store::{Access, BOOK_FILE, Store};
use terms::Stage;

fn remark(text: &str) -> RoundNote {
    RoundNote { remark: text.to_owned(), ..RoundNote::default() }
}

/// Changes the last place where some words stand in the closed file; the first may be left-over room.
fn change(folder: &Path, from: &str, to: &str) {
    let mut all = std::fs::read(folder.join(BOOK_FILE)).unwrap();
    let places: Vec<usize> =
        (0..all.len() - from.len()).filter(|at| all[*at..].starts_with(from.as_bytes())).collect();
    for place in places {
        all[place..place + to.len()].copy_from_slice(to.as_bytes());
    }
    std::fs::write(folder.join(BOOK_FILE), all).unwrap();
}

/// A demo book in which the keeper's first loss was changed on disk.
fn damaged() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    make_book(&book, Season::A, Season::A.day_to_look_at()).unwrap();
    change(&book, "wandered off the leaf", "WANDERED off the leaf");
    (folder, book)
}

#[test]
fn a_damaged_book_is_shown_says_so_and_takes_no_note() {
    let (_folder, book) = damaged();
    let keeper = Keeper::open(&book, &Opening::default()).unwrap();
    let notice = keeper.notice().unwrap();
    assert!(
        notice.contains("This book is damaged (the first at entry 41 of Thursday 8 May 2025)"),
        "{notice}"
    );
    assert!(notice.contains("cocoonery salvage"), "{notice}");
    assert!(keeper.morning().is_ok() && keeper.lines().is_ok());
    let before = std::fs::read(book.join(BOOK_FILE)).unwrap();
    let Err(NotNoted::Refused(why)) = keeper.note_round("H07", &remark("hello")) else { panic!("taken") };
    assert!(why.contains("damaged") && why.contains("salvage"), "{why}");
    drop(keeper);
    assert_eq!(std::fs::read(book.join(BOOK_FILE)).unwrap(), before);
    let refused = back_up(&book, &book.join("b"), None).unwrap_err().to_string();
    assert!(refused.contains("damaged"), "{refused}");
}

#[test]
fn salvage_makes_a_book_that_takes_notes_again_and_lists_what_is_lost() {
    let (folder, book) = damaged();
    let whole = demo(Season::A, "2025-06-01");
    let into = folder.path().join("saved");
    let kept = salvage(&book, &into).unwrap();
    assert_eq!(kept.entries + kept.lost.len(), whole.keeper.entries().len());
    assert!(
        kept.lost[0].contains("of Thursday 8 May 2025") && kept.lost[0].contains("1 L1 dead"),
        "{:?}",
        kept.lost
    );
    let list = std::fs::read_to_string(&kept.list).unwrap();
    assert!(kept.lost.iter().all(|it| list.contains(it)));
    assert!(keeper::check(&into).unwrap().is_empty());
    let keeper = Keeper::open(&into, &Opening::default()).unwrap();
    assert_eq!(keeper.zone(), "Europe/London");
    keeper.note_round("H07", &remark("goes on")).unwrap();
    assert!(salvage(&book, &into).unwrap_err().to_string().contains("already"), "nothing is replaced");
}

#[test]
fn a_changed_zone_is_damage_and_salvage_finds_the_right_one() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    make_book(&book, Season::A, Season::A.day_to_look_at()).unwrap();
    let shell = rusqlite::Connection::open(book.join(BOOK_FILE)).unwrap();
    shell.execute("UPDATE about SET value = 'Europe/Lisbon' WHERE key = 'zone'", []).unwrap();
    drop(shell);
    let keeper = Keeper::open(&book, &Opening::default()).unwrap();
    assert!(keeper.notice().unwrap().contains("damaged"));
    drop(keeper);
    let into = folder.path().join("saved");
    let kept = salvage(&book, &into).unwrap();
    assert_eq!(kept.lost.len(), 1, "{:?}", kept.lost);
    assert_eq!(
        Store::open(&into, Access::Read).unwrap().about("zone").unwrap().as_deref(),
        Some("Europe/London")
    );
}

#[test]
fn the_first_page_knows_how_old_the_last_backup_is() {
    let book = demo(Season::A, "2025-06-01");
    assert_eq!(book.keeper.last_backup(), None);
    assert_eq!(age(None), BackupAge::TooOld);
    assert!(in_words(None).contains("no backup yet"));
    let file = book.folder.path().join("moths.backup");
    back_up(book.folder.path(), &file, Some("2025-06-01".parse().unwrap())).unwrap();
    let folder = book.folder;
    drop(book.keeper);
    let mut folder = Some(folder);
    for (now, days, worry, says) in [
        (
            "2025-06-01",
            0,
            BackupAge::Fresh,
            "Last backup today, restored and compared; nothing was noted since.",
        ),
        ("2025-06-07T23:00", 6, BackupAge::Fresh, "6 days ago"),
        ("2025-06-08T07:00", 7, BackupAge::Old, "made 7 days ago"),
        ("2025-06-30T07:00", 29, BackupAge::Old, "time for a new one"),
        ("2025-07-01T07:00", 30, BackupAge::TooOld, "made 30 days ago"),
        ("2025-05-01", 0, BackupAge::Fresh, "today"),
    ] {
        let book = open_at(folder.take().unwrap(), now);
        let last = book.keeper.last_backup();
        assert_eq!(last.as_ref().map(|it| it.days), Some(days), "{now}");
        assert_eq!(age(last.as_ref()), worry, "{now}");
        assert!(in_words(last.as_ref()).contains(says), "{now}: {}", in_words(last.as_ref()));
        // A scratch book needs none.
        assert_eq!(book.keeper.morning().unwrap().backup, None);
        folder = Some(book.folder);
    }
    let into = tempfile::tempdir().unwrap();
    let restored = restore(&file, into.path()).unwrap();
    assert_eq!(restored.manifest.entries, Store::open(into.path(), Access::Read).unwrap().len().unwrap());
}

/// A book of one's own says on its first page that it has no backup, as soon as there is something to lose.
#[test]
fn a_book_with_animals_asks_for_a_backup_on_its_first_page() {
    let folder = tempfile::tempdir().unwrap();
    keeper::make_empty_book(folder.path(), "UTC").unwrap();
    let book = open_at(folder, "2025-06-01T08:00");
    assert_eq!(book.keeper.morning().unwrap().backup, None);
    let begun = BeginNote {
        id: None,
        species: "Saturnia pavonia".to_owned(),
        n: 12,
        about: false,
        stage: Stage::Egg,
        arrived: None,
        laid: None,
        origin: String::new(),
        permit: String::new(),
        line: "T".to_owned(),
        box_name: "T01".to_owned(),
        place: "the room".to_owned(),
    };
    book.keeper.begin(&begun).unwrap();
    let (worry, says) = book.keeper.morning().unwrap().backup.unwrap();
    assert_eq!(worry, BackupAge::TooOld);
    assert!(says.contains("no backup yet"), "{says}");
    back_up(book.folder.path(), &book.folder.path().join("one.backup"), None).unwrap();
    let (worry, says) = book.keeper.morning().unwrap().backup.unwrap();
    assert_eq!(worry, BackupAge::Fresh);
    assert!(says.contains("nothing was noted since"), "{says}");
}

/// Thirty backups while another thread notes without a pause: each is a point of the history.
#[test]
fn a_backup_under_constant_writing_is_a_point_of_the_history() {
    let book = demo(Season::A, "2025-06-01");
    let keeper = &book.keeper;
    let place = book.folder.path();
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            let mut n = 0;
            while !done.load(Ordering::Relaxed) {
                keeper.note_round("H07", &remark(&format!("remark {n}"))).unwrap();
                n += 1;
            }
        });
        for n in 0..30 {
            back_up(place, &place.join(format!("b{n}")), None).unwrap();
        }
        done.store(true, Ordering::Relaxed);
    });
    let history = keeper.entries();
    for n in 0..30 {
        let into = place.join(format!("into{n}"));
        restore(&place.join(format!("b{n}")), &into).unwrap();
        let entries = Store::open(&into, Access::Read).unwrap().entries().unwrap();
        assert!(!entries.is_empty() && history.starts_with(&entries), "b{n}");
    }
}
