//! The kinds of number that stand in a profile, each with the claims or the judgement it rests on.

use serde::Deserialize;

/// One number, with its ends where the sources give a range.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Number {
    /// The number that a model takes.
    pub value: f64,
    /// The lower end of what is claimed.
    pub low: Option<f64>,
    /// The upper end of what is claimed.
    pub high: Option<f64>,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

/// A number with its doubt: mean and standard deviation.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bell {
    /// The middle.
    pub mean: f64,
    /// The standard deviation.
    pub sd: f64,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

/// A chance with its doubt, as the mean of a Beta distribution and the number of animals it is worth.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chance {
    /// The middle, from 0 to 1.
    pub mean: f64,
    /// How many animals of one's own would weigh as much: small is wide.
    pub weight: f64,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

impl Chance {
    /// The two parameters of the Beta distribution with this mean and weight.
    ///
    /// ```
    /// let share = evidence::Chance { mean: 0.5, weight: 100.0, claims: vec![], judgement: None };
    /// assert_eq!(share.beta(), (50.0, 50.0));
    /// ```
    pub fn beta(&self) -> (f64, f64) {
        (self.mean * self.weight, (1.0 - self.mean) * self.weight)
    }
}

/// A range in which nobody said where the middle lies.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NumberRange {
    /// The lower end.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

/// Something known only in words.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Said {
    /// The words.
    pub says: String,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we say it.
    pub judgement: Option<String>,
}

/// Shares by instar, in order from L1; they add up to 1.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shares {
    /// One share for each instar.
    pub values: Vec<f64>,
    /// Claims they rest on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose them.
    pub judgement: Option<String>,
}

/// Grams of fresh leaf for one larva that spins, as a lognormal belief.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LeafNeed {
    /// The middle.
    pub median: f64,
    /// Log standard deviation.
    pub log_sd: f64,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}

/// A positive number that may be off by a factor, as a lognormal belief.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Factor {
    /// The middle.
    pub median: f64,
    /// Log standard deviation.
    pub log_sd: f64,
    /// Claims it rests on.
    #[serde(default)]
    pub claims: Vec<String>,
    /// Why we chose it.
    pub judgement: Option<String>,
}
