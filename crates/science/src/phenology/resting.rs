//! Which pupae rest in a run: what was seen weighs the brood's leaning, the leaning decides each animal's fate.

use super::brood::Group;
use super::clocks::Clocks;
use super::diapause::{Diapause, LarvalDay, Leaning};
use super::life::Run;
use super::lives::Lives;
use super::model::{BroodModel, Sex, StageKind};
use super::pace::log_variance;
use super::particles::{Evidence, later_than};
use super::stories::{Cohort, Told};
use super::winter::{Spring, Winter};
use crate::dice::{Dice, Purpose, normal_upper};

/// Stages of a life at most, the moth included.
const MOST_STAGES: usize = 41;
/// Leanings drawn for each run whose paces were learned from counts; one of them is kept.
const LEANINGS_PER_RUN: usize = 48;

/// Marks the dice of those that become pupae in the run.
const ENTERING: u64 = 1 << 32;

/// The rest in one run.
pub(super) struct Resting<'a> {
    pub(super) diapause: &'a Diapause,
    pub(super) leaning: Leaning,
    pub(super) seed: u64,
    pub(super) run: u64,
}

impl Resting<'_> {
    /// Dice of their own, so that a share of none or all leaves every life as it is without a rest.
    pub(super) fn dice(&self, animal: usize) -> Dice {
        Dice::of(self.seed, Purpose::Rest, self.run, animal as u64)
    }
}

impl Run<'_> {
    /// Is the stage the pupa of a kind in which some rest?
    pub(super) fn may_rest(&self, stage: usize) -> bool {
        self.resting.is_some() && stage + 1 == self.model.stages.len()
    }

    /// Decides whether a pupa rests, given the chance that one which goes on is still in its cocoon.
    pub(super) fn decide(
        &self,
        (by_d, still_in_going): (f64, f64),
        sex: Sex,
        dice: &mut Dice,
        lives: &mut Lives,
        animal: usize,
    ) {
        let (Some(resting), Some(spring)) = (&self.resting, &self.spring) else { return };
        let share = resting.leaning.share(&resting.diapause.days_of(lives.entry(animal)));
        let winter = &resting.diapause.winter;
        let rests = share * winter.chance_still_in(spring, Some(sex), self.model.female_share, by_d);
        let goes = (1.0 - share) * still_in_going;
        let luck = dice.unit();
        // Overdue beyond everything that is held possible: it rests where any do.
        let does = if rests + goes > 0.0 { luck * (rests + goes) < rests } else { share > 0.0 };
        lives.rests[animal] = Some(does);
    }

    /// The same for one that becomes a pupa now.
    pub(super) fn decide_entering(&self, since_d: f64, sex: Sex, lives: &mut Lives, animal: usize) {
        let Some(resting) = &self.resting else { return };
        // Beside the dice of its earlier days: the same animal may have used those.
        let mut own = Dice::of(resting.seed, Purpose::Rest, resting.run, ENTERING + animal as u64);
        self.decide((since_d, 1.0), sex, &mut own, lives, animal);
    }

    /// The winter of an animal in its last stage, if it has one.
    pub(super) fn winter_of(&self, lives: &Lives, animal: usize) -> Option<(&Winter, &Spring)> {
        let winter = match &self.resting {
            Some(it) => lives.does_rest(animal).then_some(&it.diapause.winter),
            None => self.model.winter.as_ref(),
        };
        winter.zip(self.spring.as_ref())
    }
}

/// The mean day of the sensitive stages of a pupa's larva, walked back with the needs of a middle animal.
fn days_before(
    diapause: &Diapause,
    model: &BroodModel,
    clocks: &Clocks,
    factor: &[f64],
    pupated_d: f64,
) -> LarvalDay {
    let mut entry = [f64::NAN; MOST_STAGES];
    let pupa = model.stages.len() - 1;
    entry[pupa] = pupated_d;
    if let Some((from, _)) = diapause.sensitive() {
        for stage in (from..pupa).rev() {
            let left_d = entry[stage + 1];
            let began = clocks.units_at(stage, 0, left_d) - clocks.need(stage) * factor[stage];
            entry[stage] = clocks.when_before(stage, began).min(left_d);
        }
    }
    diapause.days_of(&entry)
}

