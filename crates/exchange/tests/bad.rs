//! Bad tables: each is a demo season with one thing changed. Each must give a
//! complaint with table, line and column, few others beside it, and no entries.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{SEASONS, files, read};
use exchange::Complaint;
use std::collections::BTreeMap;

/// One change to one table.
enum Change {
    /// The cell of a line, by column.
    Cell(usize, &'static str, &'static str),
    /// The line stands twice.
    Twice(usize),
    /// The line is not there.
    Without(usize),
    /// The column is not there.
    WithoutColumn(&'static str),
    /// A column stands twice in the header.
    ColumnAs(&'static str, &'static str),
    /// Only the header is left.
    HeaderOnly,
    /// The whole text is another one.
    Text(fn(&str) -> Vec<u8>),
    /// The file is not there.
    NoFile,
}

use Change::{Cell, ColumnAs, HeaderOnly, NoFile, Text, Twice, Without, WithoutColumn};

/// Season, table and change; then table, line and column of the complaint and
/// some of its words.
type Bad = (usize, &'static str, Change, (&'static str, usize, Option<&'static str>, &'static str));

const A: usize = 0;
const B: usize = 1;
const C: usize = 2;

#[rustfmt::skip]
fn numbers() -> Vec<Bad> {
    let n = |to| Cell(15, "n", to);
    let says = |words| ("events.csv", 15, Some("n"), words);
    vec![
        (A, "events.csv", n("-3"), says("below zero")),
        (A, "events.csv", n("99"), says("box H02 holds 20 in L1, not 99")),
        (A, "events.csv", n("NaN"), says("digits only")),
        (A, "events.csv", n("inf"), says("digits only")),
        (A, "events.csv", n("1.000"), says("as 1 or as 1000")),
        (A, "events.csv", n("1,000"), says("as 1 or as 1000")),
        (A, "events.csv", n("2.5"), says("no whole number")),
        (A, "events.csv", n("five"), says("digits only")),
        (A, "events.csv", n(""), says("at least 1")),
        (A, "events.csv", n("0"), says("at least 1")),
        (A, "events.csv", n("99999999999"), says("more than anybody can count")),
        (A, "events.csv", n("4294967295"), says("must lie between")),
        (A, "boxes.csv", Cell(7, "floor_cm2", "wide"), ("boxes.csv", 7, Some("floor_cm2"), "without a unit")),
        (A, "boxes.csv", Cell(7, "floor_cm2", "-5"), ("boxes.csv", 7, Some("floor_cm2"), "must lie between 1 cm2")),
        (A, "counts.csv", Cell(20, "counted", "inf"), ("counts.csv", 20, Some("counted"), "digits only")),
        (A, "counts.csv", Cell(20, "in_moult", "25"), ("counts.csv", 20, Some("in_moult"), "25 in moult of 24")),
        (A, "counts.csv", Cell(20, "counted", ""), ("counts.csv", 20, Some("in_moult"), "nobody counted")),
        (A, "counts.csv", Cell(20, "expected_from_events", "22"), ("counts.csv", 20, Some("expected_from_events"), "the log leads to 24")),
        (A, "leaf.csv", Cell(5, "left_g", "9.9"), ("leaf.csv", 5, Some("left_g"), "left of 3.4 g offered")),
        (A, "leaf.csv", Cell(5, "offered_g", "3,4"), ("leaf.csv", 5, Some("offered_g"), "write 3.4")),
        (A, "leaf.csv", Cell(5, "offered_g", "NaN"), ("leaf.csv", 5, Some("offered_g"), "leave the cell empty")),
        (A, "leaf.csv", Cell(5, "offered_g", ""), ("leaf.csv", 5, Some("offered_g"), "the cell is empty")),
        (A, "leaf.csv", Cell(4, "control_after_g", ""), ("leaf.csv", 4, Some("control_after_g"), "weighed twice")),
        (A, "leaf.csv", Cell(4, "control_after_g", "5.9"), ("leaf.csv", 4, Some("control_after_g"), "got heavier")),
        (A, "conditions.csv", Cell(9, "t_min", "40"), ("conditions.csv", 9, Some("t_min"), "swapped")),
        (A, "conditions.csv", Cell(9, "t_min", "-400"), ("conditions.csv", 9, Some("t_min"), "must lie between -40")),
        (A, "conditions.csv", Cell(9, "t_mean", "35"), ("conditions.csv", 9, Some("t_mean"), "outside")),
        (A, "conditions.csv", Cell(9, "rh_max", "130"), ("conditions.csv", 9, Some("rh_max"), "but is 130 %")),
        (A, "cocoons.csv", Cell(3, "cocoon_g", "1.23 g"), ("cocoons.csv", 3, Some("cocoon_g"), "without a unit")),
        (A, "cocoons.csv", Cell(3, "pupa_g", "11.2"), ("cocoons.csv", 3, Some("cocoon_g"), "less than a part")),
        (A, "weights.csv", Cell(3, "cocoon_g", "-inf"), ("weights.csv", 3, Some("cocoon_g"), "no number")),
        (A, "adults.csv", Cell(3, "forewing_mm", "2980"), ("adults.csv", 3, Some("forewing_mm"), "must lie between")),
        (A, "pairings.csv", Cell(2, "hours_joined", "a night"), ("pairings.csv", 2, Some("hours_joined"), "no number")),
        (A, "pairings.csv", Cell(2, "eggs_hatched", "98"), ("pairings.csv", 2, Some("eggs_hatched"), "more hatched than the 97")),
        (A, "pairings.csv", Cell(2, "eggs_laid", "96"), ("pairings.csv", 2, Some("eggs_laid"), "97 eggs were laid")),
        (C, "pairings.csv", Cell(2, "eggs_given", "258"), ("pairings.csv", 2, Some("eggs_laid"), "of 297 laid")),
        (C, "pairings.csv", Cell(2, "eggs_hatched_of_kept", "36"), ("pairings.csv", 2, Some("eggs_hatched_of_kept"), "37 of lot AMLOKHI-1a")),
        (C, "pairings.csv", Cell(3, "eggs_kept", "39"), ("pairings.csv", 3, Some("eggs_kept"), "40 of its eggs")),
        (C, "events.csv", Cell(156, "n", "280"), ("pairings.csv", 4, Some("eggs_destroyed"), "tells of 280 eggs of G0-3, not 281")),
        (C, "events.csv", Cell(156, "n", "282"), ("events.csv", 156, Some("n"), "281 eggs are left, not 282")),
    ]
}

