//! Readers forgive: one smudged entry does not cost the others, and every refusal is said in plain words.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

use evidence::{Complaint, read_claims, read_profile, read_questions, read_sources};
use proptest::prelude::*;

const GOOD: &str = "[[claim]]\nid = \"a\"\nquantity = \"stage_days\"\nvalue = 12\nunit = \"d\"\nsources = [\"memory\"]\ngrade = \"D\"\n";

/// A good claim, a smudged one, a good one: the good ones stay, the smudge is named with its line.
#[track_caller]
fn check(smudge: (&str, &str), line: usize, expect: &str) {
    assert!(GOOD.contains(smudge.0));
    let smudged = GOOD.replace("\"a\"", "\"b\"").replace(smudge.0, smudge.1);
    let text = format!("# days\n{GOOD}{smudged}{}", GOOD.replace("\"a\"", "\"c\""));
    let (claims, complaints) = read_claims("days.toml", &text);
    let ids: Vec<&str> = claims.iter().map(|claim| claim.id.as_str()).collect();
    assert_eq!(ids, ["a", "c"], "{complaints:?}");
    let [Complaint { file, line: found, says }] = complaints.as_slice() else { panic!("{complaints:?}") };
    assert_eq!((file.as_str(), *found), ("days.toml", Some(line)));
    assert!(says.contains(expect), "{says}");
}

#[test]
fn unknown_grade() {
    check(("\"D\"", "\"A+\""), 9, "`A+` is no grade; the grades are A, B, C, D, derived and judgement")
}
#[test]
fn no_grade() {
    check(("grade = \"D\"\n", ""), 9, "there is no grade")
}
#[test]
fn no_unit() {
    check(("unit = \"d\"\n", ""), 9, "the number has no unit; stage_days is kept in d")
}
#[test]
fn wrong_unit() {
    check(("\"d\"", "\"weeks\""), 9, "stage_days is kept in d, not in weeks")
}
#[test]
fn backwards() {
    check(("value = 12", "low = 14\nhigh = 10"), 9, "14 to 10 runs backwards")
}
#[test]
fn not_a_number() {
    check(("value = 12", "value = nan"), 9, "value is not a number that can be used")
}
#[test]
fn endless() {
    check(("value = 12", "low = 3\nhigh = inf"), 9, "not a number that can be used")
}
#[test]
fn half_a_range() {
    check(("value = 12", "low = 3"), 9, "give one of value, low with high, at_least, at_most")
}
#[test]
fn no_source() {
    check(("[\"memory\"]", "[]"), 9, "there is no source")
}
#[test]
fn no_number_and_no_words() {
    check(("value = 12\n", ""), 9, "neither a number nor a statement")
}
#[test]
fn unknown_quantity() {
    check(("stage_days", "stage_dayz"), 9, "`stage_dayz` is no quantity we know")
}
#[test]
fn misspelt_field() {
    check(("value = 12", "valeu = 12"), 12, "there is no field `valeu`")
}
#[test]
fn letters_for_a_number() {
    check(("value = 12", "value = \"about twelve\""), 12, "invalid type")
}
#[test]
fn unknown_stage() {
    check(("value = 12", "stage = \"L0\"\nvalue = 12"), 9, "`L0` is no stage")
}

#[test]
fn an_id_used_twice_keeps_the_first() {
    let (claims, complaints) = read_claims("days.toml", &format!("{GOOD}{}", GOOD.replace("12", "13")));
    assert_eq!(claims.len(), 1);
    assert_eq!(claims[0].shown(), "12 d");
    assert!(complaints[0].says.contains("used twice"));
}

#[test]
fn a_claim_in_words_has_no_number_to_read() {
    let words =
        GOOD.replace("stage_days", "words").replace("value = 12\nunit = \"d\"", "says = \"Do not mist.\"");
    let (claims, complaints) = read_claims("practice.toml", &words);
    assert_eq!(complaints, []);
    assert_eq!((claims[0].figure.low(), claims[0].figure.high()), (None, None));
    assert_eq!(claims[0].shown(), "Do not mist.");
}

#[test]
fn an_entry_that_does_not_close_costs_only_itself() {
    let text = "@book{one, title = {One}}\n@book{two, title = {Two\n@book{three, title = \"Three\", year = 1912}\n@misc{four, year = 1}\n";
    let (sources, complaints) = read_sources("sources.bib", text);
    let keys: Vec<&str> = sources.iter().map(|source| source.key.as_str()).collect();
    assert_eq!(keys, ["one", "three"]);
    assert_eq!(complaints.iter().map(|complaint| complaint.line).collect::<Vec<_>>(), [Some(2), Some(4)]);
    assert!(complaints[1].says.contains("has no title"));
}

#[test]
fn a_question_without_a_side_is_complained_of() {
    let (questions, complaints) =
        read_questions("questions.toml", "[[question]]\nid = \"q\"\nasks = \"Why?\"\nsides = []\n");
    assert!(questions.is_empty());
    assert!(complaints[0].says.contains("has no side"));
}

fn emperor() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../reference/species/saturnia-pavonia.toml");
    std::fs::read_to_string(path).unwrap()
}

#[track_caller]
fn check_profile(from: &str, to: &str, expect: &str) {
    let text = emperor();
    assert!(text.contains(from), "nothing to change: {from}");
    let (profile, complaints) = read_profile("emperor.toml", &text.replacen(from, to, 1));
    assert_eq!(profile, None);
    assert!(complaints.iter().any(|complaint| complaint.to_string().contains(expect)), "{complaints:?}");
}

#[test]
fn a_profile_as_it_stands_is_whole() {
    let (profile, complaints) = read_profile("emperor.toml", &emperor());
    assert_eq!(complaints, []);
    assert!(profile.is_some());
}
#[test]
fn a_profile_without_pupa() {
    check_profile("stage = \"pupa\"", "stage = \"chrysalis\"", "the stage pupa is missing")
}
#[test]
fn a_threshold_above_the_air() {
    check_profile("mean = 9, sd = 2", "mean = 19, sd = 2", "the lower threshold must lie below at_c")
}
#[test]
fn a_profile_with_a_number_that_is_none() {
    check_profile("mean = 9, sd = 2", "mean = nan, sd = 2", "egg")
}
#[test]
fn shares_that_do_not_add_up() {
    check_profile("0.1722, 0.1601,", "0.1722, 0.2601,", "larva.shares: the shares add up to")
}
#[test]
fn a_range_that_runs_backwards() {
    check_profile("low = 10, high = 14", "low = 14, high = 10", "14 to 10 runs backwards")
}
#[test]
fn a_chance_above_one() {
    check_profile("mean = 0.93, weight", "mean = 1.93, weight", "a chance lies from 0 to 1")
}
#[test]
fn a_profile_that_is_no_toml_names_the_line() {
    check_profile("[pace]", "[pace", "emperor.toml line ")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, rng_seed: proptest::test_runner::RngSeed::Fixed(20_260_501), ..ProptestConfig::default() })]

    /// Whatever stands in a file, the readers answer and do not fall over.
    #[test]
    fn no_text_fells_a_reader(text in "(?s)(\\[\\[claim\\]\\]\n|@book\\{|\\}|\\{|,|=|\"|\n|[a-zä0-9 .]{1,6}){0,60}") {
        let _ = read_claims("any", &text);
        let _ = read_sources("any", &text);
        let _ = read_questions("any", &text);
        let _ = read_profile("any", &text);
    }
}
