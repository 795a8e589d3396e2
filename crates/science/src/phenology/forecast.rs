//! The forecast: dates, numbers and moths from simulated seasons.

use super::brood::Living;
use super::clocks::Clocks;
use super::model::{BroodModel, Sex};
use super::quantiles::Quantiles;
use super::simulator::{Ask, ForecastFault, Simulator};
use super::tally::{Scope, Tally};
use super::threads::in_parts;
use super::unlike::Unlike;

/// A moth of one simulated season, or one that a box's disease took before it came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moth {
    /// When it comes out, days.
    pub out_d: f64,
    /// How long it lives, nights.
    pub nights: f64,
    /// Its box, numbered by the caller.
    pub box_index: u32,
    /// Its sex in this season.
    pub sex: Sex,
    /// A disease of its box took it before it came out: it counts only where no box is ever hit.
    pub taken: bool,
    /// Its number, from 0, if it is one of the spare animals: it counts only where there are more.
    pub spare: Option<u32>,
}

/// The moths of all simulated seasons.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Seasons {
    moths: Vec<Moth>,
    /// Where each season's moths end.
    ends: Vec<usize>,
}

impl Seasons {
    /// How many seasons were simulated.
    pub fn runs(&self) -> usize {
        self.ends.len()
    }

    /// The moths of one season; none for a season that was not simulated.
    pub fn season(&self, run: usize) -> &[Moth] {
        let Some(ends) = self.ends.get(run) else { return &[] };
        let begins = run.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.moths[begins..*ends]
    }

    /// Adds a season at the end.
    pub fn push(&mut self, moths: impl IntoIterator<Item = Moth>) {
        self.moths.extend(moths);
        self.ends.push(self.moths.len());
    }

    fn join(&mut self, next: Seasons) {
        let shift = self.moths.len();
        self.moths.extend(next.moths);
        self.ends.extend(next.ends.iter().map(|it| it + shift));
    }
}

/// Why an answer is weaker than it looks.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    /// What was counted is unlike anything the model expects.
    Unlike(Unlike),
    /// Few runs fit all that was seen, so the ranges are rough.
    FewRunsFit {
        /// How many runs the answer is worth.
        effective: f64,
    },
    /// Part of the animals do not finish a stage before the end of the clocks; the latest dates are too early.
    BeyondHorizon {
        /// Share of the animals.
        share: f64,
    },
}

/// What the runs have learned of the brood.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// Whether anything seen had a say in the choice of runs.
    pub informed: bool,
    /// How many equally good runs the answer is worth.
    pub effective_runs: f64,
    /// For each stage the pace as a multiple of the middle animal's time; above 1 is slow.
    pub pace: Vec<Quantiles>,
    /// The spread among animals as a multiple of what the model gives; learned from counts only.
    pub spread: Option<Quantiles>,
    /// For each stage the chance of coming through; learned from counts only, else empty.
    pub survival: Vec<Quantiles>,
}

/// What one run believes of the brood.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// Logarithm of the shared pace, `g`.
    pub shared: f64,
    /// Logarithm of each stage's own pace, `h_k`.
    pub own: Vec<f64>,
    /// The factor of the spread among animals.
    pub spread: f64,
    /// The chance of coming through each stage.
    pub survival: Vec<f64>,
}

/// The answer to "when, how many, and who sleeps now".
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The instant it was asked for, days.
    pub asof_d: f64,
    /// How it was asked.
    pub ask: Ask,
    /// The whole brood.
    pub brood: Scope,
    /// Each box that holds an animal, in the order of their numbers.
    pub boxes: Vec<Scope>,
    /// The moths, for the odds.
    pub seasons: Seasons,
    /// What was learned of the pace.
    pub learned: Learned,
    /// Why the figures are weaker than they look; empty means that no reason is known.
    pub warnings: Vec<Warning>,
}

