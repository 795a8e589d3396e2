//! The demo seasons asked on their mornings, held against what is known of
//! them: the animals' true dates, the leaf log, the story.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{demo, demo_table, keeper_at};
use jiff::civil::Date;
use keeper::demo::Season;
use keeper::view::round::{Dead, RoundNote};
use terms::Stage;

/// The day on which the middle animal of those that got there truly came into a stage.
fn true_middle(column: &str) -> Date {
    let mut days: Vec<Date> = demo_table(Season::A, "truth_individuals.csv")
        .iter()
        .filter_map(|row| row.get(column).filter(|it| !it.is_empty())?.parse().ok())
        .collect();
    days.sort_unstable();
    days[days.len() / 2]
}

#[test]
fn the_move_to_l5_is_forecast_within_two_days_and_its_range_holds_it() {
    let truth = true_middle("to_L5");
    assert_eq!(truth.to_string(), "2025-06-09");
    let book = demo(Season::A, "2025-06-01");
    let brood = book.keeper.brood("HEATH").unwrap().unwrap();
    let l5 = brood.stages.iter().find(|it| it.name == "L5").unwrap();
    let off = truth.until(l5.middle.q50.date()).unwrap().get_days().abs();
    assert!(off <= 2, "forecast {}, truth {truth}", l5.middle.q50);
    assert!(l5.middle.q10.date() <= truth && truth <= l5.middle.q90.date(), "{:?}", l5.middle);
}

#[test]
fn dates_come_in_the_order_of_life_and_every_stage_has_its_dots() {
    for (season, day, line) in [
        (Season::A, "2025-06-01", "HEATH"),
        (Season::B, "2025-07-05", "MILLRUN"),
        (Season::C, "2025-08-26", "AMLOKHI"),
    ] {
        let book = demo(season, day);
        let brood = book.keeper.brood(line).unwrap().unwrap();
        assert!(brood.stages.len() >= 3, "{line}");
        for pair in brood.stages.windows(2) {
            assert!(
                pair[0].middle.q50 <= pair[1].middle.q50,
                "{line}: {} after {}",
                pair[0].name,
                pair[1].name
            );
        }
        for it in &brood.stages {
            let range = it.middle;
            let ordered = [range.q05, range.q10, range.q25, range.q50, range.q75, range.q90, range.q95];
            assert!(ordered.is_sorted(), "{line} {}: {range:?}", it.name);
            assert!(it.first.q50 <= it.middle.q50 && it.middle.q50 <= it.last.q50);
            assert_eq!((it.dots_20.len(), it.dots_50.len()), (20, 50));
            assert!(it.says.starts_with("Half "), "{}", it.says);
        }
        assert!(!brood.rests_on.is_empty() && brood.rests_on.iter().any(|it| it.grade == "own"));
    }
}

#[test]
fn the_same_morning_asked_twice_gives_the_same_bits() {
    let (one, two) = (demo(Season::A, "2025-06-01"), demo(Season::A, "2025-06-01"));
    assert_eq!(one.keeper.brood("HEATH").unwrap(), two.keeper.brood("HEATH").unwrap());
    assert_eq!(one.keeper.odds("HEATH").unwrap(), two.keeper.odds("HEATH").unwrap());
    assert_eq!(one.keeper.leaf().unwrap(), two.keeper.leaf().unwrap());
}

/// Capability 6 of the job: the 80 % range of the leaf to be offered until spinning holds what was offered.
#[test]
fn the_leaf_to_spinning_holds_what_was_truly_offered() {
    let offered: f64 = demo_table(Season::A, "leaf.csv")
        .iter()
        .filter(|row| row["date"].as_str() >= "2025-06-08")
        .map(|row| row["offered_g"].parse::<f64>().unwrap())
        .sum();
    assert!((offered - 304.0).abs() < 1.0, "{offered}");
    let leaf = demo(Season::A, "2025-06-08").keeper.leaf().unwrap();
    assert!(leaf.to_spinning.q10 <= offered && offered <= leaf.to_spinning.q90, "{:?}", leaf.to_spinning);
    assert!(leaf.eaten_to_spinning.q50 < leaf.to_spinning.q50, "eaten and cut are two figures");
    assert!(leaf.today.q50 <= leaf.three_days.q50 && leaf.three_days.q50 <= leaf.week.q50);
}

#[test]
fn the_two_published_traditions_stay_apart() {
    let leaf = demo(Season::A, "2025-06-08").keeper.leaf().unwrap();
    let figures: Vec<&str> = leaf.traditions.iter().map(|it| it.figure.as_str()).collect();
    let high =
        leaf.traditions.iter().find(|it| it.figure.contains("75") && it.figure.contains("80")).unwrap();
    let low = leaf.traditions.iter().find(|it| it.figure.contains("35") && it.figure.contains("40")).unwrap();
    assert_eq!((high.basis.as_str(), low.basis.as_str()), ("not stated", "not stated"), "{figures:?}");
    assert!(!figures.iter().any(|it| it.contains("57.5")), "the two were averaged: {figures:?}");
}

#[test]
fn leaf_falls_at_once_when_larvae_die() {
    let book = demo(Season::A, "2025-06-09");
    let before = book.keeper.leaf().unwrap();
    let dead = Dead { stage: Stage::Larva(4), n: 3, sign: "unknown".to_owned(), remark: String::new() };
    book.keeper.note_round("H09", &RoundNote { dead: Some(dead), ..RoundNote::default() }).unwrap();
    let after = book.keeper.leaf().unwrap();
    assert!(after.to_spinning.q50 < before.to_spinning.q50);
}