#[rustfmt::skip]
fn days() -> Vec<Bad> {
    let day = |to| Cell(15, "date", to);
    let says = |words| ("events.csv", 15, Some("date"), words);
    vec![
        (A, "events.csv", day("2025-13-01"), says("no month 13")),
        (A, "events.csv", day("2025-02-30"), says("February 2025 has no day 30")),
        (A, "events.csv", day("3/4/25"), says("write 2025-04-03 or 2025-03-04")),
        (A, "events.csv", day("16.5.2025"), says("write 2025-05-16")),
        (A, "events.csv", day("yesterday"), says("no date")),
        (A, "events.csv", day("20250-05-16"), says("no date")),
        (A, "events.csv", day("0205-05-16"), says("write 1900 to 2199")),
        (A, "events.csv", day(""), says("the cell is empty")),
        (A, "events.csv", Cell(15, "time", "24:10"), ("events.csv", 15, Some("time"), "no time of day")),
        (A, "events.csv", Cell(15, "time", "7.40"), ("events.csv", 15, Some("time"), "no time of day")),
        (A, "events.csv", Cell(15, "time", ""), ("events.csv", 15, Some("time"), "the cell is empty")),
        (A, "boxes.csv", Cell(4, "opened", "2025-05-16"), ("events.csv", 13, Some("to_box"), "boxes.csv sets up box H03 on 2025-05-16")),
        (A, "boxes.csv", Cell(4, "closed", "2025-05-14"), ("boxes.csv", 4, Some("closed"), "before it is opened")),
        (A, "boxes.csv", Cell(4, "closed", "2025-05-26"), ("events.csv", 30, Some("date"), "is closed on 2025-05-26")),
        (A, "lots.csv", Cell(2, "laid", "2025-04-25"), ("lots.csv", 2, Some("laid"), "laid after")),
        (A, "lots.csv", Cell(2, "received", "2025-04-25"), ("events.csv", 2, Some("date"), "was received on 2025-04-25")),
        (A, "cocoons.csv", Cell(3, "spun_on", "2025-07-27"), ("cocoons.csv", 3, Some("spun_on"), "swapped")),
        (A, "cocoons.csv", Cell(3, "harvested_on", "2025-07-25"), ("cocoons.csv", 3, Some("harvested_on"), "puts cocoons into TRAY-H")),
        (A, "cocoons.csv", Cell(3, "fate_on", "2026-04-25"), ("cocoons.csv", 3, Some("fate_on"), "gave a moth on 2026-04-24")),
        (A, "adults.csv", Cell(4, "emerged_on", "2026-04-23"), ("adults.csv", 4, Some("emerged_on"), "came out on 2026-04-22")),
        (A, "adults.csv", Cell(4, "hour", "13:11"), ("adults.csv", 4, Some("hour"), "at 13:10")),
        (A, "adults.csv", Cell(4, "fate_on", "2026-04-01"), ("adults.csv", 4, Some("fate_on"), "before it came out")),
        (A, "adults.csv", Cell(4, "fate_on", "2026-04-25"), ("pairings.csv", 2, Some("male"), "was gone by 2026-04-25")),
        (A, "weights.csv", Cell(37, "date", "2025-12-15"), ("weights.csv", 37, Some("cocoon"), "was gone on 2025-09-20")),
        (A, "pairings.csv", Cell(2, "date", "2026-04-27"), ("events.csv", 98, Some("date"), "is of 2026-04-27")),
        (A, "conditions.csv", Cell(9, "date", "2025-04-26"), ("conditions.csv", 9, Some("date"), "stands in line 8")),
    ]
}

