//! Simulated seasons: any run can be made again by its number, whatever else was simulated.

use super::brood::{Group, Living, LivingFault, Window};
use super::clocks::Clocks;
use super::diapause::Diapause;
use super::life::{Run, Tail, new_moth};
use super::lives::Lives;
use super::model::{BroodModel, ModelFault, Sex, StageModel};
use super::pace::{PaceBelief, log_variance};
use super::particles::{Evidence, Particles};
use super::resting::{Resting, ends_as_pupa};
use super::stories::{Cohort, Given, Told, tell};
use crate::dice::{Dice, DiceBox, NormalTable, Purpose};

/// How much is simulated, and with which dice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// Simulated seasons.
    pub runs: u32,
    /// The same seed gives the same bits.
    pub seed: u64,
    /// Threads to work with; the answer does not depend on it.
    pub threads: usize,
}

/// Why nothing can be forecast.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ForecastFault {
    /// A number of the species cannot be used.
    #[error(transparent)]
    Model(#[from] ModelFault),
    /// The state of the book cannot be used.
    #[error(transparent)]
    Living(#[from] LivingFault),
    /// Too few or too many runs.
    #[error("a forecast takes between 1 and 100000 runs, not {0}")]
    Runs(u32),
    /// More than would fit in memory.
    #[error("{runs} runs of {animals} animals are too many for one question; ask for fewer runs")]
    TooMuch {
        /// Runs asked for.
        runs: u32,
        /// Animals in the question.
        animals: usize,
    },
    /// The clocks were made for other stages, or begin too late.
    #[error("the clocks were not made for this brood")]
    Clocks,
}

/// Simulated animals over all runs: 40 bytes each are kept for the odds, 160 MB at most.
const MOST_LIVES: u64 = 4_000_000;
/// Runs times boxes times stages: 64 bytes each while counting, 320 MB at most; a brood of 60 in five boxes with
/// 2000 runs needs 7 MB.
const MOST_CELLS: u64 = 5_000_000;

/// How an animal is known.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Source {
    Entered {
        stage: usize,
        window: Window,
        seen_d: f64,
    },
    /// Told of by the stories: the group, and its number among all that are told of.
    Told {
        cohort: usize,
        number: usize,
    },
}

/// One animal of the question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Animal {
    source: Source,
    /// The stage it was last seen in, and whether it is expected to live.
    stage: usize,
    expected: bool,
    sex: Option<Sex>,
    pub(super) box_index: usize,
    pub(super) spare: Option<u32>,
}

/// The seasons of one question.
#[derive(Debug)]
pub struct Simulator<'a> {
    model: &'a BroodModel,
    clocks: &'a Clocks,
    ask: Ask,
    animals: Vec<Animal>,
    cohorts: Vec<Cohort>,
    particles: Particles,
    told: Option<Told>,
    resting: Option<Diapause>,
    spread: Vec<f64>,
    new_moth: [Tail; 2],
    /// For each stage whether any animal was last seen in it.
    begun: Vec<bool>,
    boxes: usize,
    alive_from_d: f64,
}

/// Buffers that a thread uses for one run after the other.
#[derive(Debug)]
pub struct Bench {
    /// The lives of the run made last.
    pub lives: Lives,
    shocks: Vec<Vec<f64>>,
    log_survival: Vec<f64>,
    survival: Vec<f64>,
    spread: Vec<f64>,
}

