//! What a brood has shown of its pace: from the book's windows to a passage through a stage.

use super::brood::{StagePassage, Window};
use super::clocks::Clocks;
use crate::dice::normal_upper;

/// Some animals and the window in which each of them did something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seen {
    /// When.
    pub window: Window,
    /// How many.
    pub n: u32,
}

/// The mean units of a stage's clock between entering and leaving it, as the book shows it.
///
/// # Formula
/// All have left: mean units at leaving minus mean units at entering. Some are `still_in`: the same mean, by
/// maximum likelihood with those counted as "longer than until now" (normal, censored), so that the quick
/// first leavers do not make the brood look faster than it is.
///
/// # Units
/// Units of the stage's clock; `spread_cv` is the model's spread among animals.
///
/// # Holds for
/// Animals of one brood under the same air; windows before the clocks' `asof_d`. Who leaves is not matched to
/// who entered, so only means are used.
///
/// # Errors
/// `None` where the stage does not exist, nobody has left, nobody entered, a window is not a date, or the mean is not positive.
///
/// # Example
/// ```
/// use science::phenology::{observed_passage, AirSeries, Clocks, Outlook, OutlookError, RateCurve, Room, Seen, Window};
/// let air = AirSeries::constant(0.0, 20.0, 20.0)?;
/// let room = Room { air: &air, outlook: &Outlook::LastDays { days: 3 }, error: OutlookError::NONE };
/// let curve = RateCurve::Linear { lower_c: 10.0, upper_c: 30.0, constant_dd: 50.0 };
/// let clocks = Clocks::new(&[curve], &room, 0.0, 20.0, 100.0)?;
/// let entered = [Seen { window: Window::at(2.0), n: 4 }];
/// let left = [Seen { window: Window::at(8.0), n: 3 }, Seen { window: Window::at(9.0), n: 1 }];
/// let passage = observed_passage(&clocks, 0, 0.1, &entered, &left, 0).ok_or("nobody left")?;
/// assert!((passage.mean_units - 62.5).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn observed_passage(
    clocks: &Clocks,
    stage: usize,
    spread_cv: f64,
    entered: &[Seen],
    left: &[Seen],
    still_in: u32,
) -> Option<StagePassage> {
    if stage >= clocks.stages() {
        return None;
    }
    let units = |at_d: f64| clocks.units_at(stage, 0, at_d);
    let entry = Moments::of(entered, units)?;
    let exit = Moments::of(left, units)?;
    let now = units(clocks.asof_d());
    let window_variance = entry.within / entry.n + exit.within / exit.n;
    if still_in == 0 {
        let mean_units = exit.mean - entry.mean;
        let passage = StagePassage { stage, n: exit.n, mean_units, se_units: window_variance.sqrt() };
        return (mean_units > 0.0).then_some(passage);
    }
    let waiting = f64::from(still_in);
    let mut mean_units = (exit.mean - entry.mean).max(clocks.need(stage) * 0.05);
    let mut weight = exit.n;
    // The spread depends on the mean, so the two are found in turns; three are plenty.
    for _ in 0..3 {
        let scatter = spread_cv * mean_units;
        let sd = (scatter * scatter + entry.between + entry.within + 1e-12).sqrt();
        let slope = |mean: f64| {
            let a = (now - mean) / sd;
            exit.n * (exit.mean - mean) / sd + waiting * hazard(a)
        };
        let (mut low, mut high) = (exit.mean - 1.0, exit.mean.max(now) + 10.0 * sd * (1.0 + waiting));
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if slope(middle) > 0.0 { low = middle } else { high = middle }
        }
        let mean = 0.5 * (low + high);
        let a = (now - mean) / sd;
        weight = exit.n + waiting * (hazard(a) * (hazard(a) - a)).clamp(0.0, 1.0);
        mean_units = mean - entry.mean;
        if mean_units.is_nan() || mean_units <= 0.0 {
            return None;
        }
    }
    let se_units = (window_variance + (entry.between + entry.within) / weight).sqrt();
    Some(StagePassage { stage, n: weight, mean_units, se_units })
}

