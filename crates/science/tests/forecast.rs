//! The forecast against things that can be worked out without it: order statistics, truncated distributions,
//! exact odds, an hour-by-hour walk, and plain rejection sampling.
//!
//! Statistical checks use fixed seeds and four standard errors, unless they say otherwise: a right program fails
//! each comparison about once in 16,000 seeds.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may panic")]

mod common;

use common::{brood_model, constant_clocks, eggs, plain_model, wavy_air};
use science::closing::{OddsAsk, compare, odds};
use science::dice::{Dice, normal_cdf};
use science::phenology::{
    Ask, BoxCount, BroodModel, Clocks, Group, HORIZON_D, Known, Lives, Living, Outlook, OutlookError,
    RateCurve, Room, Sex, Shock, Simulator, StagePassage, Unlike, Warning, Watched, Window, Winter, forecast,
};

const RUNS: u32 = 4000;

/// One number from each season.
fn each_season(
    model: &BroodModel,
    clocks: &Clocks,
    living: &Living,
    number: impl Fn(&Lives) -> f64,
) -> Vec<f64> {
    let simulator = Simulator::new(model, clocks, living, Ask { runs: RUNS, seed: 41, threads: 1 }).unwrap();
    let mut bench = simulator.bench();
    let season = |run| {
        simulator.season(run, &mut bench);
        number(&bench.lives)
    };
    (0..RUNS).map(season).collect()
}

fn mean(numbers: &[f64]) -> f64 {
    numbers.iter().sum::<f64>() / numbers.len() as f64
}

fn variance(numbers: &[f64]) -> f64 {
    let middle = mean(numbers);
    numbers.iter().map(|it| (it - middle) * (it - middle)).sum::<f64>() / (numbers.len() as f64 - 1.0)
}

#[track_caller]
fn near(seen: f64, expect: f64, standard_error: f64) {
    assert!(
        (seen - expect).abs() < 4.0 * standard_error,
        "seen {seen}, expected {expect} +- {standard_error}"
    );
}

/// Goal: the first and the last of n. Oracle: the expected largest of n standard normal numbers, 0.5642, 1.1630,
/// 1.5388, 2.0428 for n = 2, 5, 10, 30 (tabulated; the logarithms of the needs are normal).
#[test]
fn first_and_last_are_order_statistics() {
    let mut model = plain_model(&[100.0]);
    model.stages[0].spread_cv = 0.2;
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let s = (1.04_f64).ln().sqrt();
    for (n, largest) in [(2, 0.5642), (5, 1.1630), (10, 1.5388), (30, 2.0428)] {
        for (sign, pick) in [(-1.0, f64::min as fn(f64, f64) -> f64), (1.0, f64::max)] {
            let logs = each_season(&model, &clocks, &eggs(n, 0.0, 0), |lives| {
                let days = (0..lives.animals()).map(|it| lives.enters(it, 1).unwrap() / 10.0);
                days.reduce(pick).unwrap().ln()
            });
            // The table has four digits: half of the last adds to the error.
            near(
                mean(&logs),
                -0.5 * s * s + sign * s * largest,
                (variance(&logs) / f64::from(RUNS)).sqrt() + s * 2e-5,
            );
        }
    }
}