#[rustfmt::skip]
fn names() -> Vec<Bad> {
    vec![
        (A, "events.csv", Cell(15, "box", "H99"), ("events.csv", 15, Some("box"), "no box H99 in boxes.csv")),
        (A, "events.csv", Cell(15, "to_box", "H99"), ("events.csv", 15, Some("to_box"), "no box H99 in boxes.csv")),
        (A, "events.csv", Cell(15, "box", ""), ("events.csv", 15, Some("box"), "is empty")),
        (A, "events.csv", Cell(15, "box", "H0/2"), ("events.csv", 15, Some("box"), "cannot be printed")),
        (A, "events.csv", Cell(15, "to_box", "H02"), ("counts.csv", 30, Some("expected_from_events"), "in box H03, but the log leads to 1")),
        (A, "events.csv", Cell(15, "event", "molted"), ("events.csv", 15, Some("event"), "nothing that can be noted")),
        (A, "events.csv", Cell(15, "stage_from", "L12"), ("events.csv", 15, Some("stage_from"), "is no stage")),
        (A, "events.csv", Cell(15, "stage_to", "L1"), ("events.csv", 15, Some("stage_to"), "L1 moults into L2")),
        (A, "events.csv", Cell(22, "stage_to", "L1"), ("events.csv", 22, Some("stage_to"), "L2 moults into L3")),
        (A, "events.csv", Cell(15, "stage_from", "egg"), ("events.csv", 15, Some("stage_from"), "egg cannot moult")),
        (A, "events.csv", Cell(6, "stage_from", ""), ("events.csv", 6, Some("stage_from"), "the cell is empty")),
        (A, "events.csv", Cell(3, "stage_from", "L1"), ("events.csv", 3, Some("stage_from"), "can only be egg")),
        (A, "events.csv", Cell(3, "to_box", ""), ("events.csv", 3, Some("to_box"), "put into")),
        (A, "events.csv", Cell(15, "line", "HEATHER"), ("events.csv", 15, Some("line"), "no line HEATHER")),
        (A, "events.csv", Cell(15, "line", "MOOR"), ("events.csv", 15, Some("line"), "box H02 holds HEATH, not MOOR")),
        (A, "events.csv", Cell(27, "n", "3"), ("events.csv", 27, Some("n"), "2 are missing, so 3")),
        (A, "events.csv", Cell(11, "n", "3"), ("events.csv", 11, Some("n"), "closed empty")),
        (A, "events.csv", Cell(91, "note", "H-C99 M good"), ("events.csv", 91, Some("note"), "no cocoon H-C99")),
        (A, "events.csv", Cell(91, "note", "H-C08 M good"), ("cocoons.csv", 9, Some("fate"), "cocoon H-C08 gave a moth on 2026-04-20")),
        (A, "events.csv", Cell(91, "note", "H-C06 F good"), ("events.csv", 91, Some("note"), "other sex")),
        (A, "events.csv", Cell(89, "note", "H-C01"), ("cocoons.csv", 2, Some("fate"), "cocoon H-C01 is given away on 2025-09-20")),
        (A, "events.csv", Cell(98, "note", "P27: H-C10F x H-C05M"), ("events.csv", 98, Some("note"), "no pairing `P27`")),
        (A, "events.csv", Cell(99, "note", "P27"), ("events.csv", 99, Some("note"), "whose eggs")),
        (A, "counts.csv", Cell(100, "box", "H01"), ("counts.csv", 100, Some("box"), "was closed on 2025-05-11")),
        (A, "counts.csv", Cell(20, "stage", "pupae"), ("counts.csv", 20, Some("stage"), "is no stage")),
        (A, "counts.csv", Cell(20, "line", "MOOR"), ("counts.csv", 20, Some("line"), "is of line HEATH")),
        (A, "leaf.csv", Cell(5, "box", "H77"), ("leaf.csv", 5, Some("box"), "no box H77")),
        (A, "lots.csv", Cell(2, "n", "29"), ("events.csv", 2, Some("n"), "has 29 animals")),
        (A, "lots.csv", Cell(2, "line", "HEATHER"), ("boxes.csv", 2, Some("line"), "no line HEATH")),
        (A, "lots.csv", Cell(2, "lot", "a name that is much too long to stand on a lid"), ("lots.csv", 2, Some("lot"), "40 fit on a lid")),
        (A, "boxes.csv", Cell(5, "box", "H03"), ("boxes.csv", 5, Some("box"), "stands in line 4")),
        (A, "cocoons.csv", Cell(3, "lot", "HEATH-24"), ("cocoons.csv", 3, Some("lot"), "no lot HEATH-24")),
        (A, "cocoons.csv", Cell(3, "line", "MOOR"), ("cocoons.csv", 3, Some("line"), "is of line HEATH")),
        (A, "cocoons.csv", Cell(3, "cocoon", "H-C01"), ("cocoons.csv", 3, Some("cocoon"), "stands in line 2")),
        (A, "cocoons.csv", Cell(3, "sex", "X"), ("cocoons.csv", 3, Some("sex"), "is no sex")),
        (A, "cocoons.csv", Cell(3, "tray", "TRAY-X"), ("cocoons.csv", 3, Some("harvested_on"), "puts cocoons into TRAY-X")),
        (A, "cocoons.csv", Cell(3, "tray", ""), ("cocoons.csv", 3, Some("tray"), "go together")),
        (A, "cocoons.csv", Cell(3, "fate", "vanished"), ("cocoons.csv", 3, Some("fate"), "no fate that is known")),
        (A, "cocoons.csv", Cell(2, "fate", "pupa died"), ("cocoons.csv", 2, Some("fate_on"), "the cell is empty")),
        (A, "weights.csv", Cell(3, "cocoon", "H-C99"), ("weights.csv", 3, Some("cocoon"), "no cocoon H-C99")),
        (A, "adults.csv", Cell(4, "cocoon", "H-C99"), ("adults.csv", 4, Some("cocoon"), "no cocoon H-C99")),
        (A, "adults.csv", Cell(4, "cocoon", "H-C11"), ("adults.csv", 4, Some("sex"), "the pupa of H-C11 was female")),
        (A, "adults.csv", Cell(4, "cocoon", "H-C01"), ("adults.csv", 4, Some("adult"), "lets H-C05M come out")),
        (A, "pairings.csv", Cell(2, "female", "H-C99F"), ("pairings.csv", 2, Some("female"), "no moth H-C99F")),
        (A, "pairings.csv", Cell(2, "male", "H-C09F"), ("pairings.csv", 2, Some("male"), "H-C09F is female")),
        (A, "pairings.csv", Cell(2, "male", ""), ("pairings.csv", 2, Some("male"), "the cell is empty")),
        (A, "pairings.csv", Cell(2, "result", "maybe"), ("pairings.csv", 2, Some("result"), "is no result")),
        (A, "conditions.csv", Cell(9, "place", ""), ("conditions.csv", 9, Some("place"), "the cell is empty")),
        (A, "conditions.csv", Cell(9, "place", "Brackenfold shed, top shelf"), ("conditions.csv", 9, Some("place"), "would both be called Brackenfold shed")),
        (B, "events.csv", Cell(186, "n", "42"), ("events.csv", 186, Some("note"), "which 42 of the 44 cocoons")),
        (B, "events.csv", Cell(186, "n", "45"), ("events.csv", 186, Some("n"), "there are 44 cocoons in TRAY-M+TRAY-P, not 45")),
        (B, "events.csv", Cell(191, "n", "21"), ("events.csv", 191, Some("note"), "which 21 of the 40 cocoons")),
        (B, "events.csv", Cell(187, "note", "P-C05 P-C06"), ("events.csv", 187, Some("n"), "names 2 cocoons and n is 1")),
        (B, "events.csv", Cell(187, "note", "M-C05"), ("events.csv", 187, Some("note"), "cocoon M-C05 is in FRIDGE")),
        (C, "events.csv", Cell(113, "n", "61"), ("events.csv", 113, Some("n"), "tells of 62 in TRAY-T on this day, not 61")),
        (C, "lots.csv", Cell(3, "dam", "T-C12F"), ("lots.csv", 3, Some("dam"), "the origin names pairing G0-1")),
    ]
}

