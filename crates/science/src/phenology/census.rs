//! Hidden ages: animals of which only the start of the brood and one count are known.
//!
//! A shared pool of candidates is led from the start to the count under a run's pace. Those that stand in the
//! counted stage are what a living animal may be; how many of them there are says how well the pace fits.

use super::brood::{Known, Living};
use super::clocks::Clocks;
use super::model::{BroodModel, StageKind};
use super::pace::log_variance;
use crate::dice::{Dice, Purpose, inverse_normal};

/// Candidates in the pool: enough that the fit of a pace is smooth, few enough that a forecast stays quick.
const CANDIDATES: usize = 96;

/// The pool: who could be alive, apart from the pace of the brood.
#[derive(Debug, Clone)]
pub(super) struct Pool {
    stages: usize,
    /// For each candidate and stage: the need as a multiple of the middle animal's.
    x: Vec<f64>,
    /// For each candidate: what makes it slow or quick in all stages.
    u: Vec<f64>,
    female: Vec<bool>,
}

/// Where a candidate stands at a count.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    /// Its stage; one past the last is the moth.
    pub(super) stage: usize,
    /// The share of the stage that it has done.
    pub(super) done: f64,
}

impl Pool {
    /// Quasi-random candidates: in every direction evenly spread over the normal distribution.
    pub(super) fn new(model: &BroodModel, seed: u64) -> Pool {
        let stages = model.stages.len();
        let column = |direction: usize| {
            let mut order: Vec<usize> = (0..CANDIDATES).collect();
            let mut dice = Dice::of(seed, Purpose::Candidate, 0, direction as u64);
            for last in (1..CANDIDATES).rev() {
                order.swap(last, dice.below(last + 1));
            }
            order
        };
        let normal = |slice: usize| inverse_normal((slice as f64 + 0.5) / CANDIDATES as f64);
        let u: Vec<f64> = column(0).iter().map(|it| normal(*it)).collect();
        let columns: Vec<Vec<usize>> = (1..=stages).map(column).collect();
        let sexes = column(stages + 1);
        let rho = model.rank_correlation;
        let mut x = Vec::with_capacity(CANDIDATES * stages);
        for candidate in 0..CANDIDATES {
            for (it, column) in model.stages.iter().zip(&columns) {
                let variance = log_variance(it.spread_cv);
                let z = rho.sqrt() * u[candidate] + (1.0 - rho).sqrt() * normal(column[candidate]);
                x.push(libm::exp(variance.sqrt() * z - 0.5 * variance));
            }
        }
        let female =
            sexes.iter().map(|it| (*it as f64 + 0.5) < model.female_share * CANDIDATES as f64).collect();
        Pool { stages, x, u, female }
    }

    pub(super) fn u(&self, candidate: usize) -> f64 {
        self.u[candidate]
    }

    pub(super) fn is_female(&self, candidate: usize) -> bool {
        self.female[candidate]
    }

    /// The units that a candidate needs for a stage under a pace.
    pub(super) fn need(
        &self,
        model: &BroodModel,
        clocks: &Clocks,
        factor: &[f64],
        candidate: usize,
        stage: usize,
    ) -> f64 {
        let sex = match model.stages[stage].kind {
            StageKind::Pupa if self.female[candidate] => model.female_pupa_factor,
            _ => 1.0,
        };
        clocks.need(stage) * factor[stage] * self.x[candidate * self.stages + stage] * sex
    }

    /// Leads a candidate from the start to a count; `entry` receives the instants at which it entered stages.
    pub(super) fn lead(&self, to: &Journey<'_>, candidate: usize, entry: &mut [f64]) -> Place {
        let mut at_d = to.started_d;
        for (stage, entered_d) in entry.iter_mut().enumerate().take(self.stages).skip(to.started_stage) {
            *entered_d = at_d;
            let began = to.clocks.units_at(stage, 0, at_d);
            let need = self.need(to.model, to.clocks, to.factor, candidate, stage);
            let resting = to.model.winter.is_some() && stage + 1 == self.stages;
            let done_d = if resting { f64::INFINITY } else { to.clocks.when(stage, 0, began + need) };
            if done_d > to.until_d {
                let done = (to.clocks.units_at(stage, 0, to.until_d) - began) / need;
                return Place { stage, done: done.clamp(0.0, 1.0) };
            }
            at_d = done_d;
        }
        entry[self.stages] = at_d;
        Place { stage: self.stages, done: 0.0 }
    }
}

