//! How many stand in each stage on each morning: cohorts that share nothing but the weather, lived by the million.
//!
//! Two ways to one answer. [`census`] lives every animal and counts, run by run (`walk`, `count`); [`expected`] adds up
//! the chances without any dice (`chances`), and because such animals are independent its counts are exactly binomial.
//! Each judges the other.

mod binomial;
mod chances;
mod count;
mod hours;
mod pieces;
mod walk;

pub use chances::{Expected, expected};
pub use count::{Counts, SHARES};

use super::pace::log_variance;
use super::rate::RateCurve;
use super::threads::in_parts;
use crate::dice::{Dice, Purpose};
use hours::HourClock;
use walk::{Walk, Yard};

/// One stage of a cohort whose needs and chances are known.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortStage {
    /// How fast it develops.
    pub rate: RateCurve,
    /// Units of that rate that an animal needs on average.
    pub need: f64,
    /// Spread of the need among animals, as a coefficient of variation.
    pub spread_cv: f64,
    /// The chance of coming through; who dies does so at any part of the stage alike.
    pub survival: f64,
}

/// A cohort that begins its first stage at once, under known air.
#[derive(Debug, Clone, PartialEq)]
pub struct CohortModel {
    /// The stages before the moth.
    pub stages: Vec<CohortStage>,
    /// How far hurry is one thing in all stages, 0 to 1.
    pub rank_correlation: f64,
    /// Share of males.
    pub male_share: f64,
    /// How much earlier males come out, hours; never before they enter the last stage.
    pub males_earlier_h: f64,
    /// Life of the moths, hours: a gamma distribution with this mean.
    pub moth_mean_h: f64,
    /// Shape of that distribution, 1 or more.
    pub moth_shape: f64,
}

/// What is to be counted, and when.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CensusAsk {
    /// Animals in one cohort.
    pub n: u32,
    /// Cohorts.
    pub runs: u32,
    /// The same seed gives the same counts.
    pub seed: u64,
    /// Threads; the counts do not depend on it.
    pub threads: usize,
    /// The hour of the morning count.
    pub morning_h: f64,
    /// The hour of the evening at which two sexes must be out to pair.
    pub evening_h: f64,
}

/// Why nothing can be counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CensusFault {
    /// A chance outside of 0 to 1, a need that is not positive, or the like.
    #[error("a number of the cohort cannot be used")]
    Model,
    /// No stage, or more than forty.
    #[error("a cohort has between 1 and 40 stages")]
    Stages,
    /// Too little or too much air.
    #[error("the air must be known for between 1 and 4000 whole days, each hour a temperature")]
    Air,
    /// Too few or too many animals or cohorts.
    #[error("a census takes 1 to 30000 animals and 1 to 10 million cohorts")]
    Size,
}

/// Most animals whose counts fit the buffers.
const MOST_ANIMALS: u32 = 30_000;
/// Animals that are lived side by side: their buffers stay in the nearest memory.
const SIDE_BY_SIDE: usize = 1024;
/// Counts that are kept side by side, for the same reason.
const COUNTS_SIDE_BY_SIDE: usize = 32_768;

impl CohortModel {
    fn check(&self, hourly_c: &[f64]) -> Result<(), CensusFault> {
        if !(1..=40).contains(&self.stages.len()) {
            return Err(CensusFault::Stages);
        }
        let days = hourly_c.len() / 24;
        if !(1..=4000).contains(&days) || !hourly_c.iter().all(|it| it.is_finite()) {
            return Err(CensusFault::Air);
        }
        let share = |it: f64| (0.0..=1.0).contains(&it);
        let sound = |it: &CohortStage| {
            let need = it.need.is_finite() && it.need > 0.0;
            need && (0.0..=2.0).contains(&it.spread_cv) && share(it.survival)
        };
        let moths = self.moth_mean_h.is_finite() && self.moth_mean_h > 0.0;
        let shape = self.moth_shape.is_finite() && self.moth_shape >= 1.0;
        let earlier = (0.0..=10_000.0).contains(&self.males_earlier_h);
        let all = self.stages.iter().all(sound) && moths && shape && earlier;
        if all && share(self.rank_correlation) && share(self.male_share) {
            Ok(())
        } else {
            Err(CensusFault::Model)
        }
    }

