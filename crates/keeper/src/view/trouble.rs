//! Is something wrong?

use super::{Receipt, RestsOn};
use jiff::civil::DateTime;

/// Losses and air, and what rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Trouble {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The answer in one sentence.
    pub says: String,
    /// Every line's losses against what good broods lose.
    pub losses: Vec<LossesOfLine>,
    /// Boxes that ring, worst first.
    pub bells: Vec<Bell>,
    /// Lines whose cocoons dry out or lie too warm: the line, and what the page of its cocoons says.
    pub winter: Vec<(String, String)>,
    /// The air, by place.
    pub air: Vec<AirOfPlace>,
    /// Boxes with animals that nobody has counted for a while: name and days.
    pub uncounted: Vec<(String, i64)>,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// Losses of one line so far.
#[derive(Debug, Clone, PartialEq)]
pub struct LossesOfLine {
    /// The line.
    pub line: String,
    /// Lost (dead, failed eggs, missing) of how many.
    pub lost: u32,
    /// See `lost`.
    pub of: u32,
    /// 8 of 10 good broods lose between these.
    pub good_broods: (u32, u32),
    /// `8 lost of 28. Good broods of this kind lose 3 to 9 in 8 of 10 cases.`
    pub says: String,
    /// By stage and sign, most first.
    pub by_sign: Vec<(String, u32)>,
}

/// A box that rings.
#[derive(Debug, Clone, PartialEq)]
pub struct Bell {
    /// The box.
    pub name: String,
    /// What was counted: `3 of 6 dead in one morning`.
    pub counted: String,
    /// How rare that is by chance: `about 1 in 4,000 mornings of a good brood`.
    pub rare: String,
    /// What to do first.
    pub first: String,
    /// Cautions that belong to it.
    pub cautions: Vec<String>,
}

/// The air of one place on its last day.
#[derive(Debug, Clone, PartialEq)]
pub struct AirOfPlace {
    /// The place.
    pub place: String,
    /// The last reading, in words.
    pub says: String,
    /// Drying power at the mean of the day.
    pub vpd_kpa: Option<f64>,
    /// `drying`, `right`, `damp`, or empty if it cannot be told.
    pub word: String,
    /// How many days ago it was read.
    pub days_old: i64,
}