/// Goal: stages add up. Oracle: means add; variances add with the covariance `exp(rho s_j s_k) - 1` of lognormal
/// numbers with mean 1. The variance may be off by 4 sqrt((kurtosis + 2) / R), with excess kurtosis below 1.
#[test]
fn stages_add_up_with_their_correlation() {
    for rho in [0.0, 0.6, 1.0] {
        let mut model = plain_model(&[100.0, 50.0, 150.0]);
        model.rank_correlation = rho;
        let needs_d = [10.0, 5.0, 15.0];
        let cv = [0.1, 0.3, 0.2_f64];
        for (it, cv) in model.stages.iter_mut().zip(cv) {
            it.spread_cv = cv;
        }
        let clocks = constant_clocks(&model, 0.0, 0.0);
        let days = each_season(&model, &clocks, &eggs(1, 0.0, 0), |lives| lives.enters(0, 3).unwrap());
        let s: Vec<f64> = cv.iter().map(|it| (1.0 + it * it).ln().sqrt()).collect();
        let mut expect = 0.0;
        for j in 0..3 {
            for k in 0..3 {
                let shared = if j == k { 1.0 } else { rho };
                expect += needs_d[j] * needs_d[k] * ((shared * s[j] * s[k]).exp() - 1.0);
            }
        }
        near(mean(&days), 30.0, (expect / f64::from(RUNS)).sqrt());
        near(variance(&days) / expect, 1.0, (3.0 / f64::from(RUNS)).sqrt());
    }
}

/// Goal: an animal that is late is conditioned on being late. Oracle: the lognormal distribution cut at what has
/// been done, at three points of it.
#[test]
fn who_waits_is_conditioned_on_waiting() {
    let mut model = plain_model(&[100.0, 100.0]);
    model.stages[0].spread_cv = 0.1;
    let s = 1.01_f64.ln().sqrt();
    let cdf = |days: f64| normal_cdf(((days / 10.0).ln() + 0.5 * s * s) / s);
    for waited_d in [0.0, 9.0, 10.5, 12.0] {
        let clocks = constant_clocks(&model, 0.0, waited_d);
        let days = each_season(&model, &clocks, &eggs(1, 0.0, 0), |lives| lives.enters(0, 1).unwrap());
        assert!(days.iter().all(|it| *it >= waited_d));
        for later_d in [0.1, 0.5, 1.5] {
            let by_d = waited_d.max(8.5) + later_d;
            let expect = (cdf(by_d) - cdf(waited_d)) / (1.0 - cdf(waited_d));
            let seen = days.iter().filter(|it| **it <= by_d).count() as f64 / f64::from(RUNS);
            near(seen, expect, (expect * (1.0 - expect) / f64::from(RUNS)).sqrt());
        }
    }
}

/// Goal: who dies when. Oracle: an animal comes through what is left of its stage with `p^left`, later stages with
/// `p`; deaths are even over the rest of the stage.
#[test]
fn survival_is_a_power_of_what_is_left() {
    let mut model = plain_model(&[100.0, 100.0]);
    for it in &mut model.stages {
        it.survival.mean = 0.5;
    }
    let clocks = constant_clocks(&model, 0.0, 4.0);
    let ends = each_season(&model, &clocks, &eggs(1, 0.0, 0), |lives| lives.end_d(0));
    let n = f64::from(RUNS);
    let by = |at_d: f64| ends.iter().filter(|it| **it < at_d).count() as f64 / n;
    let first = 1.0 - 0.5_f64.powf(0.6);
    for (at_d, expect) in [
        (7.0, first * 0.5),
        (10.0, first),
        (15.0, first + (1.0 - first) * 0.25),
        (20.0, first + (1.0 - first) * 0.5),
    ] {
        near(by(at_d), expect, (expect * (1.0 - expect) / n).sqrt());
    }
}

/// Goal: the odds. Oracle: `1 - 2^(1-n)` when all live and fly at once, `1 - 2(1 - s/2)^n + (1-s)^n` when each
/// survives with chance s.
#[test]
fn odds_match_the_coin() {
    for (n, s) in [(2, 1.0), (5, 1.0), (9, 0.7), (17, 0.4), (6, 0.25)] {
        let mut model = plain_model(&[100.0]);
        model.stages[0].survival.mean = s;
        let clocks = constant_clocks(&model, 0.0, 0.0);
        let answer =
            forecast(&model, &clocks, &eggs(n, 0.0, 0), Ask { runs: 20_000, seed: 5, threads: 2 }).unwrap();
        let seen = odds(&answer.seasons, OddsAsk::ONE_PAIR);
        let n = n as i32;
        let exact = 1.0 - 2.0 * (1.0 - s / 2.0).powi(n) + (1.0 - s).powi(n);
        if s >= 1.0 {
            assert!((exact - (1.0 - 2.0_f64.powi(1 - n))).abs() < 1e-12);
        }
        near(seen.probability, exact, (exact * (1.0 - exact) / 20_000.0).sqrt());
    }
}

