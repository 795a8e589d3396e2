//! What is alive: the state of the book that a forecast starts from.

use super::model::Sex;

/// When something happened, as far as the book knows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Not before this, days.
    pub earliest_d: f64,
    /// Not after this, days.
    pub latest_d: f64,
}

impl Window {
    /// A moment that is known exactly.
    pub fn at(at_d: f64) -> Window {
        Window { earliest_d: at_d, latest_d: at_d }
    }

    fn is_sound(&self) -> bool {
        self.earliest_d.is_finite() && self.latest_d.is_finite() && self.earliest_d <= self.latest_d
    }
}

/// How the age of a group within its stage is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// They entered the stage within this window, and are in it still.
    Entered(Window),
    /// They entered the stage within this window and were in it when last looked at; what they did since, nobody saw.
    LastSeen {
        /// When they entered.
        window: Window,
        /// When they were last looked at, days.
        seen_d: f64,
    },
    /// They were only seen in the stage; their age is hidden. The brood began at `started_d` in `started_stage`.
    SeenAt {
        /// When they were counted, days.
        at_d: f64,
        /// When the brood was started, days.
        started_d: f64,
        /// In which stage it was started.
        started_stage: usize,
    },
}

impl Known {
    /// The window of entry and the moment up to which they were in the stage, where both are known.
    pub(super) fn waiting(self, asof_d: f64) -> Option<(Window, f64)> {
        match self {
            Known::Entered(window) => Some((window, asof_d)),
            Known::LastSeen { window, seen_d } => Some((window, seen_d.min(asof_d))),
            Known::SeenAt { .. } => None,
        }
    }
}

/// Animals of one box, stage and history.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// Index of their stage in the model; one past the last is the moth.
    pub stage: usize,
    /// How many.
    pub n: u32,
    /// Their box, numbered by the caller from 0.
    pub box_index: usize,
    /// How their age is known.
    pub known: Known,
    /// Their sex, where it is known.
    pub sex: Option<Sex>,
}

/// Animals that were started but not found in the count: dead, or overlooked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unaccounted {
    /// How many.
    pub n: u32,
    /// The box they would be in.
    pub box_index: usize,
    /// When the count was made, days.
    pub at_d: f64,
    /// When the brood was started, days.
    pub started_d: f64,
    /// In which stage it was started.
    pub started_stage: usize,
}

/// A moth that came out of this brood before now, whether or not it still lives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CameOut {
    /// When, days.
    pub at_d: f64,
    /// Its sex, where it is known.
    pub sex: Option<Sex>,
}

/// What the brood has shown of its pace in one completed stage.
///
/// Made by [`observed_passage`](super::observed_passage).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StagePassage {
    /// Which stage.
    pub stage: usize,
    /// Animals' worth of observation; less than the animals seen where some have not finished yet.
    pub n: f64,
    /// Mean units of the stage's clock between entering and leaving it.
    pub mean_units: f64,
    /// Error of that mean by the width of the windows alone, units.
    pub se_units: f64,
}

/// What is alive, and what the brood has shown so far.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Living {
    /// All living animals.
    pub groups: Vec<Group>,
    /// Animals that a count did not find and nobody has booked out.
    pub unaccounted: Vec<Unaccounted>,
    /// Completed stages.
    pub passed: Vec<StagePassage>,
    /// Moths of this brood that are out already; used only for broods that rest over winter.
    pub came_out: Vec<CameOut>,
    /// Animals that are not there: what if there were more? Simulated beside the others, counted only by the lever.
    pub spare: Vec<Group>,
}

/// Why a state of the book cannot be forecast.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LivingFault {
    /// A stage that the model does not have.
    #[error("stage {stage} is not one of the {stages} stages of this species")]
    NoSuchStage {
        /// The index asked for.
        stage: usize,
        /// How many there are.
        stages: usize,
    },
    /// A box number beyond what one question takes.
    #[error("box number {box_index} is more than the {most} boxes that one forecast takes")]
    TooManyBoxes {
        /// The number asked for.
        box_index: usize,
        /// Allowed.
        most: usize,
    },
    /// Too many different starts and counts.
    #[error(
        "{n} different starts and counts are more than the {most} that one forecast takes; ask brood by brood"
    )]
    TooManyCounts {
        /// Asked for.
        n: usize,
        /// Allowed.
        most: usize,
    },
    /// A completed stage with figures that cannot be.
    #[error("what is known of the time in stage {stage} is not a positive number")]
    Passage {
        /// The stage.
        stage: usize,
    },
    /// A window that ends before it begins, or is not a number.
    #[error("a time window ends before it begins, or is not a date")]
    Window,
    /// Something lies in the future.
    #[error("a group was seen or entered its stage after the day that is asked about")]
    InTheFuture,
    /// More animals than the engine takes in one question.
    #[error("{n} animals are more than the {most} that one forecast takes; ask box by box")]
    TooMany {
        /// Asked for.
        n: u64,
        /// Allowed.
        most: u64,
    },
}

