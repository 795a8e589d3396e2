//! Simulated seasons: any run can be made again by its number, whatever else was simulated.

use super::brood::{Group, Known, Living, LivingFault, Window};
use super::census::{Census, Hidden, Pool, Stands};
use super::clocks::Clocks;
use super::life::Run;
use super::lives::Lives;
use super::model::{BroodModel, ModelFault, Sex};
use super::pace::{PaceBelief, log_variance};
use super::particles::{Evidence, Particles};
use crate::dice::{Dice, Purpose};

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

/// Different starts and counts in one question; each keeps a hundred bytes a run.
const MOST_CENSUSES: usize = 16;

/// How an animal is known.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Source {
    Entered { stage: usize, window: Window, seen_d: f64 },
    Seen { stage: usize, census: usize },
    Unaccounted { census: usize },
}

/// One animal of the question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Animal {
    source: Source,
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
    censuses: Vec<Census>,
    pool: Pool,
    particles: Particles,
    spread: Vec<f64>,
    boxes: usize,
    alive_from_d: f64,
}

/// Buffers that a thread uses for one run after the other.
#[derive(Debug)]
pub struct Bench {
    /// The lives of the run made last.
    pub lives: Lives,
    shocks: Vec<Vec<f64>>,
    stands: Vec<Stands>,
    log_survival: Vec<f64>,
    /// Animals of the run made last whose hidden age had to be guessed.
    pub(super) guessed: u32,
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
        if !(1..=100_000).contains(&ask.runs) {
            return Err(ForecastFault::Runs(ask.runs));
        }
        if clocks.stages() != model.stages.len()
            || clocks.start_d() > living.earliest_d(clocks.asof_d()) + 1e-6
        {
            return Err(ForecastFault::Clocks);
        }
        let censuses = Census::all(living, model.stages.len());
        if censuses.len() > MOST_CENSUSES {
            return Err(LivingFault::TooManyCounts { n: censuses.len(), most: MOST_CENSUSES }.into());
        }
        let animals = animals(living, &censuses, clocks.asof_d());
        let boxes = animals.iter().map(|it| it.box_index + 1).max().unwrap_or(0);
        let cells = (boxes as u64 + 1) * (model.stages.len() as u64 + 1);
        if animals.len() as u64 * u64::from(ask.runs) > MOST_LIVES || cells * u64::from(ask.runs) > MOST_CELLS
        {
            return Err(ForecastFault::TooMuch { runs: ask.runs, animals: animals.len() });
        }
        let pool = Pool::new(model, ask.seed);
        let belief = PaceBelief::new(model, clocks, &living.passed);
        let evidence = Evidence { model, clocks, living, belief: &belief, pool: &pool, censuses: &censuses };
        let particles = Particles::new(&evidence, ask.runs as usize, ask.seed, ask.threads);
        let spread = model.stages.iter().map(|it| log_variance(it.spread_cv).sqrt()).collect();
        let last_looks =
            living.groups.iter().chain(&living.spare).filter_map(|it| it.known.waiting(clocks.asof_d()));
        let last_looks = last_looks.map(|(_, seen_d)| seen_d).chain(censuses.iter().map(|it| it.at_d));
        let alive_from_d = last_looks.fold(clocks.asof_d(), f64::min);
        Ok(Simulator { model, clocks, ask, animals, censuses, pool, particles, spread, boxes, alive_from_d })
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

    /// The first stage that not all animals are known to have entered.
    pub(super) fn first_open_stage(&self) -> usize {
        let own = self.animals.iter().filter(|it| it.spare.is_none());
        let stages = own.map(|it| match it.source {
            Source::Entered { stage, .. } | Source::Seen { stage, .. } => stage,
            Source::Unaccounted { census } => self.censuses[census].started_stage,
        });
        stages.min().map_or(0, |it| it + 1)
    }

    /// Buffers for one thread.
    pub fn bench(&self) -> Bench {
        Bench {
            lives: Lives::new(self.animals.len(), self.model.stages.len()),
            shocks: vec![Vec::new(); self.boxes],
            stands: vec![Stands::default(); self.censuses.len()],
            log_survival: Vec::with_capacity(self.model.stages.len()),
            guessed: 0,
        }
    }

