//! Running the chains, and what is kept of their stories for the runs.

use super::super::tracks::Glance;
use super::beliefs::End;
use super::chain::{Chain, Given};
use super::cohort::Cohort;
use super::moves::Scratch;
use super::retime::{Retimed, Way};
use super::shift::Shifted;
use crate::phenology::threads::one_each;

/// Chains: each begins by itself, so that two threads have work and one bad beginning would show.
const CHAINS: usize = 2;
/// Rounds of moves before the first story counts.
const SETTLING: usize = 150;
/// Moves of animals that are made between two stories, at least; a round moves each animal.
const ANIMALS_PER_STORY: usize = 30;

/// Runs that go on from one story, each with its own deaths unseen, needs and luck: what is known is much the same from
/// story to story, what is to come is not.
const RUNS_PER_STORY: usize = 3;
/// Partners that each animal is offered in a round, to change futures with.
const SWAPS: usize = 2;
/// The same while the chain settles: the book wrote down who went first, which may have been anybody.
const SWAPS_AT_FIRST: usize = 8;
/// Moves of the spread in a round: they cost little and go slowest.
const SPREADS: usize = 4;
/// From so many animals on, moves of all stories are made in turn and not all in each round.
const MANY: usize = 30;

/// What every run is told: one story of all watched animals, and the beliefs that go with it.
#[derive(Debug, Clone, Default)]
pub(in super::super) struct Told {
    runs: usize,
    stages: usize,
    /// `g`, run by run.
    pub(in super::super) shared: Vec<f64>,
    /// `exp(g + h_k)`, stage by stage, run by run.
    pub(in super::super) factors: Vec<f64>,
    /// The factor of the spread, run by run.
    pub(in super::super) spread: Vec<f64>,
    /// Logarithm of the survival of each stage, run by run.
    pub(in super::super) log_survival: Vec<f64>,
    animals: usize,
    entry: Vec<f32>,
    lives: Vec<Life>,
}

/// One animal in one run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in super::super) struct Life {
    /// Its stage at the last count; where it died if it did.
    pub(in super::super) stage: u8,
    pub(in super::super) female: bool,
    /// When it died, days after the first of its group was started; not a number if it lives.
    pub(in super::super) died: f32,
    /// The units that its present stage takes, and what makes it slow or quick in all stages.
    pub(in super::super) need: f32,
    pub(in super::super) u: f32,
}

impl Told {
    pub(in super::super) fn life(&self, run: usize, animal: usize) -> Life {
        self.lives[run * self.animals + animal]
    }

    /// Instants of entry, days after the first of its group was started.
    pub(in super::super) fn entry(&self, run: usize, animal: usize) -> &[f32] {
        let from = (run * self.animals + animal) * (self.stages + 1);
        &self.entry[from..from + self.stages + 1]
    }

    pub(in super::super) fn factor(&self, run: usize) -> &[f64] {
        &self.factors[run * self.stages..(run + 1) * self.stages]
    }

    pub(in super::super) fn log_survival(&self, run: usize) -> &[f64] {
        &self.log_survival[run * self.stages..(run + 1) * self.stages]
    }

    /// The least far stage that anybody who is expected to live may still be in, in all but one run of a hundred.
    ///
    /// Who was last seen to spin has long been a pupa, if the stories say so.
    pub(in super::super) fn lowest_stage(&self, cohorts: &[Cohort]) -> usize {
        let tails: Vec<_> = cohorts.iter().flat_map(|it| &it.tails).collect();
        let lowest = |run: usize| {
            let lives = self.lives[run * self.animals..(run + 1) * self.animals].iter().zip(&tails);
            let here = lives.filter(|(it, tail)| tail.here && tail.expected && it.died.is_nan());
            here.map(|(it, _)| usize::from(it.stage)).min().unwrap_or(self.stages)
        };
        let mut all: Vec<usize> = (0..self.runs).map(lowest).collect();
        all.sort_unstable();
        let seen = cohorts.iter().map(Cohort::lowest_stage).min().unwrap_or(0);
        all.get(self.runs / 100).copied().filter(|it| *it < self.stages).unwrap_or(seen).max(seen)
    }

