//! The invariant of the stories, and the sums that are carried along, after many rounds of moves.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::super::brood::Living;
use super::super::pace::PaceBelief;
use super::super::testing::{constant_room, plain_model};
use super::super::watched::{BoxCount, Watched};
use super::chain::{Chain, Cohort, Given};
use super::told::Bench;

/// Deaths, animals that reappear, a stage nobody was seen in, a group that was started as larvae.
fn watched() -> Vec<Watched> {
    let counts = |all: &[(f64, [u32; 6])]| {
        all.iter().map(|(at_d, seen)| BoxCount { at_d: *at_d, seen: seen.to_vec() }).collect()
    };
    vec![
        Watched {
            started_d: 0.0,
            started_stage: 0,
            n: 14,
            box_index: 0,
            counts: counts(&[
                (4.0, [13, 0, 0, 0, 0, 0]),
                (6.0, [4, 9, 0, 0, 0, 0]),
                (9.5, [0, 8, 2, 0, 0, 0]),
                (12.0, [0, 2, 9, 0, 0, 0]),
                (19.0, [0, 0, 0, 5, 4, 0]),
                (25.5, [0, 0, 0, 0, 3, 4]),
            ]),
        },
        Watched {
            started_d: 3.0,
            started_stage: 1,
            n: 5,
            box_index: 1,
            counts: counts(&[(9.0, [0, 3, 2, 0, 0, 0]), (14.0, [0, 0, 3, 2, 0, 0])]),
        },
        Watched { started_d: 2.0, started_stage: 0, n: 3, box_index: 2, counts: Vec::new() },
    ]
}

#[test]
fn stories_give_back_the_counts_and_sums_are_what_they_sum() {
    let mut model = plain_model(5);
    (model.shared_pace_sd, model.female_pupa_factor, model.rank_correlation) = (0.1, 1.2, 0.6);
    for it in &mut model.stages {
        (it.spread_cv, it.stage_pace_sd, it.overlooked) = (0.15, 0.05, 0.05);
        (it.survival.mean, it.survival.weight) = (0.9, 10.0);
    }
    let clocks = constant_room(&model, 0.0, 26.0, 20.0);
    let cohorts: Vec<Cohort> = watched().iter().map(|it| Cohort::new(it, 5)).collect();
    let belief = PaceBelief::new(&model, &clocks, &[]);
    let living = Living::default();
    let given = Given { model: &model, clocks: &clocks, cohorts: &cohorts, belief: &belief, living: &living };
    let mut chain = Chain::begin(&given, 1, 0);
    let mut bench = Bench::new(&chain);
    let mut told_of_spread = Vec::new();
    for round in 0..400 {
        if round % 20 == 0 {
            check(&chain, &cohorts);
        }
        chain.round(&mut bench);
        told_of_spread.push(chain.brood.omega);
    }
    let first = told_of_spread[0];
    assert!(told_of_spread.iter().any(|it| (it - first).abs() > 0.1), "the chain moves");
}

fn check(chain: &Chain<'_>, cohorts: &[Cohort]) {
    for (index, cohort) in cohorts.iter().enumerate() {
        let own = chain.first[index]..chain.first[index] + cohort.n;
        for (count, it) in cohort.counts.iter().enumerate() {
            let mut seen = vec![0; 6];
            for animal in own.clone() {
                let row = chain.row(animal);
                let until = usize::from(chain.animals[animal].cur);
                let entry = &chain.entry[row + cohort.started_stage..=row + until];
                assert!(entry.windows(2).all(|it| it[0] < it[1]), "{entry:?}");
                let stage =
                    cohort.started_stage + entry.iter().filter(|entry| **entry <= it.at_d).count() - 1;
                assert_eq!(usize::from(chain.at[animal * chain.counts + count]), stage);
                seen[stage] += u32::from(chain.seen[animal * chain.counts + count]);
            }
            assert_eq!(seen, it.seen, "group {index}, count {count}");
        }
    }
    for (animal, it) in chain.animals.iter().enumerate() {
        let fit = chain.fit(&chain.brood, animal);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + a.abs());
        assert!(near(fit.sum, it.fit.sum) && near(fit.squares, it.fit.squares), "{fit:?} {:?}", it.fit);
        assert!(near(fit.wait, it.fit.wait), "{fit:?} {:?}", it.fit);
        let row = chain.row(animal);
        for stage in chain.cohort(animal).started_stage..usize::from(it.cur) {
            let units = chain.log_between(stage, chain.entry[row + stage], chain.entry[row + stage + 1]);
            assert!((units - chain.log_units[row + stage]).abs() < 1e-4, "{units}");
        }
    }
}