#[test]
#[allow(clippy::float_cmp, reason = "exactly nothing is what is asked for")]
fn all_of_one_sex_is_exactly_nothing() {
    let model = brood_model(0.1);
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let mut living = eggs(30, 0.0, 0);
    living.groups[0].sex = Some(Sex::Female);
    let answer = forecast(&model, &clocks, &living, Ask { runs: 500, seed: 5, threads: 1 }).unwrap();
    assert_eq!(odds(&answer.seasons, OddsAsk::ONE_PAIR).probability, 0.0);
    let nobody =
        forecast(&model, &clocks, &Living::default(), Ask { runs: 500, seed: 5, threads: 1 }).unwrap();
    assert_eq!(odds(&nobody.seasons, OddsAsk::ONE_PAIR).probability, 0.0);
    assert!(nobody.brood.stages.is_empty() && nobody.boxes.is_empty());
}

/// Goal: a disease hits a box as a whole, so two boxes are safer than one. Oracle: with a hazard of 0.05 a day over
/// ten larval days and nobody spared, a box is lost with `1 - exp(-0.5)`, two with its square.
#[test]
fn two_boxes_are_safer_than_one() {
    let mut model = plain_model(&[100.0, 50.0]);
    model.shock = Shock { per_day: 0.05, loss_share: 1.0 };
    model.female_share = 0.5;
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let mut split = eggs(10, 0.0, 0);
    split.groups.push(Group { box_index: 1, ..split.groups[0].clone() });
    let together = eggs(20, 0.0, 0);
    let lost = 1.0 - (-0.5_f64).exp();
    let all_lost = |lives: &Lives| {
        let none = (0..lives.animals()).all(|it| lives.enters(it, 2).is_none());
        f64::from(u8::from(none))
    };
    for (living, expect) in [(&together, lost), (&split, lost * lost)] {
        let seen = mean(&each_season(&model, &clocks, living, all_lost));
        near(seen, expect, (expect * (1.0 - expect) / f64::from(RUNS)).sqrt());
    }
    let ask = Ask { runs: RUNS, seed: 41, threads: 1 };
    let (one, two) =
        (forecast(&model, &clocks, &together, ask).unwrap(), forecast(&model, &clocks, &split, ask).unwrap());
    let worth = compare(&one.seasons, &two.seasons, OddsAsk::ONE_PAIR);
    // With twenty moths a sex is missing in two seasons of a million, with ten in two of a thousand.
    near(worth.change, lost - lost * lost, worth.change_standard_error + 0.001);
}

/// The slow twin: one animal walked hour by hour through changing air, three curves, no look-up.
#[test]
fn dates_agree_with_walking_hour_by_hour() {
    let mut model = plain_model(&[80.0, 60.0, 120.0]);
    model.stages[1].rate = RateCurve::Briere1 { scale: 7.86e-5, lower_c: 11.36, upper_c: 39.17 };
    model.stages[2].rate = RateCurve::Linear { lower_c: 12.0, upper_c: 22.0, constant_dd: 90.0 };
    let air = wavy_air(0.0, 400.0, 18.0, 6.0);
    let asof_d = 3.4;
    let (past, ahead) = (air.before(asof_d).unwrap(), air.from(asof_d).unwrap());
    let outlook = Outlook::Series(ahead);
    let room = Room { air: &past, outlook: &outlook, error: OutlookError::NONE };
    let clocks = Clocks::new(&model.curves(), &room, 0.0, asof_d, 300.0).unwrap();
    let answer = forecast(&model, &clocks, &eggs(1, 0.0, 0), Ask { runs: 1, seed: 1, threads: 1 }).unwrap();
    let (mut stage, mut done) = (0, 0.0);
    for hour in 0..24 * 300 {
        let at_d = f64::from(hour) / 24.0;
        done += model.stages[stage].rate.per_day(air.at(at_d + 0.01).unwrap()) / 24.0;
        if done >= 1.0 {
            stage += 1;
            done = 0.0;
            let entry = answer.brood.stage(stage).unwrap().middle.q50;
            // The walk rounds each stage up to a whole hour and carries nothing over.
            assert!(
                (entry - at_d).abs() < (stage as f64 + 0.1) / 24.0,
                "stage {stage}: {entry}, walked {at_d}"
            );
            if stage == model.stages.len() {
                return;
            }
        }
    }
    panic!("the walk never came to the moth");
}

