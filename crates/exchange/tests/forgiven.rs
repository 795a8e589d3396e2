//! What a reader forgives, and that nothing makes it stumble.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{SEASONS, files, leaf_fresh_g, read};
use exchange::table::{Columns, read as read_table};
use exchange::{Complaint, Severity};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use std::collections::BTreeMap;

const COLUMNS: Columns = Columns { required: &["box", "n"], optional: &["note"] };

/// The same table as another program would save it: byte order mark, CRLF,
/// tabs, the columns the other way round, capitals, a column more, blank rows.
fn saved_elsewhere(bytes: &[u8]) -> Vec<u8> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(bytes);
    let mut writer = csv::WriterBuilder::new()
        .delimiter(b'\t')
        .terminator(csv::Terminator::CRLF)
        .from_writer(b"\xef\xbb\xbf".to_vec());
    for (index, record) in reader.records().enumerate() {
        let mut cells: Vec<String> = record.unwrap().iter().rev().map(|it| format!(" {it} ")).collect();
        cells.push("initials".to_owned());
        if index == 0 {
            cells = cells.iter().map(|it| it.to_uppercase()).collect();
        }
        let width = cells.len();
        writer.write_record(cells).unwrap();
        if index % 7 == 3 {
            writer.write_record(vec![""; width]).unwrap();
        }
    }
    writer.into_inner().unwrap()
}

#[test]
fn a_season_saved_elsewhere_is_the_same_season() {
    for (name, zone) in SEASONS {
        let (plain, _) = read(name, &files(name), zone);
        let elsewhere: BTreeMap<String, Vec<u8>> =
            files(name).into_iter().map(|(file, bytes)| (file, saved_elsewhere(&bytes))).collect();
        let (saved, complaints) = read(name, &elsewhere, zone);
        assert_eq!(plain.entries, saved.entries, "{name}");
        let unread: Vec<&Complaint> =
            complaints.iter().filter(|it| it.severity == Severity::Unread).collect();
        assert_eq!(unread.len(), elsewhere.len(), "the column more is told of in each table");
        assert!(unread.iter().all(|it| it.line == 1 && it.column.as_deref() == Some("initials")));
    }
}

#[test]
fn lines_are_those_of_the_file() {
    let text = "box;n;note\r\n\r\nH01;1;\"two\r\nlines; and \"\"quotes\"\"\"\r\n;;\r\n\r\nH02;2;\r\nH03\r\nH04;4;x;\r\n";
    let (sheet, complaints) = read_table("kept.csv", text.as_bytes(), &COLUMNS);
    let sheet = sheet.unwrap();
    let rows: Vec<(usize, &str)> = sheet.rows.iter().map(|it| (it.line, sheet.cell(it, "box"))).collect();
    assert_eq!(rows, [(3, "H01"), (7, "H02"), (9, "H04")]);
    assert_eq!(sheet.cell(&sheet.rows[0], "note"), "two\r\nlines; and \"quotes\"");
    let said: Vec<String> = complaints.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "kept.csv, line 8: the row has 1 cell, the header 3: is a cell missing? Leave an empty one in its place"
        ]
    );
}

#[test]
fn old_line_ends_and_a_single_column() {
    let (sheet, complaints) = read_table("kept.csv", b"n,box\r1,A\r2,B", &COLUMNS);
    let lines: Vec<usize> = sheet.unwrap().rows.iter().map(|it| it.line).collect();
    assert_eq!((lines, complaints.len()), (vec![2, 3], 0));
    let one = Columns { required: &["box"], optional: &[] };
    let (sheet, complaints) = read_table("kept.csv", b"box\nA;1\n", &one);
    assert_eq!((sheet.unwrap().rows.len(), complaints.len()), (1, 0));
}

#[test]
fn a_decimal_comma_where_semicolons_part_the_cells() {
    let mut files = files(SEASONS[0].0);
    let leaf = String::from_utf8(files["leaf.csv"].clone()).unwrap();
    files.insert("leaf.csv".to_owned(), leaf.replace(',', ";").replace('.', ",").into_bytes());
    let (season, complaints) = read("commas", &files, SEASONS[0].1);
    assert!(!complaints.iter().any(Complaint::is_refused), "{complaints:#?}");
    let (offered_g, _) = leaf_fresh_g(&season);
    // 465 g by the story of the season, to three figures.
    assert!((offered_g - 465.0).abs() <= 0.5, "{offered_g}");
}