/// From where to where a candidate is led.
#[derive(Clone, Copy)]
pub(super) struct Journey<'a> {
    pub(super) model: &'a BroodModel,
    pub(super) clocks: &'a Clocks,
    pub(super) factor: &'a [f64],
    pub(super) started_stage: usize,
    pub(super) started_d: f64,
    pub(super) until_d: f64,
}

/// One count of animals that were started together.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Census {
    pub(super) started_stage: usize,
    pub(super) started_d: f64,
    pub(super) at_d: f64,
    /// How many were seen in each stage, the moth last.
    pub(super) seen: Vec<u32>,
}

impl Census {
    /// All counts in a state of the book; groups of the same start and instant are one count.
    pub(super) fn all(living: &Living, stages: usize) -> Vec<Census> {
        let mut found: Vec<Census> = Vec::new();
        let mut note = |at_d: f64, started_d: f64, started_stage: usize, seen: Option<(usize, u32)>| {
            let at = found.iter().position(|it| it.is(at_d, started_d, started_stage)).unwrap_or_else(|| {
                found.push(Census { started_stage, started_d, at_d, seen: vec![0; stages + 1] });
                found.len() - 1
            });
            if let Some((stage, n)) = seen {
                found[at].seen[stage] += n;
            }
        };
        let own = living.groups.iter().map(|it| (it, true));
        for (it, counts) in own.chain(living.spare.iter().map(|it| (it, false))) {
            if let Known::SeenAt { at_d, started_d, started_stage } = it.known {
                note(at_d, started_d, started_stage, counts.then_some((it.stage, it.n)));
            }
        }
        for it in &living.unaccounted {
            note(it.at_d, it.started_d, it.started_stage, None);
        }
        found
    }

    pub(super) fn is(&self, at_d: f64, started_d: f64, started_stage: usize) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        near(self.at_d, at_d) && near(self.started_d, started_d) && self.started_stage == started_stage
    }

    pub(super) fn journey<'a>(
        &self,
        model: &'a BroodModel,
        clocks: &'a Clocks,
        factor: &'a [f64],
    ) -> Journey<'a> {
        let (started_stage, started_d, until_d) = (self.started_stage, self.started_d, self.at_d);
        Journey { model, clocks, factor, started_stage, started_d, until_d }
    }

    /// The chance, before death in the current stage is drawn, that a candidate standing there still lives.
    pub(super) fn lives(&self, model: &BroodModel, place: Place) -> f64 {
        let passed = model.stages.iter().take(place.stage).skip(self.started_stage);
        let through: f64 = passed.map(|it| it.survival.mean).product();
        let here = model.stages.get(place.stage).map_or(1.0, |it| libm::pow(it.survival.mean, place.done));
        through * here
    }

    /// Leads all candidates under a pace; the log of the chance of the counts given that these animals were
    /// seen alive, and each candidate's stage appended to `stands`.
    ///
    /// A candidate counts by its chance to be alive and not overlooked. Every stage gets a fifth of a candidate
    /// for nothing, so that a straggler that no candidate resembles does not rule a pace out.
    pub(super) fn fit(&self, pool: &Pool, to: &Journey<'_>, stands: &mut Vec<u8>, entry: &mut [f64]) -> f64 {
        let mut weight = vec![0.0; self.seen.len()];
        for candidate in 0..CANDIDATES {
            let place = pool.lead(to, candidate, entry);
            let overlooked = to.model.stages.get(place.stage).map_or(0.0, |it| it.overlooked);
            weight[place.stage] += self.lives(to.model, place) * (1.0 - overlooked);
            stands.push(place.stage as u8);
        }
        let sum: f64 = weight.iter().sum();
        if sum <= 0.0 {
            return -1e3;
        }
        let gift = 0.2 / CANDIDATES as f64;
        let all = 1.0 + gift * weight.len() as f64;
        let part = |(seen, weight): (&u32, &f64)| match seen {
            0 => 0.0,
            n => f64::from(*n) * libm::log((weight / sum + gift) / all),
        };
        self.seen.iter().zip(&weight).map(part).sum()
    }
}

/// Where every candidate stands, arranged so that one in a given stage is found at once.
#[derive(Debug, Clone, Default)]
pub(super) struct Stands {
    order: Vec<u8>,
    begins: Vec<usize>,
}

