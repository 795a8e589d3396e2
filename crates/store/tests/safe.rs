//! Lock, form, backup, restore and salvage, and that a flipped bit never passes.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use jiff::civil::date;
use rearing::deed::{LeafChanged, Remarked};
use rearing::{Deed, Entry, When};
use std::path::{Path, PathBuf};
use store::{Access, Appended, BOOK_FILE, Failure, Problem, Salvaged, Store, restore};
use tempfile::TempDir;
use uuid::Uuid;

fn entry(n: u128) -> Entry {
    let happened = When::on_the_wall(date(2025, 6, 1).at(7, 40, 0, 0), "Europe/London").unwrap();
    Entry {
        id: Uuid::from_u128(n),
        noted_at: happened.at,
        happened,
        by: "keeper".to_owned(),
        deed: Deed::Remarked(Remarked { about: "H07".to_owned(), text: format!("remark {n}") }),
    }
}

fn book_of(n: u128) -> (TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let entries: Vec<Entry> = (1..=n).map(entry).collect();
    let store = Store::create_with(folder.path(), &[("zone", "Europe/London")], &entries).unwrap();
    (folder, store)
}

fn a_moment() -> jiff::Timestamp {
    "2025-06-01T07:00:00Z".parse().unwrap()
}

fn bytes(folder: &Path) -> Vec<u8> {
    std::fs::read(folder.join(BOOK_FILE)).unwrap()
}

#[test]
fn the_refusal_of_a_second_writer_names_the_first() {
    let (folder, store) = book_of(1);
    let refused = Store::open(folder.path(), Access::Write).unwrap_err();
    let us = std::process::id();
    assert!(matches!(refused, Failure::Locked { pid: Some(pid), .. } if pid == us), "{refused}");
    assert!(refused.to_string().contains(&format!("process {us}")), "{refused}");
    drop(store);
    assert!(Store::open(folder.path(), Access::Write).is_ok());
}

/// Made once from a demo season; every later program must open it.
#[test]
fn form_1_opens_for_ever() {
    let folder = tempfile::tempdir().unwrap();
    let fixture = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/forms/form-1.sqlite");
    std::fs::copy(fixture, folder.path().join(BOOK_FILE)).unwrap();
    let store = Store::open(folder.path(), Access::Write).unwrap();
    assert_eq!(store.check().unwrap(), []);
    assert_eq!(store.len().unwrap(), 227);
    assert_eq!(store.about("zone").unwrap().as_deref(), Some("Europe/London"));
    let entries = store.entries().unwrap();
    assert!(rearing::replay(&entries).is_ok());
    store.append(&[entry(1)]).unwrap();
    assert_eq!(store.check().unwrap(), []);
}

#[test]
fn an_unknown_form_is_refused_with_both_numbers() {
    for (form, newer) in [(99, true), (2, true), (0, false), (-1, false)] {
        let (folder, store) = book_of(1);
        drop(store);
        let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
        connection.pragma_update(None, "user_version", form).unwrap();
        drop(connection);
        let before = bytes(folder.path());
        let refused = Store::open(folder.path(), Access::Write).unwrap_err();
        assert_eq!(refused.is_newer(), newer, "{form}: {refused}");
        if newer {
            let said = refused.to_string();
            assert!(said.contains(&format!("form {form}; this one knows 1")), "{said}");
        }
        assert_eq!(bytes(folder.path()), before);
    }
}

#[test]
fn a_half_made_book_is_no_book_and_the_log_of_a_lost_one_is_not_read_into_a_new_one() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("book.sqlite.new"), b"half").unwrap();
    assert!(matches!(Store::open(folder.path(), Access::Write), Err(Failure::NoBook { .. })));
    drop(Store::create(folder.path()).unwrap());
    assert!(!folder.path().join("book.sqlite.new").exists());

    let other = tempfile::tempdir().unwrap();
    std::fs::write(other.path().join("book.sqlite-wal"), b"what was noted last").unwrap();
    assert!(matches!(Store::create(other.path()), Err(Failure::Orphan { .. })));
    assert!(!other.path().join(BOOK_FILE).exists());
}