/// Density over upper tail of the normal distribution.
fn hazard(a: f64) -> f64 {
    if a > 30.0 {
        return a + 1.0 / a;
    }
    let density = libm::exp(-0.5 * a * a) / (2.0 * std::f64::consts::PI).sqrt();
    density / normal_upper(a)
}

/// Mean, spread between and spread within windows.
struct Moments {
    n: f64,
    mean: f64,
    between: f64,
    within: f64,
}

impl Moments {
    fn of(seen: &[Seen], units: impl Fn(f64) -> f64) -> Option<Moments> {
        let n: f64 = seen.iter().map(|it| f64::from(it.n)).sum();
        let sound = |it: &Seen| it.window.earliest_d <= it.window.latest_d;
        if n < 1.0 || !seen.iter().all(sound) {
            return None;
        }
        let ends = |it: &Seen| (units(it.window.earliest_d), units(it.window.latest_d));
        let over =
            |value: &dyn Fn(&Seen) -> f64| seen.iter().map(|it| f64::from(it.n) * value(it)).sum::<f64>() / n;
        let middle = |it: &Seen| 0.5 * (ends(it).0 + ends(it).1);
        let mean = over(&middle);
        let between = over(&|it| (middle(it) - mean) * (middle(it) - mean));
        // Of a number that lies anywhere in an interval: width squared over twelve.
        let within = over(&|it| (ends(it).1 - ends(it).0) * (ends(it).1 - ends(it).0) / 12.0);
        Some(Moments { n, mean, between, within })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may panic")]
    use super::super::testing::{constant_room, plain_model};
    use super::*;
    use crate::dice::Dice;

    /// Animals of known mean need, watched until part of them has left. Censoring must not bias the mean: over
    /// 400 broods its error lies within four standard errors (plus 1 % for the skew of the lognormal).
    #[test]
    fn leavers_alone_do_not_make_the_brood_look_fast() {
        let model = plain_model(1);
        let need = 50.0;
        let mut dice = Dice::seeded(9);
        for share_left in [0.25, 0.5, 0.8] {
            let clocks =
                constant_room(&model, 0.0, 5.0 * (1.0 + 0.1 * crate::dice::inverse_normal(share_left)), 20.0);
            let now = clocks.asof_d();
            let mut ratios = Vec::new();
            for _ in 0..400 {
                let leaves: Vec<f64> = (0..20).map(|_| need * (1.0 + 0.1 * dice.normal()) / 10.0).collect();
                let left: Vec<Seen> = leaves
                    .iter()
                    .filter(|it| **it <= now)
                    .map(|it| Seen { window: Window::at(*it), n: 1 })
                    .collect();
                let entered = [Seen { window: Window::at(0.0), n: 20 }];
                let still_in = 20 - left.len() as u32;
                if let Some(it) = observed_passage(&clocks, 0, 0.1, &entered, &left, still_in) {
                    ratios.push(it.mean_units / need);
                }
            }
            let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
            assert!(ratios.len() > 380);
            assert!(
                (mean - 1.0).abs() < 4.0 * 0.1 / (20.0_f64 * 0.25 * 400.0).sqrt() + 0.01,
                "{share_left}: {mean}"
            );
        }
    }

    #[test]
    fn nobody_left_is_no_passage() {
        let clocks = constant_room(&plain_model(1), 0.0, 10.0, 20.0);
        let entered = [Seen { window: Window::at(0.0), n: 5 }];
        assert_eq!(observed_passage(&clocks, 0, 0.1, &entered, &[], 5), None);
        let backwards = [Seen { window: Window { earliest_d: 3.0, latest_d: 2.0 }, n: 5 }];
        assert_eq!(observed_passage(&clocks, 0, 0.1, &entered, &backwards, 0), None);
    }
}
