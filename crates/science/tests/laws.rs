//! Laws that hold whatever the numbers are.
//!
//! The cases are drawn with a fixed seed (see `laws`), so a failure is a failure and not bad luck.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may panic")]

mod common;

use common::{brood_model, eggs, plain_model, wavy_air};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, RngSeed};
use science::closing::{Lever, OddsAsk, lever};
use science::phenology::{
    AirSeries, Ask, BoxCount, Clocks, DayRange, Forecast, Group, HORIZON_D, Known, Living, Outlook,
    OutlookError, Quantiles, Reading, Room, Sex, Shock, Simulator, Watched, Window, forecast,
};

fn laws(cases: u32) -> Config {
    Config {
        cases,
        failure_persistence: None,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(20_260_501),
        ..Config::default()
    }
}

fn quantiles(it: &Quantiles) -> [f64; 7] {
    [it.q05, it.q10, it.q25, it.q50, it.q75, it.q90, it.q95]
}

/// All dates of the whole brood, in a fixed order.
fn dates(answer: &Forecast) -> Vec<f64> {
    let stage = |it: &science::phenology::StageEntry| {
        [&it.first, &it.middle, &it.last, &it.entering].into_iter().flat_map(quantiles).collect::<Vec<_>>()
    };
    answer.brood.stages.iter().flat_map(stage).collect()
}

proptest! {
    #![proptest_config(laws(40))]

    /// Animals that enter their stage now, a straight curve, every hour warmer by the same or more but below the
    /// cut-off: no quantile of any date moves later. (With a past, warmth also teaches that those still waiting
    /// are slow, and the law need not hold.)
    #[test]
    fn warmer_is_never_later(
        seed in 0_u64..1000,
        mean_c in 14.0_f64..20.0,
        swing_c in 0.0_f64..5.0,
        warmer_c in 0.0_f64..4.0,
        n in 1_u32..12,
        spread_cv in 0.0_f64..0.3,
    ) {
        let model = brood_model(spread_cv);
        let ask = Ask { runs: 60, seed, threads: 1 };
        let at = |extra_c: f64| {
            let air = wavy_air(0.0, 8.0, mean_c + extra_c, swing_c);
            let outlook = Outlook::LastDays { days: 3 };
            let error = OutlookError { next_day_c: 0.2, limit_c: 0.6, days_to_limit: 10.0 };
            let room = Room { air: &air, outlook: &outlook, error };
            let clocks = Clocks::new(&model.curves(), &room, 8.0, 8.0, HORIZON_D).unwrap();
            dates(&forecast(&model, &clocks, &eggs(n, 8.0, 0), ask).unwrap())
        };
        let (cool, warm) = (at(0.0), at(warmer_c));
        prop_assert_eq!(cool.len(), warm.len());
        for (cool, warm) in cool.iter().zip(&warm) {
            prop_assert!(*warm <= cool + 1e-9, "cool {}, warm {}", cool, warm);
        }
    }

    /// In every season fewer or as many animals enter a stage as entered the one before, each enters it later,
    /// nobody enters a stage after death, and the number alive never grows.
    #[test]
    fn survivors_never_grow(seed in 0_u64..1000, n in 1_u32..40, stage in 0_usize..6, share in 0.0_f64..0.9) {
        let mut model = brood_model(0.1);
        model.shock = Shock { per_day: 0.03, loss_share: 0.5 };
        let air = wavy_air(0.0, 30.0, 18.0, 4.0);
        let outlook = Outlook::LastDays { days: 5 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::usual(&outlook) };
        let clocks = Clocks::new(&model.curves(), &room, 0.0, 30.0, HORIZON_D).unwrap();
        let mut living = eggs(n, 30.0 - 4.0 * share, 0);
        living.groups[0].stage = stage;
        let simulator = Simulator::new(&model, &clocks, &living, Ask { runs: 20, seed, threads: 1 }).unwrap();
        let mut bench = simulator.bench();
        for run in 0..20 {
            simulator.season(run, &mut bench);
            let lives = &bench.lives;
            let entered = |it: usize| (0..lives.animals()).filter(|a| lives.enters(*a, it).is_some()).count();
            for next in stage + 1..=model.moth() {
                prop_assert!(entered(next) <= entered(next - 1));
            }
            for animal in 0..lives.animals() {
                let known: Vec<f64> = (0..=model.moth()).filter_map(|it| lives.enters(animal, it)).collect();
                prop_assert!(known.windows(2).all(|it| it[0] <= it[1]));
                prop_assert!(known.iter().all(|it| *it <= lives.end_d(animal)));
                prop_assert!(lives.end_d(animal) >= 30.0, "who lives now dies later");
            }
            let alive = |at_d: f64| (0..lives.animals()).filter(|a| lives.stage_at(*a, at_d).is_some()).count();
            let counts: Vec<usize> = (30..150).map(|day| alive(f64::from(day))).collect();
            prop_assert_eq!(counts[0], n as usize);
            prop_assert!(counts.windows(2).all(|it| it[1] <= it[0]));
        }
    }

}

