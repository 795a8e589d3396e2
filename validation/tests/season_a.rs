//! Demo season A, asked every third day.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use std::path::Path;
use validation::checks::season_a;

#[test]
fn the_ranges_of_season_a_hold_what_few_dates_can_tell() {
    let demo = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../demo"));
    let check = season_a::holds(demo, &|_| ()).unwrap();
    assert!(check.passed(), "{}", check.complaint());
}
