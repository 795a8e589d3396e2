//! The bell of a box: deaths that come too close together.

/// When the bell should ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BellAsk {
    /// Rings where the losses of some stretch are rarer than this in a good box.
    pub level: f64,
    /// The longest stretch looked at, days.
    pub longest_d: usize,
    /// Fewer losses than this never ring.
    pub at_least: u32,
}

impl BellAsk {
    /// One in five hundred for some stretch of up to ten days, and two losses at least.
    ///
    /// A good box of 6 to 60 larvae looked at every morning of an instar then rings falsely in fewer than three
    /// instars of a hundred (simulated in the tests).
    pub const USUAL: BellAsk = BellAsk { level: 0.002, longest_d: 10, at_least: 2 };
}

/// The rarest stretch found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ring {
    /// Its length up to today, days.
    pub window_d: u32,
    /// Losses in it.
    pub lost: u32,
    /// Animals at its beginning.
    pub of: u32,
    /// The chance of at least as many in a good box.
    pub chance_if_good: f64,
}

/// What the bell says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bell {
    /// Look at this box today.
    Rings(Ring),
    /// Nothing out of the ordinary; the rarest stretch where there was any loss.
    Silent(Option<Ring>),
    /// Nothing to judge by, or a figure that is broken.
    Unknown,
}

/// The daily hazard of a good box, from a stage's survival and its length.
///
/// # Formula
/// `-log(survival) / stage_d`
/// # Errors
/// `None` unless survival lies above 0 and up to 1 and the stage takes time.
/// ```
/// let hazard = science::losses::hazard_per_day(0.8, 8.0);
/// assert!((hazard.unwrap_or(f64::NAN) - 0.0278929).abs() < 1e-6);
/// ```
pub fn hazard_per_day(survival: f64, stage_d: f64) -> Option<f64> {
    let sound = survival > 0.0 && survival <= 1.0 && stage_d > 0.0 && stage_d.is_finite();
    sound.then(|| -libm::log(survival) / stage_d)
}

/// Listens to one box.
///
/// # Formula
/// For each stretch of the last 1, 2, ... days with `d` losses among the `n` that were there at its beginning:
/// the chance of at least `d` under a binomial with `1 - exp(-hazard days)`. The rarest stretch decides.
/// # Units
/// `losses_by_day`: losses on each of the last days, today last; `hazard_per_day` in 1/day.
/// # Holds for
/// Boxes that nobody was moved into or out of within the stretch (count them as there at its end).
/// # Errors
/// `Unknown` for an empty record, an empty box without losses, or a hazard that is not a positive number.
/// # Source
/// A scan over stretches; the level is judgement and its false alarms are stated at [`BellAsk::USUAL`].
/// # Checked against
/// Exact binomial sums by hand.
/// # Example
/// ```
/// use science::losses::{bell, Bell, BellAsk};
/// // Three of six fourth-instar larvae in one day.
/// assert!(matches!(bell(&[0, 0, 3], 3, 0.013, BellAsk::USUAL), Bell::Rings(_)));
/// ```
pub fn bell(losses_by_day: &[u32], alive_now: u32, hazard_per_day: f64, ask: BellAsk) -> Bell {
    let lost_ever: u64 = losses_by_day.iter().map(|it| u64::from(*it)).sum();
    let animals = u64::from(alive_now) + lost_ever;
    let countable = !losses_by_day.is_empty() && (1..=1_000_000).contains(&animals);
    if !countable || hazard_per_day.is_nan() || hazard_per_day <= 0.0 || ask.level.is_nan() {
        return Bell::Unknown;
    }
    let mut rarest: Option<Ring> = None;
    let mut lost = 0;
    for (window_d, today) in (1_u32..).zip(losses_by_day.iter().rev().take(ask.longest_d)) {
        lost += today;
        if *today == 0 {
            // A longer stretch with the same losses is never rarer.
            continue;
        }
        let of = alive_now.saturating_add(lost);
        let chance_one = -libm::expm1(-hazard_per_day * f64::from(window_d));
        let chance_if_good = at_least(lost, of, chance_one);
        if rarest.is_none_or(|it| chance_if_good < it.chance_if_good) {
            rarest = Some(Ring { window_d, lost, of, chance_if_good });
        }
    }
    match rarest {
        Some(ring) if ring.chance_if_good < ask.level && ring.lost >= ask.at_least => Bell::Rings(ring),
        other => Bell::Silent(other),
    }
}

