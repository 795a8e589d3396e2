//! The file interface of the calendar, as scripts rely on it.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

use keeper::brood_file::{Asked, answer};
use serde_json::{Value, json};

const ASKED: Asked = Asked { runs: 2000, seed: 7, threads: 1 };
const STAGES: [(&str, f64); 8] = [
    ("egg", 135.0),
    ("L1", 70.0),
    ("L2", 60.0),
    ("L3", 65.0),
    ("L4", 80.0),
    ("L5", 130.0),
    ("spinning", 60.0),
    ("pupa", 240.0),
];

/// The brood of the contract, with every spread multiplied by `spread`.
fn brood(spread: f64) -> Value {
    let stages: Vec<Value> = STAGES
        .iter()
        .map(|(stage, dd)| {
            json!({"stage": stage, "lower_c": 8.5, "upper_c": 32.0, "constant_dd": dd,
                   "spread_cv": 0.1 * spread, "survival": if spread > 0.0 { 0.9 } else { 1.0 }})
        })
        .collect();
    json!({
        "assume": {
            "stages": stages, "shared_pace_sd": 0.08 * spread, "stage_pace_sd": 0.05 * spread,
            "rank_correlation": 0.6, "female_share": 0.5, "female_pupa_factor": if spread > 0.0 { 1.05 } else { 1.0 },
            "moth_nights": {"male": {"mean": 7.0, "sd": 1.6}, "female": {"mean": 9.0, "sd": 2.0}},
            "overlooked": {"L1": 0.04, "L2": 0.02, "L3": 0.01}
        },
        "started": {"at": "2031-05-17T09:00:00", "stage": "egg", "animals": 53},
        "counts": [],
        "asof": "2031-05-20T09:00:00"
    })
}

/// Hourly readings of a room that never changes.
fn room(air_c: f64, days: u32) -> String {
    let mut text = String::from("at,air_c\n");
    for hour in 0..days * 24 {
        let at = jiff::civil::date(2031, 5, 17).at(0, 0, 0, 0) + jiff::Span::new().hours(i64::from(hour));
        text.push_str(&format!("{at},{air_c}\n"));
    }
    text
}

fn ask(brood: &Value, readings: &str) -> Value {
    answer(&brood.to_string(), readings, ASKED, keeper::library).unwrap()
}

fn refused(brood: &Value, readings: &str) -> String {
    answer(&brood.to_string(), readings, ASKED, keeper::library).unwrap_err().to_string()
}

fn stage<'a>(answer: &'a Value, name: &str) -> &'a Value {
    answer["stages"].as_array().unwrap().iter().find(|it| it["stage"] == name).unwrap()
}

#[test]
fn the_answer_has_the_shape_of_the_contract() {
    let mut asked = brood(1.0);
    asked["counts"] = json!([{"at": "2031-05-31T08:00:00", "alive": {"egg": 30, "L1": 12}}]);
    asked["asof"] = json!("2031-06-02T08:00:00");
    let found = ask(&asked, &room(18.0, 16));
    for range in ["first", "middle", "last", "entering"] {
        for quantile in ["q05", "q25", "q50", "q75", "q95"] {
            assert!(stage(&found, "L3")[range][quantile].is_string(), "{range} {quantile}");
        }
    }
    assert!(found["moths"]["q50"].is_number());
    let odds = &found["odds"];
    assert!((0.0..=1.0).contains(&odds["one_pair"].as_f64().unwrap()));
    assert!(odds["standard_error"].is_number() && odds["runs"] == 2000);
    assert!(found["warnings"].is_array());
    assert_eq!(found["receipt"]["inputs_sha256"].as_str().unwrap().len(), 64);
    assert_eq!(found["receipt"]["seed"], 7);
    assert!(found["receipt"]["version"].is_string() && found["receipt"]["model"].is_string());
}

/// Without any spread and at 18.5 degrees every stage takes its degree-days divided by ten.
#[test]
fn a_constant_room_gives_the_closed_form_dates() {
    let found = ask(&brood(0.0), &room(18.5, 120));
    let start: jiff::civil::DateTime = "2031-05-17T09:00:00".parse().unwrap();
    let mut days = 0.0;
    for pair in STAGES.windows(2) {
        days += pair[0].1 / 10.0;
        let due = start + jiff::Span::new().minutes((days * 1440.0_f64).round() as i64);
        for range in ["first", "middle", "last"] {
            let said: jiff::civil::DateTime =
                stage(&found, pair[1].0)[range]["q50"].as_str().unwrap().parse().unwrap();
            let off = said.since(due).unwrap().total((jiff::Unit::Minute, due)).unwrap();
            assert!(off.abs() < 2.0, "{} {range}: said {said}, due {due}", pair[1].0);
        }
    }
}