impl<'a> Simulator<'a> {
    /// Checks the question and chooses the paces that fit it.
    pub fn new(
        model: &'a BroodModel,
        clocks: &'a Clocks,
        living: &Living,
        ask: Ask,
    ) -> Result<Simulator<'a>, ForecastFault> {
        if let Some(fault) = model.faults().into_iter().next() {
            return Err(fault.into());
        }
        living.check(model.stages.len(), clocks.asof_d())?;
        if living.resting.is_some() && (model.winter.is_some() || !ends_as_pupa(model)) {
            return Err(LivingFault::Resting.into());
        }
        if !(1..=100_000).contains(&ask.runs) {
            return Err(ForecastFault::Runs(ask.runs));
        }
        if clocks.stages() != model.stages.len()
            || clocks.start_d() > living.earliest_d(clocks.asof_d()) + 1e-6
        {
            return Err(ForecastFault::Clocks);
        }
        let watched = living.watched.iter().map(|it| Cohort::of_counts(it, model));
        let tracked = living.tracked.iter().map(|it| Cohort::of_tracks(it, model));
        let cohorts: Vec<Cohort> = watched.chain(tracked).collect();
        let animals = animals(living, &cohorts, clocks.asof_d());
        let boxes = animals.iter().map(|it| it.box_index + 1).max().unwrap_or(0);
        let mut begun = vec![false; model.stages.len() + 1];
        animals.iter().for_each(|it| begun[it.stage.min(model.stages.len())] = true);
        let cells = (boxes as u64 + 1) * (model.stages.len() as u64 + 1);
        if animals.len() as u64 * u64::from(ask.runs) > MOST_LIVES || cells * u64::from(ask.runs) > MOST_CELLS
        {
            return Err(ForecastFault::TooMuch { runs: ask.runs, animals: animals.len() });
        }
        let belief = PaceBelief::new(model, clocks, &living.passed);
        let evidence = Evidence { model, clocks, living, belief: &belief };
        let runs = ask.runs as usize;
        let told = cohorts.iter().any(|it| it.n > 0).then(|| {
            let given = Given { model, clocks, cohorts: &cohorts, belief: &belief, living };
            tell(&given, runs, ask.seed, ask.threads)
        });
        let particles = match &told {
            Some(told) => Particles::told(&evidence, told, &cohorts, ask.seed),
            None => Particles::new(&evidence, runs, ask.seed, ask.threads),
        };
        let spread = model.stages.iter().map(|it| log_variance(it.spread_cv).sqrt()).collect();
        let groups = living.groups.iter().chain(&living.spare);
        let last_looks = groups.map(|it| it.known.waiting(clocks.asof_d()).1);
        let last_looks = last_looks.chain(cohorts.iter().map(Cohort::last_d));
        let alive_from_d = last_looks.fold(clocks.asof_d(), f64::min);
        let resting = living.resting.clone();
        Ok(Simulator {
            model,
            clocks,
            ask,
            animals,
            cohorts,
            particles,
            told,
            resting,
            spread,
            new_moth: new_moth(&model.moth_nights),
            begun,
            boxes,
            alive_from_d,
        })
    }

    /// The kind of moth.
    pub fn model(&self) -> &BroodModel {
        self.model
    }

    /// The clocks.
    pub fn clocks(&self) -> &Clocks {
        self.clocks
    }

    /// How much is simulated.
    pub fn ask(&self) -> Ask {
        self.ask
    }

    /// How many animals the question has, spare ones included.
    pub fn animals(&self) -> usize {
        self.animals.len()
    }

    /// The box of an animal.
    pub fn box_index(&self, animal: usize) -> usize {
        self.animals[animal].box_index
    }

    /// Whether an animal is one of those that are only imagined.
    pub fn is_spare(&self, animal: usize) -> bool {
        self.animals[animal].spare.is_some()
    }

    /// The number of an imagined animal among its like.
    pub(super) fn spare_number(&self, animal: usize) -> Option<u32> {
        self.animals[animal].spare
    }

    pub(super) fn particles(&self) -> &Particles {
        &self.particles
    }

    pub(super) fn told(&self) -> Option<&Told> {
        self.told.as_ref()
    }

    pub(super) fn cohorts(&self) -> &[Cohort] {
        &self.cohorts
    }

    /// The first stage that not all of these animals are known to have entered.
    pub(super) fn first_open_stage(&self, members: &[usize]) -> usize {
        let own = || members.iter().map(|it| &self.animals[*it]).filter(|it| it.spare.is_none());
        let expected = own().filter(|it| it.expected).map(|it| it.stage).min();
        expected.or_else(|| own().map(|it| it.stage).min()).map_or(0, |it| it + 1)
    }

    /// Buffers for one thread.
    pub fn bench(&self) -> Bench {
        Bench {
            lives: Lives::new(self.animals.len(), self.model.stages.len()),
            shocks: vec![Vec::new(); self.boxes],
            log_survival: Vec::with_capacity(self.model.stages.len()),
            survival: Vec::with_capacity(self.model.stages.len()),
            spread: Vec::with_capacity(self.model.stages.len()),
        }
    }

    /// Makes one season; the same number gives the same season, to the bit.
    pub fn season(&self, run: u32, bench: &mut Bench) {
        let seed = self.ask.seed;
        let number = u64::from(run);
        let at = (run as usize).min(self.ask.runs as usize - 1);
        let factor = self.particles.factor(at);
        bench.lives.forget();
        bench.lives.future = Dice::of(seed, Purpose::Pace, number, 1).below(self.clocks.futures());
        bench.log_survival.clear();
        bench.survival.clear();
        bench.spread.clear();
        match &self.told {
            Some(told) => {
                bench.log_survival.extend_from_slice(told.log_survival(at));
                bench.survival.extend(told.log_survival(at).iter().map(|it| libm::exp(*it)));
                let wider = |it: &StageModel| log_variance(it.spread_cv * told.spread[at]).sqrt();
                bench.spread.extend(self.model.stages.iter().map(wider));
            }
            None => {
                for (stage, it) in self.model.stages.iter().enumerate() {
                    let mut dice = Dice::of(seed, Purpose::Survival, number, stage as u64);
                    let chance = dice.beta(it.survival.mean, it.survival.weight);
                    bench.survival.push(chance);
                    // The logarithm is asked for only where somebody is in the middle of the stage.
                    let begun = self.begun.get(stage).is_some_and(|it| *it);
                    bench.log_survival.push(if begun { libm::log(chance) } else { f64::NAN });
                }
                bench.spread.extend_from_slice(&self.spread);
            }
        }
        self.hit_boxes(number, &mut bench.shocks);
        let Bench { lives, shocks, log_survival, survival, spread } = bench;
        let scene = Run {
            model: self.model,
            clocks: self.clocks,
            factor,
            future: lives.future,
            log_survival,
            survival,
            spread,
            table: NormalTable::get(),
            new_moth: self.new_moth,
            spring: self.particles.spring(at),
            resting: self.resting_in(at, number),
            shocks,
        };
        let dice_box = DiceBox::of(seed, Purpose::Animal, number);
        for (place, it) in self.animals.iter().enumerate() {
            let mut dice = dice_box.dice(place as u64);
            let alive_d = match it.source {
                Source::Entered { stage, window, seen_d } => {
                    scene.entered(stage, (window, seen_d), it.sex, &mut dice, lives, place);
                    seen_d
                }
                Source::Told { cohort, number } => {
                    let Some(told) = &self.told else { continue };
                    let cohort = &self.cohorts[cohort];
                    let story = (told.life(at, number), told.entry(at, number));
                    scene.told(story, (cohort.base_d, cohort.last_d()), &mut dice, lives, place);
                    cohort.last_d()
                }
            };
            scene.shock(it.box_index, alive_d, &mut dice, lives, place);
        }
    }

    /// Which pupae of a kind rest of which not all do.
    pub(super) fn diapause(&self) -> Option<&Diapause> {
        self.resting.as_ref()
    }

    fn resting_in(&self, at: usize, run: u64) -> Option<Resting<'_>> {
        let (diapause, leaning) = self.resting.as_ref().zip(self.particles.leaning(at))?;
        Some(Resting { diapause, leaning, seed: self.ask.seed, run })
    }

    /// When each box is hit in a run: a box has its own dice, so splitting a brood leaves the other boxes alone.
    fn hit_boxes(&self, number: u64, shocks: &mut [Vec<f64>]) {
        /// More hits than this leave nobody to hit.
        const MOST_HITS: usize = 64;
        for (box_index, hits) in shocks.iter_mut().enumerate() {
            hits.clear();
            if self.model.shock.per_day <= 0.0 || self.model.shock.loss_share <= 0.0 {
                continue;
            }
            let mut dice = Dice::of(self.ask.seed, Purpose::Shock, number, box_index as u64);
            let mut at_d = self.alive_from_d;
            while hits.len() < MOST_HITS {
                at_d += dice.waiting() / self.model.shock.per_day;
                if at_d > self.clocks.end_d() {
                    break;
                }
                hits.push(at_d);
            }
        }
    }
}