#[rustfmt::skip]
fn whole_tables() -> Vec<Bad> {
    vec![
        (A, "events.csv", NoFile, ("events.csv", 0, None, "is not there")),
        (A, "events.csv", HeaderOnly, ("events.csv", 1, None, "no row below it")),
        (A, "lots.csv", Text(|_| Vec::new()), ("lots.csv", 1, None, "the file is empty")),
        (A, "lots.csv", Text(|_| b"\xef\xbb\xbf \r\n".to_vec()), ("lots.csv", 1, None, "the file is empty")),
        (A, "lots.csv", Text(|_| b"PK\x03\x04\x14\x00".to_vec()), ("lots.csv", 1, None, "packed spreadsheet")),
        (A, "lots.csv", Text(|it| it.replace("28", "2\x008").into_bytes()), ("lots.csv", 2, None, "NUL byte")),
        (A, "lots.csv", Text(|it| [0xff, 0xfe].into_iter().chain(it.encode_utf16().flat_map(u16::to_le_bytes)).collect()), ("lots.csv", 1, None, "UTF-16")),
        (A, "lots.csv", Text(|it| it.bytes().map(|it| if it == b'*' { 0xe9 } else { it }).chain([0xe9]).collect()), ("lots.csv", 4, None, "not in UTF-8")),
        (A, "lots.csv", Text(|it| it.replace("the only eggs", "\"the only eggs").into_bytes()), ("lots.csv", 2, None, "never closed")),
        (A, "events.csv", WithoutColumn("to_box"), ("events.csv", 1, Some("to_box"), "the column is missing")),
        (A, "boxes.csv", ColumnAs("note", "box"), ("boxes.csv", 1, Some("box"), "names this column twice")),
        (A, "lots.csv", Twice(2), ("lots.csv", 3, Some("lot"), "lot HEATH-25 stands in line 2")),
        (A, "events.csv", Twice(15), ("events.csv", 16, Some("event_no"), "event 14 stands in line 15")),
        (A, "counts.csv", Twice(20), ("counts.csv", 21, Some("stage"), "stands in line 20")),
        (A, "pairings.csv", Twice(2), ("pairings.csv", 3, Some("pairing"), "stands in line 2")),
        (A, "events.csv", Without(6), ("counts.csv", 18, Some("expected_from_events"), "the log leads to 24")),
        (A, "events.csv", Without(89), ("cocoons.csv", 9, Some("fate"), "still lies there")),
        (A, "events.csv", Without(88), ("lots.csv", 3, Some("lot"), "no row of events.csv receives lot MOOR-25")),
        (A, "pairings.csv", Without(2), ("events.csv", 98, Some("note"), "no pairing `P26-1`")),
        (A, "events.csv", Text(|it| it.replace("H01,close_box,0,", "H01,close_box,0,0,").into_bytes()), ("events.csv", 11, None, "13 cells, the header 12")),
        (A, "events.csv", Text(|it| it.replace("14,2025-05-16,", "14,").into_bytes()), ("events.csv", 15, None, "11 cells, the header 12")),
    ]
}

