//! The odds of one pair against what happened.

use super::{Told, broods};
use crate::binomial::{limits, standard_error};
use crate::case::Case;
use crate::census::SITUATIONS;
use crate::size::{DEMANDS, FALSE_ALARM, Size};
use crate::verdict::{Check, Demand, Table, percent};
use crate::world::World;
use anyhow::Result;

/// A kind of which few come through, so that a pair is a question.
const DELICATE: World = World { name: "few eggs of a delicate kind", delicate: true, ..World::RIGHT };
/// How far the share that happened may lie from the odds of its bin, beyond chance.
const MAY_MISS: f64 = 0.05;

/// Broods for the odds, all three situations.
///
/// # Errors
/// If the engine refuses one.
pub fn broods_for_odds(size: Size, told: Told<'_>) -> Result<Vec<Case>> {
    let mut cases = Vec::new();
    for (at, seen) in SITUATIONS.into_iter().enumerate() {
        cases.extend(broods(&DELICATE, seen, (size.broods(70, 300), size, false), 300 + at as u64, told)?);
    }
    Ok(cases)
}

/// Whether what was given one chance in five happens one time in five, and whether it beats knowing nothing.
#[must_use]
pub fn reliable(cases: &[Case], size: Size) -> Check {
    let told: Vec<(f64, bool)> = cases.iter().map(|it| (it.told.one_pair, it.closed)).collect();
    let head = vec!["odds given", "broods", "odds, mean", "happened"];
    let mut table = Table { head, rows: Vec::new() };
    let mut demands = Vec::new();
    for bin in 0..5_u32 {
        let inside: Vec<&(f64, bool)> =
            told.iter().filter(|it| ((it.0 * 5.0).floor() as u32).min(4) == bin).collect();
        let n = inside.len();
        let mean = inside.iter().map(|it| it.0).sum::<f64>() / n as f64;
        let hits = inside.iter().filter(|it| it.1).count();
        let share = hits as f64 / n as f64;
        let name = format!("{} to {} %", 20 * bin, 20 * bin + 20);
        table.rows.push(vec![
            name.clone(),
            n.to_string(),
            percent(mean),
            format!("{} ± {}", percent(share), percent(standard_error(share, n))),
        ]);
        if n > 0 {
            let band = ((mean - MAY_MISS).max(1e-9), (mean + MAY_MISS).min(1.0 - 1e-9));
            // Chances that differ within a bin vary less together than equal ones (Hoeffding 1956).
            let (fewest, most) = limits(n as u32, band, FALSE_ALARM / DEMANDS as f64 / 2.0);
            let bounds = (f64::from(fewest) / n as f64, f64::from(most) / n as f64);
            demands.push(Demand::within(format!("odds of {name}, share that happened"), share, bounds));
        }
    }
    let (skill, error) = brier_skill(&told);
    table.rows.push(vec![
        "Brier skill above the base rate".to_owned(),
        told.len().to_string(),
        format!("{skill:.3}"),
        format!("± {error:.3}"),
    ]);
    let low = match size {
        Size::Full => 2.0 * error,
        Size::Small => 0.0,
    };
    demands.push(Demand::within("Brier skill above the base rate", skill, (low, 1.0)));
    let about = "4 to 24 eggs of a kind of which fewer come through, as the engine is told, in the three situations. \
                 Bounds are exact binomial limits around the mean odds of a bin, give or take 5 %. The base rate is \
                 the share of all these broods in which it happened."
        .to_owned();
    Check { name: "Odds happen as often as they say", about, table, demands }
}

/// One minus the mean squared error over that of the base rate, and its standard error.
fn brier_skill(told: &[(f64, bool)]) -> (f64, f64) {
    let n = told.len() as f64;
    let happened = |it: &(f64, bool)| f64::from(u8::from(it.1));
    let base = told.iter().map(happened).sum::<f64>() / n;
    let pairs: Vec<(f64, f64)> =
        told.iter().map(|it| ((it.0 - happened(it)).powi(2), (base - happened(it)).powi(2))).collect();
    let ours = pairs.iter().map(|it| it.0).sum::<f64>() / n;
    let plain = pairs.iter().map(|it| it.1).sum::<f64>() / n;
    let ratio = ours / plain;
    let spread = pairs.iter().map(|it| (it.0 - ratio * it.1).powi(2)).sum::<f64>() / (n - 1.0);
    (1.0 - ratio, spread.sqrt() / plain / n.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn skill_is_1_for_a_seer_0_for_the_base_rate_and_less_for_a_fool() {
        let happened = [true, false, true, true];
        let told = |odds: fn(bool) -> f64| happened.map(|it| (odds(it), it));
        assert!((brier_skill(&told(|it| f64::from(u8::from(it)))).0 - 1.0).abs() < 1e-12);
        assert!(brier_skill(&told(|_| 0.75)).0.abs() < 1e-12);
        assert!(brier_skill(&told(|it| f64::from(u8::from(!it)))).0 < -1.0);
    }
}
