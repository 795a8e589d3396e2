//! Answers, already worded and rounded as far as the science allows, but not
//! yet drawn: every face shows the same ones.

pub mod air;
pub mod begin;
pub mod boxes;
pub mod brood;
pub mod cocoons;
pub mod leaf;
pub mod lines;
pub mod morning;
pub mod odds;
pub mod pairings;
pub mod round;
pub mod trouble;

use jiff::civil::DateTime;

/// A figure in grams of fresh leaf with its doubt: one case in ten lies below
/// `q10`, half below `q50`, nine in ten below `q90`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LeafRange {
    /// One case in ten needs less.
    pub q10: f64,
    /// Half of all cases need less.
    pub q50: f64,
    /// Nine cases in ten need less.
    pub q90: f64,
}

impl std::ops::Add for LeafRange {
    type Output = LeafRange;
    fn add(self, other: LeafRange) -> LeafRange {
        LeafRange { q10: self.q10 + other.q10, q50: self.q50 + other.q50, q90: self.q90 + other.q90 }
    }
}

/// A moment with its doubt, as times on the keeper's wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DateRange {
    /// In 1 of 20 cases earlier than this.
    pub q05: DateTime,
    /// In 1 of 10 cases earlier.
    pub q10: DateTime,
    /// In a quarter of all cases earlier.
    pub q25: DateTime,
    /// Half by then.
    pub q50: DateTime,
    /// Three quarters by then.
    pub q75: DateTime,
    /// 9 in 10 by then.
    pub q90: DateTime,
    /// In 1 of 20 cases later.
    pub q95: DateTime,
}

/// What a figure rests on: a published claim, the keeper's own notes, or a judgement.
#[derive(Debug, Clone, PartialEq)]
pub struct RestsOn {
    /// What it says, in one sentence.
    pub says: String,
    /// `own` for the keeper's own notes, `A` to `D` for claims, `derived` or `judgement`.
    pub grade: String,
    /// Author and year, or what kind of page; empty for own notes and judgements.
    pub source: String,
}

/// Enough to get the same answer again, next year, on another machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Receipt {
    /// The program.
    pub version: String,
    /// The model.
    pub model: String,
    /// How many entries of the book had been seen.
    pub entries: u64,
    /// The dice.
    pub seed: u64,
    /// How many possible seasons were run.
    pub runs: u32,
}
