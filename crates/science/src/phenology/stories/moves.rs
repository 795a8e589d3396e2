//! Moves of single stories: an instant, two animals' futures, who was overlooked, an end that nobody saw.

use super::super::tracks::Glance;
use super::chain::{Chain, log_upper};
use super::cohort::NOWHERE;
use crate::dice::Dice;

/// An animal's stretch of instants, units and records, for putting back.
#[derive(Default)]
pub(super) struct Scratch {
    entry: Vec<f64>,
    log_units: Vec<f64>,
    at: Vec<u8>,
}

/// Is a move with this log ratio made?
#[inline]
pub(super) fn taken(dice: &mut Dice, log_ratio: f64) -> bool {
    log_ratio >= 0.0 || (log_ratio > -40.0 && dice.unit() < libm::exp(log_ratio))
}

impl Chain<'_> {
    /// Between which instants an entry can move without changing what was seen.
    #[inline]
    pub(super) fn bounds(&self, animal: usize, stage: usize) -> (f64, f64) {
        let row = self.row(animal);
        let cohort = self.cohort(animal);
        let mut low_d = self.entry[row + stage - 1];
        let cur = usize::from(self.animals[animal].cur);
        let mut high_d = if stage < cur { self.entry[row + stage + 1] } else { cohort.last_d() };
        let looks = cohort.looks_d.len();
        let from = animal * self.counts;
        let (at, glances) = (&self.at[from..from + looks], self.glances(animal));
        let split = at.iter().position(|it| usize::from(*it) >= stage).unwrap_or(looks);
        // Looks that this entry never passes: at which it was seen alive on the other side, or not to have gone on.
        let not_yet = |it: &Glance| match *it {
            Glance::NotBeyond(most) => most < stage,
            it => it.alive().is_some_and(|(_, most)| most < stage),
        };
        let by_then = |it: &Glance| match *it {
            Glance::NotBeyond(most) => most < stage,
            it => it.alive().is_some_and(|(least, _)| least >= stage),
        };
        if let Some(before) = glances[..split].iter().rposition(not_yet) {
            low_d = low_d.max(cohort.looks_d[before]);
        }
        if let Some(after) = glances[split..].iter().position(by_then) {
            high_d = high_d.min(cohort.looks_d[split + after]);
        }
        (low_d, high_d)
    }

    /// Moves every entry of an animal once, up to the stage it was last seen in: the rest is told anew as a whole.
    pub(super) fn move_entries(&mut self, animal: usize) {
        let started = self.started(animal);
        let cur = usize::from(self.animals[animal].cur);
        let last = if self.seen_last(animal) { cur } else { self.seen_in(animal) };
        // It may have gone on unseen before it was last seen.
        let veiled = |it: &Glance| it.alive().is_some_and(|(_, most)| most > last);
        let seen_to = usize::from(self.animals[animal].seen_to);
        let last =
            last + usize::from(last < cur && seen_to > 0 && veiled(&self.glances(animal)[seen_to - 1]));
        if self.head(animal).window.latest_d > self.head(animal).window.earliest_d {
            self.move_start(animal);
        }
        for stage in started + 1..=last {
            self.move_entry(animal, stage);
        }
    }

    /// Moves the instant at which an animal's story begins, where that is not known exactly.
    fn move_start(&mut self, animal: usize) {
        let (row, cohort, head) = (self.row(animal), self.cohort(animal), *self.head(animal));
        let (stage, cur) = (head.stage, usize::from(self.animals[animal].cur));
        let after_d = if stage < cur { self.entry[row + stage + 1] } else { cohort.last_d() };
        let seen = self.glances(animal).iter().position(|it| it.is_alive());
        let high_d = head.window.latest_d.min(after_d).min(seen.map_or(after_d, |it| cohort.looks_d[it]));
        let low_d = head.window.earliest_d;
        if high_d - low_d < 1e-7 {
            return;
        }
        let it = self.animals[animal];
        let now_d = self.entry[row + stage];
        self.entry[row + stage] = low_d + (high_d - low_d) * self.dice.unit();
        if stage >= self.stages {
            return;
        }
        let old = self.log_units[row + stage];
        let new = self.log_between(stage, self.entry[row + stage], after_d);
        self.log_units[row + stage] = new;
        let fit = self.fit(&self.brood, animal);
        let sight = self.sight(animal);
        let left = if stage < cur && stage < self.timed { new - old } else { 0.0 };
        let ratio = self.times(animal, &fit) - self.times(animal, &it.fit) - left + sight - it.sight;
        if taken(&mut self.dice, ratio) {
            let it = &mut self.animals[animal];
            (it.fit, it.sight) = (fit, sight);
        } else {
            self.entry[row + stage] = now_d;
            self.log_units[row + stage] = old;
        }
    }

    fn move_entry(&mut self, animal: usize, stage: usize) {
        let (low_d, high_d) = self.bounds(animal, stage);
        if high_d - low_d < 1e-7 {
            return;
        }
        let row = self.row(animal);
        let before_d = self.entry[row + stage - 1];
        let cur = usize::from(self.animals[animal].cur);
        let last_d = self.cohort(animal).last_d();
        let after_d = if stage < cur { self.entry[row + stage + 1] } else { last_d };
        let now_d = self.entry[row + stage];
        // A step of the size of what an animal differs by, or anywhere between close bounds.
        let step_d = 1.2 * self.brood.s[stage - 1] * (after_d - before_d);
        let new_d = if high_d - low_d < 2.0 * step_d {
            low_d + (high_d - low_d) * self.dice.unit()
        } else {
            now_d + step_d * (2.0 * self.dice.unit() - 1.0)
        };
        if new_d <= low_d || new_d >= high_d {
            return;
        }
        let it = self.animals[animal];
        let old_left = self.log_units[row + stage - 1];
        let (units, rate) = self.reading(stage - 1, new_d);
        let (_, old_rate) = self.reading(stage - 1, now_d);
        let new_left = libm::log(
            (units - self.units(stage - 1, before_d)).max(1e-9 * self.given.clocks.need(stage - 1)),
        );
        let mut fit = it.fit;
        let mut ratio = libm::log(rate / old_rate) - (new_left - old_left);
        if stage > self.timed {
            // The winter decides when it comes out, not the clock.
            ratio = 0.0;
        } else {
            let (old, new) = (
                self.z(&self.brood, stage - 1, it.female, old_left),
                self.z(&self.brood, stage - 1, it.female, new_left),
            );
            fit.sum += new - old;
            fit.squares += new * new - old * old;
        }
        let mut new_right = f64::NAN;
        let mut sight = it.sight;
        if stage < self.stages {
            let old_right = self.log_units[row + stage];
            new_right = self.log_between(stage, new_d, after_d);
            if stage < cur {
                if stage < self.timed {
                    let (old, new) = (
                        self.z(&self.brood, stage, it.female, old_right),
                        self.z(&self.brood, stage, it.female, new_right),
                    );
                    fit.sum += new - old;
                    fit.squares += new * new - old * old;
                    ratio -= new_right - old_right;
                }
                fit.wait = self.wait(&self.brood, animal, fit.sum);
            } else {
                if stage < self.timed {
                    fit.wait = self.wait_for(&self.brood, animal, fit.sum, new_right);
                }
                sight += self.brood.log_p[stage]
                    * (self.share_done(animal, stage, new_right) - self.share_done(animal, stage, old_right));
            }
        }
        ratio += self.times(animal, &fit) - self.times(animal, &it.fit);
        let same_sight = it.gaps == 0 && (self.seen_last(animal) || stage < self.seen_in(animal));
        if same_sight {
            if !taken(&mut self.dice, ratio + sight - it.sight) {
                return;
            }
            self.set_entry(animal, stage, new_d, new_left, new_right);
        } else {
            let old_right = if stage < self.stages { self.log_units[row + stage] } else { f64::NAN };
            self.set_entry(animal, stage, new_d, new_left, new_right);
            sight = self.sight(animal);
            if !taken(&mut self.dice, ratio + sight - it.sight) {
                self.set_entry(animal, stage, now_d, old_left, old_right);
                return;
            }
        }
        let it = &mut self.animals[animal];
        (it.fit, it.sight) = (fit, sight);
    }

    /// Writes an entry down, with the places at the counts that it passes.
    pub(super) fn set_entry(&mut self, animal: usize, stage: usize, at_d: f64, left: f64, right: f64) {
        let row = self.row(animal);
        self.entry[row + stage] = at_d;
        self.log_units[row + stage - 1] = left;
        if stage < self.stages {
            self.log_units[row + stage] = right;
        }
        if self.doubtful(animal) {
            let cohort = self.cohort(animal);
            let from = animal * self.counts;
            for (at, look_d) in self.at[from..].iter_mut().zip(&cohort.looks_d) {
                // Only looks between the neighbouring entries can change sides.
                if usize::from(*at) == stage && *look_d < at_d {
                    *at = (stage - 1) as u8;
                } else if usize::from(*at) == stage - 1 && *look_d >= at_d {
                    *at = stage as u8;
                }
            }
        }
    }

    /// Two animals that were in one stage and one box at one time change what happened to them afterwards.
    pub(super) fn swap_futures(&mut self, animal: usize, scratch: &mut [Scratch; 2]) {
        let index = self.animals[animal].cohort as usize;
        let cohort = self.cohort(animal);
        let cur = usize::from(self.animals[animal].cur);
        let started = self.started(animal);
        let stage = started + self.dice.below(cur + 1 - started);
        let leaves_d = |chain: &Self, it: usize| {
            let goes_on = usize::from(chain.animals[it].cur) > stage;
            if goes_on { chain.entry[chain.row(it) + stage + 1] } else { cohort.last_d() }
        };
        let (enters_d, out_d) = (self.entry[self.row(animal) + stage], leaves_d(self, animal));
        let looks = cohort.looks_d.len();
        let after = |at_d: f64| cohort.looks_d.iter().position(|it| *it > at_d).unwrap_or(looks);
        // One partner, whoever it is: picking until one fits would favour some ways over their way back.
        let other = self.first[index] + self.dice.below(cohort.n);
        let there = usize::from(self.animals[other].cur) >= stage && self.started(other) <= stage;
        if other == animal || !there {
            return;
        }
        let since_d = self.entry[self.row(other) + stage].max(enters_d);
        let until_d = out_d.min(leaves_d(self, other));
        if since_d >= until_d {
            return;
        }
        let Some(from) = self.meet(animal, other, after(since_d), after(until_d)) else { return };
        let doubtful = self.doubtful(animal) || self.doubtful(other);
        let same_end = self.animals[animal].cur == self.animals[other].cur && cur == stage;
        let same_box = self.place_before(animal, looks) == self.place_before(other, looks);
        if same_end && !doubtful && same_box {
            return;
        }
        let before = [self.animals[animal], self.animals[other]];
        let old = self.story_weight(animal) + self.story_weight(other);
        self.keep(animal, &mut scratch[0]);
        self.keep(other, &mut scratch[1]);
        self.exchange(animal, other, stage, from, looks);
        (self.animals[animal].cur, self.animals[other].cur) = (before[1].cur, before[0].cur);
        // Where it ends, and as what, belongs to the end of the story.
        (self.animals[animal].tail, self.animals[other].tail) = (before[1].tail, before[0].tail);
        (self.animals[animal].female, self.animals[other].female) = (before[1].female, before[0].female);
        for it in [animal, other] {
            if stage < self.stages {
                let row = self.row(it);
                self.log_units[row + stage] =
                    self.log_between(stage, self.entry[row + stage], leaves_d(self, it));
            }
            if doubtful {
                self.look(it);
            }
            self.refresh(it);
        }
        let new = self.story_weight(animal) + self.story_weight(other);
        // On the way back the stage is picked among those of the other end.
        let stages = |cur: usize| libm::log((cur + 1 - started) as f64);
        let back = stages(cur) - stages(usize::from(self.animals[animal].cur));
        if !taken(&mut self.dice, new - old + back) {
            self.exchange_records(animal, other, from, looks);
            self.put_back(animal, &scratch[0]);
            self.put_back(other, &scratch[1]);
            (self.animals[animal], self.animals[other]) = (before[0], before[1]);
        }
    }

    /// The first of some looks before which two animals lie in one box and are taken for being in one stage: they may
    /// have come there one after the other. From then on the book cannot tell one from the other.
    fn meet(&self, animal: usize, other: usize, first: usize, last: usize) -> Option<usize> {
        if !self.cohort(animal).followed {
            return Some(first);
        }
        for look in first..=last {
            let place = self.place_before(animal, look);
            if place == NOWHERE {
                return None;
            }
            if place == self.place_before(other, look)
                && self.taken_before(animal, look) == self.taken_before(other, look)
            {
                return Some(look);
            }
        }
        None
    }

    /// The log density of an animal's story. The rates at its entries are left out: a swap keeps them.
    fn story_weight(&self, animal: usize) -> f64 {
        let it = &self.animals[animal];
        let row = self.row(animal);
        let started = self.started(animal);
        let last = usize::from(it.cur).min(self.timed);
        let logs: f64 =
            if started < last { self.log_units[row + started..row + last].iter().sum() } else { 0.0 };
        self.times(animal, &it.fit) + it.sight - logs
    }

    fn keep(&self, animal: usize, scratch: &mut Scratch) {
        let row = self.row(animal);
        scratch.entry.clear();
        scratch.entry.extend_from_slice(&self.entry[row..=row + self.stages]);
        scratch.log_units.clear();
        scratch.log_units.extend_from_slice(&self.log_units[row..=row + self.stages]);
        scratch.at.clear();
        scratch.at.extend_from_slice(&self.at[animal * self.counts..(animal + 1) * self.counts]);
    }

    fn put_back(&mut self, animal: usize, scratch: &Scratch) {
        let row = self.row(animal);
        self.entry[row..=row + self.stages].copy_from_slice(&scratch.entry);
        self.log_units[row..=row + self.stages].copy_from_slice(&scratch.log_units);
        self.at[animal * self.counts..(animal + 1) * self.counts].copy_from_slice(&scratch.at);
    }

    fn exchange(&mut self, a: usize, b: usize, stage: usize, count: usize, counts: usize) {
        let (row_a, row_b) = (self.row(a), self.row(b));
        for it in stage + 1..=self.stages {
            self.entry.swap(row_a + it, row_b + it);
            self.log_units.swap(row_a + it, row_b + it);
        }
        for it in count..counts {
            self.at.swap(a * self.counts + it, b * self.counts + it);
        }
        self.exchange_records(a, b, count, counts);
    }

    fn exchange_records(&mut self, a: usize, b: usize, look: usize, looks: usize) {
        for it in look..looks {
            self.glance.swap(a * self.counts + it, b * self.counts + it);
            self.place.swap(a * self.counts + it, b * self.counts + it);
            self.taken_for.swap(a * self.counts + it, b * self.counts + it);
        }
    }

    /// At a look, of two animals of one stage and box perhaps the other was the one not found.
    pub(super) fn swap_sight(&mut self, cohort: usize, look: usize) {
        let (n, first) = (self.given.cohorts[cohort].n, self.first[cohort]);
        let (one, two) = (first + self.dice.below(n), first + self.dice.below(n));
        let here = |it: usize| it * self.counts + look;
        let glances = [self.glance[here(one)], self.glance[here(two)]];
        let apart =
            self.at[here(one)] != self.at[here(two)] || self.place[here(one)] != self.place[here(two)];
        let (animal, other) = match glances {
            _ if apart => return,
            [Glance::Alive(_), Glance::NotFound] => (two, one),
            [Glance::NotFound, Glance::Alive(_)] => (one, two),
            _ => return,
        };
        // Who is seen in a new stage is no longer taken for what the other is.
        let same = |it: usize| Glance::Alive(self.taken_before(it, look)) == self.glance[here(other)];
        if self.given.cohorts[cohort].followed && !(same(animal) && same(other)) {
            return;
        }
        let before = [self.animals[animal], self.animals[other]];
        self.glance.swap(here(animal), here(other));
        self.look(animal);
        self.look(other);
        let (new, new_other) = (self.sight(animal), self.sight(other));
        if taken(&mut self.dice, new + new_other - before[0].sight - before[1].sight) {
            self.animals[animal].sight = new;
            self.animals[other].sight = new_other;
        } else {
            let here = |it: usize| it * self.counts + look;
            self.glance.swap(here(animal), here(other));
            (self.animals[animal], self.animals[other]) = (before[0], before[1]);
        }
    }

    /// Tells anew what an animal would have done after it was last seen, had it lived.
    pub(super) fn retell_end(&mut self, animal: usize, always: bool) {
        if self.seen_last(animal) {
            return;
        }
        let cohort = self.cohort(animal);
        let from_stage = self.seen_in(animal);
        let seen_to = usize::from(self.animals[animal].seen_to);
        let from_d =
            seen_to.checked_sub(1).map_or(self.entry[self.row(animal) + from_stage], |it| cohort.looks_d[it]);
        let mut scratch = Scratch::default();
        let before = self.animals[animal];
        self.keep(animal, &mut scratch);
        let row = self.row(animal);
        let started = self.started(animal);
        let left = from_stage.min(self.timed) - started.min(self.timed);
        let mut sum = 0.0;
        for stage in started..from_stage.min(self.timed) {
            sum += self.z(&self.brood, stage, before.female, self.log_units[row + stage]);
        }
        self.animals[animal].cur = from_stage as u8;
        let (mut q, mut stage) = (left, from_stage);
        while stage < self.timed {
            let pull = self.pull[q];
            let (mean, sd) = (pull * sum, (1.0 - self.rho * pull * q as f64).sqrt());
            // The present stage is known to take longer than it had when the animal was last seen.
            let bound = (stage == from_stage).then(|| {
                let so_far = self.log_between(stage, self.entry[row + stage], from_d);
                (self.z(&self.brood, stage, before.female, so_far) - mean) / sd
            });
            if let Some(share) = self.resting.filter(|_| stage + 1 == self.stages) {
                let goes_on = (1.0 - share) * bound.map_or(1.0, |it| libm::exp(log_upper(it)));
                if self.dice.unit() * (share + goes_on) < share {
                    break;
                }
            }
            let z = mean
                + sd * match bound {
                    Some(it) => self.dice.normal_above(it),
                    None => self.dice.normal(),
                };
            let s = self.brood.s[stage];
            let slow = self.slow(stage, before.female);
            let log_units = self.brood.log_need[stage] + slow + s * (z - 0.5 * s);
            let began = self.given.clocks.units_at(stage, 0, self.entry[row + stage]);
            let out_d = self.given.clocks.when(stage, 0, began + libm::exp(log_units)).max(from_d);
            if out_d > cohort.last_d() {
                break;
            }
            self.entry[row + stage + 1] = out_d;
            sum += z;
            q += 1;
            stage += 1;
        }
        self.animals[animal].cur = stage as u8;
        self.measure(animal);
        self.refresh(animal);
        if !always && !taken(&mut self.dice, self.animals[animal].sight - before.sight) {
            self.put_back(animal, &scratch);
            self.animals[animal] = before;
        }
    }

    /// The sex, given how long the pupa took; from the share of females where that says nothing.
    pub(super) fn tell_sex(&mut self, animal: usize) {
        let it = &self.animals[animal];
        let share = self.given.cohorts[it.cohort as usize].tails[it.tail as usize].female_chance;
        if share <= 0.0 || share >= 1.0 {
            return;
        }
        if self.slow_log.abs() <= 0.0 {
            self.animals[animal].female = self.dice.unit() < share;
            return;
        }
        let pupa = |it: usize| self.slow(it, true).abs() > 0.0;
        let cur = usize::from(self.animals[animal].cur);
        let told = (self.started(animal)..=cur.min(self.stages - 1)).any(pupa);
        if !told {
            self.animals[animal].female = self.dice.unit() < share;
            return;
        }
        let before = self.animals[animal];
        let now = if before.female { share } else { 1.0 - share };
        self.animals[animal].female = !before.female;
        self.refresh(animal);
        let it = self.animals[animal];
        let ratio = self.times(animal, &it.fit) + it.sight - self.times(animal, &before.fit) - before.sight;
        if !taken(&mut self.dice, ratio + libm::log(((1.0 - now) / now).max(1e-300))) {
            self.animals[animal] = before;
        }
    }
}