    /// Standard deviations of the logarithms of the needs.
    fn spread(&self) -> Vec<f64> {
        self.stages.iter().map(|it| log_variance(it.spread_cv).sqrt()).collect()
    }

    fn clocks(&self, hourly_c: &[f64]) -> Vec<HourClock> {
        let clock =
            |it: &CohortStage| HourClock::new(hourly_c.iter().map(|air_c| it.rate.per_day(*air_c) / 24.0));
        self.stages.iter().map(clock).collect()
    }
}

/// Lives many cohorts and counts them on every morning.
///
/// # Formula
/// ```text
/// need of animal i in stage k = K_k exp(-s_k^2/2 + s_k (sqrt(rho) u_i + sqrt(1 - rho) e_ik))
/// it stands in stage k on a morning that lies at or after its entry and before it leaves or dies
/// ```
/// # Units
/// Hours from the beginning of the air; counts in animals.
/// # Holds for
/// Animals that are independent under known air. Those that do not finish within the air stay in their stage.
/// # Errors
/// [`CensusFault`] says what cannot be used.
/// # Checked against
/// The chances of [`expected`], and a separate program by hourly look-up (`tests/census.rs`).
/// # Example
/// ```
/// use science::phenology::{RateCurve, census::*};
/// let rate = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 100.0 };
/// let stages = vec![CohortStage { rate, need: 1.0, spread_cv: 0.0, survival: 0.5 }];
/// let model = CohortModel {
///     stages, rank_correlation: 0.5, male_share: 0.5, males_earlier_h: 0.0, moth_mean_h: 100.0, moth_shape: 6.0,
/// };
/// let ask = CensusAsk { n: 10, runs: 1000, seed: 1, threads: 1, morning_h: 8.0, evening_h: 22.0 };
/// let counts = census(&model, &[20.0; 480], ask)?;
/// // Ten days at ten degrees above the threshold; half come through.
/// assert!((counts.entered_share(1) - 0.5).abs() < 0.02);
/// assert!((counts.entry_mean_d(1) - 10.0).abs() < 1e-3);
/// # Ok::<(), CensusFault>(())
/// ```
pub fn census(model: &CohortModel, hourly_c: &[f64], ask: CensusAsk) -> Result<Counts, CensusFault> {
    model.check(hourly_c)?;
    if !(1..=MOST_ANIMALS).contains(&ask.n) || !(1..=10_000_000).contains(&ask.runs) {
        return Err(CensusFault::Size);
    }
    let clocks = model.clocks(hourly_c);
    let days = hourly_c.len() / 24;
    let walk = Walk::new(model, &clocks, ask, days);
    let (n, runs) = (ask.n as usize, ask.runs as usize);
    let room = COUNTS_SIDE_BY_SIDE / ((model.stages.len() + 1) * (days + 1));
    let together = (SIDE_BY_SIDE / n).min(room).clamp(1, 64);
    // Each block has dice of its own, and everything counted is whole numbers: any number of threads adds up alike.
    let parts = in_parts(runs.div_ceil(together), ask.threads, |blocks| {
        let mut counts = Counts::new(model.stages.len(), ask, days, hourly_c.len());
        let mut yard = Yard::new(&walk, together);
        for block in blocks {
            let mut dice = Dice::of(ask.seed, Purpose::Census, block as u64, 0);
            walk.block(together.min(runs - block * together), &mut dice, &mut yard, &mut counts);
        }
        counts
    });
    let mut parts = parts.into_iter();
    let mut all = parts.next().unwrap_or_else(|| Counts::new(model.stages.len(), ask, days, hourly_c.len()));
    parts.for_each(|it| all.join(&it));
    all.add_up();
    Ok(all)
}
