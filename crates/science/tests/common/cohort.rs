//! The cohort against which other programs were timed, and what they found. Every number of it is invented.
#![allow(dead_code, clippy::unwrap_used, reason = "each file uses its own part and may panic")]

use science::phenology::RateCurve;
use science::phenology::census::{CensusAsk, CohortModel, CohortStage, Counts};

/// `a`, `T0` and `Tm` of Briere's curve, and the survival, from the egg to the pupa.
const STAGES: [(f64, f64, f64, f64); 8] = [
    (8.6773130491e-5, 8.0, 36.0, 0.85),
    (1.3963492263e-4, 7.5, 36.0, 0.85),
    (1.6464756471e-4, 7.5, 36.5, 0.93),
    (1.4210652907e-4, 8.0, 36.5, 0.95),
    (1.2396161499e-4, 8.0, 36.0, 0.95),
    (7.6365187143e-5, 8.5, 35.5, 0.92),
    (1.616259313e-4, 9.0, 35.0, 0.95),
    (3.8790223512e-5, 9.0, 35.0, 0.92),
];

/// Days that are counted.
pub const DAYS: usize = 150;

pub fn cohort() -> CohortModel {
    let stage = |(scale, lower_c, upper_c, survival): (f64, f64, f64, f64)| CohortStage {
        rate: RateCurve::Briere1 { scale, lower_c, upper_c },
        // The peers divide by a lognormal pace of mean 1: the need has the mean 1 + cv^2.
        need: 1.0 + 0.08 * 0.08,
        spread_cv: 0.08,
        survival,
    };
    CohortModel {
        stages: STAGES.map(stage).to_vec(),
        rank_correlation: 0.6,
        male_share: 0.5,
        males_earlier_h: 36.0,
        moth_mean_h: 8.0 * 24.0,
        moth_shape: 6.0,
    }
}

/// Hourly temperatures of 150 days.
pub fn air_c() -> Vec<f64> {
    let text = include_str!("../oracles/census_air.csv");
    text.lines().skip(1).map(|it| it.split(',').nth(1).unwrap().parse().unwrap()).collect()
}

pub fn ask(n: u32, runs: u32) -> CensusAsk {
    CensusAsk { n, runs, seed: 12_345, threads: 1, morning_h: 8.0, evening_h: 22.0 }
}

/// Share entering L1 to moth: 1e8 animals of a program in another language that shares no code with this one.
const ENTERED: [f64; 8] = [0.84997, 0.72254, 0.67195, 0.63837, 0.60644, 0.55792, 0.53001, 0.48757];
/// Mean day of entry, of 2e5 animals of the same program.
const ENTRY_D: [f64; 8] = [10.213, 16.111, 20.876, 27.252, 34.979, 47.532, 53.840, 79.242];

/// Sum over days, stages and five shares of the counts. Peers by dice, and from the exact binomial at a million animals.
fn quantile_sums(n: u32) -> Option<(f64, f64)> {
    match n {
        9 => Some((2468.0, 2468.0)),
        100 => Some((27_111.0, 27_137.0)),
        1000 => Some((270_908.0, 271_122.0)),
        _ => None,
    }
}

pub fn quantile_sum(mut quantiles: impl FnMut(usize, usize) -> [u32; 5]) -> f64 {
    (0..DAYS)
        .flat_map(|day| (0..9).map(move |stage| (stage, day)))
        .flat_map(|(stage, day)| quantiles(stage, day))
        .map(f64::from)
        .sum()
}

/// Everything by which a wrong fast answer gives itself away. Four standard errors of both samples each, one in 16,000.
pub fn faults(counts: &Counts, n: u32) -> Vec<String> {
    let animals = counts.runs() as f64 * f64::from(n);
    let mut faults = Vec::new();
    let mut near = |name: String, seen: f64, wanted: f64, off: f64| {
        // Not a number is a fault too.
        if (seen - wanted).abs().partial_cmp(&off) != Some(std::cmp::Ordering::Less) {
            faults.push(format!("{name}: {seen}, not {wanted} within {off}"));
        }
    };
    for stage in 1..=8 {
        let (share, day) = (ENTERED[stage - 1], ENTRY_D[stage - 1]);
        let error = (share * (1.0 - share) / animals).sqrt();
        near(format!("share entering {stage}"), counts.entered_share(stage), share, 4.0 * error + 2e-4);
        // Spread of a date: half its pace's share is common to all stages. 0.06 of the date is more than it is.
        let sd_d = 0.07 * day;
        let error = sd_d * (1.0 / (animals * share) + 1.0 / (2e5 * share)).sqrt();
        near(format!("mean entry {stage}"), counts.entry_mean_d(stage), day, 4.0 * error + 5e-4);
    }
    let mean: f64 = (0..DAYS)
        .flat_map(|day| (0..9).map(move |it| (it, day)))
        .map(|(stage, day)| counts.mean(stage, day))
        .sum();
    // An animal's days of being counted scatter by about 30.
    near(
        "animal-days".to_owned(),
        mean / f64::from(n),
        54.175,
        4.0 * 30.0 * (1.0 / animals + 1.0 / 9e5).sqrt(),
    );
    if let Some((least, most)) = quantile_sums(n) {
        let sum = quantile_sum(|stage, day| counts.quantiles(stage, day));
        near("sum of quantiles".to_owned(), sum, 0.5 * (least + most), 0.5 * (most - least) + 0.002 * most);
    }
    if n == 9 {
        let error = (0.775 * 0.225 * (1.0 / counts.runs() as f64 + 1e-5)).sqrt();
        near("a pair on any evening".to_owned(), counts.any_pair_share(), 0.77535, 4.0 * error);
        let error = (0.459 * 0.541 * (1.0 / counts.runs() as f64 + 1e-5)).sqrt();
        near("a pair on the evening of day 82".to_owned(), counts.pair_share(82), 0.459, 4.0 * error);
    }
    faults
}

/// Share entering a stage, and the mean day of it, as the other program found them.
pub fn entering(stage: usize) -> (f64, f64) {
    (ENTERED[stage - 1], ENTRY_D[stage - 1])
}
