//! What would change the odds: the same seasons, lived again with one thing different.

use super::odds::{Odds, OddsAsk, closes, is_own, twenty};
use crate::phenology::{Moth, Seasons, Sex};

/// One thing that could be done, or could happen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lever {
    /// A moth from elsewhere stands ready.
    Borrow {
        /// Its sex.
        sex: Sex,
        /// From when, days.
        from_d: f64,
        /// For how many nights.
        nights: f64,
    },
    /// Those of one sex that are not out yet come out later (cooled) or earlier (warmed) by some days.
    Shift {
        /// Which sex.
        sex: Sex,
        /// Days later; negative is earlier.
        by_d: f64,
        /// Moths out by now are not shifted, days.
        asof_d: f64,
    },
    /// All animals of a box are lost.
    LoseBox {
        /// Its number.
        box_index: u32,
    },
    /// No box is ever hit by a disease: what keeping them clean and apart is worth at most.
    NoDisease,
    /// Some more animals, of those the question called spare.
    MoreAnimals {
        /// How many of them.
        n: u32,
    },
}

/// Two ways of living the same seasons, season by season.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Comparison {
    /// As things stand.
    pub before: Odds,
    /// With the difference.
    pub after: Odds,
    /// Seasons that close only with the difference.
    pub better: u32,
    /// Seasons that close only without it.
    pub worse: u32,
    /// Change of the chance.
    pub change: f64,
    /// Error of the change by the finite number of seasons; small, because the seasons are the same.
    pub change_standard_error: f64,
}

impl Comparison {
    fn new(before: Odds, after: Odds, better: u32, worse: u32) -> Comparison {
        let n = f64::from(before.runs.max(1));
        let change = (f64::from(better) - f64::from(worse)) / n;
        let spread = (f64::from(better) + f64::from(worse)) / n - change * change;
        Comparison {
            before,
            after,
            better,
            worse,
            change,
            change_standard_error: (spread.max(0.0) / n).sqrt(),
        }
    }

    /// Of twenty seasons: how many are saved, and how many spoilt, by the difference.
    pub fn of_twenty(&self) -> (u32, u32) {
        (twenty(self.better, self.before.runs), twenty(self.worse, self.before.runs))
    }
}

/// What a lever does to the odds, on the same simulated seasons.
///
/// # Formula
/// Each season is judged twice, as it is and with the lever; the change is (better - worse) / runs, its
/// standard error that of paired outcomes.
/// # Holds for
/// Levers that do not change how the animals develop; for a warmer room or other boxes forecast again with the
/// same seed and use [`compare`].
/// # Errors
/// A lever on a sex, box or spare animal that does not exist changes nothing.
/// # Example
/// ```
/// use science::closing::{lever, seasons_from_nights, FlightPlan, Lever, OddsAsk};
/// use science::phenology::Sex;
/// let plan = FlightPlan { males: 0, females: 2, male_nights: 3, female_nights: 5 };
/// let seasons = seasons_from_nights(&[0.5, 0.5], plan, 100, 1);
/// let borrow = Lever::Borrow { sex: Sex::Male, from_d: 0.5, nights: 9.0 };
/// let worth = lever(&seasons, borrow, OddsAsk::ONE_PAIR);
/// assert_eq!((worth.better, worth.worse), (100, 0));
/// ```
pub fn lever(seasons: &Seasons, lever: Lever, ask: OddsAsk) -> Comparison {
    let runs = seasons.runs();
    let changed = |run: usize| changed(seasons.season(run), lever);
    judge(
        runs,
        |run| closes(seasons.season(run).iter().filter(|it| is_own(it)), ask),
        |run| closes(changed(run).iter(), ask),
    )
}

/// Two forecasts of the same animals with the same seed, season by season.
///
/// Compares as many seasons as both have.
pub fn compare(before: &Seasons, after: &Seasons, ask: OddsAsk) -> Comparison {
    let own = |seasons: &Seasons, run: usize| closes(seasons.season(run).iter().filter(|it| is_own(it)), ask);
    judge(before.runs().min(after.runs()), |run| own(before, run), |run| own(after, run))
}

