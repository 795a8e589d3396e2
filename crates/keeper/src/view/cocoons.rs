//! The cocoons of a line, and how they winter.

use super::{Receipt, RestsOn};
use jiff::civil::{Date, DateTime};

/// The cocoons of a line.
#[derive(Debug, Clone, PartialEq)]
pub struct Cocoons {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The line.
    pub line: String,
    /// The answer in one sentence.
    pub says: String,
    /// What to do first, most pressing first.
    pub first: Vec<String>,
    /// Cautions at the act itself.
    pub cautions: Vec<String>,
    /// Every numbered cocoon: who dries first, then who is alive, then who is out or gone.
    pub cocoons: Vec<CocoonRow>,
    /// Cocoons alive that have no number.
    pub unnumbered: u32,
    /// The last day on which any was weighed.
    pub weighed_on: Option<Date>,
    /// Boxes whose cocoons were weighed together.
    pub together: Vec<Together>,
    /// Where living ones lie, and whether it stayed cold there.
    pub stores: Vec<Store>,
    /// Cold received so far and what is claimed to be needed; `None` for kinds that do not rest in the cocoon.
    pub cold: Option<ColdSoFar>,
    /// When to bring out, in words; empty for kinds that do not rest in the cocoon.
    pub bring_out: String,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// How a cocoon is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CocoonState {
    /// It loses far more weight than its fellows.
    Drying,
    /// Too fresh to be handled.
    Fresh,
    /// Alive as far as anybody knows, in its first winter or before it.
    Resting,
    /// Alive after the moths of its year have flown: it rests on to another spring.
    LyingOver,
    /// In the cocoon, of a kind that does not rest.
    InCocoon,
    /// The moth came out.
    Out,
    /// Dead in the cocoon.
    Dead,
    /// Given away, stifled, preserved, destroyed or missing.
    Gone,
}

impl CocoonState {
    /// In plain words, the same on every face.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            CocoonState::Drying => "drying",
            CocoonState::Fresh => "fresh, do not handle",
            CocoonState::Resting => "resting",
            CocoonState::LyingOver => "lying over",
            CocoonState::InCocoon => "in the cocoon",
            CocoonState::Out => "out",
            CocoonState::Dead => "dead",
            CocoonState::Gone => "gone",
        }
    }

    /// Is there a living animal in it?
    #[must_use]
    pub fn is_alive(self) -> bool {
        !matches!(self, CocoonState::Out | CocoonState::Dead | CocoonState::Gone)
    }
}

/// One numbered cocoon.
#[derive(Debug, Clone, PartialEq)]
pub struct CocoonRow {
    /// Its number.
    pub cocoon: String,
    /// Its lot.
    pub lot: String,
    /// `female`, `male, about 19 in 20 by weight`, `sex not known`.
    pub sex: String,
    /// The chance of being a female, where anything is known.
    pub female_chance: Option<f64>,
    /// How it is.
    pub state: CocoonState,
    /// The state with its day or reason: `came out on 20 April`.
    pub says: String,
    /// When it was spun.
    pub spun_on: Option<Date>,
    /// First weighed on this day, grams fresh.
    pub first_weighed: Option<(Date, f64)>,
    /// Last weighed on this day.
    pub last_weighed: Option<(Date, f64)>,
    /// Lost since the first weighing, as a share of its weight.
    pub lost: Option<f64>,
    /// What the middle of its fellows lost over the same days.
    pub fellows_lost: Option<f64>,
    /// With how many fellows it could be compared.
    pub fellows: usize,
    /// The first weighing at which it stood out.
    pub flagged_on: Option<Date>,
    /// The box it lies in, and the place; empty once it is gone.
    pub lies_in: (String, String),
    /// The earliest day on which it may be handled.
    pub safe_from: Option<Date>,
    /// Weight of the shell for that of the whole cocoon, a share.
    pub shell_ratio: Option<f64>,
    /// Days of cold it had where it lay.
    pub cold_d: Option<f64>,
}

/// Cocoons of a box that were weighed together.
#[derive(Debug, Clone, PartialEq)]
pub struct Together {
    /// The box.
    pub name: String,
    /// What the weighings say, in words.
    pub says: String,
    /// Lost since the first weighing of the same cocoons, as a share of their weight.
    pub lost: Option<f64>,
    /// As a whole they lose more than is usual.
    pub drying: bool,
}

/// A place in which living cocoons lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Store {
    /// The place.
    pub place: String,
    /// How many cocoons of the line.
    pub n: usize,
    /// The last reading, and what the place was like, in words.
    pub says: String,
    /// Readings far warmer than the store holds: the day and the maximum.
    pub spells: Vec<(Date, f64)>,
    /// The newest reading is such a one.
    pub rings: bool,
}

/// Cold that the living cocoons have had.
#[derive(Debug, Clone, PartialEq)]
pub struct ColdSoFar {
    /// At or below this air temperature.
    pub below_c: f64,
    /// The cocoon that had least, in days of 24 hours.
    pub least_d: f64,
    /// The cocoon that had most.
    pub most_d: f64,
    /// Weeks that are claimed to be needed: from, to.
    pub needed_weeks: (f64, f64),
    /// Of all days that they lay, on how many the air is known, and of how many days.
    pub known_d: (u32, u32),
    /// In words.
    pub says: String,
}