    /// How many independent runs the pace of the stages from one on is worth, at the worst of them.
    ///
    /// By the scatter of batch means: batches times the variance within over the variance between their means.
    pub(in super::super) fn worth(&self, from: usize) -> f64 {
        let batches = 20.min(self.runs / 2).max(1);
        let worth = |stage: usize| {
            let all: Vec<f64> = (0..self.runs).map(|run| self.factor(run)[stage]).collect();
            let mean = all.iter().sum::<f64>() / all.len() as f64;
            let within = all.iter().map(|it| (it - mean) * (it - mean)).sum::<f64>() / all.len() as f64;
            if within <= 1e-18 {
                return self.runs as f64;
            }
            let size = self.runs / batches;
            // Runs of one chain lie `CHAINS` apart: a batch is a stretch of one of them.
            let batch = |it: usize| {
                let (chain, part) = (it % CHAINS, it / CHAINS);
                let from = part * size * CHAINS + chain;
                let part: Vec<f64> =
                    (0..size).filter_map(|step| all.get(from + step * CHAINS).copied()).collect();
                part.iter().sum::<f64>() / part.len().max(1) as f64
            };
            let between = (0..batches).map(|it| (batch(it) - mean) * (batch(it) - mean)).sum::<f64>()
                / (batches as f64 - 1.0).max(1.0);
            (within / between.max(1e-300) * batches as f64).min(self.runs as f64)
        };
        (from.min(self.stages)..self.stages).map(worth).fold(self.runs as f64, f64::min)
    }

    fn push(&mut self, chain: &mut Chain<'_>) {
        self.runs += 1;
        let stages = chain.stages;
        self.shared.push(chain.given.belief.shared_given(&chain.brood.m, &mut chain.dice));
        self.factors.extend(chain.brood.m.iter().map(|it| libm::exp(*it)));
        self.spread.push(libm::exp(chain.brood.omega));
        self.log_survival.extend_from_slice(&chain.brood.log_p);
        // In the order of the ends: whose box and sex is known is always the same number.
        let mut order: Vec<usize> = (0..chain.animals.len()).collect();
        for (animal, it) in chain.animals.iter().enumerate() {
            order[chain.first[it.cohort as usize] + it.tail as usize] = animal;
        }
        for animal in order {
            let it = chain.animals[animal];
            let (row, base_d) = (chain.row(animal), chain.cohort(animal).base_d);
            let end = chain.end_of(animal);
            let (stage, died) = match end {
                End::Lives | End::Left { .. } => (usize::from(it.cur), f32::NAN),
                End::Died { stage, at_d, .. } => (stage, (at_d - base_d) as f32),
            };
            let started = chain.started(animal);
            let entered = |at: usize| {
                let known = at >= started && at <= stage;
                if known { (chain.entry[row + at] - base_d) as f32 } else { f32::NAN }
            };
            self.entry.extend((0..=stages).map(entered));
            let (mut sum, mut q, mut need) = (it.fit.sum, chain.left(animal), f64::NAN);
            if usize::from(it.cur) < chain.timed && end == End::Lives {
                let cur = usize::from(it.cur);
                let pull = chain.pull[q];
                let (mean, sd) = (pull * sum, (1.0 - chain.rho * pull * q as f64).sqrt());
                let bound = chain.z(&chain.brood, cur, it.female, chain.log_units[row + cur]);
                let z = mean + sd * chain.dice.normal_above((bound - mean) / sd);
                let s = chain.brood.s[cur];
                need = libm::exp(chain.brood.log_need[cur] + chain.slow(cur, it.female) + s * (z - 0.5 * s));
                (sum, q) = (sum + z, q + 1);
            }
            let spread = 1.0 - chain.rho + chain.rho * q as f64;
            let u =
                chain.rho.sqrt() * sum / spread + ((1.0 - chain.rho) / spread).sqrt() * chain.dice.normal();
            self.lives.push(Life {
                stage: stage as u8,
                female: it.female,
                died,
                need: need as f32,
                u: u as f32,
            });
        }
    }
}