impl Evidence<'_> {
    /// When those come out that rest: all pupae of the kind, or some.
    pub(super) fn winter(&self) -> Option<&Winter> {
        self.model.winter.as_ref().or(self.living.resting.as_ref().map(|it| &it.winter))
    }

    /// Log of the chance of what was seen of pupae that may rest: those that wait, and the moths that went on.
    pub(super) fn log_resting(&self, factor: &[f64], spring: &Spring, leaning: &Leaning) -> f64 {
        let Some(diapause) = &self.living.resting else { return 0.0 };
        let pupa = self.model.stages.len() - 1;
        let waits = |it: &Group| f64::from(it.n) * self.log_waits(diapause, it, factor, spring, leaning);
        let waiting: f64 = self.living.groups.iter().filter(|it| it.stage == pupa).map(waits).sum();
        let begins_d = diapause.winter.begins_d();
        let out = self.living.came_out.iter().map(|it| {
            if it.at_d >= begins_d {
                return diapause.winter.log_came_out(spring, it.sex, self.model.female_share, it.at_d);
            }
            let units = self.clocks.units_at(pupa, 0, it.at_d) - self.clocks.need(pupa) * factor[pupa];
            let pupated_d = self.clocks.when_before(pupa, units).min(it.at_d);
            let days = days_before(diapause, self.model, self.clocks, factor, pupated_d);
            libm::log((1.0 - leaning.share(&days)).max(1e-12))
        });
        waiting + out.sum::<f64>()
    }

    fn log_waits(
        &self,
        diapause: &Diapause,
        group: &Group,
        factor: &[f64],
        spring: &Spring,
        leaning: &Leaning,
    ) -> f64 {
        let (model, clocks) = (self.model, self.clocks);
        let (window, seen_d) = group.known.waiting(clocks.asof_d());
        let latest_d = window.latest_d.min(seen_d);
        let days = days_before(diapause, model, clocks, factor, 0.5 * (window.earliest_d + latest_d));
        let share = leaning.share(&days);
        let winter = &diapause.winter;
        if share >= 1.0 {
            return winter.log_still_in(spring, group.sex, model.female_share, seen_d);
        }
        let going = super::particles::still_in(model, clocks, group, factor);
        if share <= 0.0 {
            return libm::log(going.max(1e-6));
        }
        let rests = winter.chance_still_in(spring, group.sex, model.female_share, seen_d);
        libm::log((share * rests + (1.0 - share) * going).max(1e-6))
    }

    /// A leaning and a spring for a run whose paces were learned from counts: of many, one in proportion to how well
    /// it fits the pupae and moths of the run's story.
    pub(super) fn rest_told(
        &self,
        told: &Told,
        cohorts: &[Cohort],
        run: usize,
        seed: u64,
    ) -> Option<(Spring, Leaning)> {
        let diapause = self.living.resting.as_ref()?;
        let seen = self.pupae_told(diapause, told, cohorts, run);
        let mut dice = Dice::of(seed, Purpose::Rest, run as u64, u64::MAX);
        let mut candidates = Vec::with_capacity(LEANINGS_PER_RUN);
        for _ in 0..LEANINGS_PER_RUN {
            let (spring, leaning) = (diapause.winter.spring(&mut dice), diapause.leaning(&mut dice));
            let fit: f64 = seen.iter().map(|it| it.log_chance(&diapause.winter, &spring, &leaning)).sum();
            let log_weight = fit + self.log_resting(told.factor(run), &spring, &leaning);
            candidates.push((spring, leaning, log_weight));
        }
        let best = candidates.iter().map(|it| it.2).fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = candidates.iter().map(|it| libm::exp(it.2 - best)).sum();
        let mut pick = dice.unit() * sum;
        let chosen = candidates.iter().position(|it| {
            pick -= libm::exp(it.2 - best);
            pick < 0.0
        });
        candidates.get(chosen.unwrap_or(0)).map(|it| (it.0, it.1))
    }

    /// The pupae and moths of a run's story.
    fn pupae_told(&self, diapause: &Diapause, told: &Told, cohorts: &[Cohort], run: usize) -> Vec<PupaTold> {
        let (model, clocks, factor) = (self.model, self.clocks, told.factor(run));
        let pupa = model.stages.len() - 1;
        let spread: Vec<f64> =
            model.stages.iter().map(|it| log_variance(it.spread_cv * told.spread[run]).sqrt()).collect();
        let mut seen = Vec::new();
        let mut animal = 0;
        for cohort in cohorts {
            for tail in &cohort.tails {
                let (life, since) = (told.life(run, animal), told.entry(run, animal));
                animal += 1;
                // Of one that left the house nobody knows what became of it, unless it had come out before.
                if !tail.here && tail.stage <= pupa {
                    continue;
                }
                if usize::from(life.stage) < pupa || !life.died.is_nan() {
                    continue;
                }
                let sex = if life.female { Sex::Female } else { Sex::Male };
                let mut entry = [f64::NAN; MOST_STAGES];
                for (at, since) in entry.iter_mut().zip(since) {
                    *at = cohort.base_d + f64::from(*since);
                }
                let known = diapause.sensitive().is_none_or(|(from, _)| entry[from].is_finite());
                let days = if known {
                    diapause.days_of(&entry)
                } else {
                    days_before(diapause, model, clocks, factor, entry[pupa])
                };
                let out = usize::from(life.stage) > pupa;
                let until_d = if out { entry[pupa + 1] } else { cohort.last_d() };
                let done = clocks.units_at(pupa, 0, until_d) - clocks.units_at(pupa, 0, entry[pupa]);
                let slow = if life.female { model.female_pupa_factor } else { 1.0 };
                let hurry = hurry(model, clocks, factor, &spread, &entry[..=pupa]);
                let going =
                    still_in_going(done, clocks.need(pupa) * factor[pupa] * slow, spread[pupa], hurry);
                seen.push(PupaTold { days, out, until_d, sex, going });
            }
        }
        seen
    }
}

