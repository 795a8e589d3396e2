//! Animals that a book follows from box to box: what each look into each box showed of them.

use super::brood::{LivingFault, MOST_BOXES, Window};

/// What one look showed of one animal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Glance {
    /// It was alive, in this stage.
    Alive(usize),
    /// It was alive, in one of the stages from the first to the second: a cocoon that had been spun by then.
    Between(usize, usize),
    /// If it lives, it had gone no further than this stage: an egg that had not hatched, a cocoon that nobody opened,
    /// a larva that nobody counted while others of its box were noted. Whether it lived was not seen.
    NotBeyond(usize),
    /// Looked for and not found: dead, or overlooked.
    NotFound,
    /// Its box was not opened, or it was not in the house yet.
    Unlooked,
    /// It had been found dead by then.
    Dead,
    /// It had left the house by then, alive, or nobody followed it further.
    Gone,
}

impl Glance {
    /// Whether it showed the animal alive.
    pub fn is_alive(self) -> bool {
        self.alive().is_some()
    }

    /// The least and the furthest stage in which it may have been alive, if it was seen.
    pub(super) fn alive(self) -> Option<(usize, usize)> {
        match self {
            Glance::Alive(stage) => Some((stage, stage)),
            Glance::Between(least, most) => Some((least, most)),
            _ => None,
        }
    }
}

/// One animal of a book, as the book believes it went its way.
///
/// Animals of one box and stage cannot be told apart, so who of them did what later is only a way of writing the book
/// down: the engine lets them change places wherever they were together.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// The stage it was started in.
    pub started_stage: usize,
    /// When it entered that stage.
    pub started: Window,
    /// The chance that it is a female: 1 or 0 where the sex is known, nothing where only the kind's share is.
    pub female_chance: Option<f64>,
    /// It is in the house now; if not, it only teaches.
    pub here: bool,
    /// The box it was left in after each look, numbered by the caller; nothing where it was in none.
    pub boxes: Vec<Option<usize>>,
    /// What each look showed.
    pub glances: Vec<Glance>,
}

/// Animals that may have shared boxes, and the looks that were taken at them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tracked {
    /// When the looks were taken, days, in order of time.
    pub looks_d: Vec<f64>,
    /// The animals, each with a glance and a box for every look.
    pub tracks: Vec<Track>,
}

/// Looks that are told apart; more are thinned, the last always stays.
const MOST_LOOKS: usize = 120;

impl Track {
    /// The stage it was last seen in, or was started in.
    pub(super) fn last_stage(&self) -> usize {
        let seen = self.glances.iter().rev().find_map(|it| it.alive());
        seen.map_or(self.started_stage, |(least, _)| least)
    }

    /// The box it is in.
    pub(super) fn last_box(&self) -> usize {
        self.boxes.last().copied().flatten().unwrap_or(0)
    }
}

impl Tracked {
    /// How many are in the house.
    pub fn here(&self) -> u64 {
        self.tracks.iter().filter(|it| it.here).count() as u64
    }

    /// The earliest instant that the clocks must cover, days.
    pub(super) fn earliest_d(&self) -> f64 {
        self.tracks.iter().map(|it| it.started.earliest_d).fold(f64::INFINITY, f64::min)
    }

    pub(super) fn check(&self, stages: usize, asof_d: f64) -> Result<(), LivingFault> {
        let in_order = self.looks_d.windows(2).all(|it| it[0] < it[1]);
        if !in_order || self.looks_d.iter().any(|it| !it.is_finite()) {
            return Err(LivingFault::Window);
        }
        if self.looks_d.last().is_some_and(|it| *it > asof_d) {
            return Err(LivingFault::InTheFuture);
        }
        for it in &self.tracks {
            it.check(stages, &self.looks_d, asof_d)?;
        }
        Ok(())
    }

    /// Fewer looks that say the same, or nearly: first those at which nothing is said of anybody that the looks
    /// before and after do not say, then evenly.
    pub(super) fn thinned(&self) -> Tracked {
        let mut kept: Vec<usize> = (0..self.looks_d.len()).filter(|look| !self.says_nothing(*look)).collect();
        if kept.len() > MOST_LOOKS {
            let all = kept.len();
            let mut place = 0;
            kept.retain(|_| {
                place += 1;
                (all - place) * MOST_LOOKS / all != (all - place + 1) * MOST_LOOKS / all || place == all
            });
        }
        let track = |it: &Track| Track {
            boxes: kept.iter().map(|look| it.boxes[*look]).collect(),
            glances: kept.iter().map(|look| it.glances[*look]).collect(),
            ..it.clone()
        };
        Tracked {
            looks_d: kept.iter().map(|look| self.looks_d[*look]).collect(),
            tracks: self.tracks.iter().map(track).collect(),
        }
    }

    /// Whether both neighbouring looks together tell all that a look tells.
    fn says_nothing(&self, look: usize) -> bool {
        let Some(before) = look.checked_sub(1) else { return false };
        if look + 1 >= self.looks_d.len() {
            return false;
        }
        self.tracks.iter().all(|it| {
            let (was, is, will) = (it.glances[before], it.glances[look], it.glances[look + 1]);
            let stays = it.boxes[before] == it.boxes[look];
            let told = match (was, is, will) {
                (_, Glance::Unlooked, _) => true,
                (Glance::Alive(a), Glance::Alive(b) | Glance::NotBeyond(b), Glance::Alive(c)) => {
                    a == b && b == c
                }
                (_, Glance::NotBeyond(b), Glance::NotBeyond(c)) => c <= b,
                (Glance::Dead, _, _) | (Glance::Gone, _, _) => true,
                _ => false,
            };
            stays && told
        })
    }
}

impl Track {
    fn check(&self, stages: usize, looks_d: &[f64], asof_d: f64) -> Result<(), LivingFault> {
        if self.started_stage > stages {
            return Err(LivingFault::NoSuchStage { stage: self.started_stage, stages });
        }
        if !self.started.is_sound()
            || self.glances.len() != looks_d.len()
            || self.boxes.len() != looks_d.len()
        {
            return Err(LivingFault::Window);
        }
        if self.started.earliest_d > asof_d {
            return Err(LivingFault::InTheFuture);
        }
        if let Some(box_index) = self.boxes.iter().flatten().find(|it| **it >= MOST_BOXES) {
            return Err(LivingFault::TooManyBoxes { box_index: *box_index, most: MOST_BOXES });
        }
        if self.female_chance.is_some_and(|it| !(0.0..=1.0).contains(&it)) {
            return Err(LivingFault::Window);
        }
        let mut stage = self.started_stage;
        let mut ended = false;
        for (glance, at_d) in self.glances.iter().zip(looks_d) {
            if let Some((least, most)) = glance.alive() {
                if ended || least < stage || most < least || most > stages {
                    return Err(LivingFault::CountedElsewhere { started_stage: stage });
                }
                if *at_d <= self.started.earliest_d {
                    return Err(LivingFault::Window);
                }
                stage = least;
            }
            match *glance {
                Glance::NotBeyond(most) if most < stage => {
                    return Err(LivingFault::CountedElsewhere { started_stage: stage });
                }
                Glance::Dead | Glance::Gone => ended = true,
                _ => {}
            }
        }
        Ok(())
    }
}
