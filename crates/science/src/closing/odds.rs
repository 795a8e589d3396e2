//! The odds that the generation closes.

use super::pairs::possible;
use crate::phenology::{Moth, Seasons, Sex};

/// What counts as closing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OddsAsk {
    /// The hour at which both must be alive, as a share of the day from local midnight.
    pub evening_share: f64,
    /// How many pairs are wanted, no moth in two of them.
    pub pairs: u32,
}

impl OddsAsk {
    /// One male and one female alive at 22:00 on the same date.
    pub const ONE_PAIR: OddsAsk = OddsAsk { evening_share: 22.0 / 24.0, pairs: 1 };
}

/// Why the odds are exactly nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Never {
    /// Nothing was simulated.
    NothingKnown,
    /// No male comes out in any season.
    NoMale,
    /// No female comes out in any season.
    NoFemale,
    /// Males and females come out, but in no season were there enough of both on one night.
    NeverTogether,
}

/// The chance of closing, with what a reader needs in order to doubt it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odds {
    /// The chance.
    pub probability: f64,
    /// Error of the chance by the finite number of seasons alone.
    pub standard_error: f64,
    /// Simulated seasons.
    pub runs: u32,
    /// Seasons that closed.
    pub closed: u32,
    /// Why the chance is exactly nothing, where it is.
    pub never: Option<Never>,
}

/// The odds over simulated seasons.
///
/// # Formula
/// Share of the seasons in which at least `pairs` disjoint pairs of a male and a female are alive at the
/// evening hour of one date.
/// # Units
/// A chance from 0 to 1.
/// # Holds for
/// Presence on the same night; whether a pair takes is another question.
/// # Errors
/// Exactly 0 with the reason where a sex never comes out. The standard error is that of a chance shrunk by two
/// imagined seasons, so that 2000 successes of 2000 do not claim to be certain; it is 0 only where a sex is
/// missing altogether.
/// # Checked against
/// `1 - 2^(1-n)` and `1 - 2(1 - s/2)^n + (1-s)^n` when all fly at once; exact enumerations of short lives.
pub fn odds(seasons: &Seasons, ask: OddsAsk) -> Odds {
    let closed =
        (0..seasons.runs()).filter(|it| closes(seasons.season(*it).iter().filter(|it| is_own(it)), ask));
    from_counts(seasons, ask, closed.count(), is_own)
}

/// The moths that the brood itself will have.
pub(super) fn is_own(moth: &Moth) -> bool {
    !moth.taken && moth.spare.is_none()
}

pub(super) fn closes<'a>(moths: impl Iterator<Item = &'a Moth>, ask: OddsAsk) -> bool {
    possible(moths.copied(), ask.evening_share, ask.pairs)
}

/// Odds from the number of seasons that closed; `counts` says which of the stored moths were looked at.
fn from_counts(seasons: &Seasons, ask: OddsAsk, closed: usize, counts: impl Fn(&Moth) -> bool) -> Odds {
    let runs = seasons.runs();
    let any =
        |sex: Sex| (0..runs).any(|run| seasons.season(run).iter().any(|it| it.sex == sex && counts(it)));
    let never = if closed > 0 || ask.pairs == 0 {
        None
    } else if runs == 0 {
        Some(Never::NothingKnown)
    } else if !any(Sex::Male) {
        Some(Never::NoMale)
    } else if !any(Sex::Female) {
        Some(Never::NoFemale)
    } else {
        Some(Never::NeverTogether)
    };
    Odds::new(runs, closed, never)
}

impl Odds {
    pub(super) fn new(runs: usize, closed: usize, never: Option<Never>) -> Odds {
        let n = runs as f64;
        let shrunk = (closed as f64 + 1.0) / (n + 2.0);
        let certain = matches!(never, Some(Never::NoMale | Never::NoFemale));
        Odds {
            probability: if runs == 0 { 0.0 } else { closed as f64 / n },
            standard_error: match runs {
                0 => 1.0,
                _ if certain => 0.0,
                _ => (shrunk * (1.0 - shrunk) / n).sqrt(),
            },
            runs: runs as u32,
            closed: closed as u32,
            never,
        }
    }

    /// How many of twenty moths drawn for the keeper are filled.
    pub fn of_twenty(&self) -> u32 {
        twenty(self.closed, self.runs)
    }
}

/// A share of runs as a number out of twenty: 20 only if all closed, 0 only if none did.
pub(super) fn twenty(some: u32, runs: u32) -> u32 {
    if some == 0 || runs == 0 {
        return 0;
    }
    if some == runs {
        return 20;
    }
    ((20.0 * f64::from(some) / f64::from(runs)).round() as u32).clamp(1, 19)
}

#[cfg(test)]
mod tests {
    use super::super::{FlightPlan, seasons_from_nights};
    use super::*;

    /// Exact enumerations: one male of three nights and one female of five over ten even nights meet with
    /// chance 57/100; two and three of them 97007/100000; three males of two nights and one female of four over
    /// a triangle of nine nights 343151/390625. Four standard errors: a right simulator fails once in 5,000.
    #[test]
    fn short_lives_by_enumeration() {
        let even = [0.1; 10];
        let triangle = [0.04, 0.08, 0.12, 0.16, 0.2, 0.16, 0.12, 0.08, 0.04];
        let plan = |males, females, male_nights, female_nights| FlightPlan {
            males,
            females,
            male_nights,
            female_nights,
        };
        for (emergence, plan, exact) in [
            (&even[..], plan(1, 1, 3, 5), 0.57),
            (&even[..], plan(2, 3, 3, 5), 0.97007),
            (&triangle[..], plan(3, 1, 2, 4), 343_151.0 / 390_625.0),
        ] {
            let runs = 40_000;
            let seen = odds(&seasons_from_nights(emergence, plan, runs, 77), OddsAsk::ONE_PAIR);
            let error = (exact * (1.0 - exact) / f64::from(runs)).sqrt();
            assert!((seen.probability - exact).abs() < 4.0 * error, "{plan:?}: {} {exact}", seen.probability);
            assert!((seen.standard_error / error - 1.0).abs() < 0.05);
        }
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "exactly nothing is what is asked for")]
    fn a_missing_sex_is_exactly_nothing_and_says_why() {
        let plan = FlightPlan { males: 4, females: 0, male_nights: 3, female_nights: 3 };
        let seen = odds(&seasons_from_nights(&[1.0], plan, 500, 1), OddsAsk::ONE_PAIR);
        assert_eq!((seen.probability, seen.standard_error, seen.never), (0.0, 0.0, Some(Never::NoFemale)));
        let seen = odds(&Seasons::default(), OddsAsk::ONE_PAIR);
        assert_eq!((seen.probability, seen.never), (0.0, Some(Never::NothingKnown)));
    }

    #[test]
    fn twenty_moths_are_all_full_only_when_all_seasons_closed() {
        for (some, runs, of_twenty) in
            [(0, 100, 0), (1, 1000, 1), (999, 1000, 19), (1000, 1000, 20), (70, 100, 14)]
        {
            assert_eq!(twenty(some, runs), of_twenty);
        }
    }
}
