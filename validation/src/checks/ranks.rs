//! Simulation-based calibration (Talts et al. 2018) of every parameter that is learned.
//!
//! The maker of the broods is that of the engine's own tests; here it is run at full size.

use super::Told;
use crate::figure::Ranked;
use crate::lanes;
use crate::verdict::{Check, Demand, Table};
use anyhow::{Context, Result};
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};

#[path = "../../../crates/science/tests/common/mod.rs"]
mod common;
#[path = "../../../crates/science/tests/common/sbc.rs"]
mod sbc;

/// Broods that were counted, and as many that a book followed.
const BROODS: u64 = 2000;
/// Broods made with one seed.
const BATCH: u64 = 20;
/// Bins of a histogram.
const BINS: usize = 10;
/// Chance that any number below fails although every posterior is right.
const FALSE_ALARM: f64 = 1e-3;

/// Whether the true value's rank among what was learned is even, for every parameter.
///
/// # Errors
/// If a lane of work breaks down.
pub fn are_even(told: Told<'_>) -> Result<(Check, Vec<Ranked>)> {
    let model = sbc::model();
    let model = &model;
    let counted = merged(|seed| sbc::ranks(model, BATCH, 2000, seed), "counted", told)?;
    let followed = merged(|seed| sbc::ranks_of_books(model, BATCH, 2000, seed), "followed by a book", told)?;
    let looked_at = (3 * (counted.len() + followed.len())) as f64;
    let normal = Normal::standard();
    let squares = ChiSquared::new((BINS - 1) as f64).context("no chi-square distribution")?;
    let most_squares = squares.inverse_cdf(1.0 - FALSE_ALARM / looked_at);
    let most = normal.inverse_cdf(1.0 - FALSE_ALARM / looked_at / 2.0);
    let head = vec!["parameter", "how", "broods", "chi-square", "mean off by", "width off by"];
    let mut table = Table { head, rows: Vec::new() };
    let mut worst = [0.0_f64; 3];
    let mut drawn = Vec::new();
    for (how, all) in [("counted", &counted), ("followed", &followed)] {
        for it in all {
            let (lean, width) = it.lean_and_width();
            let chi_square = it.chi_square(BINS);
            drawn.push(Ranked { name: it.parameter.clone(), how, bins: it.histogram(BINS) });
            for (worst, found) in worst.iter_mut().zip([chi_square, lean.abs(), width.abs()]) {
                *worst = worst.max(found);
            }
            table.rows.push(vec![
                it.parameter.clone(),
                how.to_owned(),
                it.ranks.len().to_string(),
                format!("{chi_square:.1}"),
                format!("{lean:+.1}"),
                format!("{width:+.1}"),
            ]);
        }
    }
    let demands = vec![
        Demand::within("largest chi-square", worst[0], (0.0, most_squares)),
        Demand::within("mean rank, most standard errors off", worst[1], (0.0, most)),
        Demand::within("width of the ranks, most standard errors off", worst[2], (0.0, most)),
    ];
    let about = format!(
        "Broods are made from what is assumed, by a simulator that shares no code with the engine, and looked at: \
         {BROODS} of 9, 20 and 60 animals counted every two to three days, and {BROODS} of 9, 20 and 40 followed from \
         box to box. If what is learned is right, the rank of the true value among 99 draws is even (Talts et al. \
         2018). Chi-square has 9 degrees of freedom; mean and width are in standard errors of even ranks. The bounds \
         together fail a right program once in a thousand runs."
    );
    Ok((Check { name: "Ranks of what is learned are even", about, table, demands }, drawn))
}

fn merged(
    batch: impl Fn(u64) -> Vec<sbc::Ranks> + Sync,
    what: &str,
    told: Told<'_>,
) -> Result<Vec<sbc::Ranks>> {
    let batches = (BROODS / BATCH) as usize;
    let tell = |done: usize| {
        if done.is_multiple_of(10) {
            told(&format!("ranks, {what}: {} of {BROODS} broods", done as u64 * BATCH));
        }
    };
    let parts = lanes::each(batches, |it| Ok(batch(1 + it as u64)), tell)?;
    let mut all: Vec<sbc::Ranks> = Vec::new();
    for it in parts.into_iter().flatten() {
        match all.iter_mut().find(|known| known.parameter == it.parameter) {
            Some(known) => known.ranks.extend(it.ranks),
            None => all.push(it),
        }
    }
    Ok(all)
}
