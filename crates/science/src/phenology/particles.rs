//! What the runs assume of the brood: paces drawn from belief, kept in proportion to how well they fit.

use super::brood::{CameOut, Group, Living};
use super::clocks::Clocks;
use super::diapause::Leaning;
use super::model::{BroodModel, Sex, StageKind};
use super::pace::{PaceBelief, log_variance};
use super::stories::{Cohort, Told};
use super::threads::in_parts;
use super::winter::Spring;
use crate::dice::{Dice, Purpose, normal_upper};

/// What the chosen runs assume.
#[derive(Debug, Clone)]
pub(super) struct Particles {
    stages: usize,
    /// `exp(g + h_k)`, stage by stage, run by run.
    factors: Vec<f64>,
    springs: Vec<Option<Spring>>,
    leanings: Vec<Option<Leaning>>,
    /// How many equally good runs the choice is worth.
    pub(super) effective: f64,
    /// Whether anything that was seen had a say.
    pub(super) informed: bool,
}

/// Paces drawn for every run that is kept, where something was seen.
const DRAWN_PER_RUN: usize = 2;
/// The same where it is open how many pupae rest: pupae that wait tell much of that.
const DRAWN_PER_RUN_RESTING: usize = 8;

/// Springs drawn for each run whose pace was learned from counts; one of them is kept.
const SPRINGS_PER_RUN: usize = 24;

/// One thread's part of the draws.
#[derive(Default)]
struct Drawn {
    factors: Vec<f64>,
    springs: Vec<Option<Spring>>,
    leanings: Vec<Option<Leaning>>,
    log_weight: Vec<f64>,
}

/// What all draws are judged by.
pub(super) struct Evidence<'a> {
    pub(super) model: &'a BroodModel,
    pub(super) clocks: &'a Clocks,
    pub(super) living: &'a Living,
    pub(super) belief: &'a PaceBelief,
}

impl Particles {
    /// Draws paces, weighs them by what is alive, and keeps `runs` of them by systematic resampling.
    pub(super) fn new(evidence: &Evidence<'_>, runs: usize, seed: u64, threads: usize) -> Particles {
        let informed = evidence.has_a_say();
        let open = evidence.living.resting.as_ref().is_some_and(|it| it.is_open());
        let per_run = if open { DRAWN_PER_RUN_RESTING } else { DRAWN_PER_RUN };
        let draws = if informed { runs * per_run } else { runs };
        let parts = in_parts(draws, threads, |range| {
            let mut drawn = Drawn::default();
            for particle in range {
                evidence.draw(particle, seed, &mut drawn);
            }
            drawn
        });
        let mut all = Drawn::default();
        for part in parts {
            all.factors.extend(part.factors);
            all.springs.extend(part.springs);
            all.leanings.extend(part.leanings);
            all.log_weight.extend(part.log_weight);
        }
        let stages = evidence.model.stages.len();
        if !informed {
            let Drawn { factors, springs, leanings, .. } = all;
            return Particles { stages, factors, springs, leanings, effective: runs as f64, informed };
        }
        let (chosen, effective) = choose(&all.log_weight, runs, seed);
        Particles {
            stages,
            factors: chosen
                .iter()
                .flat_map(|it| all.factors[it * stages..(it + 1) * stages].iter().copied())
                .collect(),
            springs: chosen.iter().map(|it| all.springs[*it]).collect(),
            leanings: chosen.iter().map(|it| all.leanings[*it]).collect(),
            effective,
            informed,
        }
    }