/// Capability 4: the value falls with each loss; the book is asked at one moment, before and after noting it.
#[test]
fn the_odds_fall_with_each_loss() {
    let book = keeper_at(Season::A, "2025-06-07", "2025-06-07T12:00");
    let mut chance = book.keeper.odds("HEATH").unwrap().unwrap().chance;
    let mut lose = |name: &str, stage: u8, n: u32| {
        let dead = Dead { stage: Stage::Larva(stage), n, sign: "limp".to_owned(), remark: String::new() };
        book.keeper.note_round(name, &RoundNote { dead: Some(dead), ..RoundNote::default() }).unwrap();
        let now = book.keeper.odds("HEATH").unwrap().unwrap().chance;
        assert!(now < chance, "{n} lost in {name}: from {chance} to {now}");
        chance = now;
    };
    lose("H08", 4, 3);
    lose("H08", 4, 2);
    lose("H09", 4, 4);
    lose("H09", 4, 2);
    lose("H10", 4, 4);
}

#[test]
fn the_odds_are_exactly_nothing_without_one_sex() {
    let book = demo(Season::A, "2026-03-16");
    let moor = book.keeper.odds("MOOR").unwrap().unwrap();
    assert!(moor.chance == 0.0 && moor.of_twenty == 0, "{}", moor.chance);
    assert!(moor.says.contains("no female"), "{}", moor.says);
}

#[test]
fn the_sexes_known_name_the_weak_side() {
    let sexed = demo(Season::A, "2025-07-27").keeper.odds("HEATH").unwrap().unwrap();
    assert!(sexed.reasons[0].contains("7 males and 4 females"), "{:?}", sexed.reasons);
    let spring = demo(Season::A, "2026-03-16").keeper.odds("HEATH").unwrap().unwrap();
    assert!(spring.reasons[0].contains("the 3 females are the weak side"), "{:?}", spring.reasons);
}

/// Capability 7: rings for the three sick boxes.
#[test]
fn the_bell_rings_for_sick_boxes() {
    for (season, noon, name) in [
        (Season::A, "2025-06-07T12:00", "H08"),
        (Season::B, "2025-07-15T12:00", "M09"),
        (Season::C, "2025-10-16T12:00", "U09"),
    ] {
        let trouble = demo(season, noon).keeper.trouble().unwrap();
        assert!(trouble.bells.iter().any(|it| it.name == name), "{name} on {noon}: {}", trouble.says);
    }
}

/// Capability 7: silent for five scattered losses of L1, on every evening from 8 to 18 May.
#[test]
fn the_bell_is_silent_for_scattered_losses() {
    for day in 8..=18 {
        let trouble = demo(Season::A, &format!("2025-05-{day:02}T20:00")).keeper.trouble().unwrap();
        assert!(trouble.bells.is_empty(), "{day} May: {:?}", trouble.bells);
    }
}

#[test]
fn accounts_add_up_on_every_page_of_lines() {
    for (season, day) in [(Season::A, "2026-06-01"), (Season::B, "2026-06-05"), (Season::C, "2025-11-20")] {
        for line in demo(season, day).keeper.lines().unwrap().lines {
            let sum: u32 = line.account.iter().map(|(_, n)| n).sum();
            assert_eq!(sum, line.received, "{}: {:?}", line.line, line.account);
        }
    }
}

#[test]
fn a_kind_without_a_profile_is_forecast_wide_and_says_so() {
    let known = demo(Season::A, "2025-05-05");
    let unknown = common::with_species(Season::A, "2025-05-05", "Nemo incognita");
    let spread = |book: &common::Book| {
        let brood = book.keeper.brood("HEATH").unwrap().unwrap();
        let l5 = brood.stages.iter().find(|it| it.name == "L5").unwrap().middle;
        (l5.q10.until(l5.q90).unwrap().total((jiff::Unit::Hour, l5.q10)).unwrap(), brood.warnings)
    };
    let ((narrow_h, _), (wide_h, warnings)) = (spread(&known), spread(&unknown));
    assert!(wide_h > narrow_h, "{wide_h} {narrow_h}");
    assert!(warnings.iter().any(|it| it.contains("no profile of Nemo incognita")), "{warnings:?}");
}

/// Capability 5 of the job. Before 2026-04-30 nobody has brought anything out; the females are the heavy ones.
#[test]
fn before_bringing_out_the_heavy_cocoons_are_to_go_about_three_days_first() {
    let book = demo(Season::B, "2026-04-30");
    for line in ["MILLRUN", "PINELOT"] {
        let odds = book.keeper.odds(line).unwrap().unwrap();
        let heavy_first =
            odds.levers.iter().find(|it| it.what.starts_with("Bring the females' (heavier)")).unwrap();
        assert!(
            ["2 days", "3 days", "4 days"].iter().any(|it| heavy_first.what.contains(it)),
            "{heavy_first:?}"
        );
        // The overlap before and after, on the same seasons, and told apart from nothing.
        let (before, after) = heavy_first.nights_together;
        assert!(after - before > 2.0 * heavy_first.nights_error && before > 0.0, "{line}: {heavy_first:?}");
        // With two days of error it says what then.
        assert!(heavy_first.steady.contains("two days off"), "{line}: {heavy_first:?}");
        // The reverse is never advised beside it.
        assert!(!odds.levers.iter().any(|it| it.what.starts_with("Hold the females'")), "{:?}", odds.levers);
        // Ranked by what they change.
        let change: Vec<f64> = odds.levers.iter().map(|it| it.better_in_100 - it.worse_in_100).collect();
        assert!(change[0] >= change[change.len() - 1], "{change:?}");
    }
}
