//! Pupae that rest or go on: closed forms, plain rejection and laws. All numbers are invented; bounds are four
//! standard errors with fixed seeds unless they say otherwise.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

mod common;

use common::{brood_model, constant_clocks, eggs, plain_model, stage};
use proptest::prelude::*;
use science::dice::{Dice, normal_upper};
use science::phenology::{
    Ask, BetaPrior, BoxCount, BroodModel, CameOut, Clocks, DayCurve, Diapause, Forecast, Group, Known,
    LarvalDay, LarvalDays, Living, RestBy, Sex, StageKind, Watched, Window, Winter, forecast,
};

const RUNS: u32 = 4000;
const ASK: Ask = Ask { runs: RUNS, seed: 5, threads: 1 };

const SPRING: Winter = Winter {
    middle_d: 300.0,
    shared_sd_d: 3.0,
    spread_sd_d: 4.0,
    males_earlier_d: 6.0,
    males_earlier_sd_d: 0.0,
    second_share: 0.0,
    second_delay_d: 0.0,
    lying_over_share: 0.0,
};

fn share_of(mean: f64, weight: f64) -> Diapause {
    Diapause { by: RestBy::Share(BetaPrior { mean, weight }), winter: SPRING }
}

fn pupae(stage: usize, n: u32, at_d: f64) -> Living {
    let known = Known::Entered(Window::at(at_d));
    Living { groups: vec![Group { stage, n, box_index: 0, known, sex: None }], ..Living::default() }
}

fn resting(living: &Living, diapause: Diapause) -> Living {
    Living { resting: Some(diapause), ..living.clone() }
}

fn ask(model: &BroodModel, clocks: &Clocks, living: &Living) -> Forecast {
    forecast(model, clocks, living, ASK).unwrap()
}

/// No box is ever hit: the hits' dice come after those of the earlier days, which are drawn apart here.
fn uncertain_model() -> BroodModel {
    brood_model(0.1)
}

/// A share of none is the model without a rest and a share of all is the model of kinds that always rest, to the
/// bit: for eggs, for larvae, for pupae that just came in, and for those that have waited.
#[test]
fn none_and_all_are_the_models_without_and_with_a_winter() {
    let going = uncertain_model();
    let mut always = going.clone();
    always.winter = Some(SPRING);
    for (stage, entered_d, asof_d) in [(0, 0.0, 0.0), (3, 0.0, 2.0), (6, 5.0, 5.0), (6, 0.0, 21.0)] {
        let clocks = constant_clocks(&going, 0.0, asof_d);
        let living = pupae(stage, 12, entered_d);
        for (model, share) in [(&going, 0.0), (&always, 1.0)] {
            let without = ask(model, &clocks, &living);
            let with = ask(&going, &clocks, &resting(&living, share_of(share, 2.0)));
            assert_eq!(with.brood.stages, without.brood.stages, "stage {stage}, share {share}");
            assert_eq!(with.seasons, without.seasons, "stage {stage}, share {share}");
            let said = with.brood.resting.unwrap();
            assert!((said.share.q05 - share).abs() < 1e-12 && (said.share.q95 - share).abs() < 1e-12);
        }
    }
}

/// Twenty pupae, nothing seen: the share of those that rest has the mean and the variance of the beta-binomial
/// distribution, m and m (1 - m) / n (1 + (n - 1) / (w + 1)).
#[test]
fn an_unknown_share_is_beta_binomial() {
    let model = plain_model(&[100.0, 200.0]);
    let clocks = constant_clocks(&model, 0.0, 0.0);
    for (mean, weight) in [(0.5, 2.0), (0.3, 8.0)] {
        let living = resting(&pupae(1, 20, 0.0), share_of(mean, weight));
        let said = ask(&model, &clocks, &living).brood.resting.unwrap();
        let variance = mean * (1.0 - mean) / 20.0 * (1.0 + 19.0 / (weight + 1.0));
        assert!((said.mean - mean).abs() < 4.0 * (variance / f64::from(RUNS)).sqrt(), "{}", said.mean);
    }
    // Uniform over 0 to 20 of 20: the 5th and 95th hundredth are 1 and 19 of 20, to one animal.
    let living = resting(&pupae(1, 20, 0.0), share_of(0.5, 2.0));
    let said = ask(&model, &clocks, &living).brood.resting.unwrap();
    assert!(said.share.q05 <= 0.1 && said.share.q95 >= 0.9, "{:?}", said.share);
}

