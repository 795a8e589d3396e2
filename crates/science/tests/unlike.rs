//! Books that look like nothing the model expects are told of; ordinary ones are not.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod common;
#[path = "common/sbc.rs"]
mod sbc;

use sbc::Came;
use science::dice::Dice;
use science::phenology::{
    Ask, Clocks, HORIZON_D, Living, Outlook, OutlookError, Room, Simulator, Unlike, Warning,
};

/// How many of some made books are called unlike, and as what.
fn told_of(broods: u64, came: Came) -> Vec<Vec<Unlike>> {
    let model = sbc::model();
    let told = |brood: u64| {
        let mut dice = Dice::seeded(90_000 + brood);
        let air = sbc::season(100, &mut dice);
        let truth = sbc::truth(&model, &mut dice);
        let last_d = 35.0 + 40.0 * dice.unit();
        let (tracked, _) = sbc::book(&model, &truth, (&air, last_d), (24, came), &mut dice);
        let asof_d = tracked.looks_d.last().copied().unwrap();
        let living = Living { tracked: vec![tracked], ..Living::default() };
        let outlook = Outlook::Thermostat { air_c: 20.0 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::NONE };
        let clocks = Clocks::new(&model.curves(), &room, 0.0, asof_d, HORIZON_D).unwrap();
        let ask = Ask { runs: 600, seed: brood, threads: 1 };
        let answer = Simulator::new(&model, &clocks, &living, ask).unwrap().forecast();
        let unlike = |it: &Warning| match it {
            Warning::Unlike(it) => Some(*it),
            _ => None,
        };
        answer.warnings.iter().filter_map(unlike).collect()
    };
    (0..broods).map(told).collect()
}

/// At most one ordinary book in twenty may be called odd. Of 40, more than 7 would be if the true share were one in
/// twenty with chance 1e-3 (binomial).
#[test]
fn ordinary_books_are_hardly_ever_called_odd() {
    let odd: Vec<_> = told_of(40, Came::EggsWithin(1.0)).into_iter().filter(|it| !it.is_empty()).collect();
    assert!(odd.len() <= 7, "{odd:?}");
}

/// Half of the eggs were laid eight days later and nobody said so: no pace and no spread makes two humps of one.
#[test]
fn two_layings_taken_for_one_are_told() {
    let all = told_of(20, Came::EggsOfTwoLayings(8.0));
    let silent = all.iter().filter(|it| it.is_empty()).count();
    // Nine in ten are told: more than 6 of 20 silent with chance 1e-3.
    assert!(silent <= 6, "{all:?}");
}
