//! The first story: any that gives back the counts.

use super::super::diapause::Diapause;
use super::super::model::BroodModel;
use super::chain::{Animal, Brood, Chain, Cohort, Fit, Given, NEVER, correlation};
use crate::dice::{Dice, Purpose};

impl<'a> Chain<'a> {
    /// A chain with its own dice, at a first story.
    pub(super) fn begin(given: &'a Given<'a>, seed: u64, number: u64) -> Chain<'a> {
        let model = given.model;
        let stages = model.stages.len();
        let mut dice = Dice::of(seed, Purpose::Story, number, 0);
        let n: usize = given.cohorts.iter().map(|it| it.n).sum();
        let counts = given.cohorts.iter().map(|it| it.counts.len()).max().unwrap_or(0);
        let rho = correlation(model);
        let chance = |it: f64| libm::log(it.clamp(NEVER, 1.0 - NEVER));
        let missed = |stage: usize| model.stages.get(stage).map_or(0.0, |it| it.overlooked);
        let m = given.belief.mean();
        let p = |mean: f64| chance(mean.min(1.0 - NEVER));
        let brood = Brood {
            m,
            omega: 0.0,
            log_p: model.stages.iter().map(|it| p(it.survival.mean)).collect(),
            s: vec![0.0; stages],
            log_need: vec![0.0; stages],
        };
        let mut chain = Chain {
            given,
            brood,
            stages,
            timed: if model.winter.is_some() || given.sees_spring() { stages - 1 } else { stages },
            resting: given.living.resting.as_ref().map(Diapause::prior_share),
            rho,
            pull: (0..=stages).map(|q| rho / (1.0 - rho + rho * q as f64)).collect(),
            // Overlooking is rarer than death where the model says that nobody is overlooked.
            log_missed: (0..=stages).map(|it| libm::log(missed(it).max(NEVER * NEVER))).collect(),
            missed: (0..=stages).map(|it| missed(it).max(NEVER * NEVER)).collect(),
            slow_log: libm::log(model.female_pupa_factor),
            animals: Vec::with_capacity(n),
            first: Vec::with_capacity(given.cohorts.len()),
            entry: vec![f64::NAN; n * (stages + 1)],
            log_units: vec![f64::NAN; n * (stages + 1)],
            at: vec![0; n * counts],
            seen: vec![false; n * counts],
            counts,
            dice: Dice::of(seed, Purpose::Story, number, 1),
        };
        let mut brood = chain.brood.clone();
        chain.derive(&mut brood);
        chain.brood = brood;
        for (index, cohort) in given.cohorts.iter().enumerate() {
            chain.enrol(index as u32, cohort, model, &mut dice);
        }
        chain
    }

    fn enrol(&mut self, index: u32, cohort: &Cohort, model: &BroodModel, dice: &mut Dice) {
        let first = self.animals.len();
        self.first.push(first);
        let records = matched(cohort, self.stages);
        for record in &records {
            let animal = self.animals.len();
            let female = dice.unit() < model.female_share;
            let last = record.iter().rposition(Option::is_some);
            let cur = last.and_then(|it| record[it]).unwrap_or(cohort.started_stage) as u8;
            let fit = Fit::default();
            self.animals.push(Animal { cohort: index, cur, seen_to: 0, gaps: 0, female, fit, sight: 0.0 });
            for (count, stage) in record.iter().enumerate() {
                self.seen[animal * self.counts + count] = stage.is_some();
            }
            self.look(animal);
            self.place(animal, cohort, record);
        }
        for animal in first..self.animals.len() {
            self.measure(animal);
            self.refresh(animal);
            self.retell_end(animal, true);
        }
    }

    /// Spreads an animal's entries evenly over the time between the counts that hold them.
    fn place(&mut self, animal: usize, cohort: &Cohort, record: &[Option<usize>]) {
        let row = self.row(animal);
        let (mut stage, mut since_d) = (cohort.started_stage, cohort.started_d);
        self.entry[row + stage] = since_d;
        for (count, seen) in record.iter().enumerate() {
            let Some(seen) = *seen else { continue };
            let at_d = cohort.counts[count].at_d;
            let steps = seen - stage;
            for step in 1..=steps {
                let part = step as f64 / (steps + 1) as f64;
                self.entry[row + stage + step] = since_d + (at_d - since_d) * part;
            }
            (stage, since_d) = (seen, at_d);
        }
    }

    /// The units in each stage and the places at each count, from the instants of entry.
    pub(super) fn measure(&mut self, animal: usize) {
        let cohort = self.cohort(animal);
        let (row, cur) = (self.row(animal), usize::from(self.animals[animal].cur));
        for stage in cohort.started_stage..=cur.min(self.stages.saturating_sub(1)) {
            let until_d = if stage < cur { self.entry[row + stage + 1] } else { cohort.last_d() };
            self.log_units[row + stage] = self.log_between(stage, self.entry[row + stage], until_d);
        }
        let mut stage = cohort.started_stage;
        for (count, it) in cohort.counts.iter().enumerate() {
            while stage < cur && self.entry[row + stage + 1] <= it.at_d {
                stage += 1;
            }
            self.at[animal * self.counts + count] = stage as u8;
        }
    }

    /// Log of the units of a stage between two instants.
    #[inline]
    pub(super) fn log_between(&self, stage: usize, from_d: f64, to_d: f64) -> f64 {
        libm::log(
            (self.units(stage, to_d) - self.units(stage, from_d)).max(1e-9 * self.given.clocks.need(stage)),
        )
    }
}

/// For each animal the stage it was seen in at each count.
///
/// Who is seen is chosen so that nobody goes back: the lowest stages ask for the furthest that still fit. Of the
/// chosen, who was ahead stays ahead.
fn matched(cohort: &Cohort, stages: usize) -> Vec<Vec<Option<usize>>> {
    let mut records = vec![vec![None; cohort.counts.len()]; cohort.n];
    // By the furthest stage each was seen in; who was seen last lies on top.
    let mut known: Vec<Vec<usize>> = vec![Vec::new(); stages + 1];
    known[cohort.started_stage].extend((0..cohort.n).rev());
    for (count, it) in cohort.counts.iter().enumerate() {
        let (mut chosen, mut slots) = (Vec::new(), Vec::new());
        for stage in cohort.started_stage..=stages {
            for _ in 0..it.seen[stage] {
                // The counts were made possible before; an animal too many is left out.
                let found = (0..=stage).rev().find_map(|from| known[from].pop().map(|animal| (from, animal)));
                if let Some(found) = found {
                    chosen.push(found);
                    slots.push(stage);
                }
            }
        }
        chosen.sort_by_key(|(from, _)| *from);
        for ((_, animal), stage) in chosen.into_iter().zip(slots) {
            records[animal][count] = Some(stage);
            known[stage].push(animal);
        }
    }
    records
}