/// One pupa that waits: Bayes in closed form. Its clock asks for 20 days (log spread s), it has waited 21; with an
/// even prior it rests with the chance m / (m + (1 - m) C), C the upper tail of the lognormal need.
#[test]
fn a_pupa_that_waits_is_ever_more_likely_to_rest() {
    let mut model = plain_model(&[100.0, 200.0]);
    model.stages[1] = stage("pupa", StageKind::Pupa, 200.0, 0.1, 1.0);
    let variance = libm::log(1.0 + 0.1 * 0.1);
    let mut last = 0.0;
    for waited_d in [10.0, 18.0, 20.0, 21.0, 22.0, 24.0, 28.0] {
        let clocks = constant_clocks(&model, 0.0, waited_d);
        let living = resting(&pupae(1, 1, 0.0), share_of(0.3, 3.0));
        let said = ask(&model, &clocks, &living).brood.resting.unwrap();
        let still = normal_upper((libm::log(waited_d / 20.0) + 0.5 * variance) / variance.sqrt());
        let exact = 0.3 / (0.3 + 0.7 * still);
        // Resampled from 32,000 draws: at worst the error of 4000 independent runs, twice.
        let error = (2.0 * exact * (1.0 - exact) / f64::from(RUNS)).sqrt();
        assert!((said.mean - exact).abs() < 4.0 * error + 1e-3, "{waited_d}: {} {exact}", said.mean);
        assert!(said.mean > last - 0.02);
        last = said.mean;
    }
    assert!(last > 0.99, "{last}");
}

/// Of a brood of one kind, pupae that wait too long and moths that are out: the share of the pupae still to decide is
/// a beta distribution with those counted in, mean (m w + r) / (w + r + g).
#[test]
fn what_was_seen_counts_as_animals() {
    let model = plain_model(&[100.0, 200.0]);
    let clocks = constant_clocks(&model, 0.0, 60.0);
    let mut living = resting(&pupae(1, 4, 0.0), share_of(0.5, 2.0));
    // Five that just pupated: nothing is known of them but their brood.
    living.groups.push(Group {
        box_index: 1,
        n: 5,
        known: Known::Entered(Window::at(60.0)),
        ..living.groups[0].clone()
    });
    living.came_out = vec![CameOut { at_d: 21.0, sex: None }; 6];
    let answer = ask(&model, &clocks, &living);
    let (waiting, fresh) = (&answer.boxes[0], &answer.boxes[1]);
    assert!(waiting.resting.as_ref().unwrap().mean > 0.999, "20 days are up for all of them");
    let expect = (0.5 * 2.0 + 4.0) / (2.0 + 4.0 + 6.0);
    let said = fresh.resting.as_ref().unwrap();
    // Five animals a run, correlated by the share: variance of a beta-binomial share; half for the resampling.
    let variance = expect * (1.0 - expect) / 5.0 * (1.0 + 4.0 / 13.0);
    assert!((said.mean - expect).abs() < 4.0 * (2.0 * variance / f64::from(RUNS)).sqrt(), "{}", said.mean);
}

/// The curve in a whole life: larvae of a brood that becomes ever later see ever shorter days. Each animal's fate
/// follows the curve at the mean day of its own sensitive stages; at no spread that is one number.
#[test]
fn every_pupa_answers_to_its_own_days() {
    let model = plain_model(&[100.0, 100.0, 200.0]);
    let days: Vec<LarvalDay> = (0..400)
        .map(|it| LarvalDay { sun_h: 16.0 - 0.05 * f64::from(it), twilight_h: 1.0, air_c: 20.0 })
        .collect();
    let days = LarvalDays::new(0.0, &days[..300]).unwrap();
    let curve = DayCurve {
        from_stage: 1,
        to_stage: 1,
        critical_h: 14.0,
        critical_sd_h: 0.0,
        width_h: 0.4,
        width_log_sd: 0.0,
        twilight_share: 0.5,
        twilight_share_sd: 0.0,
        warmth: None,
        exception: 0.0,
    };
    for began_d in [0.0, 20.0, 30.0, 60.0] {
        let clocks = constant_clocks(&model, 0.0, began_d);
        let diapause = Diapause { by: RestBy::Day(curve.clone(), days.clone()), winter: SPRING };
        let living = resting(&eggs(10, began_d, 0), diapause);
        let said = ask(&model, &clocks, &living).brood.resting.unwrap();
        // Ten days in the first stage, ten in the second: the middle of those is day 15; the days' sums are exact.
        let middle_h = 16.0 - 0.05 * (began_d + 14.5) + 0.5;
        let exact = 1.0 / (1.0 + libm::exp((middle_h - 14.0) / 0.4));
        let n = 10.0 * f64::from(RUNS);
        let error = (exact * (1.0 - exact) / n).sqrt();
        assert!((said.mean - exact).abs() < 4.0 * error + 2e-3, "{began_d}: {} {exact}", said.mean);
        // Who rests was late, and both peaks are told apart: forty days after the start, or in spring.
        if let Some(it) = said.going_on {
            assert!((it.entering.q50 - began_d - 40.0).abs() < 1e-6);
        }
        if let Some(it) = said.after_rest.filter(|_| exact > 0.1) {
            assert!((it.entering.q50 - 300.0).abs() < 1.0, "{:?}", it.entering);
        }
    }
}

