//! Moves of what is believed of the brood, given the stories: pace, spread, survival.

use super::super::gaussian::Cholesky;
use super::chain::{Brood, Chain, Fit, NEVER, SPREAD_SD, Stretch};
use super::moves::taken;

/// How an animal's story ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum End {
    /// It lived at the last count.
    Lives,
    /// It died before: in which stage, after which share of it, and when.
    Died { stage: usize, share: f64, at_d: f64 },
    /// It left the house alive before: in which stage, and after which share of it.
    Left { stage: usize, share: f64 },
}

impl Chain<'_> {
    /// Log of the chance of what else is known of the brood: groups that still wait.
    pub(super) fn others(&self, brood: &Brood) -> f64 {
        let factor: Vec<f64> = if self.given.living.groups.is_empty() {
            return 0.0;
        } else {
            brood.m.iter().map(|it| libm::exp(*it)).collect()
        };
        super::super::particles::still_waiting(
            self.given.model,
            self.given.clocks,
            self.given.living,
            &factor,
            None,
        )
    }

    /// Takes over new beliefs if their ratio allows it.
    fn judge(&mut self, mut brood: Brood, mut ratio: f64, quadratic: bool, fits: &mut Vec<Fit>) -> bool {
        self.derive(&mut brood);
        fits.clear();
        for animal in 0..self.animals.len() {
            let old = self.animals[animal].fit;
            let fit = self.fit(&brood, animal);
            ratio += if quadratic {
                self.times(animal, &fit) - self.times(animal, &old)
            } else {
                fit.wait - old.wait
            };
            fits.push(fit);
        }
        ratio += self.others(&brood) - self.others(&self.brood);
        if !taken(&mut self.dice, ratio) {
            return false;
        }
        self.brood = brood;
        for (it, fit) in self.animals.iter_mut().zip(fits.iter()) {
            it.fit = *fit;
        }
        true
    }

    /// Draws the pace from its exact normal distribution given the stages that animals have left, and takes it
    /// with the chance of what still waits. `keep` is the part of the old pace that stays.
    pub(super) fn move_pace(&mut self, keep: f64, fits: &mut Vec<Fit>) {
        let (precision, pull) = self.pace_given_stories();
        let Some(root) = Cholesky::of(&precision) else { return };
        let mean = root.solve(&pull);
        let z: Vec<f64> = (0..self.stages).map(|_| self.dice.normal()).collect();
        let step = root.spread_inverse(&z);
        let mut brood = self.brood.clone();
        let new = (1.0 - keep * keep).sqrt();
        for ((m, mean), step) in brood.m.iter_mut().zip(&mean).zip(&step) {
            *m = mean + keep * (*m - mean) + new * step;
        }
        self.judge(brood, 0.0, false, fits);
    }

    /// Precision matrix of the pace and its product with the mean.
    fn pace_given_stories(&self) -> (Vec<Vec<f64>>, Vec<f64>) {
        let (mut precision, mut pull) = self.given.belief.information();
        let s = &self.brood.s;
        let mut like = vec![0_u32; (self.stages + 1) * (self.stages + 1)];
        let mut y = vec![0.0; self.stages];
        let scale = 1.0 / (1.0 - self.rho);
        for animal in 0..self.animals.len() {
            let started = self.started(animal);
            let (row, left) = (self.row(animal), self.left(animal));
            let female = self.animals[animal].female;
            let mut sum = 0.0;
            for stage in started..started + left {
                // The standardised need without the pace.
                y[stage] = self.z(&self.brood, stage, female, self.log_units[row + stage])
                    + self.brood.m[stage] / s[stage];
                sum += y[stage];
            }
            for stage in started..started + left {
                pull[stage] += (y[stage] - self.pull[left] * sum) / s[stage] * scale;
            }
            like[started * (self.stages + 1) + left] += 1;
        }
        for (place, n) in like.iter().enumerate().filter(|(_, n)| **n > 0) {
            let (started, left) = (place / (self.stages + 1), place % (self.stages + 1));
            for j in started..started + left {
                for k in started..started + left {
                    let own = if j == k { 1.0 } else { 0.0 };
                    precision[j][k] += f64::from(*n) * (own - self.pull[left]) / (s[j] * s[k]) * scale;
                }
            }
        }
        (precision, pull)
    }

    /// Moves the spread among animals.
    pub(super) fn move_spread(&mut self, fits: &mut Vec<Fit>) {
        let mut brood = self.brood.clone();
        let left: usize = (0..self.animals.len()).map(|it| self.left(it)).sum();
        let step = 2.0 / (2.0 * left as f64 + 1.0 / (SPREAD_SD * SPREAD_SD)).sqrt();
        brood.omega += step * self.dice.normal();
        if brood.omega.abs() > 3.0 {
            return;
        }
        let before = self.brood.omega;
        let mut ratio = 0.5 * (before * before - brood.omega * brood.omega) / (SPREAD_SD * SPREAD_SD);
        self.derive(&mut brood);
        let mut passed = vec![0_u32; self.stages];
        for animal in 0..self.animals.len() {
            let started = self.started(animal);
            passed[started..started + self.left(animal)].iter_mut().for_each(|it| *it += 1);
        }
        for ((n, old), new) in passed.iter().zip(&self.brood.s).zip(&brood.s) {
            ratio += f64::from(*n) * libm::log(old / new);
        }
        self.judge(brood, ratio, true, fits);
    }

    /// Draws the survival of each stage, given who lived how long and who died.
    pub(super) fn move_survival(&mut self) {
        let mut exposed = vec![0.0; self.stages];
        let mut died = vec![0.0; self.stages];
        for animal in 0..self.animals.len() {
            let started = self.started(animal);
            let (until, share) = match self.end_of(animal) {
                End::Lives => {
                    let cur = usize::from(self.animals[animal].cur);
                    let row = self.row(animal);
                    let share = if cur < self.stages {
                        self.share_done(animal, cur, self.log_units[row + cur])
                    } else {
                        0.0
                    };
                    (cur, share)
                }
                End::Died { stage, share, .. } => {
                    died[stage] += 1.0;
                    (stage, share)
                }
                End::Left { stage, share } => (stage, share),
            };
            exposed[started..until].iter_mut().for_each(|it| *it += 1.0);
            if until < self.stages {
                exposed[until] += share;
            }
            if started < self.stages {
                exposed[started] -= self.spared(animal);
            }
        }
        for stage in 0..self.stages {
            let prior = self.given.model.stages[stage].survival;
            if prior.mean >= 1.0 || prior.mean <= 0.0 || prior.weight.is_infinite() {
                continue;
            }
            let (yes, no) =
                (prior.mean * prior.weight + exposed[stage], (1.0 - prior.mean) * prior.weight + died[stage]);
            let new = self.dice.beta(yes / (yes + no), yes + no).clamp(NEVER, 1.0 - NEVER);
            let old = libm::exp(self.brood.log_p[stage]);
            // Deaths come by a hazard over the stage: `-log p` each, where the beta draw has `1 - p`.
            let weight = |p: f64| libm::log(-libm::log(p) / (1.0 - p));
            if taken(&mut self.dice, died[stage] * (weight(new) - weight(old))) {
                self.brood.log_p[stage] = libm::log(new);
            }
        }
        for animal in 0..self.animals.len() {
            self.animals[animal].sight = self.sight(animal);
        }
    }

    /// Draws how an animal's story ends, given at which counts it was seen.
    pub(super) fn end_of(&mut self, animal: usize) -> End {
        if self.seen_last(animal) {
            return End::Lives;
        }
        let seen_to = usize::from(self.animals[animal].seen_to);
        let alive = if seen_to == 0 { 0.0 } else { self.lived(animal, seen_to - 1) };
        let (mut total, mut still) = (0.0, 1.0);
        self.deaths(animal, alive, |it| {
            total += it.dies;
            still = it.lives;
        });
        let mut pick = self.dice.unit() * (total + still);
        let mut found = None;
        self.deaths(animal, alive, |it| {
            pick -= it.dies;
            if pick < 0.0 && found.is_none() {
                found = Some(it);
            }
        });
        match (found, self.left_by(animal)) {
            (Some(stretch), _) => self.dies_within(animal, stretch),
            (None, Some(look)) => {
                let stage = usize::from(self.at[animal * self.counts + look]);
                let at_d = self.cohort(animal).looks_d[look];
                let share = if stage < self.stages { self.part_done(animal, stage, at_d) } else { 0.0 };
                End::Left { stage, share }
            }
            (None, None) => End::Lives,
        }
    }

    /// When an animal dies, given that it does between two looks.
    fn dies_within(&mut self, animal: usize, stretch: Stretch) -> End {
        let cohort = self.cohort(animal);
        let (from, row) = (animal * self.counts, self.row(animal));
        let (mut stage, mut at_d) = match stretch.since {
            Some(before) => (usize::from(self.at[from + before]), cohort.looks_d[before]),
            None => (self.started(animal), self.entry[row + self.started(animal)]),
        };
        let begin = stretch.since.map_or(0.0, |it| self.lived(animal, it));
        let hazard = begin - self.lived(animal, stretch.until);
        let mut left = -libm::log1p(self.dice.unit() * libm::expm1(-hazard));
        let to_stage = usize::from(self.at[from + stretch.until]);
        while stage < self.stages {
            let until_d =
                if stage < to_stage { self.entry[row + stage + 1] } else { cohort.looks_d[stretch.until] };
            let (old, new) = (self.part_done(animal, stage, at_d), self.part_done(animal, stage, until_d));
            let here = -self.brood.log_p[stage] * (new - old);
            if left <= here || stage >= to_stage {
                let part = if here > 0.0 { (left / here).min(1.0) } else { 1.0 };
                return End::Died {
                    stage,
                    share: old + (new - old) * part,
                    at_d: at_d + (until_d - at_d) * part,
                };
            }
            left -= here;
            (stage, at_d) = (stage + 1, until_d);
        }
        End::Died { stage: self.stages - 1, share: 1.0, at_d }
    }
}