    /// Makes one season; the same number gives the same season, to the bit.
    pub fn season(&self, run: u32, bench: &mut Bench) {
        let seed = self.ask.seed;
        let number = u64::from(run);
        let at = (run as usize).min(self.ask.runs as usize - 1);
        let factor = self.particles.factor(at);
        bench.lives.forget();
        bench.guessed = 0;
        bench.lives.future = Dice::of(seed, Purpose::Pace, number, 1).below(self.clocks.futures());
        bench.log_survival.clear();
        for (stage, it) in self.model.stages.iter().enumerate() {
            let mut dice = Dice::of(seed, Purpose::Survival, number, stage as u64);
            bench.log_survival.push(libm::log(dice.beta(it.survival.mean, it.survival.weight)));
        }
        self.hit_boxes(number, &mut bench.shocks);
        let mut hidden: Vec<Option<Hidden>> = Vec::with_capacity(self.censuses.len());
        for (place, census) in self.censuses.iter().enumerate() {
            bench.stands[place]
                .arrange(self.particles.stands(place, at, self.ask.runs as usize), self.model.stages.len());
            let asked = self.animals.iter().any(|it| it.source == Source::Unaccounted { census: place });
            hidden.push(asked.then(|| {
                let mut entry = vec![f64::NAN; self.model.stages.len() + 1];
                Hidden::new(census, &self.pool, &census.journey(self.model, self.clocks, factor), &mut entry)
            }));
        }
        let Bench { lives, shocks, stands, log_survival, guessed } = bench;
        let scene = Run {
            model: self.model,
            clocks: self.clocks,
            factor,
            future: lives.future,
            log_survival,
            spread: &self.spread,
            spring: self.particles.spring(at),
            shocks,
        };
        for (place, it) in self.animals.iter().enumerate() {
            let mut dice = Dice::of(seed, Purpose::Animal, number, place as u64);
            let alive_d = match it.source {
                Source::Entered { stage, window, seen_d } => {
                    scene.entered(stage, (window, seen_d), it.sex, &mut dice, lives, place);
                    seen_d
                }
                Source::Seen { stage, census } => {
                    let count = &self.censuses[census];
                    if !scene.seen(stage, it.sex, count, &self.pool, &stands[census], &mut dice, lives, place)
                    {
                        *guessed += 1;
                    }
                    count.at_d
                }
                Source::Unaccounted { census } => {
                    let count = &self.censuses[census];
                    if let Some(hidden) = &hidden[census] {
                        scene.unaccounted(hidden, count, &self.pool, &mut dice, lives, place);
                    }
                    count.at_d
                }
            };
            scene.shock(it.box_index, alive_d, &mut dice, lives, place);
        }
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
fn animals(living: &Living, censuses: &[Census], asof_d: f64) -> Vec<Animal> {
    let census_of = |at_d: f64, started_d: f64, started_stage: usize| {
        censuses.iter().position(|it| it.is(at_d, started_d, started_stage)).unwrap_or(0)
    };
    let source = |group: &Group| match group.known {
        Known::Entered(window) => Source::Entered { stage: group.stage, window, seen_d: asof_d },
        Known::LastSeen { window, seen_d } => {
            Source::Entered { stage: group.stage, window, seen_d: seen_d.min(asof_d) }
        }
        Known::SeenAt { at_d, started_d, started_stage } => {
            Source::Seen { stage: group.stage, census: census_of(at_d, started_d, started_stage) }
        }
    };
    let one = |it: &Group| Animal { source: source(it), sex: it.sex, box_index: it.box_index, spare: None };
    let mut animals = Vec::new();
    for it in &living.groups {
        animals.extend(std::iter::repeat_n(one(it), it.n as usize));
    }
    for it in &living.unaccounted {
        let source = Source::Unaccounted { census: census_of(it.at_d, it.started_d, it.started_stage) };
        let animal = Animal { source, sex: None, box_index: it.box_index, spare: None };
        animals.extend(std::iter::repeat_n(animal, it.n as usize));
    }
    let spares = living.spare.iter().flat_map(|it| std::iter::repeat_n(one(it), it.n as usize));
    animals.extend(spares.zip(0..).map(|(it, number)| Animal { spare: Some(number), ..it }));
    animals
}
