//! The same without dice: chances added up over the shared hurry, hour by hour, and counts that follow the binomial law.

use super::binomial::quantiles;
use super::hours::HourClock;
use super::{CensusFault, CohortModel, CohortStage, log_variance};
use crate::dice::normal_upper;
use statrs::function::gamma::gamma_lr;

/// Hours that are taken as one instant, their middle.
const CELL_H: usize = 2;
/// Chances below this are left out of further sums.
const NOTHING: f64 = 1e-10;
/// Shared hurries reach so many standard deviations either side of the middle.
const WIDEST: f64 = 4.6;
/// A need lies within so many of its own.
const REACH: f64 = 5.5;
/// Places of a table from nothing done to the longest need.
const PLACES: usize = 2048;

/// The chance to stand in each stage on each morning, and what follows from it for any number of animals.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    days: usize,
    /// For each stage and day.
    here: Vec<f64>,
    /// For each stage the share that enters it within the air, and the mean day of those.
    entered: Vec<(f64, f64)>,
    /// For each evening the chances that an animal is a female, and a male, that is out.
    out: Vec<[f64; 2]>,
}

/// What becomes of an animal in a stage, by the units done since it entered, for the middle shared hurry.
struct Kernel {
    shortest: f64,
    longest: f64,
    per_unit: f64,
    /// Has come through.
    through: Vec<f64>,
    /// Is still there.
    stands: Vec<f64>,
    /// How much one standard deviation of shared hurry stretches all this.
    shared: f64,
}

impl Kernel {
    fn new(it: &CohortStage, rho: f64) -> Kernel {
        let s = log_variance(it.spread_cv).sqrt();
        let (middle, own) = (libm::log(it.need) - 0.5 * s * s, s * (1.0 - rho).sqrt());
        let longest = libm::exp(middle + REACH * own);
        let per_own = if own > 0.0 { 1.0 / own } else { 1e12 };
        let one_over = libm::exp(-middle + 0.5 * own * own);
        let done = |place: usize| longest * place as f64 / PLACES as f64;
        let z = |place: usize| (libm::log(done(place)) - middle) * per_own;
        let through: Vec<f64> = (0..=PLACES).map(|it| normal_upper(-z(it))).collect();
        // An even part of a lognormal need: P(part need <= x) = P(need <= x) + x E[1 / need; need > x].
        let dead = |place: usize| through[place] + done(place) * one_over * normal_upper(z(place) + own);
        let stands = |place: usize| 1.0 - it.survival * through[place] - (1.0 - it.survival) * dead(place);
        let stands = (0..=PLACES).map(|it| if it == 0 { 1.0 } else { stands(it) }).collect();
        let through = through.iter().map(|chance| it.survival * chance).collect();
        let shortest = libm::exp(middle - REACH * own);
        Kernel {
            shortest,
            longest,
            per_unit: PLACES as f64 / longest,
            through,
            stands,
            shared: s * rho.sqrt(),
        }
    }
}

/// Straight between the places of a table.
#[inline]
fn between(table: &[f64], place: f64) -> f64 {
    let low = (place as usize).min(table.len() - 2);
    table[low] + (table[low + 1] - table[low]) * (place - low as f64).min(1.0)
}

