//! When is the next moult, cocoon, moth?

use super::round::{Expected, InMoult};
use super::{DateRange, Receipt, RestsOn};
use jiff::civil::{Date, DateTime};

/// A line's brood with its calendar.
#[derive(Debug, Clone, PartialEq)]
pub struct Brood {
    /// The moment on the keeper's wall.
    pub now: DateTime,
    /// Set while the book is only a scratch book: says so.
    pub notice: Option<String>,
    /// The line.
    pub line: String,
    /// English name, Latin name.
    pub species: (String, String),
    /// When the first of them came.
    pub since: Date,
    /// How many came.
    pub received: u32,
    /// Who is alive.
    pub alive: Vec<Expected>,
    /// In how many boxes.
    pub boxes: usize,
    /// The season as a thread: done, now, to come.
    pub strip: Vec<StripStage>,
    /// One forecast for every stage to come.
    pub stages: Vec<StageForecast>,
    /// Who sits still now, by box.
    pub in_moult: Vec<(String, InMoult)>,
    /// How the forecast moved since yesterday, in a sentence.
    pub moved: Option<String>,
    /// Forecasts by box: the next stage only.
    pub by_box: Vec<(String, StageForecast)>,
    /// How many pupae rest over winter, for kinds in which some do.
    pub rest: Option<RestForecast>,
    /// Where the forecast is weaker than it looks.
    pub warnings: Vec<String>,
    /// What it rests on.
    pub rests_on: Vec<RestsOn>,
    /// How to get it again.
    pub receipt: Receipt,
}

/// Where a stage of the thread lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StripState {
    /// All are through.
    Done,
    /// Somebody is in it.
    Now,
    /// Nobody has reached it.
    ToCome,
}

/// One stage on the season's thread.
#[derive(Debug, Clone, PartialEq)]
pub struct StripStage {
    /// `eggs`, `L1` ..., `spinning`, `cocoon`, `moths`.
    pub name: String,
    /// Done, now, to come.
    pub state: StripState,
    /// How many are in it now.
    pub n: u32,
    /// When the middle animal came or will come into it.
    pub from: Option<DateTime>,
    /// When the middle animal left or will leave it.
    pub to: Option<DateTime>,
}

/// The move into one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct StageForecast {
    /// The stage that is entered.
    pub name: String,
    /// What entering it is called: `into L5`, `spun`, `came out`.
    pub verb: String,
    /// The first animal.
    pub first: DateRange,
    /// The middle animal of those that get there.
    pub middle: DateRange,
    /// The last animal.
    pub last: DateRange,
    /// Any one animal of those that get there.
    pub entering: DateRange,
    /// Twenty equally likely moments for any one animal of those that get there, in order.
    pub dots_20: Vec<DateTime>,
    /// Fifty of them.
    pub dots_50: Vec<DateTime>,
    /// Of twenty animals alive now that are not yet there, how many get there.
    pub reach_of_twenty: u32,
    /// How many animals get there: low, middle, high (8 of 10 cases between low and high).
    pub reach_n: (u32, u32, u32),
    /// `Half are in L5 by 9 June, 9 in 10 by 11 June. In 1 of 20 cases later than 12 June.`
    pub says: String,
}

/// How many pupae rest over winter: never yes or no.
#[derive(Debug, Clone, PartialEq)]
pub struct RestForecast {
    /// Expected share.
    pub mean: f64,
    /// The share: 1 of 20 cases below the first, half below the second, 1 of 20 above the third.
    pub share: (f64, f64, f64),
    /// The same of twenty pupae: low, about, high (9 of 10 cases between low and high).
    pub of_twenty: (u32, u32, u32),
    /// How many of the pupae, now and to come: low, middle, high.
    pub n: (u32, u32, u32),
    /// How many lie over to the spring after, expected.
    pub lying_over: f64,
    /// `About 6 in 20 pupae rest until spring (2 to 12 in 20).`
    pub says: String,
    /// What decides, or which fact is missing.
    pub why: String,
    /// The moths of those that go on, and of those that rest; only peaks with more than a few in a hundred.
    pub peaks: Vec<Peak>,
    /// What the share rests on.
    pub rests_on: Vec<RestsOn>,
}

/// Moths that come out together.
#[derive(Debug, Clone, PartialEq)]
pub struct Peak {
    /// `of those that go on`, `of those that rest`.
    pub name: String,
    /// `Of those that rest, half have come out by 28 May 2026, 9 in 10 by 9 June 2026.`
    pub says: String,
    /// When.
    pub forecast: StageForecast,
}