#[test]
fn a_changed_setting_shows() {
    let (folder, store) = book_of(1);
    drop(store);
    let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
    connection.execute("UPDATE about SET value = 'Europe/Lisbon' WHERE key = 'zone'", []).unwrap();
    drop(connection);
    let faults = Store::open(folder.path(), Access::Read).unwrap().check().unwrap();
    assert_eq!(faults.iter().map(|it| &it.problem).collect::<Vec<_>>(), [&Problem::BrokenSeal]);
}

#[test]
fn a_backup_comes_back_as_the_same_book_and_replaces_nothing() {
    let (folder, store) = book_of(40);
    let file = folder.path().join("moths.backup");
    let manifest = store.back_up(&file, a_moment()).unwrap();
    assert_eq!((manifest.entries, manifest.at), (40, a_moment()));
    assert!(matches!(store.back_up(&file, a_moment()), Err(Failure::Taken { .. })));
    let left: Vec<String> = std::fs::read_dir(folder.path())
        .unwrap()
        .map(|it| it.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|it| it.starts_with("moths"))
        .collect();
    assert_eq!(left, ["moths.backup"], "nothing half made is left");

    let into = tempfile::tempdir().unwrap();
    assert_eq!(restore(&file, into.path()).unwrap(), manifest);
    let restored = Store::open(into.path(), Access::Write).unwrap();
    assert_eq!(restored.entries().unwrap(), store.entries().unwrap());
    assert_eq!(restored.about("zone").unwrap().as_deref(), Some("Europe/London"));
    assert_eq!(restored.check().unwrap(), []);
    assert!(matches!(restore(&file, into.path()), Err(Failure::BookExists { .. })));
}

#[test]
fn a_plain_copy_of_a_book_and_a_text_are_no_backups() {
    let (folder, store) = book_of(3);
    drop(store);
    let into = folder.path().join("into");
    assert!(restore(&folder.path().join(BOOK_FILE), &into).unwrap_err().is_damage());
    std::fs::write(folder.path().join("text"), "a letter, not a book, but long enough for one".repeat(100))
        .unwrap();
    assert!(restore(&folder.path().join("text"), &into).unwrap_err().is_damage());
    assert!(matches!(restore(&folder.path().join("nothing"), &into), Err(Failure::NoBackup { .. })));
    assert!(!into.join(BOOK_FILE).exists());
}

#[test]
fn a_damaged_book_is_not_backed_up() {
    let (folder, store) = book_of(3);
    drop(store);
    change(folder.path(), b"remark 2", b"Remark 2");
    let store = Store::open(folder.path(), Access::Read).unwrap();
    let file = folder.path().join("b");
    let refused = store.back_up(&file, a_moment()).unwrap_err();
    assert!(refused.is_damage() && refused.to_string().contains("entry 2"), "{refused}");
    assert!(!file.exists());
}

/// Changes the first place where some bytes stand in the closed file.
fn change(folder: &Path, from: &[u8], to: &[u8]) {
    let mut all = bytes(folder);
    let place = all.windows(from.len()).position(|it| it == from).unwrap();
    all[place..place + to.len()].copy_from_slice(to);
    std::fs::write(folder.join(BOOK_FILE), all).unwrap();
}

fn salvaged(folder: &Path) -> Salvaged {
    let scratch = tempfile::tempdir().unwrap();
    Salvaged::from(folder, scratch.path()).unwrap()
}

#[test]
fn salvage_keeps_what_is_vouched_for_and_names_the_rest() {
    let (folder, store) = book_of(40);
    drop(store);
    assert_eq!(salvaged(folder.path()).entries.len(), 40);
    let shell = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
    shell.execute_batch("DROP TRIGGER entry_is_never_changed").unwrap();
    shell.execute("UPDATE entry SET what = replace(what, 'remark', 'REMARK') WHERE seq = 7", []).unwrap();
    drop(shell);
    let before = bytes(folder.path());
    let saved = salvaged(folder.path());
    assert_eq!(saved.entries.len(), 39);
    assert!(saved.entries.iter().all(|it| it.id != Uuid::from_u128(7)));
    let lost = &saved.lost[0];
    assert_eq!((saved.lost.len(), lost.seq, lost.id), (1, 7, Some(Uuid::from_u128(7))));
    assert!(lost.wall.starts_with("2025-06-01") && lost.says.as_deref().unwrap().contains("REMARK 7"));
    assert_eq!(bytes(folder.path()), before, "the damaged book is left as it is");
}