impl Stands {
    pub(super) fn arrange(&mut self, stands: &[u8], stages: usize) {
        self.order.clear();
        self.begins.clear();
        for stage in 0..=stages {
            self.begins.push(self.order.len());
            let here = stands.iter().enumerate().filter(|(_, it)| usize::from(**it) == stage);
            self.order.extend(here.map(|(candidate, _)| candidate as u8));
        }
        self.begins.push(self.order.len());
    }

    /// The candidates that stand in a stage.
    pub(super) fn within(&self, stage: usize) -> &[u8] {
        &self.order[self.begins[stage]..self.begins[stage + 1]]
    }
}

/// The chance that an animal which was started and not seen is alive, and the candidates' part in it.
pub(super) struct Hidden {
    /// Chance of being alive and overlooked.
    pub(super) alive: f64,
    /// Running sums over the candidates, ending at `alive`'s share of the whole.
    sums: Vec<f64>,
}

impl Hidden {
    pub(super) fn new(census: &Census, pool: &Pool, to: &Journey<'_>, entry: &mut [f64]) -> Hidden {
        let (mut overlooked, mut dead) = (0.0, 0.0);
        let mut sums = Vec::with_capacity(CANDIDATES);
        for candidate in 0..CANDIDATES {
            let place = pool.lead(to, candidate, entry);
            let lives = census.lives(to.model, place);
            overlooked += lives * to.model.stages.get(place.stage).map_or(0.0, |it| it.overlooked);
            dead += 1.0 - lives;
            sums.push(overlooked);
        }
        let all = overlooked + dead;
        Hidden { alive: if all > 0.0 { overlooked / all } else { 0.0 }, sums }
    }

    /// A candidate, picked by its chance of being alive and overlooked.
    pub(super) fn pick(&self, dice: &mut Dice) -> usize {
        let target = dice.unit() * self.sums.last().copied().unwrap_or(0.0);
        self.sums.partition_point(|it| *it < target).min(self.sums.len().saturating_sub(1))
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{constant_room, plain_model};
    use super::*;

    /// At a constant temperature, without spread, everybody stands where division says.
    #[test]
    fn candidates_stand_where_the_arithmetic_says() {
        let model = plain_model(4);
        let clocks = constant_room(&model, 0.0, 30.0, 20.0);
        let pool = Pool::new(&model, 1);
        let factor = [1.0; 4];
        let census = Census { started_stage: 0, started_d: 0.0, at_d: 12.0, seen: vec![0, 0, 9, 0, 0] };
        let mut entry = [f64::NAN; 5];
        let place = pool.lead(&census.journey(&model, &clocks, &factor), 7, &mut entry);
        assert_eq!(place.stage, 2);
        assert!((place.done - 0.4).abs() < 1e-9);
        assert!((entry[1] - 5.0).abs() < 1e-9 && (entry[2] - 10.0).abs() < 1e-9);
    }

    /// A pace that puts the animals where they were seen beats one that does not.
    #[test]
    fn the_right_pace_fits_best() {
        let mut model = plain_model(4);
        model.stages.iter_mut().for_each(|it| it.spread_cv = 0.1);
        let clocks = constant_room(&model, 0.0, 30.0, 20.0);
        let pool = Pool::new(&model, 1);
        let census = Census { started_stage: 0, started_d: 0.0, at_d: 15.0, seen: vec![0, 0, 10, 10, 0] };
        let fit = |factor: f64| {
            let factors = [factor; 4];
            let to = census.journey(&model, &clocks, &factors);
            census.fit(&pool, &to, &mut Vec::new(), &mut [f64::NAN; 5])
        };
        assert!(fit(1.0) > fit(0.9) && fit(1.0) > fit(1.1));
        assert!(fit(2.0) < fit(1.1) - 20.0);
    }

    #[test]
    fn the_pool_is_even_in_every_direction() {
        let mut model = plain_model(3);
        model.stages.iter_mut().for_each(|it| it.spread_cv = 0.2);
        let pool = Pool::new(&model, 3);
        let n = CANDIDATES as f64;
        assert!(pool.u.iter().sum::<f64>().abs() < 1e-9);
        let females = pool.female.iter().filter(|it| **it).count() as f64;
        assert!((females / n - 0.5).abs() < 0.01);
        for stage in 0..3 {
            let mean = pool.x.iter().skip(stage).step_by(3).sum::<f64>() / n;
            // The two directions of the sum are shuffled against each other, so a little noise is left.
            assert!((mean - 1.0).abs() < 0.04, "{mean}");
        }
    }
}