fn changed(text: &str, change: &Change) -> Vec<u8> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let mut records: Vec<Vec<String>> =
        reader.records().map(|it| it.unwrap().iter().map(str::to_owned).collect()).collect();
    let column = |name: &str| records[0].iter().position(|it| it == name).unwrap();
    match change {
        Cell(line, name, to) => {
            let index = column(name);
            assert_ne!(records[line - 1][index], *to, "nothing would change");
            records[line - 1][index] = (*to).to_owned();
        }
        Twice(line) => records.insert(*line, records[line - 1].clone()),
        Without(line) => drop(records.remove(line - 1)),
        WithoutColumn(name) => {
            let index = column(name);
            records.iter_mut().for_each(|it| drop(it.remove(index)));
        }
        ColumnAs(name, to) => {
            let index = column(name);
            records[0][index] = (*to).to_owned();
        }
        HeaderOnly => records.truncate(1),
        Text(other) => return other(text),
        NoFile => return Vec::new(),
    }
    let mut writer = csv::Writer::from_writer(Vec::new());
    records.iter().for_each(|it| writer.write_record(it).unwrap());
    writer.into_inner().unwrap()
}

fn check(all: Vec<Bad>) {
    let seasons: Vec<BTreeMap<String, Vec<u8>>> = SEASONS.iter().map(|(name, _)| files(name)).collect();
    let mut wrong = Vec::new();
    for (index, (season, table, change, (in_table, line, column, words))) in all.into_iter().enumerate() {
        let mut files = seasons[season].clone();
        let text = String::from_utf8(files[table].clone()).unwrap();
        match change {
            NoFile => drop(files.remove(table)),
            other => drop(files.insert(table.to_owned(), changed(&text, &other))),
        }
        let (read, complaints) = read("bad", &files, SEASONS[season].1);
        let refused: Vec<&Complaint> = complaints.iter().filter(|it| it.is_refused()).collect();
        let fits = |it: &&Complaint| {
            it.table == in_table
                && it.line == line
                && it.column.as_deref() == column
                && it.says.contains(words)
        };
        let said: Vec<String> = refused.iter().take(4).map(ToString::to_string).collect();
        let what = format!(
            "{index}: {table} should give {in_table}, line {line}, {column:?}, `{words}`; gave {} {said:#?}",
            refused.len()
        );
        if !refused.iter().copied().any(|it| fits(&it)) {
            wrong.push(what);
        } else if !(read.entries.is_empty() && read.origins.is_empty()) {
            wrong.push(format!("{index}: {table}: entries were handed out"));
        } else if refused.len() > 5 {
            wrong.push(format!("too many: {what}"));
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn bad_numbers() {
    check(numbers());
}

#[test]
fn bad_days_and_times() {
    check(days());
}

#[test]
fn bad_names_and_words() {
    check(names());
}

#[test]
fn bad_tables() {
    check(whole_tables());
}

#[test]
fn there_are_enough_bad_tables() {
    let n = numbers().len() + days().len() + names().len() + whole_tables().len();
    assert!(n >= 40, "{n}");
}

#[test]
fn a_zone_that_is_not_known() {
    let (season, complaints) = read("bad", &files(SEASONS[0].0), "Mars/Base");
    assert!(season.entries.is_empty());
    let words: Vec<String> = complaints.iter().map(ToString::to_string).collect();
    assert_eq!(
        words,
        ["the time zone: `Mars/Base` is no time zone that is known: write one such as Europe/London"]
    );
}

/// One mistake in the middle of a season is told as one, not as all that follows from it.
#[test]
fn a_mistake_is_told_once() {
    let mut files = files(SEASONS[1].0);
    let text = String::from_utf8(files["events.csv"].clone()).unwrap();
    files.insert("events.csv".to_owned(), changed(&text, &Cell(41, "n", "40")));
    let (_, complaints) = read("bad", &files, SEASONS[1].1);
    let refused: Vec<String> =
        complaints.iter().filter(|it| it.is_refused()).map(ToString::to_string).collect();
    assert_eq!(refused.len(), 1, "{refused:#?}");
    assert!(refused[0].starts_with("events.csv, line 41, column n: box P03 holds"), "{refused:#?}");
}
