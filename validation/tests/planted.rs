//! The checks themselves on trial: a forecaster that is right by construction passes at either size, and every
//! planted error is caught. The engine is not asked.

use validation::answer::Answer;
use validation::case::Case;
use validation::checks::dates::{Seasons, calibration, sharpness};
use validation::dice::Dice;
use validation::size::Size;
use validation::spread::Spread;

/// Quantiles of the standard normal distribution at the levels of the file interface (any table of it).
const NORMAL: [f64; 7] = [-1.644854, -1.281552, -0.674490, 0.0, 0.674490, 1.281552, 1.644854];
/// Spread of what the forecaster does not know once there is a count, and without any, days.
const KNOWS_D: f64 = 1.4;
const BLIND_D: f64 = 6.0;

/// When the median animal truly enters each stage, days.
const STAGES_D: [f64; 9] = [0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 90.0];

/// A name and what it does to a forecast date.
type Error = (&'static str, fn(Spread) -> Spread);

/// Three situations of broods whose truth is normal around what was forecast; all dates of one brood are off
/// together.
fn right(broods: usize) -> Seasons {
    let mut dice = Dice::new(11);
    let by_situation = [3, 5, 8].map(|first| (0..broods).map(|_| case(first, &mut dice)).collect());
    Seasons { by_situation: by_situation.into() }
}

fn case(first: usize, dice: &mut Dice) -> Case {
    let answer = || Answer { middle: [None; 9], one_pair: 0.9, warnings: Vec::new() };
    let (mut told, mut blind, mut truth_d) = (answer(), answer(), [None; 9]);
    let off = dice.normal();
    for (stage, true_d) in STAGES_D.into_iter().enumerate().skip(first) {
        let middle_d = true_d - KNOWS_D * off;
        told.middle[stage] = Some(Spread(NORMAL.map(|it| middle_d + KNOWS_D * it)));
        blind.middle[stage] = Some(Spread(NORMAL.map(|it| middle_d + BLIND_D * (off + it))));
        truth_d[stage] = Some(true_d);
    }
    Case { eggs: 30, front: first - 1, truth_d, closed: true, told, blind: Some(blind) }
}

#[test]
fn a_forecaster_that_is_right_passes_at_either_size() {
    for (size, broods) in [(Size::Small, 40), (Size::Full, 1000)] {
        let seasons = right(broods);
        for check in [calibration(&seasons, size), sharpness(&seasons, size)] {
            assert!(check.passed(), "{size:?} {}", check.complaint());
        }
    }
}

/// A shift of half a day is small beside a doubt of 1.4 days, and is caught at full size; the small size catches what is
/// gross.
#[test]
fn planted_errors_are_caught() {
    let small: [Error; 4] = [
        ("a day late", |it| it.later(1.0)),
        ("a day early", |it| it.later(-1.0)),
        ("half the width", |it| it.scaled(0.5)),
        ("three times the width", |it| it.scaled(3.0)),
    ];
    let full: [Error; 4] = [
        ("half a day late", |it| it.later(0.5)),
        ("half a day early", |it| it.later(-0.5)),
        ("four fifths of the width", |it| it.scaled(0.8)),
        ("five fourths of the width", |it| it.scaled(1.25)),
    ];
    for (size, broods, errors) in [(Size::Small, 40, small), (Size::Full, 1000, full)] {
        let seasons = right(broods);
        for (error, plant) in errors {
            let check = calibration(&seasons.planted(plant), size);
            assert!(!check.passed(), "{size:?}: {error}\n{}", check.in_words());
        }
    }
}

#[test]
fn a_forecast_that_counts_do_not_sharpen_is_caught() {
    let mut seasons = right(50);
    for case in seasons.by_situation.iter_mut().flatten() {
        case.blind = Some(case.told.clone());
    }
    assert!(!sharpness(&seasons, Size::Small).passed());
    assert!(!sharpness(&seasons, Size::Full).passed());
}

#[test]
fn a_forecast_that_falls_silent_is_caught() {
    let mut seasons = right(50);
    seasons.by_situation[0][7].told.middle[8] = None;
    assert!(!calibration(&seasons, Size::Small).passed());
}
