//! The invariant of the stories, and the sums that are carried along, after many rounds of moves.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::super::brood::{Living, Window};
use super::super::pace::PaceBelief;
use super::super::testing::{constant_room, plain_model};
use super::super::tracks::{Glance, Track, Tracked};
use super::super::watched::{BoxCount, Watched};
use super::chain::{Chain, Given};
use super::cohort::Cohort;
use super::told::Bench;
use std::collections::BTreeSet;

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

/// Two boxes, eggs that nobody sees into, a box left shut, a body, one given away, one not found, a start of a week.
fn tracked() -> Tracked {
    use Glance::{Alive, Dead, Gone, NotBeyond, NotFound, Unlooked};
    let looks_d = vec![3.0, 6.0, 9.0, 12.0, 15.0, 19.0, 25.5];
    let track = |boxes: [usize; 7], glances: [Glance; 7]| Track {
        started_stage: 0,
        started: Window { earliest_d: 0.0, latest_d: 1.0 },
        female_chance: None,
        here: !matches!(glances[6], Dead | Gone),
        boxes: boxes.iter().map(|it| (*it < 9).then_some(*it)).collect(),
        glances: glances.to_vec(),
    };
    let egg = NotBeyond(0);
    let mut tracks = vec![
        track([0, 1, 1, 2, 2, 2, 3], [egg, Alive(1), NotBeyond(1), Alive(2), Unlooked, Alive(3), Alive(4)]),
        track([0, 1, 1, 2, 2, 2, 2], [egg, Alive(1), NotBeyond(1), Alive(2), Unlooked, Alive(3), Alive(3)]),
        track([0, 1, 1, 1, 2, 2, 3], [egg, Alive(1), NotBeyond(1), Alive(1), Alive(2), NotFound, Alive(4)]),
        track([0, 1, 1, 1, 1, 1, 1], [egg, Alive(1), NotBeyond(1), NotFound, Unlooked, NotFound, Unlooked]),
        track([0, 1, 1, 1, 9, 9, 9], [egg, Alive(1), NotBeyond(1), Alive(1), Dead, Dead, Dead]),
        track([0, 1, 1, 2, 2, 9, 9], [egg, Alive(1), NotBeyond(1), Alive(2), Unlooked, Gone, Gone]),
        track([0, 0, 0, 0, 0, 0, 0], [egg, egg, egg, egg, egg, Unlooked, egg]),
        // A cocoon: between spinning and the moth nobody sees in.
        track(
            [0, 1, 1, 1, 1, 1, 1],
            [egg, Alive(1), Alive(3), NotBeyond(4), NotBeyond(4), NotBeyond(4), Alive(5)],
        ),
        track(
            [0, 1, 1, 1, 1, 1, 1],
            [egg, Alive(1), Alive(3), NotBeyond(4), NotBeyond(4), NotBeyond(4), NotBeyond(4)],
        ),
    ];
    let young = Track {
        started_stage: 1,
        started: Window { earliest_d: 2.0, latest_d: 9.0 },
        glances: vec![Unlooked, Unlooked, Alive(1), Alive(1), Unlooked, Alive(2), Alive(3)],
        ..track([1, 1, 1, 1, 1, 2, 2], [Unlooked; 7])
    };
    tracks.push(Track { female_chance: Some(1.0), ..young.clone() });
    tracks.push(young);
    Tracked { looks_d, tracks }
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
    assert_eq!(tracked().check(5, 26.0), Ok(()));
    let counted = watched();
    let mut cohorts: Vec<Cohort> = counted.iter().map(|it| Cohort::of_counts(it, &model)).collect();
    cohorts.push(Cohort::of_tracks(&tracked(), &model));
    let belief = PaceBelief::new(&model, &clocks, &[]);
    let living = Living::default();
    let given = Given { model: &model, clocks: &clocks, cohorts: &cohorts, belief: &belief, living: &living };
    let mut chain = Chain::begin(&given, 1, 0);
    let mut bench = Bench::new(&chain);
    let mut told_of_spread = Vec::new();
    let mut owners = BTreeSet::new();
    for round in 0..400 {
        if round % 20 == 0 {
            check(&chain, &cohorts);
            owners.insert(chain.animals.iter().map(|it| it.tail).collect::<Vec<_>>());
        }
        chain.round(&mut bench);
        told_of_spread.push(chain.brood.omega);
    }
    let first = told_of_spread[0];
    assert!(told_of_spread.iter().any(|it| (it - first).abs() > 0.1), "the chain moves");
    assert!(owners.len() > 10, "animals of one box change places");
}

fn check(chain: &Chain<'_>, cohorts: &[Cohort]) {
    for (index, cohort) in cohorts.iter().enumerate() {
        let own = chain.first[index]..chain.first[index] + cohort.n;
        let looks = cohort.looks_d.len();
        for (look, look_d) in cohort.looks_d.iter().enumerate() {
            let (mut told, mut seen) = (Vec::new(), Vec::new());
            for (number, animal) in own.clone().enumerate() {
                let (row, started) = (chain.row(animal), chain.started(animal));
                let until = usize::from(chain.animals[animal].cur);
                let entry = &chain.entry[row + started..=row + until];
                assert!(entry.windows(2).all(|it| it[0] < it[1]), "{entry:?}");
                let window = chain.head(animal).window;
                assert!(window.earliest_d <= entry[0] && entry[0] <= window.latest_d, "{entry:?}");
                let gone_on = entry[1..].iter().filter(|entry| *entry <= look_d).count();
                let stage = started + gone_on;
                let place = animal * chain.counts + look;
                assert_eq!(usize::from(chain.at[place]), stage);
                match chain.glance[place] {
                    Glance::Alive(seen) => assert_eq!(stage, seen, "group {index}, look {look}"),
                    Glance::NotBeyond(most) if look < usize::from(chain.animals[animal].seen_to) => {
                        assert!(stage <= most, "group {index}, look {look}");
                    }
                    _ => {}
                }
                told.push((chain.place[place], format!("{:?}", chain.glance[place])));
                let first = number * looks + look;
                seen.push((cohort.places[first], format!("{:?}", cohort.glances[first])));
                if look + 1 == looks {
                    // Where a story ends is told by its end, whoever's it is.
                    let tail = chain.animals[animal].tail as usize;
                    assert_eq!(cohort.places[tail * looks + look], chain.place[place]);
                }
            }
            told.sort();
            seen.sort();
            assert_eq!(told, seen, "group {index}, look {look}");
        }
    }
    for (animal, it) in chain.animals.iter().enumerate() {
        let fit = chain.fit(&chain.brood, animal);
        let near = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + a.abs());
        assert!(near(fit.sum, it.fit.sum) && near(fit.squares, it.fit.squares), "{fit:?} {:?}", it.fit);
        assert!(near(fit.wait, it.fit.wait), "{fit:?} {:?}", it.fit);
        let sight = chain.sight(animal);
        assert!(sight > -1e6, "animal {animal}: what was seen cannot be");
        assert!(
            (sight - it.sight).abs() < 1e-6 * (1.0 + sight.abs()),
            "animal {animal}: {sight} {}",
            it.sight
        );
        let row = chain.row(animal);
        for stage in chain.started(animal)..usize::from(it.cur) {
            let units = chain.log_between(stage, chain.entry[row + stage], chain.entry[row + stage + 1]);
            assert!((units - chain.log_units[row + stage]).abs() < 1e-4, "{units}");
        }
    }
}