#[test]
fn later_readings_are_taken_as_the_outlook() {
    let warm_later = |later_c: f64| {
        let early: String = room(18.5, 4);
        let later = room(later_c, 120);
        let tail: Vec<&str> = later.lines().skip(1 + 4 * 24).collect();
        format!("{early}{}\n", tail.join("\n"))
    };
    let at = |text: &str| stage(&ask(&brood(0.0), text), "L3")["middle"]["q50"].as_str().unwrap().to_owned();
    assert!(at(&warm_later(22.0)) < at(&warm_later(18.5)));
    assert!(at(&warm_later(18.5)) < at(&warm_later(15.0)));
}

#[test]
fn the_same_seed_gives_the_same_bits_on_one_thread_or_two() {
    let mut asked = brood(1.0);
    asked["counts"] = json!([{"at": "2031-05-19T08:00:00", "alive": {"egg": 50}}]);
    let readings = room(19.0, 10);
    let with = |threads, seed| {
        let asked_how = Asked { runs: 500, seed, threads };
        answer(&asked.to_string(), &readings, asked_how, keeper::library).unwrap()
    };
    assert_eq!(with(1, 3), with(2, 3));
    assert_ne!(with(1, 3), with(1, 4));
}

#[test]
fn a_count_draws_the_dates_together_and_moves_them_its_way() {
    let readings = room(18.5, 40);
    let mut blind = brood(1.0);
    blind["asof"] = json!("2031-06-20T09:00:00");
    let mut early = blind.clone();
    early["counts"] = json!([{"at": "2031-06-20T08:00:00", "alive": {"L4": 40}}]);
    let mut late = blind.clone();
    late["counts"] = json!([{"at": "2031-06-20T08:00:00", "alive": {"L2": 40}}]);
    let spins = |asked: &Value| {
        let found = ask(asked, &readings);
        let at = |q: &str| -> jiff::civil::DateTime {
            stage(&found, "spinning")["middle"][q].as_str().unwrap().parse().unwrap()
        };
        let width = at("q95").since(at("q05")).unwrap().total((jiff::Unit::Hour, at("q05"))).unwrap();
        (at("q50"), width)
    };
    let ((seen_early, width), (seen_late, _), (unseen, blind_width)) =
        (spins(&early), spins(&late), spins(&blind));
    assert!(seen_early < unseen && unseen < seen_late, "{seen_early} {unseen} {seen_late}");
    assert!(width < blind_width, "{width} {blind_width}");
}

/// Two broods that stand alike today; the one that was late all the way will be late further on. What the last count
/// alone cannot tell, the counts before it do.
#[test]
fn earlier_counts_are_learned_from() {
    let readings = room(18.5, 40);
    let mut asked = brood(1.0);
    asked["asof"] = json!("2031-06-20T09:00:00");
    let last = json!({"at": "2031-06-20T08:00:00", "alive": {"L3": 20, "L4": 20}});
    let spins = |before: Value| {
        let mut asked = asked.clone();
        asked["counts"] = json!([before, last]);
        let found = ask(&asked, &readings);
        assert_eq!(found["warnings"], json!([]));
        stage(&found, "spinning")["middle"]["q50"].as_str().unwrap().to_owned()
    };
    // Hatched early and slow since, or hatched late and quick since: the pace of the larvae is another.
    let slow = spins(json!({"at": "2031-05-29T08:00:00", "alive": {"egg": 4, "L1": 40}}));
    let quick = spins(json!({"at": "2031-06-02T08:00:00", "alive": {"egg": 40, "L1": 4}}));
    assert!(quick < slow, "{quick} {slow}");
}