/// In one brood a quick larva goes on and a slow one rests.
#[test]
fn the_slow_of_a_late_brood_rest() {
    let mut model = plain_model(&[100.0, 100.0, 200.0]);
    model.stages[0] = stage("L4", StageKind::Larva, 100.0, 0.2, 1.0);
    let days: Vec<LarvalDay> =
        (0..200).map(|it| LarvalDay::under_lamps(if it < 15 { 16.0 } else { 12.0 }, 20.0)).collect();
    let curve = DayCurve {
        from_stage: 1,
        to_stage: 1,
        critical_h: 14.0,
        critical_sd_h: 0.0,
        width_h: 0.3,
        width_log_sd: 0.0,
        twilight_share: 1.0,
        twilight_share_sd: 0.0,
        warmth: None,
        exception: 0.0,
    };
    let by = RestBy::Day(curve, LarvalDays::new(0.0, &days).unwrap());
    let living = resting(&eggs(20, 0.0, 0), Diapause { by, winter: SPRING });
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let simulator = science::phenology::Simulator::new(&model, &clocks, &living, ASK).unwrap();
    let mut bench = simulator.bench();
    let (mut quick, mut slow) = ((0_u32, 0_u32), (0_u32, 0_u32));
    for run in 0..400 {
        simulator.season(run, &mut bench);
        for animal in 0..20 {
            let Some(rests) = bench.lives.rests(animal) else { continue };
            let group = if bench.lives.entry(animal)[1] < 10.0 { &mut quick } else { &mut slow };
            group.0 += u32::from(rests);
            group.1 += 1;
        }
    }
    let (quick, slow) = (f64::from(quick.0) / f64::from(quick.1), f64::from(slow.0) / f64::from(slow.1));
    assert!(quick < 0.5 && slow > 0.5, "{quick} {slow}");
}

/// Plain rejection: a share even over 0 to 1, ten pupae counted from day 0 on, seven still in after 22 days. What the
/// engine says of who rests of the seven, against making broods until one looks like that.
#[test]
fn counts_of_a_brood_against_plain_rejection() {
    let mut model = plain_model(&[100.0, 200.0]);
    model.stages[1] = stage("pupa", StageKind::Pupa, 200.0, 0.12, 1.0);
    let variance: f64 = libm::log(1.0 + 0.12 * 0.12);
    let counts = vec![BoxCount { at_d: 22.0, seen: vec![0, 7, 3] }];
    let watched = Watched { started_d: 0.0, started_stage: 1, n: 10, box_index: 0, counts };
    let clocks = constant_clocks(&model, 0.0, 22.0);
    let living = Living { watched: vec![watched], resting: Some(share_of(0.5, 2.0)), ..Living::default() };
    let said = ask(&model, &clocks, &living).brood.resting.unwrap();
    let mut dice = Dice::seeded(3);
    let (mut found, mut resting) = (0_u32, 0_u32);
    while found < 3000 {
        let share = dice.unit();
        let (mut waits, mut rest) = (0, 0);
        for _ in 0..10 {
            if dice.unit() < share {
                (waits, rest) = (waits + 1, rest + 1);
            } else {
                let need_d = 20.0 * libm::exp(variance.sqrt() * dice.normal() - 0.5 * variance);
                waits += u32::from(need_d > 22.0);
            }
        }
        if waits == 7 {
            found += 1;
            resting += rest;
        }
    }
    let slow = f64::from(resting) / f64::from(found * 7);
    // A brood's share scatters by some 0.17: 3000 broods here, and 4000 runs of which a chain makes one in four worth.
    assert!(
        (said.mean - slow).abs() < 4.0 * 0.17 * (1.0 / 3000.0 + 1.0 / 1000.0_f64).sqrt(),
        "{} {slow}",
        said.mean
    );
}

