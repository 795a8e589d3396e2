//! How much is tried: on demand as much as the demands ask for, in every check of a change a little of it.

use crate::binomial::limits;

/// Chance that any demand of the small size fails although all of them are truly met.
pub const FALSE_ALARM: f64 = 1e-3;
/// Demands of the small size among which that chance is shared out; a test counts them.
pub const DEMANDS: usize = 40;

/// How much is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Size {
    /// A few broods with fixed seeds, bounds from binomial limits.
    Small,
    /// As many as the demands ask for, bounds as demanded.
    Full,
}

impl Size {
    /// Broods of one situation.
    #[must_use]
    pub fn broods(self, small: usize, full: usize) -> usize {
        match self {
            Size::Small => small,
            Size::Full => full,
        }
    }

    /// Possible seasons for each answer.
    #[must_use]
    pub fn runs(self) -> u32 {
        match self {
            Size::Small => 400,
            Size::Full => 1000,
        }
    }

    /// The bounds of a share over broods that is demanded to lie in a band: the band itself at full size, and at
    /// small size what a truth within the band would hardly ever exceed.
    ///
    /// The dates of one brood go together. A brood's share of hits varies no more than a single hit would, so that
    /// the limits of single hits, one for each brood, are on the safe side.
    #[must_use]
    pub fn share(self, broods: usize, band: (f64, f64)) -> (f64, f64) {
        match self {
            Size::Full => band,
            Size::Small => {
                let trials = broods as u32;
                let (fewest, most) = limits(trials, band, FALSE_ALARM / DEMANDS as f64 / 2.0);
                (f64::from(fewest) / f64::from(trials), f64::from(most) / f64::from(trials))
            }
        }
    }

    /// The same for a mean of which the standard error is known.
    #[must_use]
    pub fn mean(self, error: f64, (low, high): (f64, f64)) -> (f64, f64) {
        match self {
            Size::Full => (low, high),
            Size::Small => (low - SURE * error, high + SURE * error),
        }
    }
}

/// Standard errors beyond which one in 80,000 lies, on one side (any table of the normal distribution): the false
/// alarm above, shared among the demands and both sides.
const SURE: f64 = 4.22;
