//! The life of one animal in one run: look-ups of the inverse clock, stage after stage.

use super::brood::Window;
use super::clocks::Clocks;
use super::lives::Lives;
use super::model::{BroodModel, MothNights, Nights, Sex, StageKind};
use super::resting::{Resting, hurry, still_in_going};
use super::stories::Life;
use super::winter::{Rest, Spring};
use crate::dice::{Dice, NormalTable, normal_upper, quick_exp};

/// All that the animals of one run share.
pub(super) struct Run<'a> {
    pub(super) model: &'a BroodModel,
    pub(super) clocks: &'a Clocks,
    pub(super) factor: &'a [f64],
    pub(super) future: usize,
    /// Log of the chance to come through each stage, in this run.
    pub(super) log_survival: &'a [f64],
    /// The same chance, not its logarithm.
    pub(super) survival: &'a [f64],
    /// Standard deviation of the logarithm of the needs, stage by stage.
    pub(super) spread: &'a [f64],
    pub(super) table: &'a NormalTable,
    /// How long a male and a female live that come out now.
    pub(super) new_moth: [Tail; 2],
    pub(super) spring: Option<Spring>,
    /// For kinds in which some pupae rest.
    pub(super) resting: Option<Resting<'a>>,
    /// For each box the instants at which it is hit, in order.
    pub(super) shocks: &'a [Vec<f64>],
}

/// A normal number's lower bound, and the chance to lie above it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tail {
    lower: f64,
    above: f64,
}