/// The error of the outlook is a shift with its stated standard deviation, and nothing on the first morning.
/// Oracle: a hundred days at 20 degrees with a shift z take 1000 / (10 + z) days, so `1000 / days - 10` has
/// variance 1 (the first day, over which the error grows, takes less than a hundredth of it).
#[test]
fn the_outlook_is_wrong_by_as_much_as_it_says() {
    let model = plain_model(&[1000.0]);
    let air = wavy_air(-2.0, 2.5, 20.0, 0.0);
    let outlook = Outlook::Thermostat { air_c: 20.0 };
    let error = OutlookError { next_day_c: 1.0, limit_c: 1.0, days_to_limit: 1.0 };
    let room = Room { air: &air, outlook: &outlook, error };
    let clocks = Clocks::new(&model.curves(), &room, 0.0, 0.0, HORIZON_D).unwrap();
    let shifts =
        each_season(&model, &clocks, &eggs(1, 0.0, 0), |lives| 1000.0 / lives.enters(0, 1).unwrap() - 10.0);
    near(mean(&shifts), 0.0, 1.0 / f64::from(RUNS).sqrt());
    near(variance(&shifts), 0.99, (2.0 / f64::from(RUNS)).sqrt());
}

/// A brood of which only the start and one count are known, and the clock that goes with it.
fn counted(groups: &[(usize, u32)], at_d: f64) -> (BroodModel, Clocks, Living) {
    let mut model = plain_model(&[100.0, 60.0, 60.0, 60.0, 200.0]);
    model.shared_pace_sd = 0.1;
    for it in &mut model.stages {
        (it.spread_cv, it.stage_pace_sd) = (0.1, 0.05);
    }
    let clocks = constant_clocks(&model, 0.0, at_d);
    let mut seen = vec![0; 6];
    groups.iter().for_each(|(stage, n)| seen[*stage] = *n);
    let n = seen.iter().sum();
    let counts = vec![BoxCount { at_d, seen }];
    let watched = Watched { started_d: 0.0, started_stage: 0, n, box_index: 0, counts };
    (model, clocks, Living { watched: vec![watched], ..Living::default() })
}

