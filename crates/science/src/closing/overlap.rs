//! How many evenings both sexes are on the wing: what a lever is worth where the chance itself is near 1 already.

use super::levers::{Lever, changed};
use super::odds::{OddsAsk, is_own};
use super::pairs::Evenings;
use crate::phenology::{Moth, Seasons, Sex};

/// Evenings together over the same seasons, as they are and with a lever.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overlap {
    /// Mean evenings of a season on which a male and a female are alive.
    pub before: f64,
    /// The same with the lever.
    pub after: f64,
    /// Mean of the differences, season by season.
    pub change: f64,
    /// Error of that mean by the finite number of seasons.
    pub change_standard_error: f64,
}

/// What a lever does to the evenings on which both sexes are alive.
///
/// # Formula
/// In each season the evenings with at least one male and one female alive are counted, as it is and with the lever; the
/// change is the mean of the differences, its error their standard deviation over the root of the number of seasons.
/// # Units
/// Evenings.
/// # Holds for
/// As [`super::lever`]. # Errors: nought everywhere where there are no seasons.
/// # Source
/// Common random numbers: each season is its own control. # Checked against: lives laid out by hand.
/// # Example
/// ```
/// use science::closing::{FlightPlan, Lever, OddsAsk, overlap, seasons_from_nights};
/// use science::phenology::Sex;
/// let plan = FlightPlan { males: 1, females: 1, male_nights: 3, female_nights: 5 };
/// let seasons = seasons_from_nights(&[1.0], plan, 50, 1);
/// let held = Lever::Shift { sex: Sex::Male, by_d: 4.0, asof_d: 0.0 };
/// let worth = overlap(&seasons, held, OddsAsk::ONE_PAIR);
/// // Three evenings together; a male that comes four nights later has one.
/// assert_eq!((worth.before, worth.after, worth.change_standard_error), (3.0, 1.0, 0.0));
/// ```
pub fn overlap(seasons: &Seasons, lever: Lever, ask: OddsAsk) -> Overlap {
    let runs = seasons.runs();
    let n = runs.max(1) as f64;
    let (mut before, mut after, mut squares) = (0.0, 0.0, 0.0);
    for run in 0..runs {
        let season = seasons.season(run);
        let now = f64::from(together(season.iter().filter(|it| is_own(it)), ask.evening_share));
        let then = f64::from(together(changed(season, lever).iter(), ask.evening_share));
        before += now;
        after += then;
        squares += (then - now) * (then - now);
    }
    let change = (after - before) / n;
    let spread = (squares / n - change * change).max(0.0);
    Overlap { before: before / n, after: after / n, change, change_standard_error: (spread / n).sqrt() }
}

/// Evenings on which at least one of either sex is alive.
fn together<'a>(moths: impl Iterator<Item = &'a Moth>, evening_share: f64) -> u32 {
    let (mut males, mut females) = (Vec::new(), Vec::new());
    for moth in moths {
        let span = Evenings::of(moth, evening_share).span();
        if span.0 <= span.1 {
            if moth.sex == Sex::Male { males.push(span) } else { females.push(span) }
        }
    }
    let (males, females) = (joined(males), joined(females));
    let common = |male: &(i64, i64), female: &(i64, i64)| {
        (male.1.min(female.1).saturating_sub(male.0.max(female.0)).saturating_add(1)).max(0)
    };
    let all: i64 = males.iter().flat_map(|male| females.iter().map(move |female| common(male, female))).sum();
    u32::try_from(all).unwrap_or(u32::MAX)
}

/// Spans of evenings without overlap.
fn joined(mut spans: Vec<(i64, i64)>) -> Vec<(i64, i64)> {
    spans.sort_unstable();
    let mut joined: Vec<(i64, i64)> = Vec::new();
    for span in spans {
        match joined.last_mut() {
            Some(last) if span.0 <= last.1 => last.1 = last.1.max(span.1),
            _ => joined.push(span),
        }
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Dice;

    /// The slow twin: evening after evening, who is alive?
    #[test]
    fn evenings_counted_one_by_one() {
        let mut dice = Dice::seeded(8);
        for _ in 0..300 {
            let moths: Vec<Moth> = (0..dice.below(7))
                .map(|_| Moth {
                    out_d: 20.0 * dice.unit(),
                    nights: 6.0 * dice.unit(),
                    box_index: 0,
                    sex: if dice.happens(0.5) { Sex::Male } else { Sex::Female },
                    taken: false,
                    spare: None,
                })
                .collect();
            let alive = |sex: Sex, evening: f64| {
                moths.iter().any(|it| it.sex == sex && it.out_d <= evening && evening < it.out_d + it.nights)
            };
            let slow = (-3..40)
                .map(|day| f64::from(day) + 0.9)
                .filter(|evening| alive(Sex::Male, *evening) && alive(Sex::Female, *evening))
                .count();
            assert_eq!(together(moths.iter(), 0.9) as usize, slow, "{moths:?}");
        }
    }

    /// By hand: two seasons whose differences are 2 and 0 evenings: mean 1, deviation 1, error 1 / sqrt 2.
    #[test]
    fn the_error_is_that_of_paired_differences() {
        let moth = |sex, out_d, nights| Moth { out_d, nights, box_index: 0, sex, taken: false, spare: None };
        let mut seasons = Seasons::default();
        seasons.push([moth(Sex::Male, 0.5, 2.0), moth(Sex::Female, 2.5, 4.0)]);
        seasons.push([moth(Sex::Male, 0.5, 2.0), moth(Sex::Female, 20.5, 4.0)]);
        let held = Lever::Shift { sex: Sex::Male, by_d: 2.0, asof_d: 0.0 };
        let seen = overlap(&seasons, held, OddsAsk::ONE_PAIR);
        assert!((seen.before, seen.after, seen.change) == (0.0, 1.0, 1.0), "{seen:?}");
        assert!((seen.change_standard_error - 0.5_f64.sqrt()).abs() < 1e-12, "{seen:?}");
        let none = overlap(&Seasons::default(), held, OddsAsk::ONE_PAIR);
        assert!(none.before == 0.0 && none.change_standard_error == 0.0);
    }
}