#[test]
fn an_entry_whose_hash_alone_was_changed_is_sound() {
    for (n, all) in [(40, 40), (12, 40)] {
        let (folder, store) = book_of(all);
        drop(store);
        let connection = rusqlite::Connection::open(folder.path().join(BOOK_FILE)).unwrap();
        connection.execute_batch("DROP TRIGGER entry_is_never_changed").unwrap();
        connection.execute("UPDATE entry SET hash = zeroblob(32) WHERE seq = ?1", [n]).unwrap();
        drop(connection);
        assert!(!Store::open(folder.path(), Access::Read).unwrap().check().unwrap().is_empty());
        let saved = salvaged(folder.path());
        assert_eq!((saved.entries.len(), saved.lost.len()), (all as usize, 0), "entry {n}");
    }
}

#[test]
fn a_book_whose_first_bytes_or_a_page_are_gone_is_salvaged_as_far_as_it_goes() {
    let (folder, store) = book_of(400);
    drop(store);
    let whole = bytes(folder.path());
    let with = |from: usize, n: usize| {
        let mut all = whole.clone();
        all[from..from + n].fill(0xff);
        std::fs::write(folder.path().join(BOOK_FILE), all).unwrap();
        salvaged(folder.path())
    };
    assert_eq!(with(0, 60).entries.len(), 400, "the header can be worked out anew");
    let mut some = 0;
    for page in 2..whole.len() / 4096 {
        let saved = with(page * 4096, 4096);
        let known = saved.entries.iter().all(|it| *it == entry(it.id.as_u128()));
        assert!(known, "page {page}: nothing is made up");
        assert!(
            saved.entries.len() == 400 || !saved.lost.is_empty() || !saved.faults.is_empty(),
            "page {page}"
        );
        some += usize::from((200..400).contains(&saved.entries.len()));
    }
    assert!(some > 3, "a lost page takes only what stood on it");
}

fn leaf(offered_fresh_g: f64, left_fresh_g: Option<f64>) -> Entry {
    let deed = Deed::LeafChanged(LeafChanged {
        name: "H07".to_owned(),
        plant: String::new(),
        offered_fresh_g,
        left_fresh_g,
        control_fresh_g: None,
        control_after_g: None,
        larvae: None,
        note: String::new(),
    });
    Entry { deed, ..entry(u128::from(offered_fresh_g.to_bits()) + (1 << 80)) }
}

#[test]
fn a_number_that_is_none_is_refused_and_every_other_comes_back_to_the_bit() {
    let (_folder, store) = book_of(1);
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(store.append(&[leaf(bad, None)]).is_err(), "{bad}");
        assert!(store.append(&[leaf(1.0, Some(bad))]).is_err(), "left {bad}");
    }
    assert_eq!(store.len().unwrap(), 1);
    // The last two are read one step off by readers that are not exact.
    let hard = [0.1 + 0.2, 5e-324, f64::MIN_POSITIVE, f64::MAX, -0.0, 31.245270191439438, 121.48791951161945];
    for grams in hard {
        assert_eq!(store.append(&[leaf(grams, Some(grams))]).unwrap(), Appended::Saved { new: 1 });
        let back = store.entries().unwrap().pop().unwrap();
        let Deed::LeafChanged(it) = back.deed else { unreachable!() };
        assert_eq!(it.offered_fresh_g.to_bits(), grams.to_bits(), "{grams}");
    }
}

/// A small generator with a fixed seed (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % n as u64).unwrap()
    }
}

