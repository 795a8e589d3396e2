//! Does the life cycle close? The chance that male and female moths are alive on the same night, and what
//! would raise it.

mod levers;
mod nights_left;
mod odds;
mod overlap;
mod pairs;

pub use levers::{Comparison, Lever, compare, lever};
pub use nights_left::{NightsLeft, nights_left};
pub use odds::{Never, Odds, OddsAsk, odds};
pub use overlap::{Overlap, overlap};

use crate::dice::{Dice, Purpose};
use crate::phenology::{Moth, Seasons, Sex};

/// Seasons drawn from given chances of coming out on each night, without any brood behind them.
///
/// # Formula
/// Each moth comes out on night `i` with the chance `emergence[i]`, independently, and is alive for a whole
/// number of nights, its first included.
/// # Units
/// Chances in any unit, only their proportions count; nights as numbers of nights.
/// # Holds for
/// Moths that share nothing: no common pace, no common weather.
/// # Errors
/// Without a positive chance no moth ever comes out.
/// # Checked against
/// Exact enumeration (57/100 for one male of three nights and one female of five over ten even nights).
/// # Example
/// ```
/// use science::closing::{odds, seasons_from_nights, FlightPlan, OddsAsk};
/// let plan = FlightPlan { males: 3, females: 0, male_nights: 3, female_nights: 5 };
/// let seasons = seasons_from_nights(&[0.5, 0.5], plan, 100, 1);
/// assert!(odds(&seasons, OddsAsk::ONE_PAIR).probability == 0.0);
/// ```
pub fn seasons_from_nights(emergence: &[f64], plan: FlightPlan, runs: u32, seed: u64) -> Seasons {
    let usable = |it: f64| if it.is_finite() && it > 0.0 { it } else { 0.0 };
    let mut so_far = 0.0;
    let sums: Vec<f64> = emergence
        .iter()
        .map(|it| {
            so_far += usable(*it);
            so_far
        })
        .collect();
    let mut seasons = Seasons::default();
    for run in 0..runs {
        let mut dice = Dice::of(seed, Purpose::Other, u64::from(run), 1);
        let mut moth = |sex, nights: u32| {
            let target = dice.unit() * so_far;
            let night = sums.partition_point(|it| *it < target);
            // Noon before its first evening, so that a life of n nights covers exactly n evenings.
            Moth {
                out_d: night as f64 + 0.5,
                nights: f64::from(nights),
                box_index: 0,
                sex,
                taken: false,
                spare: None,
            }
        };
        let mut moths = Vec::new();
        if so_far > 0.0 {
            moths.extend((0..plan.males).map(|_| moth(Sex::Male, plan.male_nights)));
            moths.extend((0..plan.females).map(|_| moth(Sex::Female, plan.female_nights)));
        }
        seasons.push(moths);
    }
    seasons
}

/// Who flies, and for how long.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FlightPlan {
    /// Males that come out.
    pub males: u32,
    /// Females that come out.
    pub females: u32,
    /// Nights that a male lives.
    pub male_nights: u32,
    /// Nights that a female lives.
    pub female_nights: u32,
}