/// Adds up the chances of one animal.
///
/// # Formula
/// Given the shared hurry `u` the needs of the stages are independent, so the instants of entry follow stage by stage:
/// `P(through k by t) = sum over entries e of P(e) p_k P(need <= Phi_k(t) - Phi_k(e))`; then `u` is averaged over its
/// bell. Animals that die do so at an even part of their need. `n` independent animals are binomial.
/// # Units
/// Hours of the day; chances.
/// # Holds for
/// What [`super::census`] holds for. Dates are good to a minute or two: they are added up in cells of two hours.
/// # Errors
/// [`CensusFault`] says what cannot be used.
/// # Checked against
/// [`super::census`], each judging the other, and a separate program (`tests/census.rs`).
/// # Example
/// ```
/// use science::phenology::{RateCurve, census::*};
/// let rate = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 100.0 };
/// let stages = vec![CohortStage { rate, need: 1.0, spread_cv: 0.1, survival: 0.5 }];
/// let model = CohortModel {
///     stages, rank_correlation: 0.5, male_share: 0.5, males_earlier_h: 0.0, moth_mean_h: 100.0, moth_shape: 6.0,
/// };
/// let sure = expected(&model, &[20.0; 480], 8.0, 22.0)?;
/// // On the sixth morning more than a quarter have died: of ten days 5.33 have gone, half of them die at an even part.
/// assert!((sure.chance(0, 5) - (1.0 - 0.5 * 5.3333 / 10.0)).abs() < 0.01);
/// assert_eq!(sure.quantiles(10, 0, 0), [9, 10, 10, 10, 10]);
/// # Ok::<(), CensusFault>(())
/// ```
pub fn expected(
    model: &CohortModel,
    hourly_c: &[f64],
    morning_h: f64,
    evening_h: f64,
) -> Result<Expected, CensusFault> {
    model.check(hourly_c)?;
    let clocks = model.clocks(hourly_c);
    let (stages, days, cells) = (model.stages.len(), hourly_c.len() / 24, hourly_c.len() / CELL_H);
    let rho = model.rank_correlation;
    let kernels: Vec<Kernel> = model.stages.iter().map(|it| Kernel::new(it, rho)).collect();
    let mut sum = Sum {
        morning_h,
        days,
        here: vec![0.0; (stages + 1) * days],
        entered: vec![(0.0, 0.0); stages + 1],
        moths: [vec![0.0; cells], vec![0.0; cells]],
    };
    // What is averaged is a bell at least this wide, so that steps a little wider are right to five digits and more.
    let step = (1.5 * ((1.0 - rho) / (rho * stages as f64)).sqrt()).clamp(0.02, 0.44);
    let steps = if rho > 0.0 { (WIDEST / step).ceil() as i32 } else { 0 };
    let density = |it: i32| libm::exp(-0.5 * (f64::from(it) * step).powi(2));
    let whole: f64 = (-steps..=steps).map(density).sum();
    for it in -steps..=steps {
        let (u, weight) = (f64::from(it) * step, density(it) / whole);
        // At the beginning all enter at the instant 0, not somewhere in its cell.
        let mut entries = vec![(0.0, weight)];
        sum.entered[0].0 += weight;
        for (stage, (kernel, clock)) in kernels.iter().zip(&clocks).enumerate() {
            let along = Along { kernel, clock, slow: libm::exp(kernel.shared * u), cells };
            let early = if stage + 1 == stages { model.males_earlier_h } else { 0.0 };
            along.stand(&entries, stage, (early, model.male_share), &mut sum);
            let next = along.leave(&entries, 0.0);
            if stage + 1 == stages {
                let early =
                    (model.males_earlier_h > 0.0).then(|| along.leave(&entries, model.males_earlier_h));
                sum.come_out(&next, 0, 1.0 - model.male_share);
                sum.come_out(early.as_ref().unwrap_or(&next), 1, model.male_share);
            } else {
                for (at_h, chance) in &next {
                    sum.entered[stage + 1].0 += chance;
                    sum.entered[stage + 1].1 += chance * at_h / 24.0;
                }
            }
            entries = next;
        }
    }
    Ok(sum.with_moths(model, evening_h))
}

/// What is added up.
struct Sum {
    morning_h: f64,
    days: usize,
    here: Vec<f64>,
    entered: Vec<(f64, f64)>,
    /// Females and males that come out in each cell.
    moths: [Vec<f64>; 2],
}

/// One stage at one shared hurry.
struct Along<'a> {
    kernel: &'a Kernel,
    clock: &'a HourClock,
    slow: f64,
    cells: usize,
}

impl Along<'_> {
    fn units(&self, at_h: f64) -> f64 {
        between(&self.clock.units, at_h)
    }

    /// Who comes through, by the cells in which they leave; males so much earlier, but never before they entered.
    fn leave(&self, entries: &[(f64, f64)], earlier_h: f64) -> Vec<(f64, f64)> {
        let Some((first_h, _)) = entries.first() else { return Vec::new() };
        let begins = (*first_h / CELL_H as f64) as usize;
        let end_h = (self.clock.units.len() - 1) as f64;
        let boundary = |it: usize| (it * CELL_H) as f64;
        let (longest, per_unit) = (self.kernel.longest * self.slow, self.kernel.per_unit / self.slow);
        let last = entries.last().map_or(0.0, |it| self.units(it.0)) + longest;
        let mut shown: Vec<f64> = Vec::new();
        for it in begins..=self.cells {
            shown.push(self.units((boundary(it) + earlier_h).min(end_h)));
            if shown.last().is_some_and(|it| *it > last) {
                break;
            }
        }
        let mut by = vec![0.0; shown.len()];
        let mut all = vec![0.0; shown.len() + 1];
        let sure = self.kernel.through[PLACES];
        for (at_h, chance) in entries {
            let began = self.units(*at_h);
            // The first boundary at which it may have left, and the first at which it surely has.
            let from = (*at_h / CELL_H as f64).ceil() as usize - begins;
            let from = from.min(shown.len());
            let shortest = self.kernel.shortest * self.slow;
            let from = from + shown[from..].partition_point(|it| it - began < shortest);
            let until = from + shown[from..].partition_point(|it| it - began < longest);
            let (by, shown) = (&mut by[from..until], &shown[from..until]);
            for (by, shown) in by.iter_mut().zip(shown) {
                *by += chance * between(&self.kernel.through, (shown - began) * per_unit);
            }
            all[until] += chance * sure;
        }
        let (mut sure, mut before) = (0.0, 0.0);
        let mut cells = Vec::new();
        for (it, (by, all)) in by.iter().zip(&all).enumerate() {
            sure += all;
            let (now, chance) = (sure + by, sure + by - before);
            before = now;
            if chance > NOTHING {
                // What has left by a boundary left in the cell before it.
                cells.push(((boundary(begins + it) - 0.5 * CELL_H as f64).max(0.0), chance));
            }
        }
        cells
    }

    /// Adds the chance to stand in the stage on each morning; of the males some have left so much earlier.
    fn stand(&self, entries: &[(f64, f64)], stage: usize, (earlier_h, male): (f64, f64), sum: &mut Sum) {
        let Some((first, last)) = entries.first().zip(entries.last()) else { return };
        let (longest, per_unit) = (self.kernel.longest * self.slow, self.kernel.per_unit / self.slow);
        let began: Vec<f64> = entries.iter().map(|it| self.units(it.0)).collect();
        let last = self.units(last.0) + longest;
        let day = |at_h: f64| ((at_h - sum.morning_h) / 24.0).ceil().max(0.0) as usize;
        for day in day(first.0)..sum.days {
            let morning_h = day as f64 * 24.0 + sum.morning_h;
            let shown = self.units(morning_h);
            if shown > last {
                break;
            }
            let gone = began.partition_point(|it| shown - it >= longest);
            let entered = entries.partition_point(|it| it.0 <= morning_h).max(gone);
            let both = entries[gone..entered].iter().zip(&began[gone..entered]);
            let here =
                both.map(|(it, began)| it.1 * between(&self.kernel.stands, (shown - began) * per_unit));
            let mut here = here.sum::<f64>();
            if earlier_h > 0.0 {
                let end_h = (self.clock.units.len() - 1) as f64;
                let soon = self.units((morning_h + earlier_h).min(end_h));
                let through = |done: f64| between(&self.kernel.through, done * per_unit);
                for ((_, chance), began) in entries.iter().zip(&began).take(entered) {
                    here -= male * chance * (through(soon - began) - through(shown - began));
                }
            }
            sum.here[stage * sum.days + day] += here;
        }
    }
}