/// Calibration of the conditioning (Talts et al. 2018): shares from the prior, pupae made from them by code of its
/// own, some waiting and some out; the rank of the true share among the runs is even. Chi-square of 8 classes over
/// 320 broods; beyond 24.3 one sound program in 1000.
#[test]
fn the_share_is_calibrated() {
    let mut model = plain_model(&[100.0, 200.0]);
    model.stages[1] = stage("pupa", StageKind::Pupa, 200.0, 0.1, 1.0);
    let variance: f64 = libm::log(1.0 + 0.1 * 0.1);
    let clocks = constant_clocks(&model, 0.0, 21.0);
    let mut dice = Dice::seeded(77);
    let mut classes = [0_u32; 8];
    let broods = 320;
    for brood in 0..broods {
        let share = dice.unit();
        let (mut waiting, mut out) = (0, 0);
        for _ in 0..8 {
            let need_d = 20.0 * libm::exp(variance.sqrt() * dice.normal() - 0.5 * variance);
            if dice.unit() < share || need_d > 21.0 { waiting += 1 } else { out += 1 }
        }
        let mut living = resting(&pupae(1, waiting, 0.0), share_of(0.5, 2.0));
        // Those that are asked about stand apart: a great many that have just pupated.
        let known = Known::Entered(Window::at(21.0));
        living.groups.push(Group { stage: 1, n: 600, box_index: 1, known, sex: None });
        living.came_out = vec![CameOut { at_d: 20.5, sex: None }; out];
        let ask = Ask { runs: 63, seed: 1000 + brood, threads: 1 };
        let simulator = science::phenology::Simulator::new(&model, &clocks, &living, ask).unwrap();
        let mut bench = simulator.bench();
        let mut below = 0;
        for run in 0..ask.runs {
            simulator.season(run, &mut bench);
            let first = waiting as usize;
            let rest = (first..first + 600).filter(|it| bench.lives.rests(*it) == Some(true)).count();
            below += usize::from((rest as f64) < share * 600.0);
        }
        classes[below * 8 / 64] += 1;
    }
    let expect = f64::from(broods as u32) / 8.0;
    let chi: f64 = classes.iter().map(|n| (f64::from(*n) - expect).powi(2) / expect).sum();
    assert!(chi < 24.3, "{chi} {classes:?}");
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let model = uncertain_model();
    let clocks = constant_clocks(&model, 0.0, 22.0);
    let mut living = resting(&pupae(6, 9, 0.0), share_of(0.4, 2.0));
    living.groups.extend(pupae(4, 6, 20.0).groups);
    living.came_out = vec![CameOut { at_d: 20.0, sex: Some(Sex::Male) }; 2];
    let one = forecast(&model, &clocks, &living, Ask { runs: 700, seed: 2, threads: 1 }).unwrap();
    for threads in [2, 3] {
        let many = forecast(&model, &clocks, &living, Ask { runs: 700, seed: 2, threads }).unwrap();
        assert_eq!((&one.brood, &one.boxes, &one.seasons), (&many.brood, &many.boxes, &many.seasons));
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let mut model = plain_model(&[100.0, 200.0]);
    let clocks = constant_clocks(&model, 0.0, 0.0);
    let says = |model: &BroodModel, diapause: Diapause| {
        forecast(model, &clocks, &resting(&pupae(1, 3, 0.0), diapause), ASK).unwrap_err().to_string()
    };
    assert!(says(&model, share_of(1.5, 2.0)).contains("rest of the pupae"));
    assert!(says(&model, share_of(0.5, f64::NAN)).contains("rest of the pupae"));
    let winter = Winter { middle_d: f64::NAN, ..SPRING };
    assert!(says(&model, Diapause { winter, ..share_of(0.5, 2.0) }).contains("rest of the pupae"));
    model.winter = Some(SPRING);
    assert!(says(&model, share_of(0.5, 2.0)).contains("rest of the pupae"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// Longer or warmer days never raise the share, and it is always a share.
    #[test]
    fn longer_days_never_make_more_rest(
        critical_h in 8.0..18.0, critical_sd_h in 0.0..2.0, width_h in 0.05..2.0, twilight in 0.0..1.5,
        sun_h in 0.0..22.0, more_h in 0.0..2.0, twilight_h in 0.0..3.0, air_c in 5.0..35.0, warmer in 0.0..5.0,
    ) {
        let curve = DayCurve {
            from_stage: 0, to_stage: 0, critical_h, critical_sd_h, width_h, width_log_sd: 0.3,
            twilight_share: twilight, twilight_share_sd: 0.2,
            warmth: Some(science::phenology::Warmth { at_c: 25.0, h_per_c: 0.2, h_per_c_sd: 0.2 }),
            exception: 0.1,
        };
        let day = LarvalDay { sun_h, twilight_h, air_c };
        let share = curve.expected_share(&day);
        prop_assert!((0.0..=1.0).contains(&share));
        let longer = LarvalDay { sun_h: sun_h + more_h, ..day };
        let duskier = LarvalDay { twilight_h: twilight_h + more_h, ..day };
        let warmer = LarvalDay { air_c: air_c + warmer, ..day };
        for other in [longer, duskier, warmer] {
            let fewer = curve.expected_share(&other);
            prop_assert!(fewer <= share + 1e-12, "{:?} {} {}", other, fewer, share);
        }
    }
}
