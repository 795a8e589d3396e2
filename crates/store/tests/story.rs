//! A season in the life of a store, and what happens when somebody tampers with it.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use jiff::civil::date;
use rearing::deed::{BoxOpened, Remarked};
use rearing::{Deed, Entry, When};
use store::{Access, Appended, BOOK_FILE, Problem, Store};
use uuid::Uuid;

fn entry(n: u128, text: &str) -> Entry {
    let happened = When::on_the_wall(date(2025, 6, 1).at(7, 40, 0, 0), "Europe/London").unwrap();
    Entry {
        id: Uuid::from_u128(n),
        noted_at: happened.at,
        happened,
        by: "keeper".to_owned(),
        deed: Deed::Remarked(Remarked { about: "H07".to_owned(), text: text.to_owned() }),
    }
}

#[test]
fn what_was_saved_comes_back_after_reopening() {
    let folder = tempfile::tempdir().unwrap();
    let opened = Entry {
        deed: Deed::BoxOpened(BoxOpened {
            name: "H07".to_owned(),
            line: "HEATH".to_owned(),
            for_stage: Some(terms::Stage::Larva(3)),
            vessel: "3 l tub".to_owned(),
            floor_cm2: Some(420.5),
            place: String::new(),
            note: "quote \" and ü and \u{1F41B}".to_owned(),
        }),
        ..entry(1, "")
    };
    let noted = [opened, entry(2, "second")];
    {
        let store = Store::create(folder.path()).unwrap();
        assert!(store.is_empty().unwrap());
        assert_eq!(store.append(&noted).unwrap(), Appended::Saved { new: 2 });
        store.put_about("zone", "Europe/London").unwrap();
    }
    let store = Store::open(folder.path(), Access::Read).unwrap();
    assert_eq!(store.entries().unwrap(), noted);
    assert_eq!(store.entries_after(1).unwrap(), noted[1..]);
    assert_eq!(store.about("zone").unwrap().as_deref(), Some("Europe/London"));
    assert_eq!(store.about("nothing").unwrap(), None);
    assert_eq!(store.check().unwrap(), []);
}

#[test]
fn sending_twice_is_noting_once() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::create(folder.path()).unwrap();
    assert_eq!(store.append(&[entry(1, "a"), entry(2, "b")]).unwrap(), Appended::Saved { new: 2 });
    assert_eq!(store.append(&[entry(2, "b"), entry(3, "c")]).unwrap(), Appended::Saved { new: 1 });
    let other = store.append(&[entry(4, "d"), entry(2, "not b")]).unwrap();
    assert_eq!(other, Appended::OtherContent { id: Uuid::from_u128(2) });
    assert_eq!(store.len().unwrap(), 3, "a refused note leaves nothing behind");
    assert_eq!(store.check().unwrap(), []);
}

#[test]
fn one_process_writes_at_a_time_and_others_may_look() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::create(folder.path()).unwrap();
    store.append(&[entry(1, "a")]).unwrap();
    assert!(Store::open(folder.path(), Access::Write).unwrap_err().is_locked());
    let looking = Store::open(folder.path(), Access::Read).unwrap();
    assert_eq!(looking.len().unwrap(), 1);
    assert!(looking.append(&[entry(2, "b")]).is_err());
    drop((store, looking));
    assert!(Store::open(folder.path(), Access::Write).is_ok());
}

#[test]
fn a_book_is_never_made_over_another_or_out_of_nothing() {
    let folder = tempfile::tempdir().unwrap();
    assert!(Store::open(folder.path(), Access::Write).is_err());
    assert!(!folder.path().join(BOOK_FILE).exists());
    Store::create(folder.path()).unwrap();
    assert!(Store::create(folder.path()).is_err());
}

/// A keeper with a database shell and no scruples.
fn tamper(folder: &std::path::Path, sql: &str) {
    let connection = rusqlite::Connection::open(folder.join(BOOK_FILE)).unwrap();
    connection
        .execute_batch("DROP TRIGGER entry_is_never_changed; DROP TRIGGER entry_is_never_deleted;")
        .unwrap();
    connection.execute_batch(sql).unwrap();
}

#[test]
fn tampering_shows_and_names_the_entry() {
    let cases = [
        ("UPDATE entry SET what = replace(what, 'b', 'x') WHERE seq = 2", 2, Problem::BrokenChain),
        ("UPDATE entry SET wall = '2025-06-02T07:40:00' WHERE seq = 1", 1, Problem::BrokenChain),
        ("DELETE FROM entry WHERE seq = 2", 3, Problem::BrokenChain),
        ("DELETE FROM entry WHERE seq = 3", 0, Problem::WrongEnd),
    ];
    for (sql, seq, problem) in cases {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::create(folder.path()).unwrap();
        store.append(&[entry(1, "a"), entry(2, "b"), entry(3, "c")]).unwrap();
        drop(store);
        tamper(folder.path(), sql);
        let faults = Store::open(folder.path(), Access::Read).unwrap().check().unwrap();
        let first = faults.first().unwrap();
        assert_eq!((first.seq, &first.problem), (seq, &problem), "{sql}");
    }
}

#[test]
fn the_table_itself_refuses_changes() {
    let folder = tempfile::tempdir().unwrap();
    Store::create(folder.path()).unwrap().append(&[entry(1, "a")]).unwrap();
    let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
    assert!(connection.execute_batch("UPDATE entry SET by = 'x'").is_err());
    assert!(connection.execute_batch("DELETE FROM entry").is_err());
}

#[test]
fn a_book_of_a_newer_program_or_no_book_at_all_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    drop(Store::create(folder.path()).unwrap());
    let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
    connection.pragma_update(None, "user_version", 99).unwrap();
    drop(connection);
    assert!(Store::open(folder.path(), Access::Write).unwrap_err().is_newer());

    let other = tempfile::tempdir().unwrap();
    std::fs::write(other.path().join(BOOK_FILE), b"this is no database, and long enough to be read as one")
        .unwrap();
    assert!(Store::open(other.path(), Access::Write).unwrap_err().is_damage());
    let kept = std::fs::read(other.path().join(BOOK_FILE)).unwrap();
    assert!(kept.starts_with(b"this is no database"));
}

#[test]
fn the_database_keeps_what_we_asked_of_it() {
    let folder = tempfile::tempdir().unwrap();
    drop(Store::create(folder.path()).unwrap());
    let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
    let mode: String = connection.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
    assert_eq!(mode, "wal");
    let version: Vec<u32> = rusqlite::version().split('.').map(|it| it.parse().unwrap()).collect();
    assert!(version >= vec![3, 50, 0], "an old SQLite is bundled: {version:?}");
}
