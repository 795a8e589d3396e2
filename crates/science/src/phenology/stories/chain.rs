//! The state of one chain of stories, and how likely an animal's story is.

use super::super::brood::Living;
use super::super::clocks::Clocks;
use super::super::model::{BroodModel, StageKind};
use super::super::pace::{PaceBelief, log_variance};
use super::super::tracks::Glance;
use super::cohort::{Cohort, Head};
use crate::dice::{Dice, normal_upper};

/// How sure we are of the spread among animals that the model gives: standard deviation of the logarithm of a
/// common factor of all its coefficients of variation. Judgement: seven in ten broods within a fifth of it.
pub(in super::super) const SPREAD_SD: f64 = 0.2;
/// No count is perfect and nothing is certain to live: where the model says so, the chance is this.
pub(super) const NEVER: f64 = 1e-6;
/// A chance that no longer matters beside the others.
const NEGLIGIBLE: f64 = 1e-9;
/// Log of a chance that no move takes.
const IMPOSSIBLE: f64 = -1e9;
/// Correlation of one makes the equations singular.
const MOST_CORRELATED: f64 = 0.98;
/// The cold is never quite still: share of a stage per day that goes by at any temperature.
const COLD_CREEP: f64 = 1e-5;

/// What a chain is made from.
pub(in super::super) struct Given<'a> {
    pub(in super::super) model: &'a BroodModel,
    pub(in super::super) clocks: &'a Clocks,
    pub(in super::super) cohorts: &'a [Cohort],
    pub(in super::super) belief: &'a PaceBelief,
    pub(in super::super) living: &'a Living,
}

impl Given<'_> {
    /// Do the counts of a kind in which some pupae rest reach into the spring? The clock tells nothing of those moths.
    pub(super) fn sees_spring(&self) -> bool {
        let begins_d = self.living.resting.as_ref().map(|it| it.winter.begins_d());
        begins_d.is_some_and(|begins_d| self.cohorts.iter().any(|it| it.last_d() >= begins_d))
    }
}

/// What is believed of the brood in one state of the chain.
#[derive(Debug, Clone)]
pub(super) struct Brood {
    /// `g + h_k`.
    pub(super) m: Vec<f64>,
    /// Logarithm of the factor of the spread.
    pub(super) omega: f64,
    /// Logarithm of the survival of each stage.
    pub(super) log_p: Vec<f64>,
    /// Standard deviation of the logarithm of the needs.
    pub(super) s: Vec<f64>,
    /// Logarithm of the middle animal's need in units: `log K_k + m_k`.
    pub(super) log_need: Vec<f64>,
}

/// One chain.
pub(super) struct Chain<'a> {
    pub(super) given: &'a Given<'a>,
    pub(super) dice: Dice,
    pub(super) brood: Brood,
    pub(super) stages: usize,
    /// Stages whose length the clock decides: all, or all but the resting pupa.
    pub(super) timed: usize,
    /// The share of pupae that rest as the stories take it, where some do; the run decides afterwards which.
    pub(super) resting: Option<f64>,
    pub(super) rho: f64,
    /// `rho / (1 - rho + rho q)` for `q` stages seen whole.
    pub(super) pull: Vec<f64>,
    pub(super) log_missed: Vec<f64>,
    pub(super) missed: Vec<f64>,
    pub(super) slow_log: f64,
    pub(super) animals: Vec<Animal>,
    /// The first animal of each group.
    pub(super) first: Vec<usize>,
    /// For each animal: instants of entry, up to the stage it stands in at the last count.
    pub(super) entry: Vec<f64>,
    /// For each animal: logarithm of the units spent in each stage that it left; of the one it stands in, so far.
    pub(super) log_units: Vec<f64>,
    /// For each animal and look: where its story puts it, whether it lives or not.
    pub(super) at: Vec<u8>,
    /// For each animal and look: what was seen of it.
    pub(super) glance: Vec<Glance>,
    /// For each animal and look: the box it was left in.
    pub(super) place: Vec<u16>,
    /// For each animal and look: the stage that the book takes it for from then on, that in which it was last seen.
    pub(super) taken_for: Vec<u8>,
    /// Looks kept for each animal: the most that any group has.
    pub(super) counts: usize,
    /// Days that a resting pupa takes, roughly: the clock does not decide it.
    pub(super) rest_d: f64,
}

