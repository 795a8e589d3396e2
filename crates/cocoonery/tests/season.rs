//! The real binary from egg to egg: season A, noted line by line as a keeper
//! would, with a fixed clock and fixed dice.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{Row, at, done, json, table};
use std::collections::BTreeSet;
use std::path::Path;

/// Notes a season's tables one line at a time.
struct Season<'a> {
    book: &'a Path,
    open: BTreeSet<String>,
    boxes: Vec<Row>,
    cocoons: Vec<Row>,
    notes: usize,
}

impl Season<'_> {
    fn note(&mut self, now: &str, words: &[&str]) {
        done(self.book, now, &[&["note"], words].concat());
        self.notes += 1;
    }

    /// Opens a box as its table says, before its first use.
    fn need(&mut self, now: &str, name: &str) {
        if name.is_empty() || !self.open.insert(name.to_owned()) {
            return;
        }
        let told = self.boxes.iter().find(|it| it["box"] == name).cloned();
        match told {
            Some(it) => {
                let words = [
                    "open",
                    name,
                    "--line",
                    &it["line"],
                    "--stage",
                    &it["for_stage"],
                    "--vessel",
                    &it["vessel"],
                ];
                self.note(now, &words);
            }
            None => self.note(now, &["open", name]),
        }
    }

    fn event(&mut self, it: &Row) {
        let now = format!("{}T{}", it["date"], it["time"]);
        let now = now.as_str();
        let (name, n, from, into) = (&*it["box"], &*it["n"], &*it["stage_from"], &*it["to_box"]);
        self.need(now, name);
        self.need(now, into);
        let first_word = it["note"].split([' ', ':']).next().unwrap_or_default();
        match &*it["event"] {
            "receive" => {
                let lots = table("lots.csv");
                let lot = lots.iter().find(|lot| lot["line"] == it["line"]).unwrap();
                let line = &*it["line"];
                let mut words =
                    vec!["received", &*lot["lot"], n, &*it["stage_to"], "--line", line, "--into", name];
                words.extend(["--species", &*lot["species"]]);
                if !lot["laid"].is_empty() {
                    words.extend(["--laid", &*lot["laid"]]);
                }
                self.note(now, &words);
                if it["stage_to"] == "cocoon" {
                    self.number(now, name, |cocoon| cocoon["line"] == line);
                }
            }
            "hatch" => self.note(now, &["hatched", name, n, "--into", into]),
            "moult" if into.is_empty() => self.note(now, &["moulted", name, n, from]),
            "moult" => self.note(now, &["moulted", name, n, from, "--into", into]),
            "spin" => self.note(now, &["spun", name, n, from]),
            "harvest" => {
                self.note(now, &["moved", name, n, "cocoon", "--into", into]);
                self.number(now, into, |cocoon| cocoon["box_spun"] == name);
            }
            "death" if from == "cocoon" => {
                self.note(now, &["dead", name, n, from, "--sign", &it["cause"], "--animal", first_word]);
            }
            "death" => {
                self.note(now, &["dead", name, n, from, "--sign", &it["cause"], "--remark", &it["note"]])
            }
            "egg_failed" => self.note(now, &["failed", name, n, "--sign", &it["cause"]]),
            "missing" => self.note(now, &["short", name, n, from, "--sign", &it["cause"]]),
            "found" => self.note(now, &["found", name, n, from]),
            "quarantine" => self.note(now, &["apart", name, "--sign", &it["cause"]]),
            "close_box" => {
                self.note(now, &["close", name]);
                self.open.remove(name);
            }
            "give_away" => self.note(now, &["given", name, n, from, "--animal", first_word]),
            "emerge" => {
                let sex = it["note"].split(' ').nth(1).unwrap();
                let moth = format!("{first_word}{sex}");
                self.note(now, &["out", name, "--cocoon", first_word, "--moth", &moth, "--sex", sex]);
            }
            "pair" => {
                let told: Vec<&str> = it["note"].split(": ").collect();
                let (female, male) = told[1].split_once(" x ").unwrap();
                let took = if told[2] == "paired" { "--took" } else { "--not" };
                self.note(now, &["pair", first_word, female, male, took]);
            }
            "lay" => self.note(now, &["laid", first_word, n]),
            other => panic!("the season has no such event: {other}"),
        }
    }

    fn number(&mut self, now: &str, lies_in: &str, which: impl Fn(&Row) -> bool) {
        for it in self.cocoons.clone().iter().filter(|it| which(it)) {
            let mut words =
                vec!["cocoon", &*it["cocoon"], "--in", lies_in, "--lot", &*it["lot"], "--sex", &*it["sex"]];
            words.extend(["--weight", &*it["cocoon_g"]]);
            if !it["spun_on"].is_empty() {
                words.extend(["--spun", &*it["spun_on"]]);
            }
            self.note(now, &words);
        }
    }
}

fn silent_check(book: &Path, now: &str) {
    let output = at(book, now, &["check"]);
    assert_eq!((output.status.code(), output.stdout.len()), (Some(0), 0), "{output:?}");
}