/// Animals in one question.
pub(super) const MOST_ANIMALS: u64 = 20_000;
/// Boxes in one question: bounds the memory that a wrong index could ask for.
pub(super) const MOST_BOXES: usize = 256;

impl Living {
    /// How many animals live.
    pub fn animals(&self) -> u64 {
        self.groups.iter().map(|it| u64::from(it.n)).sum()
    }

    /// The earliest instant that the clocks must cover, days; `asof_d` if nothing is older.
    pub fn earliest_d(&self, asof_d: f64) -> f64 {
        let all = self.groups.iter().chain(&self.spare).map(|it| match it.known {
            Known::Entered(window) | Known::LastSeen { window, .. } => window.earliest_d,
            Known::SeenAt { started_d, .. } => started_d,
        });
        all.chain(self.unaccounted.iter().map(|it| it.started_d)).fold(asof_d, f64::min)
    }

    pub(super) fn check(&self, stages: usize, asof_d: f64) -> Result<(), LivingFault> {
        let n = self.groups.iter().chain(&self.spare).map(|it| u64::from(it.n)).sum::<u64>()
            + self.unaccounted.iter().map(|it| u64::from(it.n)).sum::<u64>();
        if n > MOST_ANIMALS {
            return Err(LivingFault::TooMany { n, most: MOST_ANIMALS });
        }
        let seen = |at_d: f64, started_d: f64, stage: usize, started_stage: usize| {
            if started_stage > stage || started_stage >= stages {
                Err(LivingFault::NoSuchStage { stage: started_stage, stages })
            } else if !(Window { earliest_d: started_d, latest_d: at_d }).is_sound() {
                Err(LivingFault::Window)
            } else if at_d > asof_d {
                Err(LivingFault::InTheFuture)
            } else {
                Ok(())
            }
        };
        for it in self.groups.iter().chain(&self.spare) {
            if it.stage > stages {
                return Err(LivingFault::NoSuchStage { stage: it.stage, stages });
            }
            box_number(it.box_index)?;
            match it.known {
                Known::Entered(window) if !window.is_sound() => return Err(LivingFault::Window),
                Known::Entered(window) if window.earliest_d > asof_d => return Err(LivingFault::InTheFuture),
                Known::Entered(_) => {}
                Known::LastSeen { window, seen_d } if !window.is_sound() || !seen_d.is_finite() => {
                    return Err(LivingFault::Window);
                }
                Known::LastSeen { window, seen_d } if window.earliest_d > seen_d => {
                    return Err(LivingFault::Window);
                }
                Known::LastSeen { seen_d, .. } if seen_d > asof_d => return Err(LivingFault::InTheFuture),
                Known::LastSeen { .. } => {}
                Known::SeenAt { at_d, started_d, started_stage } => {
                    seen(at_d, started_d, it.stage, started_stage)?
                }
            }
        }
        for it in &self.unaccounted {
            seen(it.at_d, it.started_d, it.started_stage, it.started_stage)?;
            box_number(it.box_index)?;
        }
        let positive = |it: &StagePassage| it.mean_units > 0.0 && it.n > 0.0 && it.se_units >= 0.0;
        if let Some(it) = self.passed.iter().find(|it| it.stage >= stages || !positive(it)) {
            return Err(LivingFault::Passage { stage: it.stage });
        }
        if self.came_out.iter().any(|it| !it.at_d.is_finite()) {
            return Err(LivingFault::Window);
        }
        Ok(())
    }
}

fn box_number(box_index: usize) -> Result<(), LivingFault> {
    let fault = LivingFault::TooManyBoxes { box_index, most: MOST_BOXES };
    if box_index < MOST_BOXES { Ok(()) } else { Err(fault) }
}