/// What is kept of one animal beside its instants.
#[derive(Debug, Clone, Copy)]
pub(super) struct Animal {
    pub(super) cohort: u32,
    /// Its stage at the last count.
    pub(super) cur: u8,
    /// One more than the last look at which it was seen alive; 0 if it never was.
    pub(super) seen_to: u8,
    /// Looks before that at which it was not, or not for certain in one stage; one more where it was known to live
    /// although it had begun before.
    pub(super) gaps: u8,
    /// The end of a story that it has now: box, sex and what was seen last go with it.
    pub(super) tail: u32,
    pub(super) female: bool,
    /// Sum of the standardised logarithms of its needs, and of their squares.
    pub(super) fit: Fit,
    /// Log of the chance of living when it was seen, and of not being seen when it was not. That those who were
    /// seen were not overlooked is left out: it is the same for every story of the same counts.
    pub(super) sight: f64,
}

/// The time between two looks after an animal was last seen alive.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stretch {
    /// The look it begins with; none if with the story.
    pub(super) since: Option<usize>,
    /// The look it ends with.
    pub(super) until: usize,
    /// The chance of dying in it.
    pub(super) dies: f64,
    /// The chance of living on.
    pub(super) lives: f64,
}

/// How an animal's times fit the brood.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Fit {
    pub(super) sum: f64,
    pub(super) squares: f64,
    /// Log of the chance that the present stage takes longer than it has.
    pub(super) wait: f64,
}