/// The chance of at least `k` of `n` with chance `p` each.
fn at_least(k: u32, n: u32, p: f64) -> f64 {
    if k == 0 || p >= 1.0 {
        return 1.0;
    }
    // Terms by the ratio of neighbours in logs, so that large boxes do not underflow.
    let (log_odds, mut log_term) = (libm::log(p) - libm::log1p(-p), f64::from(n) * libm::log1p(-p));
    let mut below = 0.0;
    let mut above = 0.0;
    for it in 0..=n {
        let term = libm::exp(log_term);
        if it < k {
            below += term
        } else {
            above += term
        }
        log_term += libm::log(f64::from(n - it) / f64::from(it + 1)) + log_odds;
    }
    // The smaller side is the exact one.
    if below < 0.5 { 1.0 - below } else { above }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may panic")]
    use super::*;
    use crate::dice::Dice;

    /// By hand: at least 3 of 6 with 0.1 is 1 - (0.531441 + 0.354294 + 0.098415) = 0.01585.
    #[test]
    fn exact_binomial_sums() {
        assert!((at_least(3, 6, 0.1) - 0.01585).abs() < 1e-12);
        assert!((at_least(1, 2, 0.5) - 0.75).abs() < 1e-12);
        assert!((at_least(0, 5, 0.2) - 1.0).abs() < 1e-12);
        assert!((at_least(5, 5, 0.1) / 1e-5 - 1.0).abs() < 1e-9);
    }

    /// Three of six in the fourth instar within a day: whatever good survival is believed, it rings.
    #[test]
    fn rings_for_three_of_six() {
        for survival in [0.8, 0.9, 0.97] {
            let hazard = hazard_per_day(survival, 7.0).unwrap();
            let Bell::Rings(ring) = bell(&[0, 0, 0, 0, 0, 3], 3, hazard, BellAsk::USUAL) else {
                panic!("silent at {survival}");
            };
            assert_eq!((ring.window_d, ring.lost, ring.of), (1, 3, 6));
        }
    }

    /// Five small larvae lost over ten days out of a box of 24, where a good box loses a fifth in that time.
    #[test]
    fn is_silent_for_scattered_small_larvae() {
        let hazard = hazard_per_day(0.8, 10.0).unwrap();
        let scattered = [1, 0, 1, 0, 0, 1, 0, 1, 0, 1];
        for days in 1..=10 {
            let so_far = &scattered[..days];
            let left = 24 - so_far.iter().sum::<u32>();
            assert!(matches!(bell(so_far, left, hazard, BellAsk::USUAL), Bell::Silent(_)), "day {days}");
        }
    }

    /// Goal: the stated false-alarm rate. Method: good boxes of 6 to 60 watched every morning of an instar of
    /// eight days with survival 0.8 or 0.95; the share that ever rings must be below 3 %. 3,000 boxes of each
    /// kind: a true share of 2 % would exceed the bound with chance below 1 in 10,000.
    #[test]
    fn good_boxes_seldom_ring() {
        let mut dice = Dice::seeded(2);
        for (n, survival) in [(6, 0.8), (6, 0.95), (24, 0.8), (24, 0.95), (60, 0.8), (60, 0.95)] {
            let hazard = hazard_per_day(survival, 8.0).unwrap();
            let boxes = 3000;
            let mut rang = 0;
            for _ in 0..boxes {
                let mut left = n;
                let mut losses = Vec::new();
                let mut ever = false;
                for _ in 0..8 {
                    let dead = (0..left).filter(|_| dice.happens(1.0 - libm::exp(-hazard))).count() as u32;
                    left -= dead;
                    losses.push(dead);
                    ever |= matches!(bell(&losses, left, hazard, BellAsk::USUAL), Bell::Rings(_));
                }
                rang += u32::from(ever);
            }
            assert!(f64::from(rang) / f64::from(boxes) < 0.03, "{n} animals, {survival}: {rang}");
        }
    }

    #[test]
    fn what_is_broken_is_unknown_and_never_silent() {
        for hazard in [f64::NAN, 0.0, -0.1] {
            assert_eq!(bell(&[0, 1], 5, hazard, BellAsk::USUAL), Bell::Unknown);
        }
        assert_eq!(bell(&[], 5, 0.02, BellAsk::USUAL), Bell::Unknown);
        assert_eq!(bell(&[u32::MAX, u32::MAX], u32::MAX, 0.02, BellAsk::USUAL), Bell::Unknown);
        assert_eq!(bell(&[0, 0], 0, 0.02, BellAsk::USUAL), Bell::Unknown);
        assert_eq!(bell(&[0, 0], 4, 0.02, BellAsk::USUAL), Bell::Silent(None));
        for (survival, stage_d) in [(0.0, 5.0), (1.2, 5.0), (0.9, 0.0), (f64::NAN, 5.0), (0.9, f64::INFINITY)]
        {
            assert_eq!(hazard_per_day(survival, stage_d), None);
        }
    }
}
