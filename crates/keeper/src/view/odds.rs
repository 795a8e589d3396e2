//! Will this generation close, and what would help?

use super::{Receipt, RestsOn};
use jiff::civil::{Date, DateTime};

/// The odds of one line.
#[derive(Debug, Clone, PartialEq)]
pub struct Odds {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The line.
    pub line: String,
    /// Chance that at least one male and one female fly on the same night.
    pub chance: f64,
    /// Spread of the chance from the finite number of runs alone.
    pub standard_error: f64,
    /// The same as twentieths.
    pub of_twenty: u32,
    /// `In 15 of 20 possible seasons a male and a female fly on the same night.`
    pub says: String,
    /// Why it is not more, most weighty first.
    pub reasons: Vec<String>,
    /// What would help, best first.
    pub levers: Vec<Lever>,
    /// The chance on earlier days, with what moved it.
    pub history: Vec<OddsThen>,
    /// Expected males, females that come out: 8 of 10 cases lie between the outer figures.
    pub males: (u32, u32, u32),
    /// See `males`.
    pub females: (u32, u32, u32),
    /// Nights on which both fly, in half of all seasons that close.
    pub when: Option<String>,
    /// Where the figure is weaker than it looks.
    pub warnings: Vec<String>,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// One thing that could be done, compared season by season with doing nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Lever {
    /// What to do.
    pub what: String,
    /// The chance then.
    pub chance: f64,
    /// The same as twentieths.
    pub of_twenty: u32,
    /// Of 100 possible seasons, in how many it turns the outcome to the good.
    pub better_in_100: f64,
    /// And in how many to the bad.
    pub worse_in_100: f64,
    /// Error of the difference of these two, by the finite number of seasons.
    pub error_in_100: f64,
    /// Nights of a season on which both sexes fly: as things stand, and then.
    pub nights_together: (f64, f64),
    /// Error of the difference of these two.
    pub nights_error: f64,
    /// Whether it still helps where the forecast is two days off; empty where that does not matter.
    pub steady: String,
    /// Its price or danger, in words.
    pub caution: String,
}

/// The odds as they were.
#[derive(Debug, Clone, PartialEq)]
pub struct OddsThen {
    /// The morning.
    pub on: Date,
    /// The chance.
    pub chance: f64,
    /// What happened since the one before.
    pub because: String,
}