/// Goal: hidden ages and the pace are learned from one count. Oracle: plain rejection sampling, written out here
/// from the definition: draw a pace and animals, keep the draws in which everybody stands where it was seen.
/// The median may differ by 0.15 days (four standard errors of 4000 runs spread over three days), the 5 and 95 %
/// points by 0.45 days; without the count the median lies 3 to 6 days off. The runs of one answer share what they
/// learned and are worth fewer than they are, so eight answers with dice of their own are averaged.
#[test]
fn one_count_teaches_what_rejection_sampling_teaches() {
    for (groups, at_d) in
        [(&[(1_usize, 2_u32), (2, 1)][..], 17.5), (&[(2, 3)], 17.0), (&[(0, 2), (1, 1)], 11.0)]
    {
        let (model, clocks, living) = counted(groups, at_d);
        let answers: Vec<_> = (0..8)
            .map(|seed| forecast(&model, &clocks, &living, Ask { runs: RUNS, seed, threads: 2 }).unwrap())
            .map(|it| it.brood.stage(5).unwrap().middle)
            .collect();
        let wanted: Vec<usize> = groups.iter().flat_map(|(stage, n)| vec![*stage; *n as usize]).collect();
        let mut dice = Dice::seeded(99);
        let rho = model.rank_correlation;
        let mut kept: Vec<f64> = Vec::new();
        for _ in 0..600_000 {
            let g = 0.1 * dice.normal();
            let pace: Vec<f64> = (0..5).map(|_| (g + 0.05 * dice.normal()).exp()).collect();
            let cv = 0.1 * (0.2 * dice.normal()).exp();
            let s = (1.0 + cv * cv).ln().sqrt();
            let mut out_d = Vec::new();
            for stage in &wanted {
                let u = dice.normal();
                let mut entry = 0.0;
                let mut stands = None;
                for (k, need_dd) in [100.0, 60.0, 60.0, 60.0, 200.0].iter().enumerate() {
                    let z = rho.sqrt() * u + (1.0 - rho).sqrt() * dice.normal();
                    let leaves = entry + need_dd / 10.0 * pace[k] * (s * z - 0.5 * s * s).exp();
                    if stands.is_none() && leaves > at_d {
                        stands = Some(k);
                    }
                    entry = leaves;
                }
                if stands != Some(*stage) {
                    break;
                }
                out_d.push(entry);
            }
            if out_d.len() == wanted.len() {
                out_d.sort_by(f64::total_cmp);
                kept.push(out_d[1]);
            }
        }
        kept.sort_by(f64::total_cmp);
        assert!(kept.len() > 3000, "{}", kept.len());
        let slow = |p: f64| kept[(p * kept.len() as f64) as usize];
        let q05 = mean(&answers.iter().map(|it| it.q05).collect::<Vec<_>>());
        let q50 = mean(&answers.iter().map(|it| it.q50).collect::<Vec<_>>());
        let q95 = mean(&answers.iter().map(|it| it.q95).collect::<Vec<_>>());
        for (fast, slow, bound) in [(q05, slow(0.05), 0.45), (q50, slow(0.5), 0.15), (q95, slow(0.95), 0.45)]
        {
            assert!((fast - slow).abs() < bound, "{groups:?}: {fast} against {slow}");
        }
    }
}

/// Two ways of saying the same: eggs laid at one instant and still in the egg, or only counted as eggs.
#[test]
fn a_count_of_the_first_stage_is_an_entry_window() {
    let (model, clocks, seen) = counted(&[(0, 12)], 9.6);
    let ask = Ask { runs: RUNS, seed: 3, threads: 1 };
    let entered = forecast(&model, &clocks, &eggs(12, 0.0, 0), ask).unwrap();
    let seen = forecast(&model, &clocks, &seen, ask).unwrap();
    for stage in 1..=5 {
        let (a, b) = (entered.brood.stage(stage).unwrap().middle, seen.brood.stage(stage).unwrap().middle);
        // 300 to 1000 runs' worth each, spread about a tenth of the time: three such errors.
        let bound = 3.0 * (a.q75 - a.q25) / 20.0 + 0.05;
        assert!((a.q50 - b.q50).abs() < bound, "{stage}: {} {}", a.q50, b.q50);
        assert!(
            (a.q95 - b.q95).abs() < 3.0 * bound && (a.q05 - b.q05).abs() < 3.0 * bound,
            "{stage}: {a:?} {b:?}"
        );
    }
}