#[test]
fn a_season_from_egg_to_egg() {
    let scratch = tempfile::tempdir().unwrap();
    let book = scratch.path().join("book");
    done(&book, "2025-04-20", &["note", "--new", "Europe/London", "remark", "The shed is swept."]);
    let (boxes, cocoons) = (table("boxes.csv"), table("cocoons.csv"));
    let mut season = Season { book: &book, open: BTreeSet::new(), boxes, cocoons, notes: 0 };

    // What happened, in the order of its moments: events, the air, the ends of the moths.
    let mut days: Vec<(String, u8, Row)> = Vec::new();
    for row in table("events.csv") {
        days.push((format!("{}T{}", row["date"], row["time"]), 1, row));
    }
    for row in table("conditions.csv").into_iter().filter(|row| row["date"].as_str() < "2025-08-01") {
        days.push((format!("{}T23:50", row["date"]), 2, row));
    }
    for row in table("adults.csv") {
        days.push((format!("{}T22:30", row["fate_on"]), 3, row));
    }
    days.sort_by(|a, b| (&a.0, a.1).cmp(&(&b.0, b.1)));

    let mut asked_in_june = false;
    for (moment, kind, row) in &days {
        if !asked_in_june && moment.as_str() >= "2025-06-01T07" {
            the_first_of_june(&book);
            asked_in_june = true;
        }
        match kind {
            1 => season.event(row),
            2 => {
                let (min, max, mean) = (&*row["t_min"], &*row["t_max"], &*row["t_mean"]);
                let (dry, damp) = (&*row["rh_min"], &*row["rh_max"]);
                let words = [
                    "air",
                    "the shed",
                    "--min",
                    min,
                    "--max",
                    max,
                    "--mean",
                    mean,
                    "--damp-min",
                    dry,
                    "--damp-max",
                    damp,
                ];
                season.note(moment, &words);
            }
            _ => {
                let place = if row["line"] == "MOOR" { "store" } else { "TRAY-H" };
                season.note(
                    moment,
                    &["dead", place, "1", "moth", "--animal", &row["adult"], "--sign", &row["fate"]],
                );
            }
        }
    }
    assert!(season.notes > 200, "{}", season.notes);
    silent_check(&book, "2026-06-01");

    // The account of each line is the season's ledger.
    let lines = json(&book, "2026-06-01", &["lines"]);
    let account = |line: usize| lines["lines"][line]["account"].clone();
    let heath = serde_json::json!({
        "alive in the cocoon": 1, "came out (moths)": 8, "dead as larvae": 13, "dead in the cocoon": 1,
        "eggs failed": 3, "given away in the cocoon": 1, "missing, never found": 1,
    });
    assert_eq!((lines["lines"][0]["received"].clone(), account(0)), (28.into(), heath));
    assert_eq!(
        (lines["lines"][1]["received"].clone(), account(1)),
        (2.into(), serde_json::json!({"came out (moths)": 2}))
    );

    // And to next year's eggs: the wanted cross becomes a lot of its own.
    let now = "2026-05-01T18:00";
    season.note(now, &["open", "N01", "--line", "HEATH", "--stage", "egg"]);
    season.note(
        now,
        &[
            "received",
            "HEATH-26",
            "40",
            "--line",
            "HEATH",
            "--species",
            "Saturnia pavonia",
            "--into",
            "N01",
            "--pairing",
            "P26-2",
            "--laid",
            "2026-04-28",
        ],
    );
    let next = json(&book, "2026-05-02", &["calendar", "HEATH"]);
    assert_eq!(next["lines"][0]["alive"]["egg"], 40);
    silent_check(&book, "2026-05-02");
}

/// What the book answers on the morning of the first of June.
fn the_first_of_june(book: &Path) {
    let now = "2025-06-01T07:00";
    silent_check(book, now);
    let round = json(book, now, &["round"]);
    let boxes = round["boxes"].as_array().unwrap();
    let named: Vec<&str> = boxes.iter().map(|it| it["box"].as_str().unwrap()).collect();
    assert_eq!(named, ["H05", "H06", "H07", "H08", "H09"]);
    let h06 = &boxes[1];
    assert_eq!(h06["expected"], serde_json::json!({"L3": 6}));
    assert!(h06["in_moult"]["share"].as_f64().unwrap() > 0.0 && h06["in_moult"]["until"].is_string());
    assert!(h06["leaf_fresh_g"]["q10"].as_f64().unwrap() <= h06["leaf_fresh_g"]["q90"].as_f64().unwrap());
    assert!(h06["tasks"].as_array().unwrap().iter().any(|it| it == "count"));

    let calendar = json(book, now, &["calendar", "HEATH"]);
    let stages = calendar["lines"][0]["stages"].as_array().unwrap();
    let middle = |name: &str| stages.iter().find(|it| it["stage"] == name).unwrap()["middle"].clone();
    let l5: jiff::civil::DateTime = middle("L5")["q50"].as_str().unwrap().parse().unwrap();
    let truth = jiff::civil::date(2025, 6, 9);
    assert!(truth.until(l5.date()).unwrap().get_days().abs() <= 2, "{l5}");

    let again = json(book, now, &["calendar", "HEATH"]);
    assert_eq!(calendar, again, "the same seed gives the same answer");
    let odds = json(book, now, &["odds", "HEATH"]);
    let chance = odds["lines"][0]["odds"]["one_pair"].as_f64().unwrap();
    assert!(0.5 < chance && chance < 1.0, "{chance}");
    let leaf = json(book, now, &["leaf"]);
    assert!(leaf["offered_fresh_g"]["week"]["q50"].as_f64().unwrap() > 0.0);
    for words in [&["round"][..], &["calendar"], &["leaf"], &["odds"], &["lines"], &["where"]] {
        assert!(done(book, now, words).lines().count() >= 1, "{words:?}");
    }
}
