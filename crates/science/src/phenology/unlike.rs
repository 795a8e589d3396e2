//! Do the counts look like anything the model expects?
//!
//! Two questions. Does what was learned lie where the assumptions allow it (pace, spread, losses)? And do broods made
//! anew from what was learned give counts like these (a posterior predictive check, Gelman, Meng & Stern 1996)?

use super::model::StageKind;
use super::simulator::Simulator;
use super::stories::{Cohort, SPREAD_SD};
use crate::dice::{Dice, Purpose};

/// In which way what was counted is unlike what the model expects.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unlike {
    /// The brood is far quicker or slower than the assumptions allow.
    Pace,
    /// The animals differ far more among themselves than is assumed.
    Spread,
    /// Far more are missing in a stage than is assumed.
    Losses,
    /// The counts follow each other in a way that no pace and no spread brings about.
    Counts,
    /// More were in an early stage than can have been after what was counted before: nobody goes back.
    Backwards,
}

/// Beyond this many standard deviations of the prior, what was learned is called unlike: one sound brood in 2,000.
const FAR: f64 = 3.5;
/// Runs whose broods are made anew for the predictive check.
const REMADE: usize = 200;
/// A predictive check this rare is told: one sound brood in a hundred or less, because the check looks at data that
/// were used before and is therefore lenient.
const RARE: f64 = 0.01;
/// The same for the shape of animals that a book followed. The instants between the looks follow the model, so that the
/// shares crowd about a half: of 400 sound books one came below this, and the next at 0.175.
const RARE_SHAPE: f64 = 0.1;

