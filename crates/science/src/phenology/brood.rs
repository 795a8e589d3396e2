//! What is alive: the state of the book that a forecast starts from.

use super::diapause::Diapause;
use super::model::Sex;
use super::tracks::Tracked;
use super::watched::Watched;

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

    pub(super) fn is_sound(&self) -> bool {
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
}

impl Known {
    /// The window of entry and the moment up to which they were in the stage.
    pub(super) fn waiting(self, asof_d: f64) -> (Window, f64) {
        match self {
            Known::Entered(window) => (window, asof_d),
            Known::LastSeen { window, seen_d } => (window, seen_d.min(asof_d)),
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
    /// Animals of which only successive counts are known, and that are in no group.
    pub watched: Vec<Watched>,
    /// Animals that a book has followed from box to box, and that are in no group.
    pub tracked: Vec<Tracked>,
    /// Completed stages.
    pub passed: Vec<StagePassage>,
    /// Moths of this brood that are out already; used only for kinds that rest over winter.
    pub came_out: Vec<CameOut>,
    /// Animals that are not there: what if there were more? Simulated beside the others, counted only by the lever.
    pub spare: Vec<Group>,
    /// Which of its pupae rest over winter, for kinds in which some do: it hangs on the days that this brood has had.
    pub resting: Option<Diapause>,
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
    /// More were counted than there were.
    #[error("{seen} animals were counted, but only {n} were started")]
    MoreThanStarted {
        /// Counted.
        seen: u64,
        /// Started.
        n: u32,
    },
    /// Animals were counted in a stage that does not exist, or that lies before the one they were started in.
    #[error(
        "animals were counted in a stage before stage {started_stage}, in which they were started, or in one that does not exist"
    )]
    CountedElsewhere {
        /// Where they were started.
        started_stage: usize,
    },
    /// Too many groups that are only counted.
    #[error("{n} groups started apart are more than the {most} that one forecast takes; ask brood by brood")]
    TooManyWatched {
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
    /// A number about the rest of the pupae that cannot be, or a kind of which all rest.
    #[error("what is known of the rest of the pupae cannot be used")]
    Resting,
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
/// Groups started apart and only counted, in one question.
const MOST_WATCHED: usize = 64;
/// Boxes in one question: bounds the memory that a wrong index could ask for.
pub(super) const MOST_BOXES: usize = 256;

impl Living {
    /// How many animals live; of those that are only counted, as many as were started.
    pub fn animals(&self) -> u64 {
        let groups: u64 = self.groups.iter().map(|it| u64::from(it.n)).sum();
        let tracked: u64 = self.tracked.iter().map(Tracked::here).sum();
        groups + tracked + self.watched.iter().map(|it| u64::from(it.n)).sum::<u64>()
    }

    /// The earliest instant that the clocks must cover, days; `asof_d` if nothing is older.
    pub fn earliest_d(&self, asof_d: f64) -> f64 {
        let all = self.groups.iter().chain(&self.spare).map(|it| it.known.waiting(asof_d).0.earliest_d);
        let all = all.chain(self.tracked.iter().map(Tracked::earliest_d));
        all.chain(self.watched.iter().map(|it| it.started_d)).fold(asof_d, f64::min)
    }

    pub(super) fn check(&self, stages: usize, asof_d: f64) -> Result<(), LivingFault> {
        if self.resting.as_ref().is_some_and(|it| !it.is_sound(stages)) {
            return Err(LivingFault::Resting);
        }
        let n = self.groups.iter().chain(&self.spare).map(|it| u64::from(it.n)).sum::<u64>()
            + self.watched.iter().map(|it| u64::from(it.n)).sum::<u64>()
            + self.tracked.iter().map(|it| it.tracks.len() as u64).sum::<u64>();
        if n > MOST_ANIMALS {
            return Err(LivingFault::TooMany { n, most: MOST_ANIMALS });
        }
        if self.watched.len() > MOST_WATCHED {
            return Err(LivingFault::TooManyWatched { n: self.watched.len(), most: MOST_WATCHED });
        }
        for it in &self.watched {
            it.check(stages, asof_d)?;
            box_number(it.box_index)?;
        }
        for it in &self.tracked {
            it.check(stages, asof_d)?;
        }
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
            }
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
