//! The first story: any that gives back the counts.

use super::super::diapause::Diapause;
use super::super::tracks::Glance;
use super::chain::{Animal, Brood, Chain, Fit, Given, NEVER, correlation};
use super::cohort::Cohort;
use crate::dice::{Dice, Purpose};

impl<'a> Chain<'a> {
    /// A chain with its own dice, at a first story.
    pub(super) fn begin(given: &'a Given<'a>, seed: u64, number: u64) -> Chain<'a> {
        let model = given.model;
        let stages = model.stages.len();
        let mut dice = Dice::of(seed, Purpose::Story, number, 0);
        let n: usize = given.cohorts.iter().map(|it| it.n).sum();
        let counts = given.cohorts.iter().map(|it| it.looks_d.len()).max().unwrap_or(0);
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
            glance: vec![Glance::Unlooked; n * counts],
            place: vec![0; n * counts],
            taken_for: vec![0; n * counts],
            counts,
            rest_d: rest_d(given),
            dice: Dice::of(seed, Purpose::Story, number, 1),
        };
        let mut brood = chain.brood.clone();
        chain.derive(&mut brood);
        chain.brood = brood;
        for (index, cohort) in given.cohorts.iter().enumerate() {
            chain.enrol(index as u32, cohort, &mut dice);
        }
        chain
    }

    fn enrol(&mut self, index: u32, cohort: &Cohort, dice: &mut Dice) {
        let first = self.animals.len();
        self.first.push(first);
        let looks = cohort.looks_d.len();
        for (number, tail) in cohort.tails.iter().enumerate() {
            let animal = self.animals.len();
            let female = dice.unit() < tail.female_chance;
            let own = number * looks..(number + 1) * looks;
            let row = animal * self.counts;
            self.glance[row..row + looks].copy_from_slice(&cohort.glances[own.clone()]);
            self.place[row..row + looks].copy_from_slice(&cohort.places[own.clone()]);
            let mut taken_for = cohort.heads[number].stage;
            for (glance, place) in cohort.glances[own].iter().zip(&mut self.taken_for[row..]) {
                taken_for = glance.alive().map_or(taken_for, |(least, _)| least);
                *place = taken_for as u8;
            }
            let fit = Fit::default();
            self.animals.push(Animal {
                cohort: index,
                cur: tail.stage as u8,
                seen_to: 0,
                gaps: 0,
                tail: number as u32,
                female,
                fit,
                sight: 0.0,
            });
            self.look(animal);
            self.put(animal, cohort);
        }
        for animal in first..self.animals.len() {
            self.measure(animal);
            self.refresh(animal);
            self.retell_end(animal, true);
        }
    }

    /// Places an animal's entries where those of a middle animal would be, drawn out or pressed together to lie between
    /// the looks that hold them.
    fn put(&mut self, animal: usize, cohort: &Cohort) {
        let (row, head) = (self.row(animal), *self.head(animal));
        let glances = &cohort.glances
            [(animal - self.first[self.animals[animal].cohort as usize]) * cohort.looks_d.len()..]
            [..cohort.looks_d.len()];
        let first_alive = glances.iter().position(|it| it.is_alive());
        let latest_d = first_alive.map_or(cohort.last_d(), |it| cohort.looks_d[it]).min(head.window.latest_d);
        let (mut stage, mut since_d) = (head.stage, 0.5 * (head.window.earliest_d + latest_d));
        self.entry[row + stage] = since_d;
        // For each stage the last look at which the animal, alive as it was, had not come so far.
        let mut not_yet_d = vec![f64::NEG_INFINITY; self.stages + 1];
        for (glance, at_d) in glances.iter().zip(&cohort.looks_d) {
            match *glance {
                Glance::Alive(seen) | Glance::Between(seen, _) => {
                    let began_d = self.entry[row + stage];
                    let middle_d = self.middle_entries(stage, seen, began_d);
                    let press = ((at_d - began_d) / (middle_d[seen - stage] - began_d).max(1e-9)).min(1.0);
                    for (next, not_yet_d) in not_yet_d.iter().enumerate().take(seen + 1).skip(stage + 1) {
                        since_d = since_d.max(*not_yet_d);
                        let middle_d = began_d + press * (middle_d[next - stage] - began_d);
                        let even_d = since_d + (at_d - since_d) / (seen - next + 2) as f64;
                        // Never so near the end that those to come have no room.
                        let last_d = at_d - (at_d - even_d) * 0.5;
                        since_d = if middle_d > since_d { middle_d.min(last_d) } else { even_d };
                        self.entry[row + next] = since_d;
                    }
                    (stage, since_d) = (seen, at_d.max(since_d));
                }
                Glance::NotBeyond(most) => not_yet_d[most + 1..].iter_mut().for_each(|it| *it = *at_d),
                _ => {}
            }
        }
    }

    /// When a middle animal that began a stage at an instant enters the next ones, up to one; the beginning first.
    fn middle_entries(&self, stage: usize, last: usize, began_d: f64) -> Vec<f64> {
        let mut entries = vec![began_d];
        let mut at_d = began_d;
        for stage in stage..last {
            at_d = if stage < self.timed {
                let units =
                    self.given.clocks.units_at(stage, 0, at_d) + libm::exp(self.brood.log_need[stage]);
                self.given.clocks.when(stage, 0, units).max(at_d)
            } else {
                at_d + self.rest_d
            };
            entries.push(at_d);
        }
        entries
    }

    /// The units in each stage and the places at each count, from the instants of entry.
    pub(super) fn measure(&mut self, animal: usize) {
        let cohort = self.cohort(animal);
        let (row, cur) = (self.row(animal), usize::from(self.animals[animal].cur));
        let started = self.started(animal);
        for stage in started..=cur.min(self.stages.saturating_sub(1)) {
            let until_d = if stage < cur { self.entry[row + stage + 1] } else { cohort.last_d() };
            self.log_units[row + stage] = self.log_between(stage, self.entry[row + stage], until_d);
        }
        let mut stage = started;
        for (look, at_d) in cohort.looks_d.iter().enumerate() {
            while stage < cur && self.entry[row + stage + 1] <= *at_d {
                stage += 1;
            }
            self.at[animal * self.counts + look] = stage as u8;
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

/// Days from the beginning to the middle of the emergence after the winter.
fn rest_d(given: &Given<'_>) -> f64 {
    const SHORTEST_D: f64 = 30.0;
    given
        .model
        .winter
        .as_ref()
        .map_or(SHORTEST_D, |it| (it.middle_d - given.clocks.start_d()).max(SHORTEST_D))
}