impl<'a> Chain<'a> {
    pub(super) fn cohort(&self, animal: usize) -> &'a Cohort {
        &self.given.cohorts[self.animals[animal].cohort as usize]
    }

    /// How an animal's story begins.
    #[inline]
    pub(super) fn head(&self, animal: usize) -> &'a Head {
        let index = self.animals[animal].cohort as usize;
        &self.given.cohorts[index].heads[animal - self.first[index]]
    }

    /// The stage it was started in.
    #[inline]
    pub(super) fn started(&self, animal: usize) -> usize {
        self.head(animal).stage
    }

    /// What was seen of an animal, look by look.
    #[inline]
    pub(super) fn glances(&self, animal: usize) -> &[Glance] {
        let from = animal * self.counts;
        &self.glance[from..from + self.cohort(animal).looks_d.len()]
    }

    /// Where an animal was after a look; where it came to before the first.
    #[inline]
    pub(super) fn place_before(&self, animal: usize, look: usize) -> u16 {
        look.checked_sub(1)
            .map_or_else(|| self.head(animal).place, |it| self.place[animal * self.counts + it])
    }

    /// The stage that the book took an animal for before a look.
    #[inline]
    pub(super) fn taken_before(&self, animal: usize, look: usize) -> usize {
        let known = look.checked_sub(1).map(|it| usize::from(self.taken_for[animal * self.counts + it]));
        known.unwrap_or_else(|| self.started(animal))
    }

    pub(super) fn row(&self, animal: usize) -> usize {
        animal * (self.stages + 1)
    }

    /// Units of a stage's clock and how fast they go by; never quite still, so that every instant can be told.
    #[inline]
    pub(super) fn reading(&self, stage: usize, at_d: f64) -> (f64, f64) {
        if stage >= self.timed {
            // A resting pupa waits for the spring: its days count, not its warmth.
            return (at_d - self.given.clocks.start_d(), 1.0);
        }
        let (units, per_day) = self.given.clocks.past_reading(stage, at_d);
        let creep = COLD_CREEP * self.given.clocks.need(stage);
        (units + creep * (at_d - self.given.clocks.start_d()), per_day + creep)
    }

    #[inline]
    pub(super) fn units(&self, stage: usize, at_d: f64) -> f64 {
        self.reading(stage, at_d).0
    }

    /// The logarithm of a female's longer need.
    #[inline]
    pub(super) fn slow(&self, stage: usize, female: bool) -> f64 {
        if female && self.given.model.stages[stage].kind == StageKind::Pupa { self.slow_log } else { 0.0 }
    }

    /// The standardised logarithm of a need.
    #[inline]
    pub(super) fn z(&self, brood: &Brood, stage: usize, female: bool, log_units: f64) -> f64 {
        let s = brood.s[stage];
        (log_units - brood.log_need[stage] - self.slow(stage, female)) / s + 0.5 * s
    }

    /// Sums over the stages that an animal has left.
    pub(super) fn fit(&self, brood: &Brood, animal: usize) -> Fit {
        let it = &self.animals[animal];
        let (row, cur) = (self.row(animal), usize::from(it.cur));
        let mut fit = Fit::default();
        for stage in self.started(animal)..cur.min(self.timed) {
            let z = self.z(brood, stage, it.female, self.log_units[row + stage]);
            fit.sum += z;
            fit.squares += z * z;
        }
        fit.wait = self.wait(brood, animal, fit.sum);
        fit
    }

    /// How many stages an animal has left whose length the clock decides.
    #[inline]
    pub(super) fn left(&self, animal: usize) -> usize {
        usize::from(self.animals[animal].cur).min(self.timed) - self.started(animal).min(self.timed)
    }

    /// Log of the chance that the stage an animal stands in takes longer than it has, given the others.
    #[inline]
    pub(super) fn wait(&self, brood: &Brood, animal: usize, sum: f64) -> f64 {
        let it = &self.animals[animal];
        let cur = usize::from(it.cur);
        if cur >= self.timed {
            return self.begun(brood, animal);
        }
        self.wait_for(brood, animal, sum, self.log_units[self.row(animal) + cur])
    }

    /// Of an animal that had begun its first stage before it was first seen: the log of the chance that this stage
    /// took longer than until then, taken off, because only such animals could come.
    fn begun(&self, brood: &Brood, animal: usize) -> f64 {
        let head = self.head(animal);
        let Some(look) = head.conditioned.filter(|_| head.stage < self.timed) else { return 0.0 };
        let began_d = self.entry[self.row(animal) + head.stage];
        let so_far = self.log_between(head.stage, began_d, self.cohort(animal).looks_d[look]);
        -log_upper(self.z(brood, head.stage, self.animals[animal].female, so_far))
    }

    /// The same, for other units so far.
    #[inline]
    pub(super) fn wait_for(&self, brood: &Brood, animal: usize, sum: f64, log_units: f64) -> f64 {
        let it = &self.animals[animal];
        let pull = self.pull[self.left(animal)];
        let z = self.z(brood, usize::from(it.cur), it.female, log_units);
        let bound = (z - pull * sum) / (1.0 - self.rho * pull * self.left(animal) as f64).sqrt();
        let clock = match self.resting {
            // One that rests waits whatever its clock says.
            Some(share) if usize::from(it.cur) + 1 == self.stages => {
                libm::log(share + (1.0 - share) * libm::exp(log_upper(bound)) + 1e-300)
            }
            _ => log_upper(bound),
        };
        clock + self.begun(brood, animal)
    }

    /// The log density of an animal's times, up to what no move changes.
    #[inline]
    pub(super) fn times(&self, animal: usize, fit: &Fit) -> f64 {
        let pull = self.pull[self.left(animal)];
        -0.5 * (fit.squares - pull * fit.sum * fit.sum) / (1.0 - self.rho) + fit.wait
    }

    /// The share of the present stage done by the last count, taking the animal for a middle one.
    pub(super) fn share_done(&self, animal: usize, stage: usize, log_units: f64) -> f64 {
        let it = &self.animals[animal];
        libm::exp((log_units - self.brood.log_need[stage] - self.slow(stage, it.female)).min(0.0))
    }

    /// Log of the chance of not dying from the start to a look, along an animal's story.
    pub(super) fn lived(&self, animal: usize, look: usize) -> f64 {
        let stage = usize::from(self.at[animal * self.counts + look]);
        let whole: f64 = self.brood.log_p[self.started(animal)..stage].iter().sum();
        if stage >= self.stages {
            return whole;
        }
        whole + self.brood.log_p[stage] * self.part_done(animal, stage, self.cohort(animal).looks_d[look])
    }

    /// The share of a stage done at an instant, along an animal's story.
    pub(super) fn part_done(&self, animal: usize, stage: usize, at_d: f64) -> f64 {
        let row = self.row(animal);
        let done = self.units(stage, at_d) - self.units(stage, self.entry[row + stage]);
        if stage < usize::from(self.animals[animal].cur) {
            (done / libm::exp(self.log_units[row + stage])).clamp(0.0, 1.0)
        } else {
            self.share_done(animal, stage, libm::log(done.max(1e-12)))
        }
    }

    /// The share of its first stage that an animal had behind it when it was first known to live.
    pub(super) fn spared(&self, animal: usize) -> f64 {
        let head = self.head(animal);
        match head.conditioned {
            Some(look) if head.stage < self.stages => {
                self.part_done(animal, head.stage, self.cohort(animal).looks_d[look])
            }
            _ => 0.0,
        }
    }

    /// Was it seen alive at the last look?
    #[inline]
    pub(super) fn seen_last(&self, animal: usize) -> bool {
        usize::from(self.animals[animal].seen_to) == self.cohort(animal).looks_d.len()
    }

    /// Can an instant of its story change sides with a look, or weigh on what it survived?
    #[inline]
    pub(super) fn doubtful(&self, animal: usize) -> bool {
        self.animals[animal].gaps > 0 || !self.seen_last(animal)
    }

    /// The stage it was in when last seen alive.
    pub(super) fn seen_in(&self, animal: usize) -> usize {
        match usize::from(self.animals[animal].seen_to).checked_sub(1) {
            Some(look) => usize::from(self.at[animal * self.counts + look]),
            None => self.started(animal),
        }
    }

    /// Looks anew at when an animal was seen.
    pub(super) fn look(&mut self, animal: usize) {
        let glances = self.glances(animal);
        let seen_to = glances.iter().rposition(|it| it.is_alive()).map_or(0, |it| it + 1);
        let gaps = glances[..seen_to].iter().filter(|it| !matches!(it, Glance::Alive(_))).count();
        let gaps = gaps + usize::from(self.head(animal).conditioned.is_some());
        let it = &mut self.animals[animal];
        (it.seen_to, it.gaps) = (seen_to as u8, gaps as u8);
    }

    /// Log of the chance of living when it was seen, and of what the other looks showed, whenever it died.
    pub(super) fn sight(&self, animal: usize) -> f64 {
        let it = &self.animals[animal];
        let (seen_to, from) = (usize::from(it.seen_to), animal * self.counts);
        let started = self.started(animal);
        let mut sum = 0.0;
        if it.gaps > 0 {
            for (glance, at) in self.glance[from..from + seen_to].iter().zip(&self.at[from..]) {
                sum += match *glance {
                    Glance::NotFound => self.log_missed[usize::from(*at)],
                    // It lived, so it cannot have been further than it was seen to be.
                    Glance::NotBeyond(most) if usize::from(*at) > most => IMPOSSIBLE,
                    _ => 0.0,
                };
            }
            if started < self.stages {
                sum -= self.brood.log_p[started] * self.spared(animal);
            }
        }
        if self.seen_last(animal) {
            let cur = usize::from(it.cur);
            let whole: f64 = self.brood.log_p[started..cur].iter().sum();
            let row = self.row(animal);
            let part =
                if cur < self.stages { self.share_done(animal, cur, self.log_units[row + cur]) } else { 0.0 };
            return sum + whole + if cur < self.stages { self.brood.log_p[cur] * part } else { 0.0 };
        }
        let alive = if seen_to == 0 { 0.0 } else { self.lived(animal, seen_to - 1) };
        let (mut gone, mut so_far) = (0.0, 1.0);
        self.deaths(animal, alive, |it| {
            gone += it.dies;
            so_far = it.lives;
        });
        sum + alive + libm::log((gone + so_far).max(1e-300))
    }

    /// Walks the looks after the last at which an animal was seen alive, stretch by stretch: the looks it lies between
    /// (none: the start), the chance of dying in it, and the chance of living on, both with what the looks showed.
    ///
    /// Looks that say nothing of it are passed over. Stops when it is no longer worth a thought.
    pub(super) fn deaths(&self, animal: usize, alive: f64, mut note: impl FnMut(Stretch)) {
        let from = animal * self.counts;
        let (seen_to, looks) = (usize::from(self.animals[animal].seen_to), self.cohort(animal).looks_d.len());
        let (mut still, mut before) = (1.0, alive);
        let mut since = seen_to.checked_sub(1);
        for look in seen_to..looks {
            let glance = self.glance[from + look];
            if glance == Glance::Gone {
                return;
            }
            let stage = usize::from(self.at[from + look]);
            let shown = match glance {
                Glance::NotFound => self.missed[stage],
                Glance::NotBeyond(most) if stage > most => 0.0,
                Glance::Dead => 0.0,
                _ if look + 1 < looks && self.glance[from + look + 1] != Glance::Gone => continue,
                _ => 1.0,
            };
            let now = self.lived(animal, look);
            let lives = libm::exp(now - before);
            let dies = still * (1.0 - lives);
            still *= lives * shown;
            before = now;
            if still < NEGLIGIBLE {
                still = 0.0;
            }
            note(Stretch { since, until: look, dies, lives: still });
            since = Some(look);
            if still <= 0.0 {
                return;
            }
        }
    }

    /// The look by which it had left the house alive.
    pub(super) fn left_by(&self, animal: usize) -> Option<usize> {
        let seen_to = usize::from(self.animals[animal].seen_to);
        let later = &self.glances(animal)[seen_to..];
        later.iter().position(|it| *it == Glance::Gone).map(|it| it + seen_to)
    }

    /// Works an animal's sums out anew.
    pub(super) fn refresh(&mut self, animal: usize) {
        let fit = self.fit(&self.brood, animal);
        let sight = self.sight(animal);
        let it = &mut self.animals[animal];
        (it.fit, it.sight) = (fit, sight);
    }

    /// The spread and needs that go with a pace and a factor of the spread.
    pub(super) fn derive(&self, brood: &mut Brood) {
        for (stage, it) in self.given.model.stages.iter().enumerate() {
            // A hair of spread where the model has none, so that every count has an explanation.
            let cv = it.spread_cv.max(0.003) * libm::exp(brood.omega);
            brood.s[stage] = log_variance(cv).sqrt();
            brood.log_need[stage] = if stage < self.timed {
                libm::log(self.given.clocks.need(stage)) + brood.m[stage]
            } else {
                libm::log(self.rest_d)
            };
        }
    }
}

pub(super) fn correlation(model: &BroodModel) -> f64 {
    model.rank_correlation.min(MOST_CORRELATED)
}

/// Log of the upper tail of the normal distribution, for any bound.
#[inline]
pub(super) fn log_upper(bound: f64) -> f64 {
    if bound < -4.5 {
        // Less than a hundred-thousandth.
        0.0
    } else if bound < 30.0 {
        libm::log(normal_upper(bound))
    } else {
        // Mills' ratio far out: density over bound.
        -0.5 * bound * bound - libm::log(bound) - 0.918_938_533_204_672_7
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The tail of tables: Q(1.96) = 0.0249979, Q(3) = 0.00134990; and no step where the formula changes.
    #[test]
    fn the_log_of_the_tail() {
        assert!((log_upper(1.96) - 0.024_997_9_f64.ln()).abs() < 1e-5);
        assert!((log_upper(3.0) - 0.001_349_90_f64.ln()).abs() < 1e-5);
        assert!((log_upper(30.0 - 1e-9) - log_upper(30.0)).abs() < 2e-3);
        assert!((log_upper(-4.5 + 1e-9) - log_upper(-4.5 - 1e-9)).abs() < 1e-5);
    }
}