/// Lets the chains run and keeps a story for every run. The chains take turns, so that any first part of the runs
/// is a fair sample too.
pub(in super::super) fn tell(given: &Given<'_>, runs: usize, seed: u64, threads: usize) -> Told {
    let parts = one_each(CHAINS, threads, |number| {
        let mut chain = Chain::begin(given, seed, number as u64);
        let own_runs = runs / CHAINS + usize::from(number < runs % CHAINS);
        let mut told = Told { stages: chain.stages, animals: chain.animals.len(), ..Told::default() };
        let rounds = (ANIMALS_PER_STORY / chain.animals.len().max(1)).clamp(1, 6);
        let mut bench = Bench::new(&chain);
        for _ in 0..SETTLING {
            chain.round(&mut bench);
        }
        for run in 0..own_runs {
            for _ in 0..if run.is_multiple_of(RUNS_PER_STORY) { rounds } else { 0 } {
                chain.round(&mut bench);
            }
            told.push(&mut chain);
        }
        told
    });
    let (stages, animals) = (given.model.stages.len(), given.cohorts.iter().map(|it| it.n).sum());
    let mut told = Told { runs, stages, animals, ..Told::default() };
    for run in 0..runs {
        let (part, place) = (&parts[run % CHAINS], run / CHAINS);
        told.shared.push(part.shared[place]);
        told.spread.push(part.spread[place]);
        told.factors.extend_from_slice(part.factor(place));
        told.log_survival.extend_from_slice(part.log_survival(place));
        told.lives.extend_from_slice(&part.lives[place * animals..(place + 1) * animals]);
        let width = animals * (stages + 1);
        told.entry.extend_from_slice(&part.entry[place * width..(place + 1) * width]);
    }
    told
}

/// Buffers of one chain.
pub(super) struct Bench {
    fits: Vec<super::chain::Fit>,
    scratch: [Scratch; 2],
    shifted: Shifted,
    /// Looks at which some were found and some were not: group and look.
    doubtful: Vec<(usize, usize)>,
    retimed: Retimed,
    /// Size of the moves of all stories: shared pace, spread, then each stage; then the shift at each boundary.
    size: Vec<f64>,
    rounds: usize,
}

impl Bench {
    pub(super) fn new(chain: &Chain<'_>) -> Bench {
        let mut doubtful = Vec::new();
        for (index, cohort) in chain.given.cohorts.iter().enumerate() {
            let looks = cohort.looks_d.len();
            for look in 0..looks {
                let at_look = || cohort.glances.iter().skip(look).step_by(looks);
                let found = at_look().any(|it| matches!(it, Glance::Alive(_)));
                if found && at_look().any(|it| *it == Glance::NotFound) {
                    doubtful.push((index, look));
                }
            }
        }
        let size = vec![1.0 / (chain.animals.len() as f64 + 1.0).sqrt(); 2 + 2 * chain.stages];
        Bench {
            fits: Vec::new(),
            scratch: Default::default(),
            shifted: Shifted::default(),
            retimed: Retimed::default(),
            doubtful,
            size,
            rounds: 0,
        }
    }
}

impl Bench {
    /// While the chain settles, steps grow when they are taken and shrink when they are not: one in three is best.
    fn tune(&mut self, place: usize, made: bool) {
        if self.rounds < SETTLING {
            self.size[place] = (self.size[place] * if made { 1.3 } else { 0.88 }).clamp(1e-4, 5.0);
        }
    }
}

impl Chain<'_> {
    /// One round of moves: every animal, and what they share.
    pub(super) fn round(&mut self, bench: &mut Bench) {
        let swaps = if bench.rounds < SETTLING { SWAPS_AT_FIRST } else { SWAPS };
        for animal in 0..self.animals.len() {
            self.move_entries(animal);
            for _ in 0..swaps {
                self.swap_futures(animal, &mut bench.scratch);
            }
            if (animal + bench.rounds).is_multiple_of(2) {
                self.retell_end(animal, false);
            }
            self.tell_sex(animal);
        }
        if !bench.doubtful.is_empty() {
            for _ in 0..self.animals.len() {
                let (cohort, count) = bench.doubtful[self.dice.below(bench.doubtful.len())];
                self.swap_sight(cohort, count);
            }
        }
        self.move_pace(0.0, &mut bench.fits);
        for _ in 0..SPREADS {
            self.move_spread(&mut bench.fits);
        }
        let boundary = bench.rounds % self.stages;
        let place = 2 + self.stages + boundary;
        let made = self.shift(boundary + 1, bench.size[place], &mut bench.shifted);
        bench.tune(place, made);
        // Of a large brood the counts leave these little room: it pays to try them less often.
        let all = self.animals.len() < MANY;
        for (place, way) in [Way::Shared, Way::Spread, Way::Stage(boundary)].into_iter().enumerate() {
            if !all && bench.rounds % 3 != place {
                continue;
            }
            let place = if place == 2 { 2 + boundary } else { place };
            let made = self.retime(way, 0.2 * bench.size[place], &mut bench.retimed);
            bench.tune(place, made);
        }
        self.move_pace(0.0, &mut bench.fits);
        self.move_survival();
        bench.rounds += 1;
    }
}