proptest! {
    #![proptest_config(laws(10))]

    /// The same question has the same answer to the bit, on one, two or three threads; another seed another.
    #[test]
    fn same_seed_same_bits(seed in 0_u64..1000, n in 2_u32..10, seen in any::<bool>()) {
        let model = brood_model(0.1);
        let air = wavy_air(0.0, 20.0, 18.0, 4.0);
        let outlook = Outlook::LastDays { days: 5 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::usual(&outlook) };
        let clocks = Clocks::new(&model.curves(), &room, 0.0, 20.0, HORIZON_D).unwrap();
        let mut living = eggs(n, 0.0, 0);
        living.groups[0].stage = 1;
        living.groups[0].known = Known::Entered(Window { earliest_d: 17.0, latest_d: 18.0 });
        if seen {
            let counts = vec![
                BoxCount { at_d: 11.0, seen: vec![n - 1, 1] },
                BoxCount { at_d: 15.0, seen: vec![1, n - 2] },
            ];
            let watched = Watched { started_d: 0.0, started_stage: 0, n, box_index: 0, counts };
            living = Living { watched: vec![watched], ..Living::default() };
        }
        let at = |seed, threads| forecast(&model, &clocks, &living, Ask { runs: 600, seed, threads }).unwrap();
        let one = at(seed, 1);
        for threads in [1, 2, 3] {
            let again = at(seed, threads);
            prop_assert_eq!(&again.brood, &one.brood);
            prop_assert_eq!(&again.boxes, &one.boxes);
            prop_assert_eq!(&again.seasons, &one.seasons);
            prop_assert_eq!(&again.learned, &one.learned);
        }
        prop_assert_ne!(dates(&at(seed + 1, 1)), dates(&one));
    }

}

proptest! {
    #![proptest_config(laws(40))]

    /// At a constant temperature, nobody differing, every date is a division.
    #[test]
    fn constant_temperature_has_closed_form_dates(
        air_c in 11.0_f64..29.0,
        needs in proptest::collection::vec(20.0_f64..200.0, 1..6),
        started_d in -300.0_f64..300.0,
        slow in 1.0_f64..1.5,
    ) {
        let mut model = plain_model(&needs);
        (model.female_pupa_factor, model.female_share) = (slow, 1.0);
        let asof_d = started_d + 0.3;
        let air = wavy_air(started_d - 1.0, 3.0, air_c, 0.0);
        let room = Room { air: &air, outlook: &Outlook::Thermostat { air_c }, error: OutlookError::NONE };
        let clocks = Clocks::new(&model.curves(), &room, started_d, asof_d, 2000.0).unwrap();
        let answer = forecast(&model, &clocks, &eggs(3, started_d, 0), Ask { runs: 3, seed: 1, threads: 1 }).unwrap();
        let mut expect_d = started_d;
        for (stage, need) in needs.iter().enumerate() {
            let slow = if stage + 1 == needs.len() { slow } else { 1.0 };
            expect_d += need * slow / (air_c - 10.0);
            let entry = answer.brood.stage(stage + 1).expect("everybody gets there");
            for at_d in quantiles(&entry.first).into_iter().chain(quantiles(&entry.last)) {
                prop_assert!((at_d - expect_d).abs() < 1e-6, "stage {}: {} not {}", stage, at_d, expect_d);
            }
        }
    }

    /// Imagining more animals changes nothing about those that are there.
    #[test]
    fn spare_animals_change_nobody(seed in 0_u64..1000, n in 1_u32..10, more in 1_u32..10) {
        let model = brood_model(0.1);
        let air = wavy_air(0.0, 5.0, 18.0, 4.0);
        let outlook = Outlook::LastDays { days: 5 };
        let room = Room { air: &air, outlook: &outlook, error: OutlookError::usual(&outlook) };
        let clocks = Clocks::new(&model.curves(), &room, 0.0, 5.0, HORIZON_D).unwrap();
        let own = eggs(n, 0.0, 0);
        let imagined = Living { spare: eggs(more, 0.0, 0).groups, ..own.clone() };
        let ask = Ask { runs: 100, seed, threads: 1 };
        let (own, imagined) =
            (forecast(&model, &clocks, &own, ask).unwrap(), forecast(&model, &clocks, &imagined, ask).unwrap());
        prop_assert_eq!(&own.brood, &imagined.brood);
        prop_assert_eq!(&own.boxes, &imagined.boxes);
    }

}

