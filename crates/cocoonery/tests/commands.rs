//! The command line as a newcomer and as a script meets it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{at, cocoonery, done};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

fn scratch() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    let made = cocoonery()
        .args(["try", "--season", "a", "--as-of", "2025-06-01", "--no-serve", "--into"])
        .arg(&book)
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    (folder, book)
}

/// What was said on stderr, and the exit code.
fn refused(book: &Path, words: &[&str]) -> (i32, String) {
    let output = at(book, "2025-06-01T07:40", words);
    assert!(output.stdout.is_empty(), "{words:?} said {}", String::from_utf8_lossy(&output.stdout));
    (output.status.code().unwrap(), String::from_utf8(output.stderr).unwrap())
}

/// The whole folder, byte by byte, but for the lock and the shared memory of readers.
fn bytes_of(book: &Path) -> Vec<u8> {
    std::fs::read(book.join("book.sqlite")).unwrap()
}

#[test]
fn bad_words_get_a_sentence_and_leave_the_book_alone() {
    let (_folder, book) = scratch();
    // Opening once settles the write-ahead log into the file.
    done(&book, "2025-06-01", &["check"]);
    let before = bytes_of(&book);
    let cases: [(&[&str], i32, &str); 14] = [
        (&["note", "dead", "H07", "99", "L3"], 1, "holds 3 in L3, not 99"),
        (&["note", "dead", "H77", "1"], 2, "there is no box H77"),
        (&["note", "dead", "H07", "-1"], 2, "unexpected argument"),
        (&["note", "dead", "H07", "1.000"], 2, "invalid value"),
        (&["note", "dead", "H07", "many"], 2, "invalid value"),
        (&["note", "dead", "H07", "0"], 1, "must lie between 1 and"),
        (&["note", "dead", "H07", "1", "L12"], 2, "is no stage"),
        (&["note", "leaf", "H08", "NaN"], 1, "must be a number"),
        (&["note", "--at", "2025-06-03T07:40", "dead", "H07", "1"], 1, "3 June is still to come"),
        (&["note", "air", "shed", "--min", "30", "--max", "20"], 1, "is above the highest"),
        (&["note", "undo", "nonsense"], 2, "is no id of an entry"),
        (&["calendar", "NOBODY"], 1, "there is no line NOBODY"),
        (&["--as-of", "1.6.2025", "round"], 2, "is no day or moment"),
        (
            &["reckon", "vapour-pressure-deficit", "{\"air_c\": 20, \"humidity_percent\": 170}"],
            2,
            "humidity_percent",
        ),
    ];
    for (words, code, says) in cases {
        let (exit, said) = refused(&book, words);
        assert!(said.contains(says), "{words:?}: {said}");
        assert_eq!(exit, code, "{words:?}: {said}");
    }
    assert_eq!(bytes_of(&book), before);
    let (_, said) = refused(&book, &["note", "dead", "H07", "99", "L3"]);
    assert!(said.contains("Nothing was saved"), "{said}");
}

#[test]
fn bad_tables_are_named_by_line_and_column_and_nothing_is_brought_in() {
    let (folder, book) = scratch();
    let demo = format!("{}/../../demo/b_cecropia_millrun", env!("CARGO_MANIFEST_DIR"));
    let break_and_bring = |file: &str, from: &[u8], to: &[u8]| {
        let tables = folder.path().join("tables");
        let _ = std::fs::remove_dir_all(&tables);
        std::fs::create_dir(&tables).unwrap();
        for it in std::fs::read_dir(&demo).unwrap() {
            let it = it.unwrap();
            std::fs::copy(it.path(), tables.join(it.file_name())).unwrap();
        }
        let bytes = std::fs::read(tables.join(file)).unwrap();
        // Nothing to look for: the whole file is replaced.
        let found = (!from.is_empty()).then(|| bytes.windows(from.len()).position(|it| it == from).unwrap());
        let broken = match found {
            Some(place) => [&bytes[..place], to, &bytes[place + from.len()..]].concat(),
            None => to.to_vec(),
        };
        std::fs::write(tables.join(file), broken).unwrap();
        refused(&book, &["bring-in", tables.to_str().unwrap()])
    };
    let n = common::json(&book, "2025-06-01", &["lines"]);
    let cases: [(&str, &[u8], &[u8], &str); 7] = [
        ("events.csv", b",moult,2,", b",moult,99,", "events.csv, line"),
        (
            "counts.csv",
            b"MILLRUN,M01,egg,40,",
            b"MILLRUN,M01,egg,1.000,",
            "counts.csv, line 2, column counted",
        ),
        ("conditions.csv", b",17.1,", b",NaN,", "conditions.csv, line 2, column t_min"),
        ("events.csv", b"2025-06-07,", b"2025-13-07,", "events.csv, line 5, column date"),
        ("events.csv", b"", b"", "events.csv"),
        ("lots.csv", b"", b"\x00\x01\x02\xff\xfe binary", "lots.csv"),
        ("boxes.csv", b"box,line", b"kiste,line", "boxes.csv"),
    ];
    for (file, from, to, says) in cases {
        let (exit, said) = break_and_bring(file, from, to);
        assert!(said.contains(says) && said.contains("nothing was brought in"), "{file} {to:?}: {said}");
        assert_eq!(exit, 1);
    }
    assert_eq!(common::json(&book, "2025-06-01", &["lines"]), n, "the book is as it was");
}

