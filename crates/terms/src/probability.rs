//! A chance between 0 and 1, which is never NaN.

use std::fmt;

/// A probability that is known to lie between 0 and 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Probability(f64);

impl Probability {
    /// `None` for anything that is no chance, NaN included.
    ///
    /// ```
    /// use terms::Probability;
    /// assert!(Probability::new(f64::NAN).is_none());
    /// assert_eq!(Probability::new(0.87).map(|it| it.of_twenty()), Some(17));
    /// ```
    #[must_use]
    pub fn new(chance: f64) -> Option<Self> {
        (0.0..=1.0).contains(&chance).then_some(Probability(chance))
    }

    /// What cannot be.
    pub const NEVER: Probability = Probability(0.0);

    /// The bare number.
    #[must_use]
    pub fn as_f64(self) -> f64 {
        self.0
    }

    /// How many of twenty: rounded, but 0 and 20 are kept for the impossible
    /// and the certain, so that a small chance never reads as none.
    #[must_use]
    pub fn of_twenty(self) -> u32 {
        let twentieths = self.0 * 20.0;
        if self.0 <= 0.0 {
            0
        } else if self.0 >= 1.0 {
            20
        } else {
            (1..20)
                .min_by(|a, b| {
                    (f64::from(*a) - twentieths).abs().total_cmp(&(f64::from(*b) - twentieths).abs())
                })
                .unwrap_or(1)
        }
    }
}

impl fmt::Display for Probability {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} of 20", self.of_twenty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_certainty_fills_or_empties_all_twenty() {
        let twenty = |chance| Probability::new(chance).map(Probability::of_twenty);
        assert_eq!(twenty(0.0), Some(0));
        assert_eq!(twenty(1e-9), Some(1));
        assert_eq!(twenty(0.999), Some(19));
        assert_eq!(twenty(1.0), Some(20));
        assert_eq!(twenty(1.1), None);
    }
}