#[test]
fn only_what_must_be_there_must_be_there() {
    let mut files = files(SEASONS[0].0);
    files.retain(|it, _| matches!(it.as_str(), "lots.csv" | "boxes.csv" | "events.csv"));
    let (season, complaints) = read("bare", &files, SEASONS[0].1);
    // Without the table of cocoons nobody knows which one died, went or came
    // out, so the book counts them by line.
    assert!(!complaints.iter().any(Complaint::is_refused), "{complaints:#?}");
    let house = rearing::replay(&season.entries).unwrap();
    assert_eq!(house.unaccounted(), []);
    assert_eq!(house.received("HEATH"), 28);
    assert_eq!(house.pairings["P26-1"].took, Some(true));
}

/// The same cases each time, so that a failure is not a matter of luck.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { rng_seed: RngSeed::Fixed(2025), ..ProptestConfig::with_cases(cases) }
}

proptest! {
    #![proptest_config(cases(512))]

    // Whatever a file holds, reading it ends in rows or in a sentence.
    #[test]
    fn no_bytes_make_it_stumble(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let (sheet, complaints) = read_table("kept.csv", &bytes, &COLUMNS);
        prop_assert!(sheet.is_some() || complaints.iter().any(Complaint::is_refused));
    }

    #[test]
    fn no_text_makes_it_stumble(text in "[\"\n\r,;\tboxn0-9 ]{0,80}") {
        let text = format!("box,n,note\n{text}");
        let lines = text.lines().count() + text.matches('\r').count() + 1;
        let (sheet, complaints) = read_table("kept.csv", text.as_bytes(), &COLUMNS);
        prop_assert!(sheet.is_some() || complaints.iter().any(Complaint::is_refused));
        prop_assert!(complaints.iter().all(|it| it.line <= lines));
        prop_assert!(sheet.is_none_or(|it| it.rows.is_sorted_by_key(|it| it.line)));
    }
}

proptest! {
    #![proptest_config(cases(96))]

    // One cell of a season changed to something that could stand there: either
    // the whole season still follows and adds up, or none of it is handed out.
    #[test]
    fn all_or_nothing(
        table in 0usize..10,
        line in any::<prop::sample::Index>(),
        column in any::<prop::sample::Index>(),
        to in prop::sample::select(vec![
            "", "0", "1", "7", "-1", "1.5", "H01", "H08", "TRAY-H", "store", "L1", "L4", "egg", "cocoon", "adult",
            "2025-05-17", "2026-04-26", "2199-12-31", "06:00", "23:59", "HEATH", "MOOR", "H-C03", "H-C03F", "P26-1",
            "F", "M", "death", "moult", "store", "emerge", "missing", "found", "destroy", "move", "a + b", "\u{1F98B}",
        ]),
    ) {
        let mut files = files(SEASONS[0].0);
        let name = files.keys().nth(table % files.len()).unwrap().clone();
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(&files[&name][..]);
        let mut records: Vec<Vec<String>> =
            reader.records().map(|it| it.unwrap().iter().map(str::to_owned).collect()).collect();
        let row = 1 + line.index(records.len() - 1);
        let cell = column.index(records[0].len());
        records[row][cell] = to.to_owned();
        let mut writer = csv::Writer::from_writer(Vec::new());
        records.iter().for_each(|it| writer.write_record(it).unwrap());
        files.insert(name.clone(), writer.into_inner().unwrap());
        let (season, complaints) = read("changed", &files, SEASONS[0].1);
        let is_refused = complaints.iter().any(Complaint::is_refused);
        prop_assert_eq!(season.entries.is_empty(), is_refused);
        prop_assert_eq!(season.entries.len(), season.origins.len());
        let house = rearing::replay(&season.entries);
        prop_assert!(house.is_ok_and(|it| it.unaccounted().is_empty()), "{name} {row} {cell} {to}");
    }
}
