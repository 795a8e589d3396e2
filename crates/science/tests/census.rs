//! Cohorts lived by the million against what other programs found, and against their own chances.
#![allow(clippy::unwrap_used, reason = "a test may panic")]

#[path = "common/cohort.rs"]
mod cohort;

use cohort::{DAYS, air_c, ask, cohort, faults, quantile_sum};
use science::phenology::census::{census, expected};

/// Shares, dates and counts of three sizes, each against programs in another language: `faults` says how near.
#[test]
fn the_peers_find_the_same() {
    for (n, runs) in [(9, 100_000), (100, 20_000), (1000, 2000)] {
        let counts = census(&cohort(), &air_c(), ask(n, runs)).unwrap();
        assert_eq!(faults(&counts, n), Vec::<String>::new(), "{n}");
    }
}

/// The chances without dice, against the same programs (ten million animals and more): sums of quantiles within a
/// thousandth, shares to 2e-4, dates to four standard errors of 2e5 animals.
#[test]
fn the_chances_are_what_the_peers_find() {
    let sure = expected(&cohort(), &air_c(), 8.0, 22.0).unwrap();
    for (n, wanted) in [(9, 2465.0), (100, 27_111.0), (1000, 270_908.0)] {
        let sum = quantile_sum(|stage, day| sure.quantiles(n, stage, day));
        assert!((sum / wanted - 1.0).abs() < 1e-3, "{n}: {sum}, not {wanted}");
    }
    let days: f64 =
        (0..DAYS).flat_map(|day| (0..9).map(move |it| (it, day))).map(|(it, day)| sure.chance(it, day)).sum();
    assert!((days - 54.1884).abs() < 4.0 * 30.0 / 3000.0, "{days}");
    assert!((sure.pair_share(9, 82) - 0.459).abs() < 0.0065, "{}", sure.pair_share(9, 82));
    for stage in 1..=8 {
        let (share, day) = cohort::entering(stage);
        assert!((sure.entered_share(stage) - share).abs() < 2.2e-4, "{stage}: {}", sure.entered_share(stage));
        assert!((sure.entry_mean_d(stage) - day).abs() < 4.0 * 0.07 * day / (2e5 * share).sqrt(), "{stage}");
    }
}

/// Every cell: how many cohorts have how many animals in a stage on a morning, against the binomial law. Chi-square over
/// all cells whose count is uncertain; the largest distance of a mean in standard errors.
#[test]
fn counts_are_binomial() {
    let sure = expected(&cohort(), &air_c(), 8.0, 22.0).unwrap();
    let (n, runs) = (60, 20_000);
    let counts = census(&cohort(), &air_c(), ask(n, runs)).unwrap();
    let mut worst = 0.0_f64;
    let mut spread = (0.0, 0);
    for stage in 0..9 {
        for day in 0..DAYS {
            let p = sure.chance(stage, day);
            let variance = f64::from(n) * p * (1.0 - p);
            if variance < 0.01 {
                continue;
            }
            let mean = counts.mean(stage, day);
            worst = worst.max((mean - f64::from(n) * p).abs() / (variance / f64::from(runs)).sqrt());
            let squares =
                |it: u32| (f64::from(it) - mean).powi(2) * f64::from(counts.cohorts(stage, it as usize, day));
            spread.0 += (0..=n).map(squares).sum::<f64>() / f64::from(runs) / variance;
            spread.1 += 1;
        }
    }
    // Some 500 means, neighbours much alike: the largest of 500 independent ones passes 4.5 once in 300 seeds.
    assert!(worst < 4.5, "{worst}");
    // Variances good to 1 % each, and over all of them the mean to well under that.
    let ratio = spread.0 / f64::from(spread.1);
    assert!((ratio - 1.0).abs() < 0.01, "{ratio} over {}", spread.1);
}

#[test]
fn threads_change_nothing() {
    for (n, runs) in [(9, 60_000), (300, 3000)] {
        let one = census(&cohort(), &air_c(), ask(n, runs)).unwrap();
        for threads in [2, 3] {
            let asked = science::phenology::census::CensusAsk { threads, ..ask(n, runs) };
            assert!(census(&cohort(), &air_c(), asked).unwrap() == one, "{n} {threads}");
        }
    }
}

/// What cannot be used is refused in words, and the edges of what can are answered.
#[test]
fn edges() {
    use science::phenology::census::{CensusAsk, CensusFault};
    let cold = vec![-5.0; 240];
    let counts = census(&cohort(), &cold, ask(5, 100)).unwrap();
    assert!(counts.entered_share(1).abs() < 1e-12 && counts.any_pair_share().abs() < 1e-12);
    assert_eq!(counts.quantiles(0, 9), [5; 5]);
    assert_eq!(expected(&cohort(), &cold, 8.0, 22.0).unwrap().quantiles(5, 0, 9), [5; 5]);
    let mut doomed = cohort();
    doomed.stages[0].survival = 0.0;
    assert!(census(&doomed, &air_c(), ask(5, 100)).unwrap().entered_share(1).abs() < 1e-12);
    let mut odd = cohort();
    odd.rank_correlation = f64::NAN;
    assert_eq!(census(&odd, &air_c(), ask(5, 100)).err(), Some(CensusFault::Model));
    odd.stages.clear();
    assert_eq!(expected(&odd, &air_c(), 8.0, 22.0).err(), Some(CensusFault::Stages));
    assert_eq!(census(&cohort(), &[20.0; 23], ask(5, 100)).err(), Some(CensusFault::Air));
    assert_eq!(census(&cohort(), &[f64::NAN; 48], ask(5, 100)).err(), Some(CensusFault::Air));
    let nobody = CensusAsk { n: 0, ..ask(5, 100) };
    assert_eq!(census(&cohort(), &air_c(), nobody).err(), Some(CensusFault::Size));
    let certain = {
        let mut it = cohort();
        it.rank_correlation = 1.0;
        it
    };
    let counts = census(&certain, &air_c(), ask(50, 2000)).unwrap();
    let sure = expected(&certain, &air_c(), 8.0, 22.0).unwrap();
    assert!((counts.entry_mean_d(8) - sure.entry_mean_d(8)).abs() < 0.1);
}
