//! A little of the checks of wrong worlds, of seasons that go on otherwise, and of the odds, on every change.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use validation::checks::{odds, outlook, worlds};
use validation::size::Size;

#[test]
fn wrong_worlds_bend_the_ranges_and_do_not_break_them() {
    let (check, _) = worlds::bend(Size::Small, &|_| ()).unwrap();
    assert!(check.passed(), "{}", check.complaint());
}

#[test]
fn a_season_that_goes_on_otherwise_stays_in_its_ranges() {
    let (check, _) = outlook::goes_on(Size::Small, &|_| ()).unwrap();
    assert!(check.passed(), "{}", check.complaint());
}

#[test]
fn odds_happen_as_often_as_they_say_and_planted_errors_are_caught() {
    let cases = odds::broods_for_odds(Size::Small, &|_| ()).unwrap();
    let check = odds::reliable(&cases, Size::Small);
    assert!(check.passed(), "{}", check.complaint());
    let planted = |error: fn(f64) -> f64| {
        let mut cases = cases.clone();
        for case in &mut cases {
            case.told.one_pair = error(case.told.one_pair);
        }
        odds::reliable(&cases, Size::Small)
    };
    assert!(!planted(|it| 1.0 - it).passed(), "odds turned round were not noticed");
    assert!(!planted(|it| it.powf(0.3)).passed(), "odds that flatter were not noticed");
    assert!(!planted(|_| 0.5).passed(), "odds that never say anything were not noticed");
}