/// The tails from which the lives of moths are drawn that come out now, of males and of females.
pub(super) fn new_moth(nights: &MothNights) -> [Tail; 2] {
    [nights.male, nights.female].map(|it| {
        let lower = (0.5_f64.min(it.mean) - it.mean) / it.sd;
        Tail { lower, above: normal_upper(lower) }
    })
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
        if let Some(resting) = &self.resting {
            // Its earlier days decide whether it rests, so they are drawn first, with dice of their own.
            let mut own = resting.dice(animal);
            lives.entry_mut(animal)[stage] = entered_d;
            let u = own.normal();
            self.lead_back(stage, u, sex, &mut own, lives, animal);
            if self.may_rest(stage) {
                let still_in = still_in_going(done, middle, spread, (0.0, 1.0));
                self.decide((seen_d, still_in), sex, &mut own, lives, animal);
            }
        }
        // The need, given that it is more than what has been done.
        let lower = if done <= 0.0 || self.rests(stage) || lives.does_rest(animal) {
            f64::NEG_INFINITY
        } else if spread > 0.0 {
            (libm::log(done / middle) + 0.5 * spread * spread) / spread
        } else {
            f64::NEG_INFINITY
        };
        // Upside down where nothing is known, as the truncated one is drawn.
        let z = if lower < -8.0 { -dice.quick_normal(self.table) } else { dice.normal_above(lower) };
        let rho = self.model.rank_correlation;
        let u = rho.sqrt() * z + (1.0 - rho).sqrt() * dice.quick_normal(self.table);
        let need = (middle * quick_exp(spread * z - 0.5 * spread * spread)).max(done);
        self.rest_of_life(
            &Start { stage, alive_d: seen_d, entered_d, need, done, u },
            sex,
            dice,
            lives,
            animal,
        );
        if self.resting.is_none() {
            self.lead_back(stage, u, sex, dice, lives, animal);
        }
    }

    /// An animal of which the counts tell a story: the story so far, and the rest of its life.
    pub(super) fn told(
        &self,
        (life, entry): (Life, &[f32]),
        (started_d, last_d): (f64, f64),
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let sex = if life.female { Sex::Female } else { Sex::Male };
        let stage = usize::from(life.stage);
        lives.sex[animal] = sex;
        for (to, since_d) in lives.entry_mut(animal).iter_mut().zip(entry) {
            *to = started_d + f64::from(*since_d);
        }
        let entered_d = lives.entry(animal)[stage].min(last_d);
        if !life.died.is_nan() {
            let died_d = (started_d + f64::from(life.died)).clamp(entered_d, last_d);
            lives.end_d[animal] = died_d;
            lives.spared_end_d[animal] = died_d;
            return;
        }
        if stage >= self.model.stages.len() {
            self.as_moth(sex, entered_d, last_d, dice, lives, animal);
            return;
        }
        let done = self.clocks.units_at(stage, self.future, last_d)
            - self.clocks.units_at(stage, self.future, entered_d);
        let mut need = f64::from(life.need);
        if let Some(resting) = &self.resting {
            let mut own = resting.dice(animal);
            self.lead_back(cohort_began(entry), f64::from(life.u), sex, &mut own, lives, animal);
            if self.may_rest(stage) {
                need = self.pupa_told(need, (done, last_d), sex, &mut own, lives, animal);
            }
        }
        if need.is_nan() {
            need = self.middle_need(stage, sex);
        }
        let start =
            Start { stage, alive_d: last_d, entered_d, need: need.max(done), done, u: f64::from(life.u) };
        self.rest_of_life(&start, sex, dice, lives, animal);
    }

    /// Decides on a pupa of a story, and gives its need if the story left that open.
    fn pupa_told(
        &self,
        told: f64,
        (done, last_d): (f64, f64),
        sex: Sex,
        own: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) -> f64 {
        let stage = self.model.stages.len() - 1;
        let (middle, spread) = (self.middle_need(stage, sex), self.spread[stage]);
        let entry = &lives.entry(animal)[..=stage];
        let (mean, sd) = hurry(self.model, self.clocks, self.factor, self.spread, entry);
        self.decide((last_d, still_in_going(done, middle, spread, (mean, sd))), sex, own, lives, animal);
        if told.is_finite() {
            return told;
        }
        let bound = if done > 0.0 && spread > 0.0 && sd > 0.0 && !lives.does_rest(animal) {
            (libm::log(done / middle) / spread + 0.5 * spread - mean) / sd
        } else {
            f64::NEG_INFINITY
        };
        let z = mean + sd * own.normal_above(bound);
        middle * libm::exp(spread * z - 0.5 * spread * spread)
    }

    /// From a known place in a stage to the end.
    fn rest_of_life(&self, start: &Start, sex: Sex, dice: &mut Dice, lives: &mut Lives, animal: usize) {
        let stages = self.model.stages.len();
        let rho = self.model.rank_correlation;
        let (common, own) = (rho.sqrt() * start.u, (1.0 - rho).sqrt());
        lives.sex[animal] = sex;
        let mut entered_d = start.entered_d;
        let mut dies_d = f64::INFINITY;
        let some_rest = self.resting.is_some() || self.spring.is_some();
        for stage in start.stage..stages {
            let first = stage == start.stage;
            let need = if first {
                start.need
            } else {
                let spread = self.spread[stage];
                let z = common + own * dice.quick_normal(self.table);
                self.middle_need(stage, sex) * quick_exp(spread * z - 0.5 * spread * spread)
            };
            lives.entry_mut(animal)[stage] = entered_d;
            lives.need_mut(animal)[stage] = need;
            let since_d = if first { start.alive_d } else { entered_d };
            let luck = dice.unit();
            if some_rest && !first && self.may_rest(stage) {
                self.decide_entering(since_d, sex, lives, animal);
            }
            let last = some_rest && stage + 1 == stages;
            let leaves_d = match last.then(|| self.winter_of(lives, animal)).flatten() {
                Some((winter, spring)) => match winter.rest(spring, sex, since_d, dice) {
                    Rest::Out(at_d) => at_d,
                    Rest::Over => {
                        lives.over[animal] = true;
                        f64::INFINITY
                    }
                },
                _ => self.clocks.done_by(stage, self.future, entered_d, need).max(since_d),
            };
            let left = if !first {
                1.0
            } else if self.rests(stage) || lives.does_rest(animal) {
                if leaves_d.is_finite() {
                    (leaves_d - since_d) / (leaves_d - entered_d).max(1e-9)
                } else {
                    1.0
                }
            } else {
                1.0 - (start.done / need).clamp(0.0, 1.0)
            };
            // Comes through what is left of the stage with the stage's survival to the power of that share.
            let through =
                if first { quick_exp(self.log_survival[stage] * left) } else { self.survival[stage] };
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
        let lives_d = if sd > 0.0 && out_d >= alive_d {
            let tail = self.new_moth[usize::from(sex == Sex::Female)];
            mean + sd * (-self.table.z(dice.unit() * tail.above)).max(tail.lower)
        } else if sd > 0.0 {
            mean + sd * dice.normal_above((at_least - mean) / sd)
        } else {
            mean.max(at_least)
        };
        lives.end_d[animal] = out_d + lives_d;
        lives.spared_end_d[animal] = out_d + lives_d;
    }

    /// When the animal entered its earlier stages: drawn backwards, because nobody wrote it down.
    fn lead_back(&self, stage: usize, u: f64, sex: Sex, dice: &mut Dice, lives: &mut Lives, animal: usize) {
        let rho = self.model.rank_correlation;
        let mut left_d = lives.entry(animal)[stage];
        for earlier in (0..stage).rev() {
            let spread = self.spread[earlier];
            let z = rho.sqrt() * u + (1.0 - rho).sqrt() * dice.quick_normal(self.table);
            let need = self.middle_need(earlier, sex) * quick_exp(spread * z - 0.5 * spread * spread);
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

/// The first stage of which a story knows the entry.
fn cohort_began(entry: &[f32]) -> usize {
    entry.iter().position(|it| it.is_finite()).unwrap_or(0)
}