/// Forecasts a brood from what is alive now.
///
/// # Formula
/// Each run draws a pace, a survival for each stage, a future of the air and the diseases of each box; each
/// animal then passes its stages by looking up the inverse clock. See `docs/models/calendar.md`.
/// # Units
/// Instants in days since the caller's epoch, local daylight; counts in animals.
/// # Holds for
/// Animals that share nothing but pace, air, survival and box. The clocks' `asof_d` is "now".
/// # Errors
/// A sentence that says which number cannot be used; never a guess in its place.
/// # Source
/// Sharpe et al. 1977 (same shape), Wagner et al. 1984 (physiological time); see the model page.
/// # Checked against
/// Closed-form dates at constant temperature, order statistics of normal numbers, laws in `tests/laws.rs`.
/// # Example
/// ```
/// use science::phenology::*;
/// let stage = |name: &str, kind| StageModel {
///     name: name.to_owned(),
///     kind,
///     rate: RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 100.0 },
///     spread_cv: 0.0,
///     stage_pace_sd: 0.0,
///     survival: BetaPrior { mean: 1.0, weight: 10.0 },
///     overlooked: 0.0,
///     moult_share: 0.0,
/// };
/// let life = Nights { mean: 7.0, sd: 0.0 };
/// let model = BroodModel {
///     stages: vec![stage("egg", StageKind::Egg), stage("L1", StageKind::Larva)],
///     shared_pace_sd: 0.0,
///     rank_correlation: 0.5,
///     female_share: 0.5,
///     female_pupa_factor: 1.0,
///     moth_nights: MothNights { male: life, female: life },
///     winter: None,
///     shock: Shock::NONE,
/// };
/// let air = AirSeries::constant(0.0, 3.0, 20.0)?;
/// let room = Room { air: &air, outlook: &Outlook::LastDays { days: 3 }, error: OutlookError::NONE };
/// let clocks = Clocks::new(&model.curves(), &room, 0.0, 3.0, HORIZON_D)?;
/// let eggs = Group { stage: 0, n: 9, box_index: 0, known: Known::Entered(Window::at(0.0)), sex: None };
/// let living = Living { groups: vec![eggs], ..Living::default() };
/// let answer = forecast(&model, &clocks, &living, Ask { runs: 50, seed: 1, threads: 1 })?;
/// // Ten degrees above the threshold: ten days a stage.
/// let hatch = answer.brood.stage(1).ok_or("nobody hatches")?;
/// assert!((hatch.middle.q50 - 10.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn forecast(
    model: &BroodModel,
    clocks: &Clocks,
    living: &Living,
    ask: Ask,
) -> Result<Forecast, ForecastFault> {
    Ok(Simulator::new(model, clocks, living, ask)?.forecast())
}

/// What one thread has made.
struct Part {
    tallies: Vec<Tally>,
    seasons: Seasons,
    unfinished: u64,
}

