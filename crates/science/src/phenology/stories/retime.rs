//! Moves of the beliefs that take all stories with them: everybody stays as quick or slow as it is beside the others.

use super::super::tracks::Glance;
use super::chain::{Brood, Chain, Fit, SPREAD_SD};
use super::moves::taken;

/// New instants of all animals.
#[derive(Default)]
pub(super) struct Retimed {
    entry: Vec<f64>,
    log_units: Vec<f64>,
    at: Vec<u8>,
    kept: Vec<(Fit, f64)>,
}

/// What moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    /// The pace of all stages.
    Shared,
    /// The pace of one stage.
    Stage(usize),
    /// The spread.
    Spread,
}

impl Chain<'_> {
    /// Moves a belief and every entry with it, each animal keeping the place of its needs among all animals.
    ///
    /// Where windows are wide this goes far at once, where they are tight it is refused: the moves that keep the
    /// instants do what this one cannot, and the other way round (ancillarity and sufficiency interwoven, Yu & Meng
    /// 2011). In the places `z` the density of a story does not change, so only the prior, those that wait and what
    /// was not seen decide.
    pub(super) fn retime(&mut self, way: Way, size: f64, to: &mut Retimed) -> bool {
        let by = size * self.dice.normal();
        let mut brood = self.brood.clone();
        match way {
            Way::Shared => brood.m.iter_mut().for_each(|it| *it += by),
            Way::Stage(stage) => brood.m[stage] += by,
            Way::Spread => brood.omega += by,
        }
        self.derive(&mut brood);
        let belief = self.given.belief;
        let mut ratio = belief.log_density(&brood.m) - belief.log_density(&self.brood.m);
        ratio +=
            0.5 * (self.brood.omega * self.brood.omega - brood.omega * brood.omega) / (SPREAD_SD * SPREAD_SD);
        ratio += self.others(&brood) - self.others(&self.brood);
        if ratio < -40.0 {
            return false;
        }
        to.entry.clear();
        to.log_units.clear();
        to.at.clear();
        to.kept.clear();
        for animal in 0..self.animals.len() {
            if !self.lead(animal, &brood, to) {
                return false;
            }
        }
        self.exchange_all(to);
        std::mem::swap(&mut self.brood, &mut brood);
        for animal in 0..self.animals.len() {
            let before = self.animals[animal];
            to.kept.push((before.fit, before.sight));
            self.refresh(animal);
            let it = &self.animals[animal];
            ratio += it.fit.wait - before.fit.wait + it.sight - before.sight;
        }
        if taken(&mut self.dice, ratio) {
            return true;
        }
        self.exchange_all(to);
        std::mem::swap(&mut self.brood, &mut brood);
        for (it, (fit, sight)) in self.animals.iter_mut().zip(&to.kept) {
            (it.fit, it.sight) = (*fit, *sight);
        }
        false
    }

    /// An animal's instants under new beliefs; false if they are not what was counted.
    fn lead(&self, animal: usize, brood: &Brood, to: &mut Retimed) -> bool {
        let cohort = self.cohort(animal);
        let it = &self.animals[animal];
        let (row, cur, begins) = (self.row(animal), usize::from(it.cur), to.entry.len());
        to.entry.extend_from_slice(&self.entry[row..=row + self.stages]);
        to.log_units.extend_from_slice(&self.log_units[row..=row + self.stages]);
        let started = self.started(animal);
        let mut at_d = self.entry[row + started];
        for stage in started..cur {
            if stage < self.timed {
                let z = self.z(&self.brood, stage, it.female, self.log_units[row + stage]);
                let s = brood.s[stage];
                let log_units = brood.log_need[stage] + self.slow(stage, it.female) + s * (z - 0.5 * s);
                let began = self.given.clocks.units_at(stage, 0, at_d);
                let out_d = self.given.clocks.when(stage, 0, began + libm::exp(log_units));
                if out_d <= at_d || out_d >= cohort.last_d() {
                    return false;
                }
                to.log_units[begins + stage] = log_units;
                to.entry[begins + stage + 1] = out_d;
                at_d = out_d;
            } else if self.entry[row + stage + 1] <= at_d {
                return false;
            }
        }
        if cur < self.stages {
            to.log_units[begins + cur] = self.log_between(cur, at_d, cohort.last_d());
        }
        let from = animal * self.counts;
        let mut stage = started;
        let seen_to = usize::from(it.seen_to);
        for (look, (glance, look_d)) in self.glances(animal).iter().zip(&cohort.looks_d).enumerate() {
            while stage < cur && to.entry[begins + stage + 1] <= *look_d {
                stage += 1;
            }
            let wrong = match *glance {
                Glance::NotBeyond(most) => look < seen_to && stage > most,
                it => it.alive().is_some_and(|(least, most)| stage < least || stage > most),
            };
            if wrong {
                return false;
            }
            to.at.push(stage as u8);
        }
        to.at.extend_from_slice(&self.at[from + cohort.looks_d.len()..from + self.counts]);
        true
    }

    fn exchange_all(&mut self, to: &mut Retimed) {
        std::mem::swap(&mut self.entry, &mut to.entry);
        std::mem::swap(&mut self.log_units, &mut to.log_units);
        std::mem::swap(&mut self.at, &mut to.at);
    }
}