/// A passage that shows the brood a tenth slow moves the dates by what it shows, and narrows them.
#[test]
fn a_passage_moves_the_dates() {
    let (mut model, _, _) = counted(&[(2, 20)], 17.0);
    model.shared_pace_sd = 0.15;
    let clocks = constant_clocks(&model, 0.0, 18.0);
    let entered = Known::Entered(Window::at(18.0));
    let group = Group { stage: 2, n: 20, box_index: 0, known: entered, sex: None };
    let unknown = Living { groups: vec![group], ..Living::default() };
    let passage =
        |stage: usize, dd: f64| StagePassage { stage, n: 20.0, mean_units: 1.2 * dd, se_units: 0.5 };
    let taught = Living { passed: vec![passage(0, 100.0), passage(1, 60.0)], ..unknown.clone() };
    let ask = Ask { runs: RUNS, seed: 3, threads: 1 };
    let before = forecast(&model, &clocks, &unknown, ask).unwrap().brood.stage(3).unwrap().middle;
    let after = forecast(&model, &clocks, &taught, ask).unwrap().brood.stage(3).unwrap().middle;
    // By hand: two means of g + h with error var about 0.0029 each, prior var of g 0.0225: nearly all of
    // log 1.2 = 0.182 is believed to be shared. 0.0225 / (0.0225 + 0.0017) * 0.182 = 0.169.
    let moved = ((after.q50 - 18.0) / (before.q50 - 18.0)).ln();
    assert!((moved - 0.169).abs() < 0.02, "{moved}");
    assert!(after.q95 - after.q05 < 0.6 * (before.q95 - before.q05));
}

/// Sleep before the moult: with a fifth of the stage asleep, somebody anywhere in it sleeps with chance 1/5, and
/// the last of the sleepers comes out within a fifth of the stage.
#[test]
fn who_sleeps_now() {
    let mut model = plain_model(&[100.0, 100.0, 100.0]);
    model.stages[1].moult_share = 0.2;
    let clocks = constant_clocks(&model, 0.0, 20.0);
    let known = Known::Entered(Window { earliest_d: 10.0, latest_d: 20.0 });
    let group = Group { stage: 1, n: 10, box_index: 3, known, sex: None };
    let living = Living { groups: vec![group], ..Living::default() };
    let answer = forecast(&model, &clocks, &living, Ask { runs: RUNS, seed: 3, threads: 1 }).unwrap();
    let [asleep] = &answer.boxes[0].moult[..] else { panic!("one stage sleeps") };
    assert_eq!((answer.boxes[0].box_index, asleep.stage), (Some(3), 1));
    near(asleep.share, 0.2, (0.16 / (10.0 * f64::from(RUNS))).sqrt());
    assert!(asleep.until_q50_d > 20.0 && asleep.until_q90_d <= 22.0 + 1e-9);
    let sure = Known::Entered(Window::at(11.0));
    let living =
        Living { groups: vec![Group { known: sure, ..living.groups[0].clone() }], ..Living::default() };
    let answer = forecast(&model, &clocks, &living, Ask { runs: 10, seed: 3, threads: 1 }).unwrap();
    let asleep = answer.brood.moult[0];
    assert!((asleep.share - 1.0).abs() < 1e-12 && (asleep.until_q50_d - 21.0).abs() < 1e-6);
}

/// An animal that was started, is not booked dead and was not found: alive with the chance that Bayes gives to
/// "overlooked" against "dead". Ten days into a stage of ten with survival 0.5 nobody is through; half-way, an
/// animal lives with 0.5^0.5 and is overlooked with 0.1.
#[test]
fn who_was_not_found_may_be_overlooked() {
    let mut model = plain_model(&[100.0, 100.0]);
    (model.stages[0].survival.mean, model.stages[0].overlooked) = (0.5, 0.1);
    let clocks = constant_clocks(&model, 0.0, 5.0);
    let counts = vec![BoxCount { at_d: 5.0, seen: vec![0] }];
    let watched = Watched { started_d: 0.0, started_stage: 0, n: 1, box_index: 0, counts };
    let living = Living { watched: vec![watched], ..Living::default() };
    let alive =
        each_season(&model, &clocks, &living, |lives| f64::from(u8::from(lives.stage_at(0, 5.0).is_some())));
    let lives = 0.5_f64.sqrt();
    let expect = lives * 0.1 / (lives * 0.1 + 1.0 - lives);
    near(mean(&alive), expect, (expect * (1.0 - expect) / f64::from(RUNS)).sqrt());
}