    /// Runs whose pace was learned from counts; what is left to draw is the spring.
    pub(super) fn told(evidence: &Evidence<'_>, told: &Told, cohorts: &[Cohort], seed: u64) -> Particles {
        let pupa = evidence.model.stages.len() - 1;
        let mut number = 0;
        let mut told_of: Vec<(usize, f64)> = Vec::new();
        for it in cohorts {
            let here = it.tails.iter().enumerate().filter(|(_, tail)| tail.here);
            told_of.extend(here.map(|(place, _)| (number + place, it.last_d())));
            number += it.n;
        }
        let runs = told.spread.len();
        let spring = |run: usize| {
            let winter = evidence.model.winter.as_ref()?;
            let mut dice = Dice::of(seed, Purpose::Pace, run as u64, 0);
            let springs: Vec<Spring> = (0..SPRINGS_PER_RUN).map(|_| winter.spring(&mut dice)).collect();
            let factor = told.factor(run);
            let mut lasts: Vec<(u32, f64)> = Vec::new();
            for (animal, last_d) in &told_of {
                let life = told.life(run, *animal);
                if usize::from(life.stage) != pupa || !life.died.is_nan() {
                    continue;
                }
                match lasts.last_mut() {
                    Some((n, seen_d)) if (*seen_d - *last_d).abs() < 1e-9 => *n += 1,
                    _ => lasts.push((1, *last_d)),
                }
            }
            let fit = |spring: &Spring| {
                let (model, clocks, living) = (evidence.model, evidence.clocks, evidence.living);
                let resting = still_waiting(model, clocks, living, factor, Some(spring));
                let watched = |(n, seen_d): &(u32, f64)| {
                    f64::from(*n) * winter.log_still_in(spring, None, model.female_share, *seen_d)
                };
                resting + lasts.iter().map(watched).sum::<f64>() + evidence.log_came_out(spring)
            };
            let log_weight: Vec<f64> = springs.iter().map(fit).collect();
            let best = log_weight.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let sums: f64 = log_weight.iter().map(|it| libm::exp(it - best)).sum();
            let mut pick = dice.unit() * sums;
            let chosen = log_weight.iter().position(|it| {
                pick -= libm::exp(it - best);
                pick < 0.0
            });
            springs.get(chosen.unwrap_or(0)).copied()
        };
        let stages = evidence.model.stages.len();
        let mut springs: Vec<Option<Spring>> = (0..runs).map(spring).collect();
        let mut leanings = vec![None; runs];
        for run in 0..runs {
            if let Some((spring, leaning)) = evidence.rest_told(told, cohorts, run, seed) {
                (springs[run], leanings[run]) = (Some(spring), Some(leaning));
            }
        }
        Particles {
            stages,
            factors: told.factors.clone(),
            springs,
            leanings,
            effective: told.worth(told.lowest_stage(cohorts)),
            informed: true,
        }
    }

    pub(super) fn factor(&self, run: usize) -> &[f64] {
        &self.factors[run * self.stages..(run + 1) * self.stages]
    }

    pub(super) fn spring(&self, run: usize) -> Option<Spring> {
        self.springs.get(run).copied().flatten()
    }

    pub(super) fn leaning(&self, run: usize) -> Option<Leaning> {
        self.leanings.get(run).copied().flatten()
    }
}

/// Systematic resampling: one random number, `runs` equal steps through the weights.
///
/// The chosen are scattered over the runs, so that any first part of the runs is a fair sample too.
fn choose(log_weight: &[f64], runs: usize, seed: u64) -> (Vec<usize>, f64) {
    let best = log_weight.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let weight: Vec<f64> = log_weight.iter().map(|it| libm::exp(it - best)).collect();
    let sum: f64 = weight.iter().sum();
    let squares: f64 = weight.iter().map(|it| it * it).sum();
    let effective = (sum * sum / squares).min(runs as f64);
    let mut dice = Dice::of(seed, Purpose::Choice, 0, 0);
    let step = sum / runs as f64;
    let mut target = dice.unit() * step;
    let (mut place, mut so_far) = (0, weight.first().copied().unwrap_or(0.0));
    let mut chosen = Vec::with_capacity(runs);
    for _ in 0..runs {
        while so_far < target && place + 1 < weight.len() {
            place += 1;
            so_far += weight[place];
        }
        chosen.push(place);
        target += step;
    }
    for last in (1..chosen.len()).rev() {
        chosen.swap(last, dice.below(last + 1));
    }
    (chosen, effective)
}

impl Evidence<'_> {
    /// Does anything that was seen tell one pace from another?
    fn has_a_say(&self) -> bool {
        let asof_d = self.clocks.asof_d();
        let waiting = self.living.groups.iter().any(|it| {
            let (window, seen_d) = it.known.waiting(asof_d);
            it.n > 0 && it.stage < self.model.moth() && window.earliest_d < seen_d
        });
        waiting || (self.winter().is_some() && !self.living.came_out.is_empty())
    }

    fn draw(&self, particle: usize, seed: u64, drawn: &mut Drawn) {
        let mut dice = Dice::of(seed, Purpose::Pace, particle as u64, 0);
        let begins = drawn.factors.len();
        self.belief.draw(&mut dice, &mut drawn.factors);
        let spring = self.winter().map(|it| it.spring(&mut dice));
        let leaning = self
            .living
            .resting
            .as_ref()
            .map(|it| it.leaning(&mut Dice::of(seed, Purpose::Rest, particle as u64, u64::MAX)));
        let factor = &drawn.factors[begins..];
        let mut log_weight = still_waiting(self.model, self.clocks, self.living, factor, spring.as_ref());
        if let Some(spring) = &spring {
            log_weight += self.log_came_out(spring);
            log_weight += leaning.map_or(0.0, |it| self.log_resting(factor, spring, &it));
        }
        drawn.leanings.push(leaning);
        drawn.springs.push(spring);
        drawn.log_weight.push(log_weight);
    }

    /// Log of the chance of the moths that came out when they did.
    fn log_came_out(&self, spring: &Spring) -> f64 {
        let Some(winter) = &self.model.winter else { return 0.0 };
        let came = |it: &CameOut| winter.log_came_out(spring, it.sex, self.model.female_share, it.at_d);
        self.living.came_out.iter().map(came).sum()
    }
}