#[test]
fn counts_that_cannot_be_are_told() {
    let readings = room(18.5, 40);
    let mut asked = brood(1.0);
    asked["asof"] = json!("2031-06-20T09:00:00");
    asked["counts"] = json!([{"at": "2031-06-20T08:00:00", "alive": {"pupa": 40}}]);
    let said = |asked: &Value| ask(asked, &readings)["warnings"].to_string();
    assert!(said(&asked).contains("look like nothing the model expects"));
    asked["counts"] = json!([{"at": "2031-06-10T08:00:00", "alive": {"L2": 45}},
                             {"at": "2031-06-13T08:00:00", "alive": {"L1": 20, "L2": 25}}]);
    assert!(said(&asked).contains("moulted too soon"));
    asked["started"]["stage"] = json!("L2");
    assert!(refused(&asked, &readings).contains("counts[1].alive.L1 lies before the stage"));
}

#[test]
fn a_species_stands_in_for_assumptions() {
    let mut asked = brood(1.0);
    asked.as_object_mut().unwrap().remove("assume");
    asked["species"] = json!("Saturnia pavonia");
    let found = ask(&asked, &room(18.0, 10));
    assert!(stage(&found, "L5")["middle"]["q50"].is_string());
    asked["species"] = json!("Nemo incognita");
    assert!(refused(&asked, &room(18.0, 10)).contains("Nemo incognita"));
}

#[test]
fn bad_files_are_refused_by_name() {
    let good = room(18.0, 10);
    let change = |path: &[&str], value: Value| {
        let mut asked = brood(1.0);
        let mut place = &mut asked;
        for step in path {
            place = &mut place[*step];
        }
        *place = value;
        refused(&asked, &good)
    };
    assert!(change(&["started", "stage"], json!("L9")).contains("`L9` is none of the stages"));
    assert!(change(&["started", "at"], json!("2031-05-21T09:00:00")).contains("started.at lies after asof"));
    assert!(change(&["started", "at"], json!("yesterday")).contains("`yesterday` is no time"));
    assert!(change(&["started", "animals"], json!(-3)).contains("cannot be read"));
    assert!(change(&["started", "eggs"], json!(3)).contains("unknown field"));
    assert!(
        change(&["counts"], json!([{"at": "2031-05-19T08:00:00", "alive": {"egg": 54}}]))
            .contains("54 alive, but only 53")
    );
    assert!(
        change(&["counts"], json!([{"at": "2031-05-16T08:00:00", "alive": {"egg": 5}}]))
            .contains("before the brood was started")
    );
    assert!(change(&["assume", "female_share"], json!(1.5)).contains("females"));
    let with = |readings: &str| refused(&brood(1.0), readings);
    assert!(with("").contains("readings, line 1"));
    assert!(with("at,air_c\n").contains("readings"));
    assert!(with("time;temp\n").contains("at,air_c"));
    assert!(with("at,air_c\n2031-05-17T00:00:00,NaN\n").contains("readings, line 2: `NaN`"));
    assert!(with("at,air_c\n2031-05-17T00:00:00,18\nfoo,3\n").contains("readings, line 3"));
    assert!(with("at,air_c\n2031-05-17T00:00:00,1,8\n").contains("`1,8` is no temperature"));
    assert!(answer("{", &good, ASKED, keeper::library).is_err());
    let none = Asked { runs: 0, ..ASKED };
    assert!(
        answer(&brood(1.0).to_string(), &good, none, keeper::library)
            .unwrap_err()
            .to_string()
            .contains("between 1")
    );
}

/// A logger that lost its supply, jumped, stuck and was silent for three days: bridged or left out, and told.
#[test]
fn what_a_logger_did_wrong_is_told() {
    let mut rows = String::from("at,air_c\n");
    for hour in 0..24 * 20_u32 {
        let (day, air_c) = (hour / 24, 20.0 + f64::from(hour % 24) / 10.0);
        let air_c = match hour {
            100 => 85.0,
            150 => 45.0,
            _ if day == 15 || day == 16 || day == 17 => 21.5,
            _ => air_c,
        };
        if !(8..11).contains(&day) {
            rows.push_str(&format!("2031-05-{:02}T{:02}:00:00,{air_c}\n", day + 1, hour % 24));
        }
    }
    let answer = ask(&brood(0.1), &rows);
    let says = answer["warnings"].to_string();
    for part in
        ["lost its supply", "far from the readings", "No temperatures from 2031-05-08", "without a change"]
    {
        assert!(says.contains(part), "{part}: {says}");
    }
    let quiet = rows.lines().take(1).chain(rows.lines().skip(1).take(90)).collect::<Vec<_>>().join("\n");
    let says = ask(&brood(0.1), &quiet)["warnings"].to_string();
    assert!(!says.contains("not used") && !says.contains("stuck"), "{says}");
}