/// After a winter: normal emergence, males earlier, some lie over; no clock is involved.
#[test]
fn winter_broods_come_out_by_dates() {
    let mut model = plain_model(&[100.0, 300.0]);
    model.winter = Some(Winter {
        middle_d: 300.0,
        shared_sd_d: 3.0,
        spread_sd_d: 4.0,
        males_earlier_d: 6.0,
        males_earlier_sd_d: 0.0,
        second_share: 0.0,
        second_delay_d: 0.0,
        lying_over_share: 0.2,
    });
    let clocks = constant_clocks(&model, 0.0, 5.0);
    let mut living = eggs(10, 0.0, 0);
    living.groups[0].sex = Some(Sex::Male);
    let answer = forecast(&model, &clocks, &living, Ask { runs: RUNS, seed: 3, threads: 1 }).unwrap();
    let moths = answer.brood.stage(2).unwrap();
    near(moths.entering.q50, 297.0, 1.253 * 3.0 / f64::from(RUNS).sqrt() + 0.05);
    near((moths.entering.q95 - moths.entering.q05) / (2.0 * 1.645 * 5.0), 1.0, 0.012);
    near(answer.brood.lying_over, 2.0, (1.6 / f64::from(RUNS)).sqrt());
    assert!(answer.warnings.is_empty());
}

#[test]
fn dates_beyond_the_clock_are_said_and_not_invented() {
    let model = plain_model(&[100.0, 100.0, 100_000.0]);
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let answer = forecast(&model, &clocks, &eggs(4, 0.0, 0), Ask { runs: 20, seed: 3, threads: 1 }).unwrap();
    assert!(answer.brood.stage(2).is_some() && answer.brood.stage(3).is_none());
    assert_eq!(answer.warnings, [Warning::BeyondHorizon { share: 1.0 }]);
}

#[test]
fn a_count_that_nothing_explains_is_said() {
    let said = |groups: &[(usize, u32)], at_d: f64| {
        let (model, clocks, living) = counted(groups, at_d);
        forecast(&model, &clocks, &living, Ask { runs: 500, seed: 3, threads: 1 }).unwrap().warnings
    };
    // Thirty days of development in six: four times as fast as anything in the prior.
    assert!(said(&[(3, 20)], 6.0).contains(&Warning::Unlike(Unlike::Pace)));
    assert_eq!(said(&[(0, 20)], 6.0), []);
}

/// Who was last seen three days ago may have moved on since: at a constant temperature and without spread, eggs of
/// ten days that were seen on the eighth day have hatched on the tenth, whatever the day of the question.
#[test]
fn what_nobody_saw_may_have_happened() {
    let model = plain_model(&[100.0, 100.0, 100.0]);
    let clocks = constant_clocks(&model, 0.0, 11.0);
    let stage_d = clocks.expected_stage_d(0).unwrap();
    assert!((stage_d - 10.0).abs() < 1e-9, "{stage_d}");
    let window = Window::at(0.0);
    let known = Known::LastSeen { window, seen_d: 8.0 };
    let living = Living {
        groups: vec![Group { stage: 0, n: 5, box_index: 0, known, sex: None }],
        ..Living::default()
    };
    let answer = forecast(&model, &clocks, &living, Ask { runs: 20, seed: 1, threads: 1 }).unwrap();
    let hatch = answer.brood.stage(1).unwrap();
    assert!((hatch.middle.q50 - 10.0).abs() < 1e-6, "{:?}", hatch.middle);
    let late = Known::LastSeen { window, seen_d: 12.0 };
    let living = Living {
        groups: vec![Group { stage: 0, n: 5, box_index: 0, known: late, sex: None }],
        ..Living::default()
    };
    assert!(
        forecast(&model, &clocks, &living, Ask { runs: 20, seed: 1, threads: 1 }).is_err(),
        "seen tomorrow"
    );
}