impl Sum {
    fn come_out(&mut self, entries: &[(f64, f64)], sex: usize, share: f64) {
        let last = self.moths[sex].len().saturating_sub(1);
        for (at_h, chance) in entries {
            self.moths[sex][((at_h / CELL_H as f64) as usize).min(last)] += share * chance;
        }
    }

    fn with_moths(mut self, model: &CohortModel, evening_h: f64) -> Expected {
        let (stages, days) = (model.stages.len(), self.days);
        let rate = model.moth_shape / model.moth_mean_h;
        let lives =
            |hour: usize| if hour == 0 { 1.0 } else { 1.0 - gamma_lr(model.moth_shape, rate * hour as f64) };
        let mut lives_on: Vec<f64> = (0..days * 24 + 2).map(lives).take_while(|it| *it > 1e-9).collect();
        lives_on.extend([0.0, 0.0]);
        let mut out = vec![[0.0; 2]; days];
        for (sex, cells) in self.moths.iter().enumerate() {
            for (cell, chance) in cells.iter().enumerate().filter(|it| *it.1 > 0.0) {
                let at_h = (cell * CELL_H) as f64 + 0.5 * CELL_H as f64;
                self.entered[stages].0 += chance;
                self.entered[stages].1 += chance * at_h / 24.0;
                for (day, out) in out.iter_mut().enumerate().skip((at_h / 24.0) as usize) {
                    let (morning, evening) =
                        (day as f64 * 24.0 + self.morning_h - at_h, day as f64 * 24.0 + evening_h - at_h);
                    if morning > lives_on.len() as f64 {
                        break;
                    }
                    if morning >= 0.0 {
                        self.here[stages * days + day] += chance * between(&lives_on, morning);
                    }
                    if evening >= 0.0 {
                        out[sex] += chance * between(&lives_on, evening);
                    }
                }
            }
        }
        let entered = self.entered.iter().map(|(share, day)| (*share, day / share.max(f64::MIN_POSITIVE)));
        Expected { days, here: self.here, entered: entered.collect(), out }
    }
}

impl Expected {
    /// The chance that an animal stands in a stage on the morning of a day.
    pub fn chance(&self, stage: usize, day: usize) -> f64 {
        self.here[stage * self.days + day].clamp(0.0, 1.0)
    }

    /// Share that enters a stage.
    pub fn entered_share(&self, stage: usize) -> f64 {
        self.entered[stage].0
    }

    /// Mean instant of entry of those that enter a stage, days.
    pub fn entry_mean_d(&self, stage: usize) -> f64 {
        self.entered[stage].1
    }

    /// The chance that of `n` animals a male and a female are out on the evening of a day.
    pub fn pair_share(&self, n: u32, day: usize) -> f64 {
        let [female, male] = self.out[day];
        let none = |chance: f64| (1.0 - chance).max(0.0).powi(n as i32);
        1.0 - none(male) - none(female) + none(male + female)
    }

    /// The counts of `n` animals in a stage on the morning of a day, at the five shares [`super::SHARES`].
    pub fn quantiles(&self, n: u32, stage: usize, day: usize) -> [u32; 5] {
        quantiles(n, self.chance(stage, day))
    }
}