/// Log of the chance that all groups of which the entry is known were still in their stage when last looked at.
pub(super) fn still_waiting(
    model: &BroodModel,
    clocks: &Clocks,
    living: &Living,
    factor: &[f64],
    spring: Option<&Spring>,
) -> f64 {
    let waits = |it: &Group| f64::from(it.n) * log_still_waiting(model, clocks, living, it, factor, spring);
    living.groups.iter().map(waits).sum()
}

/// Log of the chance that an animal which entered its stage in a window was still in it when last looked at.
///
/// Left out where a passage of the same stage already told what the stage's pace is: its censored mean
/// counts those that wait.
fn log_still_waiting(
    model: &BroodModel,
    clocks: &Clocks,
    living: &Living,
    group: &Group,
    factor: &[f64],
    spring: Option<&Spring>,
) -> f64 {
    let (_, seen_d) = group.known.waiting(clocks.asof_d());
    let Some(stage) = model.stages.get(group.stage) else { return 0.0 };
    if let (Some(winter), StageKind::Pupa) = (&model.winter, stage.kind) {
        return spring.map_or(0.0, |it| winter.log_still_in(it, group.sex, model.female_share, seen_d));
    }
    if living.resting.is_some() && group.stage + 1 == model.stages.len() {
        // One that may rest is weighed with the brood's leaning.
        return 0.0;
    }
    if living.passed.iter().any(|it| it.stage == group.stage) {
        return 0.0;
    }
    libm::log(still_in(model, clocks, group, factor).max(1e-6))
}

/// The chance that an animal which entered its stage in a window was still in it when last looked at, by the clock.
pub(super) fn still_in(model: &BroodModel, clocks: &Clocks, group: &Group, factor: &[f64]) -> f64 {
    let (window, seen_d) = group.known.waiting(clocks.asof_d());
    let Some(stage) = model.stages.get(group.stage) else { return 1.0 };
    let female_share = match group.sex {
        Some(Sex::Female) => 1.0,
        Some(Sex::Male) => 0.0,
        None => model.female_share,
    };
    let slow = if stage.kind == StageKind::Pupa { model.female_pupa_factor } else { 1.0 };
    let variance = log_variance(stage.spread_cv);
    let now = clocks.units_at(group.stage, 0, seen_d);
    let latest_d = window.latest_d.min(seen_d);
    // Three equal slices of the window are enough: it is a day at most in practice, and the chance is smooth.
    let chance = [1.0, 3.0, 5.0].iter().map(|part| {
        let entered_d = window.earliest_d + (latest_d - window.earliest_d) * part / 6.0;
        let done = (now - clocks.units_at(group.stage, 0, entered_d)).max(0.0);
        let need = clocks.need(group.stage) * factor[group.stage];
        let later = |need: f64| later_than(done / need, variance);
        female_share * later(need * slow) + (1.0 - female_share) * later(need)
    });
    chance.sum::<f64>() / 3.0
}

/// The chance that a lognormal number with mean 1 lies above `share`.
pub(super) fn later_than(share: f64, variance: f64) -> f64 {
    if share <= 0.0 {
        1.0
    } else if variance > 0.0 {
        normal_upper((libm::log(share) + 0.5 * variance) / variance.sqrt())
    } else if share < 1.0 {
        1.0
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_choice_follows_the_weights() {
        let log_weight: Vec<f64> = [1.0_f64, 2.0, 3.0, 4.0].iter().map(|it| it.ln()).collect();
        let (chosen, effective) = choose(&log_weight, 1000, 5);
        for (place, expect) in [100.0, 200.0, 300.0, 400.0].iter().enumerate() {
            let n = chosen.iter().filter(|it| **it == place).count() as f64;
            assert!((n - expect).abs() <= 1.0, "systematic resampling is off by less than one: {n} {expect}");
        }
        assert!((effective - 100.0 / 30.0).abs() < 1e-9);
    }
}
