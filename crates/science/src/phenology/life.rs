//! The life of one animal in one run: look-ups of the inverse clock, stage after stage.

use super::brood::Window;
use super::census::{Census, Hidden, Pool, Stands};
use super::clocks::Clocks;
use super::lives::Lives;
use super::model::{BroodModel, Nights, Sex, StageKind};
use super::winter::{Rest, Spring};
use crate::dice::Dice;

/// All that the animals of one run share.
pub(super) struct Run<'a> {
    pub(super) model: &'a BroodModel,
    pub(super) clocks: &'a Clocks,
    pub(super) factor: &'a [f64],
    pub(super) future: usize,
    /// Log of the chance to come through each stage, in this run.
    pub(super) log_survival: &'a [f64],
    /// Standard deviation of the logarithm of the needs, stage by stage.
    pub(super) spread: &'a [f64],
    pub(super) spring: Option<Spring>,
    /// For each box the instants at which it is hit, in order.
    pub(super) shocks: &'a [Vec<f64>],
}

/// Where the rest of a life starts from.
struct Start {
    stage: usize,
    /// The instant up to which it is known to live.
    alive_d: f64,
    entered_d: f64,
    /// The units that the whole of the present stage takes.
    need: f64,
    done: f64,
    u: f64,
}

impl Run<'_> {
    fn sex(&self, known: Option<Sex>, dice: &mut Dice) -> Sex {
        // Drawn even where it is known, so that learning a sex does not change the rest of the life.
        let drawn = if dice.unit() < self.model.female_share { Sex::Female } else { Sex::Male };
        known.unwrap_or(drawn)
    }

    fn middle_need(&self, stage: usize, sex: Sex) -> f64 {
        let slow = match (self.model.stages[stage].kind, sex) {
            (StageKind::Pupa, Sex::Female) => self.model.female_pupa_factor,
            _ => 1.0,
        };
        self.clocks.need(stage) * self.factor[stage] * slow
    }

    fn rests(&self, stage: usize) -> bool {
        self.model.winter.is_some() && stage + 1 == self.model.stages.len()
    }

    /// An animal that entered its stage in a window and was in it when last looked at.
    pub(super) fn entered(
        &self,
        stage: usize,
        (window, seen_d): (Window, f64),
        known: Option<Sex>,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let sex = self.sex(known, dice);
        let latest_d = window.latest_d.min(seen_d);
        let entered_d = window.earliest_d + (latest_d - window.earliest_d) * dice.unit();
        lives.sex[animal] = sex;
        if stage >= self.model.stages.len() {
            let u = dice.normal();
            lives.entry_mut(animal)[stage] = entered_d;
            self.as_moth(sex, entered_d, seen_d, dice, lives, animal);
            self.lead_back(stage, u, sex, dice, lives, animal);
            return;
        }
        let done = self.clocks.units_at(stage, self.future, seen_d)
            - self.clocks.units_at(stage, self.future, entered_d);
        let middle = self.middle_need(stage, sex);
        let spread = self.spread[stage];
        // The need, given that it is more than what has been done.
        let lower = if done <= 0.0 || self.rests(stage) {
            f64::NEG_INFINITY
        } else if spread > 0.0 {
            (libm::log(done / middle) + 0.5 * spread * spread) / spread
        } else {
            f64::NEG_INFINITY
        };
        let z = dice.normal_above(lower);
        let rho = self.model.rank_correlation;
        let u = rho.sqrt() * z + (1.0 - rho).sqrt() * dice.normal();
        let need = (middle * libm::exp(spread * z - 0.5 * spread * spread)).max(done);
        self.rest_of_life(
            &Start { stage, alive_d: seen_d, entered_d, need, done, u },
            sex,
            dice,
            lives,
            animal,
        );
        self.lead_back(stage, u, sex, dice, lives, animal);
    }

    /// An animal seen in its stage at a count: it becomes one of the candidates that stand there.
    ///
    /// Returns false where no candidate does, and a guess had to stand in.
    #[expect(clippy::too_many_arguments, reason = "one call site; a struct would only rename them")]
    pub(super) fn seen(
        &self,
        stage: usize,
        known: Option<Sex>,
        census: &Census,
        pool: &Pool,
        stands: &Stands,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) -> bool {
        let fitting = stands.within(stage);
        let wanted = |candidate: u8| {
            let female = pool.is_female(usize::from(candidate));
            known.is_none_or(|it| female == (it == Sex::Female))
        };
        let from = dice.below(fitting.len());
        let mut picked = None;
        for step in 0..fitting.len() {
            let candidate = fitting[(from + step) % fitting.len()];
            if !wanted(candidate) {
                continue;
            }
            picked = Some(usize::from(candidate));
            // One that has long been exposed to dying in this stage is less likely to be the living animal.
            let row = lives.entry_mut(animal);
            let place =
                pool.lead(&census.journey(self.model, self.clocks, self.factor), usize::from(candidate), row);
            let here = self.model.stages.get(stage).map_or(1.0, |it| it.survival.mean);
            if dice.unit() < libm::pow(here, place.done) {
                break;
            }
        }
        match picked {
            Some(candidate) => {
                self.follow(candidate, known, census, pool, dice, lives, animal);
                true
            }
            None => {
                self.guessed(stage, known, census, dice, lives, animal);
                false
            }
        }
    }

    /// An animal that was started and not found: dead, or one of the candidates that would be overlooked.
    pub(super) fn unaccounted(
        &self,
        hidden: &Hidden,
        census: &Census,
        pool: &Pool,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        if dice.happens(hidden.alive) {
            let candidate = hidden.pick(dice);
            self.follow(candidate, None, census, pool, dice, lives, animal);
        } else {
            lives.end_d[animal] = f64::NEG_INFINITY;
            lives.spared_end_d[animal] = f64::NEG_INFINITY;
        }
    }

    /// The rest of the life of a candidate from the count on.
    #[expect(clippy::too_many_arguments, reason = "two call sites; a struct would only rename them")]
    fn follow(
        &self,
        candidate: usize,
        known: Option<Sex>,
        census: &Census,
        pool: &Pool,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let own = if pool.is_female(candidate) { Sex::Female } else { Sex::Male };
        let sex = known.unwrap_or(own);
        lives.sex[animal] = sex;
        let journey = census.journey(self.model, self.clocks, self.factor);
        let row = lives.entry_mut(animal);
        row.fill(f64::NAN);
        let place = pool.lead(&journey, candidate, row);
        let entered_d = row[place.stage];
        for stage in census.started_stage..place.stage.min(self.model.stages.len()) {
            lives.need_mut(animal)[stage] = pool.need(self.model, self.clocks, self.factor, candidate, stage);
        }
        if place.stage >= self.model.stages.len() {
            self.as_moth(sex, entered_d, census.at_d, dice, lives, animal);
            return;
        }
        let need = pool.need(self.model, self.clocks, self.factor, candidate, place.stage);
        let done = self.clocks.units_at(place.stage, self.future, census.at_d)
            - self.clocks.units_at(place.stage, self.future, entered_d);
        let start =
            Start { stage: place.stage, alive_d: census.at_d, entered_d, need, done, u: pool.u(candidate) };
        self.rest_of_life(&start, sex, dice, lives, animal);
    }

    /// No candidate fits: as if it were anywhere within its stage, with equal chance.
    fn guessed(
        &self,
        stage: usize,
        known: Option<Sex>,
        census: &Census,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let sex = self.sex(known, dice);
        lives.sex[animal] = sex;
        lives.entry_mut(animal).fill(f64::NAN);
        if stage >= self.model.stages.len() {
            lives.entry_mut(animal)[stage] = census.at_d;
            self.as_moth(sex, census.at_d, census.at_d, dice, lives, animal);
            return;
        }
        let need = self.middle_need(stage, sex);
        let done = need * dice.unit();
        let at = self.clocks.units_at(stage, self.future, census.at_d);
        let entered_d = self.clocks.when(stage, self.future, (at - done).max(0.0)).min(census.at_d);
        let done = at - self.clocks.units_at(stage, self.future, entered_d);
        let u = dice.normal();
        self.rest_of_life(
            &Start { stage, alive_d: census.at_d, entered_d, need, done, u },
            sex,
            dice,
            lives,
            animal,
        );
    }

    /// From a known place in a stage to the end.
    fn rest_of_life(&self, start: &Start, sex: Sex, dice: &mut Dice, lives: &mut Lives, animal: usize) {
        let stages = self.model.stages.len();
        let rho = self.model.rank_correlation;
        let (common, own) = (rho.sqrt() * start.u, (1.0 - rho).sqrt());
        lives.sex[animal] = sex;
        let mut entered_d = start.entered_d;
        let mut dies_d = f64::INFINITY;
        for stage in start.stage..stages {
            let first = stage == start.stage;
            let need = if first {
                start.need
            } else {
                let spread = self.spread[stage];
                let z = common + own * dice.normal();
                self.middle_need(stage, sex) * libm::exp(spread * z - 0.5 * spread * spread)
            };
            lives.entry_mut(animal)[stage] = entered_d;
            lives.need_mut(animal)[stage] = need;
            let since_d = if first { start.alive_d } else { entered_d };
            let luck = dice.unit();
            let leaves_d = match (&self.model.winter, &self.spring) {
                (Some(winter), Some(spring)) if stage + 1 == stages => {
                    match winter.rest(spring, sex, since_d, dice) {
                        Rest::Out(at_d) => at_d,
                        Rest::Over => {
                            lives.over[animal] = true;
                            f64::INFINITY
                        }
                    }
                }
                _ => {
                    let began = self.clocks.units_at(stage, self.future, entered_d);
                    self.clocks.when(stage, self.future, began + need).max(since_d)
                }
            };
            let left = if !first {
                1.0
            } else if self.rests(stage) {
                if leaves_d.is_finite() {
                    (leaves_d - since_d) / (leaves_d - entered_d).max(1e-9)
                } else {
                    1.0
                }
            } else {
                1.0 - (start.done / need).clamp(0.0, 1.0)
            };
            // Comes through what is left of the stage with the stage's survival to the power of that share.
            let through = libm::exp(self.log_survival[stage] * left);
            if luck > through {
                // Given death, the luck is even over what is left, and so is the instant.
                let part = (luck - through) / (1.0 - through);
                let end_d = if leaves_d.is_finite() { leaves_d } else { self.clocks.end_d() };
                dies_d = since_d + part * (end_d - since_d).max(0.0);
                break;
            }
            entered_d = leaves_d;
            if leaves_d.is_infinite() {
                break;
            }
        }
        lives.end_d[animal] = dies_d;
        lives.spared_end_d[animal] = dies_d;
        if dies_d.is_infinite() && entered_d.is_finite() {
            lives.entry_mut(animal)[stages] = entered_d;
            self.as_moth(sex, entered_d, start.alive_d, dice, lives, animal);
        }
    }

    /// How long a moth lives, given that it is alive at an instant.
    fn as_moth(&self, sex: Sex, out_d: f64, alive_d: f64, dice: &mut Dice, lives: &mut Lives, animal: usize) {
        let Nights { mean, sd } = match sex {
            Sex::Male => self.model.moth_nights.male,
            Sex::Female => self.model.moth_nights.female,
        };
        let at_least = (alive_d - out_d).max(0.5_f64.min(mean));
        let lives_d =
            if sd > 0.0 { mean + sd * dice.normal_above((at_least - mean) / sd) } else { mean.max(at_least) };
        lives.end_d[animal] = out_d + lives_d;
        lives.spared_end_d[animal] = out_d + lives_d;
    }

    /// When the animal entered its earlier stages: drawn backwards, because nobody wrote it down.
    fn lead_back(&self, stage: usize, u: f64, sex: Sex, dice: &mut Dice, lives: &mut Lives, animal: usize) {
        let rho = self.model.rank_correlation;
        let mut left_d = lives.entry(animal)[stage];
        for earlier in (0..stage).rev() {
            let spread = self.spread[earlier];
            let z = rho.sqrt() * u + (1.0 - rho).sqrt() * dice.normal();
            let need = self.middle_need(earlier, sex) * libm::exp(spread * z - 0.5 * spread * spread);
            let began = self.clocks.units_at(earlier, self.future, left_d) - need;
            left_d = self.clocks.when_before(earlier, began).min(left_d);
            lives.entry_mut(animal)[earlier] = left_d;
            lives.need_mut(animal)[earlier] = need;
        }
    }

    /// Lets the box's diseases take their share of the larvae in it.
    pub(super) fn shock(
        &self,
        box_index: usize,
        alive_d: f64,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let Some(hits) = self.shocks.get(box_index) else { return };
        for hit_d in hits {
            // Drawn whether or not it strikes, so that a delayed animal keeps its luck.
            let struck = dice.unit() < self.model.shock.loss_share;
            if *hit_d < alive_d || *hit_d >= lives.end_d[animal] {
                continue;
            }
            let feeding = lives.stage_at(animal, *hit_d);
            let larva = feeding
                .and_then(|it| self.model.stages.get(it))
                .is_some_and(|it| it.kind == StageKind::Larva);
            if struck && larva {
                lives.end_d[animal] = *hit_d;
                return;
            }
        }
    }
}