/// 150 in the book and 150 in a backup here; the torture run makes 10,000 of each.
#[test]
fn a_flipped_bit_is_told_refused_or_changes_nothing() {
    let scratch: PathBuf = ["/dev/shm", "."].iter().map(PathBuf::from).find(|it| it.is_dir()).unwrap();
    let folder = tempfile::tempdir_in(scratch).unwrap();
    let entries: Vec<Entry> = (1..=30).map(entry).collect();
    let book = folder.path().join("book");
    let backup = folder.path().join("backup");
    let store = Store::create_with(&book, &[("zone", "Europe/London")], &entries).unwrap();
    store.back_up(&backup, a_moment()).unwrap();
    drop(store);
    let (closed, kept) = (bytes(&book), std::fs::read(&backup).unwrap());
    let mut dice = Dice(20_260_501);
    let mut told = 0;
    for _ in 0..150 {
        let bit = dice.below(closed.len() * 8);
        let mut flipped = closed.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        std::fs::write(book.join(BOOK_FILE), flipped).unwrap();
        let Ok(store) = Store::open(&book, Access::Read) else {
            told += 1;
            continue;
        };
        if store.check().is_ok_and(|it| it.is_empty()) {
            assert_eq!(store.entries().unwrap(), entries, "bit {bit}");
            assert_eq!(store.about("zone").unwrap().as_deref(), Some("Europe/London"), "bit {bit}");
        } else {
            told += 1;
        }
    }
    for n in 0..150 {
        let bit = dice.below(kept.len() * 8);
        let mut flipped = kept.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        std::fs::write(&backup, flipped).unwrap();
        let into = folder.path().join(format!("into{n}"));
        match restore(&backup, &into) {
            Err(_) => told += 1,
            Ok(_) => {
                let store = Store::open(&into, Access::Read).unwrap();
                assert_eq!(store.entries().unwrap(), entries, "bit {bit}");
                assert_eq!(store.about("zone").unwrap().as_deref(), Some("Europe/London"), "bit {bit}");
            }
        }
    }
    // A third of these small files is empty room, where a bit means nothing.
    assert!(told > 50, "flips hit something: {told}");
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig { cases: 40, failure_persistence: None, ..Default::default() })]

    /// However a file was damaged, nothing panics and no entry is made up.
    #[test]
    fn no_damage_makes_salvage_panic_or_invent(
        places in proptest::collection::vec((0.0_f64..1.0, proptest::collection::vec(0_u8.., 1..600)), 1..6),
        length in proptest::option::of(0.0_f64..1.2),
    ) {
        let (folder, store) = book_of(120);
        drop(store);
        let mut all = bytes(folder.path());
        let at = |share: f64, n: usize| (share * n as f64) as usize;
        for (place, junk) in places {
            let from = at(place, all.len());
            let to = (from + junk.len()).min(all.len());
            all[from..to].copy_from_slice(&junk[..to - from]);
        }
        if let Some(length) = length {
            all.resize(at(length, all.len()), 0);
        }
        std::fs::write(folder.path().join(BOOK_FILE), all).unwrap();
        if let Ok(store) = Store::open(folder.path(), Access::Read) {
            let read = store.read().unwrap();
            proptest::prop_assert!(!read.faults.is_empty() || read.entries.len() == 120);
        }
        let scratch = tempfile::tempdir().unwrap();
        if let Ok(saved) = Salvaged::from(folder.path(), scratch.path()) {
            for it in &saved.entries {
                proptest::prop_assert_eq!(it, &entry(it.id.as_u128()));
            }
        }
    }

    /// Anything may be called a backup.
    #[test]
    fn no_file_makes_restore_panic(junk in proptest::collection::vec(0_u8.., 0..9000), led in 0_usize..3) {
        let (folder, store) = book_of(2);
        let head = bytes(folder.path());
        drop(store);
        let file = folder.path().join("backup");
        std::fs::write(&file, [&head[..led * 50], &junk[..]].concat()).unwrap();
        proptest::prop_assert!(restore(&file, &folder.path().join("into")).is_err());
    }
}