proptest! {
    #![proptest_config(laws(400))]

    /// Whatever is typed, there is an answer or a sentence: no panic, no endless loop.
    #[test]
    fn wild_input_is_answered(
        at in proptest::collection::vec(wild(), 1..6),
        air_c in proptest::collection::vec(wild(), 6),
        n in 0_u32..5,
        stage in 0_usize..9,
        seen in any::<bool>(),
    ) {
        let model = brood_model(0.1);
        let pairs = at.iter().zip(&air_c);
        let readings: Vec<Reading> = pairs.map(|(at_d, air_c)| Reading { at_d: *at_d, air_c: *air_c }).collect();
        let ranges = at.iter().zip(air_c.iter().zip(air_c.iter().skip(1)));
        let days: Vec<DayRange> = ranges
            .map(|(at_d, (low, high))| DayRange { midnight_d: *at_d, low_c: *low, high_c: *high, mean_c: Some(*low) })
            .collect();
        for air in [AirSeries::from_readings(&readings), AirSeries::from_days(&days)] {
            let Ok(air) = air else { continue };
            let outlook = Outlook::Thermostat { air_c: air_c[0] };
            let room = Room { air: &air, outlook: &outlook, error: OutlookError::NONE };
            let Ok(clocks) = Clocks::new(&model.curves(), &room, at[0], at[at.len() - 1], 50.0) else { continue };
            let known = Known::Entered(Window { earliest_d: at[0], latest_d: air_c[1] });
            let group = Group { stage, n, box_index: stage, known, sex: None };
            let mut living = Living { groups: vec![group], ..Living::default() };
            if seen {
                let count = |at_d: &f64| BoxCount { at_d: *at_d, seen: vec![0, n, stage as u32, 1] };
                let counts = at.iter().map(count).collect();
                let watched = Watched { started_d: air_c[1], started_stage: stage / 2, n: n + 4, box_index: 0, counts };
                living = Living { watched: vec![watched], ..Living::default() };
            }
            let said = forecast(&model, &clocks, &living, Ask { runs: 3, seed: 1, threads: 1 });
            if let Ok(answer) = said {
                for entry in &answer.brood.stages {
                    prop_assert!(quantiles(&entry.entering).iter().all(|it| it.is_finite()));
                }
                let borrow = Lever::Borrow { sex: Sex::Male, from_d: air_c[2], nights: air_c[3] };
                let worth = lever(&answer.seasons, borrow, OddsAsk::ONE_PAIR);
                prop_assert!((0.0..=1.0).contains(&worth.after.probability));
            }
        }
    }
}

/// Numbers as they come from a typing hand, a broken logger and a hostile file.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -5.0_f64..40.0,
        1 => any::<f64>(),
        1 => prop_oneof![Just(f64::NAN), Just(f64::INFINITY), Just(-1e300), Just(1e300), Just(0.0), Just(9.9e6)],
    ]
}