#[test]
fn a_season_is_brought_in_once_however_often_it_is_asked() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    let tables = format!("{}/../../demo/c_eri_amlokhi", env!("CARGO_MANIFEST_DIR"));
    let words = ["bring-in", tables.as_str(), "--new", "Asia/Kolkata"];
    let dry = common::json(&book, "2025-12-31", &["bring-in", &tables, "--new", "Asia/Kolkata", "--dry-run"]);
    assert!(dry["new"].as_u64().unwrap() > 1000 && !book.join("book.sqlite").exists());
    let first = common::json(&book, "2025-12-31", &words);
    assert_eq!(first["new"], dry["new"]);
    let second = common::json(&book, "2025-12-31", &words);
    assert_eq!((second["new"].clone(), second["known"].clone()), (0.into(), first["new"].clone()));
    assert!(done(&book, "2025-12-31", &["check"]).is_empty());
}

#[test]
fn a_book_tampered_with_is_found_by_check_with_exit_4() {
    let (_folder, book) = scratch();
    let file = book.join("book.sqlite");
    done(&book, "2025-06-01", &["check"]);
    let mut bytes = std::fs::read(&file).unwrap();
    let needle = b"wandered off the leaf";
    let place = bytes.windows(needle.len()).position(|it| it == needle).unwrap();
    bytes[place] = b'W';
    std::fs::write(&file, bytes).unwrap();
    let output = at(&book, "2025-06-01", &["check"]);
    let said = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(4));
    assert!(said.contains("entry ") && said.contains(" 2025: its hash does not follow"), "{said}");
}

#[test]
fn a_folder_without_a_book_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let (exit, said) = refused(folder.path(), &["round"]);
    assert_eq!(exit, 1);
    assert!(said.contains("there is no book in"), "{said}");
    assert!(std::fs::read_dir(folder.path()).unwrap().next().is_none(), "looking leaves nothing behind");
}

#[test]
fn an_earlier_day_is_answered_as_the_book_stood_then() {
    let (_folder, book) = scratch();
    let then = common::json(&book, "2025-06-01", &["--as-of", "2025-05-09", "lines"]);
    assert_eq!(then["lines"][0]["account"]["alive as eggs"], 4);
    let (exit, said) = refused(&book, &["--as-of", "2025-05-09", "note", "dead", "H02", "1"]);
    assert!(exit == 1 && said.contains("only looked at"), "{said}");
}

#[test]
fn reckon_answers_one_figure_a_list_and_a_table_of_cases() {
    let reckon = |words: &[&str]| {
        let output = cocoonery().arg("reckon").args(words).output().unwrap();
        assert!(output.status.success(), "{words:?}: {output:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    // 20 degC and 70 %: 0.70 kPa (saturation 2.34 kPa), each to 0.01; common handbook figure.
    let vpd: f64 = reckon(&["vapour-pressure-deficit", "{\"air_c\": 20, \"humidity_percent\": 70}"])
        .trim()
        .parse()
        .unwrap();
    assert!((vpd - 0.70).abs() < 0.01, "{vpd}");
    let list: serde_json::Value = serde_json::from_str(&reckon(&["--list", "--json"])).unwrap();
    let names: Vec<&str> = list.as_array().unwrap().iter().map(|it| it["name"].as_str().unwrap()).collect();
    for name in [
        "degree-days",
        "rate",
        "saturation-pressure",
        "dew-point",
        "both-sexes",
        "animals-needed",
        "same-night",
    ] {
        assert!(names.contains(&name), "{name} is not on the list");
    }
    let cases = format!("{}/../../reference/oracles/04_small_numbers.csv", env!("CARGO_MANIFEST_DIR"));
    let table = reckon(&["--cases", &cases]);
    assert!(table.lines().next().unwrap().contains("computed"), "{table}");
}

/// The later year for a script: names of the keys are what others may rely on.
#[test]
fn cocoons_and_pairings_answer_a_script() {
    let folder = tempfile::tempdir().unwrap();
    let book = folder.path().join("book");
    let made = cocoonery()
        .args(["try", "--season", "a", "--as-of", "2026-04-28T16:00", "--no-serve", "--into"])
        .arg(&book)
        .output()
        .unwrap();
    assert!(made.status.success(), "{made:?}");
    let json = |as_of: &str, words: &[&str]| -> serde_json::Value {
        let output = cocoonery()
            .arg("--book")
            .arg(&book)
            .args(["--as-of", as_of, "--json"])
            .args(words)
            .output()
            .unwrap();
        assert!(output.status.success(), "{words:?}: {output:?}");
        serde_json::from_slice(&output.stdout).unwrap()
    };
    let lines = json("2025-10-16", &["cocoons", "HEATH"]);
    let cocoons = lines["lines"][0]["cocoons"].as_array().unwrap();
    let drying: Vec<&str> = cocoons
        .iter()
        .filter(|it| it["state"] == "drying")
        .map(|it| it["cocoon"].as_str().unwrap())
        .collect();
    assert_eq!(drying, ["H-C11"]);
    assert_eq!(cocoons[0]["flagged_on"], "2025-08-20");
    for words in ["pairings", "pairs"] {
        let board = json("2026-04-28T17:00", &[words]);
        assert_eq!(board["females"][0]["female"]["moth"], "H-C09F");
        assert_eq!(board["females"][0]["males"][0]["male"], "MO-C01M");
        assert_eq!(board["females"][0]["males"][1]["inbreeding"]["low"], 0.25);
    }
}