/// Mean and spread of a pupa's standardised need, given the times that the animal took for the stages before.
///
/// `entry` holds the instants of entry up to the pupa; stages of which the entry is not known say nothing.
pub(super) fn hurry(
    model: &BroodModel,
    clocks: &Clocks,
    factor: &[f64],
    spread: &[f64],
    entry: &[f64],
) -> (f64, f64) {
    let rho = model.rank_correlation;
    let (mut sum, mut q) = (0.0, 0.0);
    for stage in 0..entry.len() - 1 {
        let units = clocks.units_at(stage, 0, entry[stage + 1]) - clocks.units_at(stage, 0, entry[stage]);
        let s = spread[stage];
        if units.is_finite() && units > 0.0 && s > 0.0 {
            sum += libm::log(units / (clocks.need(stage) * factor[stage])) / s + 0.5 * s;
            q += 1.0;
        }
    }
    let pull = rho / (1.0 - rho + rho * q).max(1e-9);
    (pull * sum, (1.0 - rho * pull * q).max(0.0).sqrt())
}

/// One pupa of a story, or the moth that it became.
struct PupaTold {
    days: LarvalDay,
    out: bool,
    /// When it came out, or was last looked at.
    until_d: f64,
    sex: Sex,
    /// The chance that it would not be out yet if it went on.
    going: f64,
}

impl PupaTold {
    /// Log of the chance that it rested and came out or waits, or went on and did. How well a moth's time fits the
    /// clock is in its story already.
    fn log_chance(&self, winter: &Winter, spring: &Spring, leaning: &Leaning) -> f64 {
        let share = leaning.share(&self.days);
        let chance = if self.out && self.until_d >= winter.begins_d() {
            share * winter.chance_came_out(spring, Some(self.sex), 0.5, self.until_d)
        } else if self.out {
            1.0 - share
        } else {
            let rests = winter.chance_still_in(spring, Some(self.sex), 0.5, self.until_d);
            share * rests + (1.0 - share) * self.going
        };
        libm::log(chance.max(1e-12))
    }
}

/// The chance that a pupa which goes on has not come out after `done` units, its standardised need being normal
/// with a mean and a spread.
pub(super) fn still_in_going(done: f64, middle: f64, spread: f64, (mean, own): (f64, f64)) -> f64 {
    if spread <= 0.0 || own <= 0.0 || done <= 0.0 {
        let need = middle * libm::exp(spread * mean - 0.5 * spread * spread);
        return later_than(done / need, 0.0);
    }
    normal_upper((libm::log(done / middle) / spread + 0.5 * spread - mean) / own)
}

/// Is the last stage a pupa, so that it can rest?
pub(super) fn ends_as_pupa(model: &BroodModel) -> bool {
    model.stages.last().is_some_and(|it| it.kind == StageKind::Pupa)
}