impl Simulator<'_> {
    /// Everything in the counts that the model does not expect.
    pub(super) fn unlike(&self) -> Vec<Unlike> {
        let Some(told) = self.told() else { return Vec::new() };
        let (model, runs) = (self.model(), self.ask().runs as usize);
        let mean = |value: &dyn Fn(usize) -> f64| (0..runs).map(value).sum::<f64>() / runs as f64;
        let mut found = Vec::new();
        if self.cohorts().iter().map(|it| it.moved).sum::<u32>() > 0 {
            found.push(Unlike::Backwards);
        }
        let far_off = |stage: usize| {
            let own = model.stages[stage].stage_pace_sd;
            let sd = (model.shared_pace_sd * model.shared_pace_sd + own * own).sqrt();
            mean(&|run| libm::log(told.factor(run)[stage])).abs() > FAR * sd.max(0.01)
        };
        if (0..model.moth()).any(far_off) {
            found.push(Unlike::Pace);
        }
        if mean(&|run| libm::log(told.spread[run])) > FAR * SPREAD_SD * 0.8 {
            found.push(Unlike::Spread);
        }
        let lost = |stage: usize| {
            let prior = model.stages[stage].survival;
            let sd = (prior.mean * (1.0 - prior.mean) / (prior.weight + 1.0)).sqrt();
            let own = mean(&|run| libm::exp(told.log_survival(run)[stage]));
            sd > 0.0 && own < prior.mean - FAR * sd
        };
        if (0..model.moth()).any(lost) {
            found.push(Unlike::Losses);
        }
        let odd_shape = || self.shape_is_usual().is_some_and(|it| it < RARE_SHAPE);
        if found.is_empty() && (self.counts_are_rare() || odd_shape()) {
            found.push(Unlike::Counts);
        }
        found
    }

    /// Are the counts rarer than those of broods made anew from what was learned?
    ///
    /// The measure is the sum over counts and stages of `(seen - expected)^2 / (expected + 1/2)`, expected under the
    /// same run's beliefs; for each run once of the real counts and once of the counts of one brood made anew.
    fn counts_are_rare(&self) -> bool {
        let runs = self.ask().runs as usize;
        let step = (runs / REMADE).max(1);
        let (mut rarer, mut asked) = (0_usize, 0_usize);
        for run in (0..runs).step_by(step) {
            let mut dice = Dice::of(self.ask().seed, Purpose::Story, run as u64, 2);
            let (mut real, mut made) = (0.0, 0.0);
            for cohort in self.cohorts().iter().filter(|it| it.n > 0 && !it.counts.is_empty()) {
                let expected = self.expected(cohort, run, &mut dice);
                let anew = self.made_anew(cohort, run, cohort.n, &mut dice);
                let scale = cohort.n as f64 / POOL as f64;
                for ((seen, anew), expected) in
                    cohort.counts.iter().flat_map(|it| &it.seen).zip(&anew).zip(&expected)
                {
                    let expected = f64::from(*expected) * scale;
                    let off =
                        |n: u32| (f64::from(n) - expected) * (f64::from(n) - expected) / (expected + 0.5);
                    real += off(*seen);
                    made += off(*anew);
                }
            }
            asked += 1;
            rarer += usize::from(made >= real);
        }
        asked >= 50 && (rarer as f64) < RARE * asked as f64
    }

    fn expected(&self, cohort: &Cohort, run: usize, dice: &mut Dice) -> Vec<u32> {
        self.made_anew(cohort, run, POOL, dice)
    }

    /// Counts of a brood made anew under a run's beliefs, stage by stage, count by count.
    fn made_anew(&self, cohort: &Cohort, run: usize, n: usize, dice: &mut Dice) -> Vec<u32> {
        let (model, clocks) = (self.model(), self.clocks());
        let width = model.moth() + 1;
        let mut seen = vec![0; width * cohort.counts.len()];
        let Some(told) = self.told() else { return seen };
        let (factor, log_p) = (told.factor(run), told.log_survival(run));
        let spread: Vec<f64> = model
            .stages
            .iter()
            .map(|it| super::pace::log_variance(it.spread_cv.max(0.003) * told.spread[run]).sqrt())
            .collect();
        let rho = model.rank_correlation;
        let leaning = self.diapause().zip(self.particles().leaning(run));
        for _ in 0..n {
            let (u, female) = (dice.normal(), dice.unit() < model.female_share);
            let mut entry = vec![f64::NAN; width];
            let (mut entered_d, mut count) = (cohort.base_d, 0);
            for stage in cohort.heads[0].stage..width {
                let (mut leaves_d, mut dies_d) = (f64::INFINITY, f64::INFINITY);
                entry[stage] = entered_d;
                if let Some(it) = model.stages.get(stage) {
                    let slow =
                        if female && it.kind == StageKind::Pupa { model.female_pupa_factor } else { 1.0 };
                    let z = rho.sqrt() * u + (1.0 - rho).sqrt() * dice.normal();
                    let need = clocks.need(stage)
                        * factor[stage]
                        * slow
                        * libm::exp(spread[stage] * z - 0.5 * spread[stage] * spread[stage]);
                    let began = clocks.units_at(stage, 0, entered_d);
                    let rests = stage + 1 == model.moth()
                        && match &leaning {
                            // Of one started as a pupa nobody knows the days before: taken at even odds.
                            Some((diapause, it)) => {
                                let share = it.share(&diapause.days_of(&entry));
                                dice.unit() < if share.is_nan() { 0.5 } else { share }
                            }
                            None => model.winter.is_some(),
                        };
                    leaves_d = if rests { f64::INFINITY } else { clocks.when(stage, 0, began + need) };
                    let share = -dice.waiting() / log_p[stage];
                    if share < 1.0 {
                        dies_d = clocks.when(stage, 0, began + need * share);
                    }
                }
                let overlooked = model.stages.get(stage).map_or(0.0, |it| it.overlooked);
                while let Some(it) = cohort.counts.get(count).filter(|it| it.at_d < leaves_d) {
                    if it.at_d < dies_d && dice.unit() >= overlooked {
                        seen[count * width + stage] += 1;
                    }
                    count += 1;
                }
                if count >= cohort.counts.len() || dies_d.is_finite() {
                    break;
                }
                entered_d = leaves_d;
            }
        }
        seen
    }
}

/// Animals that the expected counts of one run are made from.
const POOL: usize = 100;