impl Simulator<'_> {
    /// Simulates all runs and counts.
    pub fn forecast(&self) -> Forecast {
        let runs = self.ask().runs as usize;
        let parts = in_parts(runs, self.ask().threads, |range| {
            let mut bench = self.bench();
            // About half of the animals become moths.
            let seasons = Seasons {
                moths: Vec::with_capacity(range.len() * self.animals() / 2),
                ends: Vec::with_capacity(range.len()),
            };
            let mut part = Part { tallies: Tally::all(self), seasons, unfinished: 0 };
            for run in range {
                self.season(run as u32, &mut bench);
                for tally in &mut part.tallies {
                    tally.note(self, run, &bench.lives);
                }
                part.note_moths(self, &bench);
            }
            part
        });
        let mut parts = parts.into_iter();
        let mut all = parts.next().unwrap_or_else(|| Part {
            tallies: Tally::all(self),
            seasons: Seasons::default(),
            unfinished: 0,
        });
        for next in parts {
            for (to, from) in all.tallies.iter_mut().zip(next.tallies) {
                to.join(from);
            }
            all.seasons.join(next.seasons);
            all.unfinished += next.unfinished;
        }
        let learned = self.learned();
        let lives = (self.animals() * runs).max(1) as f64;
        let mut warnings = Vec::new();
        warnings.extend(self.unlike().into_iter().map(Warning::Unlike));
        // Below twenty-five runs' worth a 5 % quantile rests on one of them.
        if learned.informed && learned.effective_runs < 25.0_f64.min(runs as f64 / 4.0) {
            warnings.push(Warning::FewRunsFit { effective: learned.effective_runs });
        }
        if all.unfinished as f64 / lives > 0.01 {
            warnings.push(Warning::BeyondHorizon { share: all.unfinished as f64 / lives });
        }
        let mut scopes = all.tallies.into_iter().map(Tally::answer);
        let brood = scopes.next().unwrap_or_else(|| Scope {
            box_index: None,
            animals: 0,
            now: Vec::new(),
            moult: Vec::new(),
            stages: Vec::new(),
            lying_over: 0.0,
            resting: None,
        });
        let mut boxes: Vec<Scope> = scopes.collect();
        let only_box = (0..self.animals()).find(|it| !self.is_spare(*it)).map(|it| self.box_index(it));
        if boxes.is_empty() && only_box.is_some() {
            boxes.push(Scope { box_index: only_box, ..brood.clone() });
        }
        Forecast {
            asof_d: self.clocks().asof_d(),
            ask: self.ask(),
            brood,
            boxes,
            seasons: all.seasons,
            learned,
            warnings,
        }
    }

    fn learned(&self) -> Learned {
        let particles = self.particles();
        let runs = self.ask().runs as usize;
        let pace = (0..self.model().moth()).filter_map(|stage| {
            let mut all: Vec<f64> = (0..runs).map(|run| particles.factor(run)[stage]).collect();
            Quantiles::of(&mut all)
        });
        let (spread, survival) = match self.told() {
            Some(told) => {
                let stage = |stage: usize| {
                    let mut all: Vec<f64> =
                        (0..runs).map(|run| libm::exp(told.log_survival(run)[stage])).collect();
                    Quantiles::of(&mut all)
                };
                (
                    Quantiles::of(&mut told.spread.clone()),
                    (0..self.model().moth()).filter_map(stage).collect(),
                )
            }
            None => (None, Vec::new()),
        };
        let (informed, effective_runs) = (particles.informed, particles.effective);
        Learned { informed, effective_runs, pace: pace.collect(), spread, survival }
    }

    /// What a run believes of the brood; `None` where no counts were there to learn from.
    pub fn belief(&self, run: usize) -> Option<Belief> {
        let told = self.told().filter(|it| run < it.spread.len())?;
        let shared = told.shared[run];
        Some(Belief {
            shared,
            own: told.factor(run).iter().map(|it| libm::log(*it) - shared).collect(),
            spread: told.spread[run],
            survival: told.log_survival(run).iter().map(|it| libm::exp(*it)).collect(),
        })
    }
}

impl Part {
    fn note_moths(&mut self, simulator: &Simulator<'_>, bench: &super::simulator::Bench) {
        let lives = &bench.lives;
        let moth = simulator.model().moth();
        let mut unfinished = 0;
        let moths = (0..lives.animals()).filter_map(|animal| {
            let out_d = lives.entry(animal)[moth];
            if !out_d.is_finite() {
                let waits = lives.end_d(animal).is_infinite() && !lives.lies_over(animal);
                unfinished += u64::from(waits);
                return None;
            }
            Some(Moth {
                out_d,
                nights: lives.spared_end_d(animal) - out_d,
                box_index: simulator.box_index(animal) as u32,
                sex: lives.sex(animal),
                taken: lives.end_d(animal) < out_d,
                spare: simulator.spare_number(animal),
            })
        });
        self.seasons.push(moths);
        self.unfinished += unfinished;
    }
}