fn judge(runs: usize, before: impl Fn(usize) -> bool, after: impl Fn(usize) -> bool) -> Comparison {
    let (mut closed, mut better, mut worse) = (0, 0, 0);
    for run in 0..runs {
        match (before(run), after(run)) {
            (true, true) => closed += 1,
            (true, false) => {
                closed += 1;
                worse += 1;
            }
            (false, true) => better += 1,
            (false, false) => {}
        }
    }
    let count = |closed: u32| Odds::new(runs, closed as usize, None);
    Comparison::new(count(closed), count(closed + better - worse), better, worse)
}

/// The moths of a season with the lever pulled.
pub(super) fn changed(season: &[Moth], lever: Lever) -> Vec<Moth> {
    let own = season.iter().copied().filter(is_own);
    match lever {
        Lever::Borrow { sex, from_d, nights } => {
            let guest = Moth { out_d: from_d, nights, box_index: u32::MAX, sex, taken: false, spare: None };
            own.chain([guest]).collect()
        }
        Lever::Shift { sex, by_d, asof_d } => own
            .map(|it| {
                let moved = it.sex == sex && it.out_d > asof_d;
                // Warming cannot bring a moth out before now.
                if moved { Moth { out_d: (it.out_d + by_d).max(asof_d), ..it } } else { it }
            })
            .collect(),
        Lever::LoseBox { box_index } => own.filter(|it| it.box_index != box_index).collect(),
        Lever::NoDisease => season.iter().copied().filter(|it| it.spare.is_none()).collect(),
        Lever::MoreAnimals { n } => season
            .iter()
            .copied()
            .filter(|it| !it.taken && it.spare.is_none_or(|number| number < n))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moth(sex: Sex, out_d: f64, box_index: u32) -> Moth {
        Moth { out_d, nights: 2.0, box_index, sex, taken: false, spare: None }
    }

    /// One season in which male and female miss each other by four nights.
    fn missed() -> Seasons {
        let mut seasons = Seasons::default();
        let taken = Moth { taken: true, ..moth(Sex::Male, 6.0, 0) };
        let spare = Moth { spare: Some(1), ..moth(Sex::Male, 6.0, 2) };
        seasons.push([moth(Sex::Male, 1.0, 0), moth(Sex::Female, 6.0, 1), taken, spare]);
        seasons
    }

    #[track_caller]
    fn check(seasons: &Seasons, it: Lever, better: u32, worse: u32) {
        let seen = lever(seasons, it, OddsAsk::ONE_PAIR);
        assert_eq!((seen.better, seen.worse), (better, worse), "{it:?}");
    }

    #[test]
    fn each_lever_does_what_it_says() {
        let seasons = missed();
        check(&seasons, Lever::Borrow { sex: Sex::Male, from_d: 7.0, nights: 1.0 }, 1, 0);
        check(&seasons, Lever::Borrow { sex: Sex::Female, from_d: 7.0, nights: 1.0 }, 0, 0);
        check(&seasons, Lever::Shift { sex: Sex::Male, by_d: 5.0, asof_d: 0.0 }, 1, 0);
        check(&seasons, Lever::Shift { sex: Sex::Male, by_d: 5.0, asof_d: 1.5 }, 0, 0);
        check(&seasons, Lever::Shift { sex: Sex::Female, by_d: -9.0, asof_d: 1.0 }, 1, 0);
        check(&seasons, Lever::NoDisease, 1, 0);
        check(&seasons, Lever::MoreAnimals { n: 1 }, 0, 0);
        check(&seasons, Lever::MoreAnimals { n: 2 }, 1, 0);
        let mut met = Seasons::default();
        met.push([moth(Sex::Male, 5.5, 0), moth(Sex::Female, 6.0, 1)]);
        check(&met, Lever::LoseBox { box_index: 1 }, 0, 1);
        check(&met, Lever::LoseBox { box_index: 2 }, 0, 0);
    }

    /// The paired error by hand: 3 better and 1 worse of 100 is a change of 0.02 with variance (0.04 - 0.0004).
    #[test]
    fn the_error_is_that_of_pairs() {
        let odds = Odds::new(100, 50, None);
        let seen = Comparison::new(odds, Odds::new(100, 52, None), 3, 1);
        assert!((seen.change - 0.02).abs() < 1e-12);
        assert!((seen.change_standard_error - (0.0396_f64 / 100.0).sqrt()).abs() < 1e-12);
    }
}