/// Every animal of the question, in a fixed order: an animal's place is its name to the dice, and the spare
/// ones come last, so that imagining them changes nobody else's life.
fn animals(living: &Living, cohorts: &[Cohort], asof_d: f64) -> Vec<Animal> {
    let one = |it: &Group| {
        let (window, seen_d) = it.known.waiting(asof_d);
        let source = Source::Entered { stage: it.stage, window, seen_d };
        let (sex, box_index) = (it.sex, it.box_index);
        Animal { source, stage: it.stage, expected: true, sex, box_index, spare: None }
    };
    let mut animals = Vec::new();
    for it in &living.groups {
        animals.extend(std::iter::repeat_n(one(it), it.n as usize));
    }
    let mut number = 0;
    for (cohort, it) in cohorts.iter().enumerate() {
        for tail in &it.tails {
            if tail.here {
                let source = Source::Told { cohort, number };
                let (stage, expected, box_index) = (tail.stage, tail.expected, tail.box_index);
                animals.push(Animal { source, stage, expected, sex: None, box_index, spare: None });
            }
            number += 1;
        }
    }
    let spares = living.spare.iter().flat_map(|it| std::iter::repeat_n(one(it), it.n as usize));
    animals.extend(spares.zip(0..).map(|(it, number)| Animal { spare: Some(number), ..it }));
    animals
}
